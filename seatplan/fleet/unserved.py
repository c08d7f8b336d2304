"""Why a booking is unserved in a plan, and what would have served it, solved again where that is cheap.

The plan is kept as it is, booking by booking; then one vehicle more, or copies more, at a depot are tried until the
booking can be served beside all others.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterator, Mapping, Sequence
from typing import TYPE_CHECKING

from .floor import pieces
from .flow import ALWAYS, Entry, Node, Wide, kinds_in, net_of, nodes_of
from .optimum import Question, best
from .records import Kit, Unserved, Why
from .routes import Routes

if TYPE_CHECKING:
    from .planning import Work

#: so many bookings of a plan at most, for it to be solved again for each that is unserved, and so many times at most
CHEAP, MOST_TRIES = 80, 60
#: deterministic time for one try
_TRY_LIMIT = 2.0


def reasons(work: Work, routes: Routes) -> dict[int, Unserved]:
    """By booking that is not in the plan, why. ``Unserved.verified`` says whether what would serve it was tried."""
    steps = [step.node for route in routes.of.values() for step in route.steps]
    served = {node.booking for node in steps}
    tries = MOST_TRIES if len(steps) <= CHEAP else 0
    told: dict[int, Unserved] = {}
    for number, floor in enumerate(work.floors):
        if number in served:
            continue
        if floor.why is not None:
            told[number] = floor.why
            continue
        told[number], used = _on_the_day(work, steps, number, tries)
        tries -= used
    return told


def _on_the_day(work: Work, steps: Sequence[Node], number: int, tries: int) -> tuple[Unserved, int]:
    """Why a booking that something could carry is not carried; and how many times it was tried."""
    there = list(nodes_of(work.day, work.groups, work.entries, work.choices, [number]))
    if not there:
        return _nowhere(work, number), 0
    able = [node for node in there if _reached(work, node)]
    if not able:
        return Unserved("out of reach"), 0
    used = 0
    for why, answer, stock, entries in _helps(work, steps, able):
        if used == tries:
            break
        used += 1
        if _serves(work, steps, able, stock, entries):
            return answer._replace(why=why, verified=True), used
    group = work.groups[able[0].group]
    return Unserved("no vehicle free", vehicle_type=group.vehicle_type, depot=group.depot), used


def _nowhere(work: Work, number: int) -> Unserved:
    """No depot has vehicles and copies for it: the least that is missing at one."""
    found: list[tuple[int, str, str, Kit]] = []
    for group in work.groups:
        for choice in work.choices[number].get(group.vehicle_type, ()):
            short = tuple(sorted((kind, n - len(work.stock.get((group.depot, kind), ())))
                                 for kind, n in kinds_in(pieces(choice.way)).items()
                                 if n > len(work.stock.get((group.depot, kind), ()))))
            if short and group.keeps is None:
                found.append((sum(n for _, n in short), group.depot, group.vehicle_type, short))
    if not found:
        able = next((unit for unit in work.day.vehicles if work.choices[number].get(unit.vehicle_type)), None)
        return Unserved("no type") if able is None else Unserved(
            "nobody installs", vehicle_type=able.vehicle_type, depot=able.depot)
    _, depot, kind, short = min(found)
    return Unserved("no usable copies", vehicle_type=kind, depot=depot, copies=short)


def _reached(work: Work, node: Node) -> bool:
    """Whether a vehicle that has nothing else to do could be there in time, and back."""
    net = net_of(work.day, work.groups, [entry for entry in work.entries if entry.group == node.group], [node])
    come = {arc.state for arc in net.source
            if any(arc.at <= leave.at for leave in net.leave if leave.state == arc.state)}
    return bool(net.enter) and any(leave.state in come for leave in net.leave)


_Stock = Mapping[tuple[str, str], Sequence[int]]


def _helps(work: Work, steps: Sequence[Node],
           able: Sequence[Node]) -> Iterator[tuple[Why, Unserved, _Stock, list[Entry]]]:
    """What might serve a booking beside all others, the least first: copies at a depot, then a vehicle, then both."""
    more: dict[tuple[str, Kit], None] = {}
    groups: dict[int, None] = {}
    for node in able:
        kit = tuple(sorted(kinds_in(node.load).items()))
        if kit:
            more[work.groups[node.group].depot, kit] = None
        groups[node.group] = None
    for depot, kit in more:
        yield "no copy free", Unserved("no copy free", depot=depot, copies=kit), _with(work, depot, kit), work.entries
    for at in groups:
        group = work.groups[at]
        entries = [*work.entries, Entry(at, (), (), None, (len(work.day.vehicles),))]
        answer = Unserved("no vehicle free", vehicle_type=group.vehicle_type, depot=group.depot)
        yield "no vehicle free", answer, work.stock, entries
        for depot, kit in more:
            if depot == group.depot:
                yield "no vehicle free", answer._replace(copies=kit), _with(work, depot, kit), entries


def _with(work: Work, depot: str, kit: Kit) -> _Stock:
    stock = defaultdict(list, {key: list(times) for key, times in work.stock.items()})
    for kind, n in kit:
        stock[depot, kind] = sorted([*stock[depot, kind], *[ALWAYS] * n])
    return dict(stock)


def _serves(work: Work, steps: Sequence[Node], able: Sequence[Node], stock: _Stock, entries: list[Entry]) -> bool:
    """Whether all that the plan serves as it does and this booking can be served."""
    net = net_of(work.day, work.groups, entries, [*steps, *able], Wide(None, False))
    vehicles = Counter(work.groups[entry.group].depot for entry in entries for _ in entry.vehicles)
    flow = best(Question(net, stock, vehicles, {}), _TRY_LIMIT, goals=1)
    return -flow.values[0] > len(steps)
