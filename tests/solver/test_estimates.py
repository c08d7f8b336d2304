"""What a placement passes on although nobody measured it makes an arrangement likely, and no more."""

from __future__ import annotations

import pytest
from pinned import Pinned

from seatplan.files.load import load_trip
from seatplan.model import Trip
from seatplan.solver.measure import with_value
from seatplan.solver.plan import plan
from seatplan.solver.results import Arrangement

ANCHOR = ("vehicle", "rows", 1, "tethers", 0)


@pytest.fixture(scope="module")
def pinned() -> Pinned:
    """A child in a harness that needs its tether, hooked to t1: nothing that faces the rear is there for two."""
    trip = load_trip("i-size-family")
    return Pinned(trip.model_copy(update={"restraints": [r for r in trip.restraints if r.restraint != "Rear three"]}))


def _without_the_place(trip: Trip) -> Trip:
    tether = trip.vehicle.rows[1].tethers
    assert tether is not None
    return with_value(trip, ANCHOR, tether[0].model_copy(update={"across": None, "along": None, "up": None}))


def _strap(trip: Trip, length: int) -> Trip:
    for i, restraint in enumerate(trip.restraints):
        for k, mode in enumerate(restraint.modes):
            if mode.tether_length is not None:
                trip = with_value(trip, ("restraints", i, "modes", k, "tether_length"), length)
    return trip


def test_a_strap_that_reaches_wherever_the_anchor_is_makes_it_likely(pinned: Pinned) -> None:
    bare = _without_the_place(pinned.trip)
    judged = pinned.told(bare)[1]
    assert pinned.verdict == "close"
    assert judged is not None
    assert judged.verdict == "likely"
    assert judged.estimates == ("the place of tether anchor t1",)


def test_a_strap_that_may_not_reach_leaves_it_unmeasured(pinned: Pinned) -> None:
    """1,991 mm to the furthest place that is assumed."""
    assert pinned.judge(_strap(_without_the_place(pinned.trip), 1990)) == "unmeasured"
    assert pinned.judge(_strap(_without_the_place(pinned.trip), 1991)) == "likely"


def test_strict_takes_nothing_that_is_only_estimated(pinned: Pinned) -> None:
    bare = _without_the_place(pinned.trip)
    found = plan(bare, pinned.profile, pinned.day, top=None).arrangements
    strict = plan(bare, pinned.profile, pinned.day, top=None, strict=True).arrangements
    assert {a.verdict for a in found if _hooked(a)} == {"likely"}
    assert not any(map(_hooked, strict))


def _hooked(arrangement: Arrangement) -> bool:
    return any(seat.placement.tether == "t1" for row in arrangement.rows for seat in row.seats)
