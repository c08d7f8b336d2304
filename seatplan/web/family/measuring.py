"""The readings that are still to be taken, best first, each with a field: what is typed is set in the files."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from xml.etree.ElementTree import Element

from seatplan.app.carrying import bundled_car, with_own_car
from seatplan.app.errors import InputError
from seatplan.app.measure import AskMeasure, SetAgain, SetFields, Value, measure, set_fields, value_of_field
from seatplan.app.shelf import Changed
from seatplan.model import Trip
from seatplan.views.content import Blank, plain
from seatplan.views.html import Place, elements, inline
from seatplan.views.markup import el
from seatplan.views.measure_text import measure_content
from seatplan.views.say import t
from seatplan.views.set_text import change
from seatplan.web.shell import form
from seatplan.web.visit import Answer, Goto, Page, Visit

from .around import Here, here, page, unanswered
from .reading import Left, Question, asked_in_parts, control, how_asked, together, typed_in, with_length, written
from .written import written_said


def shown(visit: Visit) -> Answer:
    """The page; posted, what was typed is set first, and whatever was not taken is asked again."""
    one = here(visit)
    if not visit.posted:
        return _page(visit, one, Left())
    typed = typed_in(visit.form)
    if typed and visit.form.get("version") != one.version:
        return _page(visit, one, Left(typed), 409, t(
            "This trip was changed meanwhile, and nothing of yours was written. What you typed still stands here: look "
            "at what is asked now, and send it again."))
    if visit.form.get("do") == "copy":
        return _copied(visit, one)
    left, done = _set(one, typed, bool(visit.form.get("sure")))
    if done:
        visit.session.said[_said(one)] = _told({name: typed[name] for name in typed if name not in left.values}, done)
    return _page(visit, here(visit), left, 422) if left.values else Goto(visit.path)


def _copied(visit: Visit, one: Here) -> Answer:
    """The car of the trip becomes one of the library's own."""
    try:
        with_own_car(one.held, one.library)
    except Changed:
        return _page(visit, one, Left(), 409, t("This trip was changed meanwhile, and nothing was written."))
    return Goto(visit.path)


def _said(one: Here) -> str:
    """Where what was written last is kept until it is shown once."""
    return f"measured {one.number}"


def _set(one: Here, typed: Mapping[str, dict[str, str]], sure: bool) -> tuple[Left, list[SetAgain]]:
    """Set what reads, all at once where all of it does; what does not is left."""
    left, done = Left(), list[SetAgain]()
    if not typed:
        return left, done
    try:
        return left, [_written(one, typed, sure)]
    except InputError:
        pass                                                # one by one, so that each is told of by itself
    for name, parts in typed.items():
        try:
            done.append(_written(one, {name: parts}, sure))
        except InputError as error:
            left.values[name], left.wrong[name] = parts, list(error.problems)
    return left, done


def _written(one: Here, typed: Mapping[str, dict[str, str]], sure: bool) -> SetAgain:
    return set_fields(SetFields(trip=one.held.path, sure=sure, fields=tuple(
        f"{name}={written(parts)}" for name, parts in typed.items()))).answer


def _told(typed: Mapping[str, dict[str, str]], done: Sequence[SetAgain]) -> Element:
    """What was written, and what that changes."""
    return el("div", el("p", t("Written:")), el("ul", [el("li", line) for line in written_said(typed, done[0].before)]),
              elements([change(done[0].before, done[-1].now)], Place("h2", prefix="done")), class_="done",
              role="status")


def _page(visit: Visit, one: Here, left: Left, status: int = 200, said: str = "") -> Page:
    head: list[Element | None] = [
        el("p", said, class_="wrong", role="alert", tabindex=-1, id="wrong") if said else None,
        visit.session.said.pop(_said(one), None)]
    try:
        found = measure(AskMeasure(trip=one.held.path)).answer
    except InputError as error:
        return page(one, "measure", [*head, unanswered(error)], 422 if visit.posted else 200)
    boxes = _Boxes(left, found.trip)
    readings = elements(measure_content(found, None), Place("h2", prefix="measure", fills=boxes.box))
    over = boxes.over()
    if not boxes.n:
        return page(one, "measure", [*head, *readings], status)
    return page(one, "measure", [*head, form(visit, visit.path, [
        el("input", type="hidden", name="version", value=one.version), _own_car(one), *over, *readings,
        el("p", el("button", t("Write these readings down"), class_="save"), class_="keep-them")], class_="readings")],
        status)


def _own_car(one: Here) -> Element | None:
    """A bundled car belongs to everybody, and is never written."""
    name = bundled_car(one.held)
    return el("div", el("p", t("The car of this trip is {name}, which is bundled and never written. To write down what "
                               "you read in yours, make a copy of it.", name=name)),
              el("button", t("Make a copy for this trip"), name="do", value="copy"), class_="note") if name else None


class _Boxes:
    """The fields of each reading, with what was typed and not taken in them."""

    def __init__(self, left: Left, trip: Trip) -> None:
        self.left, self.trip, self.n, self._met = left, trip, 0, set[str]()

    def box(self, blank: Blank) -> Element:
        """The fields of one reading; what no file holds is only told."""
        more = [el("p", inline(one)) for one in blank.more]
        value = self._value(blank.field) if blank.field else None
        if value is None:
            return el("div", el("p", blank.label), el("p", inline(blank.how)) if blank.how else None, more,
                      class_="reading")
        how = how_asked(value, blank.key, plain(blank.how))
        parts = asked_in_parts(blank.field, blank.key, value)
        if not parts:
            return el("div", self._field(Question(blank.field, value, blank.label, how)), more, class_="reading")
        asks = [Question(name, self._value(name), told, inner=True) for name, told in parts]
        return el("div", together(f"all{self.n}", blank.label, with_length(how, [ask.value for ask in asks]),
                                  [self._field(ask) for ask in asks]), more, class_="reading")

    def _value(self, name: str) -> Value | None:
        try:
            return value_of_field(self.trip, name)
        except InputError:
            return None

    def _field(self, one: Question) -> Element:
        """One field; where the same is asked for twice, what was typed stands in the first of them."""
        self.n += 1
        left = self.left if one.name not in self._met else Left()
        self._met.add(one.name)
        return control(f"f{self.n}", one, left)

    def over(self) -> list[Element]:
        """What stands above the list: what was typed and is not asked any more, and whether what is unlikely is so."""
        shown: list[Element] = []
        for name in self.left.values:
            if name not in self._met:
                shown.append(el("div", self._field(Question(name, self._value(name), name)), class_="reading"))
        if any(problem.loc == ("set",) for wrong in self.left.wrong.values() for problem in wrong):
            shown.append(el("label", el("input", type="checkbox", name="sure", value="yes"), " ", el("span", t(
                "I measured it again, and it is so.")), class_="tick sure"))
        return shown
