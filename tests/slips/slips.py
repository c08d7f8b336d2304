"""Slips of the hand in the numbers of a trip, and what the judge of one arrangement says of each.

The true number is one with which the arrangement is rejected: the first value past its limit, found by halving, of a
trip that has nothing else against it. A row is open where the slip makes it fit, or nearly.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

import pinned
from pinned import GOOD
from pydantic import BaseModel, ValidationError

from seatplan.doubt import believed, doubts_of_restraint, doubts_of_rider, doubts_of_vehicle
from seatplan.files.crosscheck_restraint import restraint_problems
from seatplan.files.crosscheck_vehicle import vehicle_problems
from seatplan.files.reading import Document
from seatplan.model import Rider, Trip
from seatplan.model.doubt import Path, steps
from seatplan.model.sure import read_sure
from seatplan.solver.measure import with_value
from seatplan.units import Quantity, Stature, UnitError

#: what is no length and no mass
_OTHER = ("age", "expires_after", "model_year", "row", "angle", "reference", "settings", "packing_limit",
          "supported_base", "allowed")
LB = Fraction("2.2046")


@dataclass(frozen=True)
class Slip:
    """What a hand does to a number. ``hard``: it must never help; otherwise it may where the band still holds it."""

    name: str
    make: Callable[[Fraction], Fraction | None]
    hard: bool = True


def _digits(change: Callable[[str], str]) -> Callable[[Fraction], Fraction | None]:
    def make(value: Fraction) -> Fraction | None:
        text = f"{float(value):g}"
        changed = change(text)
        return None if changed in (text, "", ".", "-") else Fraction(changed)
    return make


def _swapped(k: int) -> Callable[[str], str]:
    return lambda text: text[:k] + text[k + 1:k + 2] + text[k:k + 1] + text[k + 2:] if text[k:k + 2].isdigit() else text


def _lost(k: int) -> Callable[[str], str]:
    return lambda text: text[:k] + text[k + 1:] if text[k:k + 1].isdigit() and len(text) > 1 else text


_TIMES = (Slip("x 10", lambda v: v * 10), Slip("/ 10", lambda v: v / 10))
_INCHES = (Slip("x 25.4", lambda v: v * Fraction("25.4")), Slip("/ 25.4", lambda v: v / Fraction("25.4")))
_DIGITS = (
    *(Slip(f"digits {k + 1} and {k + 2} swapped", _digits(_swapped(k)), hard=False) for k in range(3)),
    *(Slip(f"digit {k + 1} lost", _digits(_lost(k)), hard=False) for k in range(4)))
#: places along a scale whose zero is a point of the car: near it a tenth of a number is as usual as the number, and no
#: band can tell them apart
PLACES = ("vehicle.rows.trim.left", "vehicle.rows.cushion.left", "vehicle.rows.tethers.along",
          "vehicle.rows.tethers.up", "vehicle.rows.trim.up", "vehicle.rows.trim.along",
          "restraints.modes.parts.along", "restraints.modes.parts.up", "restraints.modes.parts.outline",
          "restraints.modes.installations.parts.along", "restraints.modes.installations.parts.up",
          "vehicle.rows.positions.belt.shoulder_exit", "vehicle.rows.positions.ahead.gap", "front.forward_at_most")


def slips_of(field: Field) -> tuple[Slip, ...]:
    """The slips that a field is tried with."""
    if not field.kg:
        return (*_TIMES, *_INCHES, *_DIGITS)
    own = field.path[0] == "restraints" and field.path[2] == "mass"
    return (*_TIMES, Slip("x 2.2046", lambda v: v * LB, hard=not own), Slip("/ 2.2046", lambda v: v / LB, hard=not own),
            *_DIGITS)


@dataclass(frozen=True)
class Field:
    """One number of a trip: ``path`` to the field, ``item`` into its value; in kg or in mm."""

    path: Path
    item: tuple[int, ...]
    kg: bool

    @property
    def name(self) -> str:
        """The path without numbers and names; items of a list alike."""
        kept = [str(step) for k, step in enumerate(self.path) if isinstance(step, str)
                and not (k and self.path[k - 1] == "front")]
        return ".".join(kept) + "".join(f"[{k}]" for k in self.item[-1:])


def fields(trip: Trip) -> Iterator[Field]:
    """Every length and mass of a trip, in the order of the files."""
    for part in ("vehicle", "riders", "restraints", "front", "tried"):
        yield from _fields(getattr(trip, part), (part,))


def _fields(value: Any, path: Path) -> Iterator[Field]:
    if isinstance(value, BaseModel):
        for name in type(value).model_fields:
            if name not in _OTHER and name != "sure":
                yield from _fields(getattr(value, name), (*path, name))
    elif isinstance(value, dict):
        for key, inner in value.items():
            yield from _fields(inner, (*path, key))
    elif isinstance(value, list) and value and isinstance(value[0], BaseModel):
        for k, inner in enumerate(value):
            yield from _fields(inner, (*path, k))
    else:
        yield from (Field(path, item, isinstance(own, Quantity)) for item, own in _numbers(value))


def _numbers(value: Any) -> Iterator[tuple[tuple[int, ...], Any]]:
    if isinstance(value, (list, tuple)):
        for k, inner in enumerate(value):
            for rest, own in _numbers(inner):
                yield (k, *rest), own
    elif isinstance(value, (int, Fraction)) and not isinstance(value, bool):
        yield (), value


def number_at(trip: Trip, field: Field) -> Fraction:
    value = list(steps(trip, field.path))[-1]
    for k in field.item:
        value = value[k]
    return value.exact if isinstance(value, Stature) else Fraction(value)


def put(trip: Trip, field: Field, value: Fraction) -> Trip | None:
    """The trip with another number in a field, read as the file would be; None where that is an error."""
    *_, beside, held = steps(trip, field.path)
    name = str(field.path[-1])
    new: str | float = round(value)
    if field.kg:
        new = f"{float(value):.6f} kg"
    elif isinstance(_inner(held, field.item), Stature):
        new = f"{float(value):.6f} mm"
    elif name == "moved":                        # read as whole millimetres, and refused where it is not
        new = int(value) if value.denominator == 1 else float(value)
    typed = _typed(held, field.item, new)
    try:
        read = read_sure(type(beside), {name: typed})[name]
    except (ValidationError, UnitError):
        return None
    changed: Trip = with_value(trip, field.path, read)
    rider = list(steps(trip, field.path[:2]))[-1]
    if isinstance(rider, Rider) and field.path[2] == "measured" and getattr(rider, name) == held:
        changed = with_value(changed, (*field.path[:2], name), read)
    return None if _wrong(changed, field) else changed


def _wrong(trip: Trip, field: Field) -> bool:
    """Whether a file with this number is refused."""
    document = Document("slip.yaml", {})
    if field.path[0] == "vehicle":
        return bool(vehicle_problems(trip.vehicle, document, ()))
    if field.path[0] == "restraints":
        return bool(restraint_problems(trip.restraints[int(field.path[1])], document, ()))
    return False


def _inner(value: Any, item: tuple[int, ...]) -> Any:
    for k in item:
        value = value[k]
    return value


def _typed(value: Any, item: tuple[int, ...], new: Any) -> Any:
    """A value as a file has it, one number of it another."""
    if not item:
        return new
    return [_typed(inner, item[1:], new) if k == item[0] else _plain(inner) for k, inner in enumerate(value)]


def _plain(value: Any) -> Any:
    if isinstance(value, Quantity):
        return value.written
    if isinstance(value, (list, tuple)):
        return [_plain(inner) for inner in value]
    return int(value) if isinstance(value, Stature) else value


class Pinned(pinned.Pinned):
    """One arrangement of a trip, judged again with other numbers."""

    def doubted(self, trip: Trip, field: Field) -> bool:
        """Whether a number of the record that a field belongs to is unlikely; nothing else was changed."""
        whose = list(steps(trip, field.path[:2]))[-1]
        match field.path[0]:
            case "riders":
                return bool(doubts_of_rider(whose, self.day))
            case "restraints":
                return bool(doubts_of_restraint(whose, trip.rules != "un"))
            case "vehicle":
                return bool(doubts_of_vehicle(trip.vehicle, trip.rules != "un"))
        return bool(believed(trip, self.day).doubted)

    def used(self, field: Field) -> bool:
        """Whether the arrangement uses what a field is part of."""
        return self.uses(field.path)

    def limit(self, field: Field, up: bool) -> Fraction | None:
        """The first number past the one at which the arrangement is rejected for it, upwards or downwards; None where
        no likely number is."""
        start = number_at(self.trip, field)
        unit = Fraction(1, 10) if field.kg else Fraction(1)
        sign = 1 if up else -1

        def believable(k: int) -> Trip | None:
            changed = put(self.trip, field, start + sign * k * unit)
            return None if changed is None or self.doubted(changed, field) else changed

        far, most = 1, 2048
        while far <= most and believable(far) is not None:
            far *= 2
        low, high = far // 2, min(far, most)
        while high - low > 1:                        # the last that is believed
            middle = (low + high) // 2
            low, high = (middle, high) if believable(middle) is not None else (low, middle)
        end = believable(low) if low else None
        if end is None or self.judge(end) != "rejected":
            return None
        fits, fails = 0, low
        while fails - fits > 1:
            middle = (fits + fails) // 2
            between = believable(middle)
            if between is not None and self.judge(between) == "rejected":
                fails = middle
            else:
                fits = middle
        return start + sign * fails * unit


@dataclass(frozen=True)
class Said:
    """What is said of one slip: ``error``, ``asked again``, the verdict, or that it reads like a true one."""

    trip: str
    field: Field
    slip: str
    true: Fraction
    wrong: Fraction
    said: str
    open: bool


def slipped(pinned: Pinned, field: Field, true: Fraction) -> Iterator[Said]:
    """Every slip on a number with which the arrangement is rejected."""
    for slip in slips_of(field):
        wrong = slip.make(true)
        if wrong is None or (not field.kg and round(wrong) == true):
            continue
        changed = put(pinned.trip, field, wrong)
        said, is_open = "error", False
        if changed is not None:
            asked = pinned.doubted(changed, field)
            verdict = pinned.judge(changed)
            said = f"asked again, {verdict}" if asked else verdict
            if verdict in GOOD:
                place = field.name.split("[")[0] in PLACES
                is_open = asked or (slip.hard and not place)
                said = said if is_open else "a place near its zero" if slip.hard else "reads like a true one"
        yield Said(pinned.trip.trip, field, slip.name, true, wrong, said, is_open)
