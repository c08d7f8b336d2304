"""The door of a solve: a trip made or copied in Python keeps to all that a file must keep to.

Copying a record with other values checks nothing, so a trip is read again from its plain data, and then asked what
files are asked. A problem names the path of a field, ``riders[2].mass``, where a file has line and column.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from typing import Any

from seatplan.model import Believed, Reckoned, Trip
from seatplan.said import said

from .crosscheck_over_time import rider_problems
from .crosscheck_restraint import restraint_problems
from .crosscheck_trip import trip_problems
from .crosscheck_vehicle import vehicle_problems
from .errors import InputError, Problem
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
            path += f'["{step}"]'
    return path or "trip"


def checked(trip: Trip, day: date | None, over_time: bool = False) -> Trip:
    """The trip, when nothing in it is known to be untrue on ``day``; read anew where a value stands in another form.

    ``over_time``: look at past measurements too, for those who will reckon with them. Raises InputError.
    """
    if not isinstance(trip, Trip):
        raise InputError([Problem("trip", 0, 0, said("the trip is {shown}; expected a Trip", shown=shown(trip)))])
    data = _written(trip).model_dump(exclude_unset=True, warnings=False)
    places = Paths(data, day)
    read = validate(Trip, data, places)
    riders = [old if isinstance(old, Reckoned) else new for old, new in zip(trip.riders, read.riders, strict=True)]
    read = read.model_copy(update={"riders": riders})
    problems = [*vehicle_problems(read.vehicle, places, ("vehicle",)),
                *(p for i, restraint in enumerate(read.restraints)
                  for p in restraint_problems(restraint, places, ("restraints", i))),
                *(rider_problems(read, places) if over_time else ()), *trip_problems(read, places, today=day)]
    if problems:
        raise InputError(problems)
    return trip if isinstance(trip, Believed) or read == trip else read


def _written(trip: Trip) -> Trip:
    """The trip without what seatplan has found about it."""
    if not isinstance(trip, Believed):
        return trip
    return Trip.model_construct(trip.model_fields_set - {"doubted"},
                                **{name: getattr(trip, name) for name in Trip.model_fields})
