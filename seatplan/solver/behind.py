"""What stands behind one seat that moves: how much room each body there has, wherever that seat stands."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from seatplan.frozen import frozen
from seatplan.rules.subjects import Placement, RuleContext

from .lanes import Lanes
from .orders import forward_of
from .picture import Picture, SideSeen, picture
from .results import Arrangement, Plan


@frozen
class Behind:
    """One body behind a seat, lengths in mm. With that seat ``stands_mm`` forward of where its lengths were taken,
    ``part`` comes to within ``gap_mm`` of it at ``height_mm`` above the cushion, and ``asked_mm`` are asked for.
    ``gap_mm`` None: ``missing`` was not measured. ``estimated``: nobody measured the body, and it is taken as it needs
    most."""

    placement: Placement
    stands_mm: int
    gap_mm: int | None
    asked_mm: int
    part: str
    height_mm: int
    missing: str
    estimated: bool

    def at(self, forward_mm: int) -> int | None:
        """The gap with the seat ahead so far forward; it grows by as much as that seat comes forward."""
        return None if self.gap_mm is None else self.gap_mm + forward_mm - self.stands_mm


def behind(plan: Plan, arrangement: Arrangement, seat: str) -> Iterator[Behind]:
    """Each rider of an arrangement behind a seat, in the order of the arrangement."""
    lanes = Lanes(RuleContext(plan.trip, plan.trip.vehicle, plan.profile, plan.day, plan.options))
    stands = forward_of(seat, arrangement.ahead)
    for one in arrangement.seats:
        ahead = one.placement.position.ahead
        if ahead is None or ahead.seat != seat:
            continue
        need = lanes.need(one.placement)
        if need is None:
            continue
        slid = forward_of(one.placement.position.position, arrangement.ahead)
        known = need.mm is not None and need.missing is None
        yield Behind(one.placement, stands, need.free + stands - slid - need.reach if known else None, need.clearance,
                     need.part, need.height, need.missing.field if need.missing is not None else "",
                     need.estimated or lanes.is_assumed(one.placement))


def pictured(plan: Plan, arrangement: Arrangement, seat: str, forward_mm: int) -> Picture:
    """An arrangement with the shells behind a seat alone, and that seat so far forward."""
    seen = picture(plan, arrangement)
    return replace(seen, sides=tuple(_with(side, forward_mm) for side in seen.sides if side.ahead == seat))


def _with(side: SideSeen, forward_mm: int) -> SideSeen:
    more = forward_mm - side.stands_mm
    nearest = None if side.nearest is None else replace(side.nearest, free_mm=side.nearest.free_mm + more)
    return replace(side, stands_mm=forward_mm, nearest=nearest)
