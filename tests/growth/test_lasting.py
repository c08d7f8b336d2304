"""How long each rider stays as now, held against the planner's own findings on the days around each date."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from functools import lru_cache

import pytest
from families import years

from seatplan import load_trip
from seatplan.growth.family import trip_on
from seatplan.growth.lasting import Lasting, lasting
from seatplan.growth.limits import Window
from seatplan.rules.load import load_profile
from seatplan.rules.subjects import Placement
from seatplan.solver.placements import JudgedPlacement
from seatplan.solver.plan import plan
from seatplan.solver.solve import Solve
from seatplan.views.lasts_text import ALONE, lasts_text

TRIPS = ("two-seater-airbag-off", "borrowed-bars", "grandparents-old-car", "half-measured-car",
         "three-across-school-run")
EACH = pytest.mark.parametrize("name", TRIPS)
DAY = timedelta(1)


@lru_cache
def found(name: str) -> tuple[dict[str, Lasting], dict[str, Placement]]:
    trip = load_trip(name)
    assert trip.on is not None
    profile = load_profile(trip.rules)
    best = plan(trip_on(trip, trip.on, trip.on), profile, trip.on, top=1).arrangements[0]
    seated = {seat.placement.rider.rider: seat.placement for seat in best.seats}
    return lasting(trip, profile, trip.on, years(trip, 3), trip.on, seated.values()), seated


@lru_cache
def cells(name: str, day: date) -> tuple[JudgedPlacement, ...]:
    """What the planner says of every placement of the trip on a day."""
    trip = load_trip(name)
    assert trip.on is not None
    return tuple(Solve(trip_on(trip, day, trip.on), load_profile(trip.rules), day).choices.cells())


def cell(name: str, like: Placement, day: date) -> JudgedPlacement:
    """The same seat, restraint, mode and way to be held, on another day."""
    def key(p: Placement) -> tuple[object, ...]:
        return (p.rider.rider, p.position.position, p.restraint.restraint if p.restraint else None, p.mode_name, p.by,
                p.bars, p.tether, p.installation)

    return next(c for c in cells(name, day) if key(c.placement) == key(like))


def outcomes(of: JudgedPlacement) -> set[str]:
    return {finding.outcome for finding in of.findings}


@EACH
def test_it_is_over_on_the_likely_day_and_not_the_day_before(name: str) -> None:
    told, seated = found(name)
    assert told
    for rider, one in told.items():
        assert one.known
        likely = one.closes.window.likely if one.closes else None
        if likely is None:
            assert "block" not in outcomes(cell(name, seated[rider], one.end))
        else:
            assert "block" in outcomes(cell(name, seated[rider], likely))
            assert "block" not in outcomes(cell(name, seated[rider], likely - DAY))


@EACH
def test_it_hangs_on_a_measurement_from_the_day_that_is_named(name: str) -> None:
    told, seated = found(name)
    trip = load_trip(name)
    for rider, one in told.items():
        assert one.unsure == (one.measure == trip.on)
        if one.measure is not None:
            assert "unmeasured" in outcomes(cell(name, seated[rider], one.measure))
            if not one.unsure:
                assert "unmeasured" not in outcomes(cell(name, seated[rider], one.measure - DAY))


def test_of_a_later_day_nothing_is_to_be_measured_before_it() -> None:
    trip = load_trip("borrowed-bars")
    assert trip.on is not None
    profile, later = load_profile(trip.rules), date(2028, 6, 1)
    _, seated = found("borrowed-bars")
    told = lasting(trip, profile, trip.on, years(trip, 3), later, seated.values())
    assert told["Rosa"].measure == later
    assert told["Rosa"].unsure
    with pytest.raises(ValueError, match="is not after"):
        lasting(trip, profile, trip.on, later, later, seated.values())


def test_without_an_age_nothing_is_promised() -> None:
    trip = load_trip("two-seater-airbag-off")
    assert trip.on is not None
    riders = [r if r.adult else r.model_copy(update={"age": None, "born": None}) for r in trip.riders]
    _, seated = found("two-seater-airbag-off")
    told = lasting(trip.model_copy(update={"riders": riders}), load_profile(trip.rules), trip.on, years(trip, 1),
                   trip.on, seated.values())
    assert told
    for rider, one in told.items():
        assert lasts_text(one) == (f"How long it lasts could not be reckoned for {rider}; a day of birth in the trip "
                                   "helps.")


def test_in_words() -> None:
    rosa = found("borrowed-bars")[0]["Rosa"]
    limit = rosa.closes
    assert limit is not None
    early, likely, late = limit.window
    why = "Rosa is taller than 1,245 mm, the most for Lattice"
    assert lasts_text(rosa) == (
        f"Lasts until about {likely} ({early} .. {late}): {why}; measure again by {early}. {ALONE}")
    later = replace(rosa, closes=replace(limit, window=Window(early, likely, None)))
    assert f"({early} .. beyond {rosa.end}): {why}" in lasts_text(later)
    perhaps = replace(rosa, closes=replace(limit, window=Window(early, None, None)))
    assert lasts_text(perhaps).startswith(f"Lasts likely beyond {rosa.end}, but perhaps only until {early}: {why}")
    exact = replace(rosa, closes=replace(limit, window=Window(likely, likely, likely)), measure=None)
    assert lasts_text(exact) == f"Lasts until {likely}: {why}. {ALONE}"
    never = replace(rosa, closes=None, measure=None)
    assert lasts_text(never) == f"Lasts beyond {rosa.end}, the last day looked at. {ALONE}"
    open_now = replace(never, measure=date(2026, 11, 30), unsure=True)
    assert lasts_text(open_now) == (
        f"As far as measured, it lasts beyond {rosa.end}, the last day looked at; measure now. {ALONE}")
