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

from .floor import Choice, last_minute
from .loads import MOST_BESIDE, Beside, with_load
from .records import CopyUnit, Day, Load, Piece


class Group(NamedTuple):
    """Vehicles of one type and depot, by their place in the day; ``keeps``: what they keep all day because nobody at
    their depot installs; ``until``: when they are back."""

    vehicle_type: str
    depot: str
    until: int | None
    keeps: Load | None


class Entry(NamedTuple):
    """Like vehicles that stand at their depot when the day begins: what is installed and may be used, what has to come
    out first (``stuck``), and from when they may be used. ``later``: pieces of ``stuck`` whose copy counts from a
    minute of the day on."""

    group: int
    load: Load
    stuck: Load
    since: int | None
    vehicles: tuple[int, ...]
    later: tuple[tuple[Piece, int], ...] = ()


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
    """Vehicles of an entry into a state, from ``at`` on; ``out``: what each of them takes out for it."""

    entry: int
    state: int
    at: int
    out: Load
    most: int


class Strip(NamedTuple):
    """Vehicles of an entry that stay all day, and have something taken out, which others may use from ``at`` on."""

    entry: int
    at: int
    out: Load
    most: int


class Event(NamedTuple):
    """So many pieces of a kind are taken at a depot, or are free again (negative), whatever is decided."""

    at: int
    depot: str
    kind: str
    number: int


@dataclass(slots=True)
class Net:
    """All that may be done. ``states``: group and what stays in the vehicle. ``begin``: before everything else;
    ``parked``: as of ``Wide``."""

    groups: list[Group]
    entries: list[Entry]
    nodes: list[Node]
    states: list[tuple[int, Load]] = field(default_factory=list)
    direct: list[Direct] = field(default_factory=list)
    enter: list[Enter] = field(default_factory=list)
    leave: list[Leave] = field(default_factory=list)
    source: list[Source] = field(default_factory=list)
    strip: list[Strip] = field(default_factory=list)
    events: list[Event] = field(default_factory=list)
    begin: int = 0
    parked: bool = True


class Wide(NamedTuple):
    """How much of a day is looked at. ``successors``: so many direct successors of each node, the nearest; None: all.
    ``subsets``: whether a vehicle may keep any part of what it could keep, or all of it or nothing. ``parked``: whether
    what is installed in a vehicle that stays has to be taken out before others use it; else it is free to be taken
    before the day, and is not counted."""

    successors: int | None = None
    subsets: bool = True
    parked: bool = True


#: a day of which all is looked at
WHOLE = Wide()


# --- vehicles and stock

def groups_of(day: Day) -> tuple[list[Group], list[Entry]]:
    """Like vehicles together, in the order of the first of each."""
    groups: dict[Group, int] = {}
    entries: dict[tuple[int, Load, Load, int | None, tuple[tuple[Piece, int], ...]], list[int]] = {}
    for number, vehicle in enumerate(day.vehicles):
        usable = usable_load(day, number)
        fixed = vehicle.depot in day.nobody_installs
        if fixed and len(usable) != len(vehicle.installed):
            continue    # what may not be used cannot come out
        group = Group(vehicle.vehicle_type, vehicle.depot, vehicle.until, usable if fixed else None)
        at = groups.setdefault(group, len(groups))
        key = at, usable, less(vehicle.installed, usable), vehicle.since, later_in(day, number)
        entries.setdefault(key, []).append(number)
    return list(groups), [Entry(at, load, stuck, since, tuple(vehicles), later)
                          for (at, load, stuck, since, later), vehicles in entries.items()]


def usable_load(day: Day, number: int) -> Load:
    """What is installed in a vehicle and may stay in use all day: pieces with a copy that is known and usable."""
    vehicle = day.vehicles[number]
    end = horizon(day)
    good = {(copy.kind, copy.position) for copy in day.copies
            if copy.vehicle == vehicle.key and copy.since is None and counts(copy, day, end)}
    return tuple(sorted(piece for piece in vehicle.installed if piece[:2] in good))


def later_in(day: Day, number: int) -> tuple[tuple[Piece, int], ...]:
    """What is installed in a vehicle and counts from a minute of the day on, because a quarantine ends."""
    vehicle, end = day.vehicles[number], horizon(day)
    since = {(copy.kind, copy.position): copy.since for copy in day.copies
             if copy.vehicle == vehicle.key and copy.since is not None and counts(copy, day, end)}
    return tuple(sorted((piece, since[piece[:2]]) for piece in vehicle.installed if piece[:2] in since))


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


#: with more nodes than that, not all that could stay in beside a booking is looked at
MOST_NODES = 1500
#: before every minute of a day, and still before that
BEFORE, ALWAYS = -10**8, -10**9


# --- nodes

def nodes_of(day: Day, groups: Sequence[Group], entries: Sequence[Entry],
             choices: Sequence[Mapping[str, tuple[Choice, ...]]], only: Iterable[int] | None = None,
             aboard: Iterable[tuple[int, Load]] = (), most: int = MOST_BESIDE,
             cut: set[int] | None = None) -> list[Node]:
    """Every booking in every way that a group may carry it. ``choices``: by booking and type; ``aboard``: by
    group, what vehicles under way have aboard; ``most``: as of ``loads.Beside``; ``cut``: bookings of which not all
    loads are looked at are added to it."""
    stock = {key: len(times) for key, times in stock_of(day).items()}
    asked = list(range(len(day.bookings)) if only is None else only)
    found = []
    for at, group in enumerate(groups):
        told = {number: choices[number].get(group.vehicle_type, ()) for number in asked}
        installed = {entry.load for entry in entries if entry.group == at} | {
            load for one, load in aboard if one == at}
        there = Beside(told, installed, day.rows.get(group.vehicle_type, {}),
                       {kind for depot, kind in stock if depot == group.depot}, most)
        for number in asked:
            booking = day.bookings[number]
            loads = there.loads(number) if group.keeps is None else with_load(told[number], group.keeps, there.rows)
            for load, choice in sorted(loads.items()):
                if all(stock.get((group.depot, kind), 0) >= n for kind, n in kinds_in(load).items()):
                    found.append(Node(number, at, choice, load, booking.start, booking.end, booking.origin,
                                      booking.goal))
        if cut is not None:
            cut |= there.cut
    return sorted(found, key=lambda one: (one.booking, one.group))


def most_nodes(day: Day, groups: Sequence[Group], entries: Sequence[Entry],
               choices: Sequence[Mapping[str, tuple[Choice, ...]]], only: Iterable[int] | None,
               aboard: Sequence[tuple[int, Load]], cut: set[int] | None) -> list[Node]:
    """All nodes, if they are not too many; else those in which nothing stays in but what another way needs or a vehicle
    has. ``cut``: bookings of which not all is looked at are added to it."""
    found = nodes_of(day, groups, entries, choices, only, aboard, cut=cut)
    if len(found) > MOST_NODES:
        found = nodes_of(day, groups, entries, choices, only, aboard, 0, cut)
    return found


def kinds_in(load: Iterable[Piece]) -> Counter[str]:
    """How many pieces of each kind."""
    return Counter(kind for kind, _, _ in load)


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
    if wide.parked:
        net.strip = [strip for at, entry in enumerate(entries) if groups[entry.group].keeps is None
                     for strip in _strips(day, at, entry)]
    net.parked = wide.parked
    times = [arc.at for arc in net.leave] + [node.start for node in nodes] + [event.at for event in net.events]
    net.begin = min(times, default=0) - 1
    net.source = [source._replace(at=max(source.at, net.begin)) for source in net.source]
    net.strip = [strip._replace(at=max(strip.at, net.begin)) for strip in net.strip]
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
    ways = {load: [(first + n, less(load, state)) for n, state in enumerate(sorted(kept))
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
    if not subsets:
        return {tuple(sorted(set(one) & set(other))) for one, other in combinations(loads, 2)} | set(loads) | {()}
    held = Counter(part for load in loads for part in parts_of(load))
    return {part for part, n in held.items() if n > 1} | set(loads) | {()}


def parts_of(load: Load) -> Iterator[Load]:
    """Every part of a load, nothing and all of it too."""
    return (part for n in range(len(load) + 1) for part in combinations(load, n))


def less(load: Load, state: Load) -> Load:
    """What is in one and not in the other."""
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
        minutes = _minutes(day, out + entry.stuck, 1)
        if minutes is not None:
            yield Source(number, state, ALWAYS if entry.since is None else entry.since + minutes, out + entry.stuck,
                         len(entry.vehicles))


def _strips(day: Day, number: int, entry: Entry) -> Iterator[Strip]:
    """What others may use of vehicles that stay; of those that have much aboard, one piece or all of it."""
    load = tuple(sorted((*entry.load, *(piece for piece, _ in entry.later))))
    parts = parts_of(load) if len(load) <= MOST_BESIDE else [*((piece,) for piece in load), load]
    for out in parts:
        minutes = _minutes(day, out, 1)
        if out and minutes is not None:
            yield Strip(number, ALWAYS if entry.since is None else entry.since + minutes, out, len(entry.vehicles))
