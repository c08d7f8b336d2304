"""A day as a flow: vehicles run from booking to booking, directly or by their depot, and copies go with them.

A *node* is one booking carried in one way by one group of like vehicles, with one load. Between equal loads a vehicle
may drive directly. Else it comes by its depot, where it takes out what it does not keep, waits in a *state* (what stays
in it), and has put in what is missing just before it leaves. A piece that it keeps is with it all the while, so what is
not counted as a change is the same copy. So each group is a small network along the time, with as many arcs as nodes
times states, not as nodes squared.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import combinations
from typing import NamedTuple

from .floor import Choice, last_minute, pieces
from .records import CopyUnit, Day, Load, Piece

Set = frozenset[Piece]


class Group(NamedTuple):
    """Vehicles of one type and depot, by their place in the day; ``keeps``: what they keep all day because nobody at
    their depot installs; ``until``: when they are back."""

    vehicle_type: str
    depot: str
    until: int | None
    keeps: Load | None


class Entry(NamedTuple):
    """Like vehicles that stand at their depot when the day begins: what is installed and may be used, how many pieces
    have to come out first (``stuck``), and from when they may be used."""

    group: int
    load: Load
    stuck: int
    since: int | None
    vehicles: tuple[int, ...]


class Node(NamedTuple):
    """One booking as one group may carry it. ``booking``: its place in the day. ``vehicle``: of one that is under way
    already, which must end as it ends, else None."""

    booking: int
    group: int
    choice: Choice
    load: Load
    start: int
    end: int
    origin: str
    goal: str
    vehicle: int | None = None


class Direct(NamedTuple):
    """From one node to another of the same load."""

    tail: int
    head: int
    empty: int


class Enter(NamedTuple):
    """From a node back to the depot, into a state; what is taken out is free from ``at`` on."""

    tail: int
    state: int
    at: int
    out: Load
    empty: int


class Leave(NamedTuple):
    """From a state to a node: what is put in is taken at ``at``."""

    state: int
    head: int
    at: int
    put: Load
    empty: int


class Source(NamedTuple):
    """Vehicles of an entry into a state, from ``at`` on; ``changes``: pieces that each of them takes out for it."""

    entry: int
    state: int
    at: int
    changes: int
    most: int


class Event(NamedTuple):
    """So many pieces of a kind are taken at a depot, or are free again (negative), whatever is decided."""

    at: int
    depot: str
    kind: str
    number: int


@dataclass(slots=True)
class Net:
    """All that may be done. ``states``: group and what stays in the vehicle. ``begin``: before everything else."""

    groups: list[Group]
    entries: list[Entry]
    nodes: list[Node]
    states: list[tuple[int, Load]] = field(default_factory=list)
    direct: list[Direct] = field(default_factory=list)
    enter: list[Enter] = field(default_factory=list)
    leave: list[Leave] = field(default_factory=list)
    source: list[Source] = field(default_factory=list)
    events: list[Event] = field(default_factory=list)
    begin: int = 0


class Wide(NamedTuple):
    """How much of a day is looked at. ``successors``: so many direct successors of each node, the nearest; None: all.
    ``subsets``: whether a vehicle may keep any part of what it could keep, or all of it or nothing."""

    successors: int | None = None
    subsets: bool = True


#: a day of which all is looked at
WHOLE = Wide()


# --- vehicles and stock

def groups_of(day: Day) -> tuple[list[Group], list[Entry]]:
    """Like vehicles together, in the order of the first of each."""
    groups: dict[Group, int] = {}
    entries: dict[tuple[int, Load, int, int | None], list[int]] = {}
    for number, vehicle in enumerate(day.vehicles):
        usable = usable_load(day, number)
        fixed = vehicle.depot in day.nobody_installs
        if fixed and len(usable) != len(vehicle.installed):
            continue    # what may not be used cannot come out
        group = Group(vehicle.vehicle_type, vehicle.depot, vehicle.until, usable if fixed else None)
        at = groups.setdefault(group, len(groups))
        key = at, usable, len(vehicle.installed) - len(usable), vehicle.since
        entries.setdefault(key, []).append(number)
    return list(groups), [Entry(*key, tuple(vehicles)) for key, vehicles in entries.items()]


def usable_load(day: Day, number: int) -> Load:
    """What is installed in a vehicle and may stay in use all day: pieces with a copy that is known and usable."""
    vehicle = day.vehicles[number]
    end = horizon(day)
    good = {(copy.kind, copy.position) for copy in day.copies
            if copy.vehicle == vehicle.key and copy.since is None and counts(copy, day, end)}
    return tuple(sorted(piece for piece in vehicle.installed if piece[:2] in good))


def horizon(day: Day) -> int:
    """The last minute at which a booking ends."""
    return max((booking.end for booking in day.bookings), default=0)


def counts(copy: CopyUnit, day: Day, end: int) -> bool:
    """Whether a copy counts as stock: from some minute on (``since``) it may be used until the last booking ends. One
    that runs out before that counts for nothing: so whatever keeps to the number of copies can be handed out by whoever
    takes the first free one (each began later than all copies in use did)."""
    last = last_minute(copy, day.date)
    return copy.usable and (last is None or end <= last)


def stock_of(day: Day) -> dict[tuple[str, str], list[int]]:
    """By depot and kind, the minute from which each usable copy counts, sorted; far before all where it counts at
    once."""
    end = horizon(day)
    found: defaultdict[tuple[str, str], list[int]] = defaultdict(list)
    for copy in day.copies:
        if counts(copy, day, end):
            found[copy.depot, copy.kind].append(ALWAYS if copy.since is None else copy.since)
    return {key: sorted(times) for key, times in found.items()}


#: before every minute of a day, and still before that
BEFORE, ALWAYS = -10**8, -10**9


# --- nodes

def nodes_of(day: Day, groups: Sequence[Group], entries: Sequence[Entry],
             choices: Sequence[Mapping[str, tuple[Choice, ...]]], only: Iterable[int] | None = None) -> list[Node]:
    """Every booking in every way that a group may carry it. ``choices``: by booking and type."""
    stock = {key: len(times) for key, times in stock_of(day).items()}
    asked = list(range(len(day.bookings)) if only is None else only)
    base = {kind: {pieces(choice.way) for number in asked for choice in choices[number].get(kind, ())}
            for kind in {group.vehicle_type for group in groups}}
    found = []
    for number in asked:
        booking = day.bookings[number]
        for at, group in enumerate(groups):
            loads = {group.keeps} if group.keeps is not None else base[group.vehicle_type] | {
                entry.load for entry in entries if entry.group == at}
            rows = day.rows.get(group.vehicle_type, {})
            for load, choice in sorted(_options(choices[number].get(group.vehicle_type, ()), loads, group, rows)):
                if all(stock.get((group.depot, kind), 0) >= n for kind, n in kinds_in(load).items()):
                    found.append(Node(number, at, choice, load, booking.start, booking.end, booking.origin,
                                      booking.goal))
    return found


def kinds_in(load: Iterable[Piece]) -> Counter[str]:
    """How many pieces of each kind."""
    return Counter(kind for kind, _, _ in load)


def _options(choices: Iterable[Choice], loads: Iterable[Load], group: Group,
             rows: Mapping[str, int]) -> Iterator[tuple[Load, Choice]]:
    """Each load that a booking could ride with, with the best way for it: what a way needs, or that and more where the
    rest stands apart."""
    found: dict[Load, Choice] = {}
    for choice in choices:
        own = pieces(choice.way)
        ridden = {seat.position for seat in choice.way.seats}
        for load in [own] if group.keeps is None else []:
            found.setdefault(load, choice)
        for load in loads:
            if set(own) <= set(load) and (len(own) == len(load) or _apart(set(load) - set(own), ridden, rows)):
                found.setdefault(load, choice)
    yield from found.items()


def _apart(rest: Iterable[Piece], ridden: Iterable[str], rows: Mapping[str, int]) -> bool:
    """Whether pieces that nobody uses stand where they are in nobody's way: in a row that is neither one in which
    somebody of the booking rides nor next to one, since a restraint may take room from the seat ahead, and a seat from
    the restraint behind it. A row that is not known is next to all."""
    taken = {rows.get(position) for position in ridden}
    if None in taken:
        return False
    return all((row := rows.get(position)) is not None and taken.isdisjoint({row - 1, row, row + 1})
               for _, position, _ in rest)


# --- arcs

def net_of(day: Day, groups: list[Group], entries: list[Entry], nodes: list[Node], wide: Wide = WHOLE,
           events: Iterable[Event] = ()) -> Net:
    """All arcs between nodes. Those of a vehicle that is under way are its own: nothing leads to them."""
    net = Net(groups, entries, nodes, events=list(events))
    by_group: defaultdict[int, list[int]] = defaultdict(list)
    for number, node in enumerate(nodes):
        by_group[node.group].append(number)
    for at in range(len(groups)):
        _direct(day, net, by_group[at], wide.successors)
        _states(day, net, at, by_group[at], wide.subsets)
    times = [arc.at for arc in net.leave] + [node.start for node in nodes] + [event.at for event in net.events]
    net.begin = min(times, default=0) - 1
    net.source = [source._replace(at=max(source.at, net.begin)) for source in net.source]
    return net


def _direct(day: Day, net: Net, numbers: Sequence[int], most: int | None) -> None:
    by_load: defaultdict[Load, list[int]] = defaultdict(list)
    for number in numbers:
        by_load[net.nodes[number].load].append(number)
    for same in by_load.values():
        same.sort(key=lambda one: (net.nodes[one].start, one))
        for tail in same:
            net.direct.extend(_nearest(day, net, tail, same, most))


def _nearest(day: Day, net: Net, tail: int, same: Sequence[int], most: int | None) -> list[Direct]:
    """The direct successors of a node: those that begin first, where not all are kept. Ways of one booking in one
    group with one load are one node, so each successor is another booking."""
    node = net.nodes[tail]
    found: list[Direct] = []
    for head in same if most != 0 else ():
        there = net.nodes[head]
        if there.start < node.end or there.vehicle is not None:
            continue
        minutes = day.travel.get((node.goal, there.origin))
        if minutes is not None and node.end + minutes <= there.start:
            found.append(Direct(tail, head, minutes))
            if most is not None and len(found) == most:
                break
    return found


def _states(day: Day, net: Net, group: int, numbers: Sequence[int], subsets: bool) -> None:
    """What a vehicle may keep at the depot, and the arcs to and from there."""
    loads = sorted({net.nodes[number].load for number in numbers}
                   | {entry.load for entry in net.entries if entry.group == group})
    keeps = net.groups[group].keeps
    kept = {keeps} if keeps is not None else _kept(loads, subsets)
    first = len(net.states)
    net.states.extend((group, load) for load in sorted(kept))
    ways = {load: [(first + n, _less(load, state)) for n, state in enumerate(sorted(kept))
                   if set(state) <= set(load)] for load in loads}
    for number in numbers:
        node = net.nodes[number]
        net.enter.extend(_enters(day, net.groups[group], number, node, ways[node.load]))
        if node.vehicle is None:
            net.leave.extend(_leaves(day, net.groups[group], number, node, ways[node.load]))
    for at, entry in enumerate(net.entries):
        if entry.group == group:
            net.source.extend(_sources(day, at, entry, ways[entry.load]))


def _kept(loads: Sequence[Load], subsets: bool) -> set[Load]:
    """All that two loads have in common, each load, nothing, and parts of those that two have in common."""
    common = {tuple(sorted(set(one) & set(other))) for one, other in combinations(loads, 2)}
    if subsets:
        common = {part for load in common for n in range(len(load) + 1) for part in combinations(load, n)}
    return common | set(loads) | {()}


def _less(load: Load, state: Load) -> Load:
    return tuple(sorted(set(load) - set(state)))


def _minutes(day: Day, load: Load, way: int) -> int | None:
    """Minutes to put in (0) or to take out (1) some pieces, one after the other; None: not known."""
    told = [day.holding[by][way] if by in day.holding else None for _, _, by in load]
    return None if None in told else sum(one for one in told if one is not None)


def _enters(day: Day, group: Group, number: int, node: Node, ways: Iterable[tuple[int, Load]]) -> Iterator[Enter]:
    back = day.travel.get((node.goal, group.depot))
    if back is None or (group.until is not None and node.end + back > group.until):
        return
    for state, out in ways:
        minutes = _minutes(day, out, 1)
        if minutes is not None:
            yield Enter(number, state, node.end + back + minutes, out, back)


def _leaves(day: Day, group: Group, number: int, node: Node, ways: Iterable[tuple[int, Load]]) -> Iterator[Leave]:
    out = day.travel.get((group.depot, node.origin))
    if out is None:
        return
    for state, put in ways:
        minutes = _minutes(day, put, 0)
        if minutes is not None:
            yield Leave(state, number, node.start - out - minutes, put, out)


def _sources(day: Day, number: int, entry: Entry, ways: Iterable[tuple[int, Load]]) -> Iterator[Source]:
    for state, out in ways:
        minutes = _minutes(day, out, 1)
        if minutes is not None:
            yield Source(number, state, ALWAYS if entry.since is None else entry.since + minutes,
                         len(out) + entry.stuck, len(entry.vehicles))
