"""What a report shows, and the small pieces that its sections are made of."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from xml.etree.ElementTree import Element

from seatplan.growth.outlook import Outlook
from seatplan.solver.compare import Comparison, InVehicle
from seatplan.solver.explain import Explanation
from seatplan.solver.picture import Picture
from seatplan.solver.results import Arrangement, Plan
from seatplan.views.markup import Child, el
from seatplan.views.say import look_up, t

#: a table of more columns has smaller letters on paper
_MANY = 7
_ROLES = {"table": "table", "thead": "rowgroup", "tbody": "rowgroup", "tr": "row", "td": "cell"}
_HEADS = {"col": "columnheader", "row": "rowheader"}


@dataclass(frozen=True, slots=True)
class Compared:
    """One of several vehicles, the n-th from 0; ``left_out``: what of the trip does not apply in it."""

    found: Comparison
    n: int
    left_out: Sequence[str] = ()

    @property
    def vehicle(self) -> InVehicle:
        return self.found.vehicles[self.n]


@dataclass(frozen=True, slots=True)
class Shown:
    """``pictures``: those arrangements that are drawn, by rank; ``explanation`` says why nothing fits; ``again`` is the
    trip with its options as typed; ``ahead``: how long it lasts; ``compared``: where it is one of several vehicles."""

    plan: Plan
    pictures: Mapping[int, Picture]
    explanation: Explanation | None
    again: str
    ahead: Outlook | None = None
    compared: Compared | None = None

    @property
    def prefix(self) -> str:
        """What ids begin with, so that those of several vehicles differ."""
        return "" if self.compared is None else f"v{self.compared.n + 1}-"

    @property
    def named(self) -> str:
        """What tells labels of several vehicles apart."""
        return "" if self.compared is None else f", {self.compared.n + 1}. {self.plan.trip.vehicle.vehicle}"

    def labelled(self, name: str) -> str:
        """The ids of the headings that name a section, so that sections of several vehicles differ."""
        vehicle = "" if self.compared is None else f" v{self.compared.n + 1}-head"
        return f"{self.prefix}{name}-head{vehicle}"

    @property
    def heading(self) -> str:
        """The tag of a section's heading."""
        return "h2" if self.compared is None else "h3"

    @property
    def deeper(self) -> str:
        """The tag of a heading within a section."""
        return "h3" if self.compared is None else "h4"

    def at(self, arrangement: Arrangement) -> str:
        """The positions of all riders, in the order of the trip: what the script filters by."""
        seats = {seat.placement.rider.rider: seat.placement.position.position for seat in arrangement.seats}
        return " ".join(seats.get(rider.rider, "-") for rider in self.plan.trip.riders)


def section(shown: Shown, name: str, head: str, *children: Child | Sequence[Element]) -> Element:
    """A section with its heading, which names it for a screen reader; the script finds it by its class."""
    own = shown.prefix + name
    return el("section", el(shown.heading, head, id=f"{own}-head"), *children, id=own, class_=name,
              aria_labelledby=shown.labelled(name))


def more(summary: str, *children: Child | Sequence[Element], paper: bool = False) -> Element:
    """What is closed until somebody asks for it. On paper it is there where it was opened, or with ``paper`` always."""
    return el("details", el("summary", summary), *children, class_="paper" if paper else None)


def as_told(said: str) -> Element:
    """Lines of the plain text, as they are laid out there."""
    return el("pre", said)


def wide(label: str, table: Element) -> Element:
    """A table that scrolls by itself where the page is narrow; it can be reached with the keyboard."""
    return el("div", table, class_="wide", role="region", aria_label=t("Table: {label}", label=label), tabindex=0)


def table(head: Sequence[str], rows: Sequence[Element], caption: str, *, stacks: bool = True) -> Element:
    """A table with a caption and heads that say what they are for; the heads are looked up. On a narrow screen it
    ``stacks``: a line for each cell, which begins with its head."""
    words = [look_up(word) for word in head]
    made = el("table", el("caption", caption),
              el("thead", el("tr", [el("th", word, scope="col") for word in words])), el("tbody", rows))
    kinds = [kind for kind, holds in (("stack", stacks), ("many", len(head) > _MANY)) if holds]
    if kinds:
        made.set("class", " ".join(kinds))
    if stacks:
        for row in rows:
            for word, cell in zip(words[len(words) - len(row):], row, strict=True):   # a head may span several rows
                if cell.tag == "td":
                    cell.set("data-head", word)
        for part in made.iter():                         # shown as blocks it would be no table to some screen readers
            role = _HEADS.get(part.get("scope", "")) or _ROLES.get(part.tag)
            if role:
                part.set("role", role)
    return made


def coded(text: str) -> list[Element | str]:
    """Text in which what stands between backticks, to be typed as it is, is marked as code."""
    return [el("code", part) if i % 2 else part for i, part in enumerate(text.split("`"))]
