"""The plan of small days against every plan that there is, and its copies against the clock."""

from __future__ import annotations

from collections import defaultdict
from itertools import pairwise

import pytest
from invented_days import invented
from plain_plan import best

from seatplan.fleet.floor import floors, may_be_used
from seatplan.fleet.planning import planned, work_of
from seatplan.fleet.records import Day, DayPlan

# few of everything, so that each of the limits bites somewhere
SMALL = [{"bookings": 4, "vehicles": 2, "depots": 1 + seed % 2, "copies": 2 + seed % 2, "levels": 1 + seed // 2 % 2,
          "span": (120, 200, 400)[seed % 3]} for seed in range(36)]


@pytest.mark.parametrize("seed", range(len(SMALL)))
def test_no_plan_is_better(seed: int):
    day = invented(seed, **SMALL[seed])
    plan = planned(day)
    least = {booking.key: floor.level or (-1,) for booking, floor in zip(day.bookings, floors(day), strict=True)}
    assert plan.proven
    assert plan.bound == plan.served
    assert (len(day.bookings) - plan.served, plan.below, plan.changes, plan.empty_minutes,
            max(plan.shares.values())) == best(day, least)


def test_some_of_these_days_are_short_of_something():
    plans = [planned(invented(seed, **told)) for seed, told in enumerate(SMALL)]
    assert sum(plan.served < 4 for plan in plans) > 5
    assert sum(plan.changes > 0 for plan in plans) > 5
    assert sum(plan.served == 4 for plan in plans) > 2


@pytest.mark.parametrize("seed", range(8))
def test_every_leg_holds_by_itself(seed: int):
    day = invented(seed, bookings=14, vehicles=5, copies=5, kinds=3, levels=2)
    plan = planned(day)
    check(day, plan)
    assert plan.served


def test_the_same_day_gives_the_same_plan():
    day = invented(5, bookings=12, vehicles=4, copies=4)
    assert repr(planned(day)) == repr(planned(day))


def check(day: Day, plan: DayPlan) -> None:
    """Times, pieces and copies of a plan, each by itself."""
    bookings = {booking.key: booking for booking in day.bookings}
    copies = {copy.key: copy for copy in day.copies}
    units = {unit.key: unit for unit in day.vehicles}
    served = [leg.booking for legs in plan.routes.values() for leg in legs]
    assert len(served) == len(set(served))
    assert set(served) | set(plan.unserved) == set(bookings)
    used = defaultdict(list)
    work = work_of(day)
    floor_of = dict(zip(bookings, work.floors, strict=True))
    for key, legs in plan.routes.items():
        before = None
        for leg in legs:
            booking, unit = bookings[leg.booking], units[key]
            assert leg.way in day.answers[unit.vehicle_type, booking.party].ways
            assert leg.way.level == floor_of[leg.booking].level
            assert {(seat.kind, seat.position, seat.by or "") for seat in leg.way.seats if seat.kind} <= set(leg.load)
            for piece, copy in zip(leg.load, leg.copies, strict=True):
                assert (copies[copy].kind, copies[copy].depot) == (piece[0], unit.depot)
                assert may_be_used(copies[copy], booking.start, booking.end, day.date)
                used[copy].append((booking.start, booking.end, key))
            if before is not None:
                there = day.travel[bookings[before.booking].goal, booking.origin]
                by_depot = (day.travel[bookings[before.booking].goal, unit.depot]
                            + day.travel[unit.depot, booking.origin])
                assert bookings[before.booking].end + (by_depot if leg.by_depot else there) <= booking.start
                assert leg.by_depot or leg.load == before.load
                assert leg.by_depot or leg.copies == before.copies
                if not leg.changes:
                    assert leg.copies == before.copies
            before = leg
    for times in used.values():
        times.sort()
        assert all(one[1] <= other[0] for one, other in pairwise(times))
