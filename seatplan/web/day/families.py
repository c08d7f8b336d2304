"""The list of a day, by number and state, and how a family comes on it. Nobody is named here."""

from __future__ import annotations

from datetime import date
from xml.etree.ElementTree import Element

from seatplan.app.checking_day import CheckingDay, Family, add, the_day
from seatplan.app.days import today
from seatplan.app.erasing import erase_due
from seatplan.app.errors import InputError
from seatplan.app.family_again import in_another_car
from seatplan.app.family_state import FamilyState, family_state
from seatplan.app.misasked import Misasked
from seatplan.app.shelf import Shelf, shelf
from seatplan.message import said
from seatplan.views.checkup.words import STATES
from seatplan.views.html import table, wide
from seatplan.views.manner import day as day_said
from seatplan.views.markup import el
from seatplan.views.say import Words, t
from seatplan.views.text import count
from seatplan.web.failing import wrong_list
from seatplan.web.family.beginning import LAYOUT_WORDS, LAYOUTS, MOST_CHILDREN, car_text, trip_text
from seatplan.web.shell import chosen, form
from seatplan.web.visit import Answer, Goto, Page, Visit

from .beginning import begin_page, rule_form, rule_said

_OTHER = Words({"wrong": "something in its files has to be put right", "gone": "no longer in the library"})
#: what stands before the number of a car of the library where a layout could be chosen
_CAR = "car:"
#: so many states are worked out for one page, each some tenths of a second; what is known costs nothing
_AT_ONCE = 5


def shown(visit: Visit) -> Answer:
    """The day; where none was begun, or nothing would open the lock, its start."""
    day = the_day(visit.house.library)
    if day is None or visit.house.secret is None:
        return begin_page(visit)
    return _page(visit, day)


def _page(visit: Visit, day: CheckingDay, wrong: Misasked | None = None) -> Page:
    gone = erase_due(visit.house.library, today())
    day = (the_day(visit.house.library) or day) if gone else day
    return Page(t("At the car"), [
        el("h1", t("At the car, {day}", day=today())),
        wrong_list(wrong.problems, t("Not done: this has to be put right first")) if wrong else None,
        el("p", t("Deleted by the rule, since its time was over: {families}.", families=count(
            len(gone), "family", "families")), role="status") if gone else None,
        _list(visit, day),
        el("div", _new(visit), _known(visit), class_="ways-in"),
        _gone(day),
        el("section", el("h2", t("The rule")), el("p", rule_said(day)), rule_form(visit, day))],
        422 if wrong else 200)


def _list(visit: Visit, day: CheckingDay) -> Element:
    if not day.families:
        return el("p", t("No family yet."))
    states: dict[str, FamilyState | None] = {}
    left = _AT_ONCE
    for one in reversed(day.families):
        states[one.number] = family_state(visit.house.library, one.number, only_known=True)
        if states[one.number] is None and left:
            states[one.number], left = family_state(visit.house.library, one.number), left - 1
    head = (t("number"), t("state"), t("since"), t("deleted on"))
    rows = [_row(day, one, states[one.number]) for one in reversed(day.families)]
    return el("div", wide(t("families"), table(head, rows, t("families"), stacks=False)),
              el("p", el("a", t("Work out the other states"), href="/day", class_="big"))
              if None in states.values() else None, class_="day-list")


def _row(day: CheckingDay, one: Family, state: FamilyState | None) -> Element:
    on, word = day.deleted_on(one.number), "" if state is None else state.word
    number = one.number if word == "gone" else el("a", one.number, href=f"/day/{one.number}", class_="number")
    return el("tr", el("th", number, t(" (of {number})", number=one.of) if one.of else None, scope="row"),
              el("td", t("not worked out yet") if state is None else state_said(state), class_=f"state {word}"),
              el("td", day_said(one.since), class_="day"),
              el("td", el("span", _when(on), class_="day"), " ", el("a", t("delete"), href=f"/day/{one.number}/delete",
                                          aria_label=t("delete {number}", number=one.number))))


def _when(on: date | None) -> str:
    return t("by hand") if on is None else day_said(on)


def state_said(state: FamilyState) -> str:
    """``under way: 1 of 3 hold; open points: 4; saved checkups: 1``."""
    if state.word in _OTHER:
        return _OTHER[state.word]
    told = [t("under way: {holding} of {of} hold", holding=state.holding, of=state.of)] if state.under_way else []
    told.append(f"{STATES[state.word]}: {state.open}" if state.word == "open" else STATES[state.word])
    return "; ".join([*told, *([t("saved checkups: {n}", n=state.filed)] if state.filed else [])])


def _gone(day: CheckingDay) -> Element | None:
    if not day.gone:
        return None
    return el("section", el("h2", t("Deleted")), el("ul", [el("li", t("{number}, deleted on {on}", number=one.number,
                                                                        on=one.on), [
        el("code", f" {sha}", class_="hash") for sha in one.hashes]) for one in day.gone]))


def _layouts() -> list[tuple[str, str]]:
    return [(one, LAYOUT_WORDS[one]) for one in LAYOUTS]


def _new(visit: Visit) -> Element:
    return el("section", el("h2", t("A new family")), form(visit, "/day/new", [
        el("input", type="hidden", name="how", value="new"),
        chosen("children", t("children"), [(str(n), str(n)) for n in range(1, MOST_CHILDREN + 1)], "3"),
        chosen("layout", t("seats of the car"), _layouts(), "2-3"),
        el("button", t("Next number"), class_="big")], class_="begin"))


def _known(visit: Visit) -> Element:
    cars = [(_CAR + one.number, one.number) for one in shelf(visit.house.library).listing("vehicle")]
    return el("section", el("h2", t("A known family")), form(visit, "/day/new", [
        el("label", t("its number"), " ", el("input", type="text", name="number", autocomplete="off", required=True,
                                             value=visit.form.get("number", ""))),
        chosen("layout", t("second car"), [("", t("the same car as before")), *_layouts(), *cars],
               visit.form.get("layout", "")),
        el("button", t("Take it up"), class_="big", name="how", value="known")], class_="begin"))


def added(visit: Visit) -> Answer:
    """A family comes on the list: a new one, a known one, or a known one with a second car."""
    day = the_day(visit.house.library)
    if day is None or visit.house.secret is None:
        return begin_page(visit)
    library = shelf(visit.house.library)
    try:
        if visit.form.get("how") == "known":
            return _taken_up(visit, library)
        return _begun(visit, library)
    except Misasked as wrong:
        return _page(visit, day, wrong)


def _begun(visit: Visit, library: Shelf) -> Answer:
    layout, children = visit.form.get("layout", ""), visit.form.get("children", "")
    if layout not in LAYOUTS:
        raise Misasked("layout", said("no seats are laid out like that"), said("expected one of the list"))
    if not children.isdecimal() or not 1 <= int(children) <= MOST_CHILDREN:
        raise Misasked("children", said("how many children is no number of the list"),
                       said("expected 1 to {most}", most=MOST_CHILDREN))
    car = library.create("vehicle", car_text(layout))
    made = library.create("trip", trip_text(library.reference(car.number), int(children)))
    add(visit.house.library, made.number)
    return Goto(f"/trips/{made.number}")


def _taken_up(visit: Visit, library: Shelf) -> Answer:
    number, layout = _number(visit, library), visit.form.get("layout", "")
    if not layout:
        add(visit.house.library, number)
        return Goto(f"/day/{number}")
    held, own = library.held(number), None
    if layout in LAYOUTS:
        own = library.create("vehicle", car_text(layout))
    elif layout.removeprefix(_CAR) not in {one.number for one in library.listing("vehicle")}:
        raise Misasked("layout", said("there is no such car"), said("expected one of the list"))
    car = layout.removeprefix(_CAR) if own is None else own.number
    try:
        text = in_another_car(held.text, held.path, library.reference(car))
    except InputError:
        if own is not None:
            library.remove(own.number, own.version)
        raise
    made = library.create("trip", text)
    day = the_day(visit.house.library)
    if day is not None and not day.family(number):
        add(visit.house.library, number)
    add(visit.house.library, made.number, of=number)
    return Goto(f"/trips/{made.number}")


def _number(visit: Visit, library: Shelf) -> str:
    """The trip that is meant: ``trip-7``, or 7 alone. Raises Misasked."""
    word = visit.form.get("number", "").strip().casefold()
    known = [one.number for one in library.listing("trip")]
    found = [one for one in known if one.casefold() == word] or [
        one for one in known if word.isdecimal() and one.rpartition("-")[2] == word]
    if len(found) != 1:
        raise Misasked("number", said("no family of the library has that number"),
                       said("expected a number such as trip-7"))
    return found[0]
