"""A trip as one file that goes elsewhere, and files from elsewhere that come into a library.

A path in a file from elsewhere means nothing here: whatever a trip names by one has to come along with it. So no file
from elsewhere reads anything of this machine, nor the car of another family that has the same number.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any, NamedTuple

from seatplan.files.changing import as_typed, with_value_at
from seatplan.files.checkups import ELEMENT, read_back, refuse_unreadable, trip_text
from seatplan.files.errors import InputError, Problem
from seatplan.files.library import find, is_path, names
from seatplan.files.load import restraint_from, trip_from, vehicle_from
from seatplan.files.places import Document
from seatplan.files.reading import decoded, kind_of, ours
from seatplan.files.yaml_text import CannotPlace
from seatplan.message import Name, said
from seatplan.written import visible

from .days import today
from .filling import Fill, Kind, filled, standing
from .reading import trip_asked
from .request import Request
from .shelf import Held, Shelf


class FromElsewhere(NamedTuple):
    """A file as somebody sent it: what it is called there, which is never a path here, and its bytes."""

    name: str
    data: bytes


_KINDS: tuple[Kind, ...] = ("trip", "vehicle", "restraint")


@dataclass(slots=True)
class _File:
    name: str
    kind: Kind
    text: str
    document: Document


def whole_trip(request: Request) -> str:
    """The trip as one file, with its car and every restraint in it. Raises InputError."""
    text = trip_text({"file": trip_asked(request).data()})
    refuse_unreadable(text, request.file or "trip", today())
    return text


def bundled_car(held: Held) -> str:
    """The bundled car that a trip names; empty where it names none of them."""
    named = standing("trip", held.text, held.path).get("vehicle")
    return named if isinstance(named, str) and named in names("vehicle") else ""


def with_own_car(held: Held, library: Shelf) -> Held:
    """The trip in a copy of its bundled car, which is the library's own and can be written. Raises InputError where it
    names no bundled one; Changed where the trip was changed meanwhile, and then nothing is in the library."""
    name = bundled_car(held)
    if not name:
        raise InputError([Problem(held.path, 0, 0, said("this trip names no bundled car"), ("vehicle",))])
    car = library.create("vehicle", find("vehicle", name).read_text(encoding="utf-8"))
    try:
        text = filled("trip", held.text, held.path, [Fill(("vehicle",), library.reference(car.number))])
        return library.save(held.number, text, held.version)
    except BaseException:
        library.remove(car.number, car.version)
        raise


def brought(files: Sequence[FromElsewhere], library: Shelf) -> tuple[Held, ...]:
    """The files in the library, a trip last. A checkup is the trip that it holds.

    Raises InputError with everything that is wrong with any of them, each problem with the name of its file as path,
    and then none is in the library.
    """
    read = _read(files)
    _checked(read)
    made: dict[str, Held] = {}
    for file in sorted(read, key=lambda one: one.kind == "trip"):
        text = _named_anew(file, {name: library.reference(one.number) for name, one in made.items()})
        made[file.name] = library.create(file.kind, text)
    return tuple(made.values())


def _read(files: Sequence[FromElsewhere]) -> list[_File]:
    found: dict[str, _File] = {}
    problems: list[Problem] = []
    for n, file in enumerate(files, 1):
        name = _plain(file.name) or f"{n}.yaml"
        try:
            if name in found:
                raise InputError([Problem(name, 0, 0, said("two files of this name came together; expected one"))])
            text = decoded(file.data, name)
            if ELEMENT in text and text.lstrip()[:9].lower() == "<!doctype":
                text = read_back(name, today(), text).text
            document = ours(text, name, "any", today())
            found[name] = _File(name, _kind_of(document), text, document)
        except InputError as error:
            problems += error.problems
    if not files:
        problems.append(Problem("", 0, 0, said("no file came; expected a trip, a vehicle, a restraint or a checkup")))
    if problems:
        raise InputError(problems)
    return list(found.values())


def _kind_of(document: Document) -> Kind:
    told = kind_of(document)
    kind = next((one for one in _KINDS if one == told), None)
    if kind is None:
        raise InputError([Problem(document.name, 0, 0, said(
            "this is no trip, vehicle or restraint; expected one of them, or a checkup"))])
    return kind


def _plain(name: str) -> str:
    """The last part of what a file is called, whatever stands between parts there."""
    return visible(name.replace("\\", "/").rpartition("/")[2])[:100]


def _checked(files: Sequence[_File]) -> None:
    """Every file by itself, and the trips with what came along. Raises InputError."""
    problems: list[Problem] = []
    along = {one.name: one for one in files}
    for file in files:
        try:
            missing = list(_not_along(file, along)) if file.kind == "trip" else []
            if missing:
                raise InputError(missing)
            if file.kind == "vehicle":
                vehicle_from(file.document)
            elif file.kind == "restraint":
                restraint_from(file.document)
            else:
                # as if all of them lay in one folder, that is not there
                near = {str(_NOWHERE / one.name): one.document for one in files}
                trip_from(replace(_there(file.document), instead=near), today=today())
        except InputError as error:
            problems += [replace(problem, path=_plain(problem.path)) for problem in error.problems]
    if problems:
        raise InputError(problems)


#: a folder that no machine has
_NOWHERE = Path("/seatplan-from-elsewhere")


def _there(document: Document) -> Document:
    return replace(document, name=str(_NOWHERE / document.name))


def _references(data: Mapping[str, Any]) -> Iterator[tuple[tuple[str | int, ...], str]]:
    """Where a trip names another file by a path, and the path."""
    wanted: list[tuple[tuple[str | int, ...], Any]] = [((key,), data.get(key)) for key in ("vehicle", "rules")]
    restraints = data.get("restraints")
    for k, item in enumerate(restraints if isinstance(restraints, list) else ()):
        wanted.append((("restraints", k, "use"), item["use"]) if isinstance(item, dict) and "use" in item else
                      (("restraints", k), item))
    yield from ((at, ref) for at, ref in wanted if isinstance(ref, str) and is_path(ref))


def _not_along(file: _File, along: Mapping[str, _File]) -> Iterator[Problem]:
    for at, ref in _references(file.document.data):
        other = along.get(_plain(ref))
        if at == ("rules",):
            yield file.document.problem(at, said("rules of a file are not taken from elsewhere; expected the name of "
                                                 "bundled ones, such as us"))
        elif other is None or other.kind != ("vehicle" if at == ("vehicle",) else "restraint"):
            yield file.document.problem(at, said(
                "{name} did not come along; send it together with this trip", name=Name(_plain(ref))))
        elif _plain(ref) != ref.removeprefix("./"):
            yield file.document.problem(at, said(
                "this names a file in another folder; expected {name} alone", name=Name(_plain(ref))))


def _named_anew(file: _File, numbers: Mapping[str, str]) -> str:
    """The text with every file that came along named as the library names it."""
    text = file.text
    for at, ref in _references(file.document.data) if file.kind == "trip" else ():
        try:
            text = with_value_at(text, at, as_typed(numbers[_plain(ref)])[0])
        except CannotPlace:
            raise InputError([file.document.problem(at, said(
                "this name cannot be changed without changing the rest; write it on a line of its own"))]) from None
    return text
