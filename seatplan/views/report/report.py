"""The report: verdict first, then arrangements, who can sit where, reasons; one file, a script only to filter."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping, Sequence
from xml.etree.ElementTree import Element

from seatplan.app.documents import Reported
from seatplan.growth.outlook import Outlook
from seatplan.model import Trip
from seatplan.solver.compare import Comparison
from seatplan.solver.explain import Explanation
from seatplan.solver.measure import Measure
from seatplan.solver.picture import Picture
from seatplan.solver.results import Plan
from seatplan.views.caution import CAUTION, foot
from seatplan.views.compare_text import head_said
from seatplan.views.document import TRIP_ATTRIBUTE, identity
from seatplan.views.doubted_text import doubted
from seatplan.views.first_text import first_lines
from seatplan.views.html import elements
from seatplan.views.manner import language, number
from seatplan.views.markup import el, html_file
from seatplan.views.pages import page_file, style_of
from seatplan.views.say import N, Words, t, tr
from seatplan.views.text import count, heading
from seatplan.views.words import car_name

from .best import best, everything
from .readings import measuring
from .reasons import tried, who_where, why_not
from .refusal import conflict, repairs
from .several import changes, overview_of, vehicle_section
from .shown import Compared, Shown
from .timeline import timeline

#: what the report consists of, in order; a function that returns None has nothing to say of this plan
SECTIONS: tuple[Callable[[Shown], Element | None], ...] = (
    conflict, repairs, tried, best, changes, timeline, everything, who_where, measuring, why_not)
_VERDICTS = Words({"fits": "It fits", "close": "Close: try it in the car",
                   "likely": "Likely: measure what is only estimated, then it can fit",
                   "unmeasured": "Not settled: something that matters was not measured",
                   "rejected": "Nothing fits"})
#: on paper only
_UNPRINTED = N("What was closed on the screen is not printed: what was checked and passed, more drawings, the list of "
               "every arrangement, counts. Open it before printing to have it on paper.")
#: what the script says; it fills in what stands in braces
_SCRIPT_WORDS = Words({
    "all": "All {n} listed arrangements are shown.",
    "none": "0 of {n} listed arrangements remain.",
    "left": "{left} of {n} listed arrangements remain: the best is number {best}.",
    "undrawn": "None of them is drawn here: `{draw} --arrangement {best} -o plan.svg` draws the best.",
    "elsewhere": "{n} are ruled out: they have {rider} elsewhere than at {seat}.",
    "there": "{n} are ruled out: they have {rider} at {seat}.",
    "unlisted": "None among the {n} listed has {rider} at {seat}; {there} exist: `{ask}` says in which restraints.",
    "together": "Each may be had by itself; no listed arrangement has all of them.",
})


def reported_html(found: Reported) -> str:
    """The report that was asked for, of one vehicle or of several, as a whole HTML file."""
    if found.comparison is None:
        [one] = found.each
        return report_html(one.plan, one.pictures, one.explanation, one.words, one.ahead, one.measure)
    held = found.comparison
    return several_html(held, [
        Shown(one.plan, one.pictures, one.explanation, one.words, one.ahead,
              Compared(held, n, [problem.text for problem in one.left_out]), one.measure)
        for n, one in enumerate(found.each)])


def report_html(plan: Plan, pictures: Mapping[int, Picture], explanation: Explanation | None, again: str,
                ahead: Outlook | None = None, measure: Measure | None = None) -> str:
    """A whole HTML file. ``pictures``: the arrangements that are drawn, by rank; ``explanation``: why nothing fits;
    ``ahead``: how long it lasts; ``measure``: what to measure next."""
    shown = Shown(plan, pictures, explanation, again, ahead, measure=measure)
    parts = _parts(shown)
    return _file(plan.trip, _answer(plan), _choose(shown), parts)


def several_html(found: Comparison, each: Sequence[Shown]) -> str:
    """A whole HTML file about several vehicles, ``each`` with what is shown of it. Raises ValueError where one of them
    does not say which it is."""
    sections = []
    for shown in each:
        if shown.compared is None:
            raise ValueError(f"{shown.again} is not one of several vehicles")
        parts = _parts(shown)
        nav = el("nav", el("ul", _contents(parts)), aria_label=t("Contents{named}", named=shown.named))
        sections.append(vehicle_section(shown.compared, _answer(shown.plan), nav, _choose(shown), parts))
    return _file(found.vehicles[0].plan.trip, [el("p", head_said(found))], None, [overview_of(found), *sections])


def _parts(shown: Shown) -> list[Element]:
    return [part for part in (make(shown) for make in SECTIONS) if part is not None]


def _contents(parts: Sequence[Element]) -> list[Element]:
    return [el("li", el("a", part[0].text or "", href=f"#{part.get('id')}")) for part in parts]


def _file(trip: Trip, answer: Sequence[Element], choose: Element | None, parts: Sequence[Element]) -> str:
    """The page around what is told."""
    return html_file(el(
        "html",
        el("head", el("meta", charset="utf-8"),
           el("title", heading(lambda name: t("{trip}: plan", trip=name), trip.trip)),
           el("meta", name="viewport", content="width=device-width, initial-scale=1"),
           el("meta", name="color-scheme", content="light dark"),
           el("meta", name="generator", content="made by seatplan"), el("style", style_of("report", FOOT=foot()))),
        el("body",
           el("header", el("h1", trip.trip), answer, el("p", tr(CAUTION), class_="caution")),
           el("nav", el("ul", _contents(parts)), aria_label=t("Contents")),
           el("main", choose, parts),
           el("p", t(_UNPRINTED), class_="on-paper"),
           el("footer", el("p", t("Caution: {CAUTION}", CAUTION=CAUTION))),
           el("script", page_file("report.js"))),
        lang=language(), **{TRIP_ATTRIBUTE: identity(trip)}), "report")


def _answer(plan: Plan) -> list[Element]:
    tally, trip = plan.tally, plan.trip
    kinds = {"fits": t("{n} fit", n=number(tally.sure["fits"])),
             "close": t("{n} are close", n=number(tally.sure["close"])),
             "likely": t("{n} are likely", n=number(tally.sure["likely"])),
             "unmeasured": t("{n} hang on what was not measured", n=number(tally.sure["unmeasured"]))}
    told = [words for kind, words in kinds.items() if tally.sure[kind]] or [t("none works")]
    limit = (t(" The search stopped at its limit; there may be more.") if not tally.complete else
             "" if plan.all_ranked else t(" The search stopped at its limit; there may be better ones."))
    return [
        el("p", t("In {vehicle}, rules {name}, {day}: {riders}, {restraints}.", vehicle=car_name(trip.vehicle),
                  name=plan.profile.name, day=plan.day, riders=count(len(trip.riders), "rider"),
                  restraints=count(len(trip.restraints), "restraint"))),
        el("p", el("strong", _VERDICTS[plan.verdict], class_="verdict"), " ",
           t("Of {seatings}, {told}.{limit}", seatings=count(tally.seatings, "arrangement"), told=", ".join(told),
             limit=limit)),
        *([el("ul", [el("li", line) for line in first_lines(plan)])] if plan.arrangements else []),
        *elements([doubted(trip)]),
    ]


def _choose(shown: Shown) -> Element | None:
    """Fields that the script works with; without it they stay hidden, since they would do nothing."""
    plan = shown.plan
    if len(plan.arrangements) < 2:
        return None
    seats = [position.position for position in plan.choices.positions]
    fields = []
    for r, rider in enumerate(plan.trip.riders):
        options = [el("option", t("anywhere"), value="")]
        options += [el("option", t("at {seat}", seat=seat), value=seat) for seat in seats]
        options += [el("option", t("not at {seat}", seat=seat), value=f"!{seat}") for seat in seats]
        fields.append(el("label", el("span", rider.rider), el("select", options, data_rider=str(r))))
    name = shown.prefix
    return el(
        "section", el(shown.heading, t("Try it out"), id=f"{name}choose-head"),
        el("p", t("Pin a rider to a seat, or keep one away from it. What remains is shown, and why the rest is ruled "
                  "out.")),
        el("form", el("div", fields, class_="fields"), el("button", t("Start again"), type="reset")),
        el("p", "", role="status", aria_live="polite", id=f"{name}remains", class_="remains"),
        el("ul", "", id=f"{name}went", class_="went"),
        id=f"{name}choose", class_="choose", hidden=True, data_draw=f"seatplan draw {shown.again}",
        data_words=json.dumps({key: _SCRIPT_WORDS[key] for key in _SCRIPT_WORDS}, ensure_ascii=False),
        aria_labelledby=shown.labelled("choose"))
