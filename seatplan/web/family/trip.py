"""A trip on one page: its car with the seats drawn, the children, their seats, and the answer beside them.

Each field is a value of a file. What was typed is taken field by field: what reads is written, what does not stays in
its field with what is wrong, and everything else goes on.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from typing import Any
from xml.etree.ElementTree import Element

from seatplan.app.errors import InputError
from seatplan.app.filling import Fill, checked, doubted
from seatplan.app.library import bundled_restraints
from seatplan.app.shelf import Held, Shelf, shelf
from seatplan.app.strips import RowStrip, row_strips
from seatplan.model import Vehicle
from seatplan.model.doubt import Doubt
from seatplan.views.markup import el
from seatplan.views.say import t
from seatplan.web.failing import problem_said, wrong_list
from seatplan.web.fields import answer_in, as_written
from seatplan.web.fields import field as asked
from seatplan.web.fields import standing as there
from seatplan.web.shell import form
from seatplan.web.visit import Answer, Goto, Page, Visit

from .answer import Found, answer, bar, found_for
from .asks import restraint_asks, trip_asks, trip_questions
from .car import car_part, car_questions
from .merging import Form, Moved, change, form_of, left_over, take
from .naming import title_follows
from .people import asked_for, restraints_part, riders_part

#: what the fields of the trip's own file, of its car's file and of a restraint's file begin with in a form
TRIP, CAR, SEAT = "t.", "c.", "r."


def shown(visit: Visit) -> Answer:
    """The page of a trip; posted, what was typed is taken first."""
    library = shelf(visit.house.library)
    forms = [form_of(library.held(visit.at["trip"]), "trip", TRIP, trip_questions)]
    if not visit.house.has_days:                         # there, no title names anybody
        forms[0].follows = title_follows
    car = _car_of(library, forms[0].data)
    if car is not None:
        forms.append(form_of(car, "vehicle", CAR, car_questions))
    if visit.posted:
        try:
            went = _done(visit, library, forms)
        except Moved:
            return moved(visit, forms)
        if went is not None:
            return went
    return _page(visit, library, forms)


def _car_of(library: Shelf, data: Mapping[str, Any]) -> Held | None:
    """The file of the trip's car, where the library has it; a car that stands elsewhere is not written from here."""
    named = data.get("vehicle")
    return library.named(named, "vehicle") if isinstance(named, str) else None


# --- what was typed

def _done(visit: Visit, library: Shelf, forms: Sequence[Form]) -> Answer | None:
    """Take what was typed, and do what the button says; None: show the page as it is now."""
    own, done = forms[0], visit.form.get("do", "")
    back = ""
    for one in forms:
        if done.startswith(f"sure:{one.prefix}"):
            change(one, library, visit.form, sure_of(one, done.partition(":")[2]))
            back = f"{done.partition(':')[2]}-ask"
        elif one is own and done and not done.startswith("sure:"):
            told = asked_for(done, own, visit.form, _named(library), bundled_restraints())
            if told is None:
                take(own, library, visit.form)
            elif change(own, library, visit.form, [told[0]]):
                back = told[1]
                if told[0].typed is None:                # numbers of fields mean others now
                    own.typed, own.wrong = {}, {}
        else:
            take(one, library, visit.form)
    if visit.wants_part or any(one.amiss for one in forms):
        return None
    return Goto(f"{visit.path}#{back}" if back else visit.path)


def sure_of(one: Form, name: str) -> list[Fill]:
    """That an unlikely number is so: it is written once more beside its field."""
    for ask in one.questions(one.data):
        if one.prefix + ask.name == name:
            value = as_written(there(one.data, ask.path))
            return [Fill((*ask.path[:-1], "sure", ask.path[-1]), value)] if value else []
    return []


def _named(library: Shelf) -> dict[str, str]:
    return {entry.number: library.reference(entry.number) for entry in library.listing("restraint")}


def moved(visit: Visit, forms: Sequence[Form]) -> Page:
    """Somebody else changed who rides, or which seats there are, since this form was made: what was typed is shown by
    what it was about, and nothing is lost."""
    return Page(t("Changed meanwhile"), [
        el("h1", t("Somebody else changed this meanwhile")),
        el("p", t("Who rides, or which seats there are, is not what your page showed. Nothing of what you typed since "
                  "was written, so that no number goes to somebody else.")),
        _both(visit, forms),
        el("p", el("a", t("Go on with it as it stands now"), href=visit.path, class_="go"))], 409)


def _both(visit: Visit, forms: Sequence[Form]) -> Element | None:
    """What was typed and what stands in the file, field by field where the two differ."""
    rows = [(ask.name, ask.label, answer_in(ask, one.data), visit.form[one.prefix + ask.name])
            for one in forms for ask in one.questions(one.data) if one.prefix + ask.name in visit.form
            and visit.form[one.prefix + ask.name].strip() != answer_in(ask, one.data)]
    rows += [(name, name, "", typed) for one in forms for name, typed in left_over(one, visit.form).items()]
    if not rows:
        return None
    return el("table", el("caption", t("Where the two differ")),
              el("thead", el("tr", [el("th", word, scope="col") for word in (
                  t("place"), t("field"), t("as it stands now"), t("on your page"))])),
              el("tbody", [el("tr", el("th", _place(name, visit.form), scope="row"), el("td", label), el("td", now),
                              el("td", typed)) for name, label, now, typed in rows]))


def _place(name: str, form: Mapping[str, str]) -> str:
    """Whose field it was on the page that was sent: a child or a seat by what it was called there."""
    what, number, *_ = [*name.split("."), "", ""]
    key = {"riders": "rider", "restraints": "restraint"}.get(what)
    return form.get(f"{TRIP}{what}.{number}.{key}", "") if key else ""


# --- the page

def _page(visit: Visit, library: Shelf, forms: Sequence[Form]) -> Page:
    own, *others = forms
    number, found = visit.at["trip"], found_for(own.held.path)
    for name, doubt in doubts_by_field(found, own):
        (own if name.startswith(TRIP) else forms[-1]).doubts[name] = doubt
    problems = [problem for one in forms for problem in one.whole]
    driver = as_written(own.data.get("drives"))
    return Page(str(own.data.get("trip") or t("Trip")), [
        el("h1", as_written(own.data.get("trip")), id="title", data_live=True),
        el("div", el("div", wrong_list(problems) if problems else None if visit.wants_part else left_out(forms),
                     id="amiss", data_live=True),
           jumps([("riders", t("Who rides")), ("restraints", t("Their seats")), ("car", t("Car")),
                  ("trip", t("The trip"))]),
           form(visit, visit.path, [
               *brought(forms), el("button", t("Save and answer"), class_="first-button", tabindex=-1),
               riders_part(own), restraints_part(own, *_at_hand(library)),
               car_part(others[0].data, others[0].shown, strips_of(others[0]), driver, as_written(
                   others[0].data.get("vehicle"))) if others else _car_elsewhere(own),
               el("section", el("h2", t("The trip"), id="trip"), el("div", [
                   asked(ask, own.shown) for ask in trip_asks()], class_="card")),
               el("button", t("Save and answer"), class_="save")], class_="work", data_saves=True),
           el("div", saving(), bar(found), class_="standing"), class_="asks"),
        answer(found, number)], status(visit, forms), wide=True)


def left_out(forms: Sequence[Form]) -> Element | None:
    """Which fields were not taken, on top of the page, each with the way to it; None where all were."""
    wrong = [(one.prefix + ask.name, ask.label, one.wrong[one.prefix + ask.name]) for one in forms
             for ask in one.questions(one.data) if one.prefix + ask.name in one.wrong]
    return el("div", el("h2", t("Not all is saved: look at the fields that are marked.")), el("ul", [
        el("li", el("a", label, href=f"#{name}-ask"), ": ", problem_said(replace(problem, line=0)))
        for name, label, problems in wrong for problem in problems]),
        role="alert", class_="wrong", tabindex=-1, id="wrong", autofocus=True) if wrong else None


def status(visit: Visit, forms: Sequence[Form]) -> int:
    """Whether all of it was taken; the script reads that from the page itself."""
    if visit.wants_part or not any(one.amiss for one in forms):
        return 200
    return 507 if any(one.unwritten for one in forms) else 422


def _car_elsewhere(own: Form) -> Element:
    return el("section", el("h2", t("Car"), id="car"), el("p", t(
        "This trip rides in {car}, which is no file of this library; it is shown in the answer and not changed here.",
        car=as_written(own.data.get("vehicle")) if isinstance(own.data.get("vehicle"), str) else t(
            "a car that is written in the trip itself"))))


def _at_hand(library: Shelf) -> tuple[Any, Any, Any]:
    entries = library.listing("restraint")
    return entries, {library.reference(entry.number): entry for entry in entries}, bundled_restraints()


def jumps(places: Sequence[tuple[str, str]]) -> Element:
    """Where one can go on a page."""
    return el("nav", el("ul", [el("li", el("a", told, href=f"#{place}")) for place, told in places]),
              aria_label=t("On this page"), class_="jumps")


def brought(forms: Sequence[Form]) -> Iterator[Element]:
    """What a form brings back beside its fields: what each file held when it was made."""
    for one in forms:
        yield el("input", type="hidden", name=f"{one.prefix}was", value=one.was(), id=f"{one.prefix}was",
                 data_live=True)


def saving() -> Element:
    """Where the script says what became of what was typed; without it the page itself does."""
    return el("p", "", id="saving", role="status", class_="saving", data_saving=t("Saving ..."),
              data_saved=t("Saved."), data_amiss=t("Not all is saved: look at the fields that are marked."),
              data_off=t("Not saved: the server does not answer. What you typed stays here, and is sent again as soon "
                         "as it does."),
              data_failed=t("Not saved: "))


def strips_of(one: Form) -> tuple[RowStrip, ...]:
    """The rows of a car's file to draw; none where it cannot be read as one."""
    try:
        record = checked("vehicle", one.held.text, one.held.path)
    except InputError:
        return ()
    return row_strips(record) if isinstance(record, Vehicle) else ()


def doubts_by_field(found: Found, own: Form) -> Iterator[tuple[str, Doubt]]:
    """Each unlikely number with the field that it was typed into."""
    try:
        doubts = doubted("trip", own.held.text, own.held.path) if found.answer is None else found.doubts
    except InputError:
        return
    for doubt in doubts:
        if doubt.of in ("vehicle", "row", "position"):
            yield CAR + doubt.field, doubt
        for what, key in (("riders", "rider"), ("restraints", "restraint")):
            if doubt.of == key:
                number = next((k for k, one in enumerate(own.data.get(what) or ()) if isinstance(one, Mapping)
                               and as_written(one.get(key)) == doubt.name), None)
                if number is not None:
                    yield f"{TRIP}{what}.{number}.{doubt.field}", doubt


def seat_questions(data: Mapping[str, Any]) -> list[Any]:
    """What is asked of a restraint that has a file of its own."""
    return list(restraint_asks((), data))
