"""Three invented cars of which a family wrote down as much as the short forms ask: a roomy, a middling and a tight one.

Each has at most 60 values typed in all, for the car, three restraints and three children.
"""

from __future__ import annotations

import json
import sys
from functools import cache
from pathlib import Path
from typing import Any

import pytest
import yaml

from seatplan import why
from seatplan.files.forms import leaves, restraint_form, template
from seatplan.files.library import find
from seatplan.files.load import load_trip
from seatplan.model import Trip
from seatplan.rules.load import load_profile
from seatplan.solver.plan import plan
from seatplan.solver.results import Plan

sys.path.insert(0, str(Path(__file__).parent.parent / "cli"))
from running import seatplan

CARS = {"roomy": "broadmere-tall", "middling": "middlecote-hatch", "tight": "nipperton-city"}
#: what says that it is invented is no answer
NO_ANSWERS = ("invented", "notes")


def trip(name: str) -> Trip:
    return load_trip(f"first-answer-{name}")


@cache
def answer(name: str, *without: str) -> Plan:
    found = trip(name)
    assert found.on is not None
    found = found.model_copy(update={"riders": [r for r in found.riders if r.rider not in without]})
    return plan(found, load_profile(found.rules), found.on, top=None)


def values(data: Any) -> list[tuple[tuple[str | int, ...], str]]:
    return [(path, str(value)) for path, value in leaves(data) if path[0] not in NO_ANSWERS]


def typed(text: str, form: str) -> int:
    """How many values of a filled form are not those that stand in the form from the start."""
    given = values(yaml.safe_load(form))
    return sum(value not in given for value in values(yaml.safe_load(text)))


def written(kind: Any, name: str) -> str:
    return find(kind, name).read_text(encoding="utf-8")


def typed_in_all(name: str) -> int:
    """Of a car against its form; of a trip every value, save those that its form begins with, and of its restraints
    the names of their kinds too."""
    of_trip = yaml.safe_load(written("trip", f"first-answer-{name}"))
    begun = yaml.safe_load(template("short-trip"))
    own = [(path, value) for path, value in values(of_trip)
           if (path, value) not in [((key,), str(begun[key])) for key in ("drives", "rules")]]
    return typed(written("vehicle", CARS[name]), template("short-vehicle")) + len(own)


@pytest.mark.parametrize("name", CARS)
def test_at_most_60_values_were_typed(name: str) -> None:
    assert 50 <= typed_in_all(name) <= 60
    assert typed(written("vehicle", CARS[name]), template("short-vehicle")) <= 22


@pytest.mark.parametrize("name", CARS)
def test_they_answer_what_the_short_forms_ask_and_nothing_else(name: str) -> None:
    def asked(data: Any) -> set[tuple[str, ...]]:
        found: set[tuple[str, ...]] = set()
        stack: list[tuple[Any, tuple[str, ...]]] = [(data, ())]
        while stack:
            here, path = stack.pop()
            if isinstance(here, dict):
                stack += [(value, (*path, key)) for key, value in here.items()]
            elif isinstance(here, list):
                stack += [(value, path) for value in here]
            else:
                found.add(path)
        return found

    car = asked(yaml.safe_load(written("vehicle", CARS[name])))
    assert {path for path in car if path[0] not in NO_ANSWERS} <= asked(yaml.safe_load(template("short-vehicle")))
    for restraint in yaml.safe_load(written("trip", f"first-answer-{name}"))["restraints"]:
        assert asked(restraint) <= asked(yaml.safe_load(restraint_form(restraint["kind"])))
    riders = asked(yaml.safe_load(template("short-trip"))["riders"])
    assert asked(yaml.safe_load(written("trip", f"first-answer-{name}"))["riders"]) <= riders


@pytest.mark.parametrize("name", CARS)
def test_nothing_that_is_estimated_ever_fits(name: str) -> None:
    found = answer(name)
    assert found.tally.sure["fits"] == found.tally.sure["close"] == 0
    assert {a.verdict for a in found.arrangements} <= {"likely", "unmeasured"}


def test_the_roomy_car_is_likely_for_all_three() -> None:
    found = answer("roomy")
    assert found.verdict == "likely"
    best = found.arrangements[0]
    assert {s.placement.position.position for s in best.seats} == {"2L", "2C", "2R"}
    assert not [f.rule for f in best.findings if f.outcome in ("block", "unmeasured")]
    assert any(f.result.estimates for f in best.findings)


def readings(name: str) -> set[tuple[str, str]]:
    """(rule, field) of everything that the answer asks to be measured."""
    told = json.loads(seatplan("arrange", f"first-answer-{name}", "--json").out)
    return {(one["rule"], one["field"]) for one in told["measure"]}


def test_the_roomy_car_asks_for_nothing() -> None:
    assert readings("roomy") == set()
    assert seatplan("arrange", "first-answer-roomy").code == 0


def test_the_middling_car_is_likely_for_two_and_names_the_reading_for_the_third() -> None:
    """Its front seats may be too near for the largest of carriers."""
    assert answer("middling").verdict == "unmeasured"
    assert readings("middling") == {("no-room-ahead", "outline of Dara's carrier shell")}
    assert answer("middling", "Dara").verdict == "likely"


def test_the_tight_car_names_its_readings() -> None:
    assert answer("tight").verdict == "unmeasured"
    named = readings("tight")
    assert {rule for rule, _ in named} == {
        "no-room-ahead", "base-off-the-cushion", "head-near-shell-top", "straps-below-shoulder", "row-too-narrow"}
    assert {"outline of Gus's carrier shell", "outline of Hana's seat shell"} <= {field for _, field in named}


@pytest.mark.parametrize("rider", ["Gus", "Hana", "Jon"])
@pytest.mark.parametrize("position", ["2L", "2C", "2R"])
def test_the_tight_car_rules_nobody_out_for_what_is_only_estimated(rider: str, position: str) -> None:
    """In their own restraint each could ride on every seat of the back; only a label says otherwise: Hana, of 16 kg,
    may not use her seat as a booster yet, from 18 kg on."""
    restraint = {"Gus": "Gus's carrier", "Hana": "Hana's seat", "Jon": "Jon's booster"}[rider]
    found = why("first-answer-tight", rider, restraint=restraint, position=position)
    assert {mode.mode for mode in found.modes if mode.level is None} <= {"high-back-booster"}
    assert any(mode.level is not None for mode in found.modes)
    for mode in found.modes:
        if mode.level is None:
            assert rider == "Hana"


def test_the_tight_car_is_too_narrow_for_all_three_by_what_was_measured() -> None:
    """44, 45 and 43 cm, written down, do not go between doors 130 cm apart."""
    for found in answer("tight").arrangements:
        assert {s.placement.position.row for s in found.seats} == {1, 2}
