"""One row from above with its dimensions, and the same in words."""

from __future__ import annotations

from collections.abc import Sequence
from xml.etree.ElementTree import Element

from seatplan.model import Trip
from seatplan.solver.picture import RowSeen
from seatplan.views.along_text import room
from seatplan.views.drawing import boxes_of, walls
from seatplan.views.markup import el
from seatplan.views.say import t, tr
from seatplan.views.text import bare, listed
from seatplan.views.words import held_by, in_what

from .canvas import Canvas, extent
from .gaps import Dimensions, letter, size_of
from .ink import Page, Panel, Pen, front_mark, front_width, lines_of, text


def row_panel(seen: RowSeen, trip: Trip, page: Page, *, told: bool = True) -> Panel:
    """Draw one row; ``told`` adds in words what the drawing shows."""
    pen, row = page.pen, seen.row
    boxes = boxes_of(row, seen.shown, trip)
    turned = all(position.facing == "rear" for position in row.positions)
    head = _Head(pen, page, spared=front_width(pen))
    above = t("Row {row} from above, its seats face the rear", row=row.row) if turned else t("Row {row} from above",
                                                                                            row=row.row)
    head.paragraph(above, bold=True, size=pen.letter)
    ahead, behind = extent(seen)
    if turned:
        ahead, behind = behind, ahead
    top, way = head.y + 20 + ahead, 1 if turned else -1
    shift = page.shift(*walls(row, boxes))
    gaps = Dimensions(seen, page, lambda along: way * along, shift)
    canvas = Canvas(page, seen, boxes, way, (ahead, behind), (-shift, page.width - shift), gaps.in_the_way())
    drawn = canvas.all()
    start = max(behind, canvas.bottom) + 24
    below = gaps.panel(start)
    mark = front_mark(pen, page.width, pen.letter * 1.25, "up")
    drawing = el("g", drawn, below.element, transform=f"translate({shift} {top:g})")
    words = _Head(pen, page, top + start + below.height + pen.letter * 0.4)
    if told:
        for line in (*unwritten(canvas.unwritten), *_told(seen)):
            words.paragraph(line)
    element = el("g", head.elements, mark, drawing, words.elements, data_row=row.row)
    return Panel(element, words.y + pen.letter * 0.6, tuple(canvas.unwritten))


def unwritten(names: Sequence[str]) -> list[str]:
    """What the drawing had no room to name."""
    return [t("No room in the drawing for: {names}", names=listed(names))] if names else []


class _Head:
    """Lines of text, one below the other."""

    def __init__(self, pen: Pen, page: Page, y: float = 0, spared: float = 0) -> None:
        self._pen, self._room = pen, page.width - spared
        self.y = y
        self.elements: list[Element] = []

    def paragraph(self, said: str, *, bold: bool = False, size: float | None = None) -> None:
        size = size or self._pen.small
        for line in lines_of(self._pen, said, self._room, "   ", size=size, bold=bold):
            self.y += size * 1.25
            self.elements.append(text(0, self.y, line, size, class_="bold" if bold else ""))


def _told(seen: RowSeen) -> list[str]:
    """The same in words, for whoever cannot see the drawing and for names that it had to cut."""
    if seen.shown is None:
        return [t("Nobody rides in this row.")]
    lines = gaps_told(seen)
    for body in seen.bodies:
        placement = body.placement
        if not body.guessed:
            unknown = [tr(part.label) for part in body.parts if part.width_mm is None]
            lines.append(f"{placement.position.position} {placement.rider.rider}: {in_what(placement)}, "
                         f"{held_by(placement)}"
                         + ("" if body.across_mm is not None else t("; its middle not measured"))
                         + (t("; width of {unknown} not measured", unknown=listed(unknown)) if unknown else ""))
    return lines


def gaps_told(seen: RowSeen) -> list[str]:
    """What the letters of a row stand for: each gap, from what to what; then the tight chain."""
    shown = seen.shown
    if shown is None:
        return []
    lines = [told for side, told in (("left", t("The left wall was not measured.")),
                                     ("right", t("The right wall was not measured.")))
             if all(getattr(trim, side) is None for trim in seen.row.trim)]
    for i, gap in enumerate(seen.gaps):
        where = t(", {low} to {high} up", low=bare(round(gap.up[0])), high=bare(round(gap.up[1]))) if gap.up else ""
        tight = t(" (tight)") if gap.tight else ""
        lines.append(t("{letter} {size}{tight}: {start} to {end}{where}", letter=letter(i), size=size_of(gap.mm),
                       tight=tight, start=gap.between[0], end=gap.between[1], where=where))
    if shown.spare_mm is not None and seen.chain is not None:
        told = room(shown.spare_mm, shown.tolerance_mm, shown.tight)
        lines.append(t("Tight from {start} to {end}: {told}{unsure}", start=seen.chain.start, end=seen.chain.end,
                       told=told, unsure=t(", as far as measured") if shown.unsure else ""))
    return lines
