"""What the rules of the whole trip change: seatings that fit row by row, and are turned down or left in doubt."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from functools import reduce
from typing import TYPE_CHECKING

from .combine import every
from .ranking import OPEN, SURE, weighed
from .rowplans import CONTESTED, TOO_TIGHT, UNSURE, RowAssignment

if TYPE_CHECKING:
    from .solve import Solve


#: (rider, position, restraint) of everybody: all that these rules look at
_Ridden = tuple[tuple[int, int, int | None], ...]


def _levels() -> list[int]:
    return [0] * (CONTESTED + 1)


@dataclass(slots=True)
class Whole:
    """``blocked`` counts by level the seatings that are turned down, ``doubted`` those that become unmeasured;
    ``squares`` says by (rider, position) and level how the counts of the grid change; ``owed`` is what
    these rules add at least to the cost of every seating that they let pass, as far as that is known; none of these
    counts as surer than ``least``."""

    blocked: list[int] = field(default_factory=_levels)
    doubted: list[int] = field(default_factory=_levels)
    squares: dict[tuple[int, int], list[int]] = field(default_factory=dict)
    owed: int = 0
    least: int = SURE


def judge_whole(solve: Solve) -> Whole:
    """Ask the rules of the whole trip about every seating that fits; no seating is walked over without need.

    These rules look at riders, positions and restraints only, so seatings that differ in nothing else share one
    answer.
    """
    whole = Whole()
    if not may_matter(solve):
        return whole
    fitting = [[plan for plan in plans if plan.level < TOO_TIGHT] for plans in solve.rows]
    asked = _Asked(solve)
    for plans in every(fitting, solve.everybody, solve.resources.shared):
        level = solve.lanes.level(reduce(solve.lanes.join, (plan.way for plan in plans)))
        if level >= TOO_TIGHT:
            continue
        held = tuple(_held(plans))
        blocked, doubted = asked.answers.get(held) or asked.about(held, plans)
        if blocked:
            whole.blocked[level] += 1
        elif doubted and level < UNSURE:
            whole.doubted[level] += 1
        else:
            continue
        for rider, position, _ in held:
            seat = rider, position
            change = whole.squares.setdefault(seat, _levels())
            change[level] -= 1
            change[UNSURE] += not blocked
    if asked.passed:
        whole.least = OPEN if all(doubts for doubts, _ in asked.passed) else SURE
        whole.owed = min(cautions for _, cautions in asked.passed)
    return whole


class _Asked:
    """Answers of the rules of the whole trip, (blocked, doubted), each asked for once; and of those that let a
    seating pass, whether in doubt, and the cost of what they find."""

    def __init__(self, solve: Solve) -> None:
        self._solve = solve
        self.answers: dict[_Ridden, tuple[bool, bool]] = {}
        self.passed: list[tuple[bool, int]] = []

    def about(self, held: _Ridden, plans: Sequence[RowAssignment]) -> tuple[bool, bool]:
        """Ask for the first time."""
        findings = self._solve.trip_findings(self._solve.seated(plans))
        doubted = any(f.outcome == "unmeasured" for f in findings)
        blocked = self._solve.blocks(findings)
        if not blocked:
            self.passed.append((doubted, weighed(findings)))
        self.answers[held] = blocked, doubted
        return blocked, doubted


def _held(plans: Iterable[RowAssignment]) -> Iterable[tuple[int, int, int | None]]:
    return ((choice.rider, choice.position, choice.restraint) for plan in plans for choice in plan.choices)


def may_matter(solve: Solve) -> bool:
    """Whether a rule of the whole trip can turn a seating down or leave it in doubt: a must, or the one number that
    such a rule can lack, an age."""
    return solve.runner.trip_rules_bite() or any(
        solve.world.age_months(rider) is None for rider in solve.trip.riders if not rider.adult)
