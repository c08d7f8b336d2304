"""One trip being solved: placements judged, rows filled, whole seatings in order of merit."""

from __future__ import annotations

import heapq
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from itertools import islice, pairwise, product
from math import prod

from seatplan.geometry.chain import Squeeze
from seatplan.model import Trip
from seatplan.rules.finding import Finding
from seatplan.rules.options import Options
from seatplan.rules.profile import Profile
from seatplan.rules.run import Runner
from seatplan.rules.subjects import Seated
from seatplan.said import said
from seatplan.store import COMMON, Store

from .budget import Budget, TooMuch, Work
from .combine import best_first, count_plans, count_seatings, count_shares
from .judge import Judge, in_sum
from .kinds import Kinds, alike, apart
from .lane import Along
from .narrowing import best_few, fewer_restraints, plans_of
from .placements import Choice, Choices, all_choices
from .ranking import LIKELY, UNMEASURED, CellCost, cost
from .resources import resources_of
from .results import SqueezeShown
from .rowjudge import neighbours
from .rowplans import (
    CONTESTED,
    FITS,
    POINTS,
    TOO_TIGHT,
    Fill,
    RowPlan,
    best_fill,
    fill_cost,
    level_of,
    picked,
    row_plans,
)
from .shortage import find_shortage, plainly_short
from .whole import may_matter

#: how many near misses are worked out
SQUEEZES_SHOWN = 3
#: how many of the best seatings are looked at for ones that fail along the car
LOOKED_AT = 300
#: so many whole seatings, whatever becomes of them, need not be counted to know that they are few enough
UNCOUNTED = 50_000
#: so many seatings are put in order for the best few of them
MOST_RANKED = 400_000

Progress = Callable[[str, int], None]
BUDGET = Budget()


@dataclass(frozen=True, slots=True)
class Pick:
    """The placements chosen for a seating, a fill a row, with their cost and what becomes of them along the car."""

    fills: tuple[Fill, ...]
    cost: int
    along: Along


class Solve:
    """One trip being solved: placements judged, rows filled, ready to be counted and listed.

    ``complete`` is False where the budget left seatings out; ``rows`` hold only plans of those that were found then.
    ``ways`` counts the whole seatings of the rows by their way along the car; ``judged`` are its placements;
    ``work`` is what it took so far, in units of a placement judged or a row plan made.
    """

    def __init__(self, trip: Trip, profile: Profile, today: date, *, strict: bool = False,
                 worst_case: bool = False, budget: Budget = BUDGET, progress: Progress | None = None,
                 choices: Choices | None = None, each_copy: bool = False, store: Store = COMMON,
                 choices_of: Callable[[Trip, Runner, Kinds], Choices] = all_choices) -> None:
        """``choices`` are those of the same trip, day and rules, where they were judged before. ``each_copy``: like
        restraints are told apart, for who follows each through time. ``store`` keeps answers for whoever asks next;
        ``choices_of`` makes the choices where there are none yet."""
        self.judge = Judge(trip, profile, today, Options(strict, worst_case), store)
        self.trip = trip = self.judge.trip
        self.strict, self.worst_case, self.budget = strict, worst_case, budget
        self.world, self.runner, self.lanes = self.judge.world, self.judge.runner, self.judge.lanes
        self.cars, self.blocks = self.judge.cars, self.judge.refuses
        self.choices: Choices = choices or choices_of(trip, self.runner, apart(trip) if each_copy else alike(trip))
        self.kinds, self.resources = self.choices.kinds, resources_of(self.choices, self.world)
        self.cost_of = CellCost(self.world)
        self._best_fills: dict[RowPlan, Fill] = {}
        self._tick, self.all_ranked = progress, True
        self.everybody = (1 << len(trip.riders)) - 1
        self.row_at = [r for r, row in enumerate(trip.vehicle.rows) for _ in row.positions]
        # with fewer seats or restraints than riders there is nothing to search: no seating has one each
        self.short = find_shortage(self.choices) if plainly_short(self.choices) else None
        self.rows: list[list[RowPlan]] = []
        self.complete = True
        seats: list[list[list[Choice]]] = [[] for _ in trip.vehicle.rows]
        for position, r in enumerate(self.row_at):
            seats[r].append([] if self.short else self._open_at(position))
        most = budget.plans
        if plans_of(seats, self.resources, budget.plans) > budget.plans:
            self.complete = False
            seats = fewer_restraints(seats, self.resources, self.kinds.copies, self.cost_of, budget.plans)
            if plans_of(seats, self.resources, budget.plans) > budget.plans:
                most = budget.plans // len(seats)
        for row, here, car in zip(trip.vehicle.rows, seats, self.cars, strict=True):
            tick = None if progress is None else _row_tick(progress, row.row)
            found = row_plans(here, car, self.cost_of, most, tick, resources=self.resources)
            self.rows.append(found.plans)
            self.complete = self.complete and found.complete
        self.judged = sum(1 for _ in self.choices.cells())
        self.work = self.judged + sum(map(len, self.rows))
        self._ways: dict[int, int] | None = None
        # where there are few seatings, all can be looked at whatever they come to: nobody has to count them first
        if prod(len(row) for row in self.rows) > UNCOUNTED:
            self.ways = self._counted()

    @property
    def ways(self) -> dict[int, int]:
        """How many whole seatings go each way along the car; counted when it is first asked for."""
        if self._ways is None:
            self._ways = self._counted()
        return self._ways

    @ways.setter
    def ways(self, counted: dict[int, int]) -> None:
        self._ways = counted

    def _counted(self) -> dict[int, int]:
        ways = self._count()
        return self.narrow() if ways is None else ways

    def _count(self) -> dict[int, int] | None:
        """How many whole seatings go each way; None where there are too many to look at."""
        counts = [count_plans(plans) for plans in self.rows]
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
            ways = self._count()
            if ways is not None:
                return ways
        return {}

    def _together(self, plan: RowPlan) -> bool:
        """Whether a row keeps the riders side by side who must be, or has none of them."""
        here = {c.cells[0].placement.rider.rider: c.cells[0].placement for c in plan.choices}
        return all(
            all(name in here for name in wish.together) and all(
                neighbours(here[a], here[b]) for a, b in pairwise(wish.together))
            for wish in self.trip.wishes
            if wish.must and wish.together and not here.keys().isdisjoint(wish.together))

    def _stands(self, plans: Sequence[RowPlan]) -> bool:
        """Whether a seating that fits in every row fits along the car, and no rule of the whole trip turns it down."""
        pick = self.pick(plans)
        return pick.along.level < TOO_TIGHT and not self.blocks(self.trip_findings(_seated(plans, pick)))

    def _open_at(self, position: int) -> list[Choice]:
        return [c for choices in self.choices.per_rider for c in choices
                if c.position == position and c.cells and not self.resources.never(c)]

    def seated(self, plans: Sequence[RowPlan]) -> Seated:
        """The placements of a whole seating, by the best pick of every row, in order of position."""
        return _seated(plans, self.pick(plans))

    def pick(self, plans: Sequence[RowPlan]) -> Pick:
        """The best placements for a seating: the cheapest of every row, unless the car is too short for them."""
        cheapest = tuple([self._cheapest(plan) for plan in plans])
        along = self.lanes.judge(self.lanes.together([fill.lane for fill in cheapest]))
        if along.level == FITS or all(len({fill.lane for fill in plan.fills}) == 1 for plan in plans):
            return self._pick(plans, cheapest, along)
        others = [self._pick(plans, fills) for fills in product(*(self._by_lane(plan) for plan in plans))]
        return min(others, key=lambda pick: pick.cost)

    def _pick(self, plans: Sequence[RowPlan], fills: tuple[Fill, ...], along: Along | None = None) -> Pick:
        along = along or self.lanes.judge(self.lanes.together([fill.lane for fill in fills]))
        doubt = POINTS[max(along.level, self.lanes.least)]
        total = sum([plan.cost if fill is self._best_fills.get(plan) else fill_cost(plan, fill, self.cost_of)
                     for plan, fill in zip(plans, fills, strict=True)])
        return Pick(fills, total + cost(certainty=doubt), along)

    def _cheapest(self, plan: RowPlan) -> Fill:
        kept = self._best_fills.get(plan)
        if kept is None:
            kept = self._best_fills[plan] = best_fill(plan, self.cost_of)
        return kept

    def _by_lane(self, plan: RowPlan) -> list[Fill]:
        """The cheapest fill for each lane of a plan."""
        best: dict[int, Fill] = {}
        for fill in sorted(plan.fills, key=lambda f: (fill_cost(plan, f, self.cost_of), f.pick)):
            best.setdefault(fill.lane, fill)
        return list(best.values())

    def best_first(self, rows: Sequence[Sequence[RowPlan]]) -> Iterator[tuple[int, tuple[RowPlan, ...]]]:
        """Whole seatings of some plans of each row, lowest cost first."""
        return best_first(rows, self.everybody, self.resources.shared)

    def trip_findings(self, seated: Seated) -> list[Finding]:
        return self.runner.trip(seated)

    def ranked(self, most: int | None = None,
               owed: int = 0) -> Iterator[tuple[int, tuple[RowPlan, ...], tuple[Finding, ...]]]:
        """Valid seatings as (cost, plans, findings of the trip), best first.

        What a rule of the whole trip or a wish for two riders adds is only known for a whole seating; it never
        lowers the cost, so a seating waits in a heap until nothing cheaper can come; ``owed`` is known to be added to
        every one. After ``most`` seatings looked
        at, those that wait come without waiting any longer.
        """
        waiting: list[tuple[int, int, tuple[RowPlan, ...], tuple[Finding, ...]]] = []
        order = 0
        owed += 0 if self.lanes.least == FITS else cost(certainty=LIKELY)     # by every seating of reckoned sizes
        self.all_ranked = True
        for looked, (base, plans) in enumerate(self.best_first(self.rows)):
            if level_of(base) >= TOO_TIGHT:
                break
            if looked == most:
                self.all_ranked = False
                break
            if self._tick and not looked & 0x3FFF:
                self._tick(said("putting arrangements in order"), looked)
            while waiting and waiting[0][0] <= base + owed:
                total, _, ready, findings = heapq.heappop(waiting)
                yield total, ready, findings
            pick = self.pick(plans)
            if pick.along.level >= TOO_TIGHT:
                continue
            seated = _seated(plans, pick)
            findings = tuple(self.trip_findings(seated))
            if self.blocks(findings):
                continue
            total = pick.cost + cost(
                cautions=sum(f.outcome == "caution" for f in findings),
                certainty=UNMEASURED * sum(f.outcome == "unmeasured" for f in findings),
                wishes=self._apart_from_wished(seated),
            )
            heapq.heappush(waiting, (total, order, plans, findings))
            order += 1
        while waiting:
            total, _, ready, findings = heapq.heappop(waiting)
            yield total, ready, findings

    def _apart_from_wished(self, seated: Seated) -> int:
        by_name = {p.rider.rider: p for p in seated.placements}
        unkept = 0
        for wish in self.trip.wishes:
            if wish.together and not wish.must:
                unkept += sum(not neighbours(by_name[a], by_name[b]) for a, b in pairwise(wish.together))
        return unkept

    def near_misses(self) -> list[SqueezeShown]:
        """The seatings that fail only for room and by the least, one for each different sum; nearest first."""
        across: list[tuple[int, tuple[RowPlan, ...]]] = []
        for i, row in enumerate(self.rows):
            tight = [plan for plan in row if plan.level == TOO_TIGHT]
            across.extend(islice(self.best_first([*self.rows[:i], tight, *self.rows[i + 1:]]), 50))
        across.sort(key=lambda item: item[0])
        shown = [*self._different(plans for _, plans in across), *self._different(self._short_cars())]
        return sorted(shown, key=lambda squeezed: squeezed.squeeze.short)[:SQUEEZES_SHOWN]

    def _different(self, seatings: Iterable[tuple[RowPlan, ...]]) -> list[SqueezeShown]:
        """The first few different sums of some seatings."""
        shown: dict[tuple[object, ...], SqueezeShown] = {}
        for plans in seatings:
            squeezed = self.squeeze_in(plans)
            if squeezed is not None:
                labels = (addend.label for step in squeezed.squeeze.steps for addend in step.addends)
                shown.setdefault((squeezed.row, *labels), squeezed)
            if len(shown) >= SQUEEZES_SHOWN:
                break
        return list(shown.values())

    def _short_cars(self) -> list[tuple[RowPlan, ...]]:
        """Seatings among the best ones that fit in every row and not along the car, those that lack least first."""
        found: list[tuple[float, tuple[RowPlan, ...]]] = []
        for base, plans in islice(self.best_first(self.rows), LOOKED_AT):
            if level_of(base) >= TOO_TIGHT:
                break
            along = self.pick(plans).along
            if along.level == TOO_TIGHT and isinstance(along.answer, Squeeze):
                found.append((along.answer.short, plans))
        return [plans for _, plans in sorted(found, key=lambda item: item[0])]

    def squeeze_in(self, plans: Sequence[RowPlan]) -> SqueezeShown | None:
        """The sum that does not come out in the first squeezed row of a seating.

        None where a row only counts as squeezed because ``strict`` asks for every number.
        """
        pick = self.pick(plans)
        seated = _seated(plans, pick).placements
        everyone = tuple(self.kinds.given_out(seated))
        for i, (plan, fill) in enumerate(zip(plans, pick.fills, strict=True)):
            if plan.level == TOO_TIGHT:
                squeeze = self.cars[i].solve([cell.placement for cell in picked(plan, fill)])
                row = self.trip.vehicle.rows[i].row
                if isinstance(squeeze, Squeeze):
                    here = tuple(p for p in everyone if p.row.row == row)
                    return SqueezeShown(row, here, everyone, squeeze)
        along = self.judge.along(seated)
        if along.level == TOO_TIGHT and isinstance(along.answer, Squeeze):
            spoken = tuple(p for p in everyone if in_sum(p, along))
            return SqueezeShown(None, spoken, everyone, along.answer)
        return None


def _seated(plans: Sequence[RowPlan], pick: Pick) -> Seated:
    return Seated(tuple([cell.placement for plan, fill in zip(plans, pick.fills, strict=True)
                         for cell in picked(plan, fill)]))


def _row_tick(progress: Progress, row: int) -> Callable[[int], None]:
    return lambda n: progress(said("filling row {row}", row=row), n)
