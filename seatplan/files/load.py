"""Vehicles, restraints and trips from files: named from the library, by path, or written inline."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any, TypeVar

from seatplan.model import Restraint, Trip, Vehicle

from . import crosscheck
from .errors import InputError, Problem, near_word
from .library import Kind, find, folder, is_path, names, no_such
from .reading import Document, Loc, read
from .validate import validate

R = TypeVar("R", Vehicle, Restraint)

#: what a trip may say of its own copy of a restraint
_OWN = ("as", "made", "expires", "condition", "notes")
#: stands in for a vehicle that could not be read, so that the rest of the file is still checked
_NO_VEHICLE = {"vehicle": "unread", "rows": [{"row": 1, "positions": [{"position": "1L"}]}]}


def load_vehicle(ref: str) -> Vehicle:
    """A vehicle by bundled name or path. Raises InputError."""
    return vehicle_from(_open("vehicle", ref))


def load_restraint(ref: str) -> Restraint:
    """A restraint by bundled name or path. Raises InputError."""
    return restraint_from(_open("restraint", ref))


def load_trip(ref: str, vehicle: str | None = None) -> Trip:
    """A trip by bundled name or path; ``vehicle`` takes the place of the trip's own. Raises InputError.

    With another vehicle, what the trip says of positions that it lacks is left out.
    """
    return trip_from(_open("trip", ref), load_vehicle(vehicle) if vehicle else None)


def vehicle_from(document: Document, at: Loc = ()) -> Vehicle:
    """The vehicle that stands at ``at`` in a document, checked within itself."""
    vehicle = validate(Vehicle, _at(document, at), document, at)
    _raise(crosscheck.vehicle_problems(vehicle, document, at))
    return vehicle


def restraint_from(document: Document, at: Loc = ()) -> Restraint:
    """The restraint that stands at ``at`` in a document, checked within itself."""
    restraint = validate(Restraint, _at(document, at), document, at)
    _raise(crosscheck.restraint_problems(restraint, document, at))
    return restraint


def trip_from(document: Document, other: Vehicle | None = None) -> Trip:
    """The trip of a document, with everything it names found; every problem of all files at once."""
    data, problems = dict(document.data), []
    base = folder("trip") if document.name == "stdin" else Path(document.name).parent
    vehicle: Vehicle | None = other
    if vehicle is None and "vehicle" in data:
        try:
            vehicle = _referred("vehicle", data["vehicle"], document, ("vehicle",), base, vehicle_from)
        except InputError as error:
            problems += error.problems
    restraints: list[Any] = []
    if isinstance(data.get("restraints"), list):
        for i, item in enumerate(data["restraints"]):
            try:
                restraints.append(_copy(item, document, ("restraints", i), base))
            except InputError as error:
                problems += error.problems
        data["restraints"] = restraints
    if "vehicle" in data or other is not None:
        data["vehicle"] = vehicle or Vehicle.model_validate(_NO_VEHICLE)
    if isinstance(data.get("rules"), str) and is_path(data["rules"]):
        data["rules"] = str(_beside(base, data["rules"]))
    try:
        trip = validate(Trip, data, document)
    except InputError as error:
        raise InputError([*problems, *error.problems]) from None
    if vehicle is not None and other is not None:
        trip = crosscheck.fitted_to(trip)
    if vehicle is not None and not problems:
        problems += crosscheck.trip_problems(trip, document)
    _raise(problems)
    return trip


def _copy(item: Any, document: Document, at: Loc, base: Path) -> Restraint:
    """A restraint of a trip: named, inline, or ``use:`` with what is special about this copy."""
    if not isinstance(item, dict) or "use" not in item:
        return _referred("restraint", item, document, at, base, restraint_from)
    wrong = [document.problem((*at, key), f'unknown key "{key}" beside `use`; {near_word(key, ("use", *_OWN))}', True)
             for key in item if key not in ("use", *_OWN)]
    model = _referred("restraint", item["use"], document, (*at, "use"), base, restraint_from)
    _raise(wrong)
    own = {key: value for key, value in item.items() if key not in ("use", "as")}
    if "as" in item:
        own["restraint"] = item["as"]
    # the record's own checks run on the copy's words alone; the model was checked where it stands
    checked = validate(Restraint, {"restraint": model.restraint, "modes": model.modes, **own},
                       _renamed(document, at), at)
    kept = {key: getattr(checked, key) for key in own}
    return model.model_copy(update=kept)


def _renamed(document: Document, at: Loc) -> Document:
    """The same document with the place of `as` standing for the name."""
    values = dict(document.values)
    if (*at, "as") in values:
        values[(*at, "restraint")] = values[(*at, "as")]
    return Document(document.name, document.data, values, document.keys)


def _referred(kind: Kind, ref: Any, document: Document, at: Loc, base: Path,
              make: Callable[[Document, Loc], R]) -> R:
    if isinstance(ref, dict):
        return make(document, at)
    if not isinstance(ref, str):
        raise InputError([document.problem(at, f"{kind} is {ref!r}; expected a bundled name, a path or the {kind} "
                                               "itself")])
    if is_path(ref):
        return make(read(_beside(base, ref)), ())
    if ref not in names(kind):
        raise InputError([document.problem(at, no_such(kind, ref))])
    return make(read(find(kind, ref)), ())


def _beside(base: Path, ref: str) -> Path:
    """A path in a file is meant from that file's folder."""
    return Path(ref) if Path(ref).is_absolute() else base / ref


def _open(kind: Kind, ref: str) -> Document:
    return read(ref if is_path(ref) else find(kind, ref))


def _at(document: Document, at: Loc) -> Any:
    data: Any = document.data
    for step in at:
        data = data[step]
    return data


def _raise(problems: list[Problem]) -> None:
    if problems:
        raise InputError(problems)
