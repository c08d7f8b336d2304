"""A flow as what each vehicle does: its nodes in order, and from when to when each piece is in it.

Vehicles that wait in one state are alike; the one that comes first in the fleet leaves first.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from heapq import heappop, heappush
from typing import NamedTuple

from .colouring import Free, Stay, handed_out_by_kind
from .flow import ALWAYS, Entry, Net, Node, counts, horizon
from .optimum import Flow
from .records import Day, Leg, Load, Piece


class Step(NamedTuple):
    """One node of a vehicle's day: how it came there, and what was done for it on the way."""

    node: Node
    by_depot: bool
    empty: int
    changes: int


@dataclass(slots=True)
class Route:
    """``steps`` in order; ``aboard``: by piece, since when; ``back``: minutes empty and pieces taken out since the last
    step."""

    steps: list[Step] = field(default_factory=list)
    aboard: dict[Piece, int] = field(default_factory=dict)
    back: tuple[int, int] = (0, 0)


@dataclass(slots=True)
class Routes:
    """By vehicle its route; ``stays``: by depot and kind; ``stripped``: pieces taken out of vehicles that stay all day,
    for others."""

    of: dict[int, Route]
    stays: dict[tuple[str, str], list[Stay]]
    stripped: int = 0

    @property
    def changes(self) -> int:
        """Pieces taken out and put in."""
        return self.stripped + sum(route.back[1] + sum(step.changes for step in route.steps)
                                   for route in self.of.values())

    @property
    def empty(self) -> int:
        """Minutes that vehicles go empty."""
        return sum(route.back[0] + sum(step.empty for step in route.steps) for route in self.of.values())


#: by vehicle, kind and position, the copy that stands there when everything begins
Own = Mapping[tuple[str, str, str], str]


def routes_of(day: Day, net: Net, flow: Flow, own: Own | None = None) -> Routes:
    """What each vehicle does in a flow. ``own``: what stands where when it begins; None: as installed on the day. The
    nodes of vehicles that are under way are no steps of theirs."""
    return _Walk(day, net, flow, own_copies(day) if own is None else own).walked()


class _Walk:
    """Follows every vehicle along the time."""

    def __init__(self, day: Day, net: Net, flow: Flow, own: Own) -> None:
        self.day, self.net = day, net
        self.after = {net.direct[n].tail: net.direct[n] for n in flow.direct}
        self.back = {net.enter[n].tail: net.enter[n] for n in flow.enter}
        self.leaving = sorted((net.leave[n] for n in flow.leave), key=lambda one: (one.at, net.nodes[one.head].booking))
        self.sources = [(net.source[n], taken) for n, taken in enumerate(flow.source) if taken]
        self.strips = [(net.strip[n], taken) for n, taken in enumerate(flow.strip) if taken]
        self.waiting: defaultdict[int, list[int]] = defaultdict(list)
        self.coming: defaultdict[int, list[tuple[int, int]]] = defaultdict(list)
        self.routes = Routes({}, defaultdict(list))
        self.own = own
        self.later = {(copy.vehicle, copy.kind, copy.position, copy.since): copy.key for copy in day.copies
                      if copy.vehicle and copy.since is not None}

    def walked(self) -> Routes:
        self._begin()
        for leave in self.leaving:
            vehicle = self._first(leave.state, leave.at)
            route = self.routes.of[vehicle]
            route.aboard.update(dict.fromkeys(leave.put, leave.at))
            empty, changes = route.back
            self._ride(vehicle, leave.head, Step(self.net.nodes[leave.head], True, empty + leave.empty,
                                                 changes + len(leave.put)))
        for vehicle, route in sorted(self.routes.of.items()):
            for piece in sorted(route.aboard):
                self._stayed(vehicle, piece, route.aboard[piece], None)
        self.routes.stripped += sum(route.back[1] for route in self.routes.of.values() if not route.steps)
        self.routes.of = {vehicle: route for vehicle, route in sorted(self.routes.of.items()) if route.steps}
        return self.routes

    def _begin(self) -> None:
        used: defaultdict[int, int] = defaultdict(int)
        for source, taken in self.sources:
            entry = self.net.entries[source.entry]
            for vehicle in entry.vehicles[used[source.entry]:used[source.entry] + taken]:
                _, state = self.net.states[source.state]
                self.routes.of[vehicle] = Route([], dict.fromkeys(state, self.net.begin), (0, len(source.out)))
                heappush(self.coming[source.state], (source.at, vehicle))
                self._out(entry, vehicle, source.out, source.at)
            used[source.entry] += taken
        for strip, taken in self.strips:
            entry = self.net.entries[strip.entry]
            for vehicle in entry.vehicles[used[strip.entry]:used[strip.entry] + taken]:
                self.routes.stripped += len(strip.out)
                self._out(entry, vehicle, strip.out, strip.at)
                self._rest(entry, vehicle, strip.out)
            used[strip.entry] += taken
        for number, entry in enumerate(self.net.entries):
            for vehicle in entry.vehicles[used[number]:] if self.net.parked or entry.since is not None else ():
                self._rest(entry, vehicle, ())
        for number, node in enumerate(self.net.nodes):
            if node.vehicle is not None:
                self.routes.of[node.vehicle] = Route([], dict.fromkeys(node.load, self.net.begin))
                self._ride(node.vehicle, number, None)

    def _out(self, entry: Entry, vehicle: int, out: Load, at: int) -> None:
        """What is taken out at the begin has its copy until then."""
        for piece, since in _counting(entry, self.net.begin):
            if piece in out and since < at:
                self._stayed(vehicle, piece, since, at)

    def _rest(self, entry: Entry, vehicle: int, out: Load) -> None:
        """What stays in a vehicle that stays has its copy all day."""
        for piece, since in _counting(entry, self.net.begin):
            if piece not in out:
                self._stayed(vehicle, piece, since, None)

    def _first(self, state: int, at: int) -> int:
        coming, waiting = self.coming[state], self.waiting[state]
        while coming and coming[0][0] <= at:
            heappush(waiting, heappop(coming)[1])
        return heappop(waiting)

    def _ride(self, vehicle: int, number: int, step: Step | None) -> None:
        route = self.routes.of[vehicle]
        while True:
            if step is not None:
                route.steps.append(step)
            direct = self.after.get(number)
            if direct is None:
                break
            number = direct.head
            step = Step(self.net.nodes[number], False, direct.empty, 0)
        enter = self.back[number]
        for piece in enter.out:
            self._stayed(vehicle, piece, route.aboard.pop(piece), enter.at)
        route.back = enter.empty, len(enter.out)
        heappush(self.coming[enter.state], (enter.at, vehicle))

    def _stayed(self, vehicle: int, piece: Piece, start: int, end: int | None) -> None:
        unit = self.day.vehicles[vehicle]
        copy = self.own.get((unit.key, *piece[:2]), "") if start == self.net.begin else ""
        copy = copy or self.later.get((unit.key, *piece[:2], start), "")
        self.routes.stays[unit.depot, piece[0]].append(Stay(start, vehicle, piece[1], end, copy))


def _counting(entry: Entry, begin: int) -> Iterator[tuple[Piece, int]]:
    """The pieces aboard when the day begins that count as stock, each with the minute from which it does."""
    yield from ((piece, begin) for piece in entry.load)
    yield from entry.later


def own_copies(day: Day) -> dict[tuple[str, str, str], str]:
    """By vehicle, kind and position, the copy that stands there when the day begins and may be used all day."""
    end, found = horizon(day), {}
    for copy in sorted(day.copies, key=lambda one: one.key, reverse=True):
        if copy.vehicle and copy.since is None and counts(copy, day, end):
            found[copy.vehicle, copy.kind, copy.position] = copy.key
    return found


def legs_of(day: Day, routes: Routes) -> dict[str, tuple[Leg, ...]]:
    """By vehicle its legs, with the copies handed out."""
    end = horizon(day)
    free: defaultdict[tuple[str, str], list[Free]] = defaultdict(list)
    for copy in day.copies:
        if counts(copy, day, end):
            free[copy.depot, copy.kind].append(Free(copy.key, ALWAYS if copy.since is None else copy.since))
    given = handed_out_by_kind(routes.stays, free)
    by_place: defaultdict[tuple[int, str], list[tuple[int, str]]] = defaultdict(list)
    for (vehicle, position, start), key in given.items():
        by_place[vehicle, position].append((start, key))
    for told in by_place.values():
        told.sort()
    return {day.vehicles[vehicle].key: tuple(_leg(day, step, vehicle, by_place) for step in route.steps)
            for vehicle, route in routes.of.items()}


def _leg(day: Day, step: Step, vehicle: int, given: Mapping[tuple[int, str], Sequence[tuple[int, str]]]) -> Leg:
    node = step.node
    return Leg(day.bookings[node.booking].key, node.choice.way, node.load,
               tuple(_copies(node.load, node.start, vehicle, given)), step.by_depot, step.empty, step.changes,
               node.choice.cover)


def _copies(load: Load, at: int, vehicle: int,
            given: Mapping[tuple[int, str], Sequence[tuple[int, str]]]) -> Iterator[str]:
    for _, position, _ in load:
        yield next(key for start, key in reversed(given[vehicle, position]) if start <= at)
