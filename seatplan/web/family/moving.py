"""What if: a child chosen, then a seat, and what that would cost or what stands in the way; another arrangement of the
list held against the first. Nothing is written."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from contextlib import suppress
from xml.etree.ElementTree import Element

from seatplan.app.arrange import Arrange, arrange
from seatplan.app.errors import InputError
from seatplan.app.named import seats
from seatplan.app.request import Request
from seatplan.app.why import AskAgainst, AskWhyNot, against, not_so
from seatplan.solver.results import Arrangement, Plan
from seatplan.views.contrast_text import against_content, asked_content
from seatplan.views.html import Place, elements
from seatplan.views.markup import el
from seatplan.views.say import t
from seatplan.views.seated_text import seated
from seatplan.views.words import VERDICTS
from seatplan.web.visit import Answer, Visit

from .answer import Found, answer, found_for
from .around import Here, here, page, unanswered

#: so many arrangements of the list can be held against the first
_LISTED = 12
_PLACE = Place("h3", prefix="whatif")


def shown(visit: Visit) -> Answer:
    """``rider``, by the place in the trip, and ``seat``, by its name: the child is asked for there. ``rank``: that
    arrangement is held against the first."""
    one = here(visit)
    plan, trouble = _plan(one)
    best = plan.arrangements[0] if plan is not None and plan.arrangements else None
    return page(one, "move", [
        el("div", _choose(visit, one, best), class_="asks"),
        el("div", trouble or _result(visit, one),
           answer(Found(plan) if plan is not None else found_for(one.held.path), one.number),
           class_="beside"),
        _ranks(visit, plan)], wide=True)


def _plan(one: Here) -> tuple[Plan | None, Element | None]:
    try:
        return arrange(Arrange(trip=one.held.path, top=_LISTED)).answer.plan, None
    except InputError as error:
        return None, unanswered(error)


# --- a child, then a seat

def _choose(visit: Visit, one: Here, best: Arrangement | None) -> Element:
    """Two taps, or the arrow keys within each of the two; a question like any other link, so nothing is posted."""
    sits = {} if best is None else {seat.placement.position.position: seat.placement.rider.rider for seat in best.seats}
    rows: dict[str, list[str]] = {}
    for seat in seats(one.held.path):
        rows.setdefault(seat[:1], []).append(seat)
    children = [_tile("rider", str(k), visit.query.get("rider", "") == str(k), name)
                for k, name in enumerate(one.riders)]
    strips = [el("div", [_tile("seat", seat, visit.query.get("seat", "") == seat, seat, sits.get(seat, t("empty")))
                         for seat in row], class_="side-by-side") for row in rows.values()]
    return el("form",
              el("p", t("Choose a child, then a seat: what it would cost is told at once, or what stands in the way. "
                        "Nothing is written.")),
              el("fieldset", el("legend", t("Who")), el("div", children, class_="tiles")),
              el("fieldset", el("legend", t("Where, seen from above, front row first")),
                 el("div", strips, class_="from-above")),
              el("button", t("What if?"), class_="save"),
              method="get", action=visit.path, class_="what-if", data_looks=True)


def _tile(name: str, value: str, chosen: bool, told: str, more: str = "") -> Element:
    return el("label", el("input", type="radio", name=name, value=value, checked=chosen),
              el("span", el("strong", told), el("small", more) if more else None), class_="tile")


# --- another arrangement

def _ranks(visit: Visit, plan: Plan | None) -> Element | None:
    if plan is None or len(plan.arrangements) < 2:
        return None
    first = plan.arrangements[0]
    lines = [el("li", el("a", t("Arrangement {rank}: {verdict}", rank=other.rank, verdict=VERDICTS[other.verdict]),
                         href=f"{visit.path}?rank={other.rank}",
                         aria_current="true" if visit.query.get("rank") == str(other.rank) else None),
                el("span", seated(other, first))) for other in plan.arrangements[1:]]
    return el("section", el("h2", t("Others of the list, against the first")), el("ol", lines, start=2),
              class_="ranks")


# --- what came of it

def _result(visit: Visit, one: Here) -> Element:
    return el("section", _told(visit, one), id="what-if", class_="what-came", data_live=True, aria_live="polite")


def _told(visit: Visit, one: Here) -> Sequence[Element]:
    """What was asked, worked out in a process of its own: what stands in the way can take seconds to tell."""
    rider, seat, rank = (visit.query.get(name, "") for name in ("rider", "seat", "rank"))
    try:
        if rank:
            number = int(rank) if rank.isdecimal() and len(rank) < 5 else 0
            return _asked(visit, rank_told, AskAgainst(trip=one.held.path, arrangement=number))
        if rider and seat:
            return _asked(visit, move_told, AskWhyNot(trip=one.held.path, so=f"{one.rider(rider)}={seat}"))
    except InputError as error:
        return [unanswered(error)]
    visit.house.make_ready(ready, Arrange(trip=one.held.path))
    return [el("h2", t("What if")), el("p", t("Nothing is chosen yet."))]


def _asked(visit: Visit, question: Callable[..., list[Element]], request: Request) -> list[Element]:
    told: list[Element] = visit.house.beside(question, request)
    return told


def ready(request: Arrange) -> None:
    """The trip solved where the question will be asked, while somebody still chooses."""
    with suppress(InputError):
        arrange(request)


def move_told(request: AskWhyNot) -> list[Element]:
    """What it would cost, or what stands in the way."""
    try:
        return [el("h2", t("What if")), *elements(asked_content(not_so(request).answer), _PLACE)]
    except InputError as error:
        return [unanswered(error)]


def rank_told(request: AskAgainst) -> list[Element]:
    """One arrangement against the first."""
    try:
        found = against(request).answer
    except InputError as error:
        return [unanswered(error)]
    return [el("h2", t("Held against the first")), *elements(against_content(found.plan, found.contrast), _PLACE)]
