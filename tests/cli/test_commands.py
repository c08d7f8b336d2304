"""Every command: exit codes, bad input, standard input, JSON, and no traceback whatever happens."""

from __future__ import annotations

import io
import json
import os
import subprocess
import sys
from importlib.resources import files
from pathlib import Path

import pytest
from jsonschema import Draft202012Validator
from running import seatplan, without_progress

from seatplan.app.verdict import Verdict
from seatplan.cli.main import COMMANDS
from seatplan.cli.schema import answer_schema
from seatplan.files.library import find
from seatplan.solver.budget import Budget

SCHEMA = answer_schema("plan")


class Typed(io.StringIO):
    """Standard input with bytes below it."""

    def __init__(self, text: str) -> None:
        super().__init__(text)
        self.buffer = io.BytesIO(text.encode())


@pytest.mark.parametrize(("trip", "code"), [
    ("three-across-school-run", 0), ("two-seater-airbag-off", 0), ("three-too-wide", 1),
    ("three-boosters-two-belts", 1), ("half-measured-car", 3), ("no-such-trip", 2),
])
def test_arrange_leaves_with_the_code_of_its_answer(trip: str, code: int):
    said = seatplan("arrange", trip, "--top", "1")
    assert said.code == code
    assert bool(said.err) == (code == 2)
    assert bool(said.out) == (code != 2)


def test_close_counts_as_a_fit():
    assert {verdict.value: verdict.exit_code for verdict in Verdict} == {
        "fits": 0, "close": 0, "likely": 0, "answered": 0, "unmeasured": 3, "undecided": 3, "rejected": 1, "wrong": 2}


def test_a_search_that_stopped_with_nothing_is_undecided(monkeypatch: pytest.MonkeyPatch):
    import seatplan.solver.plan as solver

    whole = solver.plan
    monkeypatch.setattr(solver, "plan", lambda *args, **options: whole(*args, budget=Budget(plans=0), **options))
    said = seatplan("arrange", "three-too-wide")
    assert said.code == 3
    assert "Undecided" in said.out
    assert json.loads(seatplan("arrange", "three-too-wide", "--json").out)["complete"] is False


@pytest.mark.parametrize(("options", "code"), [
    (["--position", "3L"], 0), (["--position", "1R"], 1), (["--position", "3l", "--restraint", "slim"], 0),
])
def test_why_leaves_with_the_code_of_its_seatings(options: list[str], code: int):
    said = seatplan("why", "taxi-ride", "--rider", "milo", *options)
    assert said.code == code
    assert said.err == ""


def test_why_of_a_search_that_stopped_is_undecided(monkeypatch: pytest.MonkeyPatch):
    import seatplan.solver.why as solver

    asked = ("why", "three-across-school-run", "--rider", "Wren", "--position", "2C")
    whole = solver.why
    monkeypatch.setattr(solver, "why", lambda *args, **options: whole(*args, budget=Budget(plans=0), **options))
    said = seatplan(*asked)
    assert said.code == 3
    assert "The search stopped at its limit" in said.out
    assert json.loads(seatplan(*asked, "--json").out)["complete"] is False


def test_worst_case_widens_what_measuring_can_be_off():
    plain = json.loads(seatplan("arrange", "tall-driver", "--json").out)
    worst = json.loads(seatplan("arrange", "tall-driver", "--worst-case", "--json").out)
    assert (plain["worst_case"], worst["worst_case"]) == (False, True)
    off = [[row["tolerance_mm"] for row in answer["arrangements"][0]["rows"]] for answer in (plain, worst)]
    assert all(more > less > 0 for less, more in zip(*off, strict=True))


def test_why_of_something_unmeasured():
    assert seatplan("why", "half-measured-car", "--rider", "Arlo", "--position", "2L").code == 3


@pytest.mark.parametrize("args", [
    ["arrange"], ["arrange", "three-too-wide", "--top", "0"],
    ["arrange", "three-too-wide", "--on", "tomorrow"],
    ["arrange", "three-too-wide", "--vehicle", "none-such"],
    ["arrange", "three-too-wide", "--rules", "eu"],
    ["arrange", "no/such/file.yaml"], ["why", "three-too-wide"],
    ["why", "three-too-wide", "--rider", "Nobody"],
    ["why", "three-too-wide", "--rider", "Juno", "--position", "9L"],
    ["why", "three-too-wide", "--rider", "Juno", "--restraint", "None"],
], ids=" ".join)
def test_bad_input(args: list[str]):
    said = seatplan(*args)
    assert said.code == 2
    assert said.out == ""
    lines = said.err.splitlines()
    assert lines[0].startswith("error: ")
    assert all(line.startswith(("error: ", "hint: ")) for line in lines)
    assert "Traceback" not in said.err
    told = seatplan(*args, "--json")
    assert told.code == 2
    assert told.err == said.err
    failure = json.loads(told.out)
    Draft202012Validator(SCHEMA).validate(failure)
    assert failure["verdict"] == "error"
    told_errors = [line for line in lines if line.startswith("error: ")]
    assert [f"error: {error['path'] + ': ' if error['path'] else ''}{error['text']}"
            for error in failure["errors"]] == told_errors


def test_every_problem_of_a_trip_is_told(tmp_path: Path):
    file = tmp_path / "bad.yaml"
    file.write_text("trip: Bad\nvehicle: harrow-estat\ndrives: 1L\nriders: [{rider: Ada, mass: 89 stones}]\n"
                    "rules: eu\n", encoding="utf-8")
    said = seatplan("arrange", str(file), "--json")
    assert said.code == 2
    errors = json.loads(said.out)["errors"]
    assert len(errors) >= 2
    assert any("harrow-estate" in error["text"] for error in errors)
    assert any("89 stones" in error["text"] for error in errors)


def test_a_trip_from_standard_input(monkeypatch: pytest.MonkeyPatch):
    text = find("trip", "two-seater-airbag-off").read_text(encoding="utf-8")
    monkeypatch.setattr(sys, "stdin", Typed(text))
    said = seatplan("arrange", "-", "--full")
    assert (said.out, said.code) == (seatplan("arrange", "two-seater-airbag-off", "--full").out, 0)
    monkeypatch.setattr(sys, "stdin", Typed(text))
    assert "`seatplan sheet - -o sheet.html`" in seatplan("arrange", "-").out
    monkeypatch.setattr(sys, "stdin", Typed("riders: [\n"))
    wrong = seatplan("arrange", "-")
    assert wrong.code == 2
    assert wrong.err.startswith("error: stdin:")


def test_more_riders_than_seats_is_a_no_and_not_a_mistake(tmp_path: Path):
    file = tmp_path / "crowd.yaml"
    riders = "".join(f"  - {{rider: R{i}, born: 2019-05-01, mass: 24 kg, height: 124 cm}}\n" for i in range(3))
    file.write_text(f"trip: Crowd\nvehicle: skiff-two\non: 2026-11-25\ndrives: 1L\nriders:\n"
                    f"  - {{rider: Ada, age: 40y, adult: yes, drives: yes}}\n{riders}", encoding="utf-8")
    said = seatplan("arrange", str(file), "--full")
    assert said.code == 1
    assert "There are 4 riders and only 2 seats." in said.out
    assert "There are 4 riders and only 2 seats." in seatplan("arrange", str(file)).out
    assert " ".join(said.out.split()).rpartition("hint: ")[2].startswith(f"`seatplan why {file} --rider R")


@pytest.mark.parametrize("command", COMMANDS)
def test_help_of_every_command(command: str):
    said = seatplan(command, "--help")
    assert said.code == 0
    assert f"seatplan {command}" in said.out
    assert max(map(len, said.out.splitlines())) <= 100


@pytest.mark.parametrize("kind", ["vehicle", "restraint", "trip"])
def test_a_new_file_passes_its_check(kind: str, tmp_path: Path):
    file = tmp_path / f"my-{kind}.yaml"
    file.write_text(seatplan("new", kind).out, encoding="utf-8")
    said = seatplan("check", str(file))
    assert said.code == 0, said.err
    assert said.out.startswith(f"{file}: {kind}, good")


@pytest.mark.parametrize("kind", ["vehicle", "restraint", "trip", "plan", "compare"])
def test_schemas_are_schemas(kind: str):
    said = seatplan("schema", kind)
    assert said.code == 0
    Draft202012Validator.check_schema(json.loads(said.out))


@pytest.mark.parametrize(("text", "code", "told"), [
    ("profile: ours\nextends: us\nthresholds: {rear_head_below_top: 40}\nmust: [tether-unused]\n", 0,
     "rules, good"),
    ("profile: ours\nextends: us\nthresholds: {rear_head_below_top: 10}\n", 2, "looser than 25 mm"),
    ("profile: ours\nextends: eu\n", 2, "expected us or un"),
    ("profile: ours\nextends: us\nmust: [tether-unuse]\n", 2, "tether-unused"),
])
def test_check_of_rules_files(text: str, code: int, told: str, tmp_path: Path):
    file = tmp_path / "ours.yaml"
    file.write_text(text, encoding="utf-8")
    said = seatplan("check", str(file))
    assert said.code == code
    assert told in (said.out if code == 0 else said.err)


def test_check_of_two_trips_of_one_family(tmp_path: Path):
    """What two files say of one child is told by the command too."""
    text = find("trip", "three-across-school-run").read_text(encoding="utf-8")
    files = [tmp_path / "one.yaml", tmp_path / "other.yaml"]
    for file, born in zip(files, ("2025-08-14", "2025-08-15"), strict=True):
        file.write_text(text.replace("born: 2025-08-14", f"born: {born}"), encoding="utf-8")
    said = seatplan("check", *map(str, files))
    assert said.code == 2
    assert "Wren is born 2025-08-15 here and 2025-08-14 in" in said.err


def test_check_of_the_bundled_rules():
    folder = Path(str(files("seatplan").joinpath("data/profiles")))
    said = seatplan("check", str(folder / "us.yaml"), str(folder / "un.yaml"))
    assert said.code == 0
    assert said.out.count("rules, good") == 2


def test_check_goes_on_after_a_wrong_file(tmp_path: Path):
    good = tmp_path / "good.yaml"
    good.write_text(seatplan("new", "vehicle").out, encoding="utf-8")
    said = seatplan("check", str(tmp_path / "none.yaml"), str(good))
    assert said.code == 2
    assert "none.yaml" in said.err
    assert "good.yaml: vehicle, good" in said.out


def test_rules_of_one_profile():
    un, us = seatplan("rules", "--profile", "un").out, seatplan("rules", "--profile", "us").out
    assert "fixture-not-listed" in un
    assert "fixture-not-listed" not in us
    assert "booster-before-five" in us
    assert "booster-before-five" not in un


def test_our_own_bug_is_one_line_and_code_70(monkeypatch: pytest.MonkeyPatch):
    import seatplan.solver.plan as solver

    def broken(*args: object, **options: object) -> None:
        raise ZeroDivisionError("by hand")

    monkeypatch.setattr(solver, "plan", broken)
    said = seatplan("arrange", "three-too-wide")
    assert said.code == 70
    assert said.out == ""
    assert said.err.count("\n") == 1
    assert said.err.startswith("error: a bug in seatplan, not in your files: ZeroDivisionError: by hand")
    failure = json.loads(seatplan("arrange", "three-too-wide", "--json").out)
    assert failure["verdict"] == "error"


def program(*args: str) -> list[str]:
    return [sys.executable, "-c", "from seatplan.cli.main import run; run()", *args]


def test_a_reader_that_goes_away_is_no_error():
    with subprocess.Popen(program("arrange", "three-too-wide", "--json"), stdout=subprocess.PIPE,
                          stderr=subprocess.PIPE) as process:
        assert process.stdout is not None
        assert process.stderr is not None
        process.stdout.read(10)
        process.stdout.close()
        told = process.stderr.read()
    assert without_progress(told.decode()) == ""
    assert process.returncode == 1          # still: nothing fits


def test_a_terminal_without_accents_still_gets_its_answer(tmp_path: Path):
    text = find("trip", "two-seater-airbag-off").read_text(encoding="utf-8").replace("Pip", "Zoë")
    file = tmp_path / "trip.yaml"
    file.write_text(text, encoding="utf-8")
    done = subprocess.run(program("arrange", str(file)), capture_output=True, check=False,
                          env={**os.environ, "PYTHONIOENCODING": "ascii"})
    assert done.returncode == 0
    assert b"Zo\\xeb" in done.stdout


@pytest.mark.parametrize("args", [
    ["arrange", "three-boosters-two-belts", "--vehicle", "skiff-two"], ["arrange", "half-measured-car", "--json"],
], ids=" ".join)
def test_the_same_input_gives_the_same_bytes(args: list[str]):
    outputs = {
        subprocess.run(program(*args), capture_output=True, check=False,
                       env={**os.environ, "PYTHONHASHSEED": seed}).stdout
        for seed in ("1", "2", "3")
    }
    assert len(outputs) == 1
