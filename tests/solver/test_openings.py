"""All smallest sets of one or two changes against brute force: every change and every pair of changes is made to the
trip's plain data, and the trip solved again."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from itertools import combinations
from random import Random

import pytest
from changes import Json, changed
from refused import refused_trip, shelf_of
from solved import best

from seatplan.model import Restraint, Trip
from seatplan.rules.load import load_profile
from seatplan.solver.repairs.catalogue import offers
from seatplan.solver.repairs.change import Change
from seatplan.solver.repairs.search import RepairSeater
from seatplan.solver.solve import Solve

DAY = date(2026, 11, 25)
_BATCHES = [range(start, start + 20) for start in range(0, 40, 20)]
#: with more offers than this a trip is left to the other tests
_MOST_OFFERS = 9


def as_json(change: Change) -> Json:
    """What the plan's JSON says of a change."""
    return {"kind": change.kind, "riders": list(change.riders), "restraint": change.restraint, "use": change.word,
            "position": change.position, "thing": change.thing, "to_mm": change.mm}


def _solve(trip: Trip, strict: bool) -> Solve:
    return Solve(trip, load_profile(trip.rules), DAY, strict=strict)


def by_brute_force(trip: Trip, offered: list[Change], shelf: Mapping[str, Restraint],
                   strict: bool) -> set[frozenset[int]]:
    """Indexes of the changes in each smallest set of one or two that leaves somebody beside the driver and opens."""
    found: set[frozenset[int]] = set()
    for size in (1, 2):
        for some in combinations(range(len(offered)), size):
            if any(smaller <= set(some) for smaller in found):
                continue
            gone = {rider for i in some if offered[i].kind == "ride-elsewhere" for rider in offered[i].riders}
            if all(rider.drives for rider in trip.riders if rider.rider not in gone):
                continue
            after = changed(trip, [as_json(offered[i]) for i in some], shelf)
            if best(_solve(after, strict)) is not None:
                found.add(frozenset(some))
    return found


@pytest.mark.parametrize("seeds", _BATCHES, ids=lambda seeds: f"{seeds[0]}-{seeds[-1]}")
def test_same_as_brute_force(seeds: range) -> None:
    seen = 0
    for seed in seeds:
        rng = Random(seed)
        trip, shelf, strict = refused_trip(rng, 150), shelf_of(rng, 2), seed % 4 == 0
        offered = offers(trip, shelf)
        solve = _solve(trip, strict)
        if len(offered) > _MOST_OFFERS or best(solve) is not None:
            continue
        openings = RepairSeater(solve, shelf).openings(2)
        found = {frozenset(offered.index(change) for change in opening.changes) for opening in openings}
        assert found == by_brute_force(trip, offered, shelf, strict), seed
        seen += 1
    assert seen


def test_whether_an_opening_may_give_what_is_asked_is_what_its_seatings_say() -> None:
    told = set()
    for seed in range(20):
        rng = Random(seed)
        trip, shelf = refused_trip(rng, 150), shelf_of(rng, 2)
        solve = _solve(trip, strict=False)
        if best(solve) is not None:
            continue
        seater = RepairSeater(solve, shelf)
        for opening in seater.openings(2):
            seatings, whole = seater.opened(opening)
            assert whole
            for place in {p.position.position for seating in seatings for p in seating.placements}:
                given = any(all(p.position.position != place for p in seating.placements) for seating in seatings)
                assert seater.may_give(opening, lambda p, place=place: p.position.position != place) is given
                told.add(given)
    assert told == {True, False}
