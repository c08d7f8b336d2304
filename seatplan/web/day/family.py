"""A family at the car: how far it is, its screens in the order of installing, and what is done for the whole car."""

from __future__ import annotations

from collections.abc import Callable
from typing import Literal
from xml.etree.ElementTree import Element

from seatplan.app.at_the_car import AtTheCar, at_the_car
from seatplan.app.errors import InputError
from seatplan.app.misasked import Misasked
from seatplan.app.record import Noted, Record, record, ways
from seatplan.app.records import Trip
from seatplan.app.shelf import Held
from seatplan.app.undo import Undo, undo
from seatplan.message import said
from seatplan.solver.results import Arrangement, Plan
from seatplan.views.html import Place, elements
from seatplan.views.markup import el
from seatplan.views.notes_text import cautions_said
from seatplan.views.record_text import came_of_it
from seatplan.views.report.answer import HEADS, who_sits_where
from seatplan.views.say import t
from seatplan.views.seated_text import seated
from seatplan.views.under_way_text import under_way_in
from seatplan.views.words import BY, VERDICTS, held_by, in_short
from seatplan.web.failing import wrong_list
from seatplan.web.shell import chosen, form
from seatplan.web.visit import Answer, Goto, Page, Visit

from .asked import button, changed_meanwhile, headed, held_of, meanwhile, path_of, tell, told, version
from .beginning import begin_page

#: so many further arrangements can be chosen to go on with
_OTHERS = 5
#: what is asked of how a rider was found, and what stands for no restraint
_FOUND = ("restraint", "seat", "by", "fits")
_BELT_ALONE = "belt"
_YES_NO: dict[str, Literal["yes", "no"]] = {"yes": "yes", "no": "no"}


def shown(visit: Visit) -> Answer:
    """The page of a family; posted, what its button says is written first."""
    if visit.house.secret is None:
        return begin_page(visit)
    held = held_of(visit)
    if not visit.posted:
        return _page(visit, held)
    if changed_meanwhile(visit, held):
        return _page(visit, held, meanwhile(), 409)
    try:
        tell(visit, _done(visit, held))
    except InputError as error:
        wrong = wrong_list(error.problems, t("Nothing was written"))
        wrong.extend(_is_so(visit, held, error))
        return _page(visit, held, wrong, 422)
    return Goto(f"{path_of(visit)}#told")


# --- what is written

def _done(visit: Visit, held: Held) -> list[Element]:
    what, _, at = visit.form.get("do", "").partition(":")
    if what not in _DOES:
        raise Misasked("do", said("there is no such button"))
    return _DOES[what](visit, held, at)


def _undone(visit: Visit, held: Held, at: str) -> list[Element]:
    undo(Undo(trip=held.path))
    return [el("p", t("Taken back: what was written last."))]


def _given_up(visit: Visit, held: Held, at: str) -> list[Element]:
    return elements(came_of_it(_noted(Record(trip=held.path, give_up=True))), Place("h3"))


def _gone_on(visit: Visit, held: Held, at: str) -> list[Element]:
    if not at.isdecimal() or len(at) > 6:
        raise Misasked("go_on_with", said("there is no such arrangement"))
    return elements(came_of_it(_noted(Record(trip=held.path, go_on_with=int(at)))), Place("h3"))


def _found(visit: Visit, held: Held, at: str) -> list[Element]:
    """How the restraint of one rider was when the car arrived."""
    trip = at_the_car(held.path).found.plan.trip
    riders, restraints = trip.riders, [one.restraint for one in trip.restraints]
    if not at.isdecimal() or int(at) >= len(riders):
        raise Misasked("rider", said("there is no such rider"))
    restraint, seat = _of(visit, f"restraint-{at}", restraints), visit.form.get(f"seat-{at}", "")
    if restraint is None or not seat:
        raise Misasked("restraint", said("choose what it was, and on which seat"))
    fits = _YES_NO.get(visit.form.get(f"fits-{at}", ""))
    if visit.form.get(f"restraint-{at}") == _BELT_ALONE and fits is None:
        raise Misasked("belt_fits", said("choose whether the belt fits"))
    return elements(came_of_it(_noted(Record(
        trip=held.path, as_found=True, rider=riders[int(at)].rider, restraint=restraint, position=seat,
        by=visit.form.get(f"by-{at}") or None, belt_fits=fits,
        sure=visit.form.get("sure") == "yes"))), Place("h3"))


def _is_so(visit: Visit, held: Held, error: InputError) -> list[Element]:
    """The button that takes it all the same, where what was found there is noted for somebody else."""
    what, _, at = visit.form.get("do", "").partition(":")
    if not (isinstance(error, Misasked) and error.field == "as_found" and what == "found"):
        return []
    typed = {name: visit.form.get(name, "") for name in (f"{one}-{at}" for one in _FOUND)}
    return [form(visit, path_of(visit), [
        version(held), el("input", type="hidden", name="sure", value="yes"),
        *(el("input", type="hidden", name=name, value=value) for name, value in typed.items()),
        el("button", t("It is so"), name="do", value=f"found:{at}", class_="big")], class_="one")]


def _of(visit: Visit, name: str, names: list[str]) -> str | None:
    """The restraint that was chosen by its place in the trip, or that there was none."""
    place = visit.form.get(name, "")
    if place == _BELT_ALONE:
        return "none"
    return names[int(place)] if place.isdecimal() and int(place) < len(names) else None


def _noted(request: Record) -> Noted:
    noted = record(request).answer
    assert isinstance(noted, Noted)
    return noted


_DOES: dict[str, Callable[[Visit, Held, str], list[Element]]] = {
    "undo": _undone, "give-up": _given_up, "go-on": _gone_on, "found": _found}


# --- the page

def _page(visit: Visit, held: Held, amiss: Element | None = None, status: int = 200) -> Page:
    number = visit.at["trip"]
    try:
        now = at_the_car(held.path)
    except InputError as error:
        return Page(number, [
            headed(visit), told(visit), amiss,
            wrong_list(error.problems, t("No plan yet: this has to be put right first")),
            el("p", el("a", t("The car, the children and their seats"), href=f"/trips/{number}",
                       class_="big"))], status)
    plan, arrangement = now.found.plan, now.found.arrangement
    return Page(number, [
        headed(visit), amiss, told(visit),
        _none(plan) if arrangement is None else _next(visit, now),
        *([_screens(visit, now), _plan(plan, arrangement), _another(visit, held, plan, arrangement)]
          if arrangement is not None else []),
        _as_found(visit, held, plan.trip),
        el("section", el("h2", t("Put right, put on file")),
           button(visit, held, path_of(visit), "undo", t("Take back what was written last")),
           el("ul", [el("li", el("a", name, href=where)) for where, name in (
               (f"/trips/{number}", t("The car, the children and their seats")),
               (f"/day/{number}/checkup", t("The checkup: look at it, print it, keep it")),
               (f"/day/{number}/delete", t("Delete this family")), ("/day", t("The list of the day")))],
              class_="next"))], status)


def _none(plan: Plan) -> Element:
    return el("p", el("strong", HEADS[plan.verdict], class_=f"verdict {plan.verdict}"), class_="told")


def _next(visit: Visit, now: AtTheCar) -> Element:
    """What to do now, as one large button."""
    if not now.next:
        return el("p", t("All of it is in and holds."), " ", el(
            "a", t("The checkup"), href=f"{path_of(visit)}/checkup", class_="big"), class_="onward")
    placement = now.found.cards[now.next - 1].placement
    return el("p", el("a", t("Next: {seat} {rider}", seat=placement.position.position, rider=placement.rider.rider),
                      href=f"{path_of(visit)}/at/{now.next}", class_="big"), class_="onward")


def _screens(visit: Visit, now: AtTheCar) -> Element:
    lines = []
    for n, card in enumerate(now.found.cards, 1):
        placement = card.placement
        state = t("in, and holds") if placement.rider.rider in now.holding else (
            t("next") if n == now.next else t("part of the car") if placement.built_in else t("still to do"))
        lines.append(el("li", el("a", el("span", placement.position.position, class_="seat"), " ",
                                 placement.rider.rider, href=f"{path_of(visit)}/at/{n}"), " ",
                        f"{in_short(placement)}, {held_by(placement)}", " ", el("strong", state)))
    return el("section", el("h2", t("In this order")), el("ol", lines, class_="screens"))


def _plan(plan: Plan, arrangement: Arrangement) -> Element:
    return el("section", el("h2", t("The plan")), _none(plan), who_sits_where(arrangement),
              elements([under_way_in(plan)], Place("h3")),
              el("ul", [el("li", line) for line in cautions_said(arrangement)], class_="noted"))


def _another(visit: Visit, held: Held, plan: Plan, arrangement: Arrangement) -> Element:
    others = [one for one in plan.arrangements if one is not arrangement][:_OTHERS]
    return el("details", el("summary", t("Another arrangement")),
              button(visit, held, path_of(visit), "go-on:1", t("Keep to this one while it is installed"))
              if not plan.trip.under_way else button(
                  visit, held, path_of(visit), "give-up", t("Give this one up, and go on with the next")),
              [el("div", el("p", f"{one.rank}. {VERDICTS[one.verdict]}: {seated(one, arrangement)}"),
                  button(visit, held, path_of(visit), f"go-on:{one.rank}", t("Go on with {rank}", rank=one.rank)))
               for one in others])


def _as_found(visit: Visit, held: Held, trip: Trip) -> Element:
    """How each child rode when the car arrived."""
    restraints = [*((str(k), str(one.restraint)) for k, one in enumerate(trip.restraints)),
                  (_BELT_ALONE, t("the vehicle belt alone"))]
    fits = [("yes", t("the belt fits")), ("no", t("the belt does not fit"))]
    seats = [(str(one.position), str(one.position)) for one in trip.vehicle.positions()]
    held_ways = [(one, BY[one]) for one in ways()]
    blocks = [el("fieldset", el("legend", one.rider), [
        chosen(f"{name}-{k}", label, [("", t("choose")), *choices], visit.form.get(f"{name}-{k}", ""))
        for name, label, choices in (
            ("restraint", t("in"), restraints), ("seat", t("on seat"), seats), ("by", t("held by"), held_ways),
            ("fits", t("where the belt lies on the child"), fits))],
        el("button", t("Note it as found"), name="do", value=f"found:{k}"))
        for k, one in enumerate(trip.riders) if not one.adult]
    return el("details", el("summary", t("How the car arrived")), form(
        visit, path_of(visit), [version(held), *blocks], class_="found"),
        open=visit.form.get("do", "").startswith("found:"))
