"""Every valid seating, without ranking: riders one after another, on bitmasks.

A choice is a number; ``beside[i]`` is the bitmask of the choices that i can share the car with. What three in one row
rule out although each pair of them may is kept by pair: ``not_with[i][j]`` is the bitmask of the choices that may not
join i and j.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from itertools import combinations
from typing import TYPE_CHECKING

from seatplan.rules.subjects import Seated

from .placements import Assignment
from .rowplans import TOO_TIGHT
from .whole import may_matter

if TYPE_CHECKING:
    from .solve import Solve

Chosen = tuple[int, ...]
#: the choices that may still join, as a bitmask, and those that are made
_Partial = tuple[int, Chosen]


def seatings(domains: Sequence[Sequence[int]], beside: Sequence[int],
             not_with: Mapping[int, Mapping[int, int]]) -> Iterator[Chosen]:
    """One choice of each domain, all of them pairwise beside each other and no forbidden three among them.

    Level by level up to the last rider, whose choices are handed out as they come.
    """
    if not domains:
        return
    everything = -1
    partial: list[_Partial] = [(everything, ())]
    for domain in domains[:-1]:
        plain = [i for i in domain if i not in not_with]
        grown = [(live & beside[i], (*chosen, i)) for live, chosen in partial for i in plain if live >> i & 1]
        for i in domain:
            if i in not_with:
                grown.extend(_grown_with(i, partial, beside[i], not_with[i]))
        partial = grown
    last = domains[-1]
    for live, chosen in partial:
        for i in last:
            if live >> i & 1:
                yield (*chosen, i)


def _grown_with(i: int, partial: Iterable[_Partial], beside: int, apart: Mapping[int, int]) -> list[_Partial]:
    """Partial seatings with a choice more that is part of some forbidden three."""
    grown = []
    for live, chosen in partial:
        if live >> i & 1:
            rest = live & beside
            for j in chosen:
                if j in apart:
                    rest &= ~apart[j]
            grown.append((rest, (*chosen, i)))
    return grown


def forbidden_threes(threes: Iterable[tuple[int, int, int]]) -> dict[int, dict[int, int]]:
    """Index forbidden threes by each pair of them."""
    index: dict[int, dict[int, int]] = {}
    for three in threes:
        for i in three:
            for j in three:
                if i != j:
                    k = sum(three) - i - j
                    own = index.setdefault(i, {})
                    own[j] = own.get(j, 0) | 1 << k
    return index


def every_seating(solve: Solve) -> Iterator[tuple[Assignment, ...]]:
    """Every valid seating of a solve as one choice a rider, in no stated order of merit."""
    choices: list[Assignment] = []
    number: dict[Assignment, int] = {}
    fitting: list[set[tuple[int, ...]]] = []
    for plans in solve.rows:
        fits = [plan for plan in plans if plan.level < TOO_TIGHT]
        for plan in fits:
            if len(plan.choices) == 1:
                number[plan.choices[0]] = len(choices)
                choices.append(plan.choices[0])
        fitting.append({tuple(sorted(number[c] for c in plan.choices)) for plan in fits})
    beside, not_with = _tables(solve, choices, number, fitting)
    domains = [[i for i, c in enumerate(choices) if c.rider == r] for r in range(len(solve.trip.riders))]
    asked, lengthwise = may_matter(solve), _ways(solve)
    bias, guard = solve.resources.shared
    uses = [solve.resources.of(choice) for choice in choices] if not solve.resources.by_pairs else None
    for chosen in seatings(domains, beside, not_with):
        if uses is not None and (sum([uses[i] for i in chosen], bias)) & guard:
            continue
        seating = tuple(choices[i] for i in chosen)
        if lengthwise is not None and not _fits_lengthwise(solve, lengthwise, seating):
            continue
        if not asked or not solve.blocks(solve.trip_findings(_seated(seating))):
            yield seating


#: by row, the way of each set of choices: what it asks and takes along the car
Ways = list[dict[frozenset[Assignment], int]]


def _ways(solve: Solve) -> Ways | None:
    """The ways of all that fits; None where nobody asks anything of a seat ahead, so that no car is too short."""
    fitting = [[plan for plan in plans if plan.level < TOO_TIGHT] for plans in solve.rows]
    if not any(solve.lanes.asks(way) for way in {plan.way for plans in fitting for plan in plans}):
        return None
    return [{frozenset(plan.choices): plan.way for plan in plans} for plans in fitting]


def _fits_lengthwise(solve: Solve, ways: Ways, seating: Sequence[Assignment]) -> bool:
    lanes, whole = solve.lanes, solve.lanes.nothing
    by_row: dict[int, list[Assignment]] = {}
    for choice in seating:
        by_row.setdefault(solve.row_at[choice.position], []).append(choice)
    for row, chosen in by_row.items():
        whole = lanes.join(whole, ways[row][frozenset(chosen)])
    return lanes.level(whole) < TOO_TIGHT


def _tables(solve: Solve, choices: Sequence[Assignment], number: Mapping[Assignment, int],
            fitting: Sequence[set[tuple[int, ...]]]) -> tuple[list[int], dict[int, dict[int, int]]]:
    row_at = solve.row_at
    beside = [0] * len(choices)
    for i, j in combinations(range(len(choices)), 2):
        a, b = choices[i], choices[j]
        same = a.rider == b.rider or a.position == b.position or solve.resources.clash(a, b)
        row = row_at[a.position]
        if not same and (row != row_at[b.position] or (i, j) in fitting[row]):
            beside[i] |= 1 << j
            beside[j] |= 1 << i
    threes = (
        three for row, fits in enumerate(fitting)
        for three in combinations([i for i, c in enumerate(choices) if row_at[c.position] == row], 3)
        if three not in fits and all(beside[i] >> j & 1 for i, j in combinations(three, 2)))
    return beside, forbidden_threes(threes)


def _seated(seating: Sequence[Assignment]) -> Seated:
    return Seated(tuple(c.cells[0].placement for c in sorted(seating, key=lambda c: c.position)))
