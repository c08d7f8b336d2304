"""A trip with every estimated number somewhere between its ends: as it may turn out once everything is measured."""

from __future__ import annotations

from fractions import Fraction
from random import Random
from typing import Any

from seatplan.model import Restraint, Rider, Trip
from seatplan.model.estimated import EstimatedRestraint, EstimatedRider, EstimatedRow
from seatplan.model.record import Record
from seatplan.model.vehicle import Row
from seatplan.units import Quantity, Stature

#: the cushion of a bench, degrees: the outline of a kind is that in the car, that of a file is turned with the cushion
_BENCH = 15.0
_OF_A_KIND = dict.fromkeys(("kind", "width", "limits", "level_adjusts", "support_leg"))


def filled(trip: Trip, rng: Random) -> Trip:
    """A trip with corners as one that is measured in full. A body lies between two ends that go together, all of it
    as far; the seats of a row move apart together, with their bars and anchors; all else by itself."""
    vehicle = trip.vehicle.model_copy(update={"not_measured": None, "rows": [
        _plain(Row, _row(*row.corners, rng)) if isinstance(row, EstimatedRow) else row for row in trip.vehicle.rows]})
    return trip.model_copy(update={
        "vehicle": vehicle,
        "riders": [_plain(Rider, _body(rider, rng)) if isinstance(rider, EstimatedRider) else rider
                   for rider in trip.riders],
        "restraints": [_plain(Restraint, _restraint(*one.corners, rng)) if isinstance(one, EstimatedRestraint) else one
                       for one in trip.restraints]})


def _plain(kind: Any, of: Any) -> Any:
    return kind.model_construct(set(kind.model_fields), **{name: getattr(of, name) for name in kind.model_fields})


def _body(rider: EstimatedRider, rng: Random) -> Rider:
    small, middle, large = rider.corners
    one, other = rng.choice(((small, middle), (middle, large)))
    part = Fraction(rng.randint(0, 1000), 1000)
    return one.model_copy(update={
        name: _at(getattr(one, name), getattr(other, name), part) for name in ("mass", "height", "age")})


def _restraint(one: Restraint, other: Restraint, rng: Random) -> Restraint:
    mixed: Restraint = _mixed(one, other, rng)
    modes = [mode.model_copy(update={
        "shoulder_slots": mode.shoulder_slots and tuple(sorted(mode.shoulder_slots))}) for mode in mixed.modes]
    return mixed.model_copy(update={**_OF_A_KIND, "modes": modes})


def _row(near: Row, far: Row, rng: Random) -> Row:
    mixed: Row = _mixed(near, far, rng)
    part = Fraction(rng.randint(0, 1000), 1000)

    def together(name: str, ends: tuple[Any, Any, Any]) -> Any:
        record, one, other = ends
        return record.model_copy(update={name: _at(getattr(one, name), getattr(other, name), part)})

    def position(ends: tuple[Any, Any, Any]) -> Any:
        own, one, other = ends
        own = together("centre", ends)
        belt = own.belt
        if belt is not None and belt.anchors is not None and one.belt.anchors != other.belt.anchors:
            half = rng.randint(90, 250)
            belt = belt.model_copy(update={"anchors": (own.centre - half, own.centre + half)})
        if belt is not None and belt.buckle is not None and one.belt.buckle.across != other.belt.buckle.across:
            side = 1 if one.belt.buckle.across > one.centre else -1
            belt = belt.model_copy(update={"buckle": belt.buckle.model_copy(update={
                "across": own.centre + side * rng.randint(130, 240)})})
        return own.model_copy(update={"belt": belt})

    held = {name: [together("across", ends) for ends in zip(
        getattr(mixed, name), getattr(near, name), getattr(far, name), strict=True)]
        for name in ("lower_anchors", "tethers") if getattr(mixed, name)}
    return mixed.model_copy(update={
        **held, "positions": [*map(position, zip(mixed.positions, near.positions, far.positions, strict=True))],
        "cushion": mixed.cushion.model_copy(update={"angle": _BENCH})})


def _at(one: Any, other: Any, part: Fraction) -> Any:
    """So far from one number to another; of what is missing at an end, or the same at both, that."""
    if one is None or other is None or one == other:
        return one
    value = Fraction(one) + (Fraction(other) - Fraction(one)) * part
    return Quantity.of_kg(round(value, 2)) if isinstance(one, Quantity) else type(one)(round(value))


def _mixed(one: Any, other: Any, rng: Random) -> Any:
    """Every number by itself between two, every word as in one of them."""
    if one is None or other is None or isinstance(one, (bool, str)) or one == other:
        return rng.choice((one, other))
    if isinstance(one, Record):
        return one.model_copy(update={name: _mixed(getattr(one, name), getattr(other, name), rng)
                                      for name in type(one).model_fields})
    if isinstance(one, (list, tuple)) and len(one) == len(other):
        return type(one)(_mixed(a, b, rng) for a, b in zip(one, other, strict=True))
    if isinstance(one, (int, float, Quantity, Stature)):
        part = Fraction(rng.randint(0, 1000), 1000)
        return float(_at(Fraction(one), Fraction(other), part)) if isinstance(one, float) else _at(one, other, part)
    return rng.choice((one, other))
