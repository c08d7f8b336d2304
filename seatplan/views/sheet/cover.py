"""The rows on the cover of the sheet: all on one scale, as large as the page takes them."""

from __future__ import annotations

from collections.abc import Sequence
from xml.etree.ElementTree import Element

from seatplan.solver.picture import BodySeen, Picture, RowSeen
from seatplan.solver.results import Arrangement, Plan
from seatplan.views.markup import el
from seatplan.views.say import t
from seatplan.views.svg.figures import row_figures
from seatplan.views.text import listed

from .paper import PAPERS

#: inside the margins, mm; between two drawings side by side; how wide one drawing is at most, and at least
_WIDE, _BETWEEN, _MOST, _LEAST = 188, 8, 150, 70
#: of the height of the paper: margins and what always stands on a cover; what each line of a list takes; a line of gaps
_TAKEN, _EACH, _LINE = 92.0, 8.0, 3.4


def cover_rows(plan: Plan, arrangement: Arrangement, seen: Picture, paper: str, lines: int) -> Element:
    """The rows with anybody to install for; the rest in words. ``lines``: how many lists of the cover take room."""
    drawn = [row for row in seen.rows if not _plain(row)]
    told = [line for row in seen.rows if _plain(row) and (line := _said(row))]
    figures = row_figures(plan, arrangement, drawn, seen, "cover")
    wide = _width(figures, PAPERS[paper] - _TAKEN - _EACH * lines)
    for figure in figures:
        figure.set("style", f"width:{wide:.0f}mm")
    return el("div", [el("p", line) for line in told], el("div", figures, class_="rows") if figures else None,
              class_="cover")


def _plain(row: RowSeen) -> bool:
    """Whether nobody is there but adults on the belt, who need no drawing."""
    return all(body.guessed or (body.placement.restraint is None and body.placement.rider.adult)
               for body in row.bodies)


def _said(row: RowSeen) -> str:
    if not row.bodies:
        return t("Row {row}: nobody rides in it.", row=row.row.row)
    return t("Row {row}, with the vehicle belt alone: {names}.", row=row.row.row,
             names=listed([_named(body) for body in row.bodies]))


def _named(body: BodySeen) -> str:
    position = body.placement.position.position
    who = t("driver") if body.guessed else body.placement.rider.rider
    return t("{rider} at {position}", rider=who, position=position)


def _width(figures: Sequence[Element], high: float) -> float:
    """The width of each drawing, mm, in one column or in two, whichever makes them larger."""
    ratios = []
    for figure in figures:
        *_, across, down = map(float, (figure[0].get("viewBox") or "").split())
        ratios.append((down / across, _LINE * len(figure.findall(".//li"))))
    if not ratios:
        return 0
    found = []
    for columns in (1, 2):
        rows = [ratios[i:i + columns] for i in range(0, len(ratios), columns)]
        room = high - sum(max(words for _, words in row) for row in rows)
        most = min(_MOST, (_WIDE - _BETWEEN * (columns - 1)) / columns)
        found.append(min(most, room / sum(max(ratio for ratio, _ in row) for row in rows)))
    return max(_LEAST, *found)
