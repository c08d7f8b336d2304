"""Every way to fill one row: which choices sit side by side, how well they fit, what each way costs.

A row plan gives some positions of the row a choice and leaves the others empty. Rows meet only through riders
and what they share (``resources``), so the search enumerates rows one by one and ``combine`` puts them together.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field
from enum import IntEnum
from typing import NamedTuple, Protocol

from .placements import Cell, Choice
from .ranking import CLOSE, LIKELY, SQUEEZED, UNMEASURED, certainty, cost, room_points
from .resources import Resources


class Level(IntEnum):
    """How sure a part of a seating is, best first: from ``squeeze`` on it is none."""

    FITS = 0
    CLOSE_FIT = 1
    LIKELY_FIT = 2
    UNSURE = 3
    TOO_TIGHT = 4
    CONTESTED = 5


FITS, CLOSE_FIT, LIKELY_FIT, UNSURE, TOO_TIGHT, CONTESTED = Level
#: certainty points of one thing at a level
POINTS = {FITS: 0, CLOSE_FIT: CLOSE, LIKELY_FIT: LIKELY, UNSURE: UNMEASURED, TOO_TIGHT: SQUEEZED}
_LEAST_POINTS, _LEVELS = tuple(POINTS.values()), tuple(Level)
#: one point of a criterion in a packed cost
_CERTAINTY, _ROOM = cost(certainty=1), cost(room=1)
LEVELS = ("fits", "close", "likely", "unmeasured", "squeeze", "contest")


class Room(NamedTuple):
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
    def level(self) -> Level:
        """How sure the room is, as a level."""
        if self.short_mm > 0:
            return TOO_TIGHT
        return UNSURE if self.unsure else LIKELY_FIT if self.likely else CLOSE_FIT if self.close else FITS


class RowJudge(Protocol):
    """The questions that the search asks of one row; cells come left to right."""

    def room(self, cells: Sequence[Cell]) -> Room: ...

    def rooms(self, before: Sequence[Cell], cells: tuple[Cell, ...]) -> Callable[[int], Room | None]:
        """The room of some cells with each of others at their right, by its number; None: it is to be asked about."""
        ...

    def clash(self, left: Cell, right: Cell) -> tuple[bool, int, bool]:
        """(blocked, cautions and unkept wishes as a packed cost, unmeasured) of two cells of the row."""
        ...

    def kind(self, cell: Cell) -> int:
        """A number that cells share when the row cannot tell them apart."""
        ...

    def lane(self, cells: Sequence[Cell]) -> int:
        """The number of what the cells ask and take along the car."""
        ...

    def way(self, lanes: frozenset[tuple[int, Level]]) -> int:
        """The number of a choice of lanes, each with its level."""
        ...


class Fill(NamedTuple):
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
    level: Level
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


class _Option(NamedTuple):
    """A choice of a position as the filler takes it: its cells' kinds, what they cost, and their numbers among the
    different ones of the position."""

    choice: Choice
    rider: int                        # bitmask
    resources: int
    kinds: tuple[int, ...]
    costs: tuple[int, ...]
    numbers: tuple[int, ...]


class _Part(NamedTuple):
    """Some cells side by side that do not clash: which of each choice's, what clashing adds, whether a number of a
    pair is missing."""

    pick: tuple[int, ...]
    cost: int
    unsure: bool


class _Node:
    """Some choices side by side, as far as their kinds tell: the parts they come to, those of them that have room,
    and the rooms beside each part that were asked about."""

    __slots__ = ("fills", "parts", "rooms")

    def __init__(self, parts: Sequence[_Part], fills: tuple[Fill, ...]) -> None:
        self.parts, self.fills = parts, fills
        self.rooms: dict[int, list[Callable[[int], Room | None]]] = {}


class _Filler:
    def __init__(self, seats: Sequence[Sequence[Choice]], judge: RowJudge, cost_of: Callable[[Cell], int],
                 limit: int, tick: Callable[[int], None] | None, resources: Resources) -> None:
        self._judge, self._limit, self._tick = judge, limit, tick
        self._found, (self._bias, self._guard) = RowPlans(), resources.shared
        self._nodes: dict[tuple[tuple[int, ...], ...], _Node] = {}
        self._clashes: dict[tuple[int, int], tuple[bool, int, bool]] = {}
        self._cells: list[tuple[Cell, ...]] = []     # by position, one of each kind
        self._seats: list[list[_Option]] = []
        for options in seats:
            first: dict[int, Cell] = {}
            number: dict[int, int] = {}
            here = []
            for choice in options:
                kinds = tuple([judge.kind(cell) for cell in choice.cells])
                for kind, cell in zip(kinds, choice.cells, strict=True):
                    if kind not in first:
                        number[kind], first[kind] = len(first), cell
                here.append(_Option(choice, 1 << choice.rider, resources.of(choice), kinds,
                                    tuple([cost_of(cell) for cell in choice.cells]),
                                    tuple([number[kind] for kind in kinds])))
            self._seats.append(here)
            self._cells.append(tuple(first.values()))

    def run(self) -> RowPlans:
        nothing = self._judge.lane(())
        self._ways = {level: self._judge.way(frozenset({(nothing, level)})) for level in Level}
        alone = Fill((), 0, nothing)
        self._found.plans.append(RowPlan((), 0, 0, FITS, 0, (alone,), self._ways[FITS]))
        self._extend(0, 0, 0, (), (), (), _Node([_Part((), 0, False)], (alone,)))
        return self._found

    def _extend(self, at: int, riders: int, resources: int, chosen: tuple[Choice, ...],
                kinds: tuple[tuple[int, ...], ...], costs: tuple[tuple[int, ...], ...], node: _Node) -> None:
        used, plans = resources + self._bias, self._found.plans
        for i in range(at, len(self._seats)):
            for option in self._seats[i]:
                if riders & option.rider or (used + option.resources) & self._guard:
                    continue
                if len(plans) >= self._limit:
                    self._found.complete = False
                    return
                more_kinds, more_costs = (*kinds, option.kinds), (*costs, option.costs)
                more = self._nodes.get(more_kinds)
                if more is None:
                    more = self._nodes[more_kinds] = self._node(node, kinds, i, chosen, option)
                plan = self._plan((*chosen, option.choice), riders | option.rider, resources + option.resources,
                                  more.fills, more_costs)
                plans.append(plan)
                if self._tick and not len(plans) & 0xFFF:
                    self._tick(len(plans))
                if i + 1 < len(self._seats):
                    self._extend(i + 1, plan.riders, plan.resources, plan.choices, more_kinds, more_costs, more)

    def _plan(self, choices: tuple[Choice, ...], riders: int, resources: int, fills: tuple[Fill, ...],
              costs: tuple[tuple[int, ...], ...]) -> RowPlan:
        """A plan whose part is contested stays contested; a squeezed one can only get worse."""
        if not fills:
            return RowPlan(choices, riders, resources, CONTESTED, 0, (), self._ways[CONTESTED])
        totals = [fill.cost + sum([own[i] for own, i in zip(costs, fill.pick, strict=True)]) for fill in fills]
        best = min(totals)
        level = level_of(best)
        if level == TOO_TIGHT:
            way = self._ways[TOO_TIGHT]
        elif len(fills) == 1 and not fills[0].lane:
            way = self._ways[level]
        else:
            way = self._judge.way(frozenset([(f.lane, level_of(t)) for f, t in zip(fills, totals, strict=True)]))
        return RowPlan(choices, riders, resources, level, best, fills, way)

    def _node(self, before: _Node, kinds: tuple[tuple[int, ...], ...], at: int, chosen: tuple[Choice, ...],
              option: _Option) -> _Node:
        """Judge every pick of cells that do not clash, those of some choices each with one of one choice more: those
        that fit, or else the squeezed ones; nothing where all clash."""
        parts: list[_Part] = []
        fit: list[Fill] = []
        tight: list[Fill] = []
        rooms = before.rooms.get(at)
        if rooms is None:
            rooms = before.rooms[at] = [self._judge.rooms(_cells(chosen, part.pick), self._cells[at])
                                        for part in before.parts]
        for part, room_of in zip(before.parts, rooms, strict=True):
            others = _cells(chosen, part.pick)
            for i, (cell, kind, number) in enumerate(zip(option.choice.cells, option.kinds, option.numbers,
                                                         strict=True)):
                total, unsure = part.cost, part.unsure
                for own, n, other in zip(kinds, part.pick, others, strict=True):
                    blocked, extra, unmeasured = self._clash(own[n], kind, other, cell)
                    if blocked:
                        break
                    total, unsure = total + extra, unsure or unmeasured
                else:
                    pick, cells = (*part.pick, i), (*others, cell)
                    parts.append(_Part(pick, total, unsure))
                    room = room_of(number) or self._judge.room(cells)
                    level = room.level
                    if level == TOO_TIGHT:
                        tight.append(Fill(pick, total + _CERTAINTY * (SQUEEZED + round(2 * room.short_mm))))
                    else:
                        doubt = POINTS[max(level, UNSURE if unsure else FITS)]
                        fit.append(Fill(pick, total + _CERTAINTY * doubt + _ROOM * room_points(room.spare_mm),
                                        self._judge.lane(cells)))
        return _Node(parts, tuple(fit or tight))

    def _clash(self, own: int, kind: int, left: Cell, right: Cell) -> tuple[bool, int, bool]:
        key = own, kind
        kept = self._clashes.get(key)
        if kept is None:
            kept = self._clashes[key] = self._judge.clash(left, right)
        return kept


def _cells(choices: Sequence[Choice], pick: Sequence[int]) -> tuple[Cell, ...]:
    return tuple([choice.cells[i] for choice, i in zip(choices, pick, strict=True)])


def level_of(packed: int) -> Level:
    """How sure a packed cost is: one of FITS, CLOSE_FIT, LIKELY_FIT, UNSURE, TOO_TIGHT."""
    return _LEVELS[bisect_right(_LEAST_POINTS, certainty(packed)) - 1]


def best_fill(plan: RowPlan, cost_of: Callable[[Cell], int]) -> Fill:
    """The pick of a plan with the lowest cost, ties by order of the file."""
    return min(plan.fills, key=lambda fill: (fill_cost(plan, fill, cost_of), fill.pick))


def fill_cost(plan: RowPlan, fill: Fill, cost_of: Callable[[Cell], int]) -> int:
    return fill.cost + sum(cost_of(choice.cells[i]) for choice, i in zip(plan.choices, fill.pick, strict=True))


def picked(plan: RowPlan, fill: Fill) -> Iterable[Cell]:
    return (choice.cells[i] for choice, i in zip(plan.choices, fill.pick, strict=True))
