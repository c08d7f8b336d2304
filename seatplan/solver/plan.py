"""The main job: one trip, one vehicle, every arrangement that is allowed and fits side by side."""

from __future__ import annotations

import heapq
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from itertools import islice, pairwise, product

from seatplan.geometry.chain import Squeeze
from seatplan.model import Trip
from seatplan.rules.finding import Finding
from seatplan.rules.options import Options
from seatplan.rules.profile import Profile
from seatplan.rules.subjects import Seated
from seatplan.said import said

from .assemble import assemble
from .certificates import contests_of, shortage_of
from .combine import best_first, count_plans, count_seatings
from .grid import grid
from .judge import Judge, in_sum
from .lanes import Along
from .placements import Choice, Choices, all_choices
from .ranking import CLOSE, SQUEEZED, UNMEASURED, CellCost, cost, decided_by
from .results import Arrangement, Plan, SqueezeShown, Verdict
from .rowjudge import neighbours
from .rowplans import (
    CLOSE_FIT,
    CONTESTED,
    FITS,
    LEVELS,
    TOO_TIGHT,
    UNSURE,
    Fill,
    RowPlan,
    best_fill,
    fill_cost,
    level_of,
    picked,
    row_plans,
)
from .shortage import find_shortage, plainly_short
from .tally import tally
from .whole import judge_whole

#: plans of one row; beyond this the answer is given as incomplete
LIMIT_PLANS = 500_000
#: how many near misses are worked out
SQUEEZES_SHOWN = 3
#: how many of the best seatings are looked at for ones that fail along the car
LOOKED_AT = 300
#: so many seatings are put in order for the best few of them
MOST_RANKED = 400_000

Progress = Callable[[str, int], None]


@dataclass(frozen=True, slots=True)
class Pick:
    """The placements chosen for a seating, a fill a row, with their cost and what becomes of them along the car."""

    fills: tuple[Fill, ...]
    cost: int
    along: Along


class Solve:
    """One trip being solved: placements judged, rows filled, ready to be counted and listed."""

    def __init__(self, trip: Trip, profile: Profile, today: date, *, strict: bool = False,
                 worst_case: bool = False, limit: int = LIMIT_PLANS, progress: Progress | None = None) -> None:
        self.judge = Judge(trip, profile, today, Options(strict, worst_case))
        self.trip = trip = self.judge.trip
        self.strict, self.worst_case = strict, worst_case
        self.world, self.runner, self.lanes = self.judge.world, self.judge.runner, self.judge.lanes
        self.cars, self.blocks = self.judge.cars, self.judge.refuses
        self.choices: Choices = all_choices(trip, self.runner)
        self.cost_of = CellCost(self.world)
        # answers are kept by the identity of records, so none that was asked about may go before this does
        self.held: list[object] = []
        self._best_fills: dict[RowPlan, Fill] = {}
        self._tick, self.all_ranked = progress, True
        self.everybody = (1 << len(trip.riders)) - 1
        self.row_at = [r for r, row in enumerate(trip.vehicle.rows) for _ in row.positions]
        # with fewer seats or restraints than riders there is nothing to search: no seating has one each
        self.short = find_shortage(self.choices.per_rider) if plainly_short(self.choices.per_rider) else None
        self.rows: list[list[RowPlan]] = []
        self.complete = True
        at = 0
        for row, car in zip(trip.vehicle.rows, self.cars, strict=True):
            seats = [self._open_at(at + i) for i in range(len(row.positions))]
            at += len(row.positions)
            tick = None if progress is None else _row_tick(progress, row.row)
            found = row_plans([[] for _ in seats] if self.short else seats, car, self.cost_of, limit, tick)
            self.rows.append(found.plans)
            self.complete = self.complete and found.complete

    def _open_at(self, position: int) -> list[Choice]:
        return [c for choices in self.choices.per_rider for c in choices if c.position == position and c.cells]

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
        doubt = {FITS: 0, CLOSE_FIT: CLOSE, UNSURE: UNMEASURED}.get(max(along.level, self.lanes.least), SQUEEZED)
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
        owed += 0 if self.lanes.least == FITS else cost(certainty=CLOSE)      # by every seating of reckoned sizes
        self.all_ranked = True
        for looked, (base, plans) in enumerate(best_first(self.rows, self.everybody)):
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
            across.extend(islice(best_first([*self.rows[:i], tight, *self.rows[i + 1:]], self.everybody), 50))
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
        for base, plans in islice(best_first(self.rows, self.everybody), LOOKED_AT):
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
        everyone = self.seated(plans).placements
        for i, (plan, fill) in enumerate(zip(plans, pick.fills, strict=True)):
            if plan.level == TOO_TIGHT:
                placements = tuple(cell.placement for cell in picked(plan, fill))
                squeeze = self.cars[i].solve(placements)
                if isinstance(squeeze, Squeeze):
                    return SqueezeShown(self.trip.vehicle.rows[i].row, placements, everyone, squeeze)
        along = self.judge.along(everyone)
        if along.level == TOO_TIGHT and isinstance(along.answer, Squeeze):
            spoken = tuple(p for p in everyone if in_sum(p, along))
            return SqueezeShown(None, spoken, everyone, along.answer)
        return None


def _seated(plans: Sequence[RowPlan], pick: Pick) -> Seated:
    return Seated(tuple([cell.placement for plan, fill in zip(plans, pick.fills, strict=True)
                         for cell in picked(plan, fill)]))


def _row_tick(progress: Progress, row: int) -> Callable[[int], None]:
    return lambda n: progress(said("filling row {row}", row=row), n)


def best(solve: Solve, most: int | None = None) -> Arrangement | None:
    """The best arrangement of a solve, or of the ``most`` seatings that promise most; None where there is none."""
    for total, plans, _ in solve.ranked(most):
        return assemble(solve, 1, total, plans, None)
    return None


def plan(trip: Trip, profile: Profile, today: date, *, top: int | None = 5, strict: bool = False,
         worst_case: bool = False, limit: int = LIMIT_PLANS, progress: Progress | None = None) -> Plan:
    """Solve a trip.

    ``top``: how many arrangements to work out, None for all. ``strict``: what was not measured counts as a block.
    ``worst_case``: what several lengths may be off is added up plainly, not as the root of the sum of squares.
    ``today`` stands in where the trip names no day. The tally is exact whatever ``top`` is.
    """
    solve = Solve(trip, profile, today, strict=strict, worst_case=worst_case, limit=limit, progress=progress)
    trip, lanes = solve.trip, solve.lanes
    levels = [0] * (CONTESTED + 1)
    counts = [count_plans(plans) for plans in solve.rows]
    for way, n in count_seatings(counts, solve.everybody, lanes.nothing, lanes.join).items():
        levels[lanes.level(way)] += n
    whole = judge_whole(solve)
    counted = tally(solve.choices.per_rider, levels, whole.blocked, whole.doubted, solve.complete)
    arrangements: list[Arrangement] = []
    before: int | None = None
    best_level = next((level for level, n in counted.sure.items() if n), None)
    for total, plans, _ in _first(solve, top, whole.owed, best_level):
        decided = None if before is None else decided_by(before, total)
        arrangements.append(assemble(solve, len(arrangements) + 1, total, plans, decided))
        before = total
    allowed = {(c.rider, c.position) for choices in solve.choices.per_rider for c in choices if c.cells}
    squares = grid(solve.rows, lanes, len(trip.riders), len(solve.choices.positions), allowed, whole.squares)
    verdict: Verdict = arrangements[0].verdict if arrangements else "rejected"
    return Plan(
        trip, profile, solve.world.day, strict, verdict, tuple(arrangements), counted, solve.choices, squares,
        None if arrangements else shortage_of(solve), contests_of(solve, counted),
        tuple(solve.near_misses()) if counted.squeeze else (), worst_case, solve.all_ranked,
    )


Ranked = tuple[int, tuple[RowPlan, ...], tuple[Finding, ...]]


def _first(solve: Solve, top: int | None, owed: int, best_level: str | None) -> list[Ranked]:
    """The best few. Where too many seatings would have to be put in order, the best of those looked at, if the first
    is as sure as any that was counted."""
    if top is not None:
        found = list(islice(solve.ranked(MOST_RANKED, owed), top))
        if solve.all_ranked or (found and LEVELS[min(level_of(found[0][0]), UNSURE)] == best_level):
            return found
    return list(islice(solve.ranked(owed=owed), top))
