"""Of whom only an age is known grows older too, and the age stays no surer than it was written."""

from __future__ import annotations

import csv
from collections.abc import Iterator
from datetime import date, timedelta
from pathlib import Path
from statistics import NormalDist
from typing import Any

import pytest

from seatplan.files.load import load_trip
from seatplan.growth.child import Child
from seatplan.growth.family import Family
from seatplan.growth.stretches import Solver
from seatplan.growth.watch import Watch
from seatplan.model import Rider
from seatplan.model.estimated import EstimatedRider
from seatplan.rules.load import load_profile
from seatplan.solver.solve import Solve
from seatplan.store import Store

TAKEN = date(2026, 11, 30)
LATER = date(2028, 11, 30)


def on(day: date, **said: Any) -> EstimatedRider:
    rider = Child(Rider.model_validate({"rider": "A", **said}), TAKEN).on(day)
    assert isinstance(rider, EstimatedRider)
    return rider


def mass(rider: EstimatedRider) -> tuple[float, float]:
    smallest, _, largest = rider.corners
    assert smallest.mass is not None
    assert largest.mass is not None
    return float(smallest.mass), float(largest.mass)


def test_a_band_of_ages_is_two_years_older_after_two_years() -> None:
    later = on(LATER, age=["4y", "7y"])
    assert later.ages == (72, 108)
    assert mass(later) == pytest.approx(mass(on(TAKEN, age=["6y", "9y"])), abs=0.03)


def test_the_oldest_of_a_band_is_as_old_as_a_child_of_that_age_can_be() -> None:
    assert mass(on(TAKEN, age=["4y", "7y"]))[1] == mass(on(TAKEN, age="7y"))[1]


@pytest.mark.parametrize("month", range(1, 13))
def test_an_age_in_years_may_be_all_but_a_year_more_on_every_later_day(month: int) -> None:
    """3 years, written on the last of November: of one who has just turned 3, and of one who turns 4 tomorrow."""
    day = date(2027, month, 28)
    low, high = mass(on(day, age="3y"))
    assert low == pytest.approx(mass(on(day, born="2023-11-30"))[0], abs=0.03)
    assert high == pytest.approx(mass(on(day, born="2022-12-01"))[1], abs=0.1)


@pytest.mark.parametrize("sex", [{}, {"sex": "girl"}, {"sex": "boy"}])
def test_nobody_shrinks_at_24_months(sex: dict[str, str]) -> None:
    """Where lying gives way to standing, and two charts to one; nor in any other month of the first four years."""
    kim = Child(Rider.model_validate({"rider": "A", "born": "2026-11-30", **sex}), TAKEN)
    before = None
    for day in (*range(0, 710, 10), *range(710, 790), *range(790, 1461, 10)):
        found = kim.on(TAKEN + timedelta(day))
        assert isinstance(found, EstimatedRider)
        now = [float(size) for corner in found.corners for size in (corner.mass or 0, corner.height or 0)]
        assert before is None or all(b <= a for b, a in zip(before, now, strict=True)), day
        assert now[0] < now[2] < now[4]
        assert now[1] < now[3] < now[5]
        before = now


def infants() -> Iterator[tuple[str, str, float, float, float]]:
    """Published sizes under 24 months, from WHO's and CDC's own columns: sex, measure, age in months, size, and its
    z by the chart that it is of."""
    with (Path(__file__).parent / "check_values.csv").open(encoding="utf-8") as file:
        for row in csv.DictReader(file):
            age = float(row["age_months"])
            if row["kind"] == "published" and age < 24:
                name = row["statistic"]
                z = float(name[2:]) if name.startswith("z=") else NormalDist().inv_cdf(float(name[1:]) / 100)
                mass = "weight" in row["chart"]
                yield ("boy" if row["sex"] == "M" else "girl", "mass" if mass else "height", age,
                       float(row["value"]) * (1 if mass else 10), z)


INFANTS = list(infants())


def test_published_sizes_under_24_months_lie_within_what_an_age_alone_says() -> None:
    assert len(INFANTS) >= 24
    for sex, measure, age, size, z in INFANTS:
        born = TAKEN - timedelta(round(age * 30.4375))
        smallest, middle, largest = on(TAKEN, sex=sex, born=born.isoformat()).corners
        low, likely, high = (float(getattr(corner, measure)) for corner in (smallest, middle, largest))
        assert low <= size <= high, (sex, measure, age, size)
        if not z:
            assert likely == pytest.approx(size, rel=0.05)


BARE = dict.fromkeys(("mass", "height", "sitting_height", "shoulder_height", "ear_height", "shoulders", "hips"))


@pytest.mark.parametrize("name", ["borrowed-bars", "grandparents-old-car", "two-seater-airbag-off"])
def test_a_later_day_of_an_outlook_says_what_is_said_of_that_day_alone(name: str) -> None:
    """What a child is estimated to have outgrown since another day is asked again."""
    trip = load_trip(name)
    trip = trip.model_copy(update={"riders": [
        rider if rider.adult else rider.model_copy(update={**BARE, "measured": []}) for rider in trip.riders]})
    profile, start, end = load_profile(trip.rules), trip.on or TAKEN, (trip.on or TAKEN) + timedelta(1000)
    family = Family(trip, start)
    solver = Solver(family, profile)
    solver.watch = Watch(family, profile, start, end)
    told = set()
    for days in (0, 200, 500, 1000):
        day = start + timedelta(days)
        alone = Solve(family.on(day), profile, day, each_copy=True, store=Store())
        assert said(solver._solve(day)) == said(alone), day
        told |= {cell[:2] for choice in said(alone) for cell in choice[-1]}
    assert (False, True) in told or name == "two-seater-airbag-off"


def said(solve: Solve) -> list[tuple[Any, ...]]:
    """Every choice, with whether a cell of it is open, likely, close."""
    return [(choice.rider, choice.position, choice.restraint, choice.mode,
             tuple((cell.unmeasured, bool(cell.estimates), cell.close) for cell in choice.cells))
            for own in solve.choices.per_rider for choice in own]
