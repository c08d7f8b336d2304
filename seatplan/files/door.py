"""The door of a solve: a trip made or copied in Python keeps to all that a file must keep to.

Copying a record with other values checks nothing, so a trip is held to what a file could hold at all, is read again
from its plain data, and then asked what files are asked. A problem names the path of a field, ``riders[2].mass``, where
a file has line and column.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date, datetime
from typing import Any

from seatplan.message import said
from seatplan.model import Believed, Reckoned, Restraint, Rider, Trip, Vehicle
from seatplan.model.record import Record

from .beyond_files import beyond_files
from .crosscheck_over_time import rider_problems, with_latest
from .crosscheck_restraint import built_in_problems, restraint_problems
from .crosscheck_trip import trip_problems
from .crosscheck_vehicle import vehicle_problems
from .errors import InputError, Problem, brief
from .places import Loc, standing
from .validate import shown, validate


class Paths:
    """Places in records: ``data`` is what stands in for the text of a file."""

    def __init__(self, data: Any, today: date | None) -> None:
        self.data, self.today = data, today

    def problem(self, loc: Loc, text: str, at_key: bool = False, found: Any = None,
                allowed: Mapping[str, Any] | None = None) -> Problem:
        return Problem(path_of(loc), 0, 0, text, loc, standing(self.data, loc, at_key) if found is None else found,
                       allowed)


def path_of(loc: Loc) -> str:
    """``riders[2].mass``, ``front["1L"].stature``; ``trip`` for the whole."""
    path = ""
    for step in loc:
        if isinstance(step, int):
            path += f"[{step}]"
        elif step.isidentifier():
            path += f".{step}" if path else step
        else:
            path += f'["{brief(step)}"]'
    return path or "trip"


def checked(trip: Trip, day: date | None, over_time: bool = False) -> Trip:
    """The trip, when nothing in it is known to be untrue on ``day``; read anew where a value stands in another form.

    ``over_time``: look at past measurements too, for those who will reckon with them. Raises InputError.
    """
    _a_day("today", day)
    if not isinstance(trip, Trip):
        raise InputError([Problem("trip", 0, 0, said("the trip is {shown}; expected a Trip", shown=shown(trip)))])
    written = _written(trip)
    held_to_files(written)
    places = Paths(written.model_dump(exclude_unset=True, warnings=False), day)
    read = _read(written, places)
    _raise([*vehicle_problems(read.vehicle, places, ("vehicle",)),
            *built_in_problems(read.vehicle, places, ("vehicle",)),
            *(p for i, restraint in enumerate(read.restraints)
              for p in restraint_problems(restraint, places, ("restraints", i))),
            *(rider_problems(read, places) if over_time else ()), *trip_problems(read, places, today=day)])
    if not isinstance(trip, Believed):      # what counts as unknown there stays so
        read = with_latest(read)
    return trip if _same(read, written) or _is_believed(trip, read) else _as_it_was(trip, read)


def held_to_files(given: Trip | Vehicle | Restraint | Mapping[str, Any]) -> None:
    """That everything in a record, or in the data of a file, could stand in a file. Raises InputError."""
    written = _written(given) if isinstance(given, Trip) else given
    _raise(Problem(path_of(loc), 0, 0, text) for loc, text in beyond_files(written))


def checked_top(top: object) -> None:
    """That ``top`` is a number of arrangements, or None for all of them. Raises InputError."""
    if top is not None and (isinstance(top, bool) or not isinstance(top, int) or top < 1):
        raise InputError([Problem("top", 0, 0, said("top is {top}; expected at least 1, or None for all",
                                                    top=shown(top)))])


def _a_day(name: str, day: object) -> None:
    if day is not None and (not isinstance(day, date) or isinstance(day, datetime)):
        raise InputError([Problem(name, 0, 0, said("{some} is {shown}; {allowed}", some=name, shown=shown(day),
                                                   allowed=said("expected a day such as 2026-11-25")))])


def _read(written: Trip, places: Paths) -> Trip:
    """The trip from its plain data; riders that growth tables reckoned are read with both of their ends."""
    read = validate(Trip, places.data, places)
    riders: list[Rider] = list(read.riders)
    for i, rider in enumerate(written.riders):
        if isinstance(rider, Reckoned):
            places.data["riders"][i] = own = rider.model_dump(exclude_unset=True, warnings=False)
            again = validate(Reckoned, own, places, ("riders", i))
            riders[i] = rider if again == rider else again
    return read.model_copy(update={"riders": riders})


def _same(read: Trip, written: Trip) -> bool:
    """Whether a trip is just what was read of it, down to the type of each value."""
    try:
        return read.content == written.content
    except TypeError:                       # a kind of number that reading makes a plain one
        return False


def _is_believed(trip: Trip, read: Trip) -> bool:
    """Whether nothing but what counts as unknown tells a trip from what was read. It stays as it is then: unknown in it
    is None, where what a file leaves empty may be what most cars have."""
    return isinstance(trip, Believed) and _says(read, _written(trip))


def _says(read: Any, written: Any) -> bool:
    """Whether what was read says all that stands in a record, down to the type of each value."""
    if isinstance(written, Record):
        return all(value is None or _says(getattr(read, name, None), value) for name, value in written.__dict__.items())
    if isinstance(written, dict):
        return isinstance(read, dict) and read.keys() == written.keys() and all(
            _says(read[key], value) for key, value in written.items())
    if isinstance(written, (list, tuple)):
        return isinstance(read, (list, tuple)) and len(read) == len(written) and all(map(_says, read, written))
    return type(read) is type(written) and bool(read == written)


def _as_it_was(trip: Trip, read: Trip) -> Trip:
    """What was read, with what seatplan has found about the trip."""
    if not isinstance(trip, Believed):
        return read
    return Believed.model_construct(**{name: getattr(read, name) for name in Trip.model_fields}, doubted=trip.doubted)


def _written(trip: Trip) -> Trip:
    """The trip without what seatplan has found about it."""
    if not isinstance(trip, Believed):
        return trip
    return Trip.model_construct(trip.model_fields_set - {"doubted"},
                                **{name: getattr(trip, name) for name in Trip.model_fields})


def _raise(problems: Iterable[Problem]) -> None:
    found = list(problems)
    if found:
        raise InputError(found)
