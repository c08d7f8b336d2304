"""What a drawing of an arrangement needs, as plain numbers: outlines as posed, edges of gaps, seats ahead.

Lengths in mm: ``across`` from the left door trim, ``along`` forward from the crease, ``up`` from the cushion there.
Bodies, places and gaps come from the same steps that the search and the certificates use.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from seatplan.frozen import frozen
from seatplan.geometry.across import ORIGIN, Body
from seatplan.geometry.ahead import Profile
from seatplan.geometry.chain import Squeeze, Step, buckle_of, half_of, is_buckle, whole_of
from seatplan.geometry.shapes import NEAR_MM
from seatplan.message import key_of, said
from seatplan.model import Row
from seatplan.rules.ahead import need_ahead
from seatplan.rules.run import Runner
from seatplan.rules.subjects import Placement, RuleContext

from .lanes import Lanes
from .orders import forward_of
from .results import AheadShown, Arrangement, Plan, RowShown
from .rowjudge import CarRow

if TYPE_CHECKING:
    from seatplan.geometry.shapes import Box

Span = tuple[float, float]
#: room at a buckle, beyond the hand's room itself, that is still worth showing (common practice, no source)
LITTLE_ROOM_MM = 50
#: more room than this, beside somebody who is not in the tight chain, is not worth showing (common practice, no source)
MUCH_ROOM_MM = 300


@frozen
class PartSeen:
    """A part as it stands in the car. ``outline``: corners (along, up), None where it was not measured."""

    label: str
    outline: tuple[tuple[float, float], ...] | None
    width_mm: int | None
    person: bool

    @property
    def along(self) -> Span | None:
        return None if self.outline is None else _span(x for x, _ in self.outline)

    @property
    def up(self) -> Span | None:
        return None if self.outline is None else _span(y for _, y in self.outline)


@frozen
class BodySeen:
    """A rider in a restraint, or on the seat belt. ``across_mm`` is its middle; None: not known."""

    placement: Placement
    across_mm: float | None
    parts: tuple[PartSeen, ...]
    hand_room_mm: float | None        # beside the own buckle, where it is fastened on every trip
    guessed: bool = False             # a driver whom the trip does not list: an adult of unmeasured size

    @property
    def width_mm(self) -> int | None:
        return max((part.width_mm for part in self.parts if part.width_mm is not None), default=None)


@frozen
class GapSeen:
    """Room across between two edges; negative where they overlap within what the tape may be off.

    ``between`` names the edges, in words that views can say in another language. ``along`` and ``up``: where the two
    come near each other in side view (None: nobody measured it). ``tight``: the gap is part of the
    chain that limits the row.
    """

    between: tuple[str, str]
    start_mm: float
    end_mm: float
    along: Span | None
    up: Span | None
    tight: bool
    sides: tuple[str, str]            # the points of the chain engine that it lies between
    at_buckle: bool

    @property
    def mm(self) -> float:
        return self.end_mm - self.start_mm

    @property
    def riders(self) -> tuple[str, ...]:
        """Whose bodies the edges belong to."""
        return tuple(side for side in self.sides if side != ORIGIN)


@frozen
class ChainSeen:
    """From where to where the chain runs that limits a row: walls, buckles, bars or belt lines, mm across."""

    start_mm: float
    end_mm: float
    start: str
    end: str


@frozen
class RowSeen:
    """One row with everybody in it, left to right, and the gaps that count."""

    row: Row
    shown: RowShown | None
    bodies: tuple[BodySeen, ...]
    gaps: tuple[GapSeen, ...]
    chain: ChainSeen | None


@frozen
class NearestAhead:
    """Where a shell comes nearest to the seat ahead: its ``part`` reaches ``reach_mm`` at ``height_mm``, and
    ``free_mm`` are free there with that seat where it stands. ``asked_mm`` is the gap that is asked for."""

    part: str
    height_mm: int
    reach_mm: int
    free_mm: int
    asked_mm: int
    tight: bool

    @property
    def mm(self) -> int:
        return self.free_mm - self.reach_mm


@frozen
class SideSeen:
    """A rear-facing shell from the side. ``profile``: (height, free length) of what is ahead, standing rearmost;
    ``stands_mm``: how far forward of rearmost it stands, ``slid_mm``: how far the shell's own row does; ``missing``:
    what was not measured."""

    body: BodySeen
    ahead: str | None                 # the seat ahead; None: nothing that moves
    profile: tuple[tuple[int, int], ...]
    stands_mm: int
    slid_mm: int
    nearest: NearestAhead | None
    missing: str | None
    beyond: bool = False              # it stands beyond where anybody may sit in it

    @property
    def forward_mm(self) -> int:
        """How much further from this crease it stands than it was measured."""
        return self.stands_mm - self.slid_mm


@frozen
class Picture:
    """``rows``: all rows of the vehicle, front row first; ``sides``: each rear-facing shell."""

    rows: tuple[RowSeen, ...]
    sides: tuple[SideSeen, ...]


def picture(plan: Plan, arrangement: Arrangement) -> Picture:
    """Work out the numbers of one arrangement of a plan."""
    world = RuleContext(plan.trip, plan.trip.vehicle, plan.profile, plan.day, plan.options)
    runner, lanes = Runner(world), Lanes(world)
    shown = {row.row.row: row for row in arrangement.rows}
    rows = []
    for row in plan.trip.vehicle.rows:
        car = CarRow(row, runner, lanes)
        rows.append(_row(car, row, shown.get(row.row), world))
    sides = [_side(body, arrangement.ahead, world) for row in rows for body in row.bodies
             if body.placement.rear_facing]
    return Picture(tuple(rows), tuple(sides))


def varied(plan: Plan, most: int) -> list[Arrangement]:
    """The best three arrangements, and the best one for each rider at each seat while there are no more than ``most``;
    in order of rank."""
    chosen = {a.rank: a for a in plan.arrangements[:3]}
    seen: set[tuple[str, str]] = set()
    for arrangement in plan.arrangements:
        seats = {(s.placement.rider.rider, s.placement.position.position) for s in arrangement.seats}
        if not seats <= seen and len(chosen) < most:
            chosen[arrangement.rank] = arrangement
            seen |= seats
    return [chosen[rank] for rank in sorted(chosen)]


def _row(car: CarRow, row: Row, shown: RowShown | None, world: RuleContext) -> RowSeen:
    if shown is None:
        return RowSeen(row, None, (), (), None)
    placements = [seat.placement for seat in shown.seats]
    seats = car.bodies(placements)
    solved = car.solve(placements)
    if isinstance(solved, Squeeze):
        raise RuntimeError("a row of an arrangement has no room")
    by_rider = {placement.rider.rider: placement for placement in placements}
    driver = world.unlisted_driver()
    at = {name: half / 2 for name, half in solved.at.items()}
    bodies = []
    for seat in seats:
        placement = by_rider.get(seat.rider) or driver
        assert placement is not None
        room = seat.buckle.room / 2 if seat.buckle is not None else None
        bodies.append(BodySeen(placement, at.get(seat.rider), tuple(_part(box) for box in seat.shape.boxes), room,
                               seat.rider not in by_rider))
    gaps = [_gap(step, seats, row, at, step in shown.tight) for step in car.steps(placements) if step.stretch]
    gaps.sort(key=lambda gap: (gap.start_mm, gap.end_mm))
    order = [seat.rider for seat in seats]
    return RowSeen(row, shown, tuple(bodies), tuple(gap for gap in gaps if _counts(gap, gaps, order)),
                   _chain(shown.tight))


def _counts(gap: GapSeen, gaps: Sequence[GapSeen], order: Sequence[str]) -> bool:
    """Whether a gap is one that a person looks at: in the tight chain, the narrowest between two neighbours or to a
    wall, or little room at a buckle."""
    if gap.tight:
        return True
    if gap.at_buckle:
        return gap.mm <= LITTLE_ROOM_MM
    nearer = (other for other in gaps if other.sides == gap.sides and not other.at_buckle and other.mm < gap.mm)
    if gap.mm > MUCH_ROOM_MM or any(nearer):
        return False
    places = [order.index(rider) for rider in gap.riders]
    if len(places) == 2:
        return places[1] - places[0] == 1
    return places[0] == (0 if gap.sides[0] == ORIGIN else len(order) - 1)


def _part(box: Box) -> PartSeen:
    return PartSeen(box.label, _corners(box), box.width, box.person)


def _corners(box: Box) -> tuple[tuple[float, float], ...] | None:
    if box.outline is None:
        return None
    return tuple((round(x, 1), round(y, 1)) for x, y in box.outline.corners)


def _gap(step: Step, seats: Sequence[Body], row: Row, at: Mapping[str, float], tight: bool) -> GapSeen:
    """The room of one separation. Its addends run from left to right: what bounds it on the left, then on the right."""
    first, last = step.addends[0], step.addends[-1]
    if step.start == ORIGIN:
        start, end = sum(addend.mm for addend in step.addends[:-1]), at[step.end] - last.mm
    elif step.end == ORIGIN:
        start, end = at[step.start] + first.mm, -sum(addend.mm for addend in step.addends[1:])
    else:
        start, end = at[step.start] + first.mm, at[step.end] - last.mm
    zones = [_zone(label, rider, seats, row) for label, rider in
             ((first.label, step.start), (last.label, step.end))]
    start_edge, end_edge = whole_of(first.label), whole_of(last.label)
    if len(step.addends) > 2 and step.start == ORIGIN:
        start_edge = said("{edge} and a hand's room", edge=start_edge)
    elif len(step.addends) > 2:
        end_edge = said("{edge}, beyond a hand's room", edge=end_edge)
    at_buckle = any(is_buckle(addend.label) for addend in step.addends)
    return GapSeen((start_edge, end_edge), start, end, _both(zones, 0), _both(zones, 1), tight,
                   (step.start, step.end), at_buckle)


def _zone(label: str, rider: str, seats: Sequence[Body], row: Row) -> tuple[Span, Span] | None:
    """Where in side view the thing of a label is, as (along, up); None where it was not measured."""
    if rider != ORIGIN:
        boxes = [box for seat in seats if seat.rider == rider for box in seat.shape.boxes
                 if key_of(half_of(box.label)) == key_of(label) and box.outline is not None]
        return _bounds(boxes[0].outline.bounds) if boxes else None  # type: ignore[union-attr]  # asked just above
    for seat in seats:
        if seat.buckle is not None and label == buckle_of(seat.buckle.position):
            return _bounds(seat.buckle.zone.bounds)
    everywhere = (-9000.0, 9000.0)
    for trim in row.trim:
        if label in (f"left {trim.name}", f"right {trim.name}"):
            return trim.along or everywhere, trim.up or everywhere
    return None


def _bounds(bounds: tuple[float, float, float, float]) -> tuple[Span, Span]:
    return (bounds[0], bounds[2]), (bounds[1], bounds[3])


def _both(zones: Sequence[tuple[Span, Span] | None], axis: int) -> Span | None:
    """What two things share along one axis; they may be as much as NEAR_MM apart."""
    one, other = zones
    if one is None or other is None:
        return None
    low, high = max(one[axis][0], other[axis][0]), min(one[axis][1], other[axis][1])
    if low > high + NEAR_MM:
        return None
    return round(min(low, high), 1), round(max(low, high), 1)


def _chain(tight: Sequence[Step]) -> ChainSeen | None:
    """From the step that leaves the left door to the one that comes back to it."""
    first = next((step for step in tight if step.start == ORIGIN), None)
    last = next((step for step in tight if step.end == ORIGIN), None)
    if first is None or last is None:
        return None
    start, end = first.addends[0], last.addends[-1] if last.stretch else last.addends[0]
    one, other = (start.mm, whole_of(start.label)), (-end.mm, whole_of(end.label))
    (low, left), (high, right) = sorted((one, other))
    return ChainSeen(low, high, left, right)


def _from_its_own_cushion(body: BodySeen) -> BodySeen:
    """A body of a row with its heights from the cushion that it stands on."""
    up = body.placement.lift
    if not up:
        return body
    return replace(body, parts=tuple(
        part if part.outline is None else replace(part, outline=tuple((x, y - up) for x, y in part.outline))
        for part in body.parts))


def _side(body: BodySeen, ahead: AheadShown | None, world: RuleContext) -> SideSeen:
    """A rear-facing shell, and what stands ahead of it in this arrangement."""
    body = _from_its_own_cushion(body)
    position = body.placement.position
    profile = Profile.of(position.ahead).points
    if position.ahead is None:
        return SideSeen(body, None, (), 0, 0, None,
                        said("free length ahead of {position}", position=position.position))
    seat = position.ahead.seat
    stands, slid = forward_of(seat, ahead), forward_of(position.position, ahead)
    need = need_ahead(body.placement, world)
    nearest = None
    if need is not None and need.mm is not None:
        own = said("reach at {position}", position=position.position)
        tight = ahead is not None and any(a.length == own for step in ahead.tight for a in step.addends)
        nearest = NearestAhead(need.part, need.height, need.reach, need.free + stands - slid, need.clearance,
                               tight)
    return SideSeen(body, seat, profile, stands, slid, nearest, need.missing.field if need and need.missing else None,
                    ahead is not None and seat in ahead.beyond)


def _span(values: Iterable[float]) -> Span:
    found = list(values)
    return min(found), max(found)
