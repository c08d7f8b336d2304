"""The checker over every bundled trip, and the checker itself against plans that were tampered with."""

from __future__ import annotations

from collections.abc import Callable
from copy import deepcopy
from random import Random
from typing import Any

import pytest
from checker import Checker
from known import person_of, play_of
from solved import DAY, problems_of
from worlds import random_trip

from seatplan.files.library import names
from seatplan.files.load import load_trip
from seatplan.model import Trip
from seatplan.rules.load import load_profile
from seatplan.solver.plan import planned as plan  # drawn trips need not be true
from seatplan.views.plan_json import plan_json

#: the checker takes every number as it is written, and knows no ends of what is estimated
WRITTEN = [name for name in names("trip") if load_trip(name).vehicle.not_measured is None]
#: a trip with more arrangements than this is checked in its best ones
_MOST = 200


@pytest.mark.parametrize("strict", [False, True], ids=["as-it-is", "strict"])
@pytest.mark.parametrize("name", WRITTEN)
def test_bundled_trip(name: str, strict: bool) -> None:
    trip = load_trip(name)
    solved = plan(trip, load_profile(trip.rules), DAY, top=20 if strict else _MOST, strict=strict)
    assert problems_of(solved) == []
    assert len(solved.arrangements) == min(solved.tally.valid, 20 if strict else _MOST)


def _find(wanted: Callable[[dict[str, Any]], bool]) -> tuple[Trip, dict[str, Any]]:
    for seed in range(300):
        trip = random_trip(Random(seed))
        told = plan_json(plan(trip, load_profile(trip.rules), DAY, top=3))
        if wanted(told):
            return trip, told
    raise LookupError("no random trip has that")


def _complaints(trip: Trip, told: dict[str, Any]) -> list[str]:
    profile = load_profile(trip.rules)
    return Checker(trip, told, person_of, play_of(profile), profile.limit("belts_overlap")).problems()


def _certificate(told: dict[str, Any], kind: str, what: str | None = None) -> dict[str, Any]:
    return next((c for c in told["certificates"] if c["kind"] == kind and what in (None, c.get("what"))
                 and (what is None or c["placements"])), {})


def _shared_row(told: dict[str, Any]) -> bool:
    return bool(told["arrangements"]) and any(
        row["tight"] and row["spare_mm"] < 100 for row in told["arrangements"][0]["rows"])


def _move(told: dict[str, Any]) -> None:
    for placement in told["arrangements"][0]["seats"]:
        placement["across_mm"] += 400


def _more_spare(told: dict[str, Any]) -> None:
    for row in told["arrangements"][0]["rows"]:
        row["spare_mm"] = (row["spare_mm"] or 0) + 1


def _leave_out(told: dict[str, Any]) -> None:
    told["arrangements"][0]["seats"].pop()


def _open_cycle(told: dict[str, Any]) -> None:
    next(row for row in told["arrangements"][0]["rows"] if row["tight"])["tight"].pop()


def _one_more(told: dict[str, Any]) -> None:
    told["tally"]["valid"] += 1


@pytest.mark.parametrize("tamper", [_move, _more_spare, _leave_out, _open_cycle, _one_more],
                         ids=lambda tamper: tamper.__name__.strip("_"))
def test_checker_sees_a_wrong_arrangement(tamper: Callable[[dict[str, Any]], None]) -> None:
    trip, told = _find(_shared_row)
    assert _complaints(trip, told) == []
    wrong = deepcopy(told)
    tamper(wrong)
    assert _complaints(trip, wrong)


def test_checker_sees_a_wrong_squeeze() -> None:
    trip, told = _find(lambda told: bool(_certificate(told, "squeeze")))
    assert _complaints(trip, told) == []
    for tamper in ("addend", "step", "short_mm", "need_mm"):
        wrong = deepcopy(told)
        squeeze = _certificate(wrong, "squeeze")
        if tamper == "addend":
            squeeze["steps"][0]["sum"][0]["length_mm"] += 1
            squeeze["steps"][0]["need_mm"] += 1
        elif tamper == "step":
            squeeze["steps"].pop()
        else:
            squeeze[tamper] += 1
        assert _complaints(trip, wrong), tamper


def test_checker_sees_a_wrong_contest() -> None:
    for what in ("position", "restraint", "together"):
        trip, told = _find(lambda told, what=what: bool(_certificate(told, "contest", what)))
        assert _complaints(trip, told) == []
        wrong = deepcopy(told)
        contest = _certificate(wrong, "contest", what)
        contest["placements"][0] = {**contest["placements"][0], "position": "9L", "restraint": "none",
                                    "lower_anchors": [], "tether": None}
        if what == "together":
            contest["findings"] = []
        assert _complaints(trip, wrong), what


def test_checker_sees_a_wrong_shortage() -> None:
    trip, told = _find(lambda told: len(_certificate(told, "shortage").get("riders", ())) > 1)
    assert _complaints(trip, told) == []
    wrong = deepcopy(told)
    _certificate(wrong, "shortage")["riders"].pop()
    assert _complaints(trip, wrong)
