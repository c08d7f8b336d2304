"""What nobody measured of the side walls of a row, and which bodies come near it in side view."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import cached_property
from typing import TYPE_CHECKING

from seatplan.fields import Missing, field
from seatplan.message import Word

from .convex import Outline
from .shapes import NEAR_MM, Shape, near, side_box

if TYPE_CHECKING:
    from shapely.geometry import Polygon

    from seatplan.model import Row
    from seatplan.model.vehicle import Trim

#: along or up of a part that nobody measured, mm: a file's places lie within
_ANYWHERE_MM = (-2000, 6000)


def unread_sides(row: Row, walls: Sequence[tuple[Trim, Outline]]) -> list[tuple[str, Missing, Outline]]:
    """What sticks out at a side where nobody measured it: the side, what to measure, and where in side view."""
    return [
        (side, field("row.trim", side=Word(side), trim_name=trim.name, row=row.row), zone)
        for trim, zone in walls for side, at in (("left", trim.left), ("right", trim.right))
        if at is None and trim.only in (None, side)]


class Wall:
    """Where in side view one wall of a row was measured: all level boxes of its trim together."""

    def __init__(self, boxes: Iterable[Outline]) -> None:
        self._boxes = tuple(boxes)

    def covers(self, outline: Outline) -> bool:
        """Whether all of an outline was; gaps between boxes of less than NEAR_MM are closed."""
        return any(_within(outline, box) for box in self._boxes) or (
            len(self._boxes) > 0 and self._region.covers(outline.region()))

    @cached_property
    def _region(self) -> Polygon:
        from shapely.ops import unary_union

        return unary_union([box.region().buffer(NEAR_MM) for box in self._boxes])


def _within(outline: Outline, box: Outline) -> bool:
    """Whether an outline ends within a level box, or sticks out of it by NEAR_MM along or up at most."""
    x0, y0, x1, y1 = outline.bounds
    ax0, ay0, ax1, ay1 = box.bounds
    along, up = max(ax0 - x0, x1 - ax1), max(ay0 - y0, y1 - ay1)
    return min(along, up) <= 0 and max(along, up) <= NEAR_MM


def beyond(shape: Shape, wall: Wall) -> bool:
    """Whether any part sticks out of what was measured of a wall; a part without an outline may be anywhere."""
    anywhere = side_box(_ANYWHERE_MM, _ANYWHERE_MM)
    return not all(wall.covers(b.outline or anywhere) for b in shape.boxes)


def reaches(shape: Shape, zone: Outline) -> bool:
    """Whether any part comes near a zone in side view."""
    return any(near(box.outline, zone) for box in shape.boxes)
