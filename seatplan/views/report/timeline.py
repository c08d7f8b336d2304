"""How long it lasts: the drawing of time, and a table that says the same."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from xml.etree.ElementTree import Element, fromstring

from seatplan.growth.outlook import Move, Outlook, Step
from seatplan.views.html import inline, table, wide
from seatplan.views.manner import day
from seatplan.views.markup import clean, el
from seatplan.views.outlook_chart import Span, children, spans
from seatplan.views.outlook_svg import outlook_svg
from seatplan.views.outlook_text import answer_lines, growth_said, moves_said, step_head, step_notes
from seatplan.views.outlook_words import move_text
from seatplan.views.say import t
from seatplan.views.words import MODES

from .shown import Shown, section

_XMLNS = "{http://www.w3.org/2000/svg}"


def timeline(shown: Shown) -> Element | None:
    """The arrangements to come, each child as long as it lasts in the seat that protects most."""
    outlook = shown.ahead
    if outlook is None:
        return None
    head = t("Each child as long as it lasts in the seat that protects most")
    steps = outlook.protection.steps
    growth = growth_said(outlook)
    return section(
        shown, "timeline", t("How long it lasts, {start} to {end}", start=outlook.start, end=outlook.end),
        [el("p", line) for line in answer_lines(outlook)],
        el("figure", _drawing(outlook, f"{shown.prefix}time"), class_="broad"),
        el("figure", _drawing(outlook, f"{shown.prefix}time-narrow", narrow=True), class_="narrow"),
        wide(t("How long it lasts{named}", named=shown.named), table(
            [t("child"), t("from"), t("until"), t("in"), t("to do")], list(_rows(outlook)), head)),
        el("ol", [_step(outlook, step, before) for step, before in zip(steps, [None, *steps], strict=False)]),
        el("p", inline(growth)) if growth else None)


def _drawing(outlook: Outlook, ident: str, *, narrow: bool = False) -> Element:
    """The drawing as a part of the page, where tags have no namespace of their own."""
    svg = fromstring(clean(outlook_svg(outlook, ident=ident, narrow=narrow)))
    for part in svg.iter():
        part.tag = part.tag.removeprefix(_XMLNS)
    svg.set("xmlns", "http://www.w3.org/2000/svg")
    return svg


def _rows(outlook: Outlook) -> Iterator[Element]:
    for name in children(outlook):
        found = _merged(list(spans(outlook, outlook.protection, name)))
        for i, span in enumerate(found):
            row = el("tr", [el("td", day(on), class_="day") for on in (span.first, span.last)], el("td", _held(span)),
                     el("td", t("measure first: it may be outgrown") if span.unsure else ""))
            if i == 0:
                row.insert(0, el("th", name, scope="row", rowspan=len(found)))
            yield row


def _merged(found: Sequence[Span]) -> list[Span]:
    """What goes on alike through several arrangements, in one."""
    merged: list[Span] = []
    for span in found:
        if merged and replace(span, first=merged[-1].first, last=merged[-1].last) == merged[-1]:
            merged[-1] = replace(merged[-1], last=span.last)
        else:
            merged.append(span)
    return merged


def _held(span: Span) -> str:
    if span.mode is None:
        return t("nothing at hand works") if span.born else t("not born yet")
    return f"{span.restraint}, {MODES[span.mode]}" if span.restraint else MODES[span.mode]


def _step(outlook: Outlook, step: Step, before: Step | None) -> Element:
    who = moves_said(step, before) or [move_text(Move(None, place)) for place in step.leg.seating or ()]
    return el("li", el("p", el("strong", step_head(outlook, step))),
              el("ul", [el("li", line) for line in (*who, *step_notes(outlook, step, before))]))
