"""One place of a row as it is: its own cushion and back over the row's, and how far it slides.

Everybody who asks for a length or an angle of a cushion or a back under one rider asks here. What a place says itself
is measured from its own cushion; lengths of the row are turned into that frame, so a cushion that lies ``up`` mm above
the row's has a floor so much further below and a top of the seatback so much nearer.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from .vehicle import Cushion, Position, Row, Seatback


def lifted(position: Position) -> int:
    """How much higher its cushion lies at the bight than the row's, mm; less than 0: lower."""
    own = position.cushion
    return 0 if own is None or own.up is None else own.up


def cushion_at(row: Row, position: Position) -> Cushion:
    """The cushion at one place; what it does not say itself is as in the row."""
    own = position.cushion
    if own is None:
        return row.cushion
    floor = own.above_floor
    if floor is None and row.cushion.above_floor is not None:
        floor = max(0, row.cushion.above_floor + lifted(position))
    return row.cushion.model_copy(update={**_said(length=own.length, angle=own.angle), "above_floor": floor})


def seatback_at(row: Row, position: Position) -> Seatback:
    """The back at one place, its height from that place's cushion."""
    own, up = position.seatback, lifted(position)
    if own is None and not up:
        return row.seatback
    height = None if own is None else own.height
    if height is None and row.seatback.height is not None:
        height = max(1, row.seatback.height - up)
    said = {} if own is None else _said(angle=own.angle, reclines=own.reclines)
    return row.seatback.model_copy(update={**said, "height": height})


def slides_at(row: Row, position: str) -> int | None:
    """How far a place slides with its row or its part of it, mm; None: nobody said so."""
    for part in row.parts:
        if position in part.positions:
            return part.slides
    return row.slides


def may_slide(row: Row) -> bool:
    """Whether any of its places slides, or nobody said that none does."""
    return any(slides_at(row, position.position) != 0 for position in row.positions)


def _said(**fields: Any) -> dict[str, Any]:
    return {name: value for name, value in fields.items() if value is not None}
