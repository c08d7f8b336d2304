"""What a problem says to programs: the field, what stands there and what may, as data."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import Any

import file_samples
import pytest
import yaml
from jsonschema import Draft202012Validator

from seatplan.cli.schema import answer_schema
from seatplan.files.errors import InputError, Problem
from seatplan.files.library import names
from seatplan.files.load import load_restraint, load_trip, load_vehicle
from seatplan.files.reading import parse
from seatplan.views.failure_json import failure_json, problem_json

FILES = {
    "vehicle": ("car.yaml", file_samples.VEHICLE, load_vehicle),
    "restraint": ("seat.yaml", file_samples.RESTRAINT, load_restraint),
    "trip": ("trip.yaml", file_samples.TRIP, load_trip),
}
CASES = yaml.safe_load(Path(__file__).with_name("problems.yaml").read_text(encoding="utf-8"))
FAILURE = Draft202012Validator(answer_schema("check"))


@pytest.fixture(autouse=True)
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    for name, text, _ in FILES.values():
        (tmp_path / name).write_text(text, encoding="utf-8")


def problems(kind: str, old: str, new: str) -> list[Problem]:
    """All that is wrong with a sample file in which ``old`` is replaced."""
    name, text, load = FILES[kind]
    assert text.count(old) >= 1
    Path(name).write_text(text.replace(old, new, 1), encoding="utf-8")
    with pytest.raises(InputError) as caught:
        load(name)
    return caught.value.problems


@pytest.mark.parametrize(("kind", "old", "new", "field", "found", "allowed"), [
    ("vehicle", "centre: 310", "centre: 17250", "rows.1.positions.0.centre", 17250,
     {"at_least": -2000, "at_most": 6000, "unit": "mm"}),
    ("vehicle", "kind: lap-shoulder,", "kind: lap-diagonal,", "rows.1.positions.0.belt.kind", "lap-diagonal",
     {"one_of": ["lap-shoulder", "lap", "none"]}),
    ("vehicle", "inflatable: no", "inflatable: perhaps", "rows.1.positions.0.belt.inflatable", "perhaps",
     {"one_of": ["yes", "no"]}),
    ("vehicle", "anchors: [120, 520]", "anchors: [120]", "rows.1.positions.0.belt.anchors", [120],
     {"type": "list", "count": 2}),
    ("trip", "mass: 8.9 kg", "mass: 8.9", "riders.1.mass", 8.9,
     {"at_least": 0.5, "at_most": 250, "unit": "kg", "with_unit": True}),
    ("trip", "born: 2025-11-20", "born: 1825-11-20", "riders.1.born", "1825-11-20", {"type": "day"}),
])
def test_a_field(kind: str, old: str, new: str, field: str, found: Any, allowed: Any) -> None:
    told = [problem_json(problem) for problem in problems(kind, old, new)]
    mine = next(one for one in told if one["field"] == field)
    assert (mine["found"], mine["allowed"]) == (found, allowed)
    assert mine["line"] > 1
    assert mine["path"] == FILES[kind][0]
    assert not mine["text"].startswith(mine["path"])             # the place is told apart


def test_a_key_and_a_name() -> None:
    key = problem_json(problems("trip", "riders:", "rider_s: 1\nriders:")[0])
    assert key["found"] == "rider_s"
    assert {"riders", "vehicle", "restraints"} <= set(key["allowed"]["one_of"])
    with pytest.raises(InputError) as caught:
        load_trip("no-such-trip")
    name = problem_json(caught.value.problems[0])
    assert (name["path"], name["line"], name["found"], name["allowed"]) == (
        None, None, "no-such-trip", {"one_of": names("trip")})


@pytest.mark.parametrize(("kind", "name"), [(kind, name) for kind, cases in CASES.items() for name in cases])
def test_every_kind_of_mistake(kind: str, name: str) -> None:
    """What is found is what stands at the place in the file, and the whole is as its schema says."""
    case = CASES[kind][name]
    found = problems(kind, case["old"], case["new"])
    assert not list(FAILURE.iter_errors(failure_json([problem_json(problem) for problem in found])))
    for problem in found:
        line = Path(problem.path).read_text(encoding="utf-8").split("\n")[problem.line - 1] if problem.line else ""
        if isinstance(problem.found, (str, int)) and not isinstance(problem.found, bool) and problem.line:
            assert str(problem.found) in line, problem


def test_what_stands_there_is_data() -> None:
    document = parse("a: {b: [1, 2026-01-02, x], c: {d: 1}, e: [[1]]}\n", "f.yaml")
    told = {loc: document.problem(loc, "t").found
            for loc in (("a", "b"), ("a", "b", 1), ("a", "c"), ("a", "c", "d"), ("a", "e"), ("z",), ("a", "b", 9))}
    assert told == {("a", "b"): [1, date(2026, 1, 2), "x"], ("a", "b", 1): date(2026, 1, 2), ("a", "c"): None,
                    ("a", "c", "d"): 1, ("a", "e"): None, ("z",): None, ("a", "b", 9): None}
    assert document.problem(("a", "b"), "t", at_key=True).found == "b"
