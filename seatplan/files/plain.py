"""Vehicles, restraints and trips from plain data or records, as strictly as from files.

A problem names the path of a field, ``riders[2].mass``. What is named in them is looked for as in a file that lies in
the current folder.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from functools import partial
from typing import Any

from seatplan.model import Restraint, Trip, Vehicle

from .door import checked, held_to_files, path_of
from .errors import InputError, Notice, Problem
from .load import (
    InVehicle,
    document_of,
    load_trip,
    load_vehicle,
    trip_from,
    trip_in_each,
    vehicle_from,
)
from .places import Document, Loc, standing


@dataclass(slots=True)
class Plain(Document):
    """Data that no file holds."""

    def problem(self, loc: Loc, text: str, at_key: bool = False, found: Any = None,
                allowed: Mapping[str, Any] | None = None) -> Problem:
        return Problem(path_of(loc) if loc else self.name, 0, 0, text, loc,
                       standing(self.data, loc, at_key) if found is None else found, allowed)


def trip_of(given: str | Trip | Mapping[str, Any], vehicle: str | Vehicle | Mapping[str, Any] | None = None,
            notices: list[Notice] | None = None, today: date | None = None) -> Trip:
    """A trip by name or path, from a record, or from the data of a trip file; ``vehicle`` takes the place of its own.

    ``notices`` is told of what does not apply in another vehicle. Raises InputError.
    """
    if isinstance(given, str) and (vehicle is None or isinstance(vehicle, str)):
        return load_trip(given, vehicle, notices, today)
    problems: list[Problem] = []
    other = None
    if vehicle is not None:
        try:
            other = vehicle_of(vehicle, today)
        except InputError as error:
            problems += error.problems
    try:
        if isinstance(given, Trip) and other is None and not problems:
            return checked(given, today, over_time=True)
        trip = trip_from(_document(given, today), other, notices, today)
    except InputError as error:
        raise InputError([*problems, *error.problems]) from None
    if problems:
        raise InputError(problems)
    return trip


def trip_in_vehicles(given: str | Trip | Mapping[str, Any], vehicles: Sequence[str | Vehicle | Mapping[str, Any]],
                     today: date | None = None) -> list[InVehicle]:
    """``trip_in_each`` of anything that names or holds a trip and vehicles."""
    return trip_in_each(partial(_document, given, today), [partial(vehicle_of, each, today) for each in vehicles],
                        today)


def vehicle_of(given: str | Vehicle | Mapping[str, Any], today: date | None = None) -> Vehicle:
    """A vehicle by name or path, from a record, or from the data of a vehicle file. Raises InputError."""
    if isinstance(given, str):
        return load_vehicle(given, today)
    return vehicle_from(Plain("vehicle", data_of(given), today=today))


def _document(given: str | Trip | Mapping[str, Any], today: date | None) -> Document:
    """A trip as it is read from a file, or as if it had been."""
    if isinstance(given, str):
        return document_of("trip", given, today)
    if isinstance(given, Trip):
        given = checked(given, today, over_time=True)
    return Plain("trip", data_of(given), today=today)


def data_of(given: Trip | Vehicle | Restraint | Mapping[str, Any]) -> dict[str, Any]:
    """The data of a file that says what a record holds. Raises InputError where no file could hold it."""
    held_to_files(given)
    if isinstance(given, Mapping):
        return dict(given)
    return given.model_dump(exclude_unset=True, by_alias=True, exclude={"doubted"}, warnings=False)


def name_of(given: Trip | Vehicle | Restraint | Mapping[str, Any]) -> str:
    """What a record, or the data of one, calls itself; what kind it is where it does not say."""
    data = given if isinstance(given, Mapping) else given.__dict__
    return next((str(data[kind]) for kind in ("trip", "restraint", "vehicle", "fleet", "profile")
                 if isinstance(data.get(kind), str)), "data")
