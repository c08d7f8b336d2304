"""Work out one arrangement in full: witness, spare, findings, and the installations that would do as well."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from seatplan.geometry.across import Body
from seatplan.geometry.chain import Squeeze
from seatplan.geometry.lengthwise import stands_mm
from seatplan.rules.subjects import Placement

from .judge import RowJudged, verdict_of
from .lane import Along
from .lanes import sides
from .placements import JudgedPlacement, cell_of, cells_in_copy
from .results import AheadShown, Arrangement, RowShown, SeatShown
from .rowplans import TOO_TIGHT, InstallationPick, RowAssignment, bests, picked

if TYPE_CHECKING:
    from seatplan.model import Restraint

    from .solve import Ranked, Solve


def assemble(solve: Solve, rank: int, found: Ranked, decided: str | None) -> Arrangement:
    """One arrangement from one plan a row."""
    plans = found.plans
    chosen = [(plan, fill) for plan, fill in zip(plans, solve.pick(plans).fills, strict=True) if plan.choices]
    cells = [cell for plan, fill in chosen for cell in picked(plan, fill)]
    judged = solve.judge.arrangement(
        cell if cell.placement is placement else cell_of(solve.runner, placement)
        for cell, placement in zip(cells, solve.kinds.given_out([cell.placement for cell in cells]), strict=True))
    if judged.verdict != verdict_of(found.level):
        raise RuntimeError(f"the search calls an arrangement {verdict_of(found.level)}, the judge {judged.verdict}")
    rows = tuple(_row(solve, row, [cell for cell in judged.cells if cell.placement.row.row == row.row], plan, fill)
                 for row, (plan, fill) in zip(judged.rows, chosen, strict=True))
    everyone = [cell.placement for cell in judged.cells]
    # what is only estimated and decides along the car is a finding to act on; the rest is shown with the seats ahead
    along = (judged.lengthwise,) if judged.along.lacking is not None and judged.lengthwise is not None else ()
    return Arrangement(rank, judged.verdict, rows, _ahead(solve, judged.along, everyone), (*judged.together, *along),
                       found.cost, decided, judged.guesses)


def _ahead(solve: Solve, along: Along, everyone: Sequence[Placement]) -> AheadShown | None:
    """How far each seat ahead stands forward; None where nobody asks for it."""
    if along.answer is None:
        return None
    everyone = list(sides(everyone))
    taken = [p.position.position for p in everyone]
    stay = [p.position.position for p in everyone if solve.lanes.keeps_rearmost(p)]
    limits = solve.lanes.limits(taken, stay)
    if isinstance(along.answer, Squeeze):            # within what the tape may be off
        # as for rows: what each gap would have, so that all gaps of the sum together lack what is short
        spare: float | None = -along.answer.short / max(1, sum(step.stretch for step in along.answer.steps))
        bodies = [body for body in map(solve.lanes.behind, everyone) if body is not None]
        stands = solve.lanes.stands_short(bodies, taken, stay, along.answer.short)
        return AheadShown(stands, spare, round(along.off_mm, 1), along.answer.steps, along.unknown, limits,
                          solve.lanes.beyond_use(stands))
    spare = None if along.answer.spare is None else float(along.answer.spare)
    stands = tuple((key, mm) for key, mm in stands_mm(along.answer).items() if mm > 0)
    return AheadShown(stands, spare, round(along.off_mm, 1), along.answer.tight, along.unknown, limits,
                      solve.lanes.beyond_use(stands))


def _row(solve: Solve, judged: RowJudged, cells: Sequence[JudgedPlacement], plan: RowAssignment,
         best: InstallationPick) -> RowShown:
    """``cells`` are those of the row, each in the copy that was given out."""
    car = next(car for car in solve.cars if car.row.row == judged.row)
    solved = judged.answer
    if isinstance(solved, Squeeze):
        raise RuntimeError("the search and the chain disagree about a row")
    bodies = [car.seat(cell.placement) for cell in cells]
    seats = tuple(
        SeatShown(cell, _across_mm(solved.at, body), _width_mm(body),
                  _alternatives(solve, plan, best, k, cell.placement.restraint),
                  any(box.width is None for box in body.shape.boxes))
        for k, (cell, body) in enumerate(zip(cells, bodies, strict=True))
    )
    spare = None if solved.spare is None else float(solved.spare)
    return RowShown(car.row, seats, spare, round(car.off_by(solved.tight), 1), solved.tight,
                    judged.unsure)


def _across_mm(at: Mapping[str, int], body: Body) -> float | None:
    place = at.get(body.rider)
    return None if place is None else place / 2


def _width_mm(body: Body) -> int | None:
    widths = [box.width for box in body.shape.boxes if box.width is not None]
    return max(widths, default=None)


def _alternatives(solve: Solve, plan: RowAssignment, best: InstallationPick, seat: int,
                  held: Restraint | None) -> tuple[JudgedPlacement, ...]:
    """Other placements for one rider, in the restraint it has, that fit with everything else left as it is, best
    first."""
    others = [
        one.fill for one in bests(plan, solve.cost_of)
        if one.level < TOO_TIGHT and one.fill.pick[seat] != best.pick[seat]
        and all(a == b for k, (a, b) in enumerate(zip(one.fill.pick, best.pick, strict=True)) if k != seat)
    ]
    cells = [plan.choices[seat].cells[fill.pick[seat]] for fill in others]
    return tuple(cells if held is None else cells_in_copy(solve.runner, cells, held))
