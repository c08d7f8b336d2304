"""Every way to fill one row: which choices sit side by side, how well they fit, what each way costs.

A row plan gives some positions of the row a choice and leaves the others empty. Rows meet only through riders
and what they share (``resources``), so the search enumerates rows one by one and ``combine`` puts them together.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field
from typing import NamedTuple, Protocol

from .placements import Cell, Choice
from .ranking import CLOSE, LIKELY, SQUEEZED, UNMEASURED, certainty, cost, room_points
from .resources import Resources

FITS, CLOSE_FIT, LIKELY_FIT, UNSURE, TOO_TIGHT, CONTESTED = range(6)
#: certainty points of one thing at a level
POINTS = {FITS: 0, CLOSE_FIT: CLOSE, LIKELY_FIT: LIKELY, UNSURE: UNMEASURED, TOO_TIGHT: SQUEEZED}
#: one point of a criterion in a packed cost
_CERTAINTY, _ROOM = cost(certainty=1), cost(room=1)
LEVELS = ("fits", "close", "likely", "unmeasured", "squeeze", "contest")


@dataclass(frozen=True, slots=True)
class Room:
    """What geometry says of some cells side by side.

    short_mm > 0: they do not fit, by so much. spare_mm None: nothing limits them. unsure: a number is missing.
    close: the spare is smaller than the lengths in it may be off; likely: one of those is only estimated.
    """

    short_mm: float
    spare_mm: float | None
    unsure: bool
    close: bool
    likely: bool = False

    @property
    def level(self) -> int:
        """How sure the room is, as a level."""
        if self.short_mm > 0:
            return TOO_TIGHT
        return UNSURE if self.unsure else LIKELY_FIT if self.likely else CLOSE_FIT if self.close else FITS


class RowJudge(Protocol):
    """The questions that the search asks of one row; cells come left to right."""

    def room(self, cells: Sequence[Cell]) -> Room: ...

    def clash(self, left: Cell, right: Cell) -> tuple[bool, int, bool]:
        """(blocked, cautions and unkept wishes as a packed cost, unmeasured) of two cells of the row."""
        ...

    def kind(self, cell: Cell) -> int:
        """A number that cells share when the row cannot tell them apart."""
        ...

    def lane(self, cells: Sequence[Cell]) -> int:
        """The number of what the cells ask and take along the car."""
        ...

    def way(self, lanes: frozenset[tuple[int, int]]) -> int:
        """The number of a choice of lanes, each with its level."""
        ...


@dataclass(frozen=True, slots=True)
class Fill:
    """One feasible pick of placements for the choices of a row plan: index into each choice's cells."""

    pick: tuple[int, ...]
    cost: int
    lane: int = 0                     # what it asks and takes along the car, by its number


@dataclass(frozen=True, slots=True, eq=False)
class RowPlan:
    """Some choices of one row, left to right. ``fills`` are the picks to choose from."""

    choices: tuple[Choice, ...]
    riders: int                       # bitmask
    resources: int                    # what they use of what all rows share
    level: int
    cost: int
    fills: tuple[Fill, ...]
    way: int                          # its lanes with their levels, by number


@dataclass(slots=True)
class RowPlans:
    """All row plans of one row; ``complete`` is False when the limit was hit first."""

    plans: list[RowPlan] = field(default_factory=list)
    complete: bool = True


def row_plans(
    seats: Sequence[Sequence[Choice]], judge: RowJudge, cost_of: Callable[[Cell], int], limit: int,
    tick: Callable[[int], None] | None = None, *, resources: Resources,
) -> RowPlans:
    """Enumerate the plans of a row whose position i may take any of ``seats[i]``; the empty plan comes first."""
    return _Filler(seats, judge, cost_of, limit, tick, resources).run()


class _Filler:
    def __init__(self, seats: Sequence[Sequence[Choice]], judge: RowJudge, cost_of: Callable[[Cell], int],
                 limit: int, tick: Callable[[int], None] | None, resources: Resources) -> None:
        self._judge, self._limit, self._tick = judge, limit, tick
        self._found, (self._bias, self._guard) = RowPlans(), resources.shared
        self._fills: dict[tuple[tuple[int, ...], ...], tuple[Fill, ...]] = {}
        self._parts: dict[tuple[tuple[int, ...], ...], list[_Part]] = {}
        self._ways: dict[int, int] = {}
        self._seats = [
            [
                (choice, 1 << choice.rider, resources.of(choice),
                 tuple(judge.kind(cell) for cell in choice.cells), tuple(cost_of(cell) for cell in choice.cells))
                for choice in options
            ]
            for options in seats
        ]

    def run(self) -> RowPlans:
        nothing = self._judge.lane(())
        self._ways = {level: self._judge.way(frozenset({(nothing, level)})) for level in range(CONTESTED + 1)}
        self._found.plans.append(RowPlan((), 0, 0, FITS, 0, (Fill((), 0, nothing),), self._ways[FITS]))
        self._extend(0, 0, 0, (), (), (), FITS)
        return self._found

    def _extend(self, at: int, riders: int, resources: int, chosen: tuple[Choice, ...],
                kinds: tuple[tuple[int, ...], ...], costs: tuple[tuple[int, ...], ...], level: int) -> None:
        used = resources + self._bias
        for i in range(at, len(self._seats)):
            for choice, rider, uses, kind, cell_costs in self._seats[i]:
                if riders & rider or (used + uses) & self._guard:
                    continue
                if len(self._found.plans) >= self._limit:
                    self._found.complete = False
                    return
                more, more_kinds, more_costs = (*chosen, choice), (*kinds, kind), (*costs, cell_costs)
                plan = self._plan(more, riders | rider, resources + uses, more_kinds, more_costs, level)
                self._found.plans.append(plan)
                if self._tick and not len(self._found.plans) & 0xFFF:
                    self._tick(len(self._found.plans))
                self._extend(i + 1, plan.riders, plan.resources, more, more_kinds, more_costs, plan.level)

    def _plan(self, choices: tuple[Choice, ...], riders: int, resources: int,
              kinds: tuple[tuple[int, ...], ...], costs: tuple[tuple[int, ...], ...], before: int) -> RowPlan:
        """A plan whose part is contested stays contested; a squeezed one can only get worse."""
        fills: tuple[Fill, ...] = ()
        if before != CONTESTED:
            kept = self._fills.get(kinds)
            fills = self._fills[kinds] = self._fill(choices, kinds) if kept is None else kept
        if not fills:
            return RowPlan(choices, riders, resources, CONTESTED, 0, (), self._ways[CONTESTED])
        totals = [f.cost + sum([own[i] for own, i in zip(costs, f.pick, strict=True)]) for f in fills]
        best = min(totals)
        level = level_of(best)
        if level == TOO_TIGHT:
            way = self._ways[TOO_TIGHT]
        elif len(fills) == 1 and not fills[0].lane:
            way = self._ways[level]
        else:
            way = self._judge.way(frozenset((f.lane, level_of(t)) for f, t in zip(fills, totals, strict=True)))
        return RowPlan(choices, riders, resources, level, best, fills, way)

    def _fill(self, choices: tuple[Choice, ...], kinds: tuple[tuple[int, ...], ...]) -> tuple[Fill, ...]:
        """Judge every pick of placements: those that fit, or else the squeezed ones; nothing where all clash."""
        fit: list[Fill] = []
        tight: list[Fill] = []
        for part in self._parts_of(choices, kinds):
            cells = [choice.cells[i] for choice, i in zip(choices, part.pick, strict=True)]
            room = self._judge.room(cells)
            if room.level == TOO_TIGHT:
                tight.append(Fill(part.pick, part.cost + _CERTAINTY * (SQUEEZED + round(2 * room.short_mm))))
                continue
            doubt = POINTS[max(room.level, UNSURE if part.unsure else FITS)]
            fit.append(Fill(part.pick, part.cost + _CERTAINTY * doubt + _ROOM * room_points(room.spare_mm),
                            self._judge.lane(cells)))
        return tuple(fit or tight)

    def _parts_of(self, choices: tuple[Choice, ...], kinds: tuple[tuple[int, ...], ...]) -> list[_Part]:
        """The picks of which no two placements clash: those of all choices but the last, each with one more."""
        if not choices:
            return [_Part((), 0, False)]
        kept = self._parts.get(kinds)
        if kept is not None:
            return kept
        found, clash = [], self._judge.clash
        for part in self._parts_of(choices[:-1], kinds[:-1]):
            others = [choice.cells[i] for choice, i in zip(choices, part.pick, strict=False)]
            for i, cell in enumerate(choices[-1].cells):
                total, unsure = part.cost, part.unsure
                for other in others:
                    blocked, extra, unmeasured = clash(other, cell)
                    if blocked:
                        break
                    total, unsure = total + extra, unsure or unmeasured
                else:
                    found.append(_Part((*part.pick, i), total, unsure))
        self._parts[kinds] = found
        return found


class _Part(NamedTuple):
    """Some placements side by side that do not clash: which of each choice's, what clashing adds, whether a number of
    a pair is missing."""

    pick: tuple[int, ...]
    cost: int
    unsure: bool


def level_of(packed: int) -> int:
    """How sure a packed cost is: one of FITS, CLOSE_FIT, LIKELY_FIT, UNSURE, TOO_TIGHT."""
    doubt = certainty(packed)
    return max(level for level, points in POINTS.items() if doubt >= points)


def best_fill(plan: RowPlan, cost_of: Callable[[Cell], int]) -> Fill:
    """The pick of a plan with the lowest cost, ties by order of the file."""
    return min(plan.fills, key=lambda fill: (fill_cost(plan, fill, cost_of), fill.pick))


def fill_cost(plan: RowPlan, fill: Fill, cost_of: Callable[[Cell], int]) -> int:
    return fill.cost + sum(cost_of(choice.cells[i]) for choice, i in zip(plan.choices, fill.pick, strict=True))


def picked(plan: RowPlan, fill: Fill) -> Iterable[Cell]:
    return (choice.cells[i] for choice, i in zip(plan.choices, fill.pick, strict=True))
