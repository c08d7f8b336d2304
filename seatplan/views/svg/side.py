"""A rear-facing shell from the side, in mm: x forward from the crease, y against ``up``; the front of the car is to the
right."""

from __future__ import annotations

from itertools import pairwise
from math import cos, radians, sin, tan
from xml.etree.ElementTree import Element

from seatplan.frozen import frozen
from seatplan.geometry.cabin import roof_at
from seatplan.geometry.recline import BENCH_ANGLE_DEG
from seatplan.message import Amount, beside, part_of
from seatplan.solver.picture import NearestAhead, PartSeen, SideSeen
from seatplan.views.along_text import recline_text
from seatplan.views.manner import customary, number
from seatplan.views.markup import el
from seatplan.views.say import N, shown, t, tr
from seatplan.views.text import mm
from seatplan.views.words import part_word

from .gaps import size_of
from .ink import (
    BELOW,
    LINE,
    Page,
    Panel,
    Pen,
    arrow_head,
    front_mark,
    front_width,
    lines_of,
    on_white,
    path,
    ruled,
    text,
)
from .room import Rect, Room, bounds, led_place, nearest_place, outline
from .row import unwritten

#: how thick cushions and seatbacks are drawn; how long and high a seat is drawn that nobody measured, mm
_THICK, _CUSHION, _BACK = 110, 480, 620
#: how long the head of an arrow is, mm
_HEAD = 34
#: how far above and below the measured heights the seat ahead is drawn, mm
_BEYOND = 100


def side_panel(seen: SideSeen, page: Page, *, told: bool = True) -> Panel:
    """Draw one shell; ``told`` adds in words what the drawing shows."""
    pen, placement = page.pen, seen.body.placement
    name = placement.position.position
    held = placement.restraint.restraint if placement.restraint else ""
    y, head = 0.0, []
    for line in lines_of(pen, t("{name} {rider} from the side", name=name, rider=placement.rider.rider),
                         page.width - front_width(pen), bold=True):
        y += pen.letter * 1.25
        head.append(text(0, y, line, pen.letter, class_="bold"))
    top = y + 30 + _height(seen)
    shift = page.shift(*side_ends(seen))
    names = _Names(pen, Rect(-shift, -_height(seen) - 20, page.width - shift, _THICK + 40))
    lines = [*_own_seat(seen, pen, names), *_around(seen, pen, names), *_ahead(seen, pen, names),
             *_shell(seen, pen, names), *_lean(seen, names), *_gap(seen, names)]
    written = names.written()
    scene = el("g", lines, written, transform=f"translate({shift} {top:g})")
    y = top + _THICK + 50
    words: list[Element] = []
    for said in [*unwritten(names.unwritten), *_told(seen, held)] if told else []:
        for line in lines_of(pen, said, page.width, "   ", size=pen.small):
            y += pen.small * 1.25
            words.append(text(0, y, line, pen.small))
    mark = front_mark(pen, page.width, pen.letter * 1.25, "right")
    return Panel(el("g", head, mark, scene, words, data_side=name), y + pen.letter * 0.6, tuple(names.unwritten))


class _Names:
    """Names of what is drawn, written last, and near to it: on no line but that which leads there, and on no part that
    is not their own. ``inside``: the drawing; ``unwritten``: those that it has no room for."""

    def __init__(self, pen: Pen, inside: Rect) -> None:
        self._pen, self._inside = pen, inside
        self.room = Room()                               # lines and shapes that are drawn
        self.unwritten: list[str] = []
        self._wanted: list[_Wanted] = []

    def shape(self, points: list[tuple[float, float]]) -> None:
        """No name stands on the edges or inside of a closed shape."""
        self.room.lines += outline(points)
        self.room.shapes.append(points)

    def line(self, *points: tuple[float, float]) -> None:
        """No name stands on a line."""
        self.room.lines += [(*one, *other) for one, other in pairwise(points)]

    def want(self, said: str, thing: Rect, *, kind: str = "", first: bool = False) -> None:
        """Write the name of a thing; on black or white ground where ``kind`` is ``solid`` or ``hollow``."""
        self._wanted.insert(0 if first else len(self._wanted), _Wanted(said, thing, kind))

    def want_in(self, said: str, shape: list[tuple[float, float]]) -> None:
        """Write the name of a shape inside it, or else beside it."""
        around = bounds(shape)
        middle = Rect.around((around.left + around.right) / 2, (around.top + around.bottom) / 2, 0, 0)
        self._wanted.append(_Wanted(said, middle, "", shape))

    def written(self) -> list[Element]:
        """All names that there is room for."""
        said, drawn = Room(), list[Element]()
        for one in self._wanted:
            size = self._pen.small if one.shape else self._pen.letter
            wide = self._pen.width(one.said, size, bold=not one.shape) + (34 if one.kind else 0)
            high = size * (1.3 if one.kind else LINE)
            thing = one.thing
            x, y = (thing.left + thing.right) / 2, (thing.top + thing.bottom) / 2
            place, line = None, None
            if one.shape:
                own = Room(self.room.lines, [], [shape for shape in self.room.shapes if shape is not one.shape])
                place = nearest_place(x, y, wide, high, bounds(one.shape), own, said)
            if place is None:
                found = led_place(thing, (x, y), (wide, high), self._inside, (self.room, said), said, Room())
                if found is None:
                    self.unwritten.append(one.said)
                    continue
                place, line = found
            said.boxes.append(place)
            if line is not None:
                self.room.lines.append(line)
                drawn.append(ruled(path([line[:2], line[2:]], closed=False), "thin", data_leads_to=one.said))
            middle = (place.left + place.right) / 2
            if one.kind:
                drawn += [el("rect", x=place.left, y=place.top, width=wide, height=high, rx=10, class_=one.kind),
                          text(middle, place.top + size, one.said, size, anchor="middle",
                               class_="bold on-black" if one.kind == "solid" else "bold")]
            else:
                drawn += on_white(self._pen, middle, place.bottom - size * BELOW, one.said, size,
                                  "" if one.shape else "bold")
        return drawn


@frozen
class _Wanted:
    """A name, the box of its thing, its ground, and the shape that it may stand in."""

    said: str
    thing: Rect
    kind: str
    shape: list[tuple[float, float]] | None = None


def side_ends(seen: SideSeen) -> tuple[float, float]:
    """How far behind and ahead of the crease a side view reaches, mm."""
    reach = [part.along[1] for part in seen.body.parts if part.along is not None]
    return -400.0, max([*reach, *[free + seen.forward_mm + _THICK + 160 for _, free in seen.profile], 900.0])


def _points(outline: tuple[tuple[float, float], ...]) -> list[tuple[float, float]]:
    return [(x, -y) for x, y in outline]


def _measured(parts: tuple[PartSeen, ...]) -> list[PartSeen]:
    return [part for part in parts if part.outline is not None]


def _height(seen: SideSeen) -> float:
    placement = seen.body.placement
    tops = [part.up[1] for part in seen.body.parts if part.up is not None]
    tops += [height - placement.lift for _, height in placement.row.roof or ()]
    return max([*tops, *[height for height, _ in seen.profile], _BACK]) + _BEYOND


def _own_seat(seen: SideSeen, pen: Pen, names: _Names) -> list[Element]:
    """Cushion and seatback as they stood when the parts were measured: the base lies on the cushion."""
    below, behind = seen.body.placement.cushion, seen.body.placement.seatback
    length, back = below.length or _CUSHION, behind.height or _BACK
    tilt = radians((below.angle if below.angle is not None else BENCH_ANGLE_DEG) - BENCH_ANGLE_DEG)
    lean = radians(behind.angle if behind.angle is not None else 24)
    front = length * cos(tilt), -length * sin(tilt)
    cushion = [(0.0, 0.0), front, (front[0], front[1] + _THICK), (-_THICK / 2, _THICK)]
    upper = -back * sin(lean), -back * cos(lean)
    seatback = [(0.0, 0.0), upper, (upper[0] - _THICK, upper[1] + _THICK * tan(lean) / 2), (-_THICK, _THICK / 2)]
    names.shape(cushion)
    names.shape(seatback)
    return [el("path", d=path(shape), class_="seat" if known else "guess",
               fill=pen.hatch("seatback" if known else "unknown"), data_what=what)
            for what, shape, known in (
                ("cushion", cushion, None not in (below.length, below.angle)),
                ("seatback", seatback, None not in (behind.height, behind.angle)))]


def _around(seen: SideSeen, pen: Pen, names: _Names) -> list[Element]:
    """The roof above it, and consoles across its middle as far as the drawing reaches."""
    placement, drawn = seen.body.placement, list[Element]()
    top, (back, front) = _height(seen), side_ends(seen)
    roof = placement.row.roof
    if roof:
        lengths = sorted({back, front, *(float(along) for along, _ in roof if back < along < front)})
        line = [(along, -(roof_at(roof, along) - placement.lift)) for along in lengths]
        names.line(*line)
        drawn.append(ruled(path(line, closed=False), "line", data_what="roof"))
    across = seen.body.across_mm
    for console in placement.row.consoles or ():
        if across is None or not console.across[0] < across < console.across[1]:
            continue
        low, high = console.up or (-_THICK + placement.lift, top + placement.lift)
        corners = [(float(x), -float(y - placement.lift)) for x, y in (
            (console.along[0], low), (console.along[1], low), (console.along[1], high), (console.along[0], high))]
        corners = [(min(max(x, back), front), min(max(y, -top), _THICK)) for x, y in corners]
        names.shape(corners)
        names.want_in(console.name, corners)
        drawn.append(el("path", d=path(corners), class_="seat", fill=pen.hatch("wall"), data_console=console.name))
    return drawn


def _profile(seen: SideSeen, forward: float) -> list[tuple[float, float]]:
    """The back of what is ahead: straight up and down beyond the measured heights."""
    points = seen.profile
    if not points:
        return []
    (low, first), (high, last) = points[0], points[-1]
    heights = [(low - _BEYOND, first), *points, (high + _BEYOND, last)]
    return [(free + forward, -height) for height, free in heights]


def _ahead(seen: SideSeen, pen: Pen, names: _Names) -> list[Element]:
    back = _profile(seen, seen.forward_mm)
    if not back:
        return []
    solid = [*back, *[(x + _THICK, y) for x, y in reversed(back)]]
    drawn = [el("path", d=path(solid), class_="seat", fill=pen.hatch("wall"),
                data_ahead=seen.ahead or "fixed", data_forward=seen.forward_mm)]
    names.shape(solid)
    if seen.forward_mm > 0:
        drawn.append(ruled(path(_profile(seen, 0), closed=False), "guess", data_what="rearmost"))
        names.line(*_profile(seen, 0))
    drawn.append(el("polyline", points=" ".join(f"{x:g},{y:g}" for x, y in back), fill="none",
                    class_="line", data_profile="yes"))
    said, (x, y) = seen.ahead or t("fixed"), back[-1]
    if seen.beyond:
        said = t("{ahead}: stays empty", ahead=said)
    wide = pen.width(said, bold=True) + 40
    names.want(said, Rect(x + _THICK, y, x + _THICK + wide, y + 2 * pen.letter))
    return drawn


def _shell(seen: SideSeen, pen: Pen, names: _Names) -> list[Element]:
    drawn: list[Element] = []
    parts = sorted(_measured(seen.body.parts), key=lambda part: part.up[0] if part.up else 0)
    for part in parts:
        drawn.append(el("path", d=path(_points(part.outline or ())), class_="body"))
    for part in parts:
        base = part_of(part.label) == "base"
        leans = seen.body.placement.recline is not None      # else it is drawn as on the bench, at a guess
        corners = _points(part.outline or ())
        drawn.append(el("path", d=path(corners),
                        class_="guess" if not leans else "base" if base else "shell",
                        fill=pen.hatch("unknown") if not leans else "none" if base else pen.hatch("rear"),
                        data_part=part.label))
        names.shape(corners)
        names.want_in(part_word(part.label), corners)
    return drawn


def _lean(seen: SideSeen, names: _Names) -> list[Element]:
    """How far the child's back leans from upright: an upright line and the leaning one."""
    lean = seen.body.placement.recline
    if lean is None:
        return []
    x, y, long = -330.0, -_height(seen) + 190, 190.0
    end = x + long * sin(radians(lean.angle)), y - long * cos(radians(lean.angle))
    names.line((x, y - long), (x, y), end)
    names.want(f"{number(lean.angle)}°", Rect.around(*end, 0, 0))
    return [ruled(f"M{x:g} {y:g}v{-long:g}", "thin"),
            ruled(path([(x, y), end], closed=False), "shell", data_angle=lean.angle)]


def _gap(seen: SideSeen, names: _Names) -> list[Element]:
    near = seen.nearest
    if near is None:
        return []
    y, start, end = -near.height_mm, near.reach_mm, near.free_mm
    drawn: list[Element] = [
        ruled(f"M{start} {y - 40}v80M{end} {y - 40}v80", "line"),
        el("line", x1=start, y1=y, x2=end, y2=y, class_="line", data_gap="ahead", data_mm=near.mm,
           data_tight="yes" if near.tight else None)]
    wide = near.mm >= 80
    out = 0 if wide else _HEAD
    drawn += [arrow_head(start, y, _HEAD, "left" if wide else "right"),
              arrow_head(end, y, _HEAD, "right" if wide else "left")]
    low, high = sorted((start, end))
    names.shape([(low - out, y - 17), (high + out, y - 17), (high + out, y + 17), (low - out, y + 17)])
    for x in (start, end):
        names.line((x, y - 40), (x, y + 40))
    said = _gap_and_need(near)[0] + (" ?" if seen.missing else "")
    names.want(said, Rect(low, y, high, y), kind="solid" if near.tight else "hollow", first=True)
    return drawn


def _gap_and_need(nearest: NearestAhead) -> tuple[str, str]:
    """The gap ahead, and what is asked for."""
    if customary() and nearest.mm >= 0:
        gap, asked = beside(Amount(nearest.mm, "mm", "down"), Amount(nearest.asked_mm, "mm", "up"))
        return str(shown(gap)), str(shown(asked))
    return size_of(nearest.mm), mm(nearest.asked_mm, "up")


def _drawn_at_a_guess(seen: SideSeen) -> list[tuple[str, object]]:
    """What the drawing of the shell's own seat takes from nowhere where the file does not say it."""
    below, behind = seen.body.placement.cushion, seen.body.placement.seatback
    return [(N("cushion length"), below.length), (N("cushion angle"), below.angle),
            (N("seatback height"), behind.height), (N("seatback angle"), behind.angle),
            (N("how the restraint leans"), seen.body.placement.recline)]


def _told(seen: SideSeen, held: str) -> list[str]:
    lines = []
    lean = recline_text(seen.body.placement)
    lines.append(f"{held}: {lean or t('no recline setting is known for this car')}")
    if seen.ahead is not None and seen.profile:
        where = t("{stands} forward of rearmost", stands=mm(seen.stands_mm, "up")) if seen.stands_mm else t("rearmost")
        where += t(", as far as measured") if seen.missing else ""
        slid = t(", and this row {slid} forward", slid=mm(seen.slid_mm, "up")) if seen.slid_mm else ""
        lines.append(t("{ahead} ahead of it stands {where}{slid}", ahead=seen.ahead, where=where, slid=slid))
        if seen.beyond:
            lines.append(t("{ahead} is pushed forward beyond use: nobody may sit there", ahead=seen.ahead))
    elif seen.profile:
        lines.append(t("What is ahead of it does not move"))
    nearest = seen.nearest
    if nearest is not None:
        gap, need = _gap_and_need(nearest)
        asked = t(", as far as measured") if seen.missing else ""
        asked += t("; {asked} are asked for", asked=need) if nearest.asked_mm else ""
        lines.append(t("Gap ahead {size}, {height} up, at its {part}{asked}{tight}", size=gap,
                       height=mm(nearest.height_mm), part=tr(nearest.part), asked=asked,
                       tight=t(" (tight)") if nearest.tight else ""))
    if seen.missing:
        lines.append(t("Not measured: {missing}", missing=tr(seen.missing)))
    guessed = [t(what) for what, value in _drawn_at_a_guess(seen) if value is None]
    if guessed:
        lines.append(t("Drawn at a guess, not measured: {what}", what=", ".join(guessed)))
    unmeasured = [tr(part.label) for part in seen.body.parts if part.outline is None]
    if unmeasured:
        lines.append(t("Not drawn, side view not measured: {unmeasured}", unmeasured=", ".join(unmeasured)))
    return lines
