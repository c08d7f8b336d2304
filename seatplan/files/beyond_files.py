"""What a record may hold in Python, and no file could: values of other types, keys that nobody reads, hidden letters,
numbers and lists without end. Whoever reads a trip again from its plain data looks here first.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import date
from typing import Any

from pydantic import BaseModel

from seatplan.message import said
from seatplan.units import Quantity, Stature

from .errors import brief, near_word
from .places import Found, Loc
from .reading import MAX_NODES, not_text
from .syntax import MAX_DEPTH
from .validate import shown

#: what a file holds, beside lists and keys
_VALUES = (str, int, float, date, Quantity, Stature, type(None))
#: digits of a number that a file may hold; more are read as text
_MOST_DIGITS = 40
#: parts of a trip that have a file of their own, each as long as a file may be
_OWN_FILES = ("vehicle", "restraints")


def beyond_files(given: BaseModel | Mapping[str, Any]) -> Found:
    """Everything in a record, or in the data of a file, that could stand in no file. What has no end is told once, and
    looked at no further."""
    budget = MAX_NODES
    for name, value in _fields(given) if isinstance(given, BaseModel) else given.items():
        if not isinstance(name, str):
            yield (), _key_wrong(name)
            continue
        own = name in _OWN_FILES
        parts = enumerate(value) if own and isinstance(value, (list, tuple)) else [(None, value)]
        for number, part in parts:
            at: Loc = (name,) if number is None else (name, number)
            left = MAX_NODES if own else budget
            for loc, text in _in(part, at):
                left -= 1
                if text:
                    yield loc, text
                if left < 0:
                    yield at, said("more than {MAX_NODES} values; expected fewer", MAX_NODES=f"{MAX_NODES:,}")
                    return
            budget = budget if own else left
    if isinstance(given, BaseModel):
        yield from _unknown_keys(given, ())


def _in(value: Any, loc: Loc) -> Iterator[tuple[Loc, str]]:
    """A value and all in it, each with its place and what is wrong with it; an empty text where nothing is."""
    if len(loc) > MAX_DEPTH:
        yield loc, said("nested deeper than {most} levels; expected fewer", most=MAX_DEPTH)
        return
    if isinstance(value, BaseModel):
        yield loc, ""
        yield from _unknown_keys(value, loc)
        for name, inner in _fields(value):
            yield from _in(inner, (*loc, name))
    elif isinstance(value, dict):
        yield loc, ""
        for key, inner in value.items():
            if isinstance(key, str):
                yield loc, not_text(key)
                yield from _in(inner, (*loc, key))
            else:
                yield loc, _key_wrong(key)
    elif isinstance(value, (list, tuple)):
        yield loc, ""
        for i, inner in enumerate(value):
            yield from _in(inner, (*loc, i))
    else:
        yield loc, _value_wrong(value)


def _key_wrong(key: Any) -> str:
    return said("a key is {found}; expected text", found=shown(key))


def _value_wrong(value: Any) -> str:
    if not isinstance(value, _VALUES):
        return said("{found}; expected what a file can hold: text, numbers, days, lists and keys",
                    found=shown(value))
    if isinstance(value, str):
        return not_text(value)
    if isinstance(value, int) and abs(value) >= 10 ** _MOST_DIGITS:
        return said("a number of more than {most} digits; expected a shorter one", most=_MOST_DIGITS)
    return ""


def _unknown_keys(record: BaseModel, loc: Loc) -> Found:
    """Fields that a copy was given and the record does not have: they would be passed over."""
    known = list(type(record).model_fields)
    for name in record.__dict__:
        if name not in known:
            yield loc, said("unknown key {shown}{where}; {near_word}", shown=f'"{brief(str(name))}"', where="",
                            near_word=near_word(str(name), [key for key in known if key != "sure"]))


def _fields(record: BaseModel) -> Iterator[tuple[str, Any]]:
    """What a record holds, as far as it has it: one that was made without a check may lack what it needs."""
    for name in type(record).model_fields:
        if name in record.__dict__:
            yield name, record.__dict__[name]

