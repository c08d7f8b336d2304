"""A trip on any day to come: its children grown, those not born yet left out."""

from __future__ import annotations

from datetime import date

from seatplan.doubt import believed
from seatplan.files.errors import InputError, Problem
from seatplan.model import Reckoned, Restraint, Rider, Trip
from seatplan.solver.aboard import aboard

from .child import Child


class Family:
    """The riders of a trip through time. Every day is worked out once."""

    def __init__(self, trip: Trip, taken: date, like: Family | None = None) -> None:
        """``taken``: the day on which sizes without a day of their own hold; the trip's own, or today. ``like``: a
        family that riders may be of, too: those grow as they do there."""
        self.trip, self.taken = trip, taken = believed(trip, taken), taken
        known = {child.rider.content: child for child in like.children} if like and like.taken == taken else {}
        self.children: tuple[Child, ...] = tuple(
            [known.get(rider.content) or Child(rider, taken) for rider in trip.riders])
        self._kept: dict[date, Trip] = {}

    def on(self, day: date) -> Trip:
        """The trip on a day. Raises InputError where nobody of it is born by then."""
        if day not in self._kept:
            self._kept[day] = self._on(day)
        return self._kept[day]

    def _on(self, day: date) -> Trip:
        riders = [now for child in self.children if (now := child.on(day)) is not None]
        if not riders:
            raise InputError([Problem("", 0, 0, f"nobody of this trip is born by {day}; expected a later day")])
        there = aboard(self.trip, day)
        return there.model_copy(update={
            "on": day, "riders": riders, "restraints": [_later(one) if day > self.taken else one
                                                        for one in there.restraints]})


def _later(restraint: Restraint) -> Restraint:
    """A restraint on a later day: that it is in date was said of today only."""
    dated = restraint.in_order and restraint.built_into is None
    return restraint.model_copy(update={"in_order": None}) if dated else restraint


def trip_on(trip: Trip, day: date, taken: date) -> Trip:
    """The trip on a day: children grown since they were measured, those due later left out.

    Sizes without a day of their own hold on ``taken``. Raises InputError where nobody is born by then.
    """
    return Family(trip, taken).on(day)


def reckoned(trip: Trip) -> tuple[Reckoned, ...]:
    """The riders whose sizes were reckoned."""
    return tuple(rider for rider in trip.riders if isinstance(rider, Reckoned))


def not_born(trip: Trip, day: date) -> tuple[Rider, ...]:
    """The riders of a trip as it was read who are not there yet on a day."""
    return tuple(rider for rider in trip.riders if rider.due is not None and day < rider.due)
