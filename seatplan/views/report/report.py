"""The report: verdict first, then arrangements, who can sit where, reasons; one file, a script only to filter."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path
from xml.etree.ElementTree import Element

from seatplan.solver.explain import Explanation
from seatplan.solver.picture import Picture
from seatplan.solver.results import Plan
from seatplan.views.caution import CAUTION
from seatplan.views.markup import el, html_file
from seatplan.views.text import count

from .best import best, everything
from .reasons import conflict, measuring, repairs, who_where, why_not
from .shown import Shown
from .style import STYLE

#: what the report consists of, in order; a function that returns None has nothing to say of this plan
SECTIONS: tuple[Callable[[Shown], Element | None], ...] = (
    conflict, repairs, best, everything, who_where, measuring, why_not)
_SCRIPT = Path(__file__).resolve().parent.parent.parent / "data" / "report" / "filter.js"
_VERDICTS = {"fits": "It fits", "close": "Close: try it in the car",
             "unmeasured": "Not settled: something that matters was not measured", "rejected": "Nothing fits"}


def report_html(plan: Plan, pictures: Mapping[int, Picture], explanation: Explanation | None, again: str) -> str:
    """A whole HTML file. ``pictures``: the arrangements that are drawn, by rank; ``explanation``: why nothing fits."""
    shown = Shown(plan, pictures, explanation, again)
    parts = [part for part in (make(shown) for make in SECTIONS) if part is not None]
    contents = [el("li", el("a", part[0].text or "", href=f"#{part.get('id')}")) for part in parts]
    trip = plan.trip
    return html_file(el(
        "html",
        el("head", el("meta", charset="utf-8"), el("title", f"{trip.trip}: plan"),
           el("meta", name="viewport", content="width=device-width, initial-scale=1"),
           el("meta", name="color-scheme", content="light dark"),
           el("meta", name="generator", content="made by seatplan"), el("style", STYLE)),
        el("body",
           el("header", el("h1", trip.trip), _answer(plan), el("p", CAUTION, class_="caution")),
           el("nav", el("ul", contents), aria_label="Contents"),
           el("main", _choose(shown), parts),
           el("footer", el("p", f"Caution: {CAUTION} Local law and certified technicians come first.")),
           el("script", _SCRIPT.read_text(encoding="utf-8"))),
        lang="en"))


def _answer(plan: Plan) -> list[Element]:
    tally, trip = plan.tally, plan.trip
    kinds = (("fits", "fit"), ("close", "are close"), ("unmeasured", "hang on what was not measured"))
    told = [f"{tally.sure[kind]:,} {words}" for kind, words in kinds if tally.sure[kind]] or ["none works"]
    invented = " (invented)" if trip.vehicle.invented else ""
    limit = "" if tally.complete else " The search stopped at its limit; there may be more."
    return [
        el("p", f"In {trip.vehicle.vehicle}{invented}, rules {plan.profile.name}, {plan.day.isoformat()}: "
                f"{count(len(trip.riders), 'rider')}, {count(len(trip.restraints), 'restraint')}."),
        el("p", el("strong", _VERDICTS[plan.verdict], class_="verdict"),
           f" Of {count(tally.seatings, 'seating')}, {', '.join(told)}.{limit}"),
    ]


def _choose(shown: Shown) -> Element | None:
    """Fields that the script works with; without it they stay hidden, since they would do nothing."""
    plan = shown.plan
    if len(plan.arrangements) < 2:
        return None
    seats = [position.position for position in plan.choices.positions]
    fields = []
    for r, rider in enumerate(plan.trip.riders):
        options = [el("option", "anywhere", value="")]
        options += [el("option", f"at {seat}", value=seat) for seat in seats]
        options += [el("option", f"not at {seat}", value=f"!{seat}") for seat in seats]
        fields.append(el("label", el("span", rider.rider), el("select", options, data_rider=str(r))))
    return el(
        "section", el("h2", "Try it out", id="choose-head"),
        el("p", "Pin a rider to a seat, or keep one away from it. What remains is shown, and why the rest went."),
        el("form", el("div", fields, class_="fields"), el("button", "Start again", type="reset")),
        el("p", "", role="status", aria_live="polite", id="remains"), el("ul", "", id="went"),
        id="choose", hidden=True, data_draw=f"seatplan draw {shown.again}", aria_labelledby="choose-head")
