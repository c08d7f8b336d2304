"""The room of the first purchase is what `room` says of that day."""

from __future__ import annotations

from datetime import date

import pytest

from seatplan.files.load import load_trip, shelf
from seatplan.growth.family import trip_on
from seatplan.growth.outlook import outlook
from seatplan.growth.purchase import bundled, largest_room
from seatplan.rules.load import load_profile
from seatplan.solver.room.tables import room

DAY, END = date(2026, 11, 30), date(2029, 11, 30)


def test_the_widest_seat_of_that_day() -> None:
    trip = load_trip("two-seater-airbag-off")
    found = outlook(trip, load_profile("us"), DAY, END)
    bought = found.purchase
    assert bought is not None
    assert bought.room is not None
    then = trip_on(trip, bought.day, DAY)
    open_ = [one for one in room(then, load_profile("us"), bought.day, bought.riders[0], shelf()).rooms
             if one.width and one.width.likely and one.ways[0].mode == bought.room.ways[0].mode]
    assert bought.room.position in {one.position for one in open_}
    assert bought.room.width is not None
    assert (bought.room.width.fits or 0, bought.room.width.likely) == max(
        (one.width.fits or 0, one.width.likely or 0) for one in open_ if one.width)


def test_no_room_for_an_adult() -> None:
    trip = load_trip("two-seater-airbag-off")
    driver = next(rider.rider for rider in trip.riders if rider.adult)
    assert largest_room(trip, load_profile("us"), DAY, driver, bundled(), None) is None


@pytest.mark.parametrize("name", ["three-across-school-run", "twins-small-hatch", "tall-driver"])
def test_no_front_seat_for_a_young_child_while_there_is_room_behind(name: str) -> None:
    """Whatever mode would be the most protective: the order of arrangements keeps young children out of the front
    first."""
    trip = load_trip(name)
    for rider in trip.riders:
        if rider.adult:
            continue
        found = largest_room(trip, load_profile(trip.rules), DAY, rider.rider, bundled(), None)
        behind = [one for one in room(trip, load_profile(trip.rules), DAY, rider.rider, shelf()).rooms
                  if one.width and one.width.likely
                  and not trip.vehicle.in_front(trip.vehicle.position(one.position))]
        assert found is not None
        assert not behind or not trip.vehicle.in_front(trip.vehicle.position(found.position)), rider.rider
