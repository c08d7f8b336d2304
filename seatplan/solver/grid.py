"""Rider by position: in how many valid seatings a rider sits there, and how sure the best of them is."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from seatplan.frozen import frozen

from .budget import Work
from .combine import count_plans, rest_of
from .lanes import Lanes
from .resources import Shared
from .rowplans import CONTESTED, TOO_TIGHT, Level, RowAssignment

#: (rider, position), by the indexes of the trip and the vehicle
Seat = tuple[int, int]


@frozen
class Square:
    """``seatings`` valid seatings have the rider there; ``level`` is the best level among them, None without any.

    ``allowed`` says that the rider could sit there if nobody else were in the way.
    """

    seatings: int
    level: Level | None
    allowed: bool


def grid(rows: Sequence[Sequence[RowAssignment]], lanes: Lanes, shared: Shared, riders: int, positions: int,
         allowed: set[Seat], changes: Mapping[Seat, Sequence[int]], work: Work | None = None) -> dict[Seat, Square]:
    """One square for every (rider, position), by the indexes of the trip and the vehicle. ``changes`` is what the
    rules of the whole trip add to each level, or take away. Raises TooMuch where ``work`` comes to an end."""
    everybody = (1 << riders) - 1
    counts = [count_plans(plan for plan in plans if plan.level < TOO_TIGHT) for plans in rows]
    tallied = {(r, p): [0] * (CONTESTED + 1) for r in range(riders) for p in range(positions)}
    wanted = {everybody & ~riders for row in counts for riders in row}
    rest = rest_of(counts, lanes.nothing, lanes.join, shared, wanted.__contains__, work)
    for plans, others in zip(rows, rest, strict=True):
        for (who, uses, way), seats in _seats_of(plans).items():
            levels = _levels_with(uses, way, others.get(everybody & ~who, {}), lanes, shared)
            for key, n in seats.items():
                into = tallied[key]
                for level, m in enumerate(levels):
                    into[level] += n * m
    for key, change in changes.items():
        tallied[key] = [n + more for n, more in zip(tallied[key], change, strict=True)]
    return {
        key: Square(sum(counted[:TOO_TIGHT]),
                    next((level for level in Level if counted[level] and level < TOO_TIGHT), None), key in allowed)
        for key, counted in tallied.items()
    }


def _seats_of(plans: Iterable[RowAssignment]) -> dict[tuple[int, int, int], dict[Seat, int]]:
    """By riders, resources and way of the plans of one row that seat somebody: how many of them have whom where."""
    grouped: dict[tuple[int, int, int], dict[Seat, int]] = {}
    for plan in plans:
        if plan.level < TOO_TIGHT and plan.choices:
            seats = grouped.setdefault((plan.riders, plan.resources, plan.way), {})
            for choice in plan.choices:
                seat = choice.rider, choice.position
                seats[seat] = seats.get(seat, 0) + 1
    return grouped


def _levels_with(uses: int, way: int, others: Mapping[tuple[int, int], int], lanes: Lanes,
                 shared: Shared) -> list[int]:
    """By level, how many plans of the other rows, counted by resources and way, can stand beside one of this row."""
    bias, guard = shared
    levels = [0] * (CONTESTED + 1)
    for (used, other), n in others.items():
        if not (used + uses + bias) & guard:
            levels[lanes.level(lanes.join(way, other))] += n
    return levels
