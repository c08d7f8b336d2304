"""What a plan is as JSON, brief and in full, held against the JSON Schema that describes it."""

from __future__ import annotations

import json
from typing import Any

import pytest
from jsonschema import Draft202012Validator
from planned import DAY, TRIPS, planned

from seatplan.cli.schema import answer_schema
from seatplan.files.load import load_trip, shelf
from seatplan.rules.load import load_profile
from seatplan.solver.budget import Budget
from seatplan.solver.explain import explain
from seatplan.solver.plan import plan
from seatplan.views.caution import CAUTION
from seatplan.views.failure_json import failure_json, mistake_json
from seatplan.views.plan_json import plan_json

SCHEMA = answer_schema("plan")
VALIDATOR = Draft202012Validator(SCHEMA)
ANSWER = Draft202012Validator({"$defs": SCHEMA["$defs"], "$ref": "#/$defs/plan"})
#: a brief answer of a bundled trip, as it is printed, is shorter, bytes
MOST_BYTES = 100_000


def wrong(answer: Any, validator: Draft202012Validator = ANSWER) -> list[str]:
    return [f"{list(error.absolute_path)}: {error.message[:200]}" for error in validator.iter_errors(answer)]


def through_json(answer: dict[str, Any]) -> dict[str, Any]:
    parsed: dict[str, Any] = json.loads(json.dumps(answer))
    return parsed


@pytest.mark.parametrize("name", TRIPS)
def test_every_bundled_trip(name: str):
    solved = planned(name)
    answer = through_json(plan_json(solved))
    placements = answer["placements"]
    answer["placements"] = placements[::1 + len(placements) // 100]   # a sample: there can be thousands, all made alike
    assert wrong(answer) == []
    assert answer["caution"] == CAUTION
    tally = answer["tally"]
    assert tally["arrangements"] == tally["valid"] + sum(
        tally[f"ruled_out_by_{by}"] for by in ("placement", "contest", "squeeze"))
    assert len(answer["grid"]) == len(solved.trip.riders) * len(solved.choices.positions)


@pytest.mark.parametrize("name", TRIPS)
def test_the_brief_form_of_every_bundled_trip_is_short_and_says_nothing_else(name: str):
    solved = planned(name)
    explanation = None if solved.arrangements else explain(solved, shelf())
    brief, full = (through_json(plan_json(solved, explanation, full=full)) for full in (False, True))
    assert wrong(brief) == []
    assert len(json.dumps(brief, indent=1).encode()) < MOST_BYTES
    assert (brief.pop("form"), full.pop("form")) == ("brief", "full")
    assert _parts_of(brief, full)
    assert "placements" not in brief
    kept = [(one["rule"], one["outcome"]) for a in brief["arrangements"] for seat in a["seats"]
            for one in seat["findings"]]
    every = [(one["rule"], one["outcome"]) for a in full["arrangements"] for seat in a["seats"]
             for one in seat["findings"] if one["outcome"] != "pass" or one["close"] or "confirmed" in one["facts"]]
    assert kept == every


def _parts_of(brief: Any, full: Any) -> bool:
    """Whether all that a brief answer says stands in the full one, in the same place and order."""
    if isinstance(brief, dict):
        return isinstance(full, dict) and all(key in full and _parts_of(brief[key], full[key]) for key in brief)
    if isinstance(brief, list):
        rest = iter(full)
        return all(any(_parts_of(one, other) for other in rest) for one in brief)
    return bool(brief == full)


def test_strict_and_stopped_answers():
    trip = load_trip("half-measured-car")
    for options in ({"strict": True}, {"budget": Budget(plans=1)}):
        solved = plan(trip, load_profile("us"), DAY, **options)
        for full in (True, False):
            assert wrong(through_json(plan_json(solved, full=full))) == []


def test_what_to_measure_is_told_once():
    readings = plan_json(planned("half-measured-car"), full=False)["measure"]
    assert readings
    assert len({json.dumps(reading) for reading in readings}) == len(readings)
    assert plan_json(planned("two-seater-airbag-off"))["measure"] == []


def test_failures():
    failure = through_json(failure_json([mistake_json("wrong", "mend it", "--top", "0")]))
    assert wrong(failure, VALIDATOR) == []
    assert failure["verdict"] == "error"
    assert failure["caution"] == CAUTION
    assert wrong(failure_json([]), VALIDATOR) != []


@pytest.mark.parametrize("part", [
    "schema", "kind", "form", "caution", "verdict", "tally", "arrangements", "grid", "certificates"])
def test_a_missing_part_is_noticed(part: str):
    answer = through_json(plan_json(planned("two-seater-airbag-off")))
    del answer[part]
    assert wrong(answer, VALIDATOR) != []


@pytest.mark.parametrize("path", [
    (), ("tally",), ("arrangements", 0), ("arrangements", 0, "seats", 0), ("placements", 0),
    ("placements", 0, "findings", 0), ("grid", 0),
], ids=str)
def test_a_key_that_is_not_described_is_noticed(path: tuple[str | int, ...]):
    answer = through_json(plan_json(planned("two-seater-airbag-off")))
    part: Any = answer
    for step in path:
        part = part[step]
    part["surprise"] = 1
    assert wrong(answer) != []
