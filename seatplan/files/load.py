"""Vehicles, restraints and trips from files: named from the library, by path, or written inline."""

from __future__ import annotations

import os
from collections.abc import Callable, Sequence
from dataclasses import field, replace
from datetime import date
from functools import lru_cache
from pathlib import Path
from typing import Any, TypeVar, cast

from seatplan.frozen import frozen
from seatplan.message import Word, said
from seatplan.model import Restraint, Trip, Vehicle
from seatplan.model.trip import Copy

from .crosscheck_over_time import rider_problems, with_latest
from .crosscheck_restraint import built_in_problems, restraint_problems
from .crosscheck_trip import trip_problems
from .crosscheck_vehicle import vehicle_problems
from .errors import InputError, Notice, Problem
from .library import Kind, find, folder, is_path, names, no_such
from .notices import trip_notices
from .other_car import fitted_to
from .places import Document, Loc
from .reading import KEPT, KEPT_LENGTH, KEYS_OF, decoded, kind_of, no_file_of, ours, read, text_of
from .validate import shown, validate

R = TypeVar("R", Vehicle, Restraint)

MAX_RESTRAINTS = 40
#: stands in for a vehicle that could not be read, so that the rest of the file is still checked
NO_VEHICLE = {"vehicle": "unread", "rows": [{"row": 1, "positions": [{"position": "1L"}]}]}


#: (kind that is expected, kind of the file) -> what to say
_INSTEAD = {
    ("trip", "vehicle"): said("this is a vehicle file; expected a trip file, which names its vehicle under `vehicle`"),
    ("trip", "restraint"): said("this is a restraint file; expected a trip file, which lists restraints under "
                                "`restraints`"),
}


def load_vehicle(ref: str, today: date | None = None) -> Vehicle:
    """A vehicle by bundled name or path; ``today`` bounds the days in it. Raises InputError."""
    return vehicle_from(document_of("vehicle", ref, today))


def load_restraint(ref: str) -> Restraint:
    """A restraint by bundled name or path. Raises InputError."""
    return restraint_from(document_of("restraint", ref))


def shelf() -> dict[str, Restraint]:
    """Every bundled restraint by the word that files name it by."""
    return {word: load_restraint(word) for word in names("restraint")}


def load_trip(ref: str, vehicle: str | None = None, notices: list[Notice] | None = None,
              today: date | None = None) -> Trip:
    """A trip by bundled name or path; ``vehicle`` takes the place of the trip's own. Raises InputError.

    ``today`` bounds the days in all files, and stands in where the trip names none. With another vehicle, what the
    trip says of positions that it lacks, and what was tried in the trip's own, is left out; ``notices`` is told of
    each.
    """
    problems: list[Problem] = []
    other = wrong = None
    if vehicle:
        try:
            other = load_vehicle(vehicle, today)
        except InputError as error:
            wrong, problems = error, problems + error.problems
    try:
        document = document_of("trip", ref, today)
        if other is None:
            trip = trip_as_it_stands(document, today)
            if notices is not None:
                notices += trip_notices(trip, document)
        else:
            trip = trip_from(document, other, notices, today)
    except InputError as error:
        if _kind_found(wrong) == "trip" and _kind_found(error) == "vehicle":
            raise InputError([Problem("", 0, 0, said(
                "trip and vehicle stand in each other's place: {ref} is a vehicle file, {vehicle} a trip file",
                ref=shown(ref), vehicle=shown(vehicle)))]) from None
        raise InputError([*problems, *error.problems]) from None
    _raise(problems)
    return trip


def _kind_found(error: InputError | None) -> str:
    """What a file is that is of another kind than expected; empty where that is not what is wrong."""
    return error.kind if isinstance(error, _OfAnotherKind) else ""


@frozen
class InVehicle:
    """A trip in one vehicle, what was left out for it, and whether it is the trip's own."""

    trip: Trip
    notices: tuple[Notice, ...]
    own: bool


def trip_in_each(trip_document: Callable[[], Document], vehicles: Sequence[Callable[[], Vehicle]],
                 today: date | None = None) -> list[InVehicle]:
    """A trip in its own vehicle and in each of ``vehicles``; its own comes first where it is not one of them. ``today``
    bounds the days in all files.

    A trip that names none has none of its own. Raises InputError with the problems of all.
    """
    problems: list[Problem] = []
    others: list[Vehicle] = []
    own: Vehicle | None = None
    for read_vehicle in vehicles:
        try:
            others.append(read_vehicle())
        except InputError as error:
            problems += error.problems
    document: Document | None = None
    try:
        document = trip_document()
        if "vehicle" in document.data:
            own = trip_from(document, today=today).vehicle
            others = others if own in others else [own, *others]
    except InputError as error:
        problems += error.problems
    found: list[InVehicle] = []
    for i, vehicle in enumerate(others if document is not None and not problems else ()):
        if vehicle in others[:i]:
            problems.append(Problem("", 0, 0, said("{vehicle} is given twice; expected each vehicle once",
                                                   vehicle=vehicle.vehicle)))
            continue
        notices: list[Notice] = []
        try:
            trip = trip_from(document, vehicle, notices, today)  # type: ignore[arg-type]  # it was read
            found.append(InVehicle(trip, tuple(notices), vehicle == own))
        except InputError as error:
            problems += [
                replace(p, text=said("{text}; in {vehicle}", text=p.text, vehicle=vehicle.vehicle))
                for p in error.problems
            ]
    _raise(problems)
    return found


def trip_in(raw: bytes, name: str, today: date | None = None) -> tuple[Document, Trip]:
    """The trip in the bytes of the file ``name``, with the places of its parts. Raises InputError."""
    document = of_kind("trip", ours(decoded(raw, name), name, "trip", today))
    return document, trip_from(document)


def vehicle_from(document: Document, at: Loc = ()) -> Vehicle:
    """The vehicle that stands at ``at`` in a document, checked within itself."""
    vehicle = validate(Vehicle, _at(document, at), document, at)
    _raise([*vehicle_problems(vehicle, document, at), *built_in_problems(vehicle, document, at)])
    return vehicle


def restraint_from(document: Document, at: Loc = ()) -> Restraint:
    """The restraint that stands at ``at`` in a document, checked within itself."""
    restraint = validate(Restraint, _at(document, at), document, at)
    if restraint.built_into is not None:
        raise InputError([document.problem((*at, "built_into"), said(
            "built_into is said by the vehicle's file: write the restraint there, under `built_in` of its seat"))])
    _raise(restraint_problems(restraint, document, at))
    return restraint


def trip_from(document: Document, other: Vehicle | None = None, notices: list[Notice] | None = None,
              today: date | None = None) -> Trip:
    """The trip of a document, with everything it names found; every problem of all files at once."""
    data, problems = dict(document.data), []
    base = Path(document.name).parent
    own: Vehicle | None = None
    if "vehicle" in data:
        try:
            own = referred("vehicle", data["vehicle"], document, ("vehicle",), base, vehicle_from)
        except InputError as error:
            problems += error.problems if other is None else []
    vehicle = other or own
    if "vehicle" in data or other is not None:
        data["vehicle"] = vehicle or Vehicle.model_validate(NO_VEHICLE)
    if isinstance(data.get("restraints"), list):
        restraints, wrong = _restraints(data["restraints"], document, base)
        data["restraints"], problems = restraints, problems + wrong
    if isinstance(data.get("rules"), str) and is_path(data["rules"]):
        data["rules"] = str(beside(base, data["rules"]))
    try:
        trip = validate(Trip, data, document)
    except InputError as error:
        raise InputError([*problems, *error.problems]) from None
    _raise(problems)
    over_time = rider_problems(trip, document)
    trip = with_latest(_by_name(trip, document))
    dropped: list[tuple[Loc, str]] = []
    fitted = trip
    if other is not None and other != own:
        fitted, dropped = fitted_to(trip, own)
    _raise(over_time + trip_problems(trip, document, {loc for loc, _ in dropped}, today))
    if notices is not None:
        notices += [document.problem(loc, text) for loc, text in dropped]
        notices += trip_notices(trip, document)
    return fitted


@frozen
class _Texts:
    """What a trip is made of: its own text, and those of all files that it names. The same texts make the same trip."""

    text: str
    name: str
    bounded: date | None
    today: date | None
    named: tuple[str, ...]
    document: Document = field(compare=False)


def trip_as_it_stands(document: Document, today: date | None = None) -> Trip:
    """The trip of a document in its own vehicle, as ``trip_from`` makes it; the same record again where a text was
    looked at before, as after each edit of a page, and no file that it names has changed. Raises InputError."""
    named = _texts_named(document)
    if named is None:
        return trip_from(document, today=today)
    try:
        return _trip_kept(_Texts(document.text, document.name, document.today, today, named, document))
    except _WrittenMeanwhile:
        return trip_from(document, today=today)


class _WrittenMeanwhile(Exception):
    """A file changed while a trip was made of it: which of its texts that holds nobody knows."""


@lru_cache(KEPT)
def _trip_kept(texts: _Texts) -> Trip:
    trip = trip_from(texts.document, today=texts.today)
    if _texts_named(texts.document) != texts.named:
        raise _WrittenMeanwhile
    return trip


def _texts_named(document: Document) -> tuple[str, ...] | None:
    """The texts of the files that a trip names, in its order; None where one cannot be had, or they are too long."""
    if document.instead or not 0 < len(document.text) <= KEPT_LENGTH:
        return None
    base, items = Path(document.name).parent, document.data.get("restraints")
    refs: list[tuple[Kind, Any]] = [("vehicle", document.data.get("vehicle"))]
    refs += [("restraint", item.get("use") if isinstance(item, dict) else item)
             for item in (items if isinstance(items, list) else ())]
    try:
        texts = tuple(text_of(beside(base, ref) if is_path(ref) else folder(kind) / f"{ref}.yaml", kind)
                      for kind, ref in dict.fromkeys((kind, ref) for kind, ref in refs if isinstance(ref, str)))
    except InputError:                                  # told with its place where the trip is read
        return None
    return texts if sum(map(len, texts)) <= KEPT_LENGTH * 4 else None


def _restraints(items: list[Any], document: Document, base: Path) -> tuple[list[Restraint], list[Problem]]:
    if len(items) > MAX_RESTRAINTS:
        text = said("{n_items} restraints; expected at most {MAX_RESTRAINTS}", n_items=len(items),
                    MAX_RESTRAINTS=MAX_RESTRAINTS)
        return [], [document.problem(("restraints", MAX_RESTRAINTS), text, found=len(items),
                                     allowed={"count": {"at_most": MAX_RESTRAINTS}})]
    found: list[Restraint] = []
    problems: list[Problem] = []
    for i, item in enumerate(items):
        try:
            found.append(_copy(item, document, ("restraints", i), base))
        except InputError as error:
            problems += error.problems
    return found, problems


def _by_name(trip: Trip, document: Document) -> Trip:
    """The trip with each restraint called by its name where the file calls it by the word it was taken by."""
    called: dict[str, set[str]] = {}
    for item, restraint in zip(document.data.get("restraints") or [], trip.restraints, strict=True):
        word = item.get("use") if isinstance(item, dict) else item
        if isinstance(word, str):
            called.setdefault(word, set()).add(restraint.restraint)
    own = {restraint.restraint for restraint in trip.restraints}
    names = {word: min(those) for word, those in called.items() if len(those) == 1 and word not in own}
    return trip.model_copy(
        update={
            "wishes": [
                wish
                if wish.uses is None
                else wish.model_copy(update={"uses": [names.get(use, use) for use in wish.uses]})
                for wish in trip.wishes
            ],
            "installed": {
                rider: here.model_copy(update={"restraint": names.get(here.restraint or "", here.restraint)})
                for rider, here in trip.installed.items()
            },
            "arrived": None if trip.arrived is None else {
                rider: here.model_copy(update={"restraint": names.get(here.restraint or "", here.restraint)})
                for rider, here in trip.arrived.items()
            },
            "under_way": {
                rider: here.model_copy(update={"restraint": names.get(here.restraint or "", here.restraint)})
                for rider, here in trip.under_way.items()
            },
            "tried": [
                tried.model_copy(update={"restraint": names.get(tried.restraint or "", tried.restraint)})
                for tried in trip.tried
            ],
        }
    )


def _copy(item: Any, document: Document, at: Loc, base: Path) -> Restraint:
    """A restraint of a trip: named, inline, or ``use:`` with what is special about this copy."""
    if not isinstance(item, dict) or "use" not in item:
        return referred("restraint", item, document, at, base, restraint_from)
    problems: list[Problem] = []
    copy = model = None
    try:
        copy = validate(Copy, item, document, at)
    except InputError as error:
        problems += error.problems
    try:
        model = referred("restraint", item["use"], document, (*at, "use"), base, restraint_from)
    except InputError as error:
        problems += error.problems
    if copy is None or model is None:
        raise InputError(problems)
    given = {
        key: getattr(copy, key) for key in ("made", "expires", "notes", "in_order") if getattr(copy, key) is not None
    }
    if copy.as_ is not None:
        given["restraint"] = copy.as_
    if copy.condition is not None:
        said = {key: getattr(copy.condition, key) for key in copy.condition.model_fields_set}
        given["condition"] = model.condition.model_copy(update=said)
        if copy.condition.faults() and copy.in_order is None:
            given["in_order"] = None             # it was said of another copy
    made = model.model_copy(update=given)
    made = made.model_copy(update={"condition": made.condition_told()})
    _raise(restraint_problems(made, document, at))
    return made


def referred(
    kind: Kind, ref: Any, document: Document, at: Loc, base: Path, make: Callable[[Document, Loc], R]
) -> R:
    """What a trip names or writes inline. What cannot be read is a problem of the line that names it."""
    if isinstance(ref, dict):
        return make(document, at)
    if not isinstance(ref, str) or ref == "-":
        text = said("{kind} is {shown}; expected a bundled name, a path, or the keys of a {kind}", kind=Word(kind),
                    shown=shown(ref))
        raise InputError([document.problem(at, text)])
    if not is_path(ref) and ref not in names(kind):
        raise InputError([document.problem(at, no_such(kind, ref, base), allowed={"one_of": names(kind)})])
    try:
        path = beside(base, ref) if is_path(ref) else find(kind, ref)
        replaced = document.instead.get(os.path.realpath(path)) if document.instead else None
        found = replaced or read(path, document.today, kind)
    except InputError as error:
        raise InputError(
            [
                problem if problem.line else document.problem(
                    at, said("{kind} {shown}: {text}", kind=Word(kind), shown=shown(ref), text=problem.text),
                    allowed=problem.allowed)
                for problem in error.problems
            ]
        ) from None
    if replaced is not None or len(found.text) > KEPT_LENGTH:
        return make(of_kind(kind, found), ())
    return cast(R, _kept(kind, found.text, found.name, found.today))


@lru_cache(KEPT)
def _kept(kind: Kind, text: str, name: str, today: date | None) -> Vehicle | Restraint:
    """The record of a file that trips name: they are the same ones again and again, and nobody changes a record."""
    document = of_kind(kind, ours(text, name, kind, today))
    return vehicle_from(document) if kind == "vehicle" else restraint_from(document)


class _OfAnotherKind(InputError):
    """A file that is of another ``kind`` than was expected."""

    def __init__(self, problem: Problem, kind: str) -> None:
        self.kind = kind
        super().__init__([problem])


def of_kind(kind: str, document: Document) -> Document:
    """The document, when it does not say that it is of another kind."""
    found = kind_of(document)
    if not found:
        raise InputError([no_file_of(kind, document.name)])
    if found == kind:
        return document
    key = next(key for key in KEYS_OF[found] if key in document.data)
    told = _INSTEAD.get((kind, found)) or said("this is a {other} file; expected a {kind} file", other=Word(found),
                                               kind=Word(kind))
    raise _OfAnotherKind(document.problem((key,), told, True, allowed={"one_of": [kind]}), found)


def beside(base: Path, ref: str) -> Path:
    """A path in a file is meant from that file's folder."""
    return Path(ref) if Path(ref).is_absolute() else base / ref


def document_of(kind: Kind, ref: str, today: date | None = None) -> Document:
    return of_kind(kind, read(ref if is_path(ref) else find(kind, ref), today, kind))


def _at(document: Document, at: Loc) -> Any:
    data: Any = document.data
    for step in at:
        data = data[step]
    return data


def _raise(problems: list[Problem]) -> None:
    if problems:
        raise InputError(problems)
