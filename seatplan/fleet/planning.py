"""The plan of a day: which vehicle carries which booking, with which restraints aboard.

First as many bookings as can be served at their floor; then, in this order, fewest below it (offers that somebody
accepted), fewest pieces taken out and put in, least minutes empty, the smallest largest share of a depot (bookings
carried for each of its vehicles, in thousandths, rounded up); last, between equals, an earlier booking before a later
one, an earlier vehicle before a later one, the better way before another. A small day is solved whole and proven; a
large one is split by depot and time (``splitting.py``), with a bound.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Mapping

from seatplan.frozen import frozen

from .floor import Choice, Floor, floors
from .flow import Entry, Group, Net, Node, groups_of, most_nodes, net_of, stock_of
from .optimum import LIMIT, Flow, Question, best
from .records import Day, DayPlan, Unserved
from .routes import Routes, legs_of, routes_of

#: a day with so many bookings at most is solved as a whole
MOST_WHOLE = 40


@frozen
class Work:
    """A day made ready: like vehicles, floors and what may carry each booking, stock, and vehicles by depot."""

    day: Day
    groups: list[Group]
    entries: list[Entry]
    floors: tuple[Floor, ...]
    stock: Mapping[tuple[str, str], list[int]]
    vehicles: Mapping[str, int]

    @property
    def choices(self) -> tuple[Mapping[str, tuple[Choice, ...]], ...]:
        """By booking and type, what may carry it."""
        return tuple(floor.choices for floor in self.floors)


def work_of(day: Day) -> Work:
    """A day made ready. ValueError where two bookings, vehicles or copies have one key, or a booking ends before it
    begins."""
    for told in (day.bookings, day.vehicles, day.copies):
        twice = [key for key, n in Counter(one.key for one in told).items() if n > 1]
        if twice:
            raise ValueError(f"{twice[0]!r} is there twice")
    wrong = next((booking.key for booking in day.bookings if booking.end <= booking.start), None)
    if wrong is not None:
        raise ValueError(f"booking {wrong!r} ends before it begins")
    groups, entries = groups_of(day)
    return Work(day, groups, entries, floors(day), stock_of(day), Counter(one.depot for one in day.vehicles))


def planned(day: Day, limit: float = LIMIT, whole: bool | None = None) -> DayPlan:
    """The plan of a day. ``limit``: deterministic time for each goal; ``whole``: solved as a whole or split, None: by
    the number of its bookings. ``extras.ExtraMissing`` without OR-tools."""
    from .splitting import most_of, split
    from .unserved import reasons

    work = work_of(day)
    if whole if whole is not None else len(day.bookings) <= MOST_WHOLE:
        cut: set[int] = set()
        net, flow = solved(work, limit, cut=cut)
        routes, bound, proven = routes_of(day, net, flow), flow.bound, flow.proven and not cut
        if cut:
            bound = most_of(work)
    else:
        routes, bound = split(work)
        proven = False
    return plan_of(work, routes, bound, proven, reasons(work, routes))


def solved(work: Work, limit: float = LIMIT, differs: Callable[[Node], int] | None = None,
           cut: set[int] | None = None) -> tuple[Net, Flow]:
    """The whole day as one net, and its best flow. ``cut``: as of ``most_nodes``."""
    nodes = most_nodes(work.day, work.groups, work.entries, work.choices, None, (), cut)
    net = net_of(work.day, work.groups, work.entries, nodes)
    return net, best(Question(net, work.stock, work.vehicles, {}, differs), limit)


def plan_of(work: Work, routes: Routes, bound: int, proven: bool, reasons: Mapping[int, Unserved]) -> DayPlan:
    """Routes as a plan, with copies handed out."""
    day, legs = work.day, legs_of(work.day, routes)
    carried = Counter(day.vehicles[vehicle].depot for vehicle, route in routes.of.items() for _ in route.steps)
    below = sum(step.node.choice.below for route in routes.of.values() for step in route.steps)
    offers = {booking.key: floor.offers for booking, floor in zip(day.bookings, work.floors, strict=True)
              if floor.offers}
    return DayPlan(
        legs, {day.bookings[n].key: why for n, why in sorted(reasons.items())}, bound, proven, routes.changes,
        routes.empty, below, offers,
        {depot: -(-1000 * carried[depot] // n) for depot, n in sorted(work.vehicles.items())})
