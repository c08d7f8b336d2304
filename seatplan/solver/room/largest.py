"""The largest measure of a restraint that still comes out at some level, among all that can stand around it."""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Callable, Sequence
from dataclasses import replace
from math import ceil
from typing import TYPE_CHECKING

from seatplan.geometry.tolerance import BELIEVED

from ..rowplans import CLOSE_FIT, FITS, TOO_TIGHT, UNSURE

if TYPE_CHECKING:
    from seatplan.geometry.across import Body
    from seatplan.geometry.paths import Path

    from ..placements import JudgedPlacement
    from .around import Around, Side


class Largest(ABC):
    """One measure, from a ``least`` to a ``most`` mm: asked by halving."""

    def __init__(self, sides: Sequence[Side], around: Around, least: int, most: int) -> None:
        self._around, self._car, self.least, self._most = around, around.car, least, most
        self._sides = list(sides)

    @abstractmethod
    def _body(self, side: Side, mm: int) -> Body:
        """The body of that measure among some others."""

    @abstractmethod
    def _sure(self, side: Side, mm: int) -> int:
        """The level of all but the room across."""

    def level(self, mm: int) -> int:
        """The best level of a measure on any side."""
        return min((self._one(side, mm) for side in self._sides), default=TOO_TIGHT)

    def _one(self, side: Side, mm: int) -> int:
        sure = self._sure(side, mm)
        return sure if sure >= TOO_TIGHT else max(sure, self._car.room_of(side.with_body(self._body(side, mm))).level)

    def largest(self, aim: int) -> int:
        """The largest measure that comes out at ``aim`` or better on some side; the least one does."""
        best = self.least
        for side in self._sides:
            if best < self._most and self._one(side, best + 1) <= aim:
                best = self._last(side, aim, best + 1)
        return best

    def _last(self, side: Side, aim: int, low: int) -> int:
        """The largest measure that does on one side, where ``low`` does."""
        high = self._most + 1                   # not asked for
        while high - low > 1:
            middle = (low + high) // 2
            low, high = (middle, high) if self._one(side, middle) <= aim else (low, middle)
        return low


class Length(Largest):
    """How long it is: the ``cells`` of each length stand beside others as the first ones do."""

    def __init__(self, sides: Sequence[Side], around: Around, least: int, most: int,
                 cells: Callable[[int], list[JudgedPlacement]]) -> None:
        super().__init__(sides, around, least, most)
        self._cells = cells
        self._kept: dict[int, list[JudgedPlacement]] = {}

    def _cell(self, side: Side, mm: int) -> JudgedPlacement:
        if mm not in self._kept:
            self._kept[mm] = self._cells(mm)
        return self._kept[mm][side.cell]

    def _body(self, side: Side, mm: int) -> Body:
        return self._car.seat(self._cell(side, mm).placement)

    def _sure(self, side: Side, mm: int) -> int:
        return max(side.sure, self._around.along(side.lane, side.ways, self._cell(side, mm)))

    def _last(self, side: Side, aim: int, low: int) -> int:
        return self._most if self._one(side, self._most) <= aim else super()._last(side, aim, low)


class Width(Largest):
    """How wide some parts are, the others staying as wide as they are: what it needs along the car does not change.

    Every sum across the row grows by half a width each time one of these parts stands in it, so the largest width
    follows from the sums at the widest. Which part of several decides can change on the way: so the answer is asked
    once at that width and once one mm above, and where it was wrong the width is found by halving.
    """

    def __init__(self, sides: Sequence[Side], around: Around, least: int, most: int,
                 widths: Sequence[int | None]) -> None:
        """``widths`` of the parts; None for those that grow. ``sides`` are as sure as they are with the room along
        the car."""
        super().__init__(sides, around, least, most)
        self._widths = widths
        self._bodies: dict[tuple[Body, int], Body] = {}
        self._sums: dict[Side, list[Path]] = {}
        # with the most room first: what follows is mostly settled by one question
        self._sides.sort(key=lambda side: self._car.shortfall(side.with_body(self._body(side, most))))

    def _body(self, side: Side, mm: int) -> Body:
        own = side.seats[side.at]
        body = self._bodies.get((own, mm))
        if body is None:
            boxes = own.shape.boxes
            sized = [replace(box, width=mm if width is None else width)
                     for box, width in zip(boxes, self._widths, strict=False)]
            shape = replace(own.shape, boxes=(*sized, *boxes[len(sized):]))
            body = self._bodies[own, mm] = replace(own, shape=shape)
        return body

    def _sure(self, side: Side, mm: int) -> int:
        return side.sure

    def _last(self, side: Side, aim: int, low: int) -> int:
        reckoned = self._reckoned(side, aim)
        right = low <= reckoned and self._one(side, reckoned) <= aim and (
            reckoned == self._most or self._one(side, reckoned + 1) > aim)
        return reckoned if right else super()._last(side, aim, low)

    def _reckoned(self, side: Side, aim: int) -> int:
        """The largest width, by the sums at the widest; below 0 where another width changes nothing."""
        own = side.seats[side.at]
        growing = {box.half for box, width in zip(own.shape.boxes, self._widths, strict=False)
                   if width is None}
        paths = self._sums.get(side)
        if paths is None:
            paths = self._sums[side] = self._car.sums(side.with_body(self._body(side, self._most)))
        less = 0
        for path in paths:
            over = path.over - self._may_overshoot(path, aim)
            if over > 0:
                grows = sum(addend.length in growing for step in path.steps for addend in step.addends)
                if not grows:
                    return -1
                less = max(less, ceil(over / grows))
        return self._most - less

    def _may_overshoot(self, path: Path, aim: int) -> float:
        """How much a sum may lack, half-mm, to come out at a level."""
        if not path.guess:
            return path.off_by if aim > FITS else -path.off_by
        tape = path.off_by - path.guess
        if self._car.strict or aim <= CLOSE_FIT:
            return -tape - BELIEVED * path.guess
        return tape - path.guess if aim < UNSURE else path.off_by
