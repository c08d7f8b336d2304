"""One row from above with its dimensions, and the same in words."""

from __future__ import annotations

from xml.etree.ElementTree import Element

from seatplan.model import Trip
from seatplan.solver.picture import RowSeen
from seatplan.views.along_text import room
from seatplan.views.drawing import boxes_of, walls
from seatplan.views.markup import el
from seatplan.views.text import listed, number
from seatplan.views.words import held_by, in_what

from .canvas import Canvas, extent
from .gaps import letter, size_of, strip
from .ink import Page, Panel, Pen, lines_of, text


def row_panel(seen: RowSeen, trip: Trip, page: Page, *, told: bool = True) -> Panel:
    """Draw one row; ``told`` adds in words what the drawing shows."""
    pen, row = page.pen, seen.row
    boxes = boxes_of(row, seen.shown, trip)
    turned = all(position.facing == "rear" for position in row.positions)
    head = _Head(pen, page)
    head.line(f"Row {row.row} from above" + (", its seats face the rear" if turned else ""), bold=True)
    ahead, behind = extent(seen)
    if turned:
        ahead, behind = behind, ahead
    top = head.y + 20 + ahead
    canvas = Canvas(page, seen, boxes, 1 if turned else -1, ahead, behind)
    shift = page.shift(*walls(row, boxes))
    below = strip(seen, page, canvas, behind + 24, shift)
    drawing = el("g", canvas.all(), below.element, transform=f"translate({shift} {top:g})")
    words = _Head(pen, page, top + behind + 24 + below.height + pen.letter * 0.4)
    if told:
        for line in _told(seen):
            words.paragraph(line)
    element = el("g", head.elements, drawing, words.elements, data_row=row.row)
    return Panel(element, words.y + pen.letter * 0.6)


class _Head:
    """Lines of text, one below the other."""

    def __init__(self, pen: Pen, page: Page, y: float = 0) -> None:
        self._pen, self._room = pen, page.width
        self.y = y
        self.elements: list[Element] = []

    def line(self, said: str, *, bold: bool = False, size: float | None = None) -> None:
        size = size or self._pen.letter
        self.y += size * 1.25
        self.elements.append(text(0, self.y, said, size, class_="bold" if bold else ""))

    def paragraph(self, said: str) -> None:
        for line in lines_of(self._pen, said, self._room * self._pen.letter / self._pen.small, "   "):
            self.line(line, size=self._pen.small)


def _told(seen: RowSeen) -> list[str]:
    """The same in words, for whoever cannot see the drawing and for names that it had to cut."""
    shown = seen.shown
    if shown is None:
        return ["Nobody rides in this row."]
    lines = [f"The {side} wall was not measured." for side in ("left", "right")
             if all(getattr(trim, side) is None for trim in seen.row.trim)]
    for i, gap in enumerate(seen.gaps):
        where = f", {number(round(gap.up[0]))} to {number(round(gap.up[1]))} up" if gap.up else ""
        tight = " (tight)" if gap.tight else ""
        lines.append(f"{letter(i)} {size_of(gap.mm)}{tight}: {gap.between[0]} to {gap.between[1]}{where}")
    if shown.spare_mm is not None and seen.chain is not None:
        told = room(shown.spare_mm, shown.tolerance_mm, shown.tight)
        lines.append(f"Tight from {seen.chain.start} to {seen.chain.end}: {told}"
                     + (", as far as measured" if shown.unsure else ""))
    for body in seen.bodies:
        placement = body.placement
        if not body.guessed:
            unknown = [part.label for part in body.parts if part.width_mm is None]
            lines.append(f"{placement.position.position} {placement.rider.rider}: {in_what(placement)}, "
                         f"{held_by(placement)}"
                         + ("" if body.across_mm is not None else "; its middle not measured")
                         + (f"; width of {listed(unknown)} not measured" if unknown else ""))
    return lines
