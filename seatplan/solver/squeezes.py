"""The sums of a trip that do not come out, and those that fail by the least."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import islice
from typing import TYPE_CHECKING

from seatplan.geometry.chain import Squeeze

from .judge import in_sum
from .ranking import squeeze as lacking
from .results import SqueezeShown
from .rowplans import TOO_TIGHT, RowAssignment, picked
from .solve import seated_of

if TYPE_CHECKING:
    from .solve import Solve

#: how many near misses are worked out
SQUEEZES_SHOWN = 3
#: how many of the best seatings are looked at for ones that fail along the car
LOOKED_AT = 300


def near_misses(solve: Solve) -> list[SqueezeShown]:
    """The seatings that fail only for room and by the least, one for each different sum; nearest first."""
    across: list[tuple[int, tuple[RowAssignment, ...]]] = []
    for i, row in enumerate(solve.rows):
        tight = [plan for plan in row if plan.level == TOO_TIGHT]
        across.extend(islice(solve.best_first([*solve.rows[:i], tight, *solve.rows[i + 1:]]), 50))
    across.sort(key=lambda item: item[0])
    shown = [*_different(solve, (plans for _, plans in across)), *_different(solve, _short_cars(solve))]
    return sorted(shown, key=lambda squeezed: squeezed.squeeze.short)[:SQUEEZES_SHOWN]


def _different(solve: Solve, seatings: Iterable[tuple[RowAssignment, ...]]) -> list[SqueezeShown]:
    """The first few different sums of some seatings."""
    shown: dict[tuple[object, ...], SqueezeShown] = {}
    for plans in seatings:
        squeezed = squeeze_in(solve, plans)
        if squeezed is not None:
            labels = (addend.label for step in squeezed.squeeze.steps for addend in step.addends)
            shown.setdefault((squeezed.row, *labels), squeezed)
        if len(shown) >= SQUEEZES_SHOWN:
            break
    return list(shown.values())


def _short_cars(solve: Solve) -> list[tuple[RowAssignment, ...]]:
    """Seatings among the best ones that fit in every row and not along the car, those that lack least first."""
    found: list[tuple[float, tuple[RowAssignment, ...]]] = []
    for base, plans in islice(solve.best_first(solve.rows), LOOKED_AT):
        if lacking(base):
            break
        along = solve.pick(plans).along
        if along.level == TOO_TIGHT and isinstance(along.answer, Squeeze):
            found.append((along.answer.short, plans))
    return [plans for _, plans in sorted(found, key=lambda item: item[0])]


def squeeze_in(solve: Solve, plans: Sequence[RowAssignment]) -> SqueezeShown | None:
    """The sum that does not come out in the first squeezed row of a seating.

    None where a row only counts as squeezed because ``strict`` asks for every number.
    """
    pick = solve.pick(plans)
    seated = seated_of(plans, pick).placements
    everyone = tuple(solve.kinds.given_out(seated))
    for i, (plan, fill) in enumerate(zip(plans, pick.fills, strict=True)):
        if plan.level == TOO_TIGHT:
            squeeze = solve.cars[i].solve([cell.placement for cell in picked(plan, fill)])
            row = solve.trip.vehicle.rows[i].row
            if isinstance(squeeze, Squeeze):
                here = tuple(p for p in everyone if p.row.row == row)
                return SqueezeShown(row, here, everyone, squeeze)
    along = solve.judge.along(seated)
    if along.level == TOO_TIGHT and isinstance(along.answer, Squeeze):
        spoken = tuple(p for p in everyone if in_sum(p, along))
        return SqueezeShown(None, spoken, everyone, along.answer)
    return None
