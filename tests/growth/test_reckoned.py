"""A rule about reckoned sizes: never in the user's favour."""

from __future__ import annotations

from datetime import date, timedelta
from itertools import product

import pytest

from seatplan import arrange, load_trip
from seatplan.fields import Missing
from seatplan.growth.family import trip_on
from seatplan.model import Reckoned
from seatplan.rules.finding import Result, cautions, fails, lacks, passes
from seatplan.rules.load import load_profile
from seatplan.rules.reckoned import merged
from seatplan.solver.plan import plan

PASS, FAIL, CARE = passes(1, 2, "kg"), fails(3, 2, "kg", 1), cautions(3, 2, "kg")
OPEN = lacks(Missing("mass", "weigh", "kg"), 2)
#: from best to worst
ORDER = ("pass", "caution", "unmeasured", "fail")


@pytest.mark.parametrize("ends", list(product([PASS, FAIL, CARE, OPEN, None], repeat=2)))
@pytest.mark.parametrize("likely", [PASS, CARE, OPEN, None])
@pytest.mark.parametrize("must", [True, False])
def test_never_better_than_any_of_the_three(likely: Result | None, ends: tuple[Result | None, ...], must: bool) -> None:
    """A failing at an end is open under a must and a failing (so a caution) under good practice."""
    told = merged(likely, list(ends), "Kim", must)
    three = [r for r in (likely, *ends) if r is not None]
    if not three:
        assert told is None
        return
    assert told is not None
    worst = max((r.outcome for r in three), key=ORDER.index)
    if worst == "fail":
        assert told.outcome == ("unmeasured" if must else max(
            (r.outcome for r in three if r.outcome in ("unmeasured", "fail")), key=("fail", "unmeasured").index))
    else:
        assert told.outcome == worst
    if told.outcome == "unmeasured" and FAIL in three and must:
        assert told.settles_at == 2


def test_a_later_day_reckons_and_the_day_itself_does_not() -> None:
    trip = load_trip("three-across-school-run")
    assert trip.on is not None
    now = trip_on(trip, trip.on, trip.on)
    assert now.riders == trip.riders
    later = trip_on(trip, trip.on + timedelta(1), trip.on)
    assert [isinstance(rider, Reckoned) for rider in later.riders] == [False, True, True, True]


@pytest.mark.parametrize("days", [1, 400, 900])
def test_no_reckoned_arrangement_is_better_than_likely(days: int) -> None:
    trip = load_trip("tall-driver")
    assert trip.on is not None
    day = trip.on + timedelta(days)
    found = plan(trip_on(trip, day, trip.on), load_profile("us"), day, top=None)
    assert found.tally.sure["fits"] == 0
    assert found.tally.valid == len(found.arrangements) == sum(found.tally.sure.values())
    assert {a.verdict for a in found.arrangements} <= {"likely", "unmeasured"}


def test_near_a_limit_it_is_open_and_past_the_likely_day_it_is_a_no() -> None:
    """Mina, 10.8 kg, in Bastion: whatever the likely child fails is blocked, what only the larger fails is open."""
    trip = load_trip("tall-driver")
    assert trip.on is not None
    seen: set[tuple[str, str]] = set()
    for days in range(0, 2900, 100):
        day = trip.on + timedelta(days)
        grown = trip_on(trip, day, trip.on)
        mina = grown.riders[-1]
        found = plan(grown, load_profile("us"), day, top=1)
        for cell in found.choices.cells():
            for finding in cell.findings:
                if finding.rule != "child-too-heavy":
                    continue
                limit = float(finding.result.limit or finding.result.settles_at or 0)
                larger = mina.larger.mass if isinstance(mina, Reckoned) else mina.mass
                assert mina.mass is not None
                assert larger is not None
                told = "block" if mina.mass > limit else "unmeasured" if larger > limit else "pass"
                assert finding.outcome == told
                seen.add((finding.rule, told))
    assert len(seen) == 3


def test_a_child_that_is_not_born_is_never_seated() -> None:
    trip = load_trip("third-child-on-the-way")
    for day in (date(2026, 11, 28), date(2027, 3, 19)):
        found = plan(trip.model_copy(update={"on": day}), load_profile("us"), day)     # straight to the planner
        assert "Minnow" not in {r.rider for r in found.trip.riders}
        assert all(len(a.seats) == 3 for a in found.arrangements)
    assert arrange(trip).verdict == "fits"


def test_reckoned_arrangements_come_best_first_and_complete() -> None:
    trip = load_trip("three-boosters-two-belts")
    assert trip.on is not None
    day = trip.on + timedelta(500)
    grown = trip_on(trip.model_copy(update={"riders": trip.riders[:-1]}), day, trip.on)
    found = plan(grown, load_profile("us"), day, top=None)
    costs = [arrangement.cost for arrangement in found.arrangements]
    assert costs == sorted(costs)
    assert len(costs) == found.tally.valid > 3
    first = plan(grown, load_profile("us"), day, top=3).arrangements
    assert [a.cost for a in first] == costs[:3]
