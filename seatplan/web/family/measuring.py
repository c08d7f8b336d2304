"""The readings that are still to be taken, best first, each with a field: what is typed is set in the files."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from xml.etree.ElementTree import Element

from seatplan.app.carrying import bundled_car, with_own_car
from seatplan.app.errors import InputError, Problem
from seatplan.app.measure import AskMeasure, SetAgain, SetFields, measure, set_fields
from seatplan.app.shelf import Changed
from seatplan.views.content import Blank
from seatplan.views.html import Place, elements
from seatplan.views.markup import el
from seatplan.views.measure_text import measure_content
from seatplan.views.say import t
from seatplan.views.set_text import change
from seatplan.views.terminal import parts_of
from seatplan.web.failing import problem_said
from seatplan.web.shell import form
from seatplan.web.visit import Answer, Goto, Page, Visit

from .around import Here, here, page, unanswered

#: what the fields of the form begin with; the number behind it tells those apart that ask for the same
_FIELD = "f"


@dataclass(slots=True)
class _Left:
    """What was typed and not written, by the name of its field, and why."""

    values: dict[str, str] = field(default_factory=dict)
    wrong: dict[str, list[Problem]] = field(default_factory=dict)


def shown(visit: Visit) -> Answer:
    """The page; posted, what was typed is set first, and whatever was not taken is asked again."""
    one = here(visit)
    if not visit.posted:
        return _page(visit, one, _Left())
    typed = {name.partition(":")[2]: value.strip() for name, value in visit.form.items()
             if name.startswith(_FIELD) and ":" in name and value.strip()}
    if typed and visit.form.get("version") != one.version:
        return _page(visit, one, _Left(typed), 409, t(
            "This trip was changed meanwhile, and nothing of yours was written. What you typed still stands here: look "
            "at what is asked now, and send it again."))
    if visit.form.get("do") == "copy":
        return _copied(visit, one)
    left, done = _set(one, typed, bool(visit.form.get("sure")))
    if done:
        visit.session.said[_said(one)] = _told(done)
    return _page(visit, here(visit), left, 422) if left.values else Goto(visit.path)


def _copied(visit: Visit, one: Here) -> Answer:
    """The car of the trip becomes one of the library's own."""
    try:
        with_own_car(one.held, one.library)
    except Changed:
        return _page(visit, one, _Left(), 409, t("This trip was changed meanwhile, and nothing was written."))
    return Goto(visit.path)


def _said(one: Here) -> str:
    """Where what was written last is kept until it is shown once."""
    return f"measured {one.number}"


def _set(one: Here, typed: Mapping[str, str], sure: bool) -> tuple[_Left, list[SetAgain]]:
    """Set what reads, all at once where all of it does; what does not is left."""
    left, done = _Left(), list[SetAgain]()
    if not typed:
        return left, done
    try:
        return left, [_written(one, typed, sure)]
    except InputError:
        pass                                                # one by one, so that each is told of by itself
    for name, value in typed.items():
        try:
            done.append(_written(one, {name: value}, sure))
        except InputError as error:
            left.values[name], left.wrong[name] = value, list(error.problems)
    return left, done


def _written(one: Here, typed: Mapping[str, str], sure: bool) -> SetAgain:
    return set_fields(SetFields(trip=one.held.path, sure=sure, fields=tuple(
        f"{name}={value}" for name, value in typed.items()))).answer


def _told(done: Sequence[SetAgain]) -> str:
    """What was written, and what that changed."""
    names = [field_.name for again in done for field_ in getattr(again.done, "fields", ())]
    return "\n".join([t("Written: {names}.", names=", ".join(dict.fromkeys(names))),
                      parts_of([change(done[0].before, done[-1].now)])])


def _page(visit: Visit, one: Here, left: _Left, status: int = 200, said: str = "") -> Page:
    told = visit.session.said.pop(_said(one), "")
    head: list[Element | None] = [
        el("p", said, class_="wrong", role="alert", tabindex=-1, id="wrong") if said else None,
        el("div", [el("p", line) for line in told.splitlines() if line.strip()], class_="done", role="status")
        if told else None]
    try:
        found = measure(AskMeasure(trip=one.held.path)).answer
    except InputError as error:
        return page(one, "measure", [*head, unanswered(error)], 422 if visit.posted else 200)
    boxes = _Boxes(left)
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
    """A field for each reading, with what was typed and not taken in it."""

    def __init__(self, left: _Left) -> None:
        self.left, self.n, self._met = left, 0, set[str]()

    def box(self, blank: Blank) -> Element:
        """The field of one reading; what no file holds is only told."""
        if not blank.field:
            return el("p", blank.label, class_="reading")
        self.n += 1
        return self._field(blank.label, blank.field)

    def _field(self, label: str, name: str) -> Element:
        first = name not in self._met
        self._met.add(name)
        wrong = self.left.wrong.get(name, ()) if first else ()
        at = f"{_FIELD}{self.n}"
        return el("div", el("label", label, for_=at),
                  el("input", type="text", id=at, name=f"{at}:{name}", autocomplete="off",
                     value=self.left.values.get(name, "") if first else "",
                     aria_invalid="true" if wrong else None, aria_describedby=f"{at}-wrong" if wrong else None),
                  el("span", [el("span", problem_said(problem)) for problem in wrong], id=f"{at}-wrong",
                     class_="amiss") if wrong else None, class_="reading ask")

    def over(self) -> list[Element]:
        """What stands above the list: what was typed and is not asked any more, and whether what is unlikely is so."""
        shown: list[Element] = []
        for name in self.left.values:
            if name not in self._met:
                self.n += 1
                shown.append(self._field(name, name))
        if any(problem.loc == ("set",) for wrong in self.left.wrong.values() for problem in wrong):
            shown.append(el("label", el("input", type="checkbox", name="sure", value="yes"), " ", el("span", t(
                "I measured it again, and it is so.")), class_="tick sure"))
        return shown
