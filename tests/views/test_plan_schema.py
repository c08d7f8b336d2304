"""What `arrange --json` prints, held against the JSON Schema that describes it."""

from __future__ import annotations

import json
from importlib.resources import files
from typing import Any

import pytest
from jsonschema import Draft202012Validator
from planned import DAY, TRIPS, planned

from seatplan.files.load import load_trip
from seatplan.rules.load import load_profile
from seatplan.solver.budget import Budget
from seatplan.solver.plan import plan
from seatplan.views.caution import CAUTION
from seatplan.views.failure_json import failure_json
from seatplan.views.plan_json import plan_json

_TEXT = files("seatplan").joinpath("data/schemas/plan.json").read_text(encoding="utf-8")
SCHEMA: dict[str, Any] = json.loads(_TEXT)
VALIDATOR = Draft202012Validator(SCHEMA)
ANSWER = Draft202012Validator({"$defs": SCHEMA["$defs"], "$ref": "#/$defs/answer"})


def wrong(answer: Any, validator: Draft202012Validator = ANSWER) -> list[str]:
    return [f"{list(error.absolute_path)}: {error.message[:200]}" for error in validator.iter_errors(answer)]


def through_json(answer: dict[str, Any]) -> dict[str, Any]:
    parsed: dict[str, Any] = json.loads(json.dumps(answer))
    return parsed


def test_the_schema_is_one():
    Draft202012Validator.check_schema(SCHEMA)


@pytest.mark.parametrize("name", TRIPS)
def test_every_bundled_trip(name: str):
    solved = planned(name)
    answer = through_json(plan_json(solved))
    cells = answer["cells"]
    answer["cells"] = cells[::1 + len(cells) // 100]      # a sample: there can be thousands, all made alike
    assert wrong(answer) == []
    assert answer["caution"] == CAUTION
    tally = answer["tally"]
    assert tally["seatings"] == tally["valid"] + tally["placement"] + tally["contest"] + tally["squeeze"]
    assert len(answer["squares"]) == len(solved.trip.riders) * len(solved.choices.positions)


def test_strict_and_stopped_answers():
    trip = load_trip("half-measured-car")
    for options in ({"strict": True}, {"budget": Budget(plans=1)}):
        solved = plan(trip, load_profile("us"), DAY, **options)
        assert wrong(through_json(plan_json(solved))) == []


def test_failures():
    failure = through_json(failure_json(["trip.yaml:3:1: wrong"]))
    assert wrong(failure, VALIDATOR) == []
    assert failure["verdict"] == "error"
    assert failure["caution"] == CAUTION
    assert wrong(failure_json([]), VALIDATOR) != []


@pytest.mark.parametrize("part", [
    "schema", "caution", "verdict", "tally", "arrangements", "cells", "certificates"])
def test_a_missing_part_is_noticed(part: str):
    answer = through_json(plan_json(planned("two-seater-airbag-off")))
    del answer[part]
    assert wrong(answer, VALIDATOR) != []


@pytest.mark.parametrize("path", [
    (), ("tally",), ("arrangements", 0), ("arrangements", 0, "placements", 0), ("cells", 0),
    ("cells", 0, "findings", 0), ("squares", 0),
], ids=str)
def test_a_key_that_is_not_described_is_noticed(path: tuple[str | int, ...]):
    answer = through_json(plan_json(planned("two-seater-airbag-off")))
    part: Any = answer
    for step in path:
        part = part[step]
    part["surprise"] = 1
    assert wrong(answer) != []
