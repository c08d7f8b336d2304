"""Why nothing fits, and what would change it: the words of the text output as lists and tables."""

from __future__ import annotations

from collections.abc import Sequence
from xml.etree.ElementTree import Element

from seatplan.geometry.chain import Addend
from seatplan.solver.repairs.verify import Repair
from seatplan.solver.results import SqueezeShown
from seatplan.views.conflict_text import NEAREST, lines_of, no_reasons, other_groups, who_cannot
from seatplan.views.markup import el
from seatplan.views.notes_text import cautions_said
from seatplan.views.repairs_text import (
    HEAD,
    SOLVED,
    done_in,
    losses_of,
    more_sets,
    none_found,
    notes_of,
    seats_of,
    then,
    to_try,
)
from seatplan.views.room_hint import room_hint
from seatplan.views.say import t, tr
from seatplan.views.shortage_text import shortage_lines
from seatplan.views.squeeze_text import outcome, sides_of, who_sits
from seatplan.views.text import length, total

from .shown import Shown, coded, section, wide


def conflict(shown: Shown) -> Element | None:
    """Who cannot travel together and why, where nothing fits."""
    plan, explained = shown.plan, shown.explanation
    told: list[Element] = []
    if plan.shortage:
        first, *reasons = shortage_lines(plan, plan.shortage)
        told += [el("p", first), *([el("ul", [el("li", line) for line in reasons])] if reasons else [])]
    if explained is not None and explained.conflict is None:
        told.append(el("p", no_reasons(explained)))
    elif explained is not None and explained.conflict is not None:
        lines = lines_of(explained.conflict.reasons, plan.strict)
        told += [el("p", who_cannot(explained, len(lines))), el("ul", [el("li", line) for line in lines])]
        if explained.nearest is not None:
            told += [el("p", t(NEAREST)), sum_table(explained.nearest, shown.named)]
        others = other_groups(explained)
        told += [el("p", others)] if others else []
    return section(shown, "conflict", t("Why nothing fits"), told) if told else None


def sum_table(squeezed: SqueezeShown, named: str = "") -> Element:
    """The sum that does not come out: what is needed, what is there, and the difference. ``named`` tells it apart."""
    squeeze, about = squeezed.squeeze, who_sits(squeezed)
    needs, there = sides_of(squeeze)
    left = total(abs(squeeze.short))
    last = el("tr", el("th", outcome(squeeze), scope="row"), el("td", ""), el("td", left))
    return wide(f"{about}{named}", el(
        "table", el("caption", about),
        el("tbody", [*_side("needs", needs, squeeze.need), *_side("there", there, squeeze.have), last]), class_="sum"))


def _side(word: str, addends: Sequence[Addend], comes_to: float) -> list[Element]:
    """The rows of one side: a length each, the total last."""
    lines = [*((tr(addend.label), length(abs(addend.mm))) for addend in addends), ("=", total(comes_to))]
    rows = [el("tr", el("td", label), el("td", value)) for label, value in lines]
    rows[0].insert(0, el("th", t(word), scope="row", rowspan=len(rows)))
    return rows


def repairs(shown: Shown) -> Element | None:
    """What would change it; each was solved again."""
    explained = shown.explanation
    if explained is None:
        return None
    found = explained.repairs
    if not found.repairs:
        return section(shown, "repairs", t(HEAD), el("p", coded(none_found(found, shown.plan.strict))), _hint(shown))
    more, solved = more_sets(found), t(SOLVED)
    return section(
        shown, "repairs", t(HEAD), el("p", f"{solved[0].upper()}{solved[1:]}."),
        el("ol", [_one(repair) for repair in found.repairs], class_="repairs"), el("p", more) if more else None,
        _hint(shown))


def _one(repair: Repair) -> Element:
    return el(
        "li", el("p", el("strong", done_in(repair))), el("p", f"{then(repair)}:"),
        el("ul", [el("li", seat) for seat in seats_of(repair)]),
        [el("p", coded(line)) for line in (*cautions_said(repair.arrangement), *losses_of(repair), *notes_of(repair))],
        [part for head, entries in to_try(repair)
         for part in (el("p", coded(head)), *([el("pre", "\n".join(entries))] if entries else []))])


def _hint(shown: Shown) -> Element | None:
    """How large a restraint may be, for a child of the conflict."""
    explained = shown.explanation
    riders = explained.riders if explained is not None else ()
    child = next((r.rider for r in shown.plan.trip.riders if r.rider in riders and not r.adult), None)
    if child is None:
        return None
    return el("p", coded(room_hint(shown.again, child, what=t("a restraint for {child}", child=child))))
