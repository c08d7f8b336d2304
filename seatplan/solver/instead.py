"""What to try next where a restraint will not hold at the car: held in another way, or another arrangement."""

from __future__ import annotations

from collections.abc import Sequence

from seatplan.rules.subjects import Placement

from .results import Arrangement, Plan


def other_ways(arrangement: Arrangement, placement: Placement) -> list[Placement]:
    """The same restraint on the same seat, held by something else that would do as well."""
    return [cell.placement for seat in arrangement.seats if seat.placement is placement
            for cell in seat.alternatives if cell.placement.by != placement.by]


def next_without(plan: Plan, placement: Placement, before: Sequence[Placement] = ()) -> Arrangement | None:
    """Of the arrangements that were worked out without the restraint on that seat in that way the best that keeps most
    of what went in ``before``."""
    without = [arrangement for arrangement in plan.arrangements if not _has(arrangement, placement)]
    return max(without, key=lambda arrangement: sum(_has(arrangement, one) for one in before), default=None)


def _has(arrangement: Arrangement, placement: Placement) -> bool:
    return any(_same(seat.placement, placement) for seat in arrangement.seats)


def _same(one: Placement, other: Placement) -> bool:
    return (one.restraint is other.restraint and one.position is other.position and one.mode is other.mode
            and one.by == other.by and (one.restraint is not None or one.rider is other.rider))
