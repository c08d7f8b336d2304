"""A large day, split by depot and time: parts that are each solved exactly, one after the other.

Each booking is first given to one depot, the nearest that has vehicles for it to spare. Each depot then goes along the
day: the next bookings are solved together with some that follow, and only what begins before those is kept. Vehicles
under way come into the next part with what they carry, and copies that are away stay away. What is left over is offered
to the other depots, whose day is then made again, and kept where it serves more. How far from the best all that can be
is said by ``bound.py``.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from .bound import Carries, most_served
from .capacity import Able, most_at_once
from .floor import pieces
from .flow import BEFORE, Direct, Enter, Event, Leave, Net, Node, Source, Wide, kinds_in, net_of, nodes_of
from .optimum import Flow, Question, best
from .records import Load
from .routes import Routes, routes_of

if TYPE_CHECKING:
    from .planning import Work

#: bookings of a part that are kept, and bookings after them that are looked at
KEPT, AHEAD = 14, 10
#: direct successors of a booking that are looked at
SUCCESSORS = 8
#: deterministic time for one part
PART_LIMIT = 2.0


@dataclass(slots=True)
class _Made:
    """What a depot does so far. ``last``: of vehicles under way, the node that they are at, and how each could come
    home and in which state; ``used``: vehicles of each entry that have left; ``events``: copies taken and free
    again."""

    nodes: list[Node] = field(default_factory=list)
    direct: list[tuple[Node, Node, int]] = field(default_factory=list)
    by_depot: list[tuple[Node | None, Load, Enter | Source, Leave, Node]] = field(default_factory=list)
    last: dict[Node, tuple[Load, Enter]] = field(default_factory=dict)
    used: Counter[int] = field(default_factory=Counter)
    events: list[Event] = field(default_factory=list)


def split(work: Work) -> tuple[Routes, int]:
    """What each vehicle does, and the number of bookings that no plan exceeds."""
    nodes = _nodes(work)
    able = _able(nodes)
    depots = sorted(work.vehicles)
    given = _given(work, able)
    made = {depot: _along(work, depot, given[depot]) for depot in depots}
    for depot in depots:
        served = {node.booking for one in made.values() for node in one.nodes}
        more = [number for number in able if number not in served
                and any(work.groups[at].depot == depot for at in able[number])]
        if more:
            again = _along(work, depot, [*(node.booking for node in made[depot].nodes), *more])
            if len(again.nodes) > len(made[depot].nodes):
                made[depot] = again
    return _routes(work, list(made.values())), _bound(work, nodes)


def most_of(work: Work) -> int:
    """No plan serves more bookings than that."""
    return _bound(work, _nodes(work))


def _nodes(work: Work) -> list[Node]:
    """Every booking in every way. What stays in beside one is all of what another way needs, and nothing else: two
    bookings that go with one load go with the pieces of both alone."""
    return nodes_of(work.day, work.groups, work.entries, work.choices, most=0)


def _able(nodes: Iterable[Node]) -> dict[int, dict[int, set[Load]]]:
    """By booking, the groups that could carry it with the copies of their depot, and the loads of each."""
    found: defaultdict[int, dict[int, set[Load]]] = defaultdict(dict)
    for node in nodes:
        found[node.booking].setdefault(node.group, set()).add(node.load)
    return dict(found)


def _bound(work: Work, nodes: Sequence[Node]) -> int:
    """No plan serves more: by what follows what, whatever the types and the stock, and by what there is at each minute,
    whatever follows what."""
    vehicles: Counter[int] = Counter()
    for entry in work.entries:
        vehicles[entry.group] += len(entry.vehicles)
    ways = sorted({Able(node.booking, node.group, tuple(sorted(kinds_in(pieces(node.choice.way)).items())))
                   for node in nodes})
    return min(most_served(work.day, work.groups, vehicles.total(), _able(nodes)),
               most_at_once(work.day, work.groups, vehicles, work.stock, ways))


def _given(work: Work, able: Carries) -> dict[str, list[int]]:
    """By depot its bookings: each goes to the nearest depot of those that have a vehicle for it to spare at its time,
    as far as can be told by counting; where none has, to that which is least short."""
    day, given = work.day, defaultdict[str, list[int]](list)
    size = Counter(entry.group for entry in work.entries for _ in entry.vehicles)
    for number in sorted(able, key=lambda one: (day.bookings[one].start, one)):
        booking = day.bookings[number]
        choices = []
        for depot in sorted({work.groups[at].depot for at in able[number]}):
            minutes = (day.travel.get((depot, booking.origin)), day.travel.get((booking.goal, depot)))
            if None in minutes:
                continue
            there = sum(size[at] for at in able[number] if work.groups[at].depot == depot)
            busy = sum(day.bookings[one].end > booking.start for one in given[depot][-work.vehicles[depot] * 2:])
            choices.append((max(0, 10 * busy // max(1, there) - 7), sum(one or 0 for one in minutes), depot))
        if choices:
            given[min(choices)[2]].append(number)
    return given


# --- one depot along the day

def _along(work: Work, depot: str, numbers: Iterable[int]) -> _Made:
    made = _Made()
    order = sorted(set(numbers), key=lambda one: (work.day.bookings[one].start, one))
    while order:
        part = order[:KEPT + AHEAD]
        starts = [work.day.bookings[one].start for one in part]
        until = max(starts[KEPT], starts[0] + 1) if len(part) > KEPT else None
        _part(work, depot, part, until, made)
        order = [] if until is None else [one for one in order if work.day.bookings[one].start >= until]
    return made


def _part(work: Work, depot: str, numbers: Sequence[int], until: int | None, made: _Made) -> None:
    day = work.day
    entries = [entry._replace(vehicles=entry.vehicles[made.used[n]:]) for n, entry in enumerate(work.entries)]
    groups = [n for n, group in enumerate(work.groups) if group.depot == depot]
    here = [entry if entry.group in groups else entry._replace(vehicles=()) for entry in entries]
    nodes = [node for node in nodes_of(day, work.groups, here, work.choices, numbers, most=0)
             if node.group in groups and _returns(work, node)]
    first = len(nodes)
    nodes += [node._replace(vehicle=n) for n, node in enumerate(made.last)]
    net = net_of(day, work.groups, here, nodes, Wide(SUCCESSORS, False, False), made.events)
    home = {first + n: state for n, (state, _) in enumerate(made.last.values())}
    flow = best(Question(net, work.stock, work.vehicles, {}, None, home), PART_LIMIT, weighed=True)
    _keep(net, flow, until, made)


def _returns(work: Work, node: Node) -> bool:
    """Whether a vehicle may end its day with a booking."""
    group = work.groups[node.group]
    back = work.day.travel.get((node.goal, group.depot))
    return back is not None and (group.until is None or node.end + back <= group.until)


def _keep(net: Net, flow: Flow, until: int | None, made: _Made) -> None:
    """What begins before a minute is kept, and how it came about; the rest is decided again."""
    plain = [node._replace(vehicle=None) for node in net.nodes]

    def kept(number: int) -> bool:
        return until is None or plain[number].start < until

    new = [n for n in sorted(flow.nodes) if net.nodes[n].vehicle is None and kept(n)]
    left = {n: (plain[n].load, way) for n, way in _homes(net).items()
            if n in set(new) or net.nodes[n].vehicle is not None}
    made.nodes += [plain[n] for n in new]
    for arc in (net.direct[n] for n in sorted(flow.direct)):
        if kept(arc.head):
            made.direct.append((plain[arc.tail], plain[arc.head], arc.empty))
            del left[arc.tail]
    for enter in (net.enter[n] for n in sorted(flow.enter)):
        if enter.tail in left:
            left[enter.tail] = net.states[enter.state][1], enter
    for come, leave in _pairs(net, flow):
        if not kept(leave.head):
            continue
        tail = None if isinstance(come, Source) else plain[come.tail]
        if isinstance(come, Source):
            made.used[come.entry] += 1
        else:
            del left[come.tail]
        made.by_depot.append((tail, net.states[leave.state][1], come, leave, plain[leave.head]))
        made.events += _events(net, come, leave)
    made.last = {plain[n]: told for n, told in sorted(left.items(), key=lambda one: one[0])}


def _homes(net: Net) -> dict[int, Enter]:
    """By node, how it comes home with all that it has."""
    return {enter.tail: enter for enter in net.enter if not enter.out}


def _pairs(net: Net, flow: Flow) -> Iterable[tuple[Enter | Source, Leave]]:
    """Who leaves a state and how it came there: the first to come leaves first."""
    come: defaultdict[int, list[tuple[int, int, Enter | Source]]] = defaultdict(list)
    for n, taken in enumerate(flow.source):
        for _ in range(taken):
            come[net.source[n].state].append((net.source[n].at, -1, net.source[n]))
    for n in sorted(flow.enter):
        come[net.enter[n].state].append((net.enter[n].at, n, net.enter[n]))
    for waiting in come.values():
        waiting.sort(key=lambda one: one[:2], reverse=True)
    for n in sorted(flow.leave, key=lambda one: (net.leave[one].at, one)):
        yield come[net.leave[n].state].pop()[2], net.leave[n]


def _events(net: Net, come: Enter | Source, leave: Leave) -> Iterable[Event]:
    depot = net.groups[net.nodes[leave.head].group].depot
    if isinstance(come, Source):
        kept = kinds_in(net.states[come.state][1])
        yield from (Event(BEFORE, depot, kind, n) for kind, n in sorted(kept.items()))
        if net.entries[come.entry].since is not None:
            out = kinds_in(piece for piece in come.out if piece in net.entries[come.entry].load)
            yield from (Event(BEFORE, depot, kind, n) for kind, n in sorted(out.items()))
            yield from (Event(come.at, depot, kind, -n) for kind, n in sorted(out.items()))
    else:
        yield from (Event(come.at, depot, kind, -n) for kind, n in sorted(kinds_in(come.out).items()))
    yield from (Event(leave.at, depot, kind, n) for kind, n in sorted(kinds_in(leave.put).items()))


# --- all of it as one flow

def _routes(work: Work, parts: Sequence[_Made]) -> Routes:
    """What the parts came to, as one net of which all is done."""
    nodes = [node for made in parts for node in made.nodes]
    at = {node.booking: n for n, node in enumerate(nodes)}
    net = net_of(work.day, work.groups, work.entries, nodes, Wide(0, False, False))
    state = {told: n for n, told in enumerate(net.states)}
    net.direct, net.enter, net.leave, net.source = [], [], [], []
    taken: Counter[Source] = Counter()
    for made in parts:
        _joined(work, net, made, at, state, taken)
    sources = sorted(taken)
    net.source = sources
    return routes_of(work.day, net, Flow(
        frozenset(range(len(nodes))), frozenset(range(len(net.direct))), frozenset(range(len(net.enter))),
        frozenset(range(len(net.leave))), tuple(taken[source] for source in sources), (), 0, False))


def _joined(work: Work, net: Net, made: _Made, at: dict[int, int], state: dict[tuple[int, Load], int],
            taken: Counter[Source]) -> None:
    def number(group: int, load: Load) -> int:
        """States of a part that the whole does not have are added."""
        if (group, load) not in state:
            state[group, load] = len(net.states)
            net.states.append((group, load))
        return state[group, load]

    net.direct += [Direct(at[tail.booking], at[head.booking], empty) for tail, head, empty in made.direct]
    for tail, load, come, leave, head in made.by_depot:
        there = number(head.group, load)
        net.leave.append(leave._replace(state=there, head=at[head.booking]))
        if isinstance(come, Source):
            since = work.entries[come.entry].since
            taken[come._replace(state=there, at=net.begin if since is None else come.at, most=0)] += 1
        elif tail is not None:
            net.enter.append(come._replace(state=there, tail=at[tail.booking]))
    for node, (load, enter) in made.last.items():
        net.enter.append(enter._replace(state=number(node.group, load), tail=at[node.booking]))
