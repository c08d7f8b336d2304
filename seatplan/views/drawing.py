"""A row of the car in characters, to scale across: one box a body, at its place in the witness."""

from __future__ import annotations

from dataclasses import dataclass

from seatplan.model import Row, Trip
from seatplan.solver.results import Arrangement, RowShown, SeatShown

from .text import WIDTH, cut
from .words import MODES

_MARGIN = 9
_SHORT = {
    "rear-facing-harness": "rear-facing", "forward-facing-harness": "forward-facing", "adult-belt": "adult belt",
}


@dataclass(frozen=True, slots=True)
class _Box:
    left: float
    right: float
    lines: tuple[str, ...]


def draw(arrangement: Arrangement, trip: Trip) -> str:
    """All rows of the car, front row first; the front of the car is at the top."""
    shown = {row.row.row: row for row in arrangement.rows}
    lines = [" " * _MARGIN + "front of the car".center(WIDTH - _MARGIN).rstrip()]
    for row in trip.vehicle.rows:
        lines.extend(_row(row, shown.get(row.row), trip))
    return "\n".join(lines)


def _row(row: Row, shown: RowShown | None, trip: Trip) -> list[str]:
    seats = {seat.placement.position.position: seat for seat in shown.seats} if shown else {}
    boxes = [_box(i, row, seats.get(position.position), position.position, trip)
             for i, position in enumerate(row.positions)]
    _pull_apart(boxes)
    left, right = _walls(row, boxes)
    columns = WIDTH - _MARGIN - 2
    scale = columns / max(right - left, 1)
    spans = []
    at = 0
    for box in boxes:
        start = max(at, round((box.left - left) * scale))
        end = max(start + 4, min(columns, round((box.right - left) * scale)))
        spans.append((start, end))
        at = end
    over = max(0, at - columns)                       # boxes never leave the page
    spans = [(max(0, start - over), end - over) for start, end in spans]
    height = max((len(box.lines) for box in boxes), default=0)
    out = [_line(spans, ["+" + "-" * (end - start - 2) + "+" for start, end in spans], columns)]
    for i in range(height):
        texts = [
            "|" + cut(" " + (box.lines[i] if i < len(box.lines) else ""), end - start - 2).ljust(end - start - 2) + "|"
            for box, (start, end) in zip(boxes, spans, strict=True)
        ]
        out.append(_line(spans, texts, columns))
    out.append(out[0])
    label = f"row {row.row}".ljust(_MARGIN - 1)
    return [(label if i == 1 else " " * (_MARGIN - 1)) + "|" + text + "|" for i, text in enumerate(out)]


def _line(spans: list[tuple[int, int]], texts: list[str], columns: int) -> str:
    line, at = "", 0
    for (start, end), text in zip(spans, texts, strict=True):
        line += " " * (start - at) + text
        at = end
    return line.ljust(columns)


def _box(index: int, row: Row, seat: SeatShown | None, name: str, trip: Trip) -> _Box:
    centre, width = _place(index, row)
    if seat is None:
        who = "driver" if name == trip.drives else "empty"
        return _Box(centre - width / 2, centre + width / 2, (f"{name} {who}",))
    if seat.across_mm is not None:
        centre = seat.across_mm
    width = seat.width_mm or width
    placement = seat.placement
    mode = _SHORT.get(placement.mode_name, MODES[placement.mode_name])
    what = [placement.restraint.restraint, mode] if placement.restraint else [mode]
    return _Box(centre - width / 2, centre + width / 2, (f"{name} {placement.rider.rider}", *what))


def _place(index: int, row: Row) -> tuple[float, float]:
    """Centre and width of a position, evenly spaced where they were not measured."""
    position = row.positions[index]
    left, right = _walls(row, [])
    each = (right - left) / len(row.positions)
    centre = position.centre if position.centre is not None else left + each * (index + 0.5)
    return centre, position.width or each * 0.9


def _walls(row: Row, boxes: list[_Box]) -> tuple[float, float]:
    lefts = [t.left for t in row.trim if t.left is not None] + [box.left for box in boxes]
    rights = [t.right for t in row.trim if t.right is not None] + [box.right for box in boxes]
    if row.cushion.left is not None:
        lefts.append(row.cushion.left)
    if row.cushion.right is not None:
        rights.append(row.cushion.right)
    return min(lefts, default=0), max(rights, default=1400)


def _pull_apart(boxes: list[_Box]) -> None:
    """Shells that nest overlap when seen from above; the drawing splits what they share."""
    for i in range(len(boxes) - 1):
        one, other = boxes[i], boxes[i + 1]
        if one.right > other.left:
            middle = (one.right + other.left) / 2
            boxes[i] = _Box(one.left, max(middle, one.left), one.lines)
            boxes[i + 1] = _Box(min(middle, other.right), other.right, other.lines)
