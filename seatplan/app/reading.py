"""What every request begins with: the trip as it was written and on its day of travel, its rules, the day."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from seatplan.doubt import believed_anew
from seatplan.files.errors import InputError, Problem
from seatplan.files.plain import trip_of
from seatplan.frozen import frozen
from seatplan.growth.family import not_born, reckoned, trip_on
from seatplan.message import FieldName, said
from seatplan.model import Trip
from seatplan.rules.load import load_profile
from seatplan.rules.profile import Profile

from .days import today
from .misasked import Misasked
from .notices import QUIET, LeftOut, Listener, Notice, NotThere, SizesReckoned
from .request import Request


@frozen
class Read:
    """``written``: the trip as it was read; ``trip``: the same on the day of travel; ``taken``: the day on which sizes
    without a day of their own hold."""

    written: Trip
    trip: Trip
    profile: Profile
    day: date
    taken: date
    notices: tuple[Notice, ...]


def read(request: Request, listener: Listener = QUIET) -> Read:
    """Everything that a solve needs, with the children as they are, or are reckoned to be, on the day of travel.

    Raises InputError with the problems of all files, Misasked where somebody is not born by that day.
    """
    found = read_through_time(request, listener)
    trip, told = travelling(found.written, found.day, listener)
    listener.read(trip)
    return replace(found, trip=trip, notices=(*found.notices, *told))


def read_through_time(request: Request, listener: Listener = QUIET) -> Read:
    """The same with the trip as it was written, for those who look at more days than one."""
    left_out: list[Problem] = []
    problems: list[Problem] = []
    loaded = profile = None
    try:
        loaded = trip_asked(request, left_out)
    except InputError as error:
        problems += error.problems
    if request.rules or loaded:
        try:
            profile = load_profile(request.rules or loaded.rules)  # type: ignore[union-attr]  # one of the two is there
        except InputError as error:
            problems += error.problems
    if loaded is None or profile is None:
        raise InputError(problems)
    notices: list[Notice] = [LeftOut(problem) for problem in left_out]
    for notice in notices:
        listener.notice(notice)
    taken = loaded.on or today()
    written = believed_anew(loaded, taken)
    return Read(written, written, profile, request.on or taken, taken, tuple(notices))


def trip_asked(request: Request, left_out: list[Problem] | None = None) -> Trip:
    """The trip that is asked about, from its file, its record or its plain data, in the vehicle that is asked for.
    ``left_out`` is told of what does not apply in another vehicle. Raises InputError."""
    return trip_of(request.trip, request.vehicle, left_out, today())


def travelling(written: Trip, day: date, listener: Listener = QUIET) -> tuple[Trip, tuple[Notice, ...]]:
    """The trip on a day with its children as they are then, and what that changes about them.

    Raises Misasked where somebody is not born yet.
    """
    for rider in written.riders:
        if rider.born is not None and rider.born > day:
            raise Misasked("on", said("{asked} is {when}, before {rider} is born on {born}", asked=FieldName("on"),
                                      when=day, rider=rider.rider, born=rider.born),
                           said("expected the day of travel"))
    grown = trip_on(written, day, written.on or today())
    told: tuple[Notice, ...] = (*map(NotThere, not_born(written, day)),
                                *(SizesReckoned(rider, day) for rider in reckoned(grown)))
    for notice in told:
        listener.notice(notice)
    return grown, told
