"""Where labels find room: boxes in mm, y downwards, what stands in their way, and places nearest to where they belong.

A label is never put over another one, or over a line that is not its own.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from functools import cache, lru_cache, partial
from math import hypot

from seatplan.frozen import frozen

Point = tuple[float, float]
Line = tuple[float, float, float, float]
#: labels and what is beside them stay so far apart, mm
_APART = 4
#: a name further from its thing has a line to it, mm
_NEAR = 40
_NOWHERE: Line = (0.0, 0.0, 0.0, 0.0)
#: so many places that were found are remembered: of some ten drawings
_KEPT = 1024
#: places are tried in steps of this, mm, and so many of them to each side: further away a name says nothing
_STEP, _MOST = 12, 40


@frozen
class Rect:
    """A box: its edges."""

    left: float
    top: float
    right: float
    bottom: float

    @staticmethod
    def around(x: float, y: float, wide: float, high: float) -> Rect:
        """The box of a size with its middle at (x, y)."""
        return Rect(x - wide / 2, y - high / 2, x + wide / 2, y + high / 2)

    def wider(self, by: float) -> Rect:
        return Rect(self.left - by, self.top - by, self.right + by, self.bottom + by)

    def crossed(self, line: Line) -> bool:
        """Whether a straight line runs through the box (Liang and Barsky, 1984)."""
        x1, y1, x2, y2 = line
        if max(x1, x2) <= self.left or min(x1, x2) >= self.right or max(y1, y2) <= self.top or (
                min(y1, y2) >= self.bottom):
            return False
        start, end = 0.0, 1.0
        for way, room in ((x1 - x2, x1 - self.left), (x2 - x1, self.right - x1), (y1 - y2, y1 - self.top),
                          (y2 - y1, self.bottom - y1)):
            if way == 0:
                if room <= 0:
                    return False
            elif way < 0:
                start = max(start, room / way)
            else:
                end = min(end, room / way)
        return start < end

    def edges(self) -> list[Line]:
        return outline([(self.left, self.top), (self.right, self.top), (self.right, self.bottom),
                        (self.left, self.bottom)])


#: lines, boxes and shapes of a room
_Held = tuple[tuple[Line, ...], tuple[Rect, ...], tuple[tuple[Point, ...], ...]]


def outline(points: list[Point]) -> list[Line]:
    """The edges of a closed shape."""
    return [(*one, *other) for one, other in zip(points, [*points[1:], points[0]], strict=True)]


def bounds(points: list[Point]) -> Rect:
    """The box around a shape."""
    return Rect(min(x for x, _ in points), min(y for _, y in points), max(x for x, _ in points),
                max(y for _, y in points))


def holds(points: list[Point], x: float, y: float) -> bool:
    """Whether a closed shape has a point inside: a ray to the right leaves it once more than it enters."""
    inside = False
    for x1, y1, x2, y2 in outline(points):
        if (y1 > y) != (y2 > y) and x < (x2 - x1) * (y - y1) / (y2 - y1) + x1:
            inside = not inside
    return inside


def shortest(one: Rect, other: Rect) -> Line:
    """The shortest line from one box to another."""
    ends = []
    for low, high, from_, to in ((one.left, one.right, other.left, other.right),
                                 (one.top, one.bottom, other.top, other.bottom)):
        middle = (max(low, from_) + min(high, to)) / 2   # of what both share, or between them
        ends.append((min(max(middle, low), high), min(max(middle, from_), to)))
    (x1, x2), (y1, y2) = ends
    return x1, y1, x2, y2


@dataclass(slots=True)
class Room:
    """What is in the way of labels: lines, boxes, and closed shapes."""

    lines: list[Line] = field(default_factory=list)
    boxes: list[Rect] = field(default_factory=list)
    shapes: list[list[Point]] = field(default_factory=list)

    def reached(self, line: Line) -> bool:
        """Whether a line runs through none of the boxes."""
        return not any(box.crossed(line) for box in self.boxes)


def nearest_place(x: float, y: float, wide: float, high: float, inside: Rect, *rooms: Room) -> Rect | None:
    """The first of ``nearest``; remembered, for it is asked again each time that a drawing is made again."""
    return _first(x, y, wide, high, inside, *map(_held, rooms))


@lru_cache(_KEPT)
def _first(x: float, y: float, wide: float, high: float, inside: Rect, *held: _Held) -> Rect | None:
    return next(nearest(x, y, wide, high, inside, *map(_room, held)), None)


def _held(room: Room) -> _Held:
    """What is in a room, not to be changed any more."""
    return tuple(room.lines), tuple(room.boxes), tuple(map(tuple, room.shapes))


def _room(held: _Held) -> Room:
    lines, boxes, shapes = held
    return Room(list(lines), list(boxes), [list(shape) for shape in shapes])


def nearest(x: float, y: float, wide: float, high: float, inside: Rect, *rooms: Room) -> Iterator[Rect]:
    """Places for a box of a size inside another one and free in all rooms, those nearest to (x, y) first."""
    left, right, top, bottom = (inside.left + wide / 2, inside.right - wide / 2, inside.top + high / 2,
                                inside.bottom - high / 2)
    if left > right or top > bottom:
        return
    region = Rect(left, top, right, bottom)
    taken, aslant, shapes = _taken(rooms, wide / 2 + _APART, high / 2 + _APART, region)
    last = _NOWHERE                                      # what was in the way of one place mostly is of the next
    furthest = hypot(max(abs(left - x), abs(right - x)), max(abs(top - y), abs(bottom - y)))
    for far, dx, dy in _offsets():
        if far > furthest + 1:                           # no further step leads into the region
            return
        at_x, at_y = x + dx, y + dy
        if not (left <= at_x <= right and top <= at_y <= bottom) or (
                last[0] < at_x < last[2] and last[1] < at_y < last[3]):
            continue
        for one in taken:
            if one[0] < at_x < one[2] and one[1] < at_y < one[3]:
                last = one
                break
        else:
            box = Rect.around(at_x, at_y, wide, high)
            wider = box.wider(_APART)
            if not any(map(wider.crossed, aslant)) and not any(holds(shape, at_x, at_y) for shape in shapes):
                yield box


def _taken(rooms: Sequence[Room], half_wide: float, half_high: float, region: Rect
           ) -> tuple[list[Line], list[Line], list[list[Point]]]:
    """Where in a region the middle of a box may not be, for what is in the way lies along the edges of the paper; what
    lies aslant, and shapes."""
    taken, aslant = [], []
    reach = Rect(region.left - half_wide, region.top - half_high, region.right + half_wide, region.bottom + half_high)
    for room in rooms:
        aslant += [line for line in room.lines if line[0] != line[2] and line[1] != line[3] and reach.crossed(line)]
        straight = (Rect(min(x1, x2), min(y1, y2), max(x1, x2), max(y1, y2)) for x1, y1, x2, y2 in room.lines
                    if x1 == x2 or y1 == y2)
        for box in (*room.boxes, *straight):
            one = (box.left - half_wide, box.top - half_high, box.right + half_wide, box.bottom + half_high)
            if one[0] < region.right and region.left < one[2] and one[1] < region.bottom and region.top < one[3]:
                taken.append(one)
    return taken, aslant, [shape for room in rooms for shape in room.shapes]


def led(thing: Rect, places: Iterable[Rect], said: Room, lines: Room) -> tuple[Rect, Line | None] | None:
    """The first place for the name of a thing, with a line from one to the other where they are apart; the line runs
    through nothing that is ``said``, and through none of some ``lines`` if that can be had."""
    crossing = None
    for place in places:
        line = shortest(thing, place)
        if hypot(line[0] - line[2], line[1] - line[3]) <= _NEAR:
            return place, None
        if said.reached(line):
            if not any(map(partial(meet, line), lines.lines)):
                return place, line
            crossing = crossing or (place, line)
    return crossing


def led_place(thing: Rect, wanted: Point, size: Point, inside: Rect, rooms: Sequence[Room], said: Room, lines: Room
              ) -> tuple[Rect, Line | None] | None:
    """``led`` to the places nearest to where a name of that size is ``wanted``, remembered as ``nearest_place`` is."""
    return _led(thing, wanted, size, inside, tuple(map(_held, rooms)), _held(said), _held(lines))


@lru_cache(_KEPT)
def _led(thing: Rect, wanted: Point, size: Point, inside: Rect, rooms: tuple[_Held, ...], said: _Held, lines: _Held
         ) -> tuple[Rect, Line | None] | None:
    return led(thing, nearest(*wanted, *size, inside, *map(_room, rooms)), _room(said), _room(lines))


def meet(one: Line, other: Line) -> bool:
    """Whether two straight lines cross each other."""
    def side(line: Line, x: float, y: float) -> float:
        x1, y1, x2, y2 = line
        return (x2 - x1) * (y - y1) - (y2 - y1) * (x - x1)

    return (side(one, *other[:2]) * side(one, *other[2:]) < 0) and (side(other, *one[:2]) * side(other, *one[2:]) < 0)


@cache
def _offsets() -> list[tuple[float, float, float]]:
    """Steps to all sides with how far each is, the shortest first; of equals the one to the right, then downwards."""
    steps = [(i * _STEP, k * _STEP) for i in range(-_MOST, _MOST + 1) for k in range(-_MOST, _MOST + 1)]
    return [(hypot(*at), *at) for at in sorted(steps, key=lambda at: (hypot(*at), -at[0], -at[1]))]
