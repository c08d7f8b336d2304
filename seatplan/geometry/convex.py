"""Convex outlines in side view: turned, lifted and held against each other, all by their corners.

Whether two come near each other is told by separating axes: convex outlines are apart exactly where they are along one
line square to an edge of either (Gottschalk, Lin and Manocha, OBBTree, 1996). A part has four corners, so that this is
a few sums, and a plan need not start a library for regions of any form; shapely knows those (``Outline.region``).
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import field
from itertools import pairwise
from math import cos, hypot, inf, pi, sin
from typing import TYPE_CHECKING

from seatplan.frozen import frozen

if TYPE_CHECKING:
    from shapely.geometry import Polygon

Point = tuple[float, float]
#: a direction of length 1, and from where to where an outline reaches along it
_Axis = tuple[float, float, float, float]

#: corners that were turned are the same where they differ by less, mm
SAME_MM = 1e-6
#: two edges run alike where the sine of what is between them is less
_ALIKE = 1e-9


@frozen
class Outline:
    """A convex outline by its corners in order, (along, up) in mm. ``bounds``: least along and up, then most."""

    corners: tuple[Point, ...]
    bounds: tuple[float, float, float, float] = field(init=False, compare=False, repr=False)
    _axes: tuple[_Axis, ...] | None = field(init=False, compare=False, repr=False, default=None)

    def __post_init__(self) -> None:
        along, up = zip(*self.corners, strict=True)
        object.__setattr__(self, "bounds", (min(along), min(up), max(along), max(up)))

    @classmethod
    def box(cls, along: Sequence[float], up: Sequence[float]) -> Outline:
        """A level box, of two ends in either order."""
        x0, x1 = sorted(map(float, along))
        y0, y1 = sorted(map(float, up))
        return cls(((x1, y0), (x1, y1), (x0, y1), (x0, y0)))

    @classmethod
    def around(cls, points: Iterable[Point]) -> Outline:
        """The least convex outline around some points."""
        return cls(hull(points))

    def turned(self, degrees: float) -> Outline:
        """Turned about the bight: positive leans it back, its top towards the seatback."""
        c, s = cos(degrees * pi / 180), sin(degrees * pi / 180)
        return Outline(tuple((c * x - s * y, s * x + c * y) for x, y in self.corners))

    def lifted(self, up: float) -> Outline:
        """The same ``up`` mm higher."""
        return Outline(tuple((x, y + up) for x, y in self.corners))

    def near(self, other: Outline, mm: float) -> bool:
        """Whether it comes within ``mm`` of another one. What a turn leaves of an exact distance decides nothing."""
        ax0, ay0, ax1, ay1 = self.bounds
        bx0, by0, bx1, by1 = other.bounds
        if ax0 > bx1 + mm or bx0 > ax1 + mm or ay0 > by1 + mm or by0 > ay1 + mm:
            return False
        between = self._between(other, mm + SAME_MM)
        return between <= 0 or (between <= mm + SAME_MM and _nearest(self.corners, other.corners) <= mm + SAME_MM)

    def meets(self, other: Outline) -> bool:
        """Whether the two have a point in common."""
        return self._between(other, SAME_MM) <= SAME_MM

    def overlaps(self, other: Outline) -> bool:
        """Whether the two share more than an edge."""
        return self._between(other, -SAME_MM) < -SAME_MM

    def region(self) -> Polygon:
        """The same for shapely, for what more than two of them come to."""
        from shapely.geometry import Polygon

        return Polygon(self.corners)

    def _between(self, other: Outline, enough: float) -> float:
        """How far they are apart along the axis on which that is most, below 0: how far each must be moved to get
        clear; no axis is looked at after one of more than ``enough``."""
        most = -inf
        for outline, corners in ((self, other.corners), (other, self.corners)):
            for nx, ny, low, high in outline._own_axes():
                at = [nx * x + ny * y for x, y in corners]
                most = max(most, min(at) - high, low - max(at))
                if most > enough:
                    return most
        return most

    def _own_axes(self) -> tuple[_Axis, ...]:
        if self._axes is None:
            object.__setattr__(self, "_axes", tuple(_axes(self.corners)))
        return self._axes or ()


def hull(points: Iterable[Point]) -> tuple[Point, ...]:
    """The corners of the least convex outline around some points, clockwise from the left one of the lowest (Andrew,
    Another efficient algorithm for convex hulls in two dimensions, 1979)."""
    known = sorted({(float(x), float(y)) for x, y in points}, key=lambda point: (point[1], point[0]))
    if len(known) < 3:
        return tuple(known)
    return (*_chain(known)[:-1], *_chain(known[::-1])[:-1])


def _chain(points: Sequence[Point]) -> list[Point]:
    """The points of one side, from the first to the last, on which the way only ever turns right."""
    found: list[Point] = []
    for x, y in points:
        while len(found) > 1:
            (x0, y0), (x1, y1) = found[-2:]
            if (x1 - x0) * (y - y0) < (y1 - y0) * (x - x0):
                break
            found.pop()
        found.append((x, y))
    return found


def _axes(corners: Sequence[Point]) -> Iterator[_Axis]:
    """The directions square to the edges, one for edges that run alike; of a mere line that along it, too."""
    seen: list[Point] = []
    for (x0, y0), (x1, y1) in pairwise((*corners, corners[0])):
        length = hypot(x1 - x0, y1 - y0)
        if not length:
            continue
        nx, ny = (y0 - y1) / length, (x1 - x0) / length
        if all(abs(nx * y - ny * x) > _ALIKE for x, y in seen):
            seen.append((nx, ny))
    if len(seen) < 2:
        nx, ny = seen[0] if seen else (1.0, 0.0)
        seen = [(nx, ny), (-ny, nx)]
    for nx, ny in seen:
        at = [nx * x + ny * y for x, y in corners]
        yield nx, ny, min(at), max(at)


def _nearest(a: Sequence[Point], b: Sequence[Point]) -> float:
    """The distance of two outlines that do not overlap: from a corner of one to an edge of the other."""
    return min(_distance(corner, start, end) for one, other in ((a, b), (b, a)) for corner in one
               for start, end in pairwise((*other, other[0])))


def _distance(point: Point, start: Point, end: Point) -> float:
    (x, y), (x0, y0), (x1, y1) = point, start, end
    dx, dy = x1 - x0, y1 - y0
    length = dx * dx + dy * dy
    part = min(1.0, max(0.0, ((x - x0) * dx + (y - y0) * dy) / length)) if length else 0.0
    return hypot(x - x0 - part * dx, y - y0 - part * dy)
