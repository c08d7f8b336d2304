"""A sentence that keeps its template and typed fields, so that views can say it in any language and system of units.

Below the views everything is said in English and in metric units: that is the text of a ``Message``, for JSON and for
whoever prints one. What a person reads is made where it is shown (``seatplan.views.say``), from the template, which is
the key of its translation, and from the fields, each by its type. Nobody reads such a text again to learn what it says.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import replace
from fractions import Fraction
from typing import Any, Literal

from seatplan.frozen import frozen

#: which way a value is rounded where its unit is turned into another: what is needed or missing up, what is free or
#: to spare down
Way = Literal["near", "up", "down"]


class Name(str):
    """What somebody wrote, such as a name: shown as it is in every language and unit, never looked up, and never taken
    for a word, a number, a day or a quantity."""

    __slots__ = ()


class FieldName(Name):
    """Fields of a request as a sentence names them. Each face has its own way: ``--on``, ``on``, a label."""

    __slots__ = ("names",)
    names: tuple[str, ...]

    def __new__(cls, *names: str) -> FieldName:
        asked = super().__new__(cls, ", ".join(names))
        asked.names = names
        return asked


class RiderName(Name):
    """The name of somebody who rides."""

    __slots__ = ()


class RestraintName(Name):
    """The name of a restraint, or of a copy of it."""

    __slots__ = ()


class Seat(str):
    """The name of a seating position, such as 2C."""

    __slots__ = ()


class Word(str):
    """A word of the files or of the rules, such as ``rear-facing``: looked up where it is shown."""

    __slots__ = ()


class PartName(str):
    """What somebody called a part of a restraint or a trim: usual ones, such as ``shell``, are looked up."""

    __slots__ = ()


class Unit(str):
    """The unit of what stands before it, such as ``mm``."""

    __slots__ = ()


class Day(str):
    """A day, as 2026-11-30."""

    __slots__ = ()


@frozen
class Figure:
    """A number without a unit."""

    value: float | Fraction

    def __str__(self) -> str:
        return digits(self.value, grouped=True)


@frozen
class Amount:
    """A value with its unit: ``mm``, ``cm`` or ``kg``, or one that no system of units changes, such as ``degrees``.

    In inches and pounds it is told to an eighth or a tenth, or where ``fine`` to a hundredth, rounded ``way``. A value
    that is ``unknown`` is a question mark. ``against`` is what it is held against: unlike values are then never shown
    alike, nor the other way round. In a template ``{low:bare} to {high}`` leaves the unit to the one that follows.
    """

    value: float | Fraction
    unit: str
    way: Way = "near"
    fine: bool = False
    against: Amount | None = None
    unknown: bool = False

    def __str__(self) -> str:
        return f"{_digits_of(self)} {self.unit}".rstrip()

    def __format__(self, spec: str) -> str:
        return _digits_of(self) if spec == "bare" else str(self)


def in_mm(value: float | None, way: Way = "near") -> Amount:
    """A length; None: not known."""
    return Amount(0, "mm", unknown=True) if value is None else Amount(value, "mm", way)


def in_kg(value: float | Fraction, way: Way = "near") -> Amount:
    """A mass."""
    return Amount(value, "kg", way)


def beside(one: Amount, limit: Amount) -> tuple[Amount, Amount]:
    """An amount and what it is held against, of one unit. Where they are alike they are shown alike, as the limit is
    rounded; no other two look so."""
    if one.value == limit.value:
        limit = replace(limit, fine=one.fine or limit.fine or one.way != limit.way)
        return replace(one, way=limit.way, fine=limit.fine), limit
    return replace(one, against=limit), replace(limit, against=one)


def _digits_of(amount: Amount) -> str:
    return "?" if amount.unknown else digits(amount.value)


def digits(value: float | Fraction, *, grouped: bool = False) -> str:
    """``12.0`` as 12, ``0.10`` as 0.1, at most two decimals; ``grouped``: thousands with commas."""
    told = round(float(value), 2)
    whole = int(told) if told.is_integer() else told
    return f"{whole:,}" if grouped else str(whole)


class Message(str):
    """English text in metric units, with the template and the fields that it was made of."""

    template: str
    fields: dict[str, Any]


def said(template: str, /, **fields: Any) -> Message:
    """The template with its ``{fields}`` filled in. Without fields the text stands as it is, braces and all."""
    text = Message(template.format(**fields) if fields else template)
    text.template, text.fields = template, fields
    return text


def alone(field: Any) -> Message:
    """A message that is one field and nothing else."""
    return said("{field}", field=field)


class Joined(Message):
    """Several texts with one word between them, such as ``a or b``."""

    parts: tuple[Any, ...]


def joined(between: str, parts: Iterable[Any]) -> Joined:
    """The parts with ``between``, such as `` or ``, from one to the next."""
    kept = tuple(parts)
    text = Joined(between.join(map(str, kept)))
    text.template, text.fields, text.parts = str(between), {}, kept
    return text


_POSITION = "position {position}"


def at_position(seat: str) -> Message:
    """A seat with the word before it: ``position 2C``."""
    return said(_POSITION, position=seat)


def is_position(value: Any) -> bool:
    """Whether a value is a seat with the word before it."""
    return isinstance(value, Message) and value.template == _POSITION


def holds(value: Any) -> Iterator[Any]:
    """A value and, of a message, all that stands in its fields, however deep."""
    yield value
    if isinstance(value, Joined):
        for part in value.parts:
            yield from holds(part)
    elif isinstance(value, Message):
        for field in value.fields.values():
            yield from holds(field)


def part_label(restraint: str, part: str) -> Message:
    """A part of a restraint with whose it is, such as ``Nook shell``."""
    return said("{restraint} {part_name}", restraint=restraint, part_name=PartName(part))


def part_of(label: str) -> PartName | None:
    """The name of the part in its label; None where it is no part of a restraint."""
    return next((value for value in holds(label) if isinstance(value, PartName)), None)


def key_of(value: Any) -> object:
    """What tells a message from others, in whatever language it is shown: its template, and its fields by type."""
    if isinstance(value, Joined):
        return value.template, tuple(map(key_of, value.parts))
    if isinstance(value, Message):
        return value.template, tuple((name, key_of(field)) for name, field in value.fields.items())
    return type(value), value


def with_other(value: Any, other: Callable[[Any], Any]) -> Any:
    """A value as ``other`` has it; where that is the value itself, a message is made anew of its fields so changed."""
    changed = other(value)
    if changed is not value or not isinstance(value, Message):
        return changed
    if isinstance(value, Joined):
        return joined(value.template, [with_other(part, other) for part in value.parts])
    return said(value.template, **{name: with_other(field, other) for name, field in value.fields.items()})
