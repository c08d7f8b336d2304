"""One row across: bodies between side walls, bound to bars or belts, with a hand's room at buckles.

All numbers here are whole half-millimetres unless a name ends in _mm. Positions are ordered left to right, so every
separation runs from a body to one further right; a single pass from the left decides whether a row fits
(``shortfall``). The same system goes to the chain engine for witness, spare and squeeze (``solve``).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from .chain import Addend, Solution, Squeeze, Step, solve
from .shapes import Box, Shape, Shapes, near, side_box, union

if TYPE_CHECKING:
    from shapely.geometry import Polygon

    from seatplan.model import Installation, Mode, Position, Restraint, Rider, Row

#: the zone beside a buckle that a hand needs, in side view above the cushion, mm (common practice, no source)
_BUCKLE_UP_MM = (-50, 150)
#: along or up of a trim for which none is given, and of a part that nobody measured, mm: a file's places lie within
_EVERYWHERE_MM, _ANYWHERE_MM = (-9000, 9000), (-2000, 6000)
#: x = 0, the left door trim
ORIGIN = "left"


@dataclass(frozen=True, slots=True, eq=False)
class Reachable:
    """A buckle that its rider fastens on every trip: a neighbour must end ``room`` before it, in the side view of
    ``zone``; the rider's own seat may come up to it. ``whole`` False: the stalk was not measured, so the zone is
    larger than this."""

    at: int
    room: int
    zone: Polygon
    position: str
    whole: bool = True


@dataclass(frozen=True, slots=True, eq=False)
class Seat:
    """One body in a row. ``centre`` is where its middle hangs (None: not measured), ``play`` how far it may move."""

    rider: str
    position: str
    shape: Shape
    centre: int | None
    play: int
    hangs_on: str
    buckle: Reachable | None


@dataclass(frozen=True, slots=True)
class Missing:
    """A number that this row needs and nobody measured, and how to take it."""

    field: str
    how: str


@dataclass(frozen=True, slots=True)
class _Bound:
    """A limit for a body's middle from one fixed thing; ``fixed`` marks the body's own play, which does not stretch."""

    at: int
    fixed: bool
    addends: tuple[Addend, ...]


def seat_of(
    row: Row, position: Position, rider: Rider, restraint: Restraint | None, mode: Mode | None,
    installation: Installation | None, bars: Sequence[str], shapes: Shapes, *,
    belt_play_mm: int, flexible_play_mm: int, rigid_play_mm: int, hand_room_mm: int,
) -> Seat:
    """The body that a placement puts in the row: its shape, and what it hangs on.

    On lower anchors its middle is at the midpoint of the two bars; otherwise on the centre line of the belt, which
    is the position's centre or, where that is missing, the midpoint of the belt's anchors. Connectors of an unknown
    kind get the smaller play, that of rigid ones.
    """
    shape = shapes.of(rider, restraint.restraint if restraint else rider.rider, mode, installation)
    centre, play_mm, hangs_on = _belt_line(position), belt_play_mm, f"belt line of {position.position}"
    known = {bar.bar: bar.across for bar in row.lower_anchors or ()}
    if len(bars) == 2:
        places = [known[bar] for bar in bars if bar in known]
        centre, hangs_on = sum(places) if len(places) == 2 else None, f"bars {bars[0]} and {bars[1]}"
        flexible = installation is not None and installation.connectors == "flexible"
        play_mm = flexible_play_mm if flexible else rigid_play_mm
    if installation is not None and installation.play is not None:
        play_mm = installation.play
    buckled = mode is None or mode.booster
    return Seat(rider.rider, position.position, shape, centre, 2 * play_mm, hangs_on,
                _buckle(position, hand_room_mm) if buckled else None)


def _belt_line(position: Position) -> int | None:
    if position.centre is not None:
        return 2 * position.centre
    anchors = position.belt.anchors if position.belt else None
    return None if anchors is None else anchors[0] + anchors[1]


def _buckle(position: Position, hand_room_mm: int) -> Reachable | None:
    buckle = position.belt.buckle if position.belt else None
    if buckle is None or buckle.across is None:
        return None
    reach = (buckle.stalk or 0) + hand_room_mm
    return Reachable(2 * buckle.across, 2 * hand_room_mm, side_box((0, reach), _BUCKLE_UP_MM), position.position,
                     buckle.stalk is not None)


class RowSpace:
    """The room of one row: its walls, and what is known of the distances between bodies. Answers are kept."""

    def __init__(self, row: Row, shapes: Shapes) -> None:
        self._row, self._shapes = row, shapes
        self._walls = [(trim, side_box(trim.along or _EVERYWHERE_MM, trim.up or _EVERYWHERE_MM)) for trim in row.trim]
        # where in side view each wall was measured
        self._left = union(zone for trim, zone in self._walls if trim.left is not None)
        self._right = union(zone for trim, zone in self._walls if trim.right is not None)
        self._open: dict[int, tuple[bool, bool]] = {}
        self._limits: dict[int, tuple[tuple[_Bound, ...], tuple[_Bound, ...]]] = {}
        self._buckled: dict[tuple[int, int, bool], _Bound | None] = {}
        self._kept: list[Seat] = []              # holds every seat asked about, so that ids stay theirs

    def shortfall(self, seats: Sequence[Seat], extra: int = 0) -> int:
        """How much room is missing, in half-mm; 0 or less: they fit. One pass, seats from left to right.

        ``extra`` is put on top of every separation, as the spare would be.
        """
        worst = -1 << 40
        places: list[int | None] = []
        for j, seat in enumerate(seats):
            lows, highs = self._bounds(seats, j)
            low = max((b.at + (0 if b.fixed else extra) for b in lows), default=None)
            for i in range(j):
                reach = self._shapes.reach(seats[i].shape, seat.shape)
                place = places[i]
                if reach.parts is not None and place is not None:
                    least = place + reach.need + extra
                    low = least if low is None or least > low else low
            if low is not None:
                for b in highs:
                    worst = max(worst, low - b.at + (0 if b.fixed else extra))
            places.append(low)
        return worst

    def spare(self, seats: Sequence[Seat], cap_mm: int) -> int | None:
        """Whole mm of spare, up to a cap; for seats that fit. None when not even the cap is felt."""
        if self.shortfall(seats, 2 * cap_mm) <= 0:
            return None
        low, high = 0, cap_mm                     # fits at low, not at high
        while high - low > 1:
            middle = (low + high) // 2
            if self.shortfall(seats, 2 * middle) <= 0:
                low = middle
            else:
                high = middle
        return low

    def solve(self, seats: Sequence[Seat]) -> Solution | Squeeze:
        """Witness and spare, or the sum that does not come out. Points are named by rider."""
        return solve(self.steps(seats), ORIGIN)

    def steps(self, seats: Sequence[Seat]) -> list[Step]:
        """The same system for the chain engine, with every addend named."""
        steps = []
        for j, seat in enumerate(seats):
            lows, highs = self._bounds(seats, j)
            steps.extend(Step(ORIGIN, seat.rider, b.at, not b.fixed, b.addends) for b in lows)
            steps.extend(Step(seat.rider, ORIGIN, -b.at, not b.fixed, b.addends) for b in highs)
            for other in seats[:j]:
                reach = self._shapes.reach(other.shape, seat.shape)
                if reach.parts is not None:
                    a, b = reach.parts
                    steps.append(Step(other.rider, seat.rider, reach.need, True, (
                        Addend(f"half of {a.label}", (a.width or 0) / 2),
                        Addend(f"half of {b.label}", (b.width or 0) / 2))))
        return steps

    def missing(self, seats: Sequence[Seat]) -> tuple[Missing, ...]:
        """What nobody measured and these seats need: without it a row can only be unmeasured."""
        found: list[Missing] = []
        # a body gives way to a hand; only a restraint's parts can cover a buckle
        covered = any(not box.person for seat in seats for box in seat.shape.boxes)
        for seat in seats:
            found.extend(Missing(f"width of {part}", f"measure {part} across at its widest, installed or on the floor")
                         for part in seat.shape.unmeasured)
            if seat.centre is None:
                found.append(Missing(f"centre of position {seat.position}",
                                     "measure from the left door trim to the middle of the seat"))
            if covered and self._belted(seat) and (seat.buckle is None or not seat.buckle.whole):
                found.append(Missing(f"buckle place at position {seat.position}",
                                     "measure from the left door trim to the buckle, and from the crease to its top"))
        beyond = [self._beyond_walls(seat) for seat in seats]
        if any(left for left, _ in beyond):
            found.append(Missing(f"left wall of row {self._row.row}", "measure where the left door trim begins"))
        if any(right for _, right in beyond):
            found.append(Missing(f"right wall of row {self._row.row}",
                                 "measure from the left door trim to the right one"))
        return tuple(found)

    def _beyond_walls(self, seat: Seat) -> tuple[bool, bool]:
        """Whether the body reaches, in side view, to where the left or the right wall was not measured."""
        key = id(seat.shape)
        found = self._open.get(key)
        if found is None:
            self._kept.append(seat)
            found = self._open[key] = (_beyond(seat.shape, self._left), _beyond(seat.shape, self._right))
        return found

    @staticmethod
    def _belted(seat: Seat) -> bool:
        """Whether the rider is buckled in with the vehicle belt; such a body has a person in it."""
        return any(box.person for box in seat.shape.boxes)

    @staticmethod
    def tolerance(seats: Sequence[Seat]) -> int:
        """The largest spread among the bodies, mm: estimated breadths may be so much wider."""
        return max((seat.shape.spread for seat in seats), default=0)

    def _bounds(self, seats: Sequence[Seat], j: int) -> tuple[list[_Bound], list[_Bound]]:
        """Lower and upper limits of one body's middle: walls, play, its own buckle, the buckles of the others."""
        seat = seats[j]
        kept = self._limits.get(id(seat))
        if kept is None:
            self._kept.append(seat)
            kept = self._limits[id(seat)] = self._own_bounds(seat)
        lows, highs = list(kept[0]), list(kept[1])
        for i, other in enumerate(seats):
            if i != j and other.buckle is not None:
                bound = self._beside_buckle(other, seat, i < j)
                if bound is not None:
                    (lows if i < j else highs).append(bound)
        return lows, highs

    def _own_bounds(self, seat: Seat) -> tuple[tuple[_Bound, ...], tuple[_Bound, ...]]:
        lows: list[_Bound] = []
        highs: list[_Bound] = []
        for trim, side in self._walls:
            widest = _widest(seat.shape, side)
            if widest is None:
                continue
            width = widest.width or 0
            half = Addend(f"half of {widest.label}", width / 2)
            if trim.left is not None:
                lows.append(_Bound(2 * trim.left + width, False, (Addend(f"left {trim.name}", trim.left), half)))
            if trim.right is not None:
                highs.append(_Bound(2 * trim.right - width, False,
                                    (half, Addend(f"right {trim.name}", -trim.right))))
        if seat.centre is not None:
            lows.append(_Bound(seat.centre - seat.play, True, (
                Addend(seat.hangs_on, seat.centre / 2), Addend(f"play at {seat.position}", -seat.play / 2))))
            highs.append(_Bound(seat.centre + seat.play, True, (
                Addend(seat.hangs_on, -seat.centre / 2), Addend(f"play at {seat.position}", -seat.play / 2))))
        self._own_buckle(seat, lows, highs)
        return tuple(lows), tuple(highs)

    @staticmethod
    def _own_buckle(seat: Seat, lows: list[_Bound], highs: list[_Bound]) -> None:
        """A rider's own booster must not cover the buckle that holds the rider."""
        if seat.buckle is None or seat.centre is None:
            return
        widest = _widest(seat.shape, seat.buckle.zone, people=False)
        if widest is None:
            return
        width = widest.width or 0
        half = Addend(f"half of {widest.label}", width / 2)
        name = f"buckle of {seat.position}"
        if seat.buckle.at >= seat.centre:
            highs.append(_Bound(seat.buckle.at - width, False, (half, Addend(name, -seat.buckle.at / 2))))
        else:
            lows.append(_Bound(seat.buckle.at + width, False, (Addend(name, seat.buckle.at / 2), half)))

    def _beside_buckle(self, owner: Seat, other: Seat, owner_left: bool) -> _Bound | None:
        """A neighbour must leave a hand's room at a buckle that is fastened on every trip."""
        key = (id(owner.buckle), id(other.shape), owner_left)
        if key in self._buckled:
            return self._buckled[key]
        self._kept += (owner, other)
        buckle, bound = owner.buckle, None
        if buckle is not None:
            widest = _widest(other.shape, buckle.zone, people=False)
            if widest is not None:
                width = widest.width or 0
                name = f"buckle of {buckle.position}"
                room = Addend(f"hand's room at the {name}", buckle.room / 2)
                half = Addend(f"half of {widest.label}", width / 2)
                if owner_left:
                    bound = _Bound(buckle.at + buckle.room + width, False,
                                   (Addend(name, buckle.at / 2), room, half))
                else:
                    bound = _Bound(buckle.at - buckle.room - width, False,
                                   (half, room, Addend(name, -buckle.at / 2)))
        self._buckled[key] = bound
        return bound


def _beyond(shape: Shape, wall: Polygon) -> bool:
    """Whether any part sticks out of what was measured of a wall; a part without an outline may be anywhere."""
    anywhere = side_box(_ANYWHERE_MM, _ANYWHERE_MM)
    return not all(wall.covers(b.outline or anywhere) for b in shape.boxes)


def _widest(shape: Shape, zone: Polygon | None, people: bool = True) -> Box | None:
    """The widest measured part that comes near a zone in side view; ``people`` False leaves bodies out."""
    parts = [b for b in shape.boxes if b.width is not None and (people or not b.person) and near(b.outline, zone)]
    return max(parts, key=lambda b: b.width or 0, default=None)
