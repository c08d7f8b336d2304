"""Vehicles that are still out when a day begins: what a plan of the day before leaves of itself behind midnight.

Such a vehicle comes home at a minute of the new day, with what its last booking had aboard. Until then neither it nor
those copies are there for anybody else, and what was in it before lies on the shelf of its depot.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import NamedTuple

from .floor import DAY_MINUTES
from .records import Booking, CopyUnit, DayPlan, Load, VehicleUnit

#: a vehicle of which nobody knows when it is home is used on no day
NEVER = 100 * DAY_MINUTES


class StillOut(NamedTuple):
    """One vehicle: the minute of the day at which it is at its depot, what stands in it, and which copy each piece is.
    Nothing of a booking is in it."""

    vehicle: str
    home: int
    load: Load
    copies: tuple[str, ...]


def still_out(plan: DayPlan, bookings: Mapping[str, Booking], vehicles: Iterable[VehicleUnit],
              travel: Mapping[tuple[str, str], int], before: Iterable[StillOut] = ()) -> Iterator[StillOut]:
    """Who is out at midnight, of the plan of the day before. ``bookings``: at least the last one of each vehicle, with
    minutes of their own day; ``before``: who was out when that day began."""
    earlier = {one.vehicle: one for one in before}
    for unit in vehicles:
        legs = plan.routes.get(unit.key, ())
        if legs:
            last = bookings[legs[-1].booking]
            back = travel.get((last.goal, unit.depot))
            home = NEVER if back is None else last.end + back - DAY_MINUTES
            out = StillOut(unit.key, home, legs[-1].load, legs[-1].copies)
        elif unit.key in earlier:
            out = earlier[unit.key]._replace(home=earlier[unit.key].home - DAY_MINUTES)
        else:
            continue
        if out.home > 0:
            yield out


def with_still_out(vehicles: Iterable[VehicleUnit], copies: Iterable[CopyUnit], out: Iterable[StillOut]
                   ) -> tuple[tuple[VehicleUnit, ...], tuple[CopyUnit, ...]]:
    """Vehicles and copies as they are when a day begins with some vehicles out."""
    of = {one.vehicle: one for one in out}
    where = {copy: (one.vehicle, piece[1]) for one in of.values()
             for piece, copy in zip(one.load, one.copies, strict=True) if copy}
    moved, gone = list[CopyUnit](), dict[str, set[tuple[str, str]]]()
    for copy in copies:
        there = where.get(copy.key)
        if there is None and copy.vehicle not in of:
            moved.append(copy)
            continue
        if copy.vehicle:
            gone.setdefault(copy.vehicle, set()).add((copy.kind, copy.position))
        vehicle, position = there or ("", "")
        moved.append(copy._replace(vehicle=vehicle, position=position))
    units = []
    for unit in vehicles:
        if unit.key in of:
            one = of[unit.key]
            units.append(unit._replace(installed=one.load, since=max(one.home, unit.since or 0)))
        else:
            left = gone.get(unit.key, set())
            units.append(unit._replace(installed=tuple(piece for piece in unit.installed if piece[:2] not in left)))
    return tuple(units), tuple(moved)

