"""A day at the car, held against when the restraint was made and when the rider was born: nothing was installed or
tried before."""

from __future__ import annotations

from datetime import date, timedelta

from seatplan.message import said
from seatplan.model import Installed, Rider, Tried, Trip

from .places import Found

#: so long before its birth a restraint may be installed for a child: it is checked while the child is expected
_EXPECTED = timedelta(days=366)
#: readings that are taken with the child in it
_WITH_THE_CHILD = ("head_below_top", "belt_fits")
#: no month has more days
_LONGEST_MONTH = timedelta(days=31)


def dated_too_early(here: Installed | Tried, rider: str | None, trip: Trip, today: date | None = None) -> Found:
    """An entry of a day on which its restraint was not made yet, or its child not even expected. ``rider`` None: of
    whom it is is not said, so the oldest of the trip counts; ``today`` stands in where the trip names no day."""
    if here.on is None:
        return
    made = next((r.made for r in trip.restraints if r.restraint == here.restraint), None)
    if made is not None and here.on < made:
        yield ("on",), said("on is {on}, and {restraint} was made {made}; expected a day from then on", on=here.on,
                            restraint=here.restraint, made=made)
    births = [(_born(one, trip.on or today), one.rider) for one in trip.riders if rider in (None, one.rider)]
    if not births or any(born is None for born, _ in births):
        return
    born, name = min((born, name) for born, name in births if born is not None)
    seated = here.readings is not None and any(getattr(here.readings, key) is not None for key in _WITH_THE_CHILD)
    if here.on < (born if seated else born - _EXPECTED):
        yield ("on",), said("on is {on}, before {rider} was born ({born} or later); expected the day of it",
                            on=here.on, rider=name, born=born)


def _born(rider: Rider, day: date | None) -> date | None:
    """A day before which a rider was not born, None where that is not known."""
    if rider.born is not None or rider.due is not None:
        return rider.born or rider.due
    months = rider.age if rider.age is not None else rider.ages[1] if rider.ages is not None else None
    if months is None or day is None:
        return None
    return max(day - (int(months) + 13) * _LONGEST_MONTH, date(1, 1, 1)) if months < 1500 else None
