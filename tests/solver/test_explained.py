"""What a refused trip is told, checked from its JSON: bundled trips and many random ones; and the checker itself
against explanations that were tampered with.

The usual run takes 350 random trips; SEATPLAN_RANDOM_TRIPS=1000 takes more.
"""

from __future__ import annotations

import os
from collections import Counter
from collections.abc import Callable, Iterator, Mapping
from copy import deepcopy
from functools import cache
from random import Random
from typing import Any

import pytest
from explained import Explained
from refused import refused_trip, shelf_of
from solved import DAY, problems_of

from seatplan.files.load import load_trip
from seatplan.files.load import shelf as bundled_shelf
from seatplan.model import Restraint, Trip
from seatplan.rules.load import load_profile
from seatplan.solver.explain import explain
from seatplan.solver.plan import planned as plan  # drawn trips need not be true
from seatplan.views.plan_json import plan_json

_BATCH = 50
_TRIPS = int(os.environ.get("SEATPLAN_RANDOM_TRIPS", "350"))
_BATCHES = [range(start, start + _BATCH) for start in range(0, _TRIPS, _BATCH)]


@pytest.fixture(scope="module")
def counts() -> Iterator[Counter[str]]:
    """What was seen, printed at the end: `pytest -s` shows it."""
    seen: Counter[str] = Counter()
    yield seen
    print()
    for kind, n in sorted(seen.items()):
        print(f"{n:6}  {kind}")


def _count_certificates(counts: Counter[str], told: dict[str, Any]) -> None:
    for certificate in told["certificates"]:
        kind = certificate["kind"]
        what = {"shortage": "thing", "contest": "what", "squeeze": "direction"}[kind]
        counts[f"{kind}: {certificate[what]}"] += 1


def _told(trip: Trip, shelf: Mapping[str, Restraint], strict: bool) -> dict[str, Any]:
    """The plan's JSON, with its certificates checked; a refusal is always explained."""
    solved = plan(trip, load_profile(trip.rules), DAY, top=2, strict=strict)
    assert problems_of(solved) == []
    why = explain(solved, shelf)
    assert (why is None) == bool(solved.arrangements)
    return plan_json(solved, why)


def _random(seed: int) -> tuple[Trip, Mapping[str, Restraint], bool]:
    rng = Random(seed)
    trip = refused_trip(rng, 1000 if seed % 50 == 7 else 30)
    return trip, shelf_of(rng, 2), seed % 5 == 1


@pytest.mark.parametrize("seeds", _BATCHES, ids=lambda seeds: f"{seeds[0]}-{seeds[-1]}")
def test_random_trips(seeds: range, counts: Counter[str]) -> None:
    for seed in seeds:
        trip, shelf, strict = _random(seed)
        told = _told(trip, shelf, strict)
        _count_certificates(counts, told)
        counts["not refused" if told["arrangements"] else "refused"] += 1
        if told["explanation"] is not None:
            problems = Explained(trip, load_profile(trip.rules), told, shelf, counts).problems()
            assert problems == [], seed


def test_the_random_trips_have_something_of_everything() -> None:
    """A generator that only made hopeless trips would let any explanation pass."""
    seen: Counter[str] = Counter()
    for seed in range(160):
        trip, shelf, strict = _random(seed)
        why = explain(plan(trip, load_profile(trip.rules), DAY, top=1, strict=strict), shelf)
        if why is not None:
            seen[f"reasons: {min(len(why.conflict.reasons), 5)}"] += 1
            seen.update(change.kind for repair in why.repairs.repairs for change in repair.changes)
            seen.update({f"changes: {len(repair.changes)}" for repair in why.repairs.repairs})
            seen["several groups"] += len(why.groups) > 1
            seen["nearest"] += why.nearest is not None
    for kind in ("reasons: 1", "reasons: 2", "reasons: 3", "changes: 1", "changes: 2", "several groups",
                 "nearest", "drop-wish", "get-restraint", "ride-elsewhere"):
        assert seen[kind] >= 3, (kind, seen)


#: trip, vehicle in place of its own, strict
_BUNDLED = [
    ("three-too-wide", None, False),
    ("three-boosters-two-belts", None, False),
    ("three-boosters-two-belts", None, True),
    ("two-children-one-tether", None, False),
    ("two-children-one-tether", None, True),
]


@pytest.mark.parametrize(("name", "vehicle", "strict"), _BUNDLED)
def test_bundled_trips(name: str, vehicle: str | None, strict: bool, counts: Counter[str]) -> None:
    trip, shelf = load_trip(name, vehicle), bundled_shelf()
    told = _told(trip, shelf, strict)
    _count_certificates(counts, told)
    assert told["explanation"] is not None
    assert Explained(trip, load_profile(trip.rules), told, shelf, counts).problems() == []
    nearest = told["explanation"]["conflict"]["nearest"]
    assert (nearest is not None) == (name == "three-too-wide")
    if nearest is not None:
        nearest["steps"][0]["sum"][0]["length_mm"] -= 300
        told["explanation"]["repairs"].clear()
        assert Explained(trip, load_profile(trip.rules), told, shelf).problems()


# ---- the checker sees what is wrong

Told = dict[str, Any]


@cache
def _example(name: str) -> tuple[Trip, Told]:
    trip = load_trip(name)
    return trip, _told(trip, bundled_shelf(), False)


def _reasons(why: Told) -> list[Told]:
    found: list[Told] = why["conflict"]["reasons"]
    return found


def _one_reason_less(why: Told) -> None:
    _reasons(why).pop()


def _a_reason_too_many(why: Told) -> None:
    spare = deepcopy(_reasons(why)[0])
    _reasons(why).append({**spare, "rule": "no-belt", "positions": ["2C"], "riders": []})


def _another_seating(why: Told) -> None:
    first, second = _reasons(why)[:2]
    first["without_it"] = second["without_it"]


def _other_numbers(why: Told) -> None:
    next(r for r in _reasons(why) if r["finding"])["finding"]["measured"] = "something else"


def _a_group_less(why: Told) -> None:
    why["groups"][0] = why["groups"][0][:-1]
    why["conflict"]["riders"] = why["conflict"]["riders"][:-1]


def _a_larger_group(why: Told) -> None:
    why["groups"].append([*why["groups"][0], "Maren"])


def _a_better_verdict(why: Told) -> None:
    repair = why["repairs"][0]["arrangement"]
    repair["verdict"] = "fits" if repair["verdict"] == "close" else "close"


def _no_change(why: Told) -> None:
    why["repairs"][0]["changes"].clear()


def _a_change_too_many(why: Told) -> None:
    why["repairs"][0]["changes"].append(why["repairs"][-1]["changes"][0])


@pytest.mark.parametrize("tamper", [
    _one_reason_less, _a_reason_too_many, _another_seating, _other_numbers, _a_group_less, _a_larger_group,
    _a_better_verdict, _no_change, _a_change_too_many], ids=lambda tamper: tamper.__name__.strip("_"))
def test_checker_sees_what_is_wrong(tamper: Callable[[Told], None]) -> None:
    trip, told = _example("two-children-one-tether")
    told = deepcopy(told)
    tamper(told["explanation"])
    assert Explained(trip, load_profile(trip.rules), told, bundled_shelf()).problems()


def test_the_finding_of_a_reason_is_one_of_its_own_group() -> None:
    """A rule that looks at a position alone is met first by somebody else; the group is told its own numbers."""
    asked = 0
    for seed in range(50):
        trip, _, strict = _random(seed)
        why = explain(plan(trip, load_profile(trip.rules), DAY, top=1, strict=strict), {})
        for reason in why.conflict.reasons if why else ():
            if reason.finding is not None:
                assert why is not None
                assert set(reason.finding.riders) <= set(why.riders), seed
                asked += 1
    assert asked > 10
