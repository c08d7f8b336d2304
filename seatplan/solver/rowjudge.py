"""Answers the search's questions about one row: room from geometry, clashes from the pair rules."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, NamedTuple

from seatplan.geometry.across import Alone, Body
from seatplan.geometry.chain import Solution, Squeeze, Step
from seatplan.geometry.paths import Path
from seatplan.geometry.prefix import Prefix
from seatplan.model import Row
from seatplan.rules import footprints
from seatplan.rules.corners import has_corners, is_estimated, unkind
from seatplan.rules.pair import looked_at
from seatplan.rules.run import Runner
from seatplan.rules.side_by_side import side_by_side
from seatplan.rules.subjects import Pair, Placement, adjacent

from .lanes import Lanes
from .occasions import ENFORCED_BY_SEARCH
from .place import BodyInRow, Place
from .placements import JudgedPlacement
from .ranking import ROOM_CAP_MM, cost, weighed
from .rowplans import FITS, LIKELY_FIT, TOO_TIGHT, UNSURE, Level, Room, RoomsBeside

if TYPE_CHECKING:
    from seatplan.store import Shelf

    from .beside import Beside


#: fewer bodies at a position than this are asked about one by one, which finds more of them in the store
_MANY = 20


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
        here = (row.frame, world.profile.content, world.options, world.vehicle.measured.tolerance,
                None if driver is None else (driver.position.content, driver.rider.content))
        self._number, self._here = store.number, store.number(here)
        wishes = tuple(wish.content for wish in world.trip.wishes if wish.apart or wish.together)
        self._pairs_here = store.number((self._here, row.content, wishes))
        self._kind_of: dict[JudgedPlacement, int] = {}
        self._pair_kind_of: dict[JudgedPlacement, int] = {}
        self._body_of: dict[JudgedPlacement, BodyInRow] = {}
        self._lane_of: dict[JudgedPlacement, int] = {}
        self._places: dict[tuple[JudgedPlacement, ...], Place] = {}
        self._rooms_beside: dict[tuple[tuple[int, ...], tuple[int, ...]], list[RoomsBeside]] = {}
        self._beside: Beside | None = None
        self._prefixes: dict[tuple[int, ...], Prefix] = {}
        self._alones: dict[int, Alone] = {}
        self._corner_prefixes: dict[tuple[int, tuple[int, ...]], Prefix] = {}
        self._rooms: Shelf[Room] = store.shelf("rooms")
        # what can only be told at the corners is asked about one by one
        self._corners = tuple(
            side_by_side(corner.vehicle.row_of(row.positions[0].position), corner) for corner in world.corners()) if (
            has_corners(world.trip)) else ()
        self._corner_worlds = world.corners() if self._corners else ()
        self._clashes: Shelf[Clash] = store.shelf("clashes")

    def kind(self, cell: JudgedPlacement) -> int:
        """The number of what a cell puts into the row: of all that look alike there."""
        kept = self._kind_of.get(cell)
        if kept is None:
            kept = self._kind_of[cell] = self._kind(cell)
        return kept

    def _kind(self, cell: JudgedPlacement) -> int:
        p = cell.placement
        own_body = p.fastened_each_trip or p.rider.rider in self._named
        restraint = p.restraint
        return self._number((
            self._here, p.position.content, p.second and p.second.content,
            restraint and (restraint.restraint, restraint.tolerance),
            p.mode and p.mode.content, p.installation and p.installation.content,
            p.bars, p.tether, p.rider.content if own_body else 0, p.recline, self._lanes.keeps_rearmost(p)))

    def seat(self, placement: Placement) -> Body:
        """The body that a placement puts in the row."""
        return self._bodies.body(placement)

    def bodies(self, placements: Sequence[Placement]) -> list[Body]:
        """Everybody in the row, left to right: the riders, and the driver where no rider drives."""
        return self._bodies.bodies(placements)

    def room(self, cells: Sequence[JudgedPlacement]) -> Room:
        """Whether cells have room side by side, and how much."""
        bodies = [self._body_of.get(cell) or self._body(cell) for cell in cells]
        key = (self._here, *[body.key for body in bodies])
        kept = self._rooms.get(key)
        if kept is None:
            kept = self._room(key, bodies)
            if self._corners and kept.unsure and kept.level == UNSURE:
                kept = self._at_corners(key, bodies, kept)
            self._rooms.put(key, kept)
        return kept

    def _at_corners(self, key: tuple[int, ...], bodies: Sequence[BodyInRow], found: Room) -> Room:
        """Room that lacks a number, as it is where everybody takes most of it, in every corner of the vehicle."""
        # where some of them are open at a corner already, one more only takes room away
        for i in range(1, len(key) if len(bodies) > 1 else 0):
            fewer = self._rooms.get((*key[:i], *key[i + 1:]))
            if fewer is not None and fewer.level == UNSURE:
                return found
        spare = None
        for n, row in enumerate(self._corners):
            seats = row.with_driver([body.corners[n] for body in bodies])
            if row.space.lacks(seats):
                return found
            fit = row.space.fit(seats, ROOM_CAP_MM, None if row.driver else self._corner_prefix(n, key, bodies))
            if fit.short_mm > 0 or fit.open:
                return found
            if fit.spare_mm is not None:
                spare = fit.spare_mm if spare is None else min(spare, fit.spare_mm)
        return Room(0.5, None, False, False) if self._options.strict else Room(0, spare, False, False, True)

    def _corner_prefix(self, n: int, key: tuple[int, ...], bodies: Sequence[BodyInRow]) -> Prefix:
        """The sums of some bodies at a corner, from those of all but the last."""
        if not bodies:
            return Prefix()
        kept = self._corner_prefixes.get((n, key))
        if kept is None:
            before = [body.corners[n] for body in bodies[:-1]]
            kept = self._corner_prefixes[n, key] = self._corners[n].space.extended(
                self._corner_prefix(n, key[:-1], bodies[:-1]), before, bodies[-1].corners[n])
        return kept

    def rooms(self, before: Sequence[JudgedPlacement], lasts: tuple[JudgedPlacement, ...],
              cells: tuple[JudgedPlacement, ...]) -> Sequence[RoomsBeside] | None:
        """The rooms of some cells, with each of ``lasts`` and then each of ``cells`` at their right, for each of
        ``lasts``; those that are far enough from their limits to be told without a look at every sum."""
        if self._bodies.driver is not None or self._corners:
            return None
        places = [self._place(those) for those in (lasts, cells) if those]
        if len(places[-1].bodies) < _MANY:
            return None
        left = [self._body_of.get(cell) or self._body(cell) for cell in before]
        keys = tuple([body.key for body in left])
        asked = keys, tuple([place.number for place in places])
        told = self._rooms_beside.get(asked)
        if told is None:
            if self._beside is None:
                from .beside import Beside

                self._beside = Beside(self._space, self._alone, self._options)
            found = self._beside.rooms(left, self._prefix((self._here, *keys), left), places)
            told = self._rooms_beside[asked] = [found[column] for column in (places[0].columns if lasts else (0,))]
        return told

    def _place(self, cells: tuple[JudgedPlacement, ...]) -> Place:
        kept = self._places.get(cells)
        if kept is None:
            kept = self._places[cells] = Place.of(
                len(self._places), [self._body_of.get(cell) or self._body(cell) for cell in cells])
        return kept

    def _alone(self, body: BodyInRow) -> Alone:
        kept = self._alones.get(body.key)
        if kept is None:
            kept = self._alones[body.key] = self._space.alone(body.seat)
        return kept

    def room_key(self, cell: JudgedPlacement) -> int:
        """The number of all that the room of a cell beside others depends on."""
        return (self._body_of.get(cell) or self._body(cell)).key

    def body(self, placement: Placement) -> BodyInRow:
        """What a placement puts into the row."""
        seat, key = self._bodies.body(placement), self._bodies.room_key(placement)
        ends = [(row, unkind(placement, n, world)) for n, (row, world) in enumerate(
            zip(self._corners, self._corner_worlds, strict=True))]
        if is_estimated(placement):              # alike as far as they are known is not alike
            key = self._number((key, *[row.room_key(end) for row, end in ends]))
        return BodyInRow(key, seat, *self._space.lacks_alone(seat), seat.shape.guessed,
                         tuple([row.body(end) for row, end in ends]))

    def _body(self, cell: JudgedPlacement) -> BodyInRow:
        made = self._body_of[cell] = self.body(cell.placement)
        return made

    def _room(self, key: tuple[int, ...], bodies: Sequence[BodyInRow]) -> Room:
        seats = [body.seat for body in bodies]
        if self._bodies.driver is not None and bodies:
            return self.room_of(self._bodies.with_driver(seats))
        covered = any(body.covers for body in bodies)
        unsure = any(body.lacks or (covered and body.buckle_lacks) for body in bodies)
        return self._told(seats, unsure, self._prefix(key, bodies))

    def room_of(self, seats: Sequence[Body]) -> Room:
        """The same of bodies, left to right."""
        return self._told(seats, self._space.lacks(seats), self._space.prefix(seats))

    def _told(self, seats: Sequence[Body], unsure: bool, prefix: Prefix) -> Room:
        fit = self._space.fit(seats, ROOM_CAP_MM, prefix)
        likely, unsure = bool(fit.estimates), unsure or fit.open
        if fit.short_mm > 0 or (self._options.strict and (unsure or likely)):
            return Room(max(fit.short_mm, 0.5), None, unsure, False)
        return Room(0, fit.spare_mm, unsure, fit.close, likely)

    def _prefix(self, key: tuple[int, ...], bodies: Sequence[BodyInRow]) -> Prefix:
        """The sums of some bodies, from those of all but the last."""
        if not bodies:
            return Prefix()
        kept = self._prefixes.get(key)
        if kept is None:
            before = [body.seat for body in bodies[:-1]]
            kept = self._prefixes[key] = self._space.extended(
                self._prefix(key[:-1], bodies[:-1]), before, bodies[-1].seat)
        return kept

    def sums(self, seats: Sequence[Body]) -> list[Path]:
        """Every sum that the room of bodies depends on."""
        return self._space.paths(self._space.steps(seats))

    def shortfall(self, seats: Sequence[Body]) -> int:
        """How much room bodies lack, half-mm; what a tape may be off is left out."""
        return self._space.shortfall(seats)

    def tight(self, riders: Sequence[BodyInRow]) -> bool:
        """Whether riders side by side, left to right, lack room; under ``strict`` also where a number is missing or
        only estimated."""
        seats = [body.seat for body in riders]
        if self.strict:
            return self.room_of(self._bodies.with_driver(seats)).level == TOO_TIGHT
        if self._bodies.driver is not None:
            return self._space.tight(self._bodies.with_driver(seats))
        key = (self._here, *[body.key for body in riders])
        plainly = self._space.tight_with(self._prefix(key[:-1], riders[:-1]), seats[:-1], seats[-1])
        # of most it is plain, and then nobody need hold their sums
        return self._space.tight(seats, self._prefix(key, riders)) if plainly is None else plainly

    def lane(self, cells: Sequence[JudgedPlacement]) -> int:
        """The number of what cells ask and take along the car."""
        whole = self._lanes.empty
        for cell in cells:
            own = self._lane_of.get(cell)
            if own is None:
                own = self._lane_of[cell] = self._lanes.lane_of((cell.placement,))
            if own != self._lanes.empty:
                whole = self._lanes.pair(whole, own)
        return whole

    def way(self, lanes: frozenset[tuple[int, Level]]) -> int:
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

    def clash(self, left: JudgedPlacement, right: JudgedPlacement) -> Clash:
        """What two cells of the row come to beside each other."""
        key = (self._pairs_here, self._pair_kind(left), self._pair_kind(right))
        kept = self._clashes.get(key)
        return self._clashes.put(key, self._judge(left.placement, right.placement)) if kept is None else kept

    def _pair_kind(self, cell: JudgedPlacement) -> int:
        """The number of what rules about two riders look at; a rider only where a wish names it."""
        kept = self._pair_kind_of.get(cell)
        if kept is None:
            p = cell.placement
            kept = self._pair_kind_of[cell] = self._number((
                "pair", looked_at(p), is_estimated(p), p.rider.rider if p.rider.rider in self._named else "",
                footprints.footprint(p)))
        return kept

    def _judge(self, left: Placement, right: Placement) -> Clash:
        # two in one kind of restraint have a copy each: whether there is one is for the resources of the seating
        found = [finding for finding in self._runner.pair(Pair(left, right)) if finding.rule not in ENFORCED_BY_SEARCH]
        outcomes = [finding.outcome for finding in found]
        guessed = any(finding.result.estimates for finding in found)
        level = UNSURE if "unmeasured" in outcomes else LIKELY_FIT if guessed else FITS
        both = {left.rider.rider, right.rider.rider}
        unkept = sum(both <= pair and adjacent(left, right) for pair in self._soft_apart)
        return Clash(any(map(self._options.refuses, outcomes)) or (guessed and self.strict),
                     weighed(found) + cost(wishes=unkept), level)


class Clash(NamedTuple):
    """Two cells beside each other: whether a rule turns them down, what else they cost, how sure that is."""

    blocked: bool
    cost: int
    level: Level


