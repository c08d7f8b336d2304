"""Limits on labels that are unlikely: of another unit, or as no restraint of that kind has them."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from typing import Any

from seatplan.message import in_mm, said
from seatplan.model import Limits, Mode, Restraint, Vehicle
from seatplan.model.doubt import Path
from seatplan.units import KG_PER_POUND, Quantity

from .bands import Band, Odd, number, table
from .bodies import middle_mass

#: above this a limit of stature is a grown-up's, and says nothing of children so tall, mm
_TALLEST_CHILD = 1650


def kind_of(restraint: Restraint) -> str:
    """What its own mass is like: ``backless``, ``booster``, ``vest``, or ``other``."""
    modes = {mode.mode for mode in restraint.modes}
    if modes == {"backless-booster"}:
        return "backless"
    if modes == {"harness-vest"}:
        return "vest"
    return "booster" if modes <= {"backless-booster", "high-back-booster"} else "other"


def odd_labels(restraint: Restraint, us: bool) -> Iterator[Odd]:
    """Every unlikely limit of a restraint. ``us``: usual labels are those of the United States."""
    for i, mode in enumerate(restraint.modes):
        yield from _odd_limits(mode.limits, mode, ("modes", i, "limits"), us)
        for k, way in enumerate(mode.installations):
            at: Path = ("modes", i, "installations", k)
            if way.limits is not None:
                yield from _odd_limits(way.limits, mode, (*at, "limits"), us)
            for name in ("mass_limit", "combined_mass_limit", "tether_mass_limit", "needs_tether"):
                printed = getattr(way, name)
                if isinstance(printed, Quantity):
                    yield from other_unit(printed, (*at, name), (), us)


def odd_anchor_limits(vehicle: Vehicle, us: bool) -> Iterator[Odd]:
    """Limits of a vehicle handbook that read like the other unit."""
    for i, row in enumerate(vehicle.rows):
        for k, tether in enumerate(row.tethers or ()):
            yield from other_unit(tether.mass_limit, ("rows", i, "tethers", k, "mass_limit"), (), us)
        for k, position in enumerate(row.positions):
            for name in ("lower_anchor_mass_limit", "lower_anchor_child_mass_limit"):
                yield from other_unit(getattr(position.manual, name, None),
                                      ("rows", i, "positions", k, "manual", name), (), us)


def _odd_limits(limits: Limits, mode: Mode, at: Path, us: bool) -> Iterator[Odd]:
    if limits.mass is not None:
        for end, name in enumerate(("lower", "upper")):
            yield from _odd_mass(limits, mode, end, name, (*at, "mass"), us)
    if limits.height is not None:
        heights = table()["heights"][mode.mode]
        for end, name in enumerate(("lower", "upper")):
            value, (low, high) = number(limits.height[end]), heights[name]
            if end == 1 or value > 0:
                yield from Band(low, high, "mm", table()["heights_source"]).odd(
                    (*at, "height"), (end,), value, _of(mode))


def _odd_mass(limits: Limits, mode: Mode, end: int, name: str, path: Path, us: bool) -> Iterator[Odd]:
    assert limits.mass is not None
    mass, own = limits.mass[end], table()["limits"][mode.mode]
    if end == 0 and mass == 0:
        return
    asked = list(other_unit(mass, path, (end,), us))
    height = None if limits.height is None else float(number(limits.height[end]))
    usual = own[name] if height else own.get(f"{name}_alone", own[name])
    bands = [Band(low, high, "kg", table()["limits_source"])
             for low, high in (usual if isinstance(usual[0], list) else [usual])]
    if not asked and not any(band.holds(mass) for band in bands):
        nearest = min(bands, key=lambda band: min(abs(band.low - mass), abs(band.high - mass)))
        asked = list(nearest.odd(path, (end,), mass, _of(mode)))
    if not asked and height and height <= _TALLEST_CHILD:
        share = table()["limits_for_height"]
        low, high = (round(part * middle_mass(height), 1) for part in share[name])
        asked = list(Band(low, high, "kg", share["source"]).odd(
            path, (end,), mass, said("beside {height}", height=in_mm(int(height)))))
    yield from asked


def other_unit(mass: Quantity | None, path: Path, item: tuple[int, ...], us: bool) -> Iterator[Odd]:
    """A limit whose number labels print in the other unit; none where both are written."""
    if mass is None or mass.both:
        return
    pounds, kilograms = table()["usual_pounds"], table()["usual_kilograms"]
    usual = [*pounds["always"], *(pounds["us"] if us else ())]
    if mass in usual:
        yield Odd(path, item, mass, None, None, "kg", pounds["source"],
                  said("since {n} is a usual number of pounds ({n} lb are {kg} kg)", n=int(mass),
                       kg=_tenths(mass * KG_PER_POUND)))
    elif mass / KG_PER_POUND in kilograms["always"]:
        n = mass / KG_PER_POUND
        yield Odd(path, item, mass, None, None, "kg", kilograms["source"],
                  said("since {n} is a usual number of kilograms ({n} kg are {lb} lb)", n=int(n),
                       lb=_tenths(n / KG_PER_POUND)))


def _tenths(value: Fraction) -> float:
    return round(float(value), 1)


def _of(mode: Mode) -> Any:
    return said("for a {mode}", mode=mode.mode)
