"""What stands around a place that one rider could have: every way for the others to fill the car around it."""

from __future__ import annotations

from collections.abc import Sequence
from copy import copy
from dataclasses import replace
from typing import TYPE_CHECKING

from seatplan.frozen import frozen

from ..combine import count_plans, rest_of
from ..placements import JudgedPlacement
from ..rowplans import FITS, LIKELY_FIT, TOO_TIGHT, UNSURE, Level, picked

if TYPE_CHECKING:
    from seatplan.geometry.across import Body

    from ..solve import Solve


@frozen
class Neighbours:
    """The cells of the others in the row, left to right, and the ways along the car of everybody in other rows.
    ``level``: how sure those cells are by themselves."""

    cells: tuple[JudgedPlacement, ...]
    ways: tuple[int, ...]
    level: Level


@frozen
class Side:
    """Bodies of a row, with that of a ``cell`` in the place: ``at`` is its index among them, ``cell`` a number.

    ``sure`` is the level at which they go together, whatever room they have; ``lane`` is what the others ask along the
    car, and ``ways`` are those of the other rows.
    """

    seats: tuple[Body, ...]
    at: int
    cell: int
    sure: int
    lane: int
    ways: tuple[int, ...]

    def with_body(self, body: Body) -> list[Body]:
        """The bodies with another one in the place."""
        return [*self.seats[:self.at], body, *self.seats[self.at + 1:]]


class Around:
    """One place for one rider in a solved trip."""

    def __init__(self, solve: Solve, rider: int, position: int) -> None:
        self._solve, self._row = solve, solve.row_at[position]
        self.car = solve.cars[self._row]
        self._order = {p.position: i for i, p in enumerate(solve.choices.positions)}
        self._alongs: dict[tuple[int, tuple[int, ...], int], int] = {}
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
                level = max(map(_sure, cells), default=FITS)
                if fill.level >= TOO_TIGHT:
                    continue
                key = (tuple(self.car.kind(cell) for cell in cells), tuple(sorted(ways)), level)
                found.setdefault(key, Neighbours(cells, tuple(sorted(ways)), level))
        return list(found.values())

    def sides(self, cells: Sequence[JudgedPlacement]) -> list[Side]:
        """What stands around each of some cells in the place, without those that cannot stand beside it."""
        found: dict[tuple[object, ...], Side] = {}
        for near in self.neighbours:
            lane = self.car.lane(near.cells)
            for n, cell in enumerate(cells):
                sure = self._beside(near, cell)
                if sure >= TOO_TIGHT:
                    continue
                row = self._sorted((*near.cells, cell))
                seats = self.car.bodies([one.placement for one in row])
                at = next(i for i, seat in enumerate(seats) if seat.position == cell.placement.position.position)
                key = (*[self.car.room_key(one) for one in row], lane, near.ways)
                kept = found.get(key)
                if kept is None or sure < kept.sure:
                    found[key] = Side(tuple(seats), at, n, sure, lane, near.ways)
        return list(found.values())

    def standing(self, cells: Sequence[JudgedPlacement]) -> list[Side]:
        """The same, as sure as they are with the room along the car."""
        sides = [replace(side, sure=max(side.sure, self.along(side.lane, side.ways, cells[side.cell])))
                 for side in self.sides(cells)]
        return [side for side in sides if side.sure < TOO_TIGHT]

    def _beside(self, near: Neighbours, cell: JudgedPlacement) -> int:
        """How well a cell stands beside some neighbours, whatever room they have."""
        level = max(near.level, _sure(cell))
        for other in near.cells:
            blocked, _, sure = self.car.clash(*self._sorted((other, cell)))
            if blocked:
                return TOO_TIGHT
            level = max(level, sure)
        return level

    def along(self, lane: int, ways: tuple[int, ...], cell: JudgedPlacement) -> int:
        """How it comes out along the car with a cell beside neighbours of a lane."""
        lanes = self._solve.lanes
        own = self.car.lane((cell,))
        key = (lane, ways, own)
        kept = self._alongs.get(key)
        if kept is None:
            here = lanes.way(frozenset({(lanes.together((lane, own)), FITS)}))
            kept = self._alongs[key] = min(lanes.level(lanes.join(here, way)) for way in ways)
        return kept

    def _sorted(self, cells: Sequence[JudgedPlacement]) -> list[JudgedPlacement]:
        return sorted(cells, key=lambda c: self._order[c.placement.position.position])

    def best(self, cells: Sequence[JudgedPlacement]) -> int:
        """The best level of any of some cells among any neighbours."""
        return min((self._level(near, cell) for near in self.neighbours for cell in cells), default=TOO_TIGHT)

    def _level(self, near: Neighbours, cell: JudgedPlacement) -> int:
        level = self._beside(near, cell)
        if level < TOO_TIGHT:
            level = max(level, self.car.room(self._sorted((*near.cells, cell))).level)
        if level < TOO_TIGHT:
            level = max(level, self.along(self.car.lane(near.cells), near.ways, cell))
        return level

    def beside(self, seats: Sequence[str]) -> Around:
        """The same place with somebody at each of these seats of its row."""
        narrowed = copy(self)
        narrowed.neighbours = [near for near in self.neighbours
                               if set(seats) <= {cell.placement.position.position for cell in near.cells}]
        return narrowed


def _sure(cell: JudgedPlacement) -> Level:
    """How sure a placement is by itself, whatever the tape may be off."""
    return UNSURE if cell.unmeasured else LIKELY_FIT if cell.estimates else FITS
