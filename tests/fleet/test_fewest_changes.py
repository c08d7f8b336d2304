"""A plan made again goes another way in as few bookings as can be: against the second model, for each kind of news."""

from __future__ import annotations

from dataclasses import replace

import pytest
from invented_days import invented, party_of
from second_plan import least

from seatplan.fleet.planning import planned
from seatplan.fleet.records import Booking, Day, DayPlan
from seatplan.fleet.replanning import News, Replanned, replanned

#: before anything has begun
EARLY = 0


def small(seed: int) -> Day:
    return invented(seed, bookings=6, vehicles=3, copies=4, span=300, driver=True)


def legs(plan: DayPlan):
    return {leg.booking: (key, leg.way, leg.load) for key, told in plan.routes.items() for leg in told}


def told(again: Replanned, plan: DayPlan) -> tuple[int, ...]:
    before, now = legs(plan), legs(again.plan)
    return (len(again.day.bookings) - again.plan.served, again.plan.below,
            sum(key in before and before[key] != one for key, one in now.items()), again.plan.changes,
            again.plan.empty_minutes)


def as_it_is(again: Replanned, news: News) -> Day:
    """The day without what is broken."""
    return replace(again.day, vehicles=tuple(one for one in again.day.vehicles if one.key not in news.broken))


def news_of(kind: str, day: Day, plan: DayPlan, now: int) -> News | None:
    used = sorted({copy for told in plan.routes.values() for leg in told for copy in leg.copies})
    match kind:
        case "late":
            return News(now, late=(Booking("late", now + 640, now + 680, "north", "south", party_of(0)),)) if (
                now < 400) else News(now, late=(Booking("late", now + 40, now + 80, "north", "south", party_of(0)),))
        case "broken":
            return News(now, broken=frozenset({max(plan.routes, key=lambda one: len(plan.routes[one]))}))
        case _:
            return News(now, recalled=frozenset(used[:1])) if used else None


@pytest.mark.parametrize("seed", range(12))
@pytest.mark.parametrize("kind", ["late", "broken", "recalled"])
def test_no_fewer_changes_would_do(seed: int, kind: str):
    day = small(seed)
    plan = planned(day)
    news = news_of(kind, day, plan, EARLY) if plan.routes else None
    if news is None:
        return
    again = replanned(day, plan, news)
    assert told(again, plan) == least(as_it_is(again, news), before=legs(plan))[:5]


@pytest.mark.whole
def test_these_days_have_something_to_change():
    changed = {"late": 0, "broken": 0, "recalled": 0}
    for kind in changed:
        for seed in range(12):
            day = small(seed)
            plan = planned(day)
            news = news_of(kind, day, plan, EARLY) if plan.routes else None
            if news is not None:
                changed[kind] += told(replanned(day, plan, news), plan)[2] + 1
    assert min(changed.values()) > 6


@pytest.mark.parametrize("seed", range(12))
@pytest.mark.parametrize("kind", ["late", "broken", "recalled"])
@pytest.mark.parametrize("now", [520, 620])
def test_what_is_under_way_stays_as_it_is(seed: int, kind: str, now: int):
    day = small(seed)
    plan = planned(day)
    news = news_of(kind, day, plan, now) if plan.routes else None
    if news is None:
        return
    again = replanned(day, plan, news)
    before, after = legs(plan), legs(again.plan)
    begun = [one.key for one in day.bookings if one.key in before and one.start <= now]
    assert {key: before[key] for key in begun} == {key: after[key] for key in begun}
    ends = {one.key: one.end for one in day.bookings}
    holds = {leg.booking for told in plan.routes.values() for leg in told if news.recalled & set(leg.copies)}
    assert {one for one in holds if ends[one] > now} <= set(again.touched)
    assert not any(news.recalled & set(leg.copies) for told in again.plan.routes.values() for leg in told
                   if leg.booking not in begun and leg.booking not in again.stranded)
