"""What a report shows, and the small pieces that its sections are made of."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from xml.etree.ElementTree import Element

from seatplan.solver.explain import Explanation
from seatplan.solver.picture import Picture
from seatplan.solver.results import Arrangement, Plan
from seatplan.views.markup import Child, el


@dataclass(frozen=True, slots=True)
class Shown:
    """``pictures``: those arrangements that are drawn, by rank; ``explanation`` says why nothing fits; ``again`` is the
    trip with its options as typed."""

    plan: Plan
    pictures: Mapping[int, Picture]
    explanation: Explanation | None
    again: str

    def at(self, arrangement: Arrangement) -> str:
        """The positions of all riders, in the order of the trip: what the script filters by."""
        seats = {seat.placement.rider.rider: seat.placement.position.position for seat in arrangement.seats}
        return " ".join(seats.get(rider.rider, "-") for rider in self.plan.trip.riders)


def section(name: str, head: str, *children: Child | Sequence[Element]) -> Element:
    """A section with its heading, which names it for a screen reader."""
    return el("section", el("h2", head, id=f"{name}-head"), *children, id=name, aria_labelledby=f"{name}-head")


def more(summary: str, *children: Child | Sequence[Element]) -> Element:
    """What is closed until somebody asks for it; open on paper."""
    return el("details", el("summary", summary), *children)


def as_told(said: str) -> Element:
    """Lines of the plain text, as they are laid out there."""
    return el("pre", said)


def wide(label: str, table: Element) -> Element:
    """A table that scrolls by itself where the page is narrow; it can be reached with the keyboard."""
    return el("div", table, class_="wide", role="region", aria_label=f"Table: {label}", tabindex=0)


def table(head: Sequence[str], rows: Sequence[Element], caption: str) -> Element:
    """A table with a caption and heads that say what they are for."""
    return el("table", el("caption", caption), el("thead", el("tr", [el("th", word, scope="col") for word in head])),
              el("tbody", rows))
