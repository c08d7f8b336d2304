"""Room towards the seat ahead: how far it must stand forward of rearmost so that a body clears it.

Lengths in mm; heights above the cushion surface at the bight, lengths forward from the bight.
"""

from __future__ import annotations

from bisect import bisect_left
from functools import lru_cache
from math import ceil, floor, inf
from operator import itemgetter
from typing import TYPE_CHECKING

from seatplan.fields import Missing, field, how_to_take, named
from seatplan.frozen import frozen
from seatplan.message import in_mm, said

from . import anthropometry
from .convex import SAME_MM, hull
from .shapes import Box, Shape, side_box

if TYPE_CHECKING:
    from collections.abc import Iterable

    from seatplan.model import Rider
    from seatplan.model.vehicle import Ahead

    from .convex import Outline

#: a free length still holds so far above the highest and below the lowest height that it was measured at
#: (common practice, no source); a seat ahead may bulge further away
HOLDS_BEYOND_MM = 100
#: further up, the back of a seat that somebody sits in leans no more than 45 degrees towards the row behind, so
#: that what ends well behind it there needs no length (common practice, no source)
LEANS_AT_MOST = 1
#: a tape along a leg that was measured (the default of the files)
_TAPE_MM = 5
#: knees of a child whose feet hang above the floor: from the cushion up to the top of a thigh that lies on it
#: (thigh clearance of the 95th percentile man about 195 mm, from memory, rounded up)
_CHILD_KNEES_UP_MM = (0, 200)


@frozen
class Profile:
    """The back of the seat ahead, standing rearmost: (height, free length) at rising heights, straight between
    them."""

    points: tuple[tuple[int, int], ...]

    @classmethod
    def of(cls, ahead: Ahead | None) -> Profile:
        """As measured; of two lengths at one height the shorter. No points where nobody measured."""
        shortest: dict[int, int] = {}
        for height, free in ahead.gap if ahead else ():
            shortest[height] = min(free, shortest.get(height, free))
        return cls(tuple(sorted(shortest.items())))

    @property
    def known(self) -> tuple[int, int] | None:
        """The lowest and highest height of which it says something; None where nothing was measured."""
        if not self.points:
            return None
        return self.points[0][0] - HOLDS_BEYOND_MM, self.points[-1][0] + HOLDS_BEYOND_MM

    def at(self, height: float) -> float | None:
        """The free length at a height; None where nobody measured near it."""
        if self.known is None or not self.known[0] <= height <= self.known[1]:
            return None
        i = bisect_left(self.points, height, key=itemgetter(0))
        if i == 0 or i == len(self.points):
            return float(self.points[min(i, len(self.points) - 1)][1])
        (low, near), (high, far) = self.points[i - 1], self.points[i]
        return near + (far - near) * (height - low) / (high - low)


@frozen
class Need:
    """How far forward of rearmost the seat ahead must stand, rounded up: ``mm = reach + clearance - free`` at
    ``height``, where ``part`` comes nearest. Below 0 that much is to spare.

    mm is None where nothing could be compared. Where ``missing`` names something, the part of the body that
    could not be compared may need more: it is no pass. ``off``: the reach may be off by so much, by the tape or
    because the body is ``estimated``.
    """

    mm: int | None
    height: int
    part: str
    reach: int
    clearance: int
    free: int
    missing: Missing | None = None
    off: int = 0
    estimated: bool = False


def forward_extent(outline: Outline, height: float) -> float | None:
    """The furthest forward that the convex hull of a side polygon reaches at a height; None above and below
    it."""
    found: float | None = None
    corners = _corners(outline)
    for (x0, y0), (x1, y1) in zip(corners, (*corners[1:], corners[0]), strict=True):
        if not min(y0, y1) - SAME_MM <= height <= max(y0, y1) + SAME_MM:
            continue
        level = abs(y1 - y0) <= SAME_MM
        x = max(x0, x1) if level else x0 + (x1 - x0) * min(max((height - y0) / (y1 - y0), 0), 1)
        found = x if found is None else max(found, x)
    return found


def room_needed(shape: Shape, profile: Profile, clearance_mm: int) -> Need:
    """Every part must end ``clearance_mm`` behind the seat ahead, measured level, at every height.

    Outline and profile are straight between their corners, so what is needed is largest at a corner of one or
    the other: exact up to the rounding to whole mm. Heights at which nobody measured are missing, unless a
    seat ahead that leans by ``LEANS_AT_MOST`` from the highest known one could not decide there.
    """
    missing: list[Missing] = []
    worst: tuple[float, float, Box, float] | None = None
    for box in shape.boxes:
        if box.outline is None:
            missing.append(field("mode.parts.outline", part=box.label))
            continue
        nearest = _nearest(box.outline, profile)
        if nearest is not None and (worst is None or nearest[0] > worst[0]):
            over, height, free = nearest
            worst = over, height, box, free
    missing += _unseen(shape, profile, worst[0] if worst else -inf)
    lacks = missing[0] if missing else None
    if worst is None:
        return Need(None, 0, "", 0, clearance_mm, 0, lacks)
    over, height, box, free = worst
    mm, free_mm = ceil(over + clearance_mm - SAME_MM), floor(free + SAME_MM)
    return Need(mm, round(height), box.label, mm + free_mm - clearance_mm, clearance_mm, free_mm, lacks,
                box.off_by, box.estimated)


@lru_cache(maxsize=4096)
def _nearest(outline: Outline, profile: Profile) -> tuple[float, float, float] | None:
    """How far a part reaches beyond the free length, the lowest height where that is most, and the free length there;
    None where nothing can be compared."""
    worst: tuple[float, float, float] | None = None
    for height in _heights(outline, profile):
        free = profile.at(height)
        extent = None if free is None else forward_extent(outline, height)
        if extent is not None and free is not None and (worst is None or extent - free > worst[0]):
            worst = extent - free, height, free
    return worst


def leg_need(rider: Rider, profile: Profile, above_floor: int | None) -> Need:
    """The same for the knees of somebody on the vehicle's own seat, taken from the middle of an estimate.

    The buttocks touch the seatback at the bight, so the knees reach their buttock-knee length from there. An
    adult's feet stand on the floor: the knees are between popliteal height and knee height above it, hence
    ``above_floor`` (the cushion at the bight above the floor) lower above the cushion. A child's legs may
    hang: its knees are anywhere from the cushion to the top of a thigh or of an adult's knee.
    """
    length = anthropometry.buttock_knee(rider)
    if length is None:
        return Need(None, 0, "", 0, 0, 0,
                    field("rider.height", rider=rider.rider)._replace(how=said("measure standing, without shoes")))
    if above_floor is None:
        called = named("row.cushion.above_floor", said("height of the cushion above the floor"))
        return Need(None, 0, "", 0, 0, 0, Missing(called, how_to_take("row.cushion.above_floor"), "mm"))
    low, high = (height - above_floor for height in anthropometry.ADULT_KNEE_UP)
    if not rider.adult:
        low, high = min(low, _CHILD_KNEES_UP_MM[0]), max(high, _CHILD_KNEES_UP_MM[1])
    knees = Box(
        field("rider.buttock_knee", rider=rider.rider).field,
        side_box((0, length.middle), (low, high)),
        None,
        length.spread,
        person=True,
        tolerance=_TAPE_MM,
        estimated=not length.measured,
    )
    return room_needed(Shape(rider.rider, (knees,)), profile, 0)


@lru_cache(maxsize=4096)
def _corners(outline: Outline) -> list[tuple[float, float]]:
    return list(hull(outline.corners))


def _heights(outline: Outline, profile: Profile) -> Iterable[float]:
    """Where outline or profile has a corner, or what is known ends."""
    return sorted({*(y for _, y in _corners(outline)), *(h for h, _ in profile.points), *(profile.known or ())})


def _unseen(shape: Shape, profile: Profile, worst: float) -> list[Missing]:
    """What must be measured for the heights at which a part could need more than the ``worst`` of those
    compared."""
    outlines = [box.outline for box in shape.boxes if box.outline is not None]
    if not outlines:
        return []
    if profile.known is None:
        return [field("position.ahead.gap")]
    low, high = profile.known
    free = profile.points[-1][1]
    above = [y for outline in outlines for x, y in _corners(outline)
             if y > high + SAME_MM and x - free + LEANS_AT_MOST * (y - high) > worst + SAME_MM]
    below = [y for outline in outlines for _, y in _corners(outline) if y < low - SAME_MM]
    heights = [ceil(max(above) - SAME_MM)] if above else []
    heights += [floor(min(below) + SAME_MM)] if below else []
    return [field("position.ahead.gap")._replace(
        field=named("position.ahead.gap",
                    said("free length to the seat ahead at height {height}", height=in_mm(height))))
            for height in heights]
