"""Of whom only an age is known grows older too, and the age stays no surer than it was written."""

from __future__ import annotations

from datetime import date, timedelta
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
