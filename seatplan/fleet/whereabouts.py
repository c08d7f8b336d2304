"""Where a copy is that is put into a vehicle at its depot: on the shelf, or in a vehicle that carries it until then."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from typing import NamedTuple

from .records import Booking, CopyUnit, Leg


class Place(NamedTuple):
    """A position of a vehicle."""

    vehicle: str
    position: str


def put_in_from(routes: Mapping[str, Sequence[Leg]], bookings: Mapping[str, Booking],
                copies: Iterable[CopyUnit]) -> dict[tuple[str, str], Place | None]:
    """By booking and copy that is put in before it, the place in a vehicle where the copy was last and still is when
    that vehicle has gone nowhere without it; None: the shelf of the depot. What the plan does not tell apart is left
    out: a piece without a copy."""
    last: dict[str, Place] = {one.key: Place(one.vehicle, one.position) for one in copies if one.vehicle}
    aboard: defaultdict[str, set[str]] = defaultdict(set)
    for key, place in last.items():
        aboard[place.vehicle].add(key)
    found: dict[tuple[str, str], Place | None] = {}
    legs = [(bookings[leg.booking].start, vehicle, leg) for vehicle, own in routes.items() for leg in own]
    for _, vehicle, leg in sorted(legs, key=lambda one: one[:2]):
        here = {copy: Place(vehicle, position)
                for (_, position, _), copy in zip(leg.load, leg.copies, strict=True) if copy}
        for copy, place in here.items():
            was = last.get(copy)
            still = was is not None and copy in aboard[was.vehicle]
            if not (still and was == place):
                found[leg.booking, copy] = was if still else None
        last.update(here)
        aboard[vehicle] = set(here)
    return found
