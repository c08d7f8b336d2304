"""What stands around the further pages of a trip: where one can go from there, and what they all ask of the library."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any
from xml.etree.ElementTree import Element

from seatplan.app.errors import InputError, Problem
from seatplan.app.filling import standing
from seatplan.app.misasked import Misasked
from seatplan.app.request import Request
from seatplan.app.shelf import Held, Shelf, shelf
from seatplan.frozen import frozen
from seatplan.message import said
from seatplan.views.markup import el
from seatplan.views.problem_text import source_lines
from seatplan.views.say import Words, t
from seatplan.web.failing import problem_said
from seatplan.web.fields import as_written
from seatplan.web.visit import Page, Visit

#: the further pages of a trip, by the last part of their path
PLACES = Words({"measure": "Measure next", "why": "Why", "move": "What if", "ahead": "Seat ahead",
                "later": "Later, other car, new seat", "papers": "Print and save", "undo": "Take back"})
#: what stands over each
_HEADS = Words({
    "measure": "What to measure next", "why": "Why, for each child and seat", "move": "What if somebody sat elsewhere",
    "ahead": "Slide the seat ahead", "later": "Later, another car, room for a new seat",
    "papers": "Pages to print and files to keep", "undo": "Take back what was written last"})


@frozen
class Here:
    """The trip that a page is about. ``shown``: as commands and documents name it, by its file in the library alone."""

    library: Shelf
    held: Held
    data: dict[str, Any]

    @property
    def number(self) -> str:
        return self.held.number

    @property
    def version(self) -> str:
        """What changes with any file of the library that the trip is made of."""
        named = [self.data.get("vehicle")]
        for item in self.data.get("restraints") or ():
            named.append(item.get("use") if isinstance(item, dict) else item)
        others = [entry.number for entry in self.library.listing()
                  if entry.number != self.number and self.library.reference(entry.number) in named]
        return "-".join([self.held.version, *(self.library.held(number).version for number in others)])

    @property
    def request(self) -> Request:
        """What asks about it."""
        return Request(trip=self.held.path)

    @property
    def shown(self) -> Request:
        return Request(trip=self.library.reference(self.held.number))

    @property
    def riders(self) -> list[str]:
        """The names of all riders, as the file has them."""
        riders = self.data.get("riders")
        return [as_written(one.get("rider")) for one in riders if isinstance(one, dict)] if isinstance(
            riders, list) else []

    def rider(self, at: str) -> str:
        """The name of the rider at a place of the trip. Raises Misasked."""
        riders = self.riders
        if not at.isdecimal() or int(at) >= len(riders):
            raise Misasked("rider", said("no rider has that place in the trip"),
                           said("expected 0 to {most}", most=len(riders) - 1))
        return riders[int(at)]


def here(visit: Visit) -> Here:
    """The trip in the path of a page. Raises InputError."""
    library = shelf(visit.house.library)
    held = library.held(visit.at["trip"], "trip")
    return Here(library, held, standing("trip", held.text, held.path))


def page(one: Here, at: str, main: Sequence[Element | None], status: int = 200, *, wide: bool = False,
         title: str = "") -> Page:
    """A further page of a trip. ``at``: which of ``PLACES``; ``wide``: ``main`` stands in two columns."""
    head = title or _HEADS[at]
    name = as_written(one.data.get("trip")) or t("Trip")
    return Page(f"{head}: {name}", [
        el("div", el("h1", head), el("p", el("a", name, href=f"/trips/{one.number}"), class_="of"),
           places(one.number, at), class_="head"), *main], status, wide)


def places(number: str, at: str = "") -> Element:
    """Where one can go from a trip."""
    return el("nav", el("ul", [
        el("li", el("a", told, href=f"/trips/{number}/{where}", aria_current="page" if where == at else None))
        for where, told in ((where, PLACES[where]) for where in PLACES)]), class_="places",
        aria_label=t("More of this trip"))


def problems_shown(problems: Sequence[Problem], title: str) -> Element:
    """What is wrong with files, each with the line that it stands in and a mark below; it takes the focus."""
    shown: list[Element] = []
    for problem in problems:
        lines = source_lines(problem)
        named = f"{problem.path}: " if problem.path and "/" not in problem.path else ""
        shown.append(el("li", f"{named}{problem_said(problem)}",
                        el("pre", "\n".join(lines), tabindex=0) if lines else None))
    return el("div", el("h2", title), el("ul", shown), role="alert", class_="wrong", tabindex=-1, id="wrong")


def unanswered(error: InputError) -> Element:
    """A piece of a page where its question cannot be answered yet."""
    return el("div", el("p", el("strong", t("No answer yet"), class_="verdict")),
              el("ul", [el("li", problem_said(problem)) for problem in error.problems]), class_="wrong", role="alert")
