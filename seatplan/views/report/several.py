"""Several vehicles in one report: an overview, what changes in each, and a section for every one of them."""

from __future__ import annotations

from collections.abc import Sequence
from xml.etree.ElementTree import Element

from seatplan.solver.changes import Change
from seatplan.solver.compare import Comparison, Lost
from seatplan.views.compare_text import (
    OVERVIEW,
    SEATS,
    keeps_said,
    lost_said,
    overview,
    room_in,
    seat_row,
    stays_behind,
    together,
)
from seatplan.views.html import Place, elements, table, wide
from seatplan.views.markup import el
from seatplan.views.say import look_up, t
from seatplan.views.squeeze_text import sum_shown
from seatplan.views.words import car_name

from .shown import Compared, Shown, section


def overview_of(found: Comparison) -> Element:
    """The answer for each vehicle in one line."""
    rows = [el("tr", el("th", el("a", f"{n}. {name}", href=f"#v{n}"), scope="row"),
               [el("td", value) for value in (*rest, room_in(vehicle))])
            for (n, name, *rest), vehicle in zip(overview(found), found.vehicles, strict=True)]
    return el("section", el("h2", t("The vehicles"), id="vehicles-head"),
              wide(t("The vehicles"), table([*map(look_up, OVERVIEW[1:]), t("room in the best")], rows,
                                           t("The best arrangement in each"))),
              id="vehicles", aria_labelledby="vehicles-head")


def vehicle_section(compared: Compared, *parts: Element | Sequence[Element] | None) -> Element:
    """All about one vehicle."""
    name = f"v{compared.n + 1}"
    head = f"{compared.n + 1}. {car_name(compared.vehicle.trip.vehicle)}"
    return el("section", el("h2", head, id=f"{name}-head"), *parts, id=name, class_="several",
              aria_labelledby=f"{name}-head", data_plan=True)


def changes(shown: Shown) -> Element | None:
    """What changes for each rider in one of several vehicles, what does not go along, and what keeps more the same."""
    compared = shown.compared
    if compared is None:
        return None
    found, vehicle = compared.found, compared.vehicle
    counted = found.held_against == "today" or (found.held_against == "first" and compared.n > 0)
    told: list[Element] = []
    if counted and vehicle.best is not None:
        told.append(_table(shown, vehicle.changes, t("In the best arrangement")))
    if vehicle.lost:
        told += [el("p", stays_behind(found)), el("ul", [_lost(lost, shown, compared) for lost in vehicle.lost])]
    if vehicle.keeps is not None:
        said = keeps_said(vehicle.keeps)
        told.append(_table(shown, vehicle.keeps_changes, said))
    if compared.left_out:
        told.append(el("ul", [el("li", line) for line in together(compared.left_out)]))
    return section(shown, "changes", t("What changes"), told) if told else None


def _table(shown: Shown, made: Sequence[Change], caption: str) -> Element:
    rows = []
    for change in made:
        rider, *rest = seat_row(change)
        rows.append(el("tr", el("th", rider, scope="row"), [el("td", value) for value in rest]))
    return wide(f"{caption}{shown.named}", table([*map(look_up, SEATS), t("change")], rows, caption))


def _lost(lost: Lost, shown: Shown, compared: Compared) -> Element:
    told = lost_said(lost, compared.vehicle)
    return el("li", told, [] if lost.squeeze is None else elements(
        [sum_shown(lost.squeeze)], Place(named=f"{shown.named}, {lost.rider}")))
