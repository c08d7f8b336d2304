"""What is typed, and what stands in a rules file, is shown like any name: nothing in it acts on a terminal."""

from __future__ import annotations

import json
import os
import re
import shutil
import subprocess
import sys
import threading
from collections.abc import Sequence
from pathlib import Path
from xml.etree import ElementTree

import click
import pytest
import yaml
from running import Said, seatplan

from seatplan.cli.language import tell_click
from seatplan.files.library import find
from seatplan.files.reading import read
from seatplan.views.manner import speaking
from seatplan.views.text import count, mm

#: sets a colour, turns the direction of writing, breaks the line
ODD = "\x1b[31mred\u202e\u200fde\nr\u2028x\x07"
UNSEEN = re.compile("[\x00-\x09\x0b-\x1f\x7f-\x9f\u200b-\u200f\u2028-\u202e\u2066-\u2069]")
TRIP = "three-across-school-run"
ENTRY = ["--restraint", "Nook", "--position", "2C", "--by", "lap-shoulder-belt", "--moved", "38", "--on", "2026-11-24"]


def plain(said: Said) -> bool:
    """Whether nothing was printed that acts on a terminal, and each line is one that we made."""
    return not UNSEEN.search(said.out + said.err) and "\nr\\u2028" not in said.out + said.err


@pytest.mark.parametrize("args", [
    ["arrange", ODD], ["arrange", f"{ODD}.yaml"], ["arrange", TRIP, "--vehicle", ODD],
    ["arrange", TRIP, "--vehicle", f"{ODD}.yaml"], ["arrange", TRIP, "--rules", ODD],
    ["arrange", TRIP, "--rules", f"{ODD}.yaml"], ["arrange", TRIP, "--on", ODD], ["arrange", TRIP, f"--{ODD}"],
    ["arrange", TRIP, "--rules", ODD, "--json"],
    ["arrange", TRIP, "--top", ODD], ["why", TRIP, "--rider", ODD], ["why", TRIP, "--rider", "Wren", "--position", ODD],
    ["why", TRIP, "--rider", "Wren", "--restraint", ODD], ["why", TRIP, "--not", ODD],
    ["why", TRIP, "--not", f"Wren={ODD}"],
    ["why", TRIP, "--not", f"{ODD}=2R"], ["room", TRIP, "--rider", ODD], ["outlook", TRIP, "--until", ODD],
    ["outlook", TRIP, "-o", f"{ODD}.html"], ["sheet", TRIP, "-o", f"{ODD}.svg"], ["rules", ODD], [ODD],
    ["check", f"{ODD}.yaml"], ["compare", TRIP, "--vehicle", f"{ODD}.yaml"], ["--lang", ODD], ["list", ODD],
    ["record", "my-trip.yaml", "--restraint", ODD, *ENTRY[2:]], ["record", "my-trip.yaml", *ENTRY, "--note", ODD],
    ["record", "my-trip.yaml", *ENTRY[:-1], ODD], ["record", "my-trip.yaml", *ENTRY[:4], "--by", ODD, "--failed"],
], ids=lambda args: " ".join(args).replace(ODD, "ODD"))
def test_what_is_typed_acts_on_no_terminal(args: list[str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    monkeypatch.chdir(tmp_path)
    shutil.copyfile(find("trip", TRIP), tmp_path / "my-trip.yaml")
    said = seatplan(*args)
    assert said.code == 2
    assert plain(said)


@pytest.mark.parametrize("command", ["arrange", "check", "sheet -o -", "report -o -", "outlook --until 2027-01-01",
                                     "why --rider Wren", "compare --vehicle skiff-two", "record"])
def test_a_file_with_an_odd_name_is_shown_written_out(command: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    monkeypatch.chdir(tmp_path)
    name = f"{ODD}.yaml"
    shutil.copyfile(find("trip", TRIP), tmp_path / name)
    first, *rest = command.split()
    said = seatplan(first, name, *rest, *(ENTRY if first == "record" else []))
    assert said.code in (0, 1)
    assert plain(said)


def test_a_file_with_an_odd_name_can_be_named_again_as_it_is_shown(tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    monkeypatch.chdir(tmp_path)
    name = "it's\x1b \\ \u202e.yaml"
    shutil.copyfile(find("trip", TRIP), tmp_path / name)
    shown = re.search(r"seatplan why (\$'.*') --rider", " ".join(seatplan("arrange", name).out.split()))
    told = seatplan("why", name, "--rider", "Wren").out
    again = re.search(r"seatplan why (\$.*) --rider", " ".join(told.split()))
    assert again is not None, shown
    out = subprocess.run(["bash", "-c", f"printf %s {again[1]}"], capture_output=True, check=True,
                         env={**os.environ, "LC_ALL": "C.UTF-8"}).stdout
    assert out.decode() == name


def rules(folder: Path, **data: object) -> str:
    file = folder / "county.yaml"
    file.write_text(yaml.safe_dump({"profile": "county", "extends": "us", **data}, sort_keys=False), encoding="utf-8")
    return str(file)


@pytest.mark.parametrize("data", [
    {"profile": "a\u200fb"}, {"profile": "a\u200bb"}, {"profile": "x" * 61}, {"profile": "a\u2028b\u200e"},
    {"thresholds": {"movement_at_belt_path": {"value": 20, "source": "a\u200fb"}}},
    {"thresholds": {"movement_at_belt_path": {"value": 20, "source": "a\u200bb"}}},
    {"thresholds": {"movement_at_belt_path": {"value": 20, "source": "x" * 301}}},
    {"thresholds": {"movement_at_belt_path": {"value": 20, "source": ["a"]}}}])
def test_names_and_sources_of_a_rules_file_are_checked(data: dict[str, object], tmp_path: Path):
    said = seatplan("arrange", TRIP, "--rules", rules(tmp_path, **data))
    assert said.code == 2
    assert "county.yaml:" in said.err
    assert plain(said)
    assert re.search("expected|leave it out", said.err)


def test_a_name_and_a_source_of_several_lines_are_on_one(tmp_path: Path):
    file = rules(tmp_path, profile="our\ncounty",
                 thresholds={"movement_at_belt_path": {"value": 20, "source": "the county's\n\nown paper"}})
    assert "rules our county," in seatplan("arrange", TRIP, "--rules", file).out
    assert "the county's own paper" in seatplan("sheet", TRIP, "--rules", file, "-o", "-").out


@pytest.mark.parametrize("command", ["arrange", "sheet -o -", "report -o -", "draw -o -", "room --rider {}",
                                     "why --arrangement 2 --against 1"])
def test_headings_with_the_longest_names_take_eighty_letters(command: str, tmp_path: Path):
    data = read(find("trip", TRIP)).data
    data["trip"], data["riders"][1]["rider"], data["restraints"][0]["as"] = "T" * 60, "W" * 60, "N" * 60
    data["vehicle"] = {**read(find("vehicle", "harrow-estate")).data, "vehicle": "V" * 60}
    data["wishes"], data["installed"] = [], {}
    file = tmp_path / "trip.yaml"
    file.write_text(yaml.safe_dump(data), encoding="utf-8")
    first, *rest = command.format("W" * 60).split()
    for lang in ("en", "es"):
        out = seatplan(first, str(file), *rest, "--rules", rules(tmp_path, profile="R" * 60), "--lang", lang).out
        titles = re.findall(r"(?s)<title\b[^>]*>(.*?)</title>", out)[:1]      # others describe parts of drawings
        heads = ([re.sub("<[^>]*>", "", head) for head in re.findall(r"(?s)<h[1-4]\b[^>]*>(.*?)</h[1-4]>", out)]
                 if "<" in out[:5] else [out.splitlines()[0]])
        heads += titles
        named = [head for head in heads if re.search("TTT|VVV|WWW|NNN", head)]
        assert named
        assert max(map(len, named)) <= 80


#: what no file of ours holds
SECRETS = ["root:x:0:0:root:/root:/bin/bash\ndaemon:x:1:1::/:/bin/false\n", "password: hunter2\ntoken: [abc\n",
           "password: hunter2\npassword: hunter3\n", "[default]\napikey = hunter2\n", "apikey: 2026-13-45\n",
           "- hunter2\n"]


@pytest.mark.parametrize("secret", SECRETS)
@pytest.mark.parametrize("command", [
    "arrange my-trip.yaml --vehicle ./secret", "arrange my-trip.yaml --rules ./secret", "arrange ./secret",
    "check ./secret", "compare my-trip.yaml --vehicle ./secret", "record ./secret --undo", "check vehicle.yaml",
    "arrange rules.yaml", "check restraint.yaml", "check copy.yaml", "report my-trip.yaml --vehicle ./secret -o -"])
def test_nothing_is_told_of_a_file_that_is_none_of_ours(command: str, secret: str, tmp_path: Path,
                                                        monkeypatch: pytest.MonkeyPatch):
    monkeypatch.chdir(tmp_path)
    trip = find("trip", TRIP).read_text(encoding="utf-8")
    nook = re.compile(r"- \{use: nook-35, ")
    for name, text in (("my-trip", trip), ("vehicle", trip.replace("vehicle: harrow-estate", "vehicle: ./secret")),
                       ("rules", trip.replace("rules: us", "rules: ./secret")),
                       ("restraint", trip.replace("restraints:\n", "restraints:\n  - ./secret\n")),
                       ("copy", nook.sub("- {use: ./secret, ", trip))):
        (tmp_path / f"{name}.yaml").write_text(text, encoding="utf-8")
    (tmp_path / "secret").write_text(secret, encoding="utf-8")
    said = seatplan(*command.split())
    told = said.out + said.err
    assert said.code == 2
    assert "secret" in told
    for word in re.findall(r"\w{3,}", secret):
        assert word not in told.replace("secret", "")


@pytest.mark.parametrize("command", ["draw", "sheet", "report", "arrange --json"])
@pytest.mark.parametrize("encoding", ["ascii", "latin-1"])
def test_documents_and_json_are_right_on_a_stream_without_all_letters(command: str, encoding: str, tmp_path: Path):
    file = tmp_path / "trip.yaml"
    file.write_text(find("trip", TRIP).read_text(encoding="utf-8").replace("Wren", "Zoë \u96e8"), encoding="utf-8")
    first, *rest = command.split()
    raw = subprocess.run(
        [sys.executable, "-c", "from seatplan.cli.main import run; run()", first, str(file), *rest,
         *([] if rest else ["-o", "-"])], capture_output=True, env={**os.environ, "PYTHONIOENCODING": encoding}).stdout
    text = raw.decode("utf-8")
    assert "\\x" not in text
    assert "\\u96e8" not in text or rest
    if first == "draw":
        assert "Zoë \u96e8" in "".join(ElementTree.fromstring(raw).itertext())
    elif rest:
        assert "Zoë \u96e8" in str(json.loads(text))
    else:
        assert "Zoë \u96e8" in text
        assert 'charset="utf-8"' in text


def test_units_stay_units():
    for command in ("arrange three-too-wide", "room tall-driver --rider Mina --full",
                    "why tall-driver --rider Mina --position 2L"):
        told = seatplan(*command.split(), "--lang", "es", "--units", "customary").out
        assert re.search(r"\d in\b", told)
        assert not re.search(r"\d en(?=[.,;:)\n])", told)


def test_a_unit_to_be_typed_is_not_translated(tmp_path: Path):
    trip = find("trip", "tall-driver").read_text(encoding="utf-8").replace("height: 800", "height: 35")
    (tmp_path / "trip.yaml").write_text(trip, encoding="utf-8")
    assert '"35 in"' in seatplan("check", str(tmp_path / "trip.yaml"), "--lang", "es").err


def test_what_was_typed_keeps_its_form_in_spanish():
    assert '"3.5"' in seatplan("arrange", TRIP, "--on", "3.5", "--lang", "es").err
    assert '"2026-13-45"' in seatplan("arrange", TRIP, "--on", "2026-13-45", "--lang", "es").err


def in_threads(work: Sequence[object]) -> list[BaseException]:
    """Run all at once; what went wrong."""
    wrong: list[BaseException] = []

    def safely(one: object) -> None:
        try:
            one()                                        # type: ignore[operator]
        except BaseException as error:  # noqa: BLE001  # handed to the test
            wrong.append(error)

    threads = [threading.Thread(target=safely, args=(one,)) for one in work]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    return wrong


def test_threads_speak_their_own_language():
    barrier = threading.Barrier(8)

    @click.command(name="x")
    @click.option("--n", type=int, required=True)
    def command(n: int) -> None:
        """Nothing."""

    def speaker(lang: str, units: str, kept: str, length: str, missing: str):
        def speak() -> None:
            with speaking(lang, units):
                tell_click()
                barrier.wait()
                for _ in range(200):
                    assert count(2, "rider") == kept
                    assert mm(12.5) == length
                    with pytest.raises(click.UsageError) as caught:
                        command.main([], standalone_mode=False)
                    assert missing in caught.value.format_message()
        return speak

    said = [speaker("en", "metric", "2 riders", "12.5 mm", "Missing option"),
            speaker("es", "metric", "2 pasajeros", "12,5 mm", "Falta la opción"),
            speaker("en", "customary", "2 riders", "1/2 in", "Missing option"),
            speaker("es", "customary", "2 pasajeros", "1/2 in", "Falta la opción")]
    assert in_threads(said * 2) == []


@pytest.mark.parametrize("mark", ["\u200e", "\u200f", "\u061c", "\u2028", "\u2029", "\u202e"])
def test_no_note_of_a_file_turns_or_breaks_a_line(mark: str, tmp_path: Path):
    (tmp_path / "trip.yaml").write_text(find("trip", TRIP).read_text(encoding="utf-8").replace(
        "notes: Invented.", f'notes: "Invented{mark}." # '), encoding="utf-8")
    said = seatplan("check", str(tmp_path / "trip.yaml"))
    assert said.code == 2
    assert f"a character that is no text (number {ord(mark)})" in said.err
