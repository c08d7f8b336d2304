"""Rider by position: in how many valid seatings a rider sits there, and how sure the best of them is."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from .budget import Work
from .combine import count_plans, rest_of
from .lanes import Lanes
from .resources import Shared
from .rowplans import CONTESTED, TOO_TIGHT, Level, RowAssignment


@dataclass(frozen=True, slots=True)
class Square:
    """``seatings`` valid seatings have the rider there; ``level`` is the best level among them, None without any.

    ``allowed`` says that the rider could sit there if nobody else were in the way.
    """

    seatings: int
    level: Level | None
    allowed: bool


def grid(rows: Sequence[Sequence[RowAssignment]], lanes: Lanes, shared: Shared, riders: int, positions: int,
         allowed: set[tuple[int, int]],
         changes: Mapping[tuple[int, int], Sequence[int]], work: Work | None = None) -> dict[tuple[int, int], Square]:
    """One square for every (rider, position), by the indexes of the trip and the vehicle. ``changes`` is what the
    rules of the whole trip add to each level, or take away. Raises TooMuch where ``work`` comes to an end."""
    everybody, (bias, guard) = (1 << riders) - 1, shared
    counts = [count_plans(plan for plan in plans if plan.level < TOO_TIGHT) for plans in rows]
    tallied = {(r, p): [0] * (CONTESTED + 1) for r in range(riders) for p in range(positions)}
    wanted = {everybody & ~riders for row in counts for riders in row}
    rest = rest_of(counts, lanes.nothing, lanes.join, shared, wanted.__contains__, work)
    for plans, others in zip(rows, rest, strict=True):
        grouped: dict[tuple[int, int, int], dict[tuple[int, int], int]] = {}
        for plan in plans:
            if plan.level < TOO_TIGHT:
                seats = grouped.setdefault((plan.riders, plan.resources, plan.way), {})
                for choice in plan.choices:
                    key = (choice.rider, choice.position)
                    seats[key] = seats.get(key, 0) + 1
        for (who, uses, way), seats in grouped.items():
            if not seats:
                continue
            levels = [0] * (CONTESTED + 1)
            for (used, other), m in others.get(everybody & ~who, {}).items():
                if not (used + uses + bias) & guard:
                    levels[lanes.level(lanes.join(way, other))] += m
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
