"""Arrangements that would come before the best one if a few things were measured."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from .asked import open_in
from .first import better_but_open
from .placements import JudgedPlacement
from .ranking import seating
from .results import Arrangement
from .rowplans import UNSURE, RowAssignment

if TYPE_CHECKING:
    from .solve import Solve

#: more readings than that are no few
FEW = 4
#: so many arrangements are told
_TOLD = 2


def openings(solve: Solve) -> list[Arrangement]:
    """Arrangements that would come before the best one by steps 2 to 6 of the order, and lack few readings: those that
    lack the fewest first, of each number the best."""
    best = next(solve.ranked(), None)
    if best is None or best.level >= UNSURE:
        return []
    aim = seating(best.cost)
    by_number: dict[int, Arrangement] = {}
    for n, arrangement in _open(solve, aim):
        by_number.setdefault(n, arrangement)
        if n == 1:
            break
    return [by_number[n] for n in sorted(by_number)][:_TOLD]


def _open(solve: Solve, aim: int) -> Iterator[tuple[int, Arrangement]]:
    """Those of them that are looked through, in order, each with the number of its readings."""
    lacking: dict[JudgedPlacement, frozenset[object]] = {}
    rows = [[plan for plan in plans if plan.level < UNSURE or _may_lack_few(solve, plan, lacking)]
            for plans in solve.rows]
    for arrangement in better_but_open(solve, aim, rows):
        placements = [seat.placement for seat in arrangement.seats]
        every = [*(f for seat in arrangement.seats for f in seat.cell.findings), *arrangement.findings]
        n = len({asked.same for asked, _ in open_in(every, placements, solve.trip)})
        if 0 < n <= FEW:
            yield n, arrangement


def _may_lack_few(solve: Solve, plan: RowAssignment, kept: dict[JudgedPlacement, frozenset[object]]) -> bool:
    """Whether each rider of a plan can ride so that all together lack few readings."""
    together: set[object] = set()
    for choice in plan.choices:
        each = []
        for cell in choice.cells:
            if cell not in kept:
                kept[cell] = frozenset(asked.same for asked, _ in open_in(cell.findings, [cell.placement], solve.trip))
            each.append(kept[cell])
        together |= min(each, key=len)
    return len(together) <= FEW
