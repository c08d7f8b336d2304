"""Every way to fill one row: which choices sit side by side, how well they fit, what each way costs.

A row plan gives some positions of the row a choice and leaves the others empty. Rows meet only through riders
and what they share (``resources``), so the search enumerates rows one by one and ``combine`` puts them together.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field
from enum import IntEnum
from functools import reduce
from operator import or_
from typing import NamedTuple, Protocol

from seatplan.frozen import frozen

from .placements import Assignment, JudgedPlacement
from .ranking import OPEN, SURE, cost, room_points, surely
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
LEVELS = ("fits", "close", "likely", "unmeasured", "squeeze", "contest")
_LEVELS = tuple(Level)
#: one point of a criterion in a packed cost
_SQUEEZE, _ROOM = cost(squeeze=1), cost(room=1)


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


#: the level of a room that is to be asked about
ASK = -1


class RoomsBeside(NamedTuple):
    """The rooms of some cells with each of others at their right, by its number: its level or ``ASK``, and how much:
    the points of a room, the half-mm that it lacks."""

    level: Sequence[int]
    much: Sequence[int]


class RowJudge(Protocol):
    """The questions that the search asks of one row; cells come left to right."""

    def room(self, cells: Sequence[JudgedPlacement]) -> Room: ...

    def rooms(self, before: Sequence[JudgedPlacement], lasts: tuple[JudgedPlacement, ...],
              cells: tuple[JudgedPlacement, ...]) -> Sequence[RoomsBeside] | None:
        """The rooms of some cells, with each of ``lasts`` (nobody: none) and then each of ``cells`` at their right, for
        each of ``lasts``; None: they are to be asked about."""
        ...

    def clash(self, left: JudgedPlacement, right: JudgedPlacement) -> tuple[bool, int, Level]:
        """(blocked, cautions and unkept wishes as a packed cost, how sure) of two cells of the row."""
        ...

    def kind(self, cell: JudgedPlacement) -> int:
        """A number that cells share when the row cannot tell them apart."""
        ...

    def lane(self, cells: Sequence[JudgedPlacement]) -> int:
        """The number of what the cells ask and take along the car; whoever asks and takes nothing changes none."""
        ...

    def way(self, lanes: frozenset[tuple[int, Level]]) -> int:
        """The number of a choice of lanes, each with its level."""
        ...


class InstallationPick(NamedTuple):
    """One pick of placements for the choices of a row plan: index into each choice's cells; ``level`` is how sure the
    row has room for them, ``cost`` what they add beside what each costs by itself."""

    pick: tuple[int, ...]
    cost: int
    level: Level = Level.FITS
    lane: int = 0                     # what it asks and takes along the car, by its number


class Best(NamedTuple):
    """The cheapest fill of a plan that is not less sure than ``sure``, as it counts in the order, which sets how sure
    it is aside; ``level`` is how sure it is."""

    sure: int
    cost: int
    fill: InstallationPick
    level: Level


@frozen(eq=False)
class RowAssignment:
    """Some choices of one row, left to right. ``fills`` are the picks to choose from; ``best`` the cheapest of them,
    the surest first: each that is less sure costs less. ``level`` is that of the surest, ``cost`` the least, how sure
    included."""

    choices: tuple[Assignment, ...]
    riders: int                       # bitmask
    resources: int                    # what they use of what all rows share
    level: Level
    cost: int
    fills: tuple[InstallationPick, ...]
    way: int                          # its lanes with their levels, by number
    best: tuple[Best, ...] = ()


@dataclass(slots=True)
class RowPlans:
    """All row plans of one row; ``complete`` is False when the limit was hit first."""

    plans: list[RowAssignment] = field(default_factory=list)
    complete: bool = True


class CostOf(Protocol):
    """What a placement costs by itself, and how sure it counts as."""

    def __call__(self, cell: JudgedPlacement) -> int: ...

    def sure(self, cell: JudgedPlacement) -> int: ...


def row_plans(
    seats: Sequence[Sequence[Assignment]], judge: RowJudge, cost_of: CostOf, limit: int,
    tick: Callable[[int], None] | None = None, *, resources: Resources, within: Within | None = None,
) -> RowPlans:
    """Enumerate the plans of a row whose position i may take any of ``seats[i]``; the empty plan comes first.
    ``within``: only those that can be part of a whole seating that stands."""
    return _Filler(seats, judge, cost_of, limit, tick, resources, within).run()


class Within(NamedTuple):
    """What a plan has that can be part of a whole seating that stands: so many riders at ``least``, and as a bitmask
    all who find no seat in another row. It has room, too."""

    least: int
    riders: int


def withins(rows: Sequence[Sequence[Sequence[Assignment]]], everybody: int) -> list[Within]:
    """What a plan of each row has at least, by the choices of all positions."""
    seats = [sum(map(bool, row)) for row in rows]
    found = [reduce(or_, (1 << choice.rider for seat in row for choice in seat), 0) for row in rows]
    return [Within(everybody.bit_count() - sum(seats) + seats[r],
                   everybody & ~reduce(or_, found[:r] + found[r + 1:], 0)) for r in range(len(rows))]


class _Told(NamedTuple):
    """What a cell costs by itself, its level, how sure it counts as, and whether it held when it was tried; None: there
    is no restraint to try."""

    cost: int
    level: Level
    sure: int
    held: bool | None


class _Option(NamedTuple):
    """A choice of a position as the filler takes it: its cells' kinds, what each says by itself, their numbers among
    the different ones of the position, and the lane of each."""

    choice: Assignment
    rider: int                        # bitmask
    resources: int
    kinds: tuple[int, ...]
    told: tuple[_Told, ...]
    numbers: tuple[int, ...]
    lanes: tuple[int, ...]


class _Part(NamedTuple):
    """Some cells side by side that do not clash: which of each choice's, what clashing adds, how sure their
    pairs are, their lane, and the number of the last one at its position."""

    pick: tuple[int, ...]
    cost: int
    level: Level
    lane: int
    last: int


class _Node:
    """Some choices side by side, as far as their kinds tell: the parts they come to, those of them that have room, the
    position of the last one (none: -1), and the rooms beside each part that were asked about."""

    __slots__ = ("at", "fills", "parts", "rooms")

    def __init__(self, at: int, parts: Sequence[_Part], fills: tuple[InstallationPick, ...]) -> None:
        self.at, self.parts, self.fills = at, parts, fills
        self.rooms: dict[int, list[RoomsBeside | None]] = {}


class _Filler:
    def __init__(self, seats: Sequence[Sequence[Assignment]], judge: RowJudge, cost_of: CostOf,
                 limit: int, tick: Callable[[int], None] | None, resources: Resources,
                 within: Within | None) -> None:
        self._judge, self._limit, self._tick, self._within = judge, limit, tick, within
        self._found, (self._bias, self._guard) = RowPlans(), resources.shared
        self._no_lane = judge.lane(())
        self._nodes: dict[tuple[tuple[int, ...], ...], _Node] = {}
        self._clashes: dict[tuple[int, int], tuple[bool, int, Level]] = {}
        self._cells: list[tuple[JudgedPlacement, ...]] = []     # by position, one of each kind
        self._seats: list[list[_Option]] = []
        for options in seats:
            first: dict[int, JudgedPlacement] = {}
            number: dict[int, int] = {}
            here = []
            for choice in options:
                kinds = tuple([judge.kind(cell) for cell in choice.cells])
                for kind, cell in zip(kinds, choice.cells, strict=True):
                    if kind not in first:
                        number[kind], first[kind] = len(first), cell
                here.append(_Option(choice, 1 << choice.rider, resources.of(choice), kinds,
                                    tuple([_told(cell, cost_of) for cell in choice.cells]),
                                    tuple([number[kind] for kind in kinds]),
                                    tuple([judge.lane((cell,)) for cell in choice.cells])))
            self._seats.append(here)
            self._cells.append(tuple(first.values()))
        self._left = [sum(map(bool, self._seats[i:])) for i in range(len(self._seats) + 1)]

    def run(self) -> RowPlans:
        self._ways = {level: self._judge.way(frozenset({(self._no_lane, level)})) for level in Level}
        alone = InstallationPick((), 0, FITS, self._no_lane)
        if self._enough(0, 0):
            self._found.plans.append(RowAssignment((), 0, 0, FITS, 0, (alone,), self._ways[FITS],
                                             (Best(SURE, 0, alone, FITS),)))
        self._extend(0, 0, 0, (), (), (), _Node(-1, [_Part((), 0, FITS, self._no_lane, 0)], (alone,)))
        return self._found

    def _enough(self, riders: int, left: int) -> bool:
        """Whether some riders, and others at so many seats, can be all that the row is to take."""
        within = self._within
        return within is None or (riders.bit_count() + left >= within.least
                                  and (within.riders & ~riders).bit_count() <= left)

    def _extend(self, at: int, riders: int, resources: int, chosen: tuple[Assignment, ...],
                kinds: tuple[tuple[int, ...], ...], told: tuple[tuple[_Told, ...], ...], node: _Node) -> None:
        plans, whole = self._found.plans, self._within is not None
        for i in range(at, len(self._seats)):
            if whole and not self._enough(riders, self._left[i]):
                return
            for option in self._free(i, riders, resources):
                if len(plans) >= self._limit:
                    self._found.complete = False
                    return
                more_kinds, more_told = (*kinds, option.kinds), (*told, option.told)
                more = self._nodes.get(more_kinds)
                if more is None:
                    more = self._nodes[more_kinds] = self._node(node, kinds, i, chosen, option)
                if whole and (not more.fills or more.fills[0].level == TOO_TIGHT):
                    continue
                more_chosen, more_riders = (*chosen, option.choice), riders | option.rider
                more_resources = resources + option.resources
                if self._enough(more_riders, 0):
                    self._keep(self._plan(more_chosen, more_riders, more_resources, more.fills, more_told))
                if i + 1 < len(self._seats):
                    self._extend(i + 1, more_riders, more_resources, more_chosen, more_kinds, more_told, more)

    def _keep(self, plan: RowAssignment) -> None:
        plans = self._found.plans
        plans.append(plan)
        if self._tick and not len(plans) & 0xFFF:
            self._tick(len(plans))

    def _free(self, at: int, riders: int, resources: int) -> list[_Option]:
        """The options at a seat for other riders, with what is left of the resources, from which a row that is large
        enough can still come."""
        used = resources + self._bias
        free = [option for option in self._seats[at]
                if not riders & option.rider and not (used + option.resources) & self._guard]
        if self._within is None:
            return free
        return [option for option in free if self._enough(riders | option.rider, self._left[at + 1])]

    def _plan(self, choices: tuple[Assignment, ...], riders: int, resources: int, fills: tuple[InstallationPick, ...],
              told: tuple[tuple[_Told, ...], ...]) -> RowAssignment:
        """A plan whose part is contested stays contested; a squeezed one can only get worse."""
        if not fills:
            return RowAssignment(choices, riders, resources, CONTESTED, 0, (), self._ways[CONTESTED])
        best, level, way = self._surest_first(fills, told)
        least = best[0] if len(best) == 1 else min(best, key=_merit)
        if level == TOO_TIGHT:
            return RowAssignment(choices, riders, resources, level, least.cost, fills, self._ways[level], (least,))
        return RowAssignment(choices, riders, resources, level, least.cost + surely(least.sure), fills, way,
                             tuple(best))

    def _surest_first(self, fills: Sequence[InstallationPick], told: Sequence[Sequence[_Told]]) -> tuple[list[Best],
                                                                                                         Level, int]:
        """Of each degree of sureness the cheapest pick, where it costs less than all that are surer; the level of the
        surest, and the number of the lanes of all with their levels."""
        cheapest: list[Best | None] = [None] * (OPEN + 1)
        ways = set()
        for fill in fills:                       # in order of their picks: of those that cost the same the first counts
            sure, total, level = _whole(fill, told)
            ways.add((fill.lane, level))
            kept = cheapest[sure]
            if kept is None or total < kept.cost:
                cheapest[sure] = Best(sure, total, fill, level)
        best: list[Best] = []
        for one in cheapest:
            if one is not None and (not best or one.cost < best[-1].cost):
                best.append(one)
        surest = min([level for _, level in ways])
        return best, surest, self._ways[surest] if ways == {(self._no_lane, surest)} else self._judge.way(
            frozenset(ways))

    def _node(self, before: _Node, kinds: tuple[tuple[int, ...], ...], at: int, chosen: tuple[Assignment, ...],
              option: _Option) -> _Node:
        """Judge every pick of cells that do not clash, those of some choices each with one of one choice more: those
        that fit, or else the squeezed ones; nothing where all clash."""
        parts: list[_Part] = []
        fit: list[InstallationPick] = []
        tight: list[InstallationPick] = []
        rooms = before.rooms.get(at)
        if rooms is None:
            rooms = before.rooms[at] = [self._beside(before, part, at, chosen) for part in before.parts]
        own_cells = tuple(zip(option.choice.cells, option.kinds, option.numbers, option.lanes, strict=True))
        for part, beside in zip(before.parts, rooms, strict=True):
            others = _cells(chosen, part.pick)
            left = tuple(zip([own[n] for own, n in zip(kinds, part.pick, strict=True)], others, strict=True))
            for i, (cell, kind, number, lane) in enumerate(own_cells):
                together = self._together(part, left, cell, kind)
                if together is None:
                    continue
                total, pairs = together
                pick = (*part.pick, i)
                if part.lane != self._no_lane:
                    lane = part.lane if lane == self._no_lane else self._judge.lane((*others, cell))
                parts.append(_Part(pick, total, pairs, lane, number))
                level, much = (ASK, 0) if beside is None else (beside.level[number], beside.much[number])
                if level == ASK:
                    level, much = _as_told(self._judge.room((*others, cell)))
                if level == TOO_TIGHT:
                    tight.append(InstallationPick(pick, total + _SQUEEZE * (1 + much), TOO_TIGHT))
                else:
                    fit.append(InstallationPick(pick, total + _ROOM * much, max(_LEVELS[level], pairs), lane))
        return _Node(at, parts, tuple(fit or tight))

    def _together(self, part: _Part, left: Sequence[tuple[int, JudgedPlacement]], cell: JudgedPlacement,
                  kind: int) -> tuple[int, Level] | None:
        """What clashing adds up to and how sure the pairs are with one cell more; None where it clashes with one of
        those at its left."""
        total, pairs = part.cost, part.level
        for own, other in left:
            blocked, extra, sure = self._clashes.get((own, kind)) or self._clash(own, kind, other, cell)
            if blocked:
                return None
            total += extra
            if sure > pairs:
                pairs = sure
        return total, pairs

    def _beside(self, before: _Node, part: _Part, at: int, chosen: Sequence[Assignment]) -> RoomsBeside | None:
        """The rooms of a part with each cell of a position at its right."""
        cells = _cells(chosen, part.pick)[:-1]
        rooms = self._judge.rooms(cells, () if before.at < 0 else self._cells[before.at], self._cells[at])
        return None if rooms is None else rooms[part.last]

    def _clash(self, own: int, kind: int, left: JudgedPlacement, right: JudgedPlacement) -> tuple[bool, int, Level]:
        found = self._clashes[own, kind] = self._judge.clash(left, right)
        return found


def _as_told(room: Room) -> tuple[int, int]:
    """The level of a room, and how much there is of it, or is missing."""
    level = room.level
    return level, round(2 * room.short_mm) if level == TOO_TIGHT else room_points(room.spare_mm)


def _cells(choices: Sequence[Assignment], pick: Sequence[int]) -> tuple[JudgedPlacement, ...]:
    return tuple([choice.cells[i] for choice, i in zip(choices, pick, strict=True)])


def _told(cell: JudgedPlacement, cost_of: CostOf) -> _Told:
    level = UNSURE if cell.unmeasured else LIKELY_FIT if cell.estimates else CLOSE_FIT if cell.close else FITS
    return _Told(cost_of(cell), level, cost_of.sure(cell), cell.held if cell.placement.restraint else None)


def _whole(fill: InstallationPick, told: Sequence[Sequence[_Told]]) -> tuple[int, int, Level]:
    """How sure a pick counts as with what its cells say by themselves, what it costs and its level; ``told`` is that of
    all cells of each choice. A close row in which all held when they were tried counts as one that fits."""
    pick, total, level, _ = fill
    alone, tried, failed = SURE, False, level != CLOSE_FIT
    beside = int(level)
    for own, i in zip(told, pick, strict=True):
        extra, its, counts, held = own[i]
        total += extra
        if its > level:
            level = its
        if counts > alone:
            alone = counts
        if held is False:
            failed = True
        elif held:
            tried = True
    if tried and not failed:
        beside = SURE
    return min(max(alone, beside), OPEN), total, level


def _merit(one: Best) -> tuple[int, tuple[int, ...]]:
    return one.cost + surely(one.sure), one.fill.pick


def bests(plan: RowAssignment, cost_of: CostOf) -> list[Best]:
    """Every pick of a plan with what it comes to, best first."""
    told = [[_told(cell, cost_of) for cell in choice.cells] for choice in plan.choices]
    every = [(fill, *_whole(fill, told)) for fill in plan.fills]
    return sorted([Best(sure, total, fill, level) for fill, sure, total, level in every], key=_merit)


def picked(plan: RowAssignment, fill: InstallationPick) -> Iterable[JudgedPlacement]:
    return (choice.cells[i] for choice, i in zip(plan.choices, fill.pick, strict=True))
