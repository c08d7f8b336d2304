"""The car and its riders from above, in mm: x from the left door trim, y against the way of ``along``.

The front of the car is on top.
Bodies are drawn part by part: bases dashed, shells in full lines, people dotted.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import Any
from xml.etree.ElementTree import Element

from seatplan.model import Position
from seatplan.model.own_seat import cushion_at
from seatplan.solver.picture import BodySeen, PartSeen, RowSeen, Span
from seatplan.views.drawing import Box, walls
from seatplan.views.markup import Value, el
from seatplan.views.say import t
from seatplan.views.words import in_what

from .ink import BELOW, LINE, WHITE, Page, Pen, arrow_head, on_white, path, ruled
from .room import Point, Rect, Room, led_place, nearest_place

#: along and up of what nobody measured, for the drawing alone, mm
_GUESSED_ALONG: Span = (40, 480)
#: how thick seatback and walls are drawn, mm
_SEATBACK, _WALL = 120, 36
#: where a free seat is drawn, along, mm
_FREE_ALONG: Span = (20, 330)
#: letters in a body shrink so far, of the usual height, before a line is cut
_SMALLEST = 0.85
#: how much of the width of a body its name may take, tried in turn
_PARTS = (1.0, 0.85, 0.7, 0.55, 0.45, 0.35)
#: anchors further behind the crease than this are drawn at its end
_BEHIND = 380


class Canvas:
    """The car and its bodies in mm around the crease of the row. ``way`` is -1, or 1 for a row that faces the rear;
    ``extent`` says how far the drawing reaches ahead of and behind the crease, ``sides`` from where to where it may
    reach across; ``gaps`` is what no label may touch of the dimensions."""

    def __init__(self, page: Page, seen: RowSeen, boxes: Sequence[Box], way: int, extent: tuple[float, float],
                 sides: Span, gaps: Room) -> None:
        self._page, self._pen, self._seen, self._boxes = page, page.pen, seen, boxes
        self._way, self._sides, (self._ahead, self._behind) = way, sides, extent
        self._gaps = gaps
        self._middle = {box.name: (box.left + box.right) / 2 for box in boxes}
        self._bodies = {body.placement.position.position: body for body in seen.bodies if not body.guessed}
        #: what stands in the way of labels: things with an edge, the car below the bodies, and labels
        self._things, self._car_edges, self._said = Room(), Room(), Room()
        self.unwritten: list[str] = []                   # names that there was no room for
        self.bottom = 0.0                                # of the lowest label

    def y(self, along: float) -> float:
        """Where a length along the car lies in the drawing."""
        return self._way * along

    def all(self) -> list[Element]:
        """Everything, what lies lowest first."""
        below = [*self._car(), *self._hands()]
        above = [*self._anchors(), *self._buckles()]
        for body in self._bodies.values():
            if self._stands_out(body):
                self._things.boxes.append(self._head(body))
        return [*below, *self._seats(), *above, *self._names_of_free(), *self._names_of_anchors()]

    # -- the car ------------------------------------------------------------------------------------------------

    def _car(self) -> list[Element]:
        row = self._seen.row
        left, right = walls(row, list(self._boxes))
        cushion = row.cushion
        start = left if cushion.left is None else cushion.left
        end = right if cushion.right is None else cushion.right
        known = None not in (cushion.length, cushion.left, cushion.right)
        cushion_along, seatback = (0, cushion.length or _GUESSED_ALONG[1]), (-_SEATBACK, 0)
        drawn = [
            self._rect(start, end, cushion_along, "seat body" if known else "guess",
                       fill=WHITE if known else self._pen.hatch("unknown"), data_what="cushion"),
            self._rect(start, end, seatback, "seat", fill=self._pen.hatch("seatback"),
                       data_what="seatback"),
        ]
        for along in (cushion_along, seatback):
            self._car_edges.lines += self._area(start, end, along).edges()
        return drawn + self._own_cushions() + self._consoles() + self._walls(left, right)

    def _own_cushions(self) -> list[Element]:
        """The cushion of a place that is longer, shorter, higher or lower than the row's."""
        drawn = []
        for position in self._seen.row.positions:
            own = position.cushion
            if own is None or position.centre is None or position.width is None or (
                    own.length is None and own.up is None):
                continue
            along = (0, cushion_at(self._seen.row, position).length or _GUESSED_ALONG[1])
            ends = position.centre - position.width / 2, position.centre + position.width / 2
            self._car_edges.lines += self._area(*ends, along).edges()
            drawn.append(self._rect(*ends, along, "seat body", fill=WHITE, data_cushion=position.position,
                                    data_up=own.up))
        return drawn

    def _consoles(self) -> list[Element]:
        """What stands in front of the row, as far as the drawing reaches."""
        drawn = []
        for console in self._seen.row.consoles or ():
            along = console.along[0], min(console.along[1], self._ahead if self._way < 0 else self._behind)
            if along[0] >= along[1]:
                continue
            self._things.boxes.append(self._area(*console.across, along))
            drawn.append(self._rect(*console.across, along, "seat", self._pen.hatch("wall"),
                                    data_console=console.name))
        return drawn

    def _walls(self, left: float, right: float) -> list[Element]:
        drawn = []
        full = (-self._behind, self._ahead) if self._way < 0 else (-self._ahead, self._behind)
        for trim in self._seen.row.trim:
            along = (full[0], full[1]) if trim.along is None else (
                max(trim.along[0], full[0]), min(trim.along[1], full[1]))
            for side, at in (("left", trim.left), ("right", trim.right)):
                if at is None or along[0] >= along[1]:
                    continue
                ends = (left - _WALL, at) if side == "left" else (at, right + _WALL)
                self._things.boxes.append(self._area(ends[0], ends[1], along))
                drawn.append(self._rect(ends[0], ends[1], along, "seat", self._pen.hatch("wall"),
                                        data_wall=f"{side} {trim.name}", data_at=at))
        return drawn

    def _anchors(self) -> list[Element]:
        drawn, row = [], self._seen.row
        users = {bar: body for body in self._bodies.values() for bar in body.placement.bars}
        for bar in row.lower_anchors or ():
            if bar.across is None:
                continue
            user = users.get(bar.bar)
            if user is not None:
                drawn.append(self._strap(bar.across, -16, *_onto(user, bar.across), data_uses=bar.bar))
            drawn.append(self._thing(bar.across - 22, bar.across + 22, (-28, -4), "solid" if user else "hollow",
                                     data_bar=bar.bar, data_at=bar.across))
        tied = {body.placement.tether: body for body in self._bodies.values() if body.placement.tether}
        for tether, along in self._tethers():
            user = tied.get(tether.tether)
            if user is not None and user.across_mm is not None:
                drawn.append(self._strap(tether.across, along, user.across_mm, _span(user)[0],
                                         data_tether_used=tether.tether))
            self._things.boxes.append(Rect.around(tether.across, self.y(along), 40, 40))
            drawn.append(el("circle", cx=tether.across, cy=self.y(along), r=20,
                            class_="solid" if user else "hollow", data_tether=tether.tether))
        return drawn

    def _tethers(self) -> list[tuple[Any, float]]:
        """Those whose place across is known, each with where along it is drawn."""
        return [(tether, max(tether.along if tether.along is not None else -_BEHIND, -_BEHIND))
                for tether in self._seen.row.tethers or () if tether.across is not None]

    def _names_of_anchors(self) -> list[Element]:
        """Bars have theirs behind them, tether anchors at their right, unless that is taken."""
        pen, drawn = self._pen, []
        high = pen.small * LINE
        for bar in self._seen.row.lower_anchors or ():
            if bar.across is None:
                continue
            at = bar.across, self.y(-16)
            drawn += self._beside(bar.bar, at, (at[0], self.y(-32) - self._way * high / 2), Rect.around(*at, 44, 24))
        for tether, along in self._tethers():
            said = tether.tether if tether.along is not None else f"{tether.tether} ?"
            at = tether.across, self.y(along)
            drawn += self._beside(said, at, (at[0] + 30 + pen.width(said, pen.small) / 2, at[1]),
                                  Rect.around(*at, 40, 40))
        return drawn

    def _beside(self, said: str, at: Point, wanted: Point, thing: Rect) -> list[Element]:
        """The name of a thing near it, with a line to it where it had to go further away."""
        pen = self._pen
        wide, high = pen.width(said, pen.small), pen.small * LINE
        inside = Rect(self._sides[0], -max(self._ahead, self._behind), self._sides[1],
                      max(self._ahead, self._behind) + 3 * high)
        rooms = self._things, self._car_edges, self._parts(), self._gaps, self._said
        found = led_place(thing, wanted, (wide, high), inside, rooms, self._said, self._gaps)
        if found is None:
            self.unwritten.append(said)
            return []
        box, line = found
        self._write(box)
        drawn = []
        if line is not None:
            self._things.lines.append(line)
            drawn.append(ruled(path([line[:2], line[2:]], closed=False), "thin", data_leads_to=said))
        return [*drawn, *on_white(pen, (box.left + box.right) / 2, box.bottom - pen.small * BELOW, said, pen.small)]

    def _write(self, box: Rect) -> None:
        self._said.boxes.append(box)
        self.bottom = max(self.bottom, box.bottom)

    def _parts(self, but: BodySeen | None = None) -> Room:
        """The parts of all bodies, or of all but one."""
        return Room(boxes=[self._outline(body, part) for body in self._bodies.values() if body is not but
                           for part in body.parts])

    def _buckles(self) -> list[Element]:
        drawn = []
        for position in self._seen.row.positions:
            at = _buckle_at(position)
            if at is None:
                continue
            body = self._bodies.get(position.position)
            used = body is not None and not body.placement.bars
            drawn.append(self._thing(at - 17, at + 17, (40, 90), "solid" if used else "hollow",
                                     data_buckle=position.position, data_at=at))
        return drawn

    def _hands(self) -> list[Element]:
        """The room beside buckles that are fastened on every trip."""
        drawn = []
        for body in self._bodies.values():
            position, wide = body.placement.position, body.hand_room_mm
            at = _buckle_at(position)
            if at is not None and wide is not None:
                stalk = position.belt.buckle.stalk if position.belt and position.belt.buckle else None
                kind, hatch = ("guess", "unknown") if stalk is None else ("", "hand")
                drawn.append(self._thing(at - wide, at + wide, (0, (stalk or 0) + wide), kind,
                                         data_hand=position.position, fill=self._pen.hatch(hatch)))
        return drawn

    # -- who sits there -----------------------------------------------------------------------------------------

    def _seats(self) -> list[Element]:
        drawn = []
        for body in self._bodies.values():               # white first, so that no line of the car runs through
            drawn += [self._part(body, part, behind=True) for part in body.parts]
        for box in self._boxes:
            body_here = self._bodies.get(box.name)
            drawn += self._free(box) if body_here is None else [self._body(body_here, box)]
        return drawn

    def _free(self, box: Box) -> list[Element]:
        if box.right - box.left < self._pen.letter * 1.5:
            return []
        return [self._rect(*self._free_ends(box), _FREE_ALONG, "free", rx=30, data_free=box.name)]

    def _free_ends(self, box: Box) -> Span:
        return box.left + 8, box.right - 8

    def _names_of_free(self) -> list[Element]:
        drawn: list[Element] = []
        for box in self._boxes:
            if box.name in self._bodies or box.right - box.left < self._pen.letter * 1.5:
                continue
            inside = self._area(*self._free_ends(box), _FREE_ALONG).wider(-8)
            rooms = (self._things, self._parts(), self._gaps, self._said)
            said = box.lines[0].split(",")[0].split(" ", 1)
            drawn += self._block([(said, "quiet"), ([" ".join(said)], "quiet"), (said[:1], "quiet")], box.name,
                                 inside, (inside.left + inside.right) / 2, (inside.top + inside.bottom) / 2, rooms)
        return drawn

    def _block(self, tried: Iterable[tuple[Sequence[str], str]], name: str, inside: Rect, x: float, y: float,
               *rooms: Sequence[Room]) -> list[Element]:
        """Lines one below the other, as near to (x, y) as there is room for in one of ``rooms``; of several ways to say
        it the first that goes. Where none does, the name is kept for the words below."""
        for said, class_ in tried:
            sizes = [self._pen.letter * scale for scale in (1.0, _SMALLEST)]
            for among in rooms:
                for size in sizes:
                    wide = max(self._pen.width(line, size, bold=i == 0 and class_ != "quiet")
                               for i, line in enumerate(said))
                    box = nearest_place(x, y, wide, size * LINE * len(said), inside, *among)
                    if box is not None:
                        self._write(box)
                        return [one for i, line in enumerate(said) for one in on_white(
                            self._pen, (box.left + box.right) / 2, box.top + size * (LINE * (i + 1) - BELOW), line,
                            size, class_ or ("bold" if i == 0 else ""))]
        self.unwritten.append(name)
        return []

    def _stands_out(self, body: BodySeen) -> bool:
        return self._page.focus is None or self._page.focus == body.placement.rider.rider

    def _body(self, body: BodySeen, box: Box) -> Element:
        placement, stands_out = body.placement, self._stands_out(body)
        parts = sorted(body.parts, key=lambda part: part.up[0] if part.up else 0)
        drawn = [el("title", t("{rider} at {position}: {held}", rider=placement.rider.rider, position=box.name,
                               held=in_what(placement)))]
        drawn += [self._part(body, part, plain=not stands_out) for part in parts]
        if stands_out:
            drawn += self._looks(body, box)
        drawn += self._name(body, box, stands_out)
        return el("g", drawn, data_rider=placement.rider.rider, data_position=box.name, data_across=body.across_mm,
                  data_width=body.width_mm, class_=None if stands_out else "aside")

    def _ends(self, body: BodySeen, part: PartSeen) -> Span:
        """Where a part begins and ends across."""
        if part.width_mm is None:
            box = next(box for box in self._boxes if box.name == body.placement.position.position)
            return box.left, box.right
        return self._middle_of(body) - part.width_mm / 2, self._middle_of(body) + part.width_mm / 2

    def _middle_of(self, body: BodySeen) -> float:
        return body.across_mm if body.across_mm is not None else self._middle[body.placement.position.position]

    def _outline(self, body: BodySeen, part: PartSeen) -> Rect:
        return self._area(*self._ends(body, part), part.along or _GUESSED_ALONG)

    def _part(self, body: BodySeen, part: PartSeen, *, behind: bool = False, plain: bool = False) -> Element:
        """A part, or with ``behind`` only the white below it; ``plain`` without its hatch."""
        along = part.along or _GUESSED_ALONG
        left, right = self._ends(body, part)
        corner = 60 if part.person else 0
        if behind:
            return self._rect(left, right, along, "body", rx=corner)
        guessed = _guessed(body, part)
        kind = "guess" if guessed else "person" if part.person else "base" if _is_base(part) else "shell"
        hatch = "rear" if body.placement.rear_facing else "booster" if body.placement.booster else None
        hatched = hatch is not None and not plain and kind == "shell"
        if guessed:
            hatch, hatched = "unknown", True
        return self._rect(left, right, along, kind, rx=corner, data_part=part.label, data_width=part.width_mm,
                          fill=self._pen.hatch(hatch or "") if hatched else "none")

    def _head_radius(self, body: BodySeen) -> float:
        low, high = _span(body)
        return min(52.0, (high - low) / 5)

    def _head_at(self, body: BodySeen) -> float:
        (low, high), r = _span(body), self._head_radius(body)
        return self.y(high - r - 34 if body.placement.rear_facing else max(low, -60) + r + 46)

    def _head(self, body: BodySeen) -> Rect:
        """The box around a head and both places for its nose."""
        return Rect.around(self._middle_of(body), self._head_at(body), 2 * self._head_radius(body) + 6,
                           2 * self._head_radius(body) + 68)

    def _looks(self, body: BodySeen, box: Box) -> list[Element]:
        """A head from above, with a nose that points where the rider looks."""
        r, middle, at = self._head_radius(body), self._middle_of(body), self._head_at(body)
        drawn = [el("circle", cx=middle, cy=at, r=r, class_="hollow")]
        if box.facing:
            up = box.facing == "forward"
            drawn.insert(0, arrow_head(middle, at - r - 34 if up else at + r + 34, 60, "up" if up else "down"))
        return drawn

    def _name(self, body: BodySeen, box: Box, stands_out: bool) -> list[Element]:
        """Who sits there in what, at the clear end of the body, away from the head: all of it in lines as long as there
        is room for, else less of it. Better on no edge of the own body, but never on one of another."""
        (low, high), r = _span(body), self._head_radius(body)
        if not stands_out:
            centre = self.y((low + high) / 2)
        elif body.placement.rear_facing:
            centre = self.y((low + high - 2 * r - 70) / 2)
        else:
            centre = self.y((max(low, -60) + 2 * r + 90 + high) / 2)
        lines = list(box.lines)
        if any(_guessed(body, part) for part in body.parts):
            lines.insert(1, t("? not measured"))
        own = [self._outline(body, part) for part in body.parts]
        left, right = max(self._sides[0], box.left + 8), min(self._sides[1], box.right - 8)
        inside = Rect(left, min(part.top for part in own), right, max(part.bottom for part in own))
        others = (self._things, self._parts(but=body), self._gaps, self._said)
        clear = (*others, self._car_edges, Room([edge for part in own for edge in part.edges()]))
        return self._block(self._tellings(lines if stands_out else lines[:1], right - left, stands_out), box.lines[0],
                           inside, self._middle[box.name], centre, clear, others)

    def _tellings(self, lines: Sequence[str], wide: float, stands_out: bool) -> Iterator[tuple[list[str], str]]:
        """Ways to say who sits there, the fullest first: folded ever more narrowly, then cut, then with fewer lines."""
        seen = set()
        for most in range(len(lines), 0, -1):
            for cut in (False, True):
                for part in _PARTS:
                    folded = self._folded(lines[:most], wide * part)
                    room = wide * part
                    if not cut and any(not self._goes(line, room, bold=i == 0) for i, line in enumerate(folded)):
                        continue
                    told = [_cut(self._pen, line, room, self._pen.letter * _SMALLEST, i == 0)
                            for i, line in enumerate(folded)]
                    if tuple(told) not in seen:
                        seen.add(tuple(told))
                        yield told, "" if stands_out else "quiet"

    def _folded(self, lines: Sequence[str], wide: float) -> list[str]:
        """A line that is too long for a body goes on two."""
        folded = []
        for i, line in enumerate(lines):
            words, first = _pieces(line), ""
            while words and (not first or self._goes(first + words[0], wide, bold=i == 0)):
                first += words.pop(0)
            folded += [part.strip() for part in (first, "".join(words)) if part]
        return folded

    def _goes(self, said: str, wide: float, *, bold: bool) -> bool:
        return self._pen.width(said.rstrip(), self._pen.letter * _SMALLEST, bold=bold) <= wide

    def _area(self, left: float, right: float, along: Span) -> Rect:
        """A box in the drawing, from what lies across and along."""
        ends = self.y(along[0]), self.y(along[1])
        return Rect(left, min(ends), max(left, right), max(ends))

    def _thing(self, left: float, right: float, along: Span, class_: str, fill: str | None = None,
               **more: Value) -> Element:
        """A rectangle that labels keep off."""
        self._things.boxes.append(self._area(left, right, along))
        return self._rect(left, right, along, class_, fill, **more)

    def _rect(self, left: float, right: float, along: Span, class_: str, fill: str | None = None,
              **more: Value) -> Element:
        box = self._area(left, right, along)
        return el("rect", x=left, y=box.top, width=box.right - box.left, height=box.bottom - box.top,
                  class_=class_ or None, fill=fill, **more)

    def _strap(self, x: float, along: float, to_x: float, to_along: float, **more: str) -> Element:
        self._things.lines.append((x, self.y(along), to_x, self.y(to_along)))
        return ruled(path([(x, self.y(along)), (to_x, self.y(to_along))], closed=False), "strap", **more)


def _guessed(body: BodySeen, part: PartSeen) -> bool:
    """Whether width, side view or place of a part was not measured."""
    return part.width_mm is None or part.outline is None or body.across_mm is None


def _buckle_at(position: Position) -> int | None:
    return position.belt.buckle.across if position.belt and position.belt.buckle else None


def _is_base(part: PartSeen) -> bool:
    return part.label.endswith(" base")


def _span(body: BodySeen) -> Span:
    spans = [part.along or _GUESSED_ALONG for part in body.parts] or [_GUESSED_ALONG]
    return min(low for low, _ in spans), max(high for _, high in spans)


def _onto(body: BodySeen, across: float) -> tuple[float, float]:
    """Where a connector from a bar meets its restraint."""
    if body.across_mm is None or body.width_mm is None:
        return across, _span(body)[0] + 40
    middle, half = body.across_mm, body.width_mm / 2
    return min(max(across, middle - half + 20), middle + half - 20), _span(body)[0] + 40


def extent(seen: RowSeen) -> tuple[float, float]:
    """How far a row is drawn ahead of and behind its crease."""
    ahead = max([_span(body)[1] for body in seen.bodies] + [seen.row.cushion.length or _GUESSED_ALONG[1]])
    behind = max([-_span(body)[0] for body in seen.bodies] + [_SEATBACK])
    tethers = [min(-tether.along, _BEHIND) + 40 for tether in seen.row.tethers or () if tether.along is not None]
    return ahead + 30, max([behind, *tethers])


def _cut(pen: Pen, said: str, wide: float, size: float, bold: bool) -> str:
    """A line with as many letters as fit; the last is three dots where it was cut."""
    if pen.width(said, size, bold=bold) <= wide + 1:
        return said
    while len(said) > 1 and pen.width(said + "…", size, bold=bold) > wide:
        said = said[:-1]
    return said.rstrip() + "…"


def _pieces(line: str) -> list[str]:
    """A line in pieces that end with a blank or a hyphen, where it may be broken."""
    pieces = [""]
    for letter in line:
        pieces[-1] += letter
        if letter in "- ":
            pieces.append("")
    return pieces
