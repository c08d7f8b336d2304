"""What a car has above, before and behind a restraint: its roof, consoles, and ridges on the seatback.

Everything is in the frame of one place: along from its bight, up from its own cushion, mm.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise
from math import ceil, cos, floor, radians, sin
from typing import TYPE_CHECKING

from seatplan.frozen import frozen

from .convex import SAME_MM, Outline, hull
from .shapes import side_box

if TYPE_CHECKING:
    from seatplan.model.vehicle import Bolster, Console

    from .shapes import Box, Shape

#: higher and lower than anything in a car, mm
_ENDLESS = 9000


@frozen
class UnderRoof:
    """Where a body comes nearest to the roof: the ``part``, its ``height`` there, rounded up, and the ``roof``, rounded
    down. ``off``: what the height may be off."""

    part: str
    height: int
    roof: int
    off: int


def roof_at(roof: Sequence[tuple[int, int]], along: float) -> float:
    """The inside of the roof above a length: straight between the given ones, level beyond them."""
    known = sorted(roof)
    if along <= known[0][0]:
        return known[0][1]
    for (near, low), (far, high) in pairwise(known):
        if along <= far:
            return low + (high - low) * (along - near) / (far - near)
    return known[-1][1]


def under_roof(shape: Shape, roof: Sequence[tuple[int, int]], up: int) -> UnderRoof | None:
    """The part of a shape that has least room below the roof, which is given above a cushion that lies ``up`` lower.
    None where no part has an outline. Both are straight between their corners, so that nothing is nearer elsewhere."""
    found: list[tuple[float, Box, float, float]] = []
    for box in shape.boxes:
        if box.outline is None or box.person:
            continue
        around = hull(box.outline.corners)
        corners = [*around, around[0]]
        tops = corners + [(along, top) for along, _ in roof if (top := _top_at(corners, along)) is not None]
        found += [(roof_at(roof, x) - up - y, box, y, roof_at(roof, x) - up) for x, y in tops]
    if not found:
        return None
    _, box, height, inside = min(found, key=lambda one: one[0])
    return UnderRoof(box.label, ceil(height - SAME_MM), floor(inside + SAME_MM), box.off_by)


def _top_at(corners: Sequence[tuple[float, float]], along: float) -> float | None:
    """How high a closed outline reaches at a length."""
    tops = [y0 + (y1 - y0) * (along - x0) / (x1 - x0) for (x0, y0), (x1, y1) in pairwise(corners)
            if x0 != x1 and min(x0, x1) <= along <= max(x0, x1)]
    return max(tops, default=None)


@frozen
class Hit:
    """A part and the thing that it meets: ``by`` so many mm across, where the two would share room; ``off``: what
    half of its width may be off."""

    part: str
    thing: str
    by: float
    off: float


def side_of(console: Console, up: int) -> Outline:
    """A console in side view, from a cushion that lies ``up`` above the row's."""
    low, high = console.up or (-_ENDLESS, _ENDLESS)
    return side_box(console.along, (low - up, high - up))


def in_consoles(shape: Shape, consoles: Sequence[Console], middle: int, up: int) -> Iterator[Hit]:
    """Parts that would share room with a console. ``middle``: of the restraint across, half-mm; a part without a width
    or an outline is left out."""
    for box in shape.boxes:
        if box.outline is None or box.width is None or box.person:
            continue
        for console in consoles:
            by = _overlap((middle - box.width) / 2, (middle + box.width) / 2, console.across)
            if by > 0 and box.outline.overlaps(side_of(console, up)):
                yield Hit(box.label, console.name, by, box.off_by / 2)


def _overlap(left: float, right: float, across: tuple[int, int]) -> float:
    return min(right, across[1]) - max(left, across[0])


def stands_on(consoles: Sequence[Console], middle: int, along: tuple[int, int], up: int,
              depth: int) -> tuple[str, bool] | None:
    """What the foot of a support leg would stand on in place of the floor ``depth`` below the place's own cushion, and
    whether it does wherever between the ends of ``along`` it stands; None where nothing is there."""
    for console in consoles:
        high = _ENDLESS if console.up is None else console.up[1] - up
        if not console.across[0] < middle / 2 < console.across[1] or high <= -depth:
            continue
        if along[0] < console.along[1] and console.along[0] < along[1]:
            return console.name, console.along[0] <= along[0] and along[1] <= console.along[1]
    return None


def ridge(bolster: Bolster, seatback_angle: float, up: int) -> Outline:
    """A ridge of a seatback in side view, from a cushion that lies ``up`` above the row's: along the back, which leans
    by ``seatback_angle`` degrees, and ``depth`` proud of it."""
    low, high = bolster.up or (0, _ENDLESS)
    lean, depth = radians(seatback_angle), bolster.depth or 0
    corners = [(proud - h * sin(lean), h * cos(lean)) for h, proud in (
        (low - up, 0), (low - up, depth), (high - up, depth), (high - up, 0))]
    return Outline(tuple(corners))


def beside_ridges(shape: Shape, bolsters: Sequence[Bolster], middle: int, seatback_angle: float, up: int, *,
                  lies_against_back: bool) -> list[Hit]:
    """Parts of a restraint that are wider than the room between the ridges of a seatback. One whose back lies against
    the seatback meets them at every height that it has; another one only where it comes to the back."""
    found: list[Hit] = []
    for box in shape.boxes:
        if box.outline is None or box.width is None or box.person:
            continue
        for bolster in bolsters:
            by = _overlap((middle - box.width) / 2, (middle + box.width) / 2, bolster.across)
            if by <= 0:
                continue
            where = ridge(bolster, seatback_angle, up)
            _, low, _, high = box.outline.bounds
            _, from_up, _, to_up = where.bounds
            meets = (low < to_up and from_up < high) if lies_against_back else where.meets(box.outline)
            if meets:
                found.append(Hit(box.label, bolster.name, by, box.off_by / 2))
    return found
