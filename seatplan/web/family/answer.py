"""The answer that stands beside the questions all the time, and the bar that leads to it on a phone."""

from __future__ import annotations

from collections.abc import Sequence
from xml.etree.ElementTree import Element

from seatplan.app.arrange import Arrange, answered, arrange
from seatplan.app.errors import InputError, Problem
from seatplan.app.shelf import shelf
from seatplan.frozen import frozen
from seatplan.model.doubt import Doubt
from seatplan.solver.results import Plan
from seatplan.views.beside import beside, in_a_line, why_refused
from seatplan.views.doubted_text import doubts
from seatplan.views.markup import el
from seatplan.views.say import t
from seatplan.web.failing import wrong_list
from seatplan.web.visit import Answer, Page, Visit

from .around import places
from .whying import with_whys


@frozen
class Found:
    """The answer for a trip; None with what is wrong where there is none yet."""

    answer: Plan | None
    problems: Sequence[Problem] = ()

    @property
    def doubts(self) -> tuple[Doubt, ...]:
        """The unlikely numbers of the trip that was answered."""
        return () if self.answer is None else doubts(self.answer.trip)


def found_for(path: str) -> Found:
    """The answer for the trip of a file."""
    try:
        return Found(answered(Arrange(trip=path)).answer)
    except InputError as error:
        return Found(None, error.problems)


def answer(found: Found, number: str) -> Element:
    """The answer, which leads to the rest of it by the trip's ``number`` in the library."""
    if found.answer is None:
        told: Sequence[Element | None] = [
            el("p", el("strong", t("No answer yet"), class_="verdict"), class_="told"),
            wrong_list(found.problems, t("It needs first"))]
    else:
        told = [_no_seats(found.answer), *beside(found.answer, "answer"), _refused(found.answer, number), _rest(number)]
    made = el("section", el("h2", t("Answer")), told, id="answer", class_="answer", data_live=True, tabindex=-1,
              data_verdict="" if found.answer is None else found.answer.verdict)
    return made if found.answer is None else with_whys(made, number, [
        rider.rider for rider in found.answer.trip.riders])


def bar(found: Found) -> Element:
    """The verdict and who sits where, at the foot of a phone; it leads to the whole answer."""
    head, *seats = [t("No answer yet")] if found.answer is None else in_a_line(found.answer)
    return el("a", el("strong", head, id="verdict-now"), [el("span", seated) for seated in seats], href="#answer",
              class_="foot", id="foot", data_live=True)


def _refused(plan: Plan, number: str) -> Element | None:
    """Where nothing fits, where it says why: worked out apart, and put here by the script as soon as it is there."""
    if plan.arrangements or not plan.trip.restraints:
        return None
    where = f"/trips/{number}/change"
    return el("div", el("p", el("a", t("Why nothing fits, and what would change that"), href=where)), id="change",
              data_fetch=where, data_waits=t("Why nothing fits is being worked out ..."))


def change_page(visit: Visit) -> Answer:
    """Why nothing fits, and what would change that. Raises InputError."""
    held = shelf(visit.house.library).held(visit.at["trip"])
    told = visit.house.beside(refusal_told, held.path)
    return Page(t("What would change it"), [
        el("h1", t("What would change it")), el("div", told, id="change", class_="answer"),
        el("p", el("a", t("Back to the trip"), href=f"/trips/{visit.at['trip']}"))])


def refusal_told(path: str) -> list[Element]:
    """The same as it is shown, for the process that works it out."""
    found = arrange(Arrange(trip=path)).answer
    return why_refused(found.plan, found.explanation) if not found.plan.arrangements else [
        el("p", t("Something fits by now."))]


def _no_seats(plan: Plan) -> Element | None:
    """Without a child seat everybody is looked at in the belt of the car alone."""
    trip = plan.trip
    if trip.restraints or all(rider.adult for rider in trip.riders):
        return None
    return el("p", t("No child seat is named yet: this is what the belts of the car alone come to."), class_="hint")


def _rest(number: str) -> Element:
    """Where the rest of the answer stands."""
    return places(number)
