"""Everything for and against a child at every seat, and at one."""

from __future__ import annotations

from collections.abc import Sequence
from xml.etree.ElementTree import Element

from seatplan.app.errors import InputError
from seatplan.app.named import seats
from seatplan.app.why import AskWhy, why
from seatplan.views.html import Place, elements
from seatplan.views.markup import el
from seatplan.views.say import t
from seatplan.views.why_text import why_content
from seatplan.web.visit import Answer, Visit

from .around import Here, here, page, unanswered


def shown(visit: Visit) -> Answer:
    """``rider``: by the place in the trip; ``seat``: by its name. Without a rider, all there are to choose from."""
    one = here(visit)
    rider, seat = visit.query.get("rider", ""), visit.query.get("seat", "")
    parts: list[Element | None] = [_choose(one, rider, seat)]
    if rider:
        try:
            found = why(AskWhy(trip=one.held.path, rider=one.rider(rider), position=seat or None)).answer
            parts.append(el("section", elements(why_content(found, None, narrow=bool(seat)), Place("h2", prefix="why")),
                            class_="told-why"))
        except InputError as error:
            parts.append(unanswered(error))
    return page(one, "why", parts)


def link(number: str, rider: int, seat: str = "") -> str:
    """Where it is told of one rider, and there of one seat."""
    return f"/trips/{number}/why?rider={rider}" + (f"&seat={seat}" if seat else "")


def _choose(one: Here, rider: str, seat: str) -> Element:
    """Each child and seat, a link each."""
    there = seats(one.held.path)
    rows = [el("tr", el("th", el("a", name, href=link(one.number, k),
                                 aria_current="page" if rider == str(k) and not seat else None), scope="row"),
               [el("td", el("a", at, href=link(one.number, k, at), aria_label=t("{rider} at {position}", rider=name,
                                                                               position=at),
                            aria_current="page" if rider == str(k) and seat == at else None)) for at in there])
            for k, name in enumerate(one.riders)]
    return el("div", el("table", el("caption", t("Choose a child, or a child at a seat")), el("tbody", rows)),
              class_="choices wide", role="region", tabindex=0, aria_label=t("Choose a child, or a child at a seat"))


def with_whys(made: Element, number: str, riders: Sequence[str]) -> Element:
    """A piece of a page in which each table of who sits where leads to why: the child, and the seat."""
    for table in made.iter("table"):
        if table.get("class") != "seated":
            continue
        for row in table.iter("tr"):
            head, cells = row.find("th"), row.findall("td")
            if head is not None and cells and head.text in riders:
                rider = riders.index(head.text)
                seat = cells[0].text or ""
                _linked(head, link(number, rider))
                _linked(cells[0], link(number, rider, seat))
    return made


def _linked(cell: Element, href: str) -> None:
    inner = el("a", cell.text or "", href=href)
    cell.text = None
    cell.append(inner)
