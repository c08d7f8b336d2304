"""What the bodies of one row must keep, apart from the solver: plain inequalities from the raw records.

Nothing of the solver or the geometry is imported. Each inequality stands between two points, in half-millimetres, and
whether they can all hold is found by trying every cycle of points, which is slow and obvious.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import combinations, pairwise, permutations, product
from math import cos, hypot, radians, sin
from typing import Any, NamedTuple

from shapely.geometry import Polygon, box
from shapely.ops import unary_union

from seatplan.model import Installation, Mode, Position, Restraint, Rider, Row, Trip

NEAR_MM = 5
LEFT_DOOR = "left"
#: side view of the zone that a hand needs at a buckle, above the cushion, mm
HAND_ZONE_UP = (-50, 150)
EVERYWHERE = box(-9000, -9000, 9000, 9000)
ANYWHERE = box(-2000, -2000, 6000, 6000)

@dataclass(frozen=True)
class Person:
    """Breadths in mm (None: not known), how much wider they may be, and the shoulder's lowest and highest place."""

    hips: int | None
    shoulders: int | None
    hips_spread: int = 0
    shoulders_spread: int = 0
    shoulder_low: int | None = None
    shoulder_high: int | None = None
    hips_estimated: bool = False
    shoulders_estimated: bool = False


@dataclass(frozen=True)
class Play:
    """The numbers of the profile, mm."""

    belt: int
    flexible: int
    rigid: int
    hand: int


@dataclass(frozen=True)
class Part:
    label: str
    outline: Polygon | None
    width: int | None
    spread: int = 0
    person: bool = False
    tolerance: int = 0
    estimated: bool = False

    @property
    def off(self) -> float:
        """How far half of the width may be off."""
        return max(self.spread, self.tolerance) / 2


@dataclass(frozen=True)
class Body:
    rider: str
    position: Position
    parts: tuple[Part, ...]
    middle: float | None             # of the bars or the belt line, mm
    play: int
    belted: bool                     # buckled in with the vehicle belt on every trip
    hangs_on: str = ""               # the length that says where the middle is


@dataclass(frozen=True)
class Need:
    """place[end] - place[start] >= need half-mm. ``stretch``: a separation, which the spare widens. ``offs`` are the
    lengths in it with how far each may be off, mm; less than 0 where the length is taken away. ``guesses``: those of
    them that nobody measured."""

    start: str
    end: str
    need: int
    stretch: bool
    addends: tuple[float, ...]
    offs: tuple[tuple[str, float], ...] = ()
    guesses: frozenset[str] = frozenset()


#: 3.29 SD over 2.3263 SD: what nobody would believe, over the 99th percentile
BELIEVED = 3.29 / 2.3263


class Sum(NamedTuple):
    """A cycle of inequalities: half-mm too much, half-mm that it may be off, and what of that is only estimated."""

    over: int
    off: float
    guess: float

    @property
    def short(self) -> bool:
        return self.over > self.off

    @property
    def open(self) -> bool:
        """It comes out for a kind body and not for an unkind one."""
        return bool(self.guess) and not self.short and self.over + self.guess > self.off - self.guess

    @property
    def likely(self) -> bool:
        """It comes out for an unkind body, and not for one that nobody would believe."""
        return bool(self.guess) and not self.short and not self.open and (
            self.over + BELIEVED * self.guess > self.guess - self.off)

    @property
    def close(self) -> bool:
        return not self.guess and self.over > -self.off


def near(a: Polygon | None, b: Polygon | None) -> bool:
    return a is None or b is None or bool(a.distance(b) <= NEAR_MM)


def body_of(row: Row, position: Position, rider: Rider, restraint: Restraint | None, mode: Mode | None,
            installation: Installation | None, bars: Sequence[str], person: Person, play: Play,
            lean: tuple[float, float] | None = None) -> Body:
    """One body from the records alone; ``lean``: the setting and the packing that it stands at. What the belts of two
    places hold lies in the middle between both."""
    parts: list[Part] = []
    boosted, up = mode is not None and mode.mode.endswith("booster"), raised(position)
    if mode is not None and restraint is not None:
        for part in [*mode.parts, *(installation.parts if installation else [])]:
            off = restraint.tolerance if part.tolerance is None else part.tolerance
            parts.append(Part(f"{restraint.restraint} {part.part}", _stands(part, mode, lean, row, position),
                              part.width, tolerance=off))
        if not parts:
            parts.append(Part(restraint.restraint, None, None))
    if mode is None:
        parts.append(Part(f"{rider.rider}'s hips", box(0, up, 350, 250 + up), person.hips, person.hips_spread, True,
                          estimated=person.hips_estimated))
    if mode is None or boosted:
        low, high = (0, 0) if mode is None else (0, 200) if mode.seat_up is None else (mode.seat_up, mode.seat_up)
        outline = None
        if person.shoulder_low is not None and person.shoulder_high is not None:
            outline = box(-150, min(person.shoulder_low - 200, 250) + low + up, 250,
                          person.shoulder_high + 60 + high + up)
        parts.append(Part(f"{rider.rider}'s shoulders", outline, person.shoulders, person.shoulders_spread, True,
                          estimated=person.shoulders_estimated))
    middle: float | None
    if len(bars) == 2:
        across = [bar.across for name in bars for bar in row.lower_anchors or []
                  if bar.bar == name and bar.across is not None]
        middle = sum(across) / 2 if len(across) == 2 else None
        flexible = installation is not None and installation.connectors == "flexible"
        loose = play.flexible if flexible else play.rigid
    else:
        loose = play.belt
        second = second_place(row, position, installation)
        middles = [_belt_middle(place) for place in (position, second) if place is not None]
        middle = None if None in middles else sum(filter(None, middles)) / len(middles)
    if installation is not None and installation.play is not None:
        loose = installation.play
    shielded = mode is not None and mode.mode == "impact-shield" and installation is not None and (
        "belt" in installation.by)
    return Body(rider.rider, position, tuple(parts), middle, loose, mode is None or boosted or shielded,
                f"bars {bars}" if len(bars) == 2 else f"middle of {position.position}")


def second_place(row: Row, position: Position, installation: Installation | None) -> Position | None:
    """The place at the right of another, for what the belts of both hold; None where there is none."""
    if installation is None or installation.by != "two-belts":
        return None
    return next((right for left, right in pairwise(row.positions) if left.position == position.position), None)


def _belt_middle(position: Position) -> float | None:
    anchors = position.belt.anchors if position.belt else None
    return position.centre if position.centre is not None else sum(anchors) / 2 if anchors else None


def _stands(part: Any, mode: Mode, lean: tuple[float, float] | None, row: Row,
            position: Position) -> Polygon | None:
    """A part's outline as it stands in the car, turned point by point about the bight: on a bench of 15 degrees at the
    reference as it was measured; a steeper cushion leans it back, packing forward, and more recline turns the
    shell alone, a rear-facing one forward. On a cushion that lies higher than the row's it is so much higher."""
    outline = _side(part)
    if outline is None:
        return None
    own = position.cushion
    angle = row.cushion.angle if own is None or own.angle is None else own.angle
    back = 0 if angle is None else angle - 15
    if lean is not None:
        back -= lean[1]
        if part.part != "base" and mode.recline is not None:
            more = lean[0] - mode.recline.reference
            back += -more if mode.rear_facing else more
    c, s = cos(radians(back)), sin(radians(back))
    corners = [(x, y) if back == 0 else (x * c - y * s, x * s + y * c) for x, y in outline.exterior.coords]
    return Polygon([(x, y + raised(position)) for x, y in corners])


def raised(position: Position) -> int:
    """How much higher the cushion of a place lies than its row's."""
    return 0 if position.cushion is None else position.cushion.up or 0


def _side(part: Any) -> Polygon | None:
    if part.outline is not None:
        return Polygon(part.outline).convex_hull
    if part.along is None or part.up is None:
        return None
    return box(part.along[0], part.up[0], part.along[1], part.up[1])


def _zone(trim: Any) -> Polygon:
    (a, b), (low, high) = trim.along or (-9000, 9000), trim.up or (-9000, 9000)
    return box(a, low, b, high)


def _hand_zone(body: Body, play: Play) -> tuple[int, Polygon] | None:
    """The buckle's place in mm and the side view of the hand's room; None where there is none to keep."""
    buckle = body.position.belt.buckle if body.position.belt else None
    if not body.belted or buckle is None or buckle.across is None:
        return None
    up = raised(body.position)
    return buckle.across, box(0, HAND_ZONE_UP[0] + up, (buckle.stalk or 0) + play.hand, HAND_ZONE_UP[1] + up)


def needs_of(row: Row, bodies: Sequence[Body], play: Play, tolerance: float = 0) -> list[Need]:
    """Every inequality that the bodies of one row must keep, left to right. ``tolerance``: of the vehicle's file."""
    needs: list[Need] = []

    def right_of(place: float, body: Body, part: Part, length: str, off: float, *room: float) -> None:
        width = part.width or 0
        needs.append(Need(LEFT_DOOR, body.rider, round(2 * (place + sum(room)) + width), True,
                          (place, *room, width / 2), ((length, off), (part.label, part.off)), guessed(part)))

    def left_of(place: float, body: Body, part: Part, length: str, off: float, *room: float) -> None:
        width = part.width or 0
        needs.append(Need(body.rider, LEFT_DOOR, round(width + 2 * (sum(room) - place)), True,
                          (-place, *room, width / 2), ((length, -off), (part.label, part.off)), guessed(part)))

    def off_at(body: Body) -> float:
        return tolerance if body.position.tolerance is None else body.position.tolerance

    for j, body in enumerate(bodies):
        if body.middle is not None:
            needs.append(Need(LEFT_DOOR, body.rider, round(2 * (body.middle - body.play)), False,
                              (body.middle, -body.play), ((body.hangs_on, off_at(body)),)))
            needs.append(Need(body.rider, LEFT_DOOR, round(2 * (-body.middle - body.play)), False,
                              (-body.middle, -body.play), ((body.hangs_on, -off_at(body)),)))
        for part in body.parts:
            if part.width is None:
                continue
            for trim in row.trim:
                if near(part.outline, _zone(trim)):
                    off = tolerance if trim.tolerance is None else trim.tolerance
                    if trim.left is not None:
                        right_of(trim.left, body, part, f"left {trim.name}", off)
                    if trim.right is not None:
                        left_of(trim.right, body, part, f"right {trim.name}", off)
            if part.person:
                continue
            for i, owner in enumerate(bodies):
                hand = _hand_zone(owner, play)
                if hand is None or not near(part.outline, hand[1]):
                    continue
                place, length = hand[0], f"buckle of {owner.position.position}"
                if i < j:
                    right_of(place, body, part, length, off_at(owner), play.hand)
                elif i > j:
                    left_of(place, body, part, length, off_at(owner), play.hand)
                elif body.middle is not None and place >= body.middle:
                    left_of(place, body, part, length, off_at(owner))
                elif body.middle is not None:
                    right_of(place, body, part, length, off_at(owner))
        for other in bodies[:j]:
            for a, b in product(other.parts, body.parts):
                if a.width is not None and b.width is not None and near(a.outline, b.outline):
                    needs.append(Need(other.rider, body.rider, a.width + b.width, True, (a.width / 2, b.width / 2),
                                      ((a.label, a.off), (b.label, b.off)), guessed(a, b)))
    return needs


def guessed(*parts: Part) -> frozenset[str]:
    """The widths that nobody measured."""
    return frozenset(part.label for part in parts if part.estimated)


def off_by(needs: Iterable[Need], worst_case: bool = False) -> tuple[float, float]:
    """What the sum of some inequalities may be off, mm, and what of it is only estimated: each length once, root of the
    sum of squares; ``worst_case`` the plain sum. Estimates are added plainly."""
    lengths: dict[str, float] = {}
    guesses: set[str] = set()
    for need in needs:
        guesses |= need.guesses
        for length, off in need.offs:
            lengths[length] = lengths.get(length, 0.0) + off
    guess = sum(abs(off) for length, off in lengths.items() if length in guesses)
    taped = [off for length, off in lengths.items() if length not in guesses]
    return (sum(map(abs, taped)) if worst_case else hypot(*taped)) + guess, guess


def sums_of(needs: Sequence[Need], worst_case: bool = False) -> list[Sum]:
    """Every cycle of inequalities through the door."""
    most: dict[tuple[str, str, str], Need] = {}
    for need in needs:
        # of each fixed thing the widest part, and of two bodies the widest two
        key = (need.start, need.end, need.offs[0][0] if LEFT_DOOR in (need.start, need.end) else "")
        if key not in most or most[key].need < need.need:
            most[key] = need
    between: dict[tuple[str, str], list[Need]] = {}
    for need in most.values():
        between.setdefault((need.start, need.end), []).append(need)
    others = sorted({point for pair in between for point in pair} - {LEFT_DOOR})
    found = []
    for size in range(1, len(others) + 1):
        for chosen in permutations(others, size):
            cycle = (LEFT_DOOR, *chosen, LEFT_DOOR)
            edges = [between.get(pair, []) for pair in pairwise(cycle)]
            found += [Sum(sum(need.need for need in pick), *(2 * off for off in off_by(pick, worst_case)))
                      for pick in product(*edges)]
    return found


def room(needs: Iterable[Need]) -> tuple[bool, Fraction | None, int]:
    """(all can hold, the spare in mm or None, half-mm short of the worst cycle), by trying every cycle of points."""
    most: dict[tuple[str, str, bool], int] = {}
    for need in needs:
        key = (need.start, need.end, need.stretch)
        most[key] = max(need.need, most.get(key, need.need))
    points = sorted({point for start, end, _ in most for point in (start, end)})
    spare: Fraction | None = None
    worst = 0
    for size in range(2, len(points) + 1):
        for chosen in combinations(points, size):
            for rest in permutations(chosen[1:]):
                cycle = (chosen[0], *rest, chosen[0])
                edges = [[(most[a, b, s], s) for s in (True, False) if (a, b, s) in most] for a, b in pairwise(cycle)]
                for pick in product(*edges):
                    total, stretched = sum(need for need, _ in pick), sum(s for _, s in pick)
                    worst = max(worst, total)
                    if stretched:
                        limit = Fraction(-total, 2 * stretched)
                        spare = limit if spare is None else min(spare, limit)
    return worst <= 0, spare, worst


def lacks_numbers(row: Row, bodies: Sequence[Body]) -> bool:
    """Whether a number is missing without which nobody can say that the row fits."""
    left = unary_union([_zone(t).buffer(NEAR_MM) for t in row.trim if t.left is not None])
    right = unary_union([_zone(t).buffer(NEAR_MM) for t in row.trim if t.right is not None])
    for trim in row.trim:
        unread = any(at is None and trim.only in (None, side)
                     for side, at in (("left", trim.left), ("right", trim.right)))
        if unread and any(near(part.outline, _zone(trim)) for body in bodies for part in body.parts):
            return True
    rigid_things = any(not part.person for body in bodies for part in body.parts)
    for body in bodies:
        buckle = body.position.belt.buckle if body.position.belt else None
        if body.middle is None or any(part.width is None for part in body.parts):
            return True
        if body.belted and rigid_things and (buckle is None or buckle.across is None or buckle.stalk is None):
            return True
        if any(not wall.covers(part.outline or ANYWHERE) for part in body.parts for wall in (left, right)):
            return True
    return False


def unlisted_driver(trip: Trip, row: Row, people: Callable[[Rider], Person], play: Play) -> Body | None:
    """The driver's body, where no rider drives and the row has the driver's seat."""
    if any(rider.drives for rider in trip.riders) or all(p.position != trip.drives for p in row.positions):
        return None
    driver = Rider.model_validate({"rider": "the driver", "adult": True, "drives": True})
    position = trip.vehicle.position(trip.drives)
    return body_of(row, position, driver, None, None, None, (), people(driver), play)
