"""A trip that is too large to look at every seating of: fewer restraints for each rider, and the best few seatings.

First each rider keeps a few restraints, chosen so that everybody can have a different one: a cheapest matching of
riders and restraints is taken, and taken out, several times over (Edmonds 1965, "Paths, trees, and flowers", by
networkx). Then rows are put together front to back, and of the part seatings with the same number of riders only the
cheapest go on: a beam search (Lowerre 1976, "The HARPY speech recognition system"). What is found is an arrangement
like any other; what is not found may be there all the same.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from itertools import islice
from typing import NamedTuple

from .budget import TooMuch, Work
from .placements import Assignment, JudgedPlacement
from .resources import Resources, Shared
from .rowplans import TOO_TIGHT, RowAssignment

#: a rider keeps at most so many restraints
MOST_RESTRAINTS = 4
#: of the plans that seat the same riders of a row, so many with different resources go on
RESTRAINTS_A_ROW = 8
#: so many part seatings of each number of riders go on to the next row; of them so many with the same riders
WIDTH, ALIKE = 400, 4
#: so many whole seatings are looked at for ones that nothing turns down
LOOKED_AT = 4_000

#: the choices of every position of a row
Seats = Sequence[Sequence[Assignment]]


def plans_of(rows: Sequence[Seats], resources: Resources, most: int) -> int:
    """How many plans rows have together; more than ``most`` is told as ``most`` + 1."""
    n, (bias, guard) = 0, resources.shared

    def extend(seats: Sequence[Sequence[tuple[int, int]]], at: int, riders: int, used: int) -> None:
        nonlocal n
        n += 1
        if n > most:
            raise TooMuch
        for i in range(at, len(seats)):
            for rider, uses in seats[i]:
                if not riders & rider and not (used + uses) & guard:
                    extend(seats, i + 1, riders | rider, used + uses)

    try:
        for row in rows:
            extend([[(1 << c.rider, resources.of(c)) for c in seat] for seat in row], 0, 0, bias)
    except TooMuch:
        return most + 1
    return n


def fewer_restraints(rows: Sequence[Seats], resources: Resources, copies: Callable[[int], Sequence[int]],
                     cost_of: Callable[[JudgedPlacement], int], most: int) -> list[list[list[Assignment]]]:
    """The choices of every row with as many restraints a rider as ``most`` plans allow, and one at least;
    ``copies`` of one are so many."""
    rounds = _rounds([choice for row in rows for seat in row for choice in seat], copies, cost_of)
    fewer: list[list[list[Assignment]]] = []
    for n in range(len(rounds), 0, -1):
        kept = set().union(*rounds[:n])
        fewer = [[[c for c in seat if c.restraint is None or (c.rider, c.restraint) in kept] for seat in row]
                 for row in rows]
        if plans_of(fewer, resources, most) <= most:
            break
    return fewer or [[list(seat) for seat in row] for row in rows]


def _rounds(choices: Sequence[Assignment], copies: Callable[[int], Sequence[int]],
            cost_of: Callable[[JudgedPlacement], int]) -> list[set[tuple[int, int]]]:
    """Pairs of a rider and a restraint, cheapest first: in a round everybody has another one, as far as that goes."""
    import networkx as nx

    cheapest: dict[tuple[int, int], int] = {}
    for choice in choices:
        if choice.restraint is not None:
            pair = choice.rider, choice.restraint
            cost = min(map(cost_of, choice.cells))
            cheapest[pair] = min(cost, cheapest.get(pair, cost))
    order = {cost: n for n, cost in enumerate(sorted(set(cheapest.values()), reverse=True))}
    left = dict(sorted(cheapest.items()))
    rounds: list[set[tuple[int, int]]] = []
    while left and len(rounds) < MOST_RESTRAINTS:
        graph = nx.Graph()
        graph.add_weighted_edges_from(
            (("rider", r), ("restraint", copy), 1 + order[cost]) for (r, s), cost in left.items() for copy in copies(s))
        taken = set()
        for one, other in nx.max_weight_matching(graph, maxcardinality=True):
            (_, copy), (_, r) = sorted((one, other))
            taken.add((r, copies(copy)[0]))
        rounds.append(taken)
        left = {pair: cost for pair, cost in left.items() if pair not in taken}
    return rounds


def best_few(rows: Sequence[Sequence[RowAssignment]], everybody: int, shared: Shared, may: Callable[[RowAssignment],
                                                                                                    bool],
             good: Callable[[Sequence[RowAssignment]], bool], most: int, work: Work) -> list[tuple[RowAssignment, ...]]:
    """Up to ``most`` whole seatings that are ``good``, one plan a row, of the cheapest that a beam finds; fewer where
    ``work`` ends first. ``may`` says of a plan by itself whether it can be part of one."""
    grouped, (bias, guard) = [_grouped(row, may) for row in rows], shared
    room = [max(plan.riders.bit_count() for plan in row) for row in grouped]
    seen = [0] * (len(rows) + 1)                 # who can still be seated from a row on
    for i in range(len(rows) - 1, -1, -1):
        seen[i] = seen[i + 1]
        for plan in grouped[i]:
            seen[i] |= plan.riders
    beam: list[_Part] = [_Part(0, 0, 0, ())]
    for i, row in enumerate(grouped):
        later, must = sum(room[i + 1:]), everybody & ~seen[i + 1]
        grown: list[_Part] = []
        try:
            for part in beam:
                work.spend(len(row))
                for plan in row:
                    who = part.riders | plan.riders
                    used = part.resources + plan.resources
                    if not (plan.riders & part.riders or (used + bias) & guard or must & ~who
                            or (everybody & ~who).bit_count() > later):
                        grown.append(_Part(part.cost + plan.cost, who, used, (*part.plans, plan)))
        except TooMuch:
            pass                                 # those that were reached go on
        grown.sort(key=lambda part: part.cost)
        beam = _going_on(grown) if i < len(grouped) - 1 else grown[:LOOKED_AT]
    return list(islice((part.plans for part in beam if good(part.plans)), most))


def _grouped(row: Sequence[RowAssignment], may: Callable[[RowAssignment], bool]) -> list[RowAssignment]:
    """The cheapest plans of a row: one for the same riders and resources, and few for the same riders."""
    best: dict[int, dict[int, RowAssignment]] = {}
    for plan in row:
        if plan.level >= TOO_TIGHT or not may(plan):
            continue
        own = best.setdefault(plan.riders, {})
        known = own.get(plan.resources)
        if known is None or plan.cost < known.cost:
            own[plan.resources] = plan
    return [plan for own in best.values()
            for plan in sorted(own.values(), key=lambda plan: plan.cost)[:RESTRAINTS_A_ROW]]


class _Part(NamedTuple):
    """Some rows put together."""

    cost: int
    riders: int
    resources: int
    plans: tuple[RowAssignment, ...]


def _going_on(parts: Sequence[_Part]) -> list[_Part]:
    """Of parts in order of cost those that go on to the next row."""
    alike: dict[int, int] = {}
    seated: dict[int, int] = {}
    same: set[tuple[int, int]] = set()
    kept = []
    for part in parts:
        n, held = part.riders.bit_count(), (part.riders, part.resources)
        if held not in same and seated.get(n, 0) < WIDTH and alike.get(part.riders, 0) < ALIKE:
            seated[n], alike[part.riders] = seated.get(n, 0) + 1, alike.get(part.riders, 0) + 1
            same.add(held)
            kept.append(part)
    return kept
