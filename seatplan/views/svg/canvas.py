"""The car and its riders from above, in mm: x from the left door trim, y against the way of ``along``.

The front of the car is on top.
Bodies are drawn part by part: bases dashed, shells in full lines, people dotted.
"""

from __future__ import annotations

from collections.abc import Sequence
from xml.etree.ElementTree import Element

from seatplan.model import Position
from seatplan.solver.picture import BodySeen, PartSeen, RowSeen, Span
from seatplan.views.drawing import Box, walls
from seatplan.views.markup import Value, el
from seatplan.views.say import t
from seatplan.views.words import in_what

from .ink import WHITE, Page, Pen, arrow_head, on_white, path, ruled

#: along and up of what nobody measured, for the drawing alone, mm
_GUESSED_ALONG: Span = (40, 480)
#: how thick seatback and walls are drawn, mm
_SEATBACK, _WALL = 120, 36
#: letters in a body shrink so far, of the usual height, before a line is cut
_SMALLEST = 0.85
#: anchors further behind the crease than this are drawn at its end
_BEHIND = 380


class Canvas:
    """The car and its bodies in mm around the crease of the row. ``way`` is -1, or 1 for a row that faces the rear;
    ``ahead`` and ``behind`` say how far the drawing reaches above and below the crease."""

    def __init__(self, page: Page, seen: RowSeen, boxes: Sequence[Box], way: int, ahead: float,
                 behind: float) -> None:
        self._page, self._pen, self._seen, self._boxes = page, page.pen, seen, boxes
        self._way, self._ahead, self._behind = way, ahead, behind
        self._middle = {box.name: (box.left + box.right) / 2 for box in boxes}
        self._bodies = {body.placement.position.position: body for body in seen.bodies if not body.guessed}

    def y(self, along: float) -> float:
        """Where a length along the car lies in the drawing."""
        return self._way * along

    def all(self) -> list[Element]:
        """Everything, what lies lowest first."""
        return [*self._car(), *self._hands(), *self._seats(), *self._anchors(), *self._buckles()]

    # -- the car ------------------------------------------------------------------------------------------------

    def _car(self) -> list[Element]:
        row = self._seen.row
        left, right = walls(row, list(self._boxes))
        cushion = row.cushion
        start = left if cushion.left is None else cushion.left
        end = right if cushion.right is None else cushion.right
        known = None not in (cushion.length, cushion.left, cushion.right)
        drawn = [
            self._rect(start, end, (0, cushion.length or _GUESSED_ALONG[1]), "seat body" if known else "guess",
                       fill=WHITE if known else self._pen.hatch("unknown"), data_what="cushion"),
            self._rect(start, end, (-_SEATBACK, 0), "seat", fill=self._pen.hatch("seatback"),
                       data_what="seatback"),
        ]
        return drawn + self._walls(left, right)

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
                drawn.append(self._rect(ends[0], ends[1], along, "seat", self._pen.hatch("wall"),
                                        data_wall=f"{side} {trim.name}", data_at=at))
        return drawn

    def _anchors(self) -> list[Element]:
        drawn, row, pen = [], self._seen.row, self._pen
        users = {bar: body for body in self._bodies.values() for bar in body.placement.bars}
        for bar in row.lower_anchors or ():
            user = users.get(bar.bar)
            if user is not None:
                drawn.append(self._strap(bar.across, -16, *_onto(user, bar.across), data_uses=bar.bar))
            drawn.append(self._rect(bar.across - 22, bar.across + 22, (-28, -4), "solid" if user else "hollow",
                                    data_bar=bar.bar, data_at=bar.across))
            drawn += on_white(pen, bar.across, self.y(-34) + (pen.small if self._way < 0 else -6), bar.bar, pen.small)
        tied = {body.placement.tether: body for body in self._bodies.values() if body.placement.tether}
        for tether in row.tethers or ():
            if tether.across is None:
                continue
            along = max(tether.along if tether.along is not None else -_BEHIND, -_BEHIND)
            user = tied.get(tether.tether)
            if user is not None and user.across_mm is not None:
                drawn.append(self._strap(tether.across, along, user.across_mm, _span(user)[0],
                                         data_tether_used=tether.tether))
            drawn.append(el("circle", cx=tether.across, cy=self.y(along), r=20,
                            class_="solid" if user else "hollow", data_tether=tether.tether))
            said = tether.tether if tether.along is not None else f"{tether.tether} ?"
            drawn += on_white(pen, tether.across + 34 + pen.width(said, pen.small) / 2,
                              self.y(along) + pen.small * 0.35, said, pen.small)
        return drawn

    def _buckles(self) -> list[Element]:
        drawn = []
        for position in self._seen.row.positions:
            at = _buckle_at(position)
            if at is None:
                continue
            body = self._bodies.get(position.position)
            used = body is not None and not body.placement.bars
            drawn.append(self._rect(at - 17, at + 17, (40, 90), "solid" if used else "hollow",
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
                drawn.append(self._rect(at - wide, at + wide, (0, (stalk or 0) + wide), kind,
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
        pen, wide = self._pen, box.right - box.left
        if wide < pen.letter * 1.5:
            return []
        drawn = [self._rect(box.left + 8, box.right - 8, (20, 330), "free", rx=30, data_free=box.name)]
        for i, said in enumerate(box.lines[0].split(",")[0].split(" ", 1)):
            drawn += self._fitted(self._middle[box.name], self.y(175) + pen.letter * (i - 0.2), said, wide - 30,
                                  "quiet")
        return drawn

    def _body(self, body: BodySeen, box: Box) -> Element:
        placement, focus = body.placement, self._page.focus
        stands_out = focus is None or focus == placement.rider.rider
        parts = sorted(body.parts, key=lambda part: part.up[0] if part.up else 0)
        drawn = [el("title", t("{rider} at {position}: {held}", rider=placement.rider.rider, position=box.name,
                               held=in_what(placement)))]
        drawn += [self._part(body, part, plain=not stands_out) for part in parts]
        if stands_out:
            drawn += self._looks(body, box)
        drawn += self._name(body, box, stands_out)
        return el("g", drawn, data_rider=placement.rider.rider, data_position=box.name, data_across=body.across_mm,
                  data_width=body.width_mm, class_=None if stands_out else "aside")

    def _part(self, body: BodySeen, part: PartSeen, *, behind: bool = False, plain: bool = False) -> Element:
        """A part, or with ``behind`` only the white below it; ``plain`` without its hatch."""
        box = next(box for box in self._boxes if box.name == body.placement.position.position)
        along = part.along or _GUESSED_ALONG
        middle = body.across_mm if body.across_mm is not None else self._middle[box.name]
        half = (part.width_mm or 0) / 2
        left, right = (box.left, box.right) if part.width_mm is None else (middle - half, middle + half)
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

    def _looks(self, body: BodySeen, box: Box) -> list[Element]:
        """A head from above, with a nose that points where the rider looks."""
        (low, high), r = _span(body), self._head_radius(body)
        middle = body.across_mm if body.across_mm is not None else self._middle[box.name]
        at = self.y(high - r - 34 if body.placement.rear_facing else max(low, -60) + r + 46)
        drawn = [el("circle", cx=middle, cy=at, r=r, class_="hollow")]
        if box.facing:
            up = box.facing == "forward"
            drawn.insert(0, arrow_head(middle, at - r - 34 if up else at + r + 34, 60, "up" if up else "down"))
        return drawn

    def _name(self, body: BodySeen, box: Box, stands_out: bool) -> list[Element]:
        (low, high), r = _span(body), self._head_radius(body)
        wide = box.right - box.left - 30
        lines = list(box.lines)
        if any(_guessed(body, part) for part in body.parts):
            lines.insert(1, t("? not measured"))
        said = self._folded(lines, wide) if stands_out else lines[:1]
        step = self._pen.letter * 1.1
        if not stands_out:
            centre = self.y((low + high) / 2)
        elif body.placement.rear_facing:                 # the clear end of the body: away from the head
            centre = self.y((low + high - 2 * r - 70) / 2)
        else:
            centre = self.y((max(low, -60) + 2 * r + 90 + high) / 2)
        drawn = []
        for i, line in enumerate(said):
            drawn += self._fitted(self._middle[box.name], centre + step * (i - len(said) / 2 + 0.8), line, wide,
                                  "quiet" if not stands_out else "bold" if i == 0 else "")
        return drawn

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

    def _fitted(self, x: float, y: float, said: str, wide: float, class_: str) -> list[Element]:
        """A line as large as there is room for, and cut where that would be too small to read."""
        pen = self._pen
        size = pen.letter * max(min(1.0, wide / pen.width(said, bold="bold" in class_)), _SMALLEST)
        return on_white(pen, x, y, _cut(pen, said, wide, size, "bold" in class_), size, class_)

    def _rect(self, left: float, right: float, along: Span, class_: str, fill: str | None = None,
              **more: Value) -> Element:
        top = min(self.y(along[0]), self.y(along[1]))
        return el("rect", x=left, y=top, width=max(0.0, right - left), height=along[1] - along[0],
                  class_=class_ or None, fill=fill, **more)

    def _strap(self, x: float, along: float, to_x: float, to_along: float, **more: str) -> Element:
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
