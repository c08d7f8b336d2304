"""Every way to carry one party in one vehicle: for each level that can be reached, the kits that reach it.

A kit says which kinds of restraint are used, and how many of each. From the rows of one solve, plans that come to the
same for whoever looks at kit and level stand together: the same riders, restraints, demands along the car, level and
doubts. Of each such group only the cheapest is kept, and rows are joined group by group, so what is joined are kits and
levels, not seatings. Kit, level and cost add up over rows, and doubts are a set of bits; what a whole seating comes to
is asked only of those that are left.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from functools import reduce
from heapq import heapify, heappop, heappush
from operator import or_
from typing import NamedTuple

from seatplan.fields import keys_of
from seatplan.model.estimated import EstimatedRestraint, EstimatedRow
from seatplan.rules.finding import Finding
from seatplan.rules.registry import rule_by_id
from seatplan.rules.subjects import Placement, Seated
from seatplan.solver.judge import Judged
from seatplan.solver.placements import JudgedPlacement
from seatplan.solver.ranking import protected, unpack
from seatplan.solver.rowplans import (
    CLOSE_FIT,
    LEVELS,
    LIKELY_FIT,
    UNSURE,
    Best,
    RowAssignment,
    bests,
    picked,
)
from seatplan.solver.solve import Pick, Ranked, Solve

from .records import GRADES, Kit, Level, Seat, Verdict, Way, serves

#: so many groups of one class are kept while rows are joined; more are not looked at, and the answer says so
MOST_GROUPS = 400_000
#: the criteria of the order of arrangements that come before protection, in their order (design, steps 2 to 5)
_BEFORE = ("front_young", "under_two", "front_under_nine", "doubtful")
#: stage of the order -> grade; a backless booster comes after a high-back one
_GRADE_OF_STAGE = (0, 1, 2, 3, 4, 6, 7)
_BACKLESS = "backless-booster"
_BACKLESS_GRADE = GRADES.index("backless booster")
#: what stands between a part and ``fits``: it is close and did not hold yet; bodies are estimated; anything else is
_CLOSE, _BODIES, _OTHERS = 1, 2, 4
#: bits for how many pieces of one kind are in a kit, with one more that tells a part from what is none
_PIECES = 6
#: bits for how many children of one age ride backless, and how many ages there can be
_COUNT, _AGES = 5, 12


class Ways(NamedTuple):
    """``ways``: of each level every kit from which no piece can be dropped, best first; ``complete``: none was left
    out."""

    ways: tuple[Way, ...]
    complete: bool


class _Key(NamedTuple):
    """What plans of some rows have in common that may go on alike: riders and restraints used, as bits, what they ask
    and take along the car; ``held``: who sits where in what, where rules of the whole trip ask."""

    riders: int
    resources: int
    lane: int
    held: tuple[tuple[int, int, int | None], ...]


class _Worth(NamedTuple):
    """What a group comes to: kit and level as numbers that add up, and doubts as bits."""

    kit: int
    level: int
    doubts: int


#: plans, one a row, each with the fill that is meant
_Chosen = tuple[tuple[RowAssignment, Best], ...]
#: by what plans have in common, what they come to: the cheapest of each
_Groups = dict[_Key, dict[_Worth, tuple[int, _Chosen]]]


def ways_of(solve: Solve, names: Sequence[str | None]) -> Ways:
    """The ways of a solved trip that are no worse than ``likely``. ``names``: by restraint of the trip, the kind that
    it is a copy of; None for those that the party brings itself, which come first. They are in no kit, nor is what is
    built in."""
    kinds = sorted({name for name in names if name is not None})
    joining = _Joining(solve, names, kinds)
    groups = joining.joined()
    found = list(_smallest(solve, groups, joining))
    told = sorted(found, key=lambda one: (one[1].level, not serves(one[1]), one[0], one[1].kit))
    return Ways(tuple(way._replace(rank=n) for n, (_, way) in enumerate(told, 1)),
                solve.complete and joining.complete)


def within(part: Kit, whole: Kit) -> bool:
    """Whether one kit is a part of another one."""
    there = dict(whole)
    return all(there.get(kind, 0) >= n for kind, n in part)


def dominates(one: Way, other: Way) -> bool:
    """Whether a way does all that another one does with a part of its kit: it reaches that level or a better one, and
    serves where the other serves."""
    return one.level <= other.level and within(one.kit, other.kit) and (serves(one) or not serves(other))


def grade(stage: int, mode: str) -> int:
    """How protected a child rides, as an index of ``GRADES``."""
    return _BACKLESS_GRADE if mode == _BACKLESS else _GRADE_OF_STAGE[stage]


# --- rows joined

@dataclass(slots=True)
class _Joining:
    """The groups of the rows of a solve, and of all of them together."""

    solve: Solve
    names: Sequence[str | None]
    kinds: Sequence[str]
    complete: bool = True
    _bit: dict[int, int] = field(default_factory=dict)
    _doubts: dict[JudgedPlacement, int] = field(default_factory=dict)

    def __post_init__(self) -> None:
        at = {name: 1 << _PIECES * n for n, name in enumerate(self.kinds)}
        self._bit = {n: at[name] for n, name in enumerate(self.names) if name is not None}

    def joined(self) -> list[tuple[_Worth, int, _Chosen]]:
        """What all rows together come to, for everybody: the cheapest seating of each group."""
        solve = self.solve
        rows = [self._row(n, plans) for n, plans in enumerate(solve.rows)]
        so_far: _Groups = {_Key(0, 0, solve.lanes.empty, ()): {_Worth(0, 0, 0): (0, ())}}
        for n, row in enumerate(rows):
            later = rows[n + 1:]
            reach = reduce(or_, (key.riders for some in later for key in some), 0)
            most = sum(max((key.riders.bit_count() for key in some), default=0) for some in later)
            so_far = self._join(so_far, row, reach, most)
        found: dict[_Worth, tuple[int, _Chosen]] = {}
        whole: list[tuple[_Worth, int, _Chosen]] = []
        for key, worths in so_far.items():
            doubts = self._along(key.lane)
            if doubts is None:
                continue
            if key.held or self.solve.trip.tried:         # each may still be turned down, or be surer, as a whole
                whole += [(_or(worth, doubts), cost, chosen) for worth, (cost, chosen) in worths.items()]
                continue
            for worth, (cost, chosen) in worths.items():
                _keep(found, _or(worth, doubts), cost, chosen)
        return [*whole, *((worth, cost, chosen) for worth, (cost, chosen) in found.items())]

    def _along(self, lane: int) -> int | None:
        """The doubts that the car lengthwise adds; None where it is too short, or asks for a number."""
        along = self.solve.lanes.judge(lane)
        level = max(along.level, self.solve.lanes.least)
        if level >= UNSURE:
            return None
        if level == LIKELY_FIT:
            labels = (*along.estimates, *(label for label, _ in along.of))
            return _BODIES if all(map(_of_a_body, labels)) else _OTHERS
        # what is close along the car may have held when it was tried: a whole seating tells
        return _CLOSE if level == CLOSE_FIT and not self.solve.trip.tried else 0

    def _join(self, one: _Groups, row: _Groups, reach: int, most: int) -> _Groups:
        solve, everybody = self.solve, self.solve.everybody
        bias, guard = solve.resources.shared
        into: _Groups = {}
        number = 0
        for a, worths_a in one.items():
            for b, worths_b in row.items():
                left = everybody & ~(a.riders | b.riders)
                if (a.riders & b.riders or left & ~reach or left.bit_count() > most
                        or (a.resources + b.resources + bias) & guard):
                    continue
                key = _Key(a.riders | b.riders, a.resources + b.resources, solve.lanes.pair(a.lane, b.lane),
                           (*a.held, *b.held))
                here = into.setdefault(key, {})
                before = len(here)
                _pair_up(worths_a, worths_b, here)
                number += len(here) - before
                if number > MOST_GROUPS:
                    self.complete = False
                    return into
        return {key: _pruned(worths) for key, worths in into.items()}

    def _row(self, n: int, plans: Iterable[RowAssignment]) -> _Groups:
        """The groups of one row."""
        solve, found = self.solve, dict[_Key, dict[_Worth, tuple[int, _Chosen]]]()
        bite = solve.runner.trip_rules_bite()
        estimated = isinstance(solve.trip.vehicle.rows[n], EstimatedRow)
        for plan in plans:
            if plan.level >= UNSURE:
                continue
            kit = sum([self._bit.get(choice.restraint, 0) for choice in plan.choices if choice.restraint is not None])
            held = tuple([(c.rider, c.position, c.restraint) for c in plan.choices]) if bite else ()
            backless = self._backless(plan)
            for one, doubts in self._fills(plan, estimated):
                key = _Key(plan.riders, plan.resources, one.fill.lane, held)
                worth = _Worth(kit, protected(one.cost) << _COUNT * _AGES | backless, doubts)
                _keep(found.setdefault(key, {}), worth, one.cost, ((plan, one),))
        return {key: _pruned(worths) for key, worths in found.items()}

    def _fills(self, plan: RowAssignment, estimated: bool) -> Iterator[tuple[Best, int]]:
        """The fills of a plan that may matter, each with its doubts: the best for each degree of sureness; all of them
        where one of those cannot serve, or where they ask different things along the car."""
        own = [(one, self._doubts_of(plan, one, estimated)) for one in plan.best if one.level < UNSURE]
        if len(plan.fills) > len(own) and (len({fill.lane for fill in plan.fills}) > 1
                                           or any(doubts & ~_BODIES for _, doubts in own)):
            own = [(one, self._doubts_of(plan, one, estimated)) for one in bests(plan, self.solve.cost_of)
                   if one.level < UNSURE]
        yield from own

    def _doubts_of(self, plan: RowAssignment, one: Best, estimated: bool) -> int:
        cells = list(picked(plan, one.fill))
        doubts = 0
        for cell in cells:
            own = self._doubts.get(cell)
            if own is None:
                own = self._doubts[cell] = _doubts_of(cell)
            doubts |= own
        if one.fill.level == LIKELY_FIT:
            others = estimated or any(isinstance(cell.placement.restraint, EstimatedRestraint) for cell in cells)
            doubts |= _OTHERS if others else _BODIES
        elif one.fill.level == CLOSE_FIT and not _all_held(cells):
            doubts |= _CLOSE
        return doubts

    def _backless(self, plan: RowAssignment) -> int:
        """How many of each age ride backless, the youngest first."""
        return sum([1 << _COUNT * (_AGES - 1 - self.solve.cost_of.turn(choice.rider)) for choice in plan.choices
                    if choice.mode == _BACKLESS])


def _or(worth: _Worth, doubts: int) -> _Worth:
    return worth._replace(doubts=worth.doubts | doubts) if doubts else worth


def _keep(into: dict[_Worth, tuple[int, _Chosen]], worth: _Worth, cost: int, chosen: _Chosen) -> None:
    known = into.get(worth)
    if known is None or cost < known[0]:
        into[worth] = cost, chosen


def _pair_up(one: dict[_Worth, tuple[int, _Chosen]], other: dict[_Worth, tuple[int, _Chosen]],
             into: dict[_Worth, tuple[int, _Chosen]]) -> None:
    for (kit_a, level_a, doubts_a), (cost_a, chosen_a) in one.items():
        for (kit_b, level_b, doubts_b), (cost_b, chosen_b) in other.items():
            _keep(into, _Worth(kit_a + kit_b, level_a + level_b, doubts_a | doubts_b), cost_a + cost_b,
                  (*chosen_a, *chosen_b))


def _pruned(worths: dict[_Worth, tuple[int, _Chosen]]) -> dict[_Worth, tuple[int, _Chosen]]:
    """Without those of the same kit that are no better at anything: whatever joins them later, that stays so."""
    if len(worths) < 2:
        return worths
    kept: dict[_Worth, tuple[int, _Chosen]] = {}
    own: dict[int, list[_Worth]] = {}
    for worth in sorted(worths, key=lambda one: (one.level, one.doubts)):
        before = own.setdefault(worth.kit, [])
        if not any(not other.doubts & ~worth.doubts for other in before):
            before.append(worth)
            kept[worth] = worths[worth]
    return kept


def _doubts_of(cell: JudgedPlacement) -> int:
    doubts = _CLOSE if cell.close and not cell.held else 0
    if cell.estimates:
        doubts |= _BODIES if all(map(_of_a_body, cell.estimates)) else _OTHERS
    return doubts


def _all_held(cells: Iterable[JudgedPlacement]) -> bool:
    """Whether all that is installed in a row held when it was tried, and something was."""
    held = [cell.held for cell in cells if cell.placement.restraint is not None]
    return bool(held) and all(held)


# --- the smallest kits

class _Next(NamedTuple):
    """A seating that may be a way: in the order in which no later one can make an earlier one needless."""

    level: int
    unserved: bool
    pieces: int
    doubts: int
    cost: int
    number: int


def _smallest(solve: Solve, groups: Sequence[tuple[_Worth, int, _Chosen]],
              joining: _Joining) -> Iterator[tuple[int, Way]]:
    """The ways of which no part of the kit does as much, each with its cost. A seating is asked as a whole when its
    turn comes, and waits again where it is worse than its rows say."""
    guard = sum(1 << _PIECES * (n + 1) - 1 for n in range(len(joining.kinds)))
    heap = [_next(n, worth, cost) for n, (worth, cost, _) in enumerate(groups)]
    heapify(heap)
    known: dict[int, tuple[int, Way]] = {}
    kept: list[tuple[int, bool]] = []
    while heap:
        one = heappop(heap)
        worth, _, chosen = groups[one.number]
        if any((serving or one.unserved) and not (((worth.kit | guard) - kit) & guard) ^ guard
               for kit, serving in kept):
            continue
        if one.number not in known:
            found = _whole(solve, chosen, joining)
            if found is None:
                continue
            known[one.number] = found
            again = _next(one.number, worth._replace(doubts=_doubts_in(found[1])), found[0])
            if (again.unserved, again.doubts) > (one.unserved, one.doubts):
                heappush(heap, again)
                continue
        way = known[one.number][1]
        kept.append((worth.kit, serves(way)))
        yield known[one.number]


def _next(number: int, worth: _Worth, cost: int) -> _Next:
    return _Next(worth.level, bool(worth.doubts & ~_BODIES), _pieces(worth.kit), _order(worth.doubts), cost, number)


def _order(doubts: int) -> int:
    """Fits, close, likely; of those the ones that serve first."""
    return 3 if doubts & _OTHERS else 2 if doubts & _BODIES else 1 if doubts else 0


def _doubts_in(way: Way) -> int:
    if way.verdict == "fits" or (way.verdict == "close" and way.held):
        return 0
    return _CLOSE if way.verdict == "close" else _BODIES if way.bodies_only else _OTHERS


def _pieces(kit: int) -> int:
    number = 0
    while kit:
        number += kit & (1 << _PIECES) - 1
        kit >>= _PIECES
    return number


# --- one way

def _whole(solve: Solve, chosen: _Chosen, joining: _Joining) -> tuple[int, Way] | None:
    """A seating as a whole; None where the car is too short, a rule turns it down, or something has to be measured."""
    plans = tuple(plan for plan, _ in chosen)
    pick = solve.picked_as(plans, [one for _, one in chosen])
    whole = solve.whole_as(plans, pick)
    if whole is None or whole.level >= UNSURE:
        return None
    return whole.cost, way_of(solve, whole, pick, joining.names)


def way_of(solve: Solve, whole: Ranked, pick: Pick, names: Sequence[str | None]) -> Way:
    """A whole seating as a way; ``names`` as in ``ways_of``."""
    cells = [cell for plan, fill in zip(whole.plans, pick.fills, strict=True) for cell in picked(plan, fill)]
    verdict: Verdict = LEVELS[whole.level]  # type: ignore[assignment]  # those that stand are verdicts
    # a part that is close and did not hold is left open, too, by whoever is estimated
    close = any(one.level == CLOSE_FIT and not _all_held(picked(plan, one))
                for plan, one in zip(whole.plans, pick.fills, strict=True))
    bodies = verdict == "likely" and not close and _bodies_only(solve.judge.arrangement(cells))
    findings = solve.trip_findings(Seated(tuple([cell.placement for cell in cells])))
    return _way(solve, cells, names, verdict, bodies, findings)._replace(
        held=verdict == "close" and not unpack(whole.cost)["sure"])


def way_judged(solve: Solve, judged: Judged, names: Sequence[str | None]) -> Way:
    """An arrangement that was judged as a whole, as a way. ValueError: it is turned down."""
    if judged.verdict == "rejected":
        raise ValueError("an arrangement that is turned down is no way")
    return _way(solve, judged.cells, names, judged.verdict, judged.verdict == "likely" and _bodies_only(judged),
                judged.findings)


def answers_for(judged: Judged) -> bool:
    """Whether an arrangement serves, whatever was tried."""
    return judged.verdict == "fits" or (judged.verdict == "likely" and _bodies_only(judged))


def _bodies_only(judged: Judged) -> bool:
    """Whether nothing but bodies is estimated in an arrangement, and no part is close that did not hold."""
    return all(map(_of_a_body, judged.estimates)) and not any(cell.close and not cell.held for cell in judged.cells)


def _way(solve: Solve, cells: Sequence[JudgedPlacement], names: Sequence[str | None], verdict: Verdict, bodies: bool,
         findings: Iterable[Finding]) -> Way:
    return Way(_kit(cells, solve, names), _level(solve, cells), verdict, bodies,
               tuple(_seat(solve, cell, names) for cell in cells), _cautions(cells, findings))


def _level(solve: Solve, cells: Sequence[JudgedPlacement]) -> Level:
    """What stands before protection in the order, then how each child rides, the youngest first; those of one age
    worst first, as the order compares them."""
    told = unpack(sum(map(solve.cost_of, cells)))
    children = [cell.placement for cell in cells if not cell.placement.rider.adult]
    turns = [solve.cost_of.turn(_number(solve, child)) for child in children]
    stages = sorted((turn, -solve.cost_of.stage(child)) for turn, child in zip(turns, children, strict=True))
    backless = sorted((turn, -(child.mode_name == _BACKLESS)) for turn, child in zip(turns, children, strict=True))
    return (*(told[name] for name in _BEFORE), *(-one for _, one in stages), *(-one for _, one in backless))


def _number(solve: Solve, placement: Placement) -> int:
    return next(n for n, rider in enumerate(solve.trip.riders) if rider.rider == placement.rider.rider)


def _kind(solve: Solve, placement: Placement, names: Sequence[str | None]) -> tuple[str | None, int]:
    """The kind that a restraint is a copy of, None for the belt and for what is no copy of the store's; the place of
    one that is brought along among those, -1 for all else."""
    if placement.restraint is None:
        return None, -1
    number = solve.kinds.index(placement.restraint.restraint)
    if number is None or number >= len(names):            # built in
        return None, -1
    kind = names[number]
    return kind, number if kind is None else -1


def _kit(cells: Iterable[JudgedPlacement], solve: Solve, names: Sequence[str | None]) -> Kit:
    counted: dict[str, int] = {}
    for cell in cells:
        kind, _ = _kind(solve, cell.placement, names)
        if kind is not None:
            counted[kind] = counted.get(kind, 0) + 1
    return tuple(sorted(counted.items()))


def _of_a_body(label: str) -> bool:
    """Whether what is estimated is of somebody who rides."""
    keys = keys_of(label)
    return bool(keys) and all(key.startswith("rider.") for key in keys)


def _seat(solve: Solve, cell: JudgedPlacement, names: Sequence[str | None]) -> Seat:
    placement = cell.placement
    kind, own = _kind(solve, placement, names)
    return Seat(_number(solve, placement), placement.position.position, kind,
                placement.mode_name, placement.by,
                -1 if placement.rider.adult else grade(solve.cost_of.stage(placement), placement.mode_name),
                bool(placement.tether), own)


def _cautions(cells: Iterable[JudgedPlacement], findings: Iterable[Finding]) -> tuple[str, ...]:
    """The rules that caution, each once, grave ones first."""
    told = {finding.rule for cell in cells for finding in cell.findings if finding.outcome == "caution"}
    told |= {finding.rule for finding in findings if finding.outcome == "caution"}
    return tuple(sorted(told, key=lambda one: (rule_by_id(one).weight != "grave", one)))
