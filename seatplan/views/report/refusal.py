"""Why nothing fits, and what would change it."""

from __future__ import annotations

from xml.etree.ElementTree import Element

from seatplan.solver.repairs.verify import Repair
from seatplan.views import conflict_text, repairs_text
from seatplan.views.html import elements, inline
from seatplan.views.markup import el
from seatplan.views.repairs_text import HEAD, SOLVED, done_in, more_sets, none_found, seats_of, then
from seatplan.views.room_hint import room_hint
from seatplan.views.say import t
from seatplan.views.shortage_text import shortage

from .shown import Shown, section


def conflict(shown: Shown) -> Element | None:
    """Who cannot travel together and why, where nothing fits."""
    plan, explained = shown.plan, shown.explanation
    told = [shortage(plan, plan.shortage) if plan.shortage else None,
            None if explained is None else conflict_text.conflict(explained, plan.strict)]
    if not any(told):
        return None
    return section(shown, "conflict", t("Why nothing fits"), elements(told, shown.place))


def repairs(shown: Shown) -> Element | None:
    """What would change it; each was solved again."""
    explained = shown.explanation
    if explained is None:
        return None
    found = explained.repairs
    if not found.repairs:
        return section(shown, "repairs", t(HEAD), el("p", inline(none_found(found, shown.plan.strict))), _hint(shown))
    more, solved = more_sets(found), t(SOLVED)
    return section(
        shown, "repairs", t(HEAD), el("p", f"{solved[0].upper()}{solved[1:]}."),
        el("ol", [_one(repair, shown) for repair in found.repairs], class_="repairs"),
        el("p", more) if more else None, _hint(shown))


def _one(repair: Repair, shown: Shown) -> Element:
    return el("li", el("p", el("strong", done_in(repair))), el("p", f"{then(repair)}:"),
              el("ul", [el("li", seat) for seat in seats_of(repair)]),
              elements(repairs_text.beside(repair), shown.place))


def _hint(shown: Shown) -> Element | None:
    """How large a restraint may be, for a child of the conflict."""
    explained = shown.explanation
    riders = explained.riders if explained is not None else ()
    child = next((r.rider for r in shown.plan.trip.riders if r.rider in riders and not r.adult), None)
    if child is None:
        return None
    return el("p", inline(room_hint(shown.again, child, what=t("a restraint for {child}", child=child))))
