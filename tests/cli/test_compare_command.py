"""seatplan compare: exit codes, its JSON against the schema, what it refuses."""

from __future__ import annotations

import io
import json
import sys
from pathlib import Path

import pytest
from jsonschema import Draft202012Validator
from running import seatplan

from seatplan.app.verdict import of_several
from seatplan.files.library import find
from seatplan.solver.budget import Budget

SCHEMA = Draft202012Validator(json.loads(seatplan("schema", "compare").out))
CASES = [
    (("three-across-school-run", "cattlegate-crew-cab"), 0),
    (("three-across-school-run", "skiff-two", "cattlegate-crew-cab"), 1),
    (("twins-small-hatch", "half-measured-hatch"), 3),
    (("twins-small-hatch", "half-measured-hatch", "skiff-two"), 1),
    (("three-too-wide", "lindholm-estate"), 1),
]


def compared(trip: str, *vehicles: str, more: tuple[str, ...] = ()):
    return seatplan("compare", trip, *(word for vehicle in vehicles for word in ("--vehicle", vehicle)), *more)


@pytest.mark.parametrize(("given", "code"), CASES, ids=str)
def test_text_and_json_say_the_same_and_leave_with_the_same_code(given: tuple[str, ...], code: int):
    text, told = compared(*given), compared(*given, more=("--json",))
    assert (text.code, told.code) == (code, code)
    assert text.err == told.err == ""
    assert max(map(len, text.out.splitlines())) <= 100
    assert "caution: This is a planning aid." in text.out
    answer = json.loads(told.out)
    assert [error.message for error in SCHEMA.iter_errors(answer)] == []
    for n, one in enumerate(answer["vehicles"], 1):
        assert f"\n{n}. {one['vehicle']}" in text.out
        for seat in (one["best"] or {"seats": []})["seats"]:
            assert seat["rider"] in text.out
        for lost in one["lost"]:
            assert f"- {lost['rider']} at {lost['was']['position']} in" in text.out
            assert all(f"({finding['rule']})" in text.out.replace("\n", "") for finding in lost["findings"])


def test_a_search_that_stopped_is_undecided(monkeypatch: pytest.MonkeyPatch):
    import seatplan.solver.compare as solver

    whole = solver.plan
    monkeypatch.setattr(solver, "plan", lambda *args, **options: whole(*args, budget=Budget(plans=0), **options))
    said = compared("three-across-school-run", "quarry-saloon")
    assert said.code == 3
    assert "undecided: the search stopped at its limit" in said.out


def test_strict_and_worst_case_are_passed_on():
    answer = json.loads(compared("twins-small-hatch", "half-measured-hatch",
                                 more=("--strict", "--worst-case", "--json")).out)
    assert (answer["strict"], answer["worst_case"]) == (True, True)
    assert [one["verdict"] for one in answer["vehicles"]] == ["close", "rejected"]


def test_what_does_not_apply_is_said_for_its_vehicle():
    said = compared("three-across-school-run", "skiff-two").out
    assert "   left out: the wish for 2R, Wren at 2R, Oslo at 2L; this car has no such position\n" in said
    answer = json.loads(compared("three-across-school-run", "skiff-two", more=("--json",)).out)
    assert [len(one["left_out"]) for one in answer["vehicles"]] == [0, 3]


@pytest.mark.parametrize(("given", "told"), [
    (("three-across-school-run", "no-such-car"), 'no bundled vehicle is called "no-such-car"'),
    (("three-across-school-run", "skiff-two", "skiff-two"), "Skiff Two is given twice; expected each vehicle once"),
    (("no-such-trip", "skiff-two"), 'no bundled trip is called "no-such-trip"'),
    (("three-across-school-run",), "missing option '--vehicle'"),
])
def test_refused(given: tuple[str, ...], told: str):
    said = compared(*given)
    assert said.code == 2
    assert said.out == ""
    assert told in said.err


def test_a_must_for_a_seat_that_a_vehicle_lacks_is_told_with_the_vehicle(tmp_path: Path):
    file = tmp_path / "trip.yaml"
    text = find("trip", "three-across-school-run").read_text(encoding="utf-8")
    file.write_text(text.replace("at: [2R]", "at: [2R], must: yes"), encoding="utf-8")
    assert "must: yes" in file.read_text(encoding="utf-8")
    said = compared(str(file), "skiff-two", "quarry-saloon")
    assert said.code == 2
    assert f"{file}:27:24: no position of this trip is called \"2R\"" in said.err
    assert said.err.splitlines()[0].endswith("; in Skiff Two")


def test_standard_input_is_read_once(monkeypatch: pytest.MonkeyPatch):
    class Typed(io.StringIO):
        buffer = io.BytesIO(find("trip", "two-seater-airbag-off").read_bytes())

    monkeypatch.setattr(sys, "stdin", Typed())
    said = compared("-", "quarry-saloon")
    assert said.code == 0, said.err
    assert "2. Quarry Saloon" in said.out


def test_a_trip_that_names_no_vehicle(tmp_path: Path):
    file = tmp_path / "trip.yaml"
    text = find("trip", "twins-small-hatch").read_text(encoding="utf-8")
    file.write_text("".join(line for line in text.splitlines(True) if not line.startswith("vehicle:")),
                    encoding="utf-8")
    said = compared(str(file), "quarry-saloon", "pipkin-hatch")
    assert said.code == 0, said.err
    assert "best\narrangement in Quarry Saloon" in said.out
    assert " --vehicle pipkin-hatch` shows every arrangement" in " ".join(said.out.split())


@pytest.mark.parametrize(("verdicts", "code"), [
    (("fits", "close"), 0), (("fits", "unmeasured"), 3), (("unmeasured", "rejected"), 1), (("rejected", "fits"), 1)])
def test_the_worst_vehicle_decides(verdicts: tuple[str, ...], code: int):
    class Tally:
        complete = True

    class Plan:
        tally = Tally()

        def __init__(self, verdict: str) -> None:
            self.verdict = verdict

    assert of_several(map(Plan, verdicts)).exit_code == code  # type: ignore[arg-type]  # only the verdict counts
