"""What all drawings share: line styles, hatches, letters, arrows. Shape, hatch and label carry the meaning; black,
white and one grey do the rest, so that nothing is lost on a printer or to an eye that sees no colour. On a dark screen
the style sheet (``drawing.css``) turns them round; what it does not reach stays as it is here."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from unicodedata import east_asian_width
from xml.etree.ElementTree import Element

from seatplan.frozen import frozen
from seatplan.views.markup import Value, el, plain
from seatplan.views.say import t

#: black on white 21:1, grey letters 7:1 (WCAG 2.1 asks for 4.5:1)
BLACK, GREY, PALE, WHITE = "#000000", "#555555", "#d8d8d8", "#ffffff"
#: a letter is about so wide, of its height (sans-serif, from memory); then capitals, wide ones, and bold by how much
_LETTER, _CAPITAL, _WIDE, _BOLDER = 0.57, 0.7, 1.0, 1.15
#: a line of text takes so much of the height of its letters, and its base line is so much above the end of that
LINE, BELOW = 1.12, 0.26
_WIDE_LETTERS = frozenset("WMmw@%")


@frozen
class Pen:
    """How large letters are, mm, and what makes the ids of one drawing its own among several on a page."""

    letter: float
    ids: str = "sp"

    @property
    def small(self) -> float:
        return self.letter * 0.92

    def width(self, text: str, size: float | None = None, *, bold: bool = False) -> float:
        """About how wide a text is, mm."""
        return sum(map(_of_letter, text)) * (size or self.letter) * (_BOLDER if bold else 1)

    def hatch(self, name: str) -> str:
        return f"url(#{self.ids}-{name})"


@lru_cache(1024)
def _of_letter(c: str) -> float:
    if c in _WIDE_LETTERS or east_asian_width(c) in "WF":
        return _WIDE
    return _CAPITAL if c.isupper() else _LETTER


def hatches(pen: Pen, drawn: Sequence[Element]) -> Element:
    """The patterns of what is ``drawn``: slanted lines for walls and what cannot give way, dots for boosters, cross
    lines for a hand's room, question marks for what was not measured."""
    def pattern(name: str, size: float, *marks: Element, turn: int = 0) -> Element:
        return el("pattern", marks, id=f"{pen.ids}-{name}", width=size, height=size, patternUnits="userSpaceOnUse",
                  patternTransform=f"rotate({turn})" if turn else None)

    def stroke(d: str, width: float, colour: str) -> Element:
        return el("path", d=d, stroke=colour, stroke_width=width, fill="none",
                  class_="hatch" if colour == GREY else "pale")

    def white(size: float) -> Element:
        return el("rect", width=size, height=size, fill=WHITE, class_="paper")

    fills = {element.get("fill") for one in drawn for element in one.iter()}
    every = {"wall": pattern("wall", 18, white(18), stroke("M0 0V18", 8, GREY), turn=45),
             "seatback": pattern("seatback", 26, white(26), stroke("M0 0V26", 4, PALE), turn=-45),
             "rear": pattern("rear", 34, stroke("M0 0V34", 4, PALE), turn=45),
             "booster": pattern("booster", 34, el("circle", cx=17, cy=17, r=5, fill=PALE, class_="dot")),
             "unknown": pattern("unknown", 90, text(20, 50, "?", 50, class_="quiet"),
                                text(65, 88, "?", 50, class_="quiet")),
             "hand": pattern("hand", 20, stroke("M0 0L20 20M20 0L0 20", 3, GREY))}
    return el("defs", [made for name, made in every.items() if pen.hatch(name) in fills])


def text(x: float, y: float, said: str, size: float, *, anchor: str | None = None, class_: str = "") -> Element:
    """One line of real text; ``y`` is its base line."""
    return el("text", said, x=x, y=y, font_size=size, text_anchor=anchor, class_=class_ or None)


def on_white(pen: Pen, x: float, y: float, said: str, size: float, class_: str = "") -> list[Element]:
    """A centred line with white behind it, so that no line of the drawing runs through the letters."""
    wide = pen.width(said, size, bold="bold" in class_)
    return [el("rect", x=x - wide / 2, y=y - size * (LINE - BELOW), width=wide, height=size * LINE, class_="back"),
            text(x, y, said, size, anchor="middle", class_=class_)]


def lines_of(pen: Pen, said: str, room: float, indent: str = "", *, size: float | None = None,
             bold: bool = False) -> list[str]:
    """A paragraph cut into lines that fit a width in mm, the later ones indented; so is a word that is wider."""
    lines = [""]
    for word in said.split():
        longer = f"{lines[-1]} {word}" if lines[-1].strip() else lines[-1] + word
        if pen.width(longer, size, bold=bold) > room and lines[-1].strip():
            lines.append(indent)
            longer = indent + word
        while pen.width(longer, size, bold=bold) > room and len(longer) > len(indent) + 1:
            most = next(n for n in range(len(longer) - 1, 0, -1)
                        if n <= len(indent) + 1 or pen.width(longer[:n], size, bold=bold) <= room)
            lines[-1:] = [longer[:most], indent]
            longer = indent + longer[most:]
        lines[-1] = longer
    return lines


def path(points: Sequence[tuple[float, float]], closed: bool = True) -> str:
    """The ``d`` of straight lines through points."""
    return "M" + "L".join(f"{plain(x)} {plain(y)}" for x, y in points) + ("Z" if closed else "")


def ruled(d: str, class_: str, **more: Value) -> Element:
    """A line without a filling."""
    return el("path", d=d, fill="none", class_=class_, **more)


def arrow_head(x: float, y: float, size: float, towards: str) -> Element:
    """A filled triangle whose tip is at (x, y)."""
    dx, dy = {"up": (0, 1), "down": (0, -1), "left": (1, 0), "right": (-1, 0)}[towards]
    wide = size * 0.5
    back = x + dx * size, y + dy * size
    return el("path", d=path([(x, y), (back[0] + dy * wide, back[1] + dx * wide),
                              (back[0] - dy * wide, back[1] - dx * wide)]), class_="solid")


def front_width(pen: Pen) -> float:
    """How much of the first line of a panel the mark for the front of the car takes."""
    return pen.width(t("front"), pen.small) + pen.letter * 1.4


def front_mark(pen: Pen, right: float, y: float, towards: str) -> Element:
    """Where the front of the car is: the word and an arrow, at the right end of the line at ``y``."""
    middle, tip = y - pen.small * 0.36, pen.letter * 0.75
    word = text(right - pen.letter * 0.95, y, t("front"), pen.small, anchor="end")
    if towards == "right":
        return el("g", word, arrow_head(right, middle, tip, "right"), data_front=towards)
    return el("g", word, arrow_head(right - tip / 2, middle - tip / 2, tip, "up"), data_front=towards)


@frozen
class Panel:
    """A drawn part of the page; ``element`` starts at y = 0. ``unwritten``: names that it had no room for."""

    element: Element
    height: float
    unwritten: tuple[str, ...] = ()


@frozen
class Page:
    """What is drawn on: the pen, how wide the page is, mm, and whose body stands out (None: all alike)."""

    pen: Pen
    width: float
    focus: str | None = None

    def shift(self, left: float, right: float) -> float:
        """How far right a drawing moves so that it stands in the middle of the page."""
        return round((self.width - left - right) / 2)
