"""What kind of value a field of the files takes, so that a form can ask for it as a person answers."""

from __future__ import annotations

from datetime import date
from typing import Annotated, Any, Literal, get_args, get_origin

from seatplan.frozen import frozen
from seatplan.model import Restraint, Trip, Vehicle
from seatplan.model.quantities import unit_of
from seatplan.model.record import Record
from seatplan.model.restraint import Installation, Mode
from seatplan.model.trip import Rider
from seatplan.model.vehicle import Position, Row

from .fieldnames import Target, inner_record

#: one of some words, any of some words, two values in a list; ``written``: as the file has it
Way = Literal["length", "mass", "angle", "day", "yes or no", "word", "words", "two", "record", "written"]

_ROOTS: dict[str, type[Record]] = {"trip": Trip, "vehicle": Vehicle, "restraint": Restraint}
#: whose fields the table of fields has, by what it calls them
_OWNERS: dict[type[Record], str] = {Row: "row", Position: "position", Rider: "rider", Restraint: "restraint",
                                    Mode: "mode", Installation: "installation"}
_BY_UNIT: dict[str, Way] = {"mm": "length", "kg": "mass", "degrees": "angle"}


@frozen
class Value:
    """``key``: the field as the table of fields names it. ``words``: those that may be chosen from. ``of``: of two
    values, what each is."""

    key: str
    way: Way
    words: tuple[str, ...] = ()
    of: Way = "written"


def value_of(target: Target) -> Value:
    """What a field takes."""
    kind: type[Record] | None = _ROOTS[target.of]
    keys: list[str] = [target.of]
    annotation: Any = kind
    metadata: tuple[Any, ...] = ()
    named = False                                   # of a mapping, the next step is a name and no key
    for step in target.path:
        if isinstance(step, int) or named:
            named, annotation = False, kind
            continue
        if kind is None or step not in kind.model_fields:
            return Value(".".join(keys), "written")
        if kind in _OWNERS:
            keys = keys if len(keys) > 1 and keys[0] == _OWNERS[kind] else [_OWNERS[kind]]
        keys.append(step)
        found = kind.model_fields[step]
        annotation, metadata = _bare(found.annotation, tuple(found.metadata))
        named = get_origin(annotation) is dict
        kind = inner_record(kind, step)[0]
    key = ".".join(keys)
    return Value(key, "length") if target.height is not None else _value(key, annotation, metadata)


def _bare(annotation: Any, metadata: tuple[Any, ...] = ()) -> tuple[Any, tuple[Any, ...]]:
    """A type without that it may be left out, and its metadata."""
    if get_origin(annotation) is Annotated:
        inner, *more = get_args(annotation)
        return _bare(inner, (*metadata, *more))
    left = [one for one in get_args(annotation) if one is not type(None)]
    if type(None) in get_args(annotation) and len(left) == 1:
        return _bare(left[0], metadata)
    return annotation, metadata


def _value(key: str, annotation: Any, metadata: tuple[Any, ...]) -> Value:
    way = _single(annotation, metadata)
    if way == "word":
        return Value(key, way, get_args(annotation))
    if way != "written":
        return Value(key, way)
    args = get_args(annotation)
    if get_origin(annotation) is list and get_origin(args[0]) is Literal:
        return Value(key, "words", get_args(args[0]))
    if get_origin(annotation) is tuple and len(args) == 2 and args[0] == args[1]:
        return Value(key, "two", of=_single(*_bare(args[0])))
    return Value(key, "written")


def _single(annotation: Any, metadata: tuple[Any, ...]) -> Way:
    """How one value is told."""
    if annotation is bool:
        return "yes or no"
    if annotation is date:
        return "day"
    if get_origin(annotation) is Literal:
        return "word"
    if isinstance(annotation, type) and issubclass(annotation, Record):
        return "record"
    if get_origin(annotation) in (list, tuple):
        return "written"
    return _BY_UNIT.get(unit_of(metadata), "written")
