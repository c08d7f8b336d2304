"""Drawings for pages: each row from above and each shell from the side by itself, its gaps as text below it."""

from __future__ import annotations

from collections.abc import Sequence
from xml.etree.ElementTree import Element

from seatplan.model import Vehicle
from seatplan.solver.picture import Picture, RowSeen, SideSeen
from seatplan.solver.results import Arrangement, Plan
from seatplan.views.markup import el
from seatplan.views.say import N, t

from .plan import about, page_for, svg
from .row import gaps_told, row_panel, unwritten
from .side import side_panel

_SIDES = {"L": N("on the left"), "C": N("in the centre"), "R": N("on the right")}


def row_figures(plan: Plan, arrangement: Arrangement, rows: Sequence[RowSeen], picture: Picture, ids: str
                ) -> list[Element]:
    """Rows from above, all on one scale, each with the list of its gaps."""
    return [_row(plan, arrangement, picture, row, f"{ids}-{row.row.row}", t("Row {row} from above", row=row.row.row))
            for row in rows]


def row_and_side(plan: Plan, arrangement: Arrangement, picture: Picture, row: RowSeen, side: SideSeen | None, ids: str,
                 focus: str) -> list[Element]:
    """Small drawings of one restraint: among its neighbours, and where it faces the rear from the side too."""
    title = t("{focus} in row {row}, from above", focus=focus, row=row.row.row)
    drawn = [_row(plan, arrangement, picture, row, f"{ids}-top", title, focus)]
    if side is not None:
        drawn.append(_side(plan, arrangement, picture, side, f"{ids}-side", focus, told=False))
    return drawn


def side_figures(plan: Plan, arrangement: Arrangement, picture: Picture, ids: str) -> list[Element]:
    """Every rear-facing shell from the side, each with its words in the drawing."""
    return [_side(plan, arrangement, picture, side, f"{ids}-{side.body.placement.position.position}")
            for side in picture.sides]


def seats_said(vehicle: Vehicle) -> str:
    """What the names of the seats mean: ``1L row 1, on the left; 2C row 2, in the centre``."""
    seats = [t("{seat} row {row}, {where}", seat=position.position, row=position.row,
               where=t(_SIDES[position.position[1]])) for row in vehicle.rows for position in row.positions]
    return t("Seats, as seen when facing forward: {seats}.", seats="; ".join(seats))


def _row(plan: Plan, arrangement: Arrangement, picture: Picture, row: RowSeen, ids: str, title: str,
         focus: str | None = None) -> Element:
    page = page_for(plan, arrangement, picture, ids, focus)
    panel = row_panel(row, plan.trip, page, told=False)
    drawn = svg(page, [[panel]], title, about(plan, arrangement))
    lines = [*unwritten(panel.unwritten), *gaps_told(row)]
    return _figure(drawn, lines)


def _side(plan: Plan, arrangement: Arrangement, picture: Picture, side: SideSeen, ids: str, focus: str | None = None, *,
          told: bool = True) -> Element:
    page = page_for(plan, arrangement, picture, ids, focus)
    title = t("{rider}'s shell from the side", rider=side.body.placement.rider.rider)
    panel = side_panel(side, page, told=told)
    lines = [] if told else unwritten(panel.unwritten)
    return _figure(svg(page, [[panel]], title, about(plan, arrangement)), lines)


def _figure(drawn: Element, lines: Sequence[str]) -> Element:
    return el("figure", drawn, el("figcaption", el("ul", [el("li", line) for line in lines])) if lines else None)
