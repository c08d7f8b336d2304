"""The rows of the car in characters, seen from above and to scale across: one box a body, where it sits.

Shells that nest lie over each other in such a view; what they share is drawn as ``##``, or as ``??`` where it was not
measured whether they do. What was not measured is drawn with dots and a question mark, at a guess. Seats without a
rider only fill the room that the riders leave.
"""

from __future__ import annotations

from dataclasses import replace

from seatplan.frozen import frozen
from seatplan.model import Position, Row, Trip
from seatplan.solver.results import Arrangement, RowShown, SeatShown

from .manner import page
from .say import t
from .text import columns, cut, fitted, letters, listed, mm
from .words import SHORT_MODES

_MARGIN = 10
_LEAST = 4
#: across a row of which nothing was measured, mm
_USUAL_WIDTH_MM = 1400


@frozen
class Box:
    """A body or a free seat: its edges in mm from the left door, what is written in it, and which way it
    faces (forward, rear, or empty for neither)."""

    name: str
    left: float
    right: float
    lines: tuple[str, ...]
    facing: str = ""
    guessed: bool = False
    free: bool = False


@frozen
class Drawn:
    """The lines of one row, and what has to be explained below the drawing."""

    lines: list[str]
    nested: bool
    unknown: bool
    guessed: bool
    left_out: list[str]


def _columns() -> int:
    """How many of them a row may take."""
    return page() - _MARGIN - 2


def draw(arrangement: Arrangement, trip: Trip, *, low: bool = False) -> str:
    """All rows of the car on one scale, front row first; the front of the car is at the top. ``low``: in fewer lines,
    without what the table beside it says of restraints."""
    shown = {row.row.row: row for row in arrangement.rows}
    rows = [(row, boxes_of(row, shown.get(row.row), trip, low)) for row in trip.vehicle.rows]
    widest = max(right - left for left, right in (walls(row, boxes) for row, boxes in rows))
    lines = [_head()]
    drawn = [draw_row(row, boxes, _columns() / max(widest, 1), unsure=row.row in shown and shown[row.row].unsure)
             for row, boxes in rows]
    for one in drawn:
        lines.extend(one.lines)
    if any(one.nested for one in drawn):
        lines.append(fitted(t("   ##: the shells nest there, one above or before the other, and do not touch")))
    if any(one.unknown for one in drawn):
        lines.append(fitted(t("   ??: not measured whether these nest there or touch")))
    if any(one.guessed for one in drawn):
        lines.append(fitted(t("   dotted, with ?: width or place was not measured, drawn at a guess")))
    left_out = [name for one in drawn for name in one.left_out]
    if left_out:
        lines.append(fitted(t("   not drawn, the others leave no room to show it: {left_out}",
                              left_out=listed(left_out))))
    return "\n".join(lines)


def _head() -> str:
    """In the middle above the rows; a narrow page leaves no margin beside it."""
    text = t("front of the car; ^ and v: the way a rider faces")
    room = _columns() + 2
    return fitted(" " * _MARGIN + text.center(room).rstrip() if columns(text) <= room else text)


def boxes_of(row: Row, shown: RowShown | None, trip: Trip, low: bool = False) -> list[Box]:
    """One box a position, left to right; one over both places of a bed across two belts."""
    seats = {seat.placement.position.position: seat for seat in shown.seats} if shown else {}
    lain_over = {place for seat in seats.values() for place in seat.placement.places[1:]}
    boxes = [_box(i, row, seats.get(p.position), trip, low) for i, p in enumerate(row.positions)
             if p.position not in lain_over]
    if low and not any(seat.placement.restraint for seat in seats.values()):
        boxes = [replace(box, lines=box.lines[:1]) for box in boxes]          # nothing but seat belts
    return _clip_free(boxes)


def draw_row(row: Row, boxes: list[Box], columns_per_mm: float, *, unsure: bool = False) -> Drawn:
    """One row between its side walls, in the middle of the page; ``unsure``: not all that decides in it is known."""
    left, right = walls(row, boxes)
    width = min(_columns(), max(_LEAST, round((right - left) * columns_per_mm)))
    spans: list[tuple[int, int]] = []
    drawn: list[Box] = []
    for box in boxes:
        start = round((box.left - left) * columns_per_mm)
        end = min(width, round((box.right - left) * columns_per_mm))
        if box.free and end - start < _LEAST + 2:
            continue
        start = max(0, min(start, width - _LEAST))
        drawn.append(box)
        spans.append((start, max(end, start + _LEAST)))
    height = max((len(box.lines) for box in drawn), default=1)
    canvas = [[" "] * width for _ in range(height + 2)]
    for i, (box, (start, end)) in enumerate(zip(drawn, spans, strict=True)):
        low = max([start, *(e for _, e in spans[:i])])             # what no neighbour shares
        high = min([end, *(s for s, _ in spans[i + 1:])])
        _paint(canvas, box, (start, end), (low, high))
    nested = unknown = False
    for i, (_, end) in enumerate(spans):
        for k, (start, _) in enumerate(spans[i + 1:], i + 1):
            blind = unsure or drawn[i].guessed or drawn[k].guessed
            for line in canvas:
                line[start:end] = ("?" if blind else "#") * (end - start)
            nested, unknown = nested or (end > start and not blind), unknown or (end > start and blind)
    left_wall, right_wall = _wall_marks(row)
    pad = (_columns() - width) // 2
    labels = [t("row {row}", row=row.row)] + ([mm(right - left, "down")] if left_wall == right_wall == "|" else [])
    heads = ["", *labels, *[""] * len(canvas)]
    lines = [f"{head:{_MARGIN}}{' ' * pad}{left_wall}{''.join(line)}{right_wall}".rstrip()
             for head, line in zip(heads, canvas, strict=False)]
    left_out = [box.name for box in boxes if box not in drawn]
    return Drawn(lines, nested, unknown, any(box.guessed for box in drawn), left_out)


def _paint(canvas: list[list[str]], box: Box, span: tuple[int, int], own: tuple[int, int]) -> None:
    """Draw one box; its text and the mark of the way it faces stay in the columns that it has for itself."""
    start, end = span
    edge, corner, side = (".", ".", ":") if box.guessed else ("-", "+", "|")
    for line in (canvas[0], canvas[-1]):
        line[start:end] = corner + edge * (end - start - 2) + corner
    room = max(0, own[1] - own[0] - 2)
    for i, line in enumerate(canvas[1:-1]):
        line[start:end] = side + " " * (end - start - 2) + side
        told = box.lines[i] if i < len(box.lines) else ""
        mark = "? " if box.guessed and i == 0 else ""
        text = letters(cut(f" {mark}{told}", room))
        line[own[0] + 1:own[0] + 1 + len(text)] = text
    middle = (own[0] + own[1]) // 2
    if box.facing and room > 0:
        canvas[0 if box.facing == "forward" else -1][middle] = "^" if box.facing == "forward" else "v"


def _box(index: int, row: Row, seat: SeatShown | None, trip: Trip, low: bool) -> Box:
    position = row.positions[index]
    name, (centre, width) = position.position, _place(index, row)
    if seat is None:
        who = t("driver") if name == trip.drives else t("free")
        faces = "" if position.facing in ("forward", None) else t(", faces {towards}", towards=_towards(position))
        return Box(name, centre - width / 2, centre + width / 2, (f"{name} {who}{faces}",), free=True)
    guessed = seat.across_mm is None or seat.width_mm is None or seat.may_be_wider
    centre = centre if seat.across_mm is None else seat.across_mm
    width = width if seat.width_mm is None else seat.width_mm
    placement = seat.placement
    mode = SHORT_MODES[placement.mode_name]
    what = (placement.restraint.restraint, mode) if placement.restraint and not low else (mode,)
    who = f"{'+'.join(placement.places)} {placement.rider.rider}"
    return Box(name, centre - width / 2, centre + width / 2, (who, *what), _facing(seat), guessed)


def _towards(position: Position) -> str:
    return t("the rear") if position.facing == "rear" else t("the side")


def _facing(seat: SeatShown) -> str:
    """The way a rider looks: as the seat does, turned round in a rear-facing shell."""
    placement = seat.placement
    turned = {"forward": "rear", "rear": "forward"}
    faces = placement.position.facing
    if faces in ("side", None) or placement.mode_name == "lying-flat-bed":
        return ""
    return turned[faces] if placement.rear_facing else faces


def _place(index: int, row: Row) -> tuple[float, float]:
    """Centre and width of a position, evenly spaced where they were not measured."""
    position = row.positions[index]
    left, right = walls(row, [])
    each = (right - left) / len(row.positions)
    centre = position.centre if position.centre is not None else left + each * (index + 0.5)
    return centre, position.width or each * 0.9


def walls(row: Row, boxes: list[Box]) -> tuple[float, float]:
    """Where the row ends to the left and right: the widest that was measured, or what is drawn."""
    lefts = [t.left for t in row.trim if t.left is not None] or [row.cushion.left or 0]
    rights = [t.right for t in row.trim if t.right is not None]
    if not rights and row.cushion.right is not None:
        rights = [row.cushion.right]
    places = [p.centre for p in row.positions if p.centre is not None]
    usual = max([_USUAL_WIDTH_MM, *[place + 200 for place in places]])
    return (min([*lefts, *[box.left for box in boxes]]),
            max([*rights, *[box.right for box in boxes]], default=0) or usual)


def _wall_marks(row: Row) -> tuple[str, str]:
    """A wall that nobody measured is dotted."""
    return ("|" if any(t.left is not None for t in row.trim) else ":",
            "|" if any(t.right is not None for t in row.trim) else ":")


def _clip_free(boxes: list[Box]) -> list[Box]:
    """Free seats give way to bodies; bodies drawn at a guess share what they would both cover."""
    clipped = list(boxes)
    for i, box in enumerate(boxes):
        if box.free:
            left = max([box.left, *(other.right for other in clipped[:i])])
            right = min([box.right, *(other.left for other in boxes[i + 1:] if not other.free)])
            clipped[i] = replace(box, left=left, right=max(left, right))
    for i in range(len(clipped) - 1):
        one, other = clipped[i], clipped[i + 1]
        if one.right > other.left and (one.guessed or other.guessed):
            middle = (one.right + other.left) / 2
            clipped[i] = replace(one, right=max(middle, one.left))
            clipped[i + 1] = replace(other, left=min(middle, other.right))
    return clipped
