"""The cars and the child seats of the library, each on a page of its own, and new ones."""

from __future__ import annotations

from collections.abc import Sequence
from xml.etree.ElementTree import Element

from seatplan.app.errors import InputError
from seatplan.app.filling import Kind, doubted
from seatplan.app.misasked import Misasked
from seatplan.app.new import New, new
from seatplan.app.shelf import shelf
from seatplan.message import said
from seatplan.views.markup import el
from seatplan.views.say import t
from seatplan.web.failing import wrong_list
from seatplan.web.fields import as_written
from seatplan.web.fields import field as asked
from seatplan.web.shell import form
from seatplan.web.visit import Answer, Goto, Page, Visit

from .asks import kind_tells, seat_kinds
from .beginning import car_text
from .car import car_part, car_questions
from .home import entries, layout_of, layouts, others
from .icons import kind_drawn
from .merging import Form, Moved, change, form_of, take
from .trip import CAR, SEAT, brought, left_out, moved, saving, seat_questions, status, strips_of, sure_of


def cars(visit: Visit) -> Answer:
    """The cars of the library, newest number first, and a new one."""
    found = shelf(visit.house.library).listing("vehicle")
    return Page(t("Cars"), [
        el("h1", t("Cars")), entries(visit, found, "/cars/") if found else el("p", t("No car yet.")),
        others(visit, "/cars"),
        el("section", el("h2", t("A new car")), form(visit, "/cars", [
            layouts(t("Which seats does it have?")), el("button", t("Begin"), class_="save")], class_="begin"))])


def begin_car(visit: Visit) -> Answer:
    """A car with seats of that layout, and nothing else known. Raises Misasked."""
    made = shelf(visit.house.library).create("vehicle", car_text(layout_of(visit)))
    return Goto(f"/cars/{made.number}")


def seats(visit: Visit) -> Answer:
    """The child seats of the library that have a file of their own, and a new one."""
    found = shelf(visit.house.library).listing("restraint")
    return Page(t("Seats"), [
        el("h1", t("Child seats")),
        el("p", t("A seat that several trips use has a file of its own here. One that only a single trip knows is "
                  "written on the page of that trip.")),
        entries(visit, found, "/seats/") if found else None,
        others(visit, "/seats"),
        el("section", el("h2", t("A new seat: tap its kind")), form(visit, "/seats", [
            el("div", [el("button", kind_drawn(kind), el("span", el("strong", told), el("small", kind_tells(kind))),
                          name="kind", value=kind, class_="kind") for kind, told in seat_kinds().items()],
               class_="kinds")], class_="begin"))])


def begin_seat(visit: Visit) -> Answer:
    """A seat of a kind, of which nothing else is known. Raises Misasked."""
    kind = visit.form.get("kind", "")
    if kind not in seat_kinds():
        raise Misasked("kind", said("there is no such kind of seat"), said("expected one of the list"))
    made = shelf(visit.house.library).create("restraint", new(New(kind="restraint", of_kind=kind)).answer)
    return Goto(f"/seats/{made.number}")


def car(visit: Visit) -> Answer:
    """One car."""
    one = form_of(shelf(visit.house.library).held(visit.at["car"]), _kind_asked(visit, "car", "vehicle"), CAR,
                  car_questions)
    went = _taken(visit, one)
    return went or _page(visit, one, [car_part(one.data, one.shown, strips_of(one), "", t("Its seats"))],
                                       as_written(one.data.get("vehicle")))


def seat(visit: Visit) -> Answer:
    """One child seat."""
    one = form_of(shelf(visit.house.library).held(visit.at["seat"]), _kind_asked(visit, "seat", "restraint"), SEAT,
                  seat_questions)
    went = _taken(visit, one)
    return went or _page(visit, one, [
        el("fieldset", el("legend", as_written(one.data.get("restraint"))),
           [asked(ask, one.shown) for ask in seat_questions(one.data)], class_="card",
           data_shape=as_written(one.data.get("kind")), id="restraint-0")], as_written(one.data.get("restraint")))


def _kind_asked(visit: Visit, at: str, kind: Kind) -> Kind:
    """The kind of the file of that number. Raises Misasked where it is of another."""
    if shelf(visit.house.library).held(visit.at[at]).kind != kind:
        raise Misasked(at, said("that number is of another kind of file"), said("expected one of the list"))
    return kind


def _taken(visit: Visit, one: Form) -> Answer | None:
    """What was typed, taken; None: show the page."""
    if visit.posted:
        library, done = shelf(visit.house.library), visit.form.get("do", "")
        try:
            if done.startswith("sure:"):
                change(one, library, visit.form, sure_of(one, done.partition(":")[2]))
            else:
                take(one, library, visit.form)
        except Moved:
            return moved(visit, [one])
        if not visit.wants_part and not one.amiss:
            return Goto(visit.path)
    try:
        for doubt in doubted(one.kind, one.held.text, one.held.path):
            one.doubts[one.prefix + doubt.field] = doubt
    except InputError as error:
        one.whole = one.whole or list(error.problems)
    return None


def _page(visit: Visit, one: Form, parts: Sequence[Element], title: str) -> Page:
    return Page(title, [
        el("h1", title, id="title", data_live=True),
        el("div", wrong_list(one.whole) if one.whole else None if visit.wants_part else left_out([one]), id="amiss",
           data_live=True),
        form(visit, visit.path, [*brought([one]), el("button", t("Save"), class_="first-button", tabindex=-1), *parts,
                                 el("button", t("Save"), class_="save")], class_="work", data_saves=True),
        el("div", saving(), class_="standing")], status(visit, [one]))
