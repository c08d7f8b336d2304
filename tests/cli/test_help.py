"""Help, completion in shells, and the manual page: one text of each command, and examples that run."""

from __future__ import annotations

import contextlib
import io
import re
import shlex
import shutil
import subprocess
import sys
from pathlib import Path

import click
import pytest
from running import seatplan

from seatplan.cli.main import COMMANDS, main, run
from seatplan.cli.man import _ENVIRONMENT
from seatplan.files.library import find, names
from seatplan.rules.registry import RULES

EACH = pytest.mark.parametrize("name", COMMANDS)
GROUPS = ["Options", "Trip and rules", "What is printed or written", "With every command"]
HEAVY = {"pydantic", "shapely", "networkx", "numpy"}


def command(name: str) -> click.Command:
    found = main.get_command(click.Context(main), name)
    assert found is not None
    return found


def examples() -> list[str]:
    """What the help of commands, and of the program, tells somebody to type."""
    texts = [main.epilog or "", *(command(name).help or "" for name in COMMANDS)]
    return [line.strip() for text in texts for part in text.split("\n\n") if "\b" in part
            for line in part.split("\n") if line.strip().startswith("seatplan ")]


@EACH
def test_help_of_a_command_is_the_same_either_way(name: str):
    assert seatplan("help", name) == seatplan(name, "--help")


def test_help_alone_is_that_of_the_program():
    assert seatplan("help") == seatplan("--help")
    assert seatplan("help", "--lang", "es") == seatplan("--help", "--lang", "es")


@pytest.mark.parametrize("topic", ["order", "child-too-heavy"])
def test_help_of_a_rule_explains_it(topic: str):
    assert seatplan("help", "rules", topic) == seatplan("rules", topic)


@pytest.mark.parametrize(("args", "err"), [
    (["arange"], 'error: no command is called "arange"\nhint: did you mean `arrange`?\n'),
    (["room", "order"], "error: nothing of `room` is explained by itself: order\n"
                        "hint: `seatplan help room` shows how to use it\n"),
    (["rules", "ordr"], 'error: no rule is called "ordr"\nhint: did you mean `order`?\n'),
])
def test_help_of_nothing_there_is(args: list[str], err: str):
    said = seatplan("help", *args)
    assert (said.out, said.err, said.code) == ("", err, 2)


@pytest.mark.parametrize(("args", "near"), [
    (["arrange", "three-too-wide", "--vehicel", "skiff-two"], "--vehicle"),
    (["arrange", "x", "--rule", "us"], "--rules"), (["drawing"], "draw"),
    (["outlok"], "outlook"), (["why", "three-too-wide", "--rider", "Junno"], "Juno"),
    (["why", "three-too-wide", "--rider", "Juno", "--position", "2M"], "2"), (["new", "vehicel"], "vehicle"),
])
def test_the_nearest_word_is_asked_after(args: list[str], near: str):
    said = seatplan(*args)
    assert said.code == 2
    assert re.search(rf"(?:[Dd]id you mean|expected|one of)[^\n]*{near}", said.err)


@pytest.mark.parametrize(("args", "err"), [
    (["new", "vehicel"], 'error: `seatplan new` takes no "vehicel"\nhint: did you mean `vehicle`?\n'),
    (["new", "car"],
     'error: `seatplan new` takes no "car"\nhint: expected one of vehicle, restraint, trip, fleet\n'),
    (["sheet", "x", "--paper", "lettre", "-o", "-"], 'error: --paper is "lettre"\nhint: did you mean `letter`?\n'),
    (["arrange", "x", "--vehicel", "y"], "error: `seatplan arrange` has no option --vehicel\n"
                                         "hint: did you mean `--vehicle`?\n"),
    (["arrange", "x", "--unit", "metric"], "error: `seatplan arrange` has no option --unit\n"
                                           "hint: did you mean `--units`?\n"),
    (["why", "x", "--zzz"], "error: `seatplan why` has no option --zzz\n"
                            "hint: `seatplan why --help` shows how to use it\n"),
])
def test_a_wrong_word_is_told_with_the_nearest(args: list[str], err: str):
    said = seatplan(*args)
    assert (said.out, said.err, said.code) == ("", err, 2)


@EACH
def test_help_begins_with_what_the_command_is_for(name: str):
    first = (command(name).help or "").split("\n\n")[0]
    assert re.match(r"[A-Z]", first.strip())
    assert first.strip().endswith((".", ":")) or "?" in first
    assert COMMANDS[name][1].endswith(".")


@EACH
def test_options_stand_in_groups_each_once(name: str):
    lines = seatplan("help", name).out.splitlines()
    heads = [line.rstrip(":") for line in lines if re.fullmatch(r"[A-Z][a-z ]+:", line) and line != "Commands:"]
    assert heads == [group for group in GROUPS if group in heads]
    assert heads[-1] == GROUPS[-1]
    told = [line.split()[0].rstrip(",") for line in lines if re.match(r"  -", line)]
    assert len(told) == len(set(told))
    options = [param for param in command(name).params if isinstance(param, click.Option)]
    assert all(any(one in told for one in param.opts) for param in options)


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder with the files that examples name, which is the current one."""
    monkeypatch.chdir(tmp_path)
    for file, (kind, name) in {"my-trip.yaml": ("trip", "three-across-school-run"), "my-car.yaml": (
            "vehicle", "harrow-estate"), "grandparents-car.yaml": ("vehicle", "cattlegate-crew-cab"), "tablet.yaml": (
            "trip", "three-across-school-run"), "phone.yaml": ("trip", "three-across-school-run")}.items():
        shutil.copy(find(kind, name), file)                                                 # type: ignore[arg-type]
    Path("monday").mkdir()
    assert seatplan("fleet", "city", "--bookings", "2", "-o", "roomy").code == 0
    return tmp_path


@pytest.mark.parametrize("example", [line for line in examples() if " record " not in line and " serve " not in line])
def test_an_example_runs(example: str, folder: Path):
    first = ("record my-trip.yaml --go-on-with 1" if " undo " in example else
             "checkup my-trip.yaml -o checkup.html" if " --from checkup.html " in example else "list")
    assert seatplan(*first.split()).code in (0, 3)
    line, _, file = example.partition(" > ")
    said = seatplan(*shlex.split(line)[1:])
    assert said.code in (0, 1, 3), said.err
    assert "error: " not in said.err
    if file:
        assert said.out.strip(), "there is something to put into the file"


def test_the_examples_of_record_run_in_their_order(folder: Path):
    held = [Path("my-trip.yaml").read_bytes()]
    for example in (line for line in examples() if " record " in line):
        said = seatplan(*shlex.split(example)[1:])
        assert said.code in (0, 1, 3), said.err
        held.append(Path("my-trip.yaml").read_bytes())
    assert len(set(held[:-1])) == len(held) - 1          # each writes
    assert held[-1] == held[-3]                          # and the last takes the one before it back


def test_the_examples_of_serve_are_understood():
    """They are not run: a server runs until somebody stops it."""
    told = [shlex.split(line) for line in examples() if " serve " in line]
    assert told
    for words in told:
        command("serve").make_context("serve", words[2:])


def completed(monkeypatch: pytest.MonkeyPatch, *words: str, shell: str = "bash") -> list[str]:
    """What a shell is offered for the last word."""
    monkeypatch.setenv("_SEATPLAN_COMPLETE", f"{shell}_complete")
    monkeypatch.setenv("COMP_WORDS", shlex.join(["seatplan", *words]) if words[-1] else shlex.join(
        ["seatplan", *words[:-1]]) + " ")
    monkeypatch.setenv("COMP_CWORD", str(len(words)))
    out = io.TextIOWrapper(io.BytesIO(), "utf-8")           # click writes bytes
    with contextlib.redirect_stdout(out), pytest.raises(SystemExit) as left:
        run([])
    assert left.value.code == 0
    out.seek(0)
    return out.read().strip().splitlines()


@pytest.mark.parametrize(("words", "offered"), [
    (("arr",), ["arrange"]),
    (("",), list(COMMANDS)),
    (("arrange", "three-"), [name for name in names("trip") if name.startswith("three-")]),
    (("arrange", "my"), ["my-trip.yaml", "my-car.yaml"]),
    (("arrange", "three-too-wide", "--vehicle", "har"), ["harrow-estate"]),
    (("compare", "three-too-wide", "--vehicle", "har"), ["harrow-estate"]),
    (("arrange", "three-too-wide", "--rules", "u"), ["us", "un"]),
    (("arrange", "--str"), ["--strict"]),
    (("why", "three-too-wide", "--rider", "J"), ["Juno"]),
    (("why", "my-trip.yaml", "--rider", ""), ["Ines", "Wren", "Oslo", "Tamsin"]),
    (("why", "three-too-wide", "--rider", "Juno", "--position", "2"), ["2L", "2C", "2R"]),
    (("why", "three-too-wide", "--vehicle", "skiff-two", "--rider", "Juno", "--position", ""), ["1L", "1R"]),
    (("why", "three-too-wide", "--not", "Juno=1"), ["Juno=1L", "Juno=1R"]),
    (("why", "no-such-trip", "--rider", ""), []),
    (("rules", "child-too-h"), ["child-too-heavy"]),
    (("help", "comp"), ["compare", "completion"]),
    (("help", "rules", "ord"), ["order"]),
    (("new", "v"), ["vehicle"]),
    (("completion", ""), ["bash", "zsh", "fish"]),
    (("--lang", "e"), ["en", "es"]),
    (("check", "grand"), ["grandparents-car.yaml"]),
], ids=lambda value: "_".join(value) if isinstance(value, tuple) else "")
def test_words_are_completed(words: tuple[str, ...], offered: list[str], folder: Path, monkeypatch: pytest.MonkeyPatch):
    assert sorted(completed(monkeypatch, *words)) == sorted(f"plain,{word}" for word in offered)


def test_where_no_name_begins_so_a_shell_looks_for_files(folder: Path, monkeypatch: pytest.MonkeyPatch):
    assert completed(monkeypatch, "arrange", "sub/fol") == ["file,sub/fol"]
    assert completed(monkeypatch, "report", "three-too-wide", "-o", "pl") == ["file,pl"]


def test_every_rule_can_be_completed(monkeypatch: pytest.MonkeyPatch):
    assert completed(monkeypatch, "rules", "") == [f"plain,{word}" for word in ("order", *(rule.id for rule in RULES))]


@pytest.mark.parametrize(("words", "may"), [
    ("", set()), ("arrange ", set()), ("arrange --", set()), ("rules ", set()),
    ("why three-too-wide --rider ", {"yaml"}), ("why three-too-wide --position ", {"yaml"}),
])
def test_completion_imports_nothing_heavy(words: str, may: set[str]):
    code = ("import os, sys\nfrom seatplan.cli.main import run\n"
            "try:\n    run([])\nexcept SystemExit:\n    pass\n"
            "print('LOADED', *sorted({name.partition('.')[0] for name in sys.modules}))")
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True, env={
        "PYTHONPATH": ":".join(sys.path), "_SEATPLAN_COMPLETE": "bash_complete", "COMP_WORDS": f"seatplan {words}",
        "COMP_CWORD": str(len(words.split()) + 1)})
    *offered, loaded = done.stdout.splitlines()
    assert offered
    assert set(loaded.split()) & {*HEAVY, "yaml"} <= may


@pytest.mark.parametrize("shell", ["bash", "zsh", "fish"])
def test_the_script_of_a_shell(shell: str, tmp_path: Path):
    said = seatplan("completion", shell)
    assert (said.err, said.code) == ("", 0)
    assert f"_SEATPLAN_COMPLETE={shell}_complete" in said.out
    if shutil.which(shell):
        (tmp_path / "script").write_text(said.out, encoding="utf-8")
        subprocess.run([shell, "-n", str(tmp_path / "script")], check=True)


@pytest.mark.skipif(not shutil.which("bash"), reason="no bash")
def test_bash_completes_by_the_script(tmp_path: Path):
    (tmp_path / "seatplan").write_text(f'#!/bin/sh\nexec {shlex.quote(sys.executable)} -m seatplan "$@"\n',
                                       encoding="utf-8")
    (tmp_path / "seatplan").chmod(0o755)
    (tmp_path / "script").write_text(seatplan("completion", "bash").out, encoding="utf-8")
    done = subprocess.run(
        ["bash", "-c", 'source ./script 2>/dev/null; COMP_WORDS=(seatplan arrange three-t); COMP_CWORD=2; '
                       '_seatplan_completion seatplan; echo "${COMPREPLY[@]}"'], cwd=tmp_path, capture_output=True,
        text=True, check=True, env={"PATH": f"{tmp_path}:/usr/bin:/bin", "PYTHONPATH": ":".join(sys.path)})
    assert done.stdout == "three-too-wide\n"


MAN = pytest.mark.parametrize("lang", ["en", "es"])


@MAN
def test_the_manual_page_has_every_command_and_option(lang: str):
    page = seatplan("man", "--lang", lang).out.replace("\\-", "-")
    assert page.startswith('.TH SEATPLAN 1 ')
    heads = re.findall(r'^\.SH "(.*)"$', page, re.MULTILINE)
    assert len(heads) == 8
    if lang == "en":
        assert heads == ["NAME", "SYNOPSIS", "DESCRIPTION", "OPTIONS", "COMMANDS", "EXAMPLES", "NOTES", "ENVIRONMENT"]
    parts = dict(re.findall(r'^\.SS "seatplan (\w+).*?"$(.*?)(?=^\.S[SH])', page, re.MULTILINE | re.DOTALL))
    assert list(parts) == list(COMMANDS)
    for name, part in parts.items():
        for param in command(name).params:
            if isinstance(param, click.Option):
                assert f"\\fB{min(param.opts, key=len)}" in part
    assert all(variable in page for variable in _ENVIRONMENT)


@MAN
def test_no_line_of_the_manual_page_is_taken_for_a_request(lang: str):
    requests = {".TH", ".ad", ".SH", ".SS", ".PP", ".TP", ".RS", ".RE", ".nf", ".fi"}
    for line in seatplan("man", "--lang", lang).out.splitlines():
        assert line.strip()
        assert not line.startswith("'")
        assert not line.startswith(".") or line.split()[0] in requests
        assert not re.search(r"(?<!\\)-", line), "a hyphen would not be one that can be typed"
        assert line.count(r"\fB") == line.count(r"\fP")


@MAN
@pytest.mark.skipif(not shutil.which("groff"), reason="no groff")
def test_groff_has_no_warning(lang: str, tmp_path: Path):
    page = tmp_path / "seatplan.1"
    page.write_text(seatplan("man", "--lang", lang).out, encoding="utf-8")
    done = subprocess.run(["groff", "-k", "-man", "-ww", "-Tutf8", str(page)], capture_output=True, text=True,
                          check=True)
    assert done.stderr == ""
    assert "seatplan arrange three-across-school-run" in re.sub(r"\x1b\[\d*m|.\x08", "", done.stdout)
