"""Gaps of a row as dimensions: measured where the parts that decide come near each other, with a letter and a number
below; the thick line is the tight chain."""

from __future__ import annotations

from dataclasses import dataclass
from xml.etree.ElementTree import Element

from seatplan.solver.picture import GapSeen, RowSeen
from seatplan.views.markup import el
from seatplan.views.say import t
from seatplan.views.text import mm, spare

from .canvas import Canvas
from .ink import Page, Panel, Pen, arrow_head, on_white, path, ruled, text


def letter(index: int) -> str:
    """A, B ... Z, AA, AB ..."""
    return (chr(64 + index // 26) if index >= 26 else "") + chr(65 + index % 26)


def size_of(gap_mm: float) -> str:
    """``5 mm``, in whole ones and never more than there is; of an overlap within what the tape may be off
    ``5 mm short``."""
    return spare(gap_mm) if gap_mm >= 0 else t("{short} short", short=mm(-gap_mm, "up"))


def strip(seen: RowSeen, page: Page, canvas: Canvas, start: float, shift: float) -> Panel:
    """The dimensions below a row, from y = ``start``: a letter and a number for each gap, and the tight chain.

    ``shift``: how far the row stands from the left edge of the page.
    """
    pen, size = page.pen, page.pen.letter
    drawn: list[Element] = []
    labels: list[Element] = []                       # over all lines
    lanes: list[float] = []                          # how far each line of labels is filled
    chain_y = start + 14
    first = chain_y + 34 if seen.chain else start
    if seen.chain:
        low, high = seen.chain.start_mm, seen.chain.end_mm
        drawn.append(ruled(f"M{low:g} {chain_y:g}H{high:g}", "chain", data_chain_from=low, data_chain_to=high))
        drawn += [ruled(f"M{x:g} {chain_y - 24:g}v48", "shell") for x in (low, high)]
    for i, gap in enumerate(seen.gaps):
        said = f"{letter(i)} {size_of(gap.mm)}"
        wide = pen.width(said, bold=True) + 34
        x = min(max((gap.start_mm + gap.end_mm - wide) / 2, -shift), page.width - shift - wide)
        lane = next((n for n, end in enumerate(lanes) if end + 12 <= x), len(lanes))
        lanes[lane:lane + 1] = [x + wide]
        label = Label(letter(i), said, x, first + lane * size * 1.5, wide)
        drawn += _dimension(gap, label, canvas.y(sum(gap.along) / 2 if gap.along else 250))
        labels += _label(label, gap.tight, pen)
        if gap.tight:
            middle = (gap.start_mm + gap.end_mm) / 2
            drawn.append(el("path", d=path([(middle - 20, chain_y), (middle, chain_y - 20), (middle + 20, chain_y),
                                            (middle, chain_y + 20)]), class_="hollow"))
    end = first + len(lanes) * size * 1.5
    lefts = [trim.left for trim in seen.row.trim if trim.left is not None]
    rights = [trim.right for trim in seen.row.trim if trim.right is not None]
    if lefts and rights:
        least, most, y = min(lefts), max(rights), end + size * 0.5
        drawn += [ruled(f"M{least} {y:g}H{most}", "line", data_wide=most - least),
                  arrow_head(least, y, 24, "left"), arrow_head(most, y, 24, "right"),
                  *on_white(pen, (least + most) / 2, y + size * 0.36,
                            t("{wide} from wall to wall", wide=mm(most - least, "down")), size)]
        end = y + size * 0.8
    return Panel(el("g", drawn, labels), end - start)


@dataclass(frozen=True, slots=True)
class Label:
    """The letter of a gap, what its label says, and where that stands."""

    name: str
    said: str
    x: float
    y: float
    width: float


def _dimension(gap: GapSeen, label: Label, at: float) -> list[Element]:
    """One gap: its two edges where they lie, at y = ``at``, and a line down to its label."""
    drawn = [
        ruled(f"M{gap.start_mm:g} {at - 40:g}v80M{gap.end_mm:g} {at - 40:g}v80", "line"),
        ruled(f"M{(gap.start_mm + gap.end_mm) / 2:g} {at:g}V{label.y:g}", "thin"),
        el("line", x1=gap.start_mm, y1=at, x2=gap.end_mm, y2=at, class_="line", data_gap=label.name, data_mm=gap.mm,
           data_tight="yes" if gap.tight else None, data_from=gap.between[0], data_to=gap.between[1]),
    ]
    if gap.mm < 60:
        drawn += [arrow_head(gap.start_mm, at, 34, "right"), arrow_head(gap.end_mm, at, 34, "left")]
    return drawn


def _label(label: Label, tight: bool, pen: Pen) -> list[Element]:
    return [el("rect", x=label.x, y=label.y, width=label.width, height=pen.letter * 1.3, rx=10,
               class_="solid" if tight else "hollow"),
            text(label.x + label.width / 2, label.y + pen.letter, label.said, pen.letter, anchor="middle",
                 class_="bold on-black" if tight else "")]
