"""Put row plans together: exact counts, and whole seatings best first.

Rows share nothing but riders and what ``resources`` counts, so plans of different rows combine exactly when nobody
rides twice and they use no more together than there is; a whole seating is one plan a row whose riders are everybody.
"""

from __future__ import annotations

import heapq
from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from itertools import combinations
from typing import Protocol, TypeVar

from .budget import KEY, Work
from .resources import Shared
from .rowplans import CONTESTED, Level, RowAssignment

#: riders -> (resources, way) -> how many plans
Counts = dict[int, dict[tuple[int, int], int]]
#: the way of two plans of different rows together
Joiner = Callable[[int, int], int]


def count_plans(plans: Iterable[RowAssignment]) -> Counts:
    """Group the plans of one row by riders, resources and way."""
    counts: Counts = {}
    for plan in plans:
        grouped = counts.setdefault(plan.riders, {})
        key = plan.resources, plan.way
        grouped[key] = grouped.get(key, 0) + 1
    return counts


def join(one: Counts, other: Counts, joiner: Joiner, shared: Shared,
         wanted: Callable[[int], bool] = lambda riders: True, work: Work | None = None) -> Counts:
    """Count the pairs of plans that can stand together and whose riders are ``wanted``. Raises TooMuch where ``work``
    comes to an end."""
    joined: Counts = {}
    for riders_a, plans_a in one.items():
        for riders_b, plans_b in other.items():
            if riders_a & riders_b or not wanted(riders_a | riders_b):
                continue
            if work is not None:
                work.spend(len(plans_a) * len(plans_b))
            into = joined.setdefault(riders_a | riders_b, {})
            before = len(into)
            _pair_up(plans_a, plans_b, joiner, shared, into)
            if work is not None:
                work.spend(KEY * (len(into) - before))
    return joined


def _pair_up(plans_a: Mapping[tuple[int, int], int], plans_b: Mapping[tuple[int, int], int], joiner: Joiner,
             shared: Shared, into: dict[tuple[int, int], int]) -> None:
    """Add the pairs of plans of two sets of riders. Plans that go one way are joined with a way once for all."""
    bias, guard = shared
    ways_b = _by_way(plans_b)
    for way_a, own_a in _by_way(plans_a).items():
        for way_b, own_b in ways_b.items():
            way, found = joiner(way_a, way_b), dict[int, int]()
            for uses_a, n in own_a:
                used = uses_a + bias
                for uses_b, m in own_b:
                    if not (used + uses_b) & guard:
                        uses = uses_a + uses_b
                        found[uses] = found.get(uses, 0) + n * m
            for uses, n in found.items():
                key = uses, way
                into[key] = into.get(key, 0) + n


def _by_way(plans: Mapping[tuple[int, int], int]) -> dict[int, list[tuple[int, int]]]:
    found: dict[int, list[tuple[int, int]]] = {}
    for (uses, way), n in plans.items():
        found.setdefault(way, []).append((uses, n))
    return found


def count_seatings(rows: Sequence[Counts], everybody: int, start: int, joiner: Joiner, shared: Shared,
                   work: Work | None = None) -> dict[int, int]:
    """How many whole seatings go each way, from the counts of all rows. ``start`` is the way of nobody. Raises TooMuch
    where ``work`` comes to an end."""
    room = [max((riders.bit_count() for riders in row), default=0) for row in rows]
    so_far: Counts = {0: {(0, start): 1}}
    for i, row in enumerate(rows):
        later = sum(room[i + 1:])
        so_far = join(so_far, row, joiner, shared, _within(everybody, later), work)
    total: dict[int, int] = {}
    for (_, way), n in so_far.get(everybody, {}).items():
        total[way] = total.get(way, 0) + n
    return total


def rest_of(rows: Sequence[Counts], start: int, joiner: Joiner, shared: Shared,
            wanted: Callable[[int], bool] = lambda riders: True,
            work: Work | None = None) -> list[Counts]:
    """For each row, the joined counts of all the other rows, of riders that are ``wanted``. Raises TooMuch where
    ``work`` comes to an end."""
    nobody: Counts = {0: {(0, start): 1}}

    def both(a: Counts, b: Counts, asked: Callable[[int], bool] = lambda riders: True) -> Counts:
        if a is nobody or b is nobody:
            return {riders: plans for riders, plans in (b if a is nobody else a).items() if asked(riders)}
        return join(a, b, joiner, shared, asked, work)

    before, after = [nobody], [nobody]
    for row in rows[:-1]:
        before.append(both(before[-1], row))
    for row in reversed(rows[1:]):
        after.append(both(after[-1], row))
    return [both(b, a, wanted) for b, a in zip(before, reversed(after), strict=True)]


def rest_is_within(rows: Sequence[Counts], units: int) -> bool:
    """Whether ``rest_of`` cannot come to the end of so many units: of three rows it joins each two at most."""
    return len(rows) <= 3 and (1 + KEY) * sum(
        len(plans_a) * len(plans_b) for one, other in combinations(rows, 2)
        for riders_a, plans_a in one.items() for riders_b, plans_b in other.items()
        if not riders_a & riders_b) <= units


def _within(everybody: int, seats: int) -> Callable[[int], bool]:
    """Whether those who are not among some riders find so many seats."""
    return lambda riders: (everybody & ~riders).bit_count() <= seats


class Part(Protocol):
    """A plan of a row as it is put together with those of other rows."""

    @property
    def riders(self) -> int: ...

    @property
    def resources(self) -> int: ...

    @property
    def level(self) -> Level: ...

    @property
    def cost(self) -> int: ...


PartOf = TypeVar("PartOf", bound=Part)


def best_first(rows: Sequence[Sequence[PartOf]], everybody: int,
               shared: Shared) -> Iterator[tuple[int, tuple[PartOf, ...]]]:
    """Whole seatings as (packed cost, one plan a row), lowest cost first; equal costs in order of the rows' plans.

    For each way to share the riders out over the rows, the plans of a row are sorted by cost, and the next best
    sums are taken from one heap. A share is told apart by resources only when its turn comes, so that no sum of plans
    that use more than there is is ever made. Contested plans are left out.
    """
    by_riders = [_by_riders(plans) for plans in rows]
    # by cost, share, and places within its lists; the numbers say which of the lists by resources are meant
    heap: list[tuple[int, int, tuple[int, ...], int, tuple[int, ...]]] = []
    shares: list[tuple[tuple[int, ...], list[list[PartOf]]]] = []
    for share in _shares(by_riders, everybody):
        lists = [by_riders[i][riders] for i, riders in enumerate(share)]
        heap.append((sum(plans[0].cost for plans in lists), len(shares), tuple(0 for _ in lists), -1, ()))
        shares.append((share, lists))
    heapq.heapify(heap)
    parted: dict[tuple[int, int], dict[int, list[int]]] = {}
    chains: list[tuple[list[int], ...]] = []
    while heap:
        total, which, at, chain, own = heapq.heappop(heap)
        share, lists = shares[which]
        if chain < 0:
            for places in _apart(share, lists, parted, shared):
                first = tuple([place[0] for place in places])
                begin = sum([plans[i].cost for plans, i in zip(lists, first, strict=True)])
                heapq.heappush(heap, (begin, which, first, len(chains), tuple(0 for _ in places)))
                chains.append(places)
            continue
        yield total, tuple([plans[i] for plans, i in zip(lists, at, strict=True)])
        for step, at_next, own_next in _steps(lists, chains[chain], at, own):
            heapq.heappush(heap, (total + step, which, at_next, chain, own_next))


def _by_riders(plans: Iterable[PartOf]) -> dict[int, list[PartOf]]:
    """The plans of a row that are not contested, by riders and lowest cost first."""
    groups: dict[int, list[PartOf]] = defaultdict(list)
    for plan in plans:
        if plan.level != CONTESTED:
            groups[plan.riders].append(plan)
    for group in groups.values():
        group.sort(key=lambda plan: plan.cost)
    return groups


def _steps(lists: Sequence[Sequence[PartOf]], places: Sequence[Sequence[int]], at: tuple[int, ...],
           own: tuple[int, ...]) -> Iterator[tuple[int, tuple[int, ...], tuple[int, ...]]]:
    """One row moved on to its next plan: what that adds to the cost, and both kinds of places then.

    Each tuple of places is reached once: only rows from the last one that moved may move on.
    """
    start = max((i for i, n in enumerate(own) if n), default=0)
    for row in range(start, len(own)):
        if own[row] + 1 < len(places[row]):
            next_at = places[row][own[row] + 1]
            step = lists[row][next_at].cost - lists[row][at[row]].cost
            yield step, (*at[:row], next_at, *at[row + 1:]), (*own[:row], own[row] + 1, *own[row + 1:])


def _apart(share: Sequence[int], lists: Sequence[list[PartOf]], parted: dict[tuple[int, int], dict[int, list[int]]],
           shared: Shared) -> Iterator[tuple[list[int], ...]]:
    """Every way to give each row resources that are there beside those of the other rows: the places of its plans with
    just those. ``parted`` keeps what was worked out for the riders of a row."""
    by_resources: list[dict[int, list[int]]] = []
    bias, guard = shared
    for row, (riders, plans) in enumerate(zip(share, lists, strict=True)):
        groups = parted.get((row, riders))
        if groups is None:
            groups = parted[row, riders] = {}
            for i, plan in enumerate(plans):
                groups.setdefault(plan.resources, []).append(i)
        by_resources.append(groups)

    def extend(row: int, used: int, chosen: tuple[list[int], ...]) -> Iterator[tuple[list[int], ...]]:
        if row == len(by_resources):
            yield chosen
            return
        for uses, places in by_resources[row].items():
            if not (used + uses + bias) & guard:
                yield from extend(row + 1, used + uses, (*chosen, places))
    yield from extend(0, 0, ())


def _shares(rows: Sequence[dict[int, list[PartOf]]], everybody: int) -> Iterator[tuple[int, ...]]:
    """Every way to give each row a set of riders, so that all ride and nobody twice."""
    def extend(i: int, left: int, share: tuple[int, ...]) -> Iterator[tuple[int, ...]]:
        if i == len(rows) - 1:
            if left in rows[i]:
                yield (*share, left)
            return
        for riders in sorted(rows[i]):
            if not riders & ~left:
                yield from extend(i + 1, left & ~riders, (*share, riders))
    yield from extend(0, everybody, ())


def count_shares(rows: Sequence[Counts], everybody: int) -> int:
    """In how many ways the riders can be shared out over the rows."""
    seated = {0: 1}
    for row in rows:
        grown: dict[int, int] = {}
        for riders, n in seated.items():
            for more in row:
                if not riders & more:
                    grown[riders | more] = grown.get(riders | more, 0) + n
        seated = grown
    return seated.get(everybody, 0)


def by_turns(old: Sequence[Sequence[PartOf]], new: Sequence[Sequence[PartOf]]) -> Iterator[list[list[PartOf]]]:
    """The rows of all seatings that have something new in some row, each seating once: by the first row that has."""
    for i, own in enumerate(new):
        if own:
            yield [*map(list, old[:i]), list(own), *([*a, *b] for a, b in zip(old[i + 1:], new[i + 1:], strict=True))]


def every(rows: Sequence[Sequence[RowAssignment]], everybody: int, shared: Shared) -> Iterator[tuple[RowAssignment,
                                                                                                     ...]]:
    """Every whole seating, one plan a row, in no stated order; the fastest way to walk over all of them."""
    last: dict[int, dict[int, list[RowAssignment]]] = {}
    bias, guard = shared
    for plan in rows[-1]:
        last.setdefault(plan.riders, {}).setdefault(plan.resources, []).append(plan)
    endings = {riders: list(plans.items()) for riders, plans in last.items()}

    def extend(i: int, left: int, used: int, chosen: tuple[RowAssignment, ...]) -> Iterator[tuple[RowAssignment, ...]]:
        if i == len(rows) - 1:
            for uses, plans in endings.get(left, ()):
                if not (used + uses + bias) & guard:
                    for plan in plans:
                        yield (*chosen, plan)
            return
        for plan in rows[i]:
            if not (plan.riders & ~left or (used + plan.resources + bias) & guard):
                yield from extend(i + 1, left & ~plan.riders, used + plan.resources, (*chosen, plan))
    yield from extend(0, everybody, 0, ())
