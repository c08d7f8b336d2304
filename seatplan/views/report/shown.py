"""What a report shows, and the small pieces that its sections are made of."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from xml.etree.ElementTree import Element

from seatplan.frozen import frozen
from seatplan.growth.outlook import Outlook
from seatplan.solver.compare import Comparison, InVehicle
from seatplan.solver.explain import Explanation
from seatplan.solver.measure import Measure
from seatplan.solver.picture import Picture
from seatplan.solver.results import Arrangement, Plan
from seatplan.views.html import Place
from seatplan.views.markup import Child, el


@frozen
class Compared:
    """One of several vehicles, the n-th from 0; ``left_out``: what of the trip does not apply in it."""

    found: Comparison
    n: int
    left_out: Sequence[str] = ()

    @property
    def vehicle(self) -> InVehicle:
        return self.found.vehicles[self.n]


@frozen
class Shown:
    """``pictures``: those arrangements that are drawn, by rank; ``explanation`` says why nothing fits; ``again`` is the
    trip with its options as typed; ``ahead``: how long it lasts; ``compared``: where it is one of several vehicles;
    ``measure``: what to measure next."""

    plan: Plan
    pictures: Mapping[int, Picture]
    explanation: Explanation | None
    again: str
    ahead: Outlook | None = None
    compared: Compared | None = None
    measure: Measure | None = None

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

    @property
    def place(self) -> Place:
        """Where blocks of this plan stand."""
        return Place(named=self.named)

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
