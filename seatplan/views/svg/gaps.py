"""Gaps of a row as dimensions: measured where the parts that decide come near each other, with a letter and a number
below; the thick line is the tight chain.

Labels stand in lanes, in the order of their gaps, and each line down to a label passes between those of the lanes above
it: the same order at every height means that no line crosses another one, and none runs through a label.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from xml.etree.ElementTree import Element

from seatplan.frozen import frozen
from seatplan.solver.picture import GapSeen, RowSeen
from seatplan.views.markup import el
from seatplan.views.say import t
from seatplan.views.text import mm, spare

from .ink import Page, Panel, Pen, arrow_head, path, ruled, text
from .room import Rect, Room

#: half the height of the mark at each edge of a gap, and how long the head of an arrow is, mm
_MARK, _HEAD = 40, 34
#: a gap that is narrower has its arrows outside, mm
_ARROWS_OUTSIDE = 60
#: where a gap is drawn whose height nobody measured, mm ahead of the crease
_SOMEWHERE = 250
#: how far labels, and lines between labels, stand apart, mm
_APART, _PASS = 12, 16
#: further down than any row is drawn, mm
_FAR = 1e5


def letter(index: int) -> str:
    """A, B ... Z, AA, AB ..."""
    return (chr(64 + index // 26) if index >= 26 else "") + chr(65 + index % 26)


def size_of(gap_mm: float) -> str:
    """``5 mm``, in whole ones and never more than there is; of an overlap within what the tape may be off
    ``5 mm short``."""
    return spare(gap_mm) if gap_mm >= 0 else t("{short} short", short=mm(-gap_mm, "up"))


@frozen
class Label:
    """A gap with its letter and what its label says; ``lane``: which line of labels it stands in, 0 on top; ``at``: the
    middle of it, and before that where its line passes each lane above."""

    gap: GapSeen
    name: str
    said: str
    width: float
    lane: int
    at: tuple[float, ...]

    @property
    def middle(self) -> float:
        return (self.gap.start_mm + self.gap.end_mm) / 2


class Dimensions:
    """The dimensions of one row. ``y``: where a length along the car lies in the drawing; ``shift``: how far the row
    stands from the left edge of the page."""

    def __init__(self, seen: RowSeen, page: Page, y: Callable[[float], float], shift: float) -> None:
        self._seen, self._page, self._pen, self._y = seen, page, page.pen, y
        self._labels = labels(seen.gaps, page.pen, -shift, page.width - shift)

    def _height(self, gap: GapSeen) -> float:
        return self._y(sum(gap.along) / 2 if gap.along else _SOMEWHERE)

    def in_the_way(self) -> Room:
        """What no label of the row may touch: the marks of each gap, and its line down to wherever its label is."""
        room = Room()
        for label in self._labels:
            at, gap = self._height(label.gap), label.gap
            out = _HEAD if gap.mm < _ARROWS_OUTSIDE else 0
            room.boxes.append(Rect(gap.start_mm - out - 2, at - _MARK, gap.end_mm + out + 2, at + _MARK)
                              if gap.mm < 3 * _MARK else Rect(gap.start_mm - 2, at - 4, gap.end_mm + 2, at + 4))
            room.lines += [(x, at - _MARK, x, at + _MARK) for x in (gap.start_mm, gap.end_mm)]
            room.lines.append((label.middle, at, label.middle, _FAR))
        return room

    def panel(self, start: float) -> Panel:
        """The dimensions, and below the row, from y = ``start``, their labels and the tight chain."""
        seen, size = self._seen, self._pen.letter
        drawn: list[Element] = []
        chain_y = start + 14
        first = chain_y + 34 if seen.chain else start
        if seen.chain:
            low, high = seen.chain.start_mm, seen.chain.end_mm
            drawn.append(ruled(f"M{low:g} {chain_y:g}H{high:g}", "chain", data_chain_from=low, data_chain_to=high))
            drawn += [ruled(f"M{x:g} {chain_y - 24:g}v48", "shell") for x in (low, high)]
        bend = size * 0.5                                # below it a line goes aslant to where it passes
        lanes = 1 + max((label.lane for label in self._labels), default=-1)
        tops = [first + bend + lane * (size * 1.3 + bend) for lane in range(lanes)]
        for label in self._labels:
            drawn += _dimension(label, self._height(label.gap), _way_down(label, first, tops, size * 1.3))
            if label.gap.tight and seen.chain:
                drawn.append(el("path", d=path([(label.middle - 20, chain_y), (label.middle, chain_y - 20),
                                                (label.middle + 20, chain_y), (label.middle, chain_y + 20)]),
                                class_="hollow"))
        shown = [one for label in self._labels for one in _label(label, tops[label.lane], self._pen)]
        end = tops[-1] + size * 1.3 if tops else first
        wall, more = self._from_wall_to_wall(end + size * 0.7)
        return Panel(el("g", drawn, shown, wall), end + more - start)

    def _from_wall_to_wall(self, y: float) -> tuple[list[Element], float]:
        """How wide the car is there: a line on both sides of the words. Also how much height that takes."""
        lefts = [trim.left for trim in self._seen.row.trim if trim.left is not None]
        rights = [trim.right for trim in self._seen.row.trim if trim.right is not None]
        size = self._pen.letter
        if not lefts or not rights:
            return [], size * 0.2
        least, most = min(lefts), max(rights)
        said = t("{wide} from wall to wall", wide=mm(most - least, "down"))
        middle, half = (least + most) / 2, self._pen.width(said) / 2 + size * 0.3
        drawn = [ruled(f"M{least:g} {y:g}H{middle - half:g}M{middle + half:g} {y:g}H{most:g}", "line",
                       data_wide=most - least),
                 arrow_head(least, y, 24, "left"), arrow_head(most, y, 24, "right")] if most - least > 2 * half else []
        return [*drawn, text(middle, y + size * 0.36, said, size, anchor="middle")], size * 1.3


def labels(gaps: Sequence[GapSeen], pen: Pen, left: float, right: float) -> list[Label]:
    """Labels for gaps between both edges of the page, in as few lanes as they fit in."""
    told = [(gap, letter(i), f"{letter(i)} {size_of(gap.mm)}") for i, gap in enumerate(gaps)]
    told.sort(key=lambda one: one[0].start_mm + one[0].end_mm)
    widths = [pen.width(said, bold=True) + 34 for _, _, said in told]
    middles = [(gap.start_mm + gap.end_mm) / 2 for gap, _, _ in told]
    for lanes in range(1, len(told) + 1):
        passed: list[list[float]] = [[] for _ in told]
        for lane in range(lanes):
            here = [i for i in range(len(told)) if i % lanes >= lane]     # labels of this lane, lines to those below
            wide = [widths[i] if i % lanes == lane else _PASS for i in here]
            placed = spread([passed[i][-1] if lane else middles[i] for i in here], wide, left, right)
            if placed is None:
                break
            for i, at in zip(here, placed, strict=True):
                passed[i].append(at)
        else:
            return [Label(gap, name, said, widths[i], i % lanes, tuple(passed[i]))
                    for i, (gap, name, said) in enumerate(told)]
    return []


def spread(wanted: Sequence[float], widths: Sequence[float], left: float, right: float) -> list[float] | None:
    """Middles of things of some widths, in their order and apart, between two edges and each as near as can be to where
    it is wanted; None where they are too many.

    Those that would overlap move together to where they are wanted on average (pool adjacent violators).
    """
    offsets, sum_ = [], 0.0                              # from the middle of the first, as close as they may stand
    for i, wide in enumerate(widths):
        sum_ += (widths[i - 1] + wide) / 2 + _APART if i else 0.0
        offsets.append(sum_)
    if not widths:
        return []
    least, most = left + widths[0] / 2, right - widths[-1] / 2 - offsets[-1]
    if most < least:
        return None
    blocks: list[tuple[float, int]] = []                 # mean of what is wanted, less the offset; how many
    for want, offset in zip(wanted, offsets, strict=True):
        blocks.append((want - offset, 1))
        while len(blocks) > 1 and blocks[-2][0] > blocks[-1][0]:
            (one, n), (other, k) = blocks[-2:]
            blocks[-2:] = [((one * n + other * k) / (n + k), n + k)]
    starts = [min(max(at, least), most) for at, n in blocks for _ in range(n)]
    return [start + offset for start, offset in zip(starts, offsets, strict=True)]


def _way_down(label: Label, first: float, tops: Sequence[float], high: float) -> list[tuple[float, float]]:
    """The corners of the line from a gap to its label, from below the chain on."""
    corners = [(label.middle, first)]
    for lane, at in enumerate(label.at):
        corners.append((at, tops[lane]))
        if lane < label.lane:
            corners.append((at, tops[lane] + high))
    return corners


def _dimension(label: Label, at: float, down: Sequence[tuple[float, float]]) -> list[Element]:
    """One gap: its two edges where they lie, at y = ``at``, and a line ``down`` to its label."""
    gap = label.gap
    drawn = [
        ruled(f"M{gap.start_mm:g} {at - _MARK:g}v{2 * _MARK}M{gap.end_mm:g} {at - _MARK:g}v{2 * _MARK}", "line"),
        ruled(path([(label.middle, at), *down], closed=False), "thin"),
        el("line", x1=gap.start_mm, y1=at, x2=gap.end_mm, y2=at, class_="line", data_gap=label.name, data_mm=gap.mm,
           data_tight="yes" if gap.tight else None, data_from=gap.between[0], data_to=gap.between[1]),
    ]
    if gap.mm < _ARROWS_OUTSIDE:
        drawn += [arrow_head(gap.start_mm, at, _HEAD, "right"), arrow_head(gap.end_mm, at, _HEAD, "left")]
    return drawn


def _label(label: Label, y: float, pen: Pen) -> list[Element]:
    x, tight = label.at[-1], label.gap.tight
    return [el("rect", x=x - label.width / 2, y=y, width=label.width, height=pen.letter * 1.3, rx=10,
               class_="solid" if tight else "hollow"),
            text(x, y + pen.letter, label.said, pen.letter, anchor="middle", class_="bold on-black" if tight else "")]
