"""What nobody measured of the side walls of a row, and which bodies come near it in side view."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from seatplan.fields import Missing, field
from seatplan.message import Word

from .shapes import Shape, near, side_box

if TYPE_CHECKING:
    from shapely.geometry import Polygon

    from seatplan.model import Row
    from seatplan.model.vehicle import Trim

#: along or up of a part that nobody measured, mm: a file's places lie within
_ANYWHERE_MM = (-2000, 6000)


def unread_sides(row: Row, walls: Sequence[tuple[Trim, Polygon]]) -> list[tuple[str, Missing, Polygon]]:
    """What sticks out at a side where nobody measured it: the side, what to measure, and where in side view."""
    return [
        (side, field("row.trim", side=Word(side), trim_name=trim.name, row=row.row), zone)
        for trim, zone in walls for side, at in (("left", trim.left), ("right", trim.right))
        if at is None and trim.only in (None, side)]


def beyond(shape: Shape, wall: Polygon) -> bool:
    """Whether any part sticks out of what was measured of a wall; a part without an outline may be anywhere."""
    anywhere = side_box(_ANYWHERE_MM, _ANYWHERE_MM)
    return not all(wall.covers(b.outline or anywhere) for b in shape.boxes)


def reaches(shape: Shape, zone: Polygon) -> bool:
    """Whether any part comes near a zone in side view."""
    return any(near(box.outline, zone) for box in shape.boxes)
