"""What is read first, and needs no more than the first screen of a phone: the verdict, who sits where and how held.

Fields below it pin riders to seats; the script then says the verdict, the seats and the cautions of the best that
remains in place of these.
"""

from __future__ import annotations

import json
from xml.etree.ElementTree import Element

from seatplan.solver.results import Arrangement, Plan, SeatShown
from seatplan.views.doubted_text import doubted
from seatplan.views.first_text import first_lines
from seatplan.views.html import elements, table
from seatplan.views.manner import number
from seatplan.views.markup import el
from seatplan.views.notes_text import cautions_said
from seatplan.views.plan_text import do
from seatplan.views.repairs_text import HEAD, done_in
from seatplan.views.say import Words, t
from seatplan.views.text import count
from seatplan.views.under_way_text import under_way_in
from seatplan.views.words import car_name, held_by, in_what

from .shown import Shown

#: a verdict as the head of an answer
HEADS = Words({"fits": "It fits", "close": "Close: try it in the car",
                   "likely": "Likely: measure what is only estimated, then it can fit",
                   "unmeasured": "Not settled: something that matters was not measured",
                   "rejected": "Nothing fits"})
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
    "pinned": "With {asked}, the best is number {best}.",
    "nowhere": "With {asked}.",
    "why": "With {asked}: {why}.",
    "beyond": "None of the {n} listed; there are more",
})


def about(plan: Plan) -> Element:
    """Which car, rules and day the answer is for."""
    trip = plan.trip
    return el("p", t("In {vehicle}, rules {name}, {day}: {riders}, {restraints}.", vehicle=car_name(trip.vehicle),
                     name=plan.profile.name, day=plan.day, riders=count(len(trip.riders), "rider"),
                     restraints=count(len(trip.restraints), "restraint")), class_="about")


def answer(shown: Shown, *more: Element) -> Element:
    """The answer for one vehicle; ``more`` stands above the fields to pin riders with."""
    plan = shown.plan
    best = plan.arrangements[0] if plan.arrangements else None
    return el(
        "div",
        el("p", el("strong", HEADS[plan.verdict], class_="verdict"), " ", el("span", class_="with"),
           role="status", aria_live="polite", aria_atomic="true", class_="told"),
        None if best is None else who_sits_where(best),
        _change(shown) if best is None else None,
        el("ul", [el("li", line) for line in first_lines(plan)], class_="first") if best else None,
        None if best is None else el("ul", [el("li", line) for line in cautions_said(best)], class_="noted"),
        *more, elements([under_way_in(plan), doubted(plan.trip)]), _counts(plan), _choose(shown), class_="answer")


def who_sits_where(best: Arrangement) -> Element:
    """Who sits where, without heads before each cell: they would take a screen of their own."""
    rows = [el("tr", el("th", rider, scope="row"), [el("td", told) for told in rest])
            for rider, *rest in map(seat_told, best.seats)]
    made = table([t("rider"), t("seat"), t("in"), t("held by")], rows, t("Who sits where"), stacks=False)
    made.set("class", "seated")
    return made


def seat_told(seat: SeatShown) -> tuple[str, str, str, str]:
    """Who sits where, in what, and how held."""
    placement = seat.placement
    return placement.rider.rider, placement.position.position, in_what(placement), held_by(placement)


def _change(shown: Shown) -> Element | None:
    """Where nothing fits, the first change that would help; the rest stands further down."""
    explained = shown.explanation
    if explained is None or not explained.repairs.repairs:
        return None
    return el("p", el("a", t(HEAD), href=f"#{shown.prefix}repairs"), f": {done_in(explained.repairs.repairs[0])}.")


def _counts(plan: Plan) -> Element:
    tally = plan.tally
    told = [f"{number(n)} {do(kind, n)}" for kind, n in tally.sure.items() if n] or [t("none works")]
    limit = (t(" The search stopped at its limit; there may be more.") if not tally.complete else
             "" if plan.all_ranked else t(" The search stopped at its limit; there may be better ones."))
    return el("p", t("Of {seatings}, {told}.{limit}", seatings=count(tally.seatings, "arrangement"),
                     told=", ".join(told), limit=limit))


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
    words = {key: texts[key] for texts in (_SCRIPT_WORDS, HEADS) for key in texts}
    return el(
        "section", el(shown.heading, t("Try it out"), id=f"{name}choose-head"),
        el("p", t("Pin a rider to a seat, or keep one away from it. What remains is shown, and why the rest is ruled "
                  "out.")),
        el("form", el("div", fields, class_="fields"), el("button", t("Start again"), type="reset")),
        el("p", "", role="status", aria_live="polite", id=f"{name}remains", class_="remains"),
        el("ul", "", id=f"{name}went", class_="went"),
        id=f"{name}choose", class_="choose", hidden=True, data_draw=f"seatplan draw {shown.again}",
        data_words=json.dumps(words, ensure_ascii=False), data_complete=listed_all(plan),
        aria_labelledby=shown.labelled("choose"))


def listed_all(plan: Plan) -> bool:
    """Whether every arrangement that there is has its line in the list, so that what is not there is nowhere."""
    return plan.tally.complete and plan.all_ranked and len(plan.arrangements) == plan.tally.valid
