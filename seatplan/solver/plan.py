"""The main job: one trip, one vehicle, every arrangement that is allowed and fits side by side."""

from __future__ import annotations

import heapq
from collections.abc import Callable, Iterator, Sequence
from datetime import date
from itertools import islice, pairwise

from seatplan.geometry.chain import Squeeze
from seatplan.geometry.shapes import Shapes
from seatplan.model import Trip
from seatplan.rules.finding import Finding
from seatplan.rules.profile import Profile
from seatplan.rules.run import Runner
from seatplan.rules.subjects import Placement, Seated, World

from .assemble import assemble
from .certificates import contests_of, shortage_of
from .combine import best_first, count_plans, count_seatings
from .grid import grid
from .placements import Choice, Choices, all_choices
from .ranking import UNMEASURED, CellCost, cost, decided_by
from .results import Arrangement, Plan, SqueezeShown, Verdict
from .rowjudge import CarRow, neighbours
from .rowplans import TOO_TIGHT, RowPlan, best_fill, level_of, picked, row_plans
from .shortage import find_shortage, plainly_short
from .tally import tally
from .whole import judge_whole

#: plans of one row; beyond this the answer is given as incomplete
LIMIT_PLANS = 500_000
#: how many near misses are worked out
SQUEEZES_SHOWN = 3

Progress = Callable[[str, int], None]


class Solve:
    """One trip being solved: placements judged, rows filled, ready to be counted and listed."""

    def __init__(self, trip: Trip, profile: Profile, today: date, *, strict: bool = False,
                 limit: int = LIMIT_PLANS, progress: Progress | None = None) -> None:
        self.trip, self.strict = trip, strict
        self.world = World(trip, trip.vehicle, profile, trip.on or today)
        self.runner = Runner(self.world)
        self.choices: Choices = all_choices(trip, self.runner, strict)
        self.cost_of = CellCost(self.world)
        self.everybody = (1 << len(trip.riders)) - 1
        # with fewer seats or restraints than riders there is nothing to search: no seating has one each
        self.short = find_shortage(self.choices.per_rider) if plainly_short(self.choices.per_rider) else None
        self.cars: list[CarRow] = []
        self.rows: list[list[RowPlan]] = []
        self.complete = True
        shapes = Shapes()
        at = 0
        for row in trip.vehicle.rows:
            car = CarRow(row, self.runner, strict, shapes)
            seats = [self._open_at(at + i) for i in range(len(row.positions))]
            at += len(row.positions)
            tick = None if progress is None else _row_tick(progress, row.row)
            found = row_plans([[] for _ in seats] if self.short else seats, car, self.cost_of, limit, tick)
            self.cars.append(car)
            self.rows.append(found.plans)
            self.complete = self.complete and found.complete

    def _open_at(self, position: int) -> list[Choice]:
        return [c for choices in self.choices.per_rider for c in choices if c.position == position and c.cells]

    def seated(self, plans: Sequence[RowPlan]) -> Seated:
        """The placements of a whole seating, by the best pick of every row, in order of position."""
        return Seated(tuple(p for i, plan in enumerate(plans) for p in self.placements(i, plan)))

    def placements(self, row: int, plan: RowPlan) -> tuple[Placement, ...]:
        return tuple(cell.placement for cell in picked(plan, best_fill(plan, self.cost_of)))

    def trip_findings(self, seated: Seated) -> list[Finding]:
        return self.runner.trip(seated)

    def ranked(self) -> Iterator[tuple[int, tuple[RowPlan, ...], tuple[Finding, ...]]]:
        """Valid seatings as (cost, plans, findings of the trip), best first.

        What a rule of the whole trip or a wish for two riders adds is only known for a whole seating; it never
        lowers the cost, so a seating waits in a heap until nothing cheaper can come.
        """
        waiting: list[tuple[int, int, tuple[RowPlan, ...], tuple[Finding, ...]]] = []
        order = 0
        for base, plans in best_first(self.rows, self.everybody):
            if level_of(base) >= TOO_TIGHT:
                break
            while waiting and waiting[0][0] <= base:
                total, _, ready, findings = heapq.heappop(waiting)
                yield total, ready, findings
            seated = self.seated(plans)
            findings = tuple(self.trip_findings(seated))
            if self.blocks(findings):
                continue
            total = base + cost(
                cautions=sum(f.outcome == "caution" for f in findings),
                certainty=UNMEASURED * sum(f.outcome == "unmeasured" for f in findings),
                wishes=self._apart_from_wished(seated),
            )
            heapq.heappush(waiting, (total, order, plans, findings))
            order += 1
        while waiting:
            total, _, ready, findings = heapq.heappop(waiting)
            yield total, ready, findings

    def blocks(self, findings: Sequence[Finding]) -> bool:
        """Whether findings turn a seating down."""
        return any(f.outcome == "block" or (self.strict and f.outcome == "unmeasured") for f in findings)

    def _apart_from_wished(self, seated: Seated) -> int:
        by_name = {p.rider.rider: p for p in seated.placements}
        unkept = 0
        for wish in self.trip.wishes:
            if wish.together and not wish.must:
                unkept += sum(not neighbours(by_name[a], by_name[b]) for a, b in pairwise(wish.together))
        return unkept

    def near_misses(self) -> list[SqueezeShown]:
        """The seatings that fail only for room and by the least, one for each different sum."""
        found: list[tuple[int, tuple[RowPlan, ...]]] = []
        for i, row in enumerate(self.rows):
            tight = [plan for plan in row if plan.level == TOO_TIGHT]
            found.extend(islice(best_first([*self.rows[:i], tight, *self.rows[i + 1:]], self.everybody), 50))
        found.sort(key=lambda item: item[0])
        shown: dict[tuple[object, ...], SqueezeShown] = {}
        for _, plans in found:
            squeezed = self.squeeze_in(plans)
            if squeezed is not None:
                labels = (addend.label for step in squeezed.squeeze.steps for addend in step.addends)
                shown.setdefault((squeezed.row, *labels), squeezed)
            if len(shown) >= SQUEEZES_SHOWN:
                break
        return list(shown.values())

    def squeeze_in(self, plans: Sequence[RowPlan]) -> SqueezeShown | None:
        """The sum that does not come out in the first squeezed row of a seating.

        None where a row only counts as squeezed because ``strict`` asks for every number.
        """
        for i, plan in enumerate(plans):
            if plan.level == TOO_TIGHT:
                placements = self.placements(i, plan)
                squeeze = self.cars[i].solve(placements)
                if isinstance(squeeze, Squeeze):
                    everyone = self.seated(plans).placements
                    return SqueezeShown(self.trip.vehicle.rows[i].row, placements, everyone, squeeze)
        return None


def _row_tick(progress: Progress, row: int) -> Callable[[int], None]:
    return lambda n: progress(f"filling row {row}", n)


def plan(trip: Trip, profile: Profile, today: date, *, top: int | None = 5, strict: bool = False,
         limit: int = LIMIT_PLANS, progress: Progress | None = None) -> Plan:
    """Solve a trip.

    ``top``: how many arrangements to work out, None for all. ``strict``: what was not measured counts as a block.
    ``today`` stands in where the trip names no day. The tally is exact whatever ``top`` is.
    """
    solve = Solve(trip, profile, today, strict=strict, limit=limit, progress=progress)
    levels = count_seatings([count_plans(plans) for plans in solve.rows], solve.everybody)
    whole = judge_whole(solve)
    counted = tally(solve.choices.per_rider, levels, whole.blocked, whole.doubted, solve.complete)
    arrangements: list[Arrangement] = []
    before: int | None = None
    for total, plans, findings in islice(solve.ranked(), top):
        decided = None if before is None else decided_by(before, total)
        arrangements.append(assemble(solve, len(arrangements) + 1, total, plans, findings, decided))
        before = total
    allowed = {(c.rider, c.position) for choices in solve.choices.per_rider for c in choices if c.cells}
    squares = grid(solve.rows, len(trip.riders), len(solve.choices.positions), allowed, whole.squares)
    verdict: Verdict = arrangements[0].verdict if arrangements else "rejected"
    return Plan(
        trip, profile, solve.world.day, strict, verdict, tuple(arrangements), counted, solve.choices, squares,
        None if arrangements else shortage_of(solve), contests_of(solve, counted),
        tuple(solve.near_misses()) if counted.squeeze else (),
    )
