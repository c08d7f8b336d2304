"""What carries a restraint from below: the cushion under its base, the floor under its support leg.

Seen from above a base is one or more rectangles, and so are the cushion and what is raised on it: everything
is exact in whole numbers, across in half-mm and along in mm from the bight.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise
from math import cos, radians, sin
from typing import TYPE_CHECKING

from seatplan.frozen import frozen

if TYPE_CHECKING:
    from seatplan.model import Installation, Mode, Part, Position, Row
    from seatplan.model.vehicle import Cushion

#: left, right (half-mm) and back, front (mm)
Rect = tuple[int, int, int, int]

#: where no part is called base: parts that begin at most so far above the cushion stand on it, mm; cushions that differ
#: by no more carry one base (common practice, no source)
STANDS_BELOW = 20


#: further forward than any cushion reaches, mm
_ENDLESS = 10_000
#: a part of this name bounds the whole outline: the fixture that the restraint was approved to keep within
ENVELOPE = "envelope"


@frozen
class Leg:
    """Where the foot of a support leg can stand, in the frame of the base: the shortest and longest reach
    below the base plane, and how far forward of the bight, mm."""

    reach: tuple[int, int]
    along: tuple[int, int]


#: every i-Size leg: its foot is settable from 285 to 540 below the bar axis, 270 to 525 below the base plane,
#: and stands 585 to 695 forward of the bar (UN R129, 02 series, 6.3.5.1 and 6.3.5.2). The bar is 70 behind to
#: 10 before the rear corner of the base, which rests in the bight (UN R16 Annex 17, now UN R173, App. 2 para. 3.1)
I_SIZE_LEG = Leg((270, 525), (515, 705))


@frozen
class Support:
    """How much of a base the cushion carries. Areas in the same unit; ``overhang`` past the front edge and
    ``beside`` past a side edge in mm; ``raised`` names what it stands on that does not carry it."""

    carried: int
    total: int
    overhang: int
    beside: float
    raised: tuple[str, ...]

    @property
    def percent(self) -> float:
        """Rounded down to a tenth."""
        return self.carried * 1000 // self.total / 10


def base_parts(mode: Mode, installation: Installation | None) -> list[Part]:
    """The parts that lie on the cushion: the installation's separate base, else the part called ``base``,
    else all boxes that stand on the cushion. Envelopes are no bases: they only bound the shape."""
    own = list(installation.parts) if installation else []
    for parts in (own, mode.parts):
        named = [part for part in parts if part.part == "base"]
        if named:
            return named
    return [
        part
        for part in (*mode.parts, *own)
        if part.outline is None and part.up is not None and part.up[0] <= STANDS_BELOW
    ]


def footprints(parts: Sequence[Part]) -> list[Rect] | None:
    """The parts seen from above, about their middle; None where a length or a width was not measured."""
    found = []
    for part in parts:
        along = _along(part)
        if along is None or along[0] >= along[1] or part.width is None:
            return None
        found.append((-part.width, part.width, *along))
    return found or None


def only_envelope(mode: Mode, installation: Installation | None) -> bool:
    """Whether nothing is listed but an envelope: it bounds the shape and says nothing of what lies on the cushion."""
    parts = [*mode.parts, *(installation.parts if installation else ())]
    return bool(parts) and all(part.part == ENVELOPE for part in parts)


def raised_under(base: Sequence[Rect], raised: Sequence[tuple[str, Rect]], middle: int, aside: int) -> list[str]:
    """The names of what is raised below a base whose middle is at most ``aside`` half-mm away from ``middle``."""
    return sorted({
        name for name, (left, right, back, front) in raised for own in base
        if own[0] + middle - aside < right and left < own[1] + middle + aside and own[2] < front and back < own[3]})


def front_edge(parts: Sequence[Part]) -> int | None:
    """How far forward of the bight the base reaches, mm; None where that was not measured."""
    ends = [_along(part) for part in parts]
    known = [end[1] for end in ends if end is not None]
    return max(known) if known and len(known) == len(ends) else None


def surface_of(cushion: Cushion) -> Rect | None:
    """The whole cushion from above; None where an edge was not measured."""
    if cushion.left is None or cushion.right is None or cushion.length is None:
        return None
    return 2 * cushion.left, 2 * cushion.right, 0, cushion.length


def raised_on(cushion: Cushion) -> list[tuple[str, Rect]]:
    """What is raised on a cushion, from above; over its whole length where no ends are given."""
    length = _ENDLESS if cushion.length is None else cushion.length
    return [
        (area.name, (2 * area.across[0], 2 * area.across[1], *(area.along or (0, length))))
        for area in cushion.raised or ()
    ]


def raised_beside(row: Row, position: Position) -> list[tuple[str, Rect]]:
    """The cushions of other seats of the row that lie higher, from above; those whose middle or width nobody measured
    are left out."""
    from seatplan.model.own_seat import lifted

    return [(other.position, (2 * other.centre - other.width, 2 * other.centre + other.width, 0, _ENDLESS))
            for other in row.positions if lifted(other) - lifted(position) > STANDS_BELOW
            and other.centre is not None and other.width is not None]


def lower_beside(row: Row, position: Position) -> tuple[bool, bool]:
    """Whether the cushion falls away on the left and on the right of a seat that lies higher than the next one."""
    from seatplan.model.own_seat import lifted

    at = next(i for i, other in enumerate(row.positions) if other.position == position.position)
    falls = [lifted(position) - lifted(other) > STANDS_BELOW for other in row.positions]
    return at > 0 and falls[at - 1], at + 1 < len(falls) and falls[at + 1]


def belt_line(position: Position, second: Position | None = None) -> tuple[int | None, int]:
    """The centre line of the belt of a place, or the middle between those of two, half-mm, rounded down; None where one
    was not measured. Beside it what was rounded off, 1 or 0, for whoever takes it off the play."""
    lines = [_belt_line(position), *([] if second is None else [_belt_line(second)])]
    known = [line for line in lines if line is not None]
    return divmod(sum(known), len(lines)) if len(known) == len(lines) else (None, 0)


def _belt_line(position: Position) -> int | None:
    if position.centre is not None:
        return 2 * position.centre
    anchors = position.belt.anchors if position.belt else None
    return None if anchors is None else anchors[0] + anchors[1]


def middle_of(row: Row, position: Position, bars: Sequence[str], second: Position | None = None) -> int | None:
    """Where the middle of a restraint hangs, half-mm: between its two bars, otherwise on the belt's centre
    line, or between those of two places; None where that was not measured."""
    if len(bars) == 2:
        places = [bar.across for bar in row.lower_anchors or () if bar.bar in bars and bar.across is not None]
        return sum(places) if len(places) == 2 else None
    return belt_line(position, second)[0]


def support_of(
    base: Sequence[Rect], surface: Rect, raised: Sequence[tuple[str, Rect]], middle: int, aside: int
) -> Support:
    """The least support of a base whose middle is at most ``aside`` half-mm away from ``middle``.

    Between two places where an edge of the base meets another edge the carried area changes evenly, so the
    least is found at these places or at the ends.
    """
    edges = [x for rect in (surface, *(area for _, area in raised)) for x in rect[:2]]
    own = [x for rect in base for x in rect[:2]]
    meet = {edge - x for edge in edges for x in own}
    low, high = middle - aside, middle + aside
    places = sorted(
        {low, middle, high, *(at for at in meet if low <= at <= high)}, key=lambda at: (abs(at - middle), at)
    )
    return min((_at(base, surface, raised, place) for place in places), key=lambda s: s.carried)


def leg_needed(depth: float, cushion_angle: float, along: float) -> float:
    """The reach that a support leg needs, mm below the base plane and square to it.

    ``depth``: the floor below the cushion surface at the bight. The base is tilted with the cushion
    (``cushion_angle``, degrees, front up) and the floor is level: a foot ``along`` mm forward of the bight is
    lifted by the tilt and must reach further.
    """
    tilt = radians(cushion_angle)
    return (depth + along * sin(tilt)) / cos(tilt)


def _along(part: Part) -> tuple[int, int] | None:
    """From where to where the part lies on the cushion; of a drawn side view its lowest edge counts."""
    if part.outline is None:
        return part.along
    lowest = min(up for _, up in part.outline)
    feet = [along for along, up in part.outline if up <= lowest + STANDS_BELOW]
    return min(feet), max(feet)


def _at(base: Sequence[Rect], surface: Rect, raised: Sequence[tuple[str, Rect]], middle: int) -> Support:
    placed = [(left + middle, right + middle, back, front) for left, right, back, front in base]
    if len(placed) == 1 and not raised:
        return _plainly(placed[0], surface)
    rects = [*placed, surface, *(area for _, area in raised)]
    carried = total = 0
    under: set[str] = set()
    for cell, area in _cells(rects, placed):
        if not any(_covers(rect, cell) for rect in placed):
            continue
        total += area
        names = {name for name, rect in raised if _covers(rect, cell)}
        under |= names
        if not names and _covers(surface, cell):
            carried += area
    beside = max(0, *(surface[0] - rect[0] for rect in placed), *(rect[1] - surface[1] for rect in placed))
    overhang = max(0, max(rect[3] for rect in placed) - surface[3])
    return Support(carried, total, overhang, beside / 2, tuple(sorted(under)))


def _plainly(base: Rect, surface: Rect) -> Support:
    """The support of a base of one part by a cushion on which nothing is raised."""
    wide = max(0, min(base[1], surface[1]) - max(base[0], surface[0]))
    long = max(0, min(base[3], surface[3]) - max(base[2], surface[2]))
    return Support(wide * long, (base[1] - base[0]) * (base[3] - base[2]), max(0, base[3] - surface[3]),
                   max(0, surface[0] - base[0], base[1] - surface[1]) / 2, ())


def _cells(rects: Sequence[Rect], base: Sequence[Rect]) -> Iterator[tuple[Rect, int]]:
    """The grid that all edges cut, no further than the base reaches, with the area of each cell: each lies wholly in
    or out of every rectangle."""
    lefts, rights, backs, fronts = zip(*base, strict=True)
    across = sorted({min(max(x, min(lefts)), max(rights)) for rect in rects for x in rect[:2]})
    along = sorted({min(max(y, min(backs)), max(fronts)) for rect in rects for y in rect[2:]})
    for left, right in pairwise(across):
        for back, front in pairwise(along):
            yield (left, right, back, front), (right - left) * (front - back)


def _covers(rect: Rect, cell: Rect) -> bool:
    return rect[0] <= cell[0] and cell[1] <= rect[1] and rect[2] <= cell[2] and cell[3] <= rect[3]
