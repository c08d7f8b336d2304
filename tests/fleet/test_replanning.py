"""A plan made again: what has begun stays, what need not change does not, and what is touched is named."""

from __future__ import annotations

from dataclasses import replace

import pytest
from invented_days import invented, party_of
from test_plan_optimum import check

from seatplan.fleet.planning import planned
from seatplan.fleet.records import Booking
from seatplan.fleet.replanning import News, replanned

ROOMY = {"bookings": 9, "vehicles": 6, "copies": 9, "span": 400, "driver": True}


@pytest.mark.parametrize("seed", range(8))
@pytest.mark.parametrize("now", [0, 560, 700])
def test_no_news_changes_nothing(seed: int, now: int):
    day = invented(seed, **ROOMY)
    plan = planned(day)
    again = replanned(day, plan, News(now))
    assert again.changes == ()
    assert again.touched == ()
    assert again.plan.served == plan.served


@pytest.mark.parametrize("seed", range(8))
def test_a_late_booking_is_served_beside_the_others_where_that_can_be(seed: int):
    day = invented(seed, **ROOMY)
    plan = planned(day)
    late = Booking("late", 700, 730, "north", "south", party_of(0))
    again = replanned(day, plan, News(600, late=(late,)))
    check(again.day, again.plan)
    assert again.plan.served >= plan.served
    assert again.touched == ("late",)
    best = planned(replace(day, bookings=(*day.bookings, late)))
    assert again.plan.served <= best.bound
    # whatever else changes, it makes room for one more
    if again.plan.served == plan.served:
        assert all(change.booking == "late" for change in again.changes)


@pytest.mark.parametrize("seed", range(8))
def test_a_breakdown_touches_what_the_vehicle_had_left_to_do(seed: int):
    day = invented(seed, **ROOMY)
    plan = planned(day)
    key = max(plan.routes, key=lambda one: len(plan.routes[one]))
    now = 560
    again = replanned(day, plan, News(now, broken=frozenset({key})))
    ends = {booking.key: booking.end for booking in day.bookings}
    assert set(again.touched) == {leg.booking for leg in plan.routes[key] if ends[leg.booking] > now}
    left = [leg.booking for leg in again.plan.routes.get(key, ())]
    assert all(ends[one] <= now or one in again.stranded for one in left)
    served = {leg.booking for legs in again.plan.routes.values() for leg in legs}
    assert served | set(again.plan.unserved) == set(ends)
    changed = {change.booking for change in again.changes}
    assert set(again.touched) - set(again.stranded) <= changed


@pytest.mark.parametrize("seed", range(8))
def test_a_recall_touches_every_booking_with_that_copy(seed: int):
    day = invented(seed, **ROOMY)
    plan = planned(day)
    copies = [copy for legs in plan.routes.values() for leg in legs for copy in leg.copies]
    assert copies, "each of these days has something aboard"
    copy = max(sorted(set(copies)), key=copies.count)
    again = replanned(day, plan, News(0, recalled=frozenset({copy})))
    assert set(again.touched) == {leg.booking for legs in plan.routes.values() for leg in legs if copy in leg.copies}
    assert again.stranded == ()
    assert all(copy not in leg.copies for legs in again.plan.routes.values() for leg in legs)
    check(again.day, again.plan)


def test_what_is_decided_in_a_small_circle_is_as_good_as_with_all_free(monkeypatch: pytest.MonkeyPatch):
    from seatplan.fleet import replanning

    seen = []
    best = replanning.best
    monkeypatch.setattr(replanning, "best", lambda *args: seen.append(best(*args)) or seen[-1])
    for seed in range(6):
        day = invented(seed, **ROOMY)
        plan = planned(day)
        key = max(plan.routes, key=lambda one: len(plan.routes[one]))
        seen.clear()
        replanned(day, plan, News(0, broken=frozenset({key})))
        quick = seen[-1].values[:3]
        work = replanning._Rest
        held = work.solved

        def everything(self, touched, limit, held=held):
            return held(self, {booking.key for booking in self.work.day.bookings}, limit)

        monkeypatch.setattr(work, "solved", everything)
        seen.clear()
        replanned(day, plan, News(0, broken=frozenset({key})))
        monkeypatch.setattr(work, "solved", held)
        assert seen[-1].values[:3] == quick
