"""Answers the search's questions about one row: room from geometry, clashes from the pair rules."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, NamedTuple

from seatplan.geometry.across import Seat
from seatplan.geometry.chain import Solution, Squeeze, Step
from seatplan.geometry.paths import Path
from seatplan.model import Row
from seatplan.rules.run import Runner
from seatplan.rules.side_by_side import side_by_side
from seatplan.rules.subjects import Pair, Placement

from .lanes import Lanes
from .placements import Cell
from .ranking import ROOM_CAP_MM, UNMEASURED, cost
from .rowplans import TOO_TIGHT, Room

if TYPE_CHECKING:
    from seatplan.store import Shelf


class CarRow:
    """One row of the vehicle, for one solve. Answers are kept in the store, by what the bodies hold."""

    def __init__(self, row: Row, runner: Runner, lanes: Lanes) -> None:
        self.row = row
        self._runner, self._world, self._lanes = runner, runner.world, lanes
        self._options = runner.world.options
        self.strict = runner.world.options.strict
        self._bodies = side_by_side(row, runner.world)
        self._space = self._bodies.space
        # riders whom a wish about two riders tells apart
        self._named = {name for wish in self._world.trip.wishes
                       for name in (*(wish.apart or ()), *(wish.together or ()))}
        self._soft_apart = [frozenset(w.apart) for w in self._world.trip.wishes if w.apart and not w.must]
        store, world = runner.world.store, runner.world
        driver = self._bodies.driver
        here = (row.content, world.profile.content, world.options, world.vehicle.measured.tolerance,
                None if driver is None else (driver.position.position, driver.rider.content))
        self._number, self._here = store.number, store.number(here)
        wishes = tuple(wish.content for wish in world.trip.wishes if wish.apart or wish.together)
        self._pairs_here = store.number((self._here, wishes))
        self._kind_of: dict[Cell, int] = {}
        self._rooms: Shelf[Room] = store.shelf("rooms")
        self._clashes: Shelf[Clash] = store.shelf("clashes")

    def kind(self, cell: Cell) -> int:
        """The number of what a cell puts into the row: of all that look alike there."""
        kept = self._kind_of.get(cell)
        if kept is None:
            kept = self._kind_of[cell] = self._kind(cell)
        return kept

    def _kind(self, cell: Cell) -> int:
        p = cell.placement
        own_body = p.fastened_each_trip or p.rider.rider in self._named
        restraint = p.restraint
        return self._number((
            self._here, p.position.position, restraint and (restraint.restraint, restraint.tolerance),
            p.mode and p.mode.content, p.installation and p.installation.content,
            p.bars, p.tether, p.rider.content if own_body else 0, p.recline, self._lanes.keeps_rearmost(p)))

    def seat(self, placement: Placement) -> Seat:
        """The body that a placement puts in the row."""
        return self._bodies.body(placement)

    def bodies(self, placements: Sequence[Placement]) -> list[Seat]:
        """Everybody in the row, left to right: the riders, and the driver where no rider drives."""
        return self._bodies.bodies(placements)

    def room(self, cells: Sequence[Cell]) -> Room:
        """Whether cells have room side by side, and how much."""
        key = (self._here, *[self.room_key(cell) for cell in cells])
        kept = self._rooms.get(key)
        if kept is None:
            kept = self._rooms.put(key, self.room_of(self.bodies([cell.placement for cell in cells])))
        return kept

    def room_key(self, cell: Cell) -> int:
        """The number of all that the room of a cell beside others depends on."""
        return self._bodies.room_key(cell.placement)

    def room_of(self, seats: Sequence[Seat]) -> Room:
        """The same of bodies, left to right."""
        unsure = self._space.lacks(seats)
        fit = self._space.fit(seats, ROOM_CAP_MM)
        likely = bool(fit.estimates)
        if fit.short_mm > 0 or (self._options.strict and (unsure or likely)):
            return Room(max(fit.short_mm, 0.5), None, unsure, False)
        return Room(0, fit.spare_mm, unsure, fit.close, likely)

    def sums(self, seats: Sequence[Seat]) -> list[Path]:
        """Every sum that the room of bodies depends on."""
        return self._space.paths(self._space.steps(seats))

    def shortfall(self, seats: Sequence[Seat]) -> int:
        """How much room bodies lack, half-mm; what a tape may be off is left out."""
        return self._space.shortfall(seats)

    def estimates(self, placements: Sequence[Placement]) -> tuple[str, ...]:
        """What is only estimated and decides whether they have room."""
        return self._space.fit(self.bodies(placements), ROOM_CAP_MM).estimates

    def tight(self, riders: list[Seat]) -> bool:
        """Whether riders' bodies side by side lack room; under ``strict`` also where a number is missing or only
        estimated."""
        seats = self._bodies.with_driver(riders)
        return self.room_of(seats).level == TOO_TIGHT if self.strict else self._space.tight(seats)

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

    def clash(self, left: Cell, right: Cell) -> Clash:
        """What two cells of the row come to beside each other."""
        key = (self._pairs_here, self.kind(left), self.kind(right))
        kept = self._clashes.get(key)
        return self._clashes.put(key, self._judge(left.placement, right.placement)) if kept is None else kept

    def _judge(self, left: Placement, right: Placement) -> Clash:
        outcomes = [finding.outcome for finding in self._runner.pair(Pair(left, right))]
        unmeasured = "unmeasured" in outcomes
        both = {left.rider.rider, right.rider.rider}
        unkept = sum(both <= pair and neighbours(left, right) for pair in self._soft_apart)
        extra = cost(certainty=UNMEASURED * unmeasured, cautions=outcomes.count("caution"), wishes=unkept)
        return Clash(any(map(self._options.refuses, outcomes)), extra, unmeasured)


class Clash(NamedTuple):
    """Two cells beside each other: whether a rule turns them down, what else they cost, whether a number is missing."""

    blocked: bool
    cost: int
    unmeasured: bool


def neighbours(left: Placement, right: Placement) -> bool:
    """Whether no seating position lies between two placements of one row."""
    if left.position.row != right.position.row:
        return False
    names = [position.position for position in left.row.positions]
    return abs(names.index(left.position.position) - names.index(right.position.position)) == 1
