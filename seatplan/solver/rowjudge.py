"""Answers the search's questions about one row: room from geometry, clashes from the pair rules."""

from __future__ import annotations

from collections.abc import Sequence

from seatplan.geometry.across import Seat
from seatplan.geometry.chain import Solution, Squeeze, Step
from seatplan.model import Row
from seatplan.rules.run import Runner
from seatplan.rules.side_by_side import side_by_side
from seatplan.rules.subjects import Pair, Placement

from .lanes import Lanes
from .occasions import MADE_SO
from .placements import Cell
from .ranking import ROOM_CAP_MM, UNMEASURED, cost
from .rowplans import TOO_TIGHT, Room


class CarRow:
    """One row of the vehicle, for one solve. Every answer is kept."""

    def __init__(self, row: Row, runner: Runner, lanes: Lanes) -> None:
        self.row = row
        self._runner, self._world, self._lanes = runner, runner.world, lanes
        self._options = runner.world.options
        self._bodies = side_by_side(row, runner.world)
        self._space = self._bodies.space
        self._kind_of: dict[Cell, int] = {}
        self._kinds: dict[tuple[object, ...], int] = {}
        self._clashes: dict[tuple[int, int], tuple[bool, int, bool]] = {}
        # riders whom a wish about two riders tells apart
        self._named = {name for wish in self._world.trip.wishes
                       for name in (*(wish.apart or ()), *(wish.together or ()))}
        self._soft_apart = [frozenset(w.apart) for w in self._world.trip.wishes if w.apart and not w.must]

    def kind(self, cell: Cell) -> int:
        kept = self._kind_of.get(cell)
        if kept is None:
            kept = self._kind_of[cell] = self._kind(cell)
        return kept

    def _kind(self, cell: Cell) -> int:
        p = cell.placement
        own_body = p.fastened_each_trip or p.rider.rider in self._named
        key = (p.position.position, id(p.mode), id(p.installation), p.bars, p.tether,
               id(p.rider) if own_body else 0, p.recline, self._lanes.keeps_rearmost(p))
        return self._kinds.setdefault(key, len(self._kinds))

    def seat(self, placement: Placement) -> Seat:
        """The body that a placement puts in the row."""
        return self._bodies.body(placement)

    def bodies(self, placements: Sequence[Placement]) -> list[Seat]:
        """Everybody in the row, left to right: the riders, and the driver where no rider drives."""
        return self._bodies.bodies(placements)

    def room(self, cells: Sequence[Cell]) -> Room:
        seats = self.bodies([cell.placement for cell in cells])
        unsure = bool(self._space.missing(seats))
        fit = self._space.fit(seats, ROOM_CAP_MM)
        likely = bool(fit.estimates)
        if fit.short_mm > 0 or (self._options.strict and (unsure or likely)):
            return Room(max(fit.short_mm, 0.5), None, unsure, False)
        return Room(0, fit.spare_mm, unsure, fit.close, likely)

    def estimates(self, placements: Sequence[Placement]) -> tuple[str, ...]:
        """What is only estimated and decides whether they have room."""
        return self._space.fit(self.bodies(placements), ROOM_CAP_MM).estimates

    def tight(self, cells: Sequence[Cell]) -> bool:
        """Whether cells side by side lack room; under ``strict`` also where a number is missing or only estimated."""
        if self._options.strict:
            return self.room(cells).level == TOO_TIGHT
        return self._space.tight(self.bodies([cell.placement for cell in cells]))

    def lane(self, cells: Sequence[Cell]) -> int:
        return self._lanes.lane_of(cell.placement for cell in cells)

    def way(self, lanes: frozenset[tuple[int, int]]) -> int:
        return self._lanes.way(lanes)

    def off_by(self, steps: Sequence[Step]) -> float:
        """What the sum of some steps may be off, mm."""
        return self._space.off_by(steps)

    def solve(self, placements: Sequence[Placement]) -> Solution | Squeeze:
        return self._space.solve(self.bodies(placements))

    def steps(self, placements: Sequence[Placement]) -> list[Step]:
        """All separations and bounds of a row, those that limit nothing too."""
        return self._space.steps(self.bodies(placements))

    def unsure(self, placements: Sequence[Placement]) -> bool:
        return bool(self._space.missing(self.bodies(placements)))

    def clash(self, left: Cell, right: Cell) -> tuple[bool, int, bool]:
        key = (self.kind(left), self.kind(right))
        kept = self._clashes.get(key)
        if kept is None:
            kept = self._clashes[key] = self._judge(left.placement, right.placement)
        return kept

    def _judge(self, left: Placement, right: Placement) -> tuple[bool, int, bool]:
        # two in one kind of restraint have a copy each: whether there is one is for the resources of the seating
        outcomes = [finding.outcome for finding in self._runner.pair(Pair(left, right)) if finding.rule not in MADE_SO]
        unmeasured = "unmeasured" in outcomes
        both = {left.rider.rider, right.rider.rider}
        unkept = sum(both <= pair and neighbours(left, right) for pair in self._soft_apart)
        extra = cost(certainty=UNMEASURED * unmeasured, cautions=outcomes.count("caution"), wishes=unkept)
        return any(map(self._options.refuses, outcomes)), extra, unmeasured


def neighbours(left: Placement, right: Placement) -> bool:
    """Whether no seating position lies between two placements of one row."""
    if left.position.row != right.position.row:
        return False
    names = [position.position for position in left.row.positions]
    return abs(names.index(left.position.position) - names.index(right.position.position)) == 1
