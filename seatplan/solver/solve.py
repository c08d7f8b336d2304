"""One trip being solved: placements judged, rows filled, whole seatings in order of merit."""

from __future__ import annotations

import heapq
from collections.abc import Callable, Iterator, Sequence
from datetime import date
from heapq import merge
from itertools import pairwise, product, zip_longest
from math import prod
from operator import itemgetter
from typing import NamedTuple

from seatplan.frozen import frozen
from seatplan.message import said
from seatplan.model import Trip
from seatplan.rules.finding import Finding
from seatplan.rules.options import Options
from seatplan.rules.profile import Profile
from seatplan.rules.run import Runner
from seatplan.rules.subjects import Seated, adjacent
from seatplan.store import COMMON, Store

from .budget import Budget, TooMuch, Work
from .combine import Counts, best_first, by_turns, count_plans, count_seatings, count_shares
from .judge import Judge
from .kinds import Kinds, alike, apart
from .lane import Along
from .narrowing import best_few, fewer_restraints, plans_of
from .placements import Assignment, Choices, all_choices, open_choices
from .ranking import NEARLY, OPEN, SURE, CellCost, cost, surely, weighed
from .resources import resources_of
from .rowplans import (
    CLOSE_FIT,
    CONTESTED,
    FITS,
    TOO_TIGHT,
    UNSURE,
    Best,
    InstallationPick,
    Level,
    RowAssignment,
    Within,
    bests,
    picked,
    row_plans,
    withins,
)
from .shortage import find_shortage, plainly_short
from .whole import may_matter

#: so many whole seatings, whatever becomes of them, need not be counted to know that they are few enough
UNCOUNTED = 50_000
#: so many seatings are put in order for the best few of them
MOST_RANKED = 400_000

Progress = Callable[[str, int], None]
#: a whole seating with what it costs at least
_InTurn = tuple[int, tuple[RowAssignment, ...]]
BUDGET = Budget()


@frozen
class Pick:
    """The placements chosen for a seating, a fill a row, with their cost, how sure they count as and are, and what
    becomes of them along the car."""

    fills: tuple[InstallationPick, ...]
    rest: int                         # the cost, how sure it is aside
    sure: int
    level: Level
    along: Along

    @property
    def cost(self) -> int:
        return self.rest + surely(self.sure)


class Ranked(NamedTuple):
    """A whole seating that nothing turns down, what it costs and how sure it is."""

    cost: int
    plans: tuple[RowAssignment, ...]
    level: Level


class _Offer(NamedTuple):
    """A plan as it costs where a seating may be as unsure as some bound."""

    cost: int
    riders: int
    resources: int
    level: Level
    plan: RowAssignment


class _Offers(NamedTuple):
    """What the plans of a row offer where a seating may be as unsure as each bound: those who are just so unsure, and
    those who are surer."""

    just: tuple[list[_Offer], ...]
    surer: tuple[list[_Offer], ...]


def _offers(plans: Sequence[RowAssignment]) -> _Offers:
    """Those of some plans; who are too tight offer nothing."""
    bounds = range(OPEN + 1)
    found = _Offers(tuple([[] for _ in bounds]), tuple([[] for _ in bounds]))
    for plan in plans:
        if plan.level < TOO_TIGHT:
            for one, less_sure in zip_longest(plan.best, plan.best[1:]):
                offer = _Offer(one.cost, plan.riders, plan.resources, plan.level, plan)
                found.just[one.sure].append(offer)
                for bound in range(one.sure + 1, less_sure.sure if less_sure else OPEN + 1):
                    found.surer[bound].append(offer)
    return found


class Solve:
    """One trip being solved: placements judged, rows filled, ready to be counted and listed.

    ``complete`` is False where the budget left seatings out; ``rows`` hold only plans of those that were found then.
    ``ways`` counts the whole seatings of the rows by their way along the car; ``judged`` are its placements;
    ``work`` is what it took so far, in units of a placement judged or a row plan made.
    """

    def __init__(self, trip: Trip, profile: Profile, today: date, *, strict: bool = False,
                 worst_case: bool = False, budget: Budget = BUDGET, progress: Progress | None = None,
                 choices: Choices | None = None, each_copy: bool = False, store: Store = COMMON,
                 choices_of: Callable[[Trip, Runner, Kinds], Choices] = all_choices,
                 counted: bool = True) -> None:
        """``choices`` are those of the same trip, day and rules, where they were judged before. ``each_copy``: like
        restraints are told apart, for who follows each through time. ``store`` keeps answers for whoever asks next;
        ``choices_of`` makes the choices where there are none yet. Not ``counted``: the rows hold no plan that cannot
        be part of a seating that stands."""
        self.judge = Judge(trip, profile, today, Options(strict, worst_case), store)
        self.trip = trip = self.judge.trip
        self.strict, self.worst_case, self.budget = strict, worst_case, budget
        self.world, self.runner, self.lanes = self.judge.world, self.judge.runner, self.judge.lanes
        self.cars, self.blocks = self.judge.cars, self.judge.refuses
        self.choices: Choices = choices or choices_of(trip, self.runner, apart(trip) if each_copy else alike(trip))
        self.kinds, self.resources = self.choices.kinds, resources_of(self.choices, self.world)
        self.cost_of = CellCost(self.world)
        self._tick, self.all_ranked = progress, True
        # whether a rule or a wish adds to what a whole seating costs
        self._asked_as_whole = self.runner.trip_rules_order() or any(
            wish.together and not wish.must for wish in trip.wishes)
        self.everybody = (1 << len(trip.riders)) - 1
        self.row_at = [r for r, row in enumerate(trip.vehicle.rows) for _ in row.positions]
        # with fewer seats or restraints than riders there is nothing to search: no seating has one each
        self.short = find_shortage(self.choices) if plainly_short(self.choices) else None
        self.rows: list[list[RowAssignment]] = []
        self._counts: list[Counts] | None = None
        self.complete = True
        seats: list[list[list[Assignment]]] = [[] for _ in trip.vehicle.rows]
        for position, r in enumerate(self.row_at):
            seats[r].append([] if self.short else self._open_at(position))
        most = budget.plans
        if plans_of(seats, self.resources, budget.plans) > budget.plans:
            self.complete = False
            seats = fewer_restraints(seats, self.resources, self.kinds.copies, self.cost_of, budget.plans)
            if plans_of(seats, self.resources, budget.plans) > budget.plans:
                most = budget.plans // len(seats)
        parts: Sequence[Within | None] = [None] * len(seats) if counted else withins(seats, self.everybody)
        for row, here, car, within in zip(trip.vehicle.rows, seats, self.cars, parts, strict=True):
            tick = None if progress is None else _row_tick(progress, row.row)
            found = row_plans(here, car, self.cost_of, most, tick, resources=self.resources, within=within)
            self.rows.append(found.plans)
            self.complete = self.complete and found.complete
        self.judged = sum(1 for _ in self.choices.cells())
        self.work = self.judged + sum(map(len, self.rows))
        self._ways: dict[int, int] | None = None
        # where there are few seatings, all can be looked at whatever they come to: nobody has to count them first
        if prod(len(row) for row in self.rows) > UNCOUNTED:
            self.ways = self._counted()

    def again(self, trip: Trip, choices_of: Callable[[Trip, Runner, Kinds], Choices] = open_choices) -> Solve:
        """A changed trip under the same rules and options, on the same day, for the best seatings of it alone."""
        return Solve(trip, self.world.profile, self.world.day, strict=self.strict, worst_case=self.worst_case,
                     store=self.world.store, choices_of=choices_of, counted=False)

    @property
    def ways(self) -> dict[int, int]:
        """How many whole seatings go each way along the car; counted when it is first asked for."""
        if self._ways is None:
            self._ways = self._counted()
        return self._ways

    @ways.setter
    def ways(self, counted: dict[int, int]) -> None:
        self._ways = counted

    @property
    def counts(self) -> list[Counts]:
        """The plans of each row, counted by riders, resources and way."""
        if self._counts is None:
            self._counts = list(map(count_plans, self.rows))
        return self._counts

    def _counted(self) -> dict[int, int]:
        ways = self._count()
        return self.narrow() if ways is None else ways

    def _count(self) -> dict[int, int] | None:
        """How many whole seatings go each way; None where there are too many to look at."""
        counts = self.counts
        if count_shares(counts, self.everybody) > self.budget.shares:
            return None
        try:
            ways = count_seatings(counts, self.everybody, self.lanes.nothing, self.lanes.join, self.resources.shared,
                                  Work(self.budget.joins))
        except TooMuch:
            return None
        looked_at = sum(n for way, n in ways.items() if self.lanes.level(way) < CONTESTED)
        return ways if looked_at <= (self.budget.judged if may_matter(self) else self.budget.seatings) else None

    def narrow(self) -> dict[int, int]:
        """Leave only the plans of the best few seatings that are found; the counts of those."""
        self.complete = False
        found = best_few(self.rows, self.everybody, self.resources.shared, self._together, self._stands,
                         self.budget.kept, Work(self.budget.beam))
        for n in range(len(found), -1, -1):
            kept = {plan for plans in found[:n] for plan in plans}
            self.rows = [[plan for i, plan in enumerate(row) if not i or plan in kept] for row in self.rows]
            self._counts = None
            ways = self._count()
            if ways is not None:
                return ways
        return {}

    def _together(self, plan: RowAssignment) -> bool:
        """Whether a row keeps the riders side by side who must be, or has none of them."""
        here = {c.cells[0].placement.rider.rider: c.cells[0].placement for c in plan.choices}
        return all(
            all(name in here for name in wish.together) and all(
                adjacent(here[a], here[b]) for a, b in pairwise(wish.together))
            for wish in self.trip.wishes
            if wish.must and wish.together and not here.keys().isdisjoint(wish.together))

    def _stands(self, plans: Sequence[RowAssignment]) -> bool:
        """Whether a seating that fits in every row fits along the car, and no rule of the whole trip turns it down."""
        pick = self.pick(plans)
        return pick.along.level < TOO_TIGHT and not self.blocks(self.trip_findings(seated_of(plans, pick)))

    def _open_at(self, position: int) -> list[Assignment]:
        return [c for choices in self.choices.per_rider for c in choices
                if c.position == position and c.cells and not self.resources.never(c)]

    def seated(self, plans: Sequence[RowAssignment]) -> Seated:
        """The placements of a whole seating, by the best pick of every row, in order of position."""
        return seated_of(plans, self.pick(plans))

    def pick(self, plans: Sequence[RowAssignment]) -> Pick:
        """The best placements for a seating: the cheapest of every row, unless the car is too short for them."""
        best = self._best_of(plans, [plan.best for plan in plans])
        if best.along.level == FITS or all(len({fill.lane for fill in plan.fills}) == 1 for plan in plans):
            return best
        others = [self._pick(plans, some) for some in product(*map(self._by_lane, plans))]
        return min(others, key=lambda pick: pick.cost)

    def _best_of(self, plans: Sequence[RowAssignment], rows: Sequence[Sequence[Best]]) -> Pick:
        """The best of some picks of each row, the surest first: a seating is as sure as its least sure row, so the
        others may as well take what costs less and is no surer."""
        if all(len(own) == 1 for own in rows):
            return self._pick(plans, [own[0] for own in rows])
        picks = []
        for bound in sorted({one.sure for own in rows for one in own}):
            within = [[one for one in own if one.sure <= bound] for own in rows]
            if all(within):
                picks.append(self._pick(plans, [own[-1] for own in within]))
        return min(picks, key=lambda pick: pick.cost)

    def _pick(self, plans: Sequence[RowAssignment], chosen: Sequence[Best]) -> Pick:
        fills = tuple([one.fill for one in chosen])
        along = self.lanes.judge(self.lanes.together([fill.lane for fill in fills]))
        sure = self._held_along(plans, fills) if along.level == CLOSE_FIT else min(int(along.level), OPEN)
        short = cost(squeeze=1) if along.level >= TOO_TIGHT else 0
        return Pick(fills, sum([one.cost for one in chosen]) + short,
                    max(sure, int(self.lanes.least), *[one.sure for one in chosen]),
                    max(along.level, self.lanes.least, *[one.level for one in chosen]), along)

    def _held_along(self, plans: Sequence[RowAssignment], fills: Sequence[InstallationPick]) -> int:
        """How sure a car counts as that is close along: it fits, where all who ask something of a seat ahead held when
        they were tried."""
        asking = [cell for plan, fill in zip(plans, fills, strict=True) for cell in picked(plan, fill)
                  if self.lanes.asks_surely(cell.placement)]
        return SURE if asking and all(cell.held for cell in asking) else NEARLY

    def _by_lane(self, plan: RowAssignment) -> list[Best]:
        """The cheapest picks for each lane of a plan, the surest first."""
        best: dict[int, list[Best]] = {}
        for one in sorted(bests(plan, self.cost_of), key=lambda one: (one.sure, one.cost, one.fill.pick)):
            own = best.setdefault(one.fill.lane, [])
            if not own or one.cost < own[-1].cost:
                own.append(one)
        return [one for own in best.values() for one in own]

    def best_first(self, rows: Sequence[Sequence[RowAssignment]]) -> Iterator[tuple[int, tuple[RowAssignment, ...]]]:
        """Whole seatings of some plans of each row, lowest cost first, as if how sure they are added up."""
        return best_first(rows, self.everybody, self.resources.shared)

    def surest_first(self, rows: Sequence[Sequence[RowAssignment]]) -> Iterator[tuple[int, tuple[RowAssignment, ...]]]:
        """Whole seatings of some plans of each row that fit, by how sure their least sure row is, then by cost."""
        for bound in (level for level in Level if level < TOO_TIGHT):
            old = [[plan for plan in plans if plan.level < bound] for plans in rows]
            new = [[plan for plan in plans if plan.level == bound] for plans in rows]
            yield from merge(*map(self.best_first, by_turns(old, new)), key=itemgetter(0))

    def _in_order(self, rows: Sequence[Sequence[RowAssignment]], least: int) -> Iterator[_InTurn]:
        """Whole seatings that fit in every row with what they cost at least, in order; none surer than ``least``. One
        that can do less sure and cheaper comes again."""
        offers = list(map(_offers, rows))
        return merge(*[self._bounded(offers, bound, max(bound, least)) for bound in range(OPEN + 1)],
                     key=itemgetter(0))

    def bounded(self, rows: Sequence[Sequence[RowAssignment]], bound: int, counts: int) -> Iterator[_InTurn]:
        """Those in which some row is no surer than ``bound``, and none less sure; they count as ``counts``."""
        return self._bounded(list(map(_offers, rows)), bound, counts)

    def _bounded(self, rows: Sequence[_Offers], bound: int, counts: int) -> Iterator[_InTurn]:
        turns = by_turns([row.surer[bound] for row in rows], [row.just[bound] for row in rows])
        seatings = merge(*[best_first(some, self.everybody, self.resources.shared) for some in turns],
                         key=itemgetter(0))
        extra = surely(counts)
        return ((cost + extra, tuple([offer.plan for offer in offers])) for cost, offers in seatings)

    def trip_findings(self, seated: Seated) -> list[Finding]:
        return self.runner.trip(seated)

    def ranked(self, most: int | None = None, owed: int = 0, least: int = SURE,
               rows: Sequence[Sequence[RowAssignment]] | None = None) -> Iterator[Ranked]:
        """Valid seatings, best first, of all plans or of some of each row.

        What a rule of the whole trip, the car lengthwise or a wish for two riders adds is only known for a whole
        seating; it never makes one better, so a seating waits in a heap until nothing cheaper can come. ``owed`` is
        known to be added to every one, and none counts as surer than ``least``. After ``most`` seatings looked at,
        those that wait come without waiting any longer.
        """
        waiting: list[tuple[int, int, Ranked]] = []
        order = 0
        self.all_ranked = True
        seen: set[tuple[RowAssignment, ...]] = set()
        in_order = self._in_order(self.rows if rows is None else rows, max(least, int(self.lanes.least)))
        for looked, (base, plans) in enumerate(in_order):
            if looked == most:
                self.all_ranked = False
                break
            if self._tick and not looked & 0x3FFF:
                self._tick(said("putting arrangements in order"), looked)
            while waiting and waiting[0][0] <= base + owed:
                yield heapq.heappop(waiting)[2]
            if any(len(plan.best) > 1 for plan in plans):
                if plans in seen:
                    continue
                seen.add(plans)
            found = self.whole(plans)
            if found is not None:
                heapq.heappush(waiting, (found.cost, order, found))
                order += 1
        while waiting:
            yield heapq.heappop(waiting)[2]

    def whole(self, plans: tuple[RowAssignment, ...]) -> Ranked | None:
        """A seating that fits in every row as a whole; None where the car is too short, or a rule turns it down."""
        return self.whole_as(plans, self.pick(plans))

    def picked_as(self, plans: Sequence[RowAssignment], chosen: Sequence[Best]) -> Pick:
        """A seating by the fills that somebody chose, one a plan, whether or not these are the best."""
        return self._pick(plans, chosen)

    def whole_as(self, plans: tuple[RowAssignment, ...], pick: Pick) -> Ranked | None:
        """The same as ``whole`` of a seating by some pick of it."""
        if pick.along.level >= TOO_TIGHT:
            return None
        if not self._asked_as_whole:
            return Ranked(pick.cost, plans, pick.level)
        seated = seated_of(plans, pick)
        findings = self.runner.trip_in_order(seated)
        if self.blocks(findings):
            return None
        open_ = any(finding.outcome == "unmeasured" for finding in findings)
        total = pick.rest + surely(OPEN if open_ else pick.sure) + weighed(findings) + cost(
            wishes=self._apart_from_wished(seated))
        return Ranked(total, plans, max(pick.level, UNSURE) if open_ else pick.level)

    def _apart_from_wished(self, seated: Seated) -> int:
        by_name = {p.rider.rider: p for p in seated.placements}
        unkept = 0
        for wish in self.trip.wishes:
            if wish.together and not wish.must:
                unkept += sum(not adjacent(by_name[a], by_name[b]) for a, b in pairwise(wish.together))
        return unkept


def seated_of(plans: Sequence[RowAssignment], pick: Pick) -> Seated:
    return Seated(tuple([cell.placement for plan, fill in zip(plans, pick.fills, strict=True)
                         for cell in picked(plan, fill)]))


def _row_tick(progress: Progress, row: int) -> Callable[[int], None]:
    return lambda n: progress(said("filling row {row}", row=row), n)
