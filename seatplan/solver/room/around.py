"""What stands around a place that one rider could have: every way for the others to fill the car around it."""

from __future__ import annotations

from collections.abc import Sequence
from copy import copy
from dataclasses import dataclass
from typing import TYPE_CHECKING

from ..combine import count_plans, rest_of
from ..placements import Cell
from ..rowplans import FITS, TOO_TIGHT, UNSURE, level_of, picked

if TYPE_CHECKING:
    from ..plan import Solve


@dataclass(frozen=True, slots=True)
class Neighbours:
    """The cells of the others in the row, left to right, and the ways along the car of everybody in other rows.
    ``level``: how sure those cells are by themselves."""

    cells: tuple[Cell, ...]
    ways: tuple[int, ...]
    level: int


class Around:
    """One place for one rider in a solved trip."""

    def __init__(self, solve: Solve, rider: int, position: int) -> None:
        self._solve, self._row = solve, solve.row_at[position]
        self._car = solve.cars[self._row]
        self._order = {p.position: i for i, p in enumerate(solve.choices.positions)}
        self.neighbours = self._all(rider, position)

    def _all(self, rider: int, position: int) -> list[Neighbours]:
        solve, lanes = self._solve, self._solve.lanes
        others = solve.everybody & ~(1 << rider)
        rows = [[plan for plan in plans if plan.level < TOO_TIGHT and not plan.riders >> rider & 1]
                for plans in solve.rows]
        wanted = {others & ~plan.riders for plan in rows[self._row]}
        counts = [count_plans(plans) for plans in rows]
        bias, guard = solve.resources.shared
        sits = solve.resources.sitting(rider, position)
        rest = rest_of(counts, lanes.nothing, lanes.join, solve.resources.shared, wanted.__contains__)[self._row]
        found: dict[tuple[object, ...], Neighbours] = {}
        for plan in rows[self._row]:
            if any(choice.position == position for choice in plan.choices):
                continue
            ways = {way for uses, way in rest.get(others & ~plan.riders, {})
                    if not (uses + plan.resources + sits + bias) & guard}
            if not ways:
                continue
            for fill in plan.fills:
                cells = tuple(picked(plan, fill))
                level = UNSURE if any(cell.unmeasured for cell in cells) else FITS
                if level_of(fill.cost) >= TOO_TIGHT:
                    continue
                key = (tuple(self._car.kind(cell) for cell in cells), tuple(sorted(ways)), level)
                found.setdefault(key, Neighbours(cells, tuple(sorted(ways)), level))
        return list(found.values())

    def level(self, near: Neighbours, cell: Cell, stands_as: Cell | None = None) -> int:
        """How it comes out with ``cell`` among some neighbours: a level, `TOO_TIGHT` where it does not. ``stands_as``
        asks the same room ahead and was asked about before."""
        along = stands_as or cell
        level = max(near.level, UNSURE if cell.unmeasured else FITS)
        for other in near.cells:
            left, right = self._sorted((other, along))
            blocked, _, unmeasured = self._car.clash(left, right)
            if blocked:
                return TOO_TIGHT
            level = max(level, UNSURE if unmeasured else FITS)
        room = self._car.room(self._sorted((*near.cells, cell)))
        if room.level == TOO_TIGHT:
            return TOO_TIGHT
        level = max(level, room.level)
        lanes = self._solve.lanes
        own = lanes.way(frozenset({(self._car.lane(self._sorted((*near.cells, along))), level)}))
        return min(lanes.level(lanes.join(own, way)) for way in near.ways)

    def _sorted(self, cells: Sequence[Cell]) -> list[Cell]:
        return sorted(cells, key=lambda c: self._order[c.placement.position.position])

    def best(self, cells: Sequence[Cell]) -> int:
        """The best level of any of some cells among any neighbours."""
        return min((self.level(near, cell) for near in self.neighbours for cell in cells), default=TOO_TIGHT)

    def beside(self, seats: Sequence[str]) -> Around:
        """The same place with somebody at each of these seats of its row."""
        narrowed = copy(self)
        narrowed.neighbours = [near for near in self.neighbours
                               if set(seats) <= {cell.placement.position.position for cell in near.cells}]
        return narrowed
