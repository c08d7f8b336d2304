"""Fill in a file field by field: each value where it stands, all other letters of the file left as they are.

Whoever has a form shows what stands at a path, and hands back what somebody typed there. What comes out is a text that
reads as a file of its kind; who writes it, and over what, is asked elsewhere.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date
from functools import lru_cache
from typing import Any, Literal

from seatplan.doubt.doubting import believed, doubts_of_restraint, doubts_of_vehicle
from seatplan.files.changing import as_typed, value_at, with_value_at, without_value_at
from seatplan.files.errors import InputError, Problem
from seatplan.files.load import restraint_from, trip_as_it_stands, vehicle_from
from seatplan.files.places import Document
from seatplan.files.reading import ours, plain
from seatplan.files.yaml_text import CannotPlace
from seatplan.frozen import frozen
from seatplan.message import Name, said
from seatplan.model import Restraint, Trip, Vehicle
from seatplan.model.doubt import Doubt

from .days import today

#: so many texts are kept as they were read last: a form asks for the same one several times
_KEPT = 32
Kind = Literal["trip", "vehicle", "restraint"]
#: keys of mappings and places in lists; one past the end of a list adds to it
Path = tuple[str | int, ...]


@frozen
class Fill:
    """``typed``: what a person typed; empty: not known any more. None takes out what stands there, a key or an item.
    ``adds``: plain data in place of typed text, for an item that is new."""

    path: Path
    typed: str | None = ""
    adds: Mapping[str, Any] | None = None


def standing(kind: Kind, text: str, name: str) -> dict[str, Any]:
    """The plain data of a file's text, values as they were written, not to be changed. Raises InputError."""
    return _read_on(kind, text, name, today()).data


@lru_cache(_KEPT)
def _read_on(kind: Kind, text: str, name: str, day: date) -> Document:
    return ours(text, name, kind, day)


def filled(kind: Kind, text: str, name: str, fills: Iterable[Fill]) -> str:
    """The text with all of it filled in, which reads as a file of its kind. Raises InputError, each problem with the
    path of its field as ``loc``, and then nothing is to be written."""
    problems: list[Problem] = []
    for fill in fills:
        try:
            text = _with(text, fill)
        except (CannotPlace, KeyError, IndexError, TypeError):
            problems.append(Problem(name, 0, 0, said(
                "{field} cannot be set here without changing the rest; write it into the file by hand",
                field=Name(".".join(map(str, fill.path)))), fill.path))
    if problems:
        raise InputError(problems)
    checked(kind, text, name)
    return text


def checked(kind: Kind, text: str, name: str) -> Trip | Vehicle | Restraint:
    """The record of a text. Raises InputError."""
    if kind == "trip":                                   # it hangs on other files, too
        return trip_as_it_stands(_read_on(kind, text, name, today()), today())
    return _checked_on(kind, text, name, today())


@lru_cache(_KEPT)
def _checked_on(kind: Kind, text: str, name: str, day: date) -> Vehicle | Restraint:
    document = _read_on(kind, text, name, day)
    return vehicle_from(document) if kind == "vehicle" else restraint_from(document)


def doubted(kind: Kind, text: str, name: str) -> tuple[Doubt, ...]:
    """The unlikely numbers of a text that nobody has said to be so. Raises InputError."""
    record = checked(kind, text, name)
    if isinstance(record, Vehicle):
        return doubts_of_vehicle(record)
    return doubts_of_restraint(record) if isinstance(record, Restraint) else believed(record, today()).doubted


def _with(text: str, fill: Fill) -> str:
    if fill.typed is None:
        return without_value_at(text, fill.path)
    if fill.adds is not None:
        return with_value_at(text, fill.path, _flow(fill.adds))
    if fill.typed.strip():
        return with_value_at(text, fill.path, as_typed(fill.typed)[0])
    return text if value_at(plain(text), fill.path) is None else with_value_at(text, fill.path, "")


def _flow(data: Any) -> str:
    """Plain data in one line of YAML."""
    if isinstance(data, Mapping):
        return "{" + ", ".join(f"{key}: {_flow(value)}" for key, value in data.items()) + "}"
    if isinstance(data, (list, tuple)):
        return "[" + ", ".join(map(_flow, data)) + "]"
    if data is None:
        return ""
    return as_typed(str(data))[0]
