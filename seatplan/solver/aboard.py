"""Who rides on a day, a child that is due later does not; and with what: the vehicle's own restraints, too."""

from __future__ import annotations

from collections.abc import Collection
from datetime import date

from seatplan.model import Trip, Wish


def aboard(trip: Trip, day: date) -> Trip:
    """The trip without the riders who are due after ``day``, and without what it says of them; with what is built into
    the vehicle behind the restraints that it brings."""
    absent = [rider.rider for rider in trip.riders if rider.due is not None and day < rider.due]
    trip = with_built_in(trip)
    return _without(trip, absent) if absent else trip


def with_built_in(trip: Trip) -> Trip:
    """The trip with the restraints that its vehicle has, and with none of another vehicle."""
    brought = [restraint for restraint in trip.restraints if restraint.built_into is None]
    there = trip.vehicle.built_in()
    if len(brought) == len(trip.restraints) and not there:
        return trip
    return trip.model_copy(update={"restraints": [*brought, *there]})


def _without(trip: Trip, absent: Collection[str]) -> Trip:
    wishes: list[Wish] = []
    for wish in trip.wishes:
        if wish.rider is not None and wish.rider in absent:
            continue
        for kind in ("apart", "together"):
            names = getattr(wish, kind)
            if names is not None:
                wish = wish.model_copy(update={kind: [name for name in names if name not in absent]})
        if len(wish.apart or wish.together or ("", "")) > 1:
            wishes.append(wish)
    return trip.model_copy(update={
        "riders": [rider for rider in trip.riders if rider.rider not in absent],
        "wishes": wishes,
        "installed": {name: here for name, here in trip.installed.items() if name not in absent},
        "under_way": {name: here for name, here in trip.under_way.items() if name not in absent},
    })
