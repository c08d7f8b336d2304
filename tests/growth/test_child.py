"""One rider through time."""

from __future__ import annotations

from datetime import date, timedelta
from itertools import pairwise

from families import child
from hypothesis import given, settings
from hypothesis import strategies as st

from seatplan import load_trip
from seatplan.geometry.growth_tables import lms_at, value_at
from seatplan.growth.child import Child
from seatplan.growth.family import trip_on
from seatplan.model import Reckoned, Rider
from seatplan.units import Quantity

ON = date(2026, 11, 30)
SIZES = ("mass", "height", "sitting_height", "shoulder_height", "ear_height", "hips", "shoulders", "buttock_knee")


def grown(rider: Rider, day: date, taken: date = ON) -> Reckoned:
    found = Child(rider, taken).on(day)
    assert isinstance(found, Reckoned)
    return found


OSLO = child(sex="boy", born="2022-03-02", mass="17.2 kg", height=1050, sitting_height=590, shoulder_height=360,
             ear_height=490, hips=200, shoulders=265, sits_upright=False)


def test_on_its_own_day_and_before_a_rider_is_as_it_was_written() -> None:
    assert Child(OSLO, ON).on(ON) is OSLO
    assert Child(OSLO, ON).on(ON - timedelta(90)) is OSLO


def test_adults_do_not_grow() -> None:
    adult = child(adult=True, age="34y", height=1680)
    later = Child(adult, ON).on(date(2030, 11, 30))
    assert later is not None
    assert (later.height, later.age, isinstance(later, Reckoned)) == (1680, 38 * 12, False)


def test_every_measured_length_is_reckoned_with_a_band() -> None:
    later = grown(OSLO, date(2028, 11, 30))
    for name in SIZES[:-1]:
        low, likely, high = (getattr(rider, name) for rider in (later.smaller, later, later.larger))
        assert getattr(OSLO, name) <= low <= likely <= high, name
        assert name in ("mass", "height") or later.bands[name] == (low, high)
    assert later.buttock_knee is None
    assert later.since == ON


@settings(max_examples=25)
@given(st.integers(1, 2500))
def test_nobody_shrinks(days: int) -> None:
    kim = Child(OSLO, ON)
    before, after = kim.on(ON + timedelta(days - 1)), kim.on(ON + timedelta(days))
    assert before is not None
    assert after is not None
    assert (before.mass or 0) <= (after.mass or 0)
    assert (before.height or 0) <= (after.height or 0)


@settings(max_examples=25, deadline=None)
@given(st.sampled_from(["girl", "boy", None]), st.integers(30, 720), st.floats(0.75, 1.3), st.floats(0.92, 1.08))
def test_nobody_shrinks_at_24_months(sex: str | None, age: int, heavier: float, taller: float) -> None:
    """From a measurement in the first two years, over the day on which lying gives way to standing and WHO to CDC."""
    months = age / 30.4375
    kim = Child(child(sex=sex, born=(ON - timedelta(age)).isoformat(),
                      mass=f"{heavier * lms_at('mass', 'girl', months).m:.2f} kg",
                      height=round(taller * lms_at("height", "girl", months).m)), ON)
    sizes = []
    for day in range(715, 790):
        found = kim.on(ON + timedelta(day - age))
        assert found is not None
        three = (found.smaller, found, found.larger) if isinstance(found, Reckoned) else (found,) * 3
        sizes.append([float(size) for one in three for size in (one.mass or 0, one.height or 0)])
    for before, after in pairwise(sizes):
        assert all(b <= a for b, a in zip(before, after, strict=True))


def test_the_latest_measurement_counts_from_its_own_day() -> None:
    """Undated sizes hold on the day of travel; those that are only dated are reckoned from their own day."""
    kim = child(sex="girl", born="2023-05-12", mass="15.2 kg", height=980,
                measured=[{"on": "2026-08-30", "mass": "15.2 kg", "height": 980}])
    later = grown(kim, ON)
    assert later.since == date(2026, 8, 30)
    assert (later.mass or 0) > 15.2
    undated = kim.model_copy(update={"mass": Quantity("15.9 kg")})
    assert grown(undated, ON).mass == Quantity("15.9 kg")


def test_an_age_in_years_may_be_all_but_a_year_more() -> None:
    """A child of "5y" with 20 kg is 5 or nearly 6: two channels, so a wider range, and an upper age limit looks at the
    older reading."""
    told, known = child(sex="girl", age="5y", mass="20.0 kg", height=1100), child(
        sex="girl", born="2021-11-30", mass="20.0 kg", height=1100)
    day = date(2029, 11, 30)
    wide, narrow = grown(told, day), grown(known, day)
    assert (wide.age, wide.larger.age) == (8 * 12, 9 * 12)
    assert (wide.larger.height or 0) - (wide.smaller.height or 0) > (
        narrow.larger.height or 0) - (narrow.smaller.height or 0)


def test_without_an_age_nothing_is_known_of_a_later_day() -> None:
    later = grown(child(mass="12.0 kg", height=900, shoulder_height=320), date(2027, 11, 30))
    assert (later.mass, later.height, later.shoulder_height) == (None, None, None)


def test_not_upright_is_asked_again_after_the_fifth_birthday_and_half_a_year() -> None:
    assert grown(OSLO, date(2027, 3, 1)).sits_upright is False
    assert grown(OSLO, date(2027, 5, 31)).sits_upright is False          # five since 2 March, noted 182 days ago
    assert grown(OSLO, date(2027, 6, 1)).sits_upright is None


def test_a_child_that_is_due_joins_on_that_day() -> None:
    trip = load_trip("third-child-on-the-way")
    assert trip.on is not None
    due = date(2027, 3, 20)
    before, after = trip_on(trip, due - timedelta(1), trip.on), trip_on(trip, due, trip.on)
    assert [r.rider for r in before.riders] == ["Marit", "Liv", "Jonas"]
    newborn = after.riders[-1]
    assert isinstance(newborn, Reckoned)
    assert (newborn.rider, newborn.born, newborn.due) == ("Minnow", due, None)
    # the least 1st and the greatest 99th percentile of girls and boys at birth by the LMS of CDC 2000, about its
    # medians and about WHO's; kept to 10 g, outwards
    found = [value_at(lms_at("mass", sex, 0.0, chart=chart), z)
             for sex in ("girl", "boy") for chart in ("cdc", "who") for z in (-2.3263, 2.3263)]
    ends = min(found), max(found)
    assert newborn.smaller.mass is not None
    assert newborn.larger.mass is not None
    assert 0 <= ends[0] - float(newborn.smaller.mass) < 0.01
    assert 0 <= float(newborn.larger.mass) - ends[1] < 0.01


def test_a_reckoned_shoulder_keeps_its_share_of_the_sitting_height() -> None:
    """UN R129 (03 series) Annex 8 has 0.63 and ANSUR II up to 0.67; 0.70 is the most."""
    tall = child(sex="girl", born="2026-01-10", mass="8.2 kg", height=700, sitting_height=445, shoulder_height=320)
    for months in (2, 6, 12, 24):
        later = grown(tall, date(2026, 11, 30) + timedelta(30 * months))
        assert isinstance(later, Reckoned)
        for rider in (later.smaller, later, later.larger):
            assert rider.shoulder_height is not None
            assert rider.sitting_height is not None
            assert 320 <= rider.shoulder_height <= max(320, 70 * rider.sitting_height // 100)
