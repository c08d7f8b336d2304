"""Findings through time: the days found by halving against asking on the day itself, and dates worked by hand."""

from __future__ import annotations

import csv
from datetime import date, timedelta
from pathlib import Path
from random import Random

import pytest
from families import child, watched

import seatplan
from seatplan import load_trip
from seatplan.files.library import names
from seatplan.growth.family import Family
from seatplan.growth.limits import Stay, stays
from seatplan.growth.watch import Watch
from seatplan.model import Trip
from seatplan.rules.load import load_profile
from seatplan.rules.run import Runner
from seatplan.rules.subjects import Placement, RuleContext
from seatplan.solver.kinds import apart
from seatplan.solver.placements import all_choices
from seatplan.units import Quantity

Key = tuple[object, ...]
#: both sides are asked as it is written here; what is estimated is filled in by a solve alone
WRITTEN = [name for name in names("trip") if load_trip(name).vehicle.not_measured is None]
STATURE = list(csv.reader((Path(seatplan.__file__).parent / "data/growth/cdc2000_stature_for_age_24_240m.csv")
                          .read_text(encoding="utf-8").splitlines()))[1:]


def key_of(p: Placement) -> Key:
    held = None if p.mode is None or p.installation is None else p.mode.installations.index(p.installation)
    return (p.rider.rider, p.position.position, p.restraint and p.restraint.restraint, p.mode_name, held, p.bars,
            p.tether)


def asked_on(trip: Trip, day: date) -> dict[Key, dict[str, str]]:
    """What every rule says of every placement, by a solve's own way, with nothing kept of another day."""
    profile = load_profile(trip.rules)
    cells = all_choices(trip, Runner(RuleContext(trip, trip.vehicle, profile, day)), apart(trip)).cells()
    return {key_of(c.placement): {f.rule: f.outcome for f in c.findings} for c in cells}


def followed_on(watch: Watch, day: date) -> dict[Key, dict[str, str]]:
    there = {rider.rider for rider in watch.family.on(day).riders}
    return {key_of(w.placement): {c.rule.id: said.together for c in w.checks if (said := c.steps.on(day)).together}
            for w in watch.placements if w.placement.rider.rider in there}


@pytest.mark.parametrize("drawn", [2, pytest.param(8, marks=pytest.mark.whole)])
@pytest.mark.parametrize("name", WRITTEN)
def test_followed_findings_are_those_of_the_day(name: str, drawn: int) -> None:
    """Four years of every bundled trip: the ends, the days before and on some changes, and days drawn by chance."""
    watch, rng = watched(name), Random(name)
    days = {watch.start, watch.start + timedelta(1), watch.end}
    for change in rng.sample(watch.event_days(), min(drawn, len(watch.event_days()))):
        days |= {change, change - timedelta(1)}
    days |= {watch.start + timedelta(rng.randrange((watch.end - watch.start).days)) for _ in range(drawn)}
    for day in sorted(days):
        assert followed_on(watch, day) == asked_on(watch.family.on(day), day), day


@pytest.mark.parametrize("years", [1, pytest.param(4, marks=pytest.mark.whole)])
@pytest.mark.parametrize("name", ["two-seater-airbag-off"])
def test_no_change_is_missed_day_by_day(name: str, years: int) -> None:
    """Every day of some years: an answer that differs from the day before is an event, and nothing else is one."""
    watch = watched(name, years)
    changed = []
    before = asked_on(watch.family.on(watch.start), watch.start)
    for n in range(1, (watch.end - watch.start).days + 1):
        day = watch.start + timedelta(n)
        now = asked_on(watch.family.on(day), day)
        if now != before:
            changed.append(day)
        before = now
    together = {day for check in watch.checks for k, day in enumerate(check.steps.days[1:], 1)
                if check.steps.said[k].together != check.steps.said[k - 1].together}
    assert len(changed) > years
    assert sorted(together) == changed
    assert together <= set(watch.event_days())


@pytest.mark.parametrize("name", ["third-child-on-the-way", "two-seater-airbag-off"])
def test_a_status_is_what_all_checks_say_together(name: str) -> None:
    watch = watched(name)
    for one in watch.placements:
        assert [day for day, _ in one.statuses] == [watch.start, *one.days()]
        for day in {watch.start, watch.end, *one.days(), *(day - timedelta(1) for day in one.days())}:
            said = [check.steps.on(day).together for check in one.checks]
            assert one.status(day) == ("block" in said, "unmeasured" in said, said.count("caution")), day


def small_trip(**rider: object) -> Trip:
    """One child and one restraint in a bundled car."""
    trip = load_trip("two-seater-airbag-off")
    return trip.model_copy(update={"on": date(2026, 1, 10), "riders": [trip.riders[0], child(**rider)],
                                   "restraints": trip.restraints[1:]})


def stay_of(trip: Trip, end: date, mode: str) -> Stay:
    assert trip.on is not None
    watch = Watch(Family(trip, trip.on), load_profile("us"), trip.on, end)
    return next(s for s in stays(watch) if s.mode == mode and s.by == "lap-shoulder-belt")


def test_by_hand_a_girl_on_the_median_leaves_the_rear_facing_mode() -> None:
    """Slim takes up to 15.9 kg rear-facing. A girl with the median mass keeps z = 0, where the value is M itself.

    cdc2000_weight_for_age_24_240m, F: M = 12.05503983 at 24 months and 12.13455523 at 24.5. On 10 January 2026, 731
    days or 24.01643 months old, that is 12.05503983 + 0.03285 x 0.07951540 = 12.05765. Masses are kept to 10 g, so that
    15.9 is passed from 15.905 on, which lies between M = 15.87823668 at 48.5 months and 16.04978452 at 49.5:
    (15.905 - 15.87823668) / 0.17154784 = 0.15601, so at 48.65601 months, which is 1,480.97 days. The first whole day is
    the 1,481st after her birth on 10 January 2024: 366 + 365 + 365 + 365 days to 10 January 2028, and 20 more.
    """
    trip = small_trip(sex="girl", born="2024-01-10", mass="12.05765 kg", height=850, sitting_height=400,
                      shoulder_height=300)
    ends = stay_of(trip, date(2029, 1, 10), "rear-facing-harness").closes
    assert ends is not None
    assert ends.finding.rule == "child-too-heavy"
    assert ends.window.likely == date(2028, 1, 30)


def test_by_hand_a_boy_on_the_median_is_too_tall_for_the_harness() -> None:
    """Slim takes up to 1,245 mm facing forward. A boy with the median stature keeps z = 0.

    cdc2000_stature_for_age_24_240m, M: the median is 124.4 to 125.1 cm between 89.5 and 91.5 months; the rows are in
    the assertion below. Statures are kept to 1 mm, so 1,245 is passed from 1,245.5 on.
    """
    rows = {float(age): float(m) for age, sex, _, m, _ in STATURE if sex == "M"}
    start = date(2026, 1, 10)
    born = date(2020, 1, 10)                                       # 2,192 days: 72.0164 months
    now = rows[71.5] + (72.0164 - 71.5) * (rows[72.5] - rows[71.5])
    at = next(age for age in rows if rows[age] <= 124.55 < rows.get(age + 1, 0))
    months = at + (124.55 - rows[at]) / (rows[at + 1] - rows[at])
    trip = small_trip(sex="boy", born=str(born), mass="20.7 kg", height=round(now * 10), sits_upright=True)
    ends = stay_of(trip, start.replace(year=2029), "forward-facing-harness").closes
    assert ends is not None
    assert ends.finding.rule == "child-too-tall"
    assert ends.window.likely is not None
    # the stature was rounded to 1 mm, which is about 5 days of growth
    assert abs((ends.window.likely - born).days - months * 30.4375) <= 5


def test_by_hand_a_boy_on_the_median_may_face_forward() -> None:
    """Slim faces forward from 24 months, 10 kg and 711 mm: this boy has mass and stature, so that his second birthday
    decides however he grows."""
    trip = small_trip(sex="boy", born="2025-01-10", mass="11.3 kg", height=760, sitting_height=470, shoulder_height=290)
    opens = stay_of(trip, date(2028, 1, 10), "forward-facing-harness").opens
    assert opens is not None
    assert opens.window.exact
    assert opens.window.likely == date(2027, 1, 10)


def test_a_last_day_of_use_has_no_range() -> None:
    trip = small_trip(sex="boy", born="2025-01-10", mass="10.3 kg", height=760, sitting_height=470, shoulder_height=290)
    old = trip.restraints[0].model_copy(update={"made": date(2017, 5, 1)})       # ten years: good up to 1 May 2027
    ends = stay_of(trip.model_copy(update={"restraints": [old]}), date(2028, 1, 10), "rear-facing-harness").closes
    assert ends is not None
    assert (ends.finding.rule, ends.window.exact) == ("restraint-expired", True)
    assert ends.window.likely == date(2027, 5, 2)


def test_the_lower_anchors_end_before_the_belt() -> None:
    """Liv on the lower anchors of Nook facing forward: 20.4 kg; with the belt up to 1,245 mm."""
    own = {s.by: s.closes for s in stays(watched("third-child-on-the-way"))
           if (s.rider, s.restraint, s.mode) == ("Liv", "Nook", "forward-facing-harness")}
    anchors, belt = own["lower-anchors"], own["lap-shoulder-belt"]
    assert anchors is not None
    assert belt is not None
    assert (anchors.finding.rule, anchors.finding.result.limit) == ("lower-anchors-overloaded", Quantity("20.4 kg"))
    assert (belt.finding.rule, belt.finding.result.limit) == ("child-too-tall", 1245)
    for limit in (anchors, belt):
        early, likely, late = limit.window
        assert early is not None
        assert likely is not None
        assert early < likely
        assert late is None or likely < late
