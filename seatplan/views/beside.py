"""The answer as it stands beside the questions, and is read again with each of them: what the report says first, then
what the short answer says of the seats ahead, of what is only estimated and of why nothing fits, and the rows drawn."""

from __future__ import annotations

from typing import TYPE_CHECKING
from xml.etree.ElementTree import Element

from seatplan.solver.results import Arrangement, Plan

from .along_text import leans, told_along
from .content import Figure
from .doubted_text import doubted
from .first_text import first_lines
from .html import Place, elements
from .markup import el
from .notes_text import cautions_said, estimates_in_short, readings
from .plan_text import tried_and_out
from .report.answer import HEADS, who_sits_where
from .say import t
from .short_refusal_text import refused
from .text import count
from .tried_text import confirmed
from .under_way_text import under_way_in

if TYPE_CHECKING:
    from seatplan.solver.explain import Explanation

#: so many things to find out stand in the answer itself
_FIRST = 3
#: of what there is to say along the car: where seats ahead have to stand, what is not known
_ALONG = ("stands", "unknown")


def beside(plan: Plan, prefix: str) -> list[Element | None]:
    """The verdict, who sits where, what to read first, what to heed, the rows drawn. ``prefix``: of ids."""
    place = Place("h3", prefix=prefix)
    head = el("p", el("strong", HEADS[plan.verdict], class_=f"verdict {plan.verdict}"), class_="told")
    if not plan.arrangements:
        return [head, *elements([under_way_in(plan), doubted(plan.trip), tried_and_out(plan)], place)]
    best = plan.arrangements[0]
    return [head, *elements([under_way_in(plan)], place), who_sits_where(best), _lines(first_lines(plan), "first"),
            *_to_find_out(best), *elements([doubted(plan.trip)], place), _lines(cautions_said(best), "noted"),
            _lines(_along(plan, best), "along"), *elements([tried_and_out(plan), Figure(plan, best)], place)]


def why_refused(plan: Plan, explanation: Explanation | None) -> list[Element]:
    """Where nothing fits: what would change it, and why it is so."""
    return elements(refused(plan, explanation), Place("h3"))


def in_a_line(plan: Plan) -> list[str]:
    """The verdict, and who sits where, as short as that can be said."""
    if not plan.arrangements:
        return [HEADS[plan.verdict]]
    return [HEADS[plan.verdict], " · ".join(
        f"{seat.placement.rider.rider} {seat.placement.position.position}" for seat in plan.arrangements[0].seats)]


def _to_find_out(best: Arrangement) -> list[Element | None]:
    """Of what is not known, what decides most."""
    found = readings(best, how=True) if best.verdict == "unmeasured" else []
    if not found:
        return []
    more = count(len(found) - _FIRST, "thing") if len(found) > _FIRST else ""
    return [el("h3", t("To find out first")), _lines(found[:_FIRST], "find"),
            el("p", t("and {things} more", things=more), class_="find-more") if more else None]


def _along(plan: Plan, best: Arrangement) -> list[str]:
    told = [one.text for one in told_along(best) if one.kind in _ALONG or (one.to_try and one.kind != "lean")]
    estimated = "" if best.verdict == "unmeasured" else estimates_in_short(best, plan.trip)
    return [*(line for line in (leans(best), *told, estimated) if line), *confirmed(best)]


def _lines(lines: list[str], class_: str) -> Element | None:
    return el("ul", [el("li", line) for line in lines], class_=class_) if lines else None
