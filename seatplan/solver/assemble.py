"""Work out one arrangement in full: witness, spare, findings, and the installations that would do as well."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import combinations
from typing import TYPE_CHECKING

from seatplan.geometry.across import Seat
from seatplan.geometry.chain import Squeeze
from seatplan.geometry.lengthwise import stands_mm
from seatplan.rules.finding import Finding
from seatplan.rules.subjects import Pair, Placement, Seated

from .placements import Cell
from .results import AheadShown, Arrangement, RowShown, SeatShown, Verdict
from .rowplans import LEVELS, TOO_TIGHT, Fill, RowPlan, fill_cost, level_of, picked

if TYPE_CHECKING:
    from .plan import Solve


def assemble(solve: Solve, rank: int, cost: int, plans: Sequence[RowPlan], trip_findings: Sequence[Finding],
             decided: str | None) -> Arrangement:
    """One arrangement from one plan a row."""
    findings: list[Finding] = []
    rows: list[RowShown] = []
    for i, (plan, fill) in enumerate(zip(plans, solve.pick(plans).fills, strict=True)):
        if plan.choices:
            rows.append(_row(solve, i, plan, fill, findings))
    findings.extend(trip_findings)
    verdict: Verdict = LEVELS[level_of(cost)]  # type: ignore[assignment]  # a squeeze is never assembled
    everyone = [seat.placement for row in rows for seat in row.seats]
    return Arrangement(rank, verdict, tuple(rows), _ahead(solve, everyone), tuple(findings), cost, decided)


def _ahead(solve: Solve, everyone: Sequence[Placement]) -> AheadShown | None:
    """How far each seat ahead stands forward; None where nobody asks for it."""
    along = solve.along(everyone)
    if along.answer is None:
        return None
    taken = [p.position.position for p in everyone]
    stay = [p.position.position for p in everyone if solve.lanes.keeps_rearmost(p)]
    limits = solve.lanes.limits(taken, stay)
    if isinstance(along.answer, Squeeze):            # within what the tape may be off
        # as for rows: what each gap would have, so that all gaps of the sum together lack what is short
        spare: float | None = -along.answer.short / max(1, sum(step.stretch for step in along.answer.steps))
        bodies = [body for body in map(solve.lanes.behind, everyone) if body is not None]
        stands = solve.lanes.stands_short(bodies, taken, stay, along.answer.short)
        return AheadShown(stands, spare, round(along.off_mm, 1), along.answer.steps, along.unknown, limits)
    spare = None if along.answer.spare is None else float(along.answer.spare)
    stands = tuple((key, mm) for key, mm in stands_mm(along.answer).items() if mm > 0)
    return AheadShown(stands, spare, round(along.off_mm, 1), along.answer.tight, along.unknown, limits)


def _row(solve: Solve, index: int, plan: RowPlan, best: Fill, findings: list[Finding]) -> RowShown:
    car = solve.cars[index]
    cells = list(picked(plan, best))
    placements = [cell.placement for cell in cells]
    for left, right in combinations(placements, 2):
        findings.extend(solve.runner.pair(Pair(left, right)))
    findings.extend(solve.runner.row(Seated(tuple(placements))))
    solved = car.solve(placements)
    if isinstance(solved, Squeeze):
        raise RuntimeError("the search and the chain disagree about a row")
    bodies = [car.seat(placement) for placement in placements]
    seats = tuple(
        SeatShown(cell, _across_mm(solved.at, body), _width_mm(body), _alternatives(solve, plan, best, k),
                  any(box.width is None for box in body.shape.boxes))
        for k, (cell, body) in enumerate(zip(cells, bodies, strict=True))
    )
    spare = None if solved.spare is None else float(solved.spare)
    return RowShown(car.row, seats, spare, round(car.off_by(solved.tight), 1), solved.tight,
                    car.unsure(placements))


def _across_mm(at: Mapping[str, int], body: Seat) -> float | None:
    place = at.get(body.rider)
    return None if place is None else place / 2


def _width_mm(body: Seat) -> int | None:
    widths = [box.width for box in body.shape.boxes if box.width is not None]
    return max(widths, default=None)


def _alternatives(solve: Solve, plan: RowPlan, best: Fill, seat: int) -> tuple[Cell, ...]:
    """Other placements for one rider that fit with everything else left as it is, best first."""
    others = [
        fill for fill in plan.fills
        if level_of(fill_cost(plan, fill, solve.cost_of)) < TOO_TIGHT and fill.pick[seat] != best.pick[seat]
        and all(a == b for k, (a, b) in enumerate(zip(fill.pick, best.pick, strict=True)) if k != seat)
    ]
    others.sort(key=lambda fill: (fill_cost(plan, fill, solve.cost_of), fill.pick))
    return tuple(plan.choices[seat].cells[fill.pick[seat]] for fill in others)
