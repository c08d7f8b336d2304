"""A plan as JSON: versioned, described by ``data/schemas/plan.json``. In brief it says what the text says and a little
more; in full, every finding of every placement, which can be megabytes."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from datetime import date
from typing import Any

from seatplan.model import Reckoned, Trip
from seatplan.rules.finding import Finding
from seatplan.rules.options import USUAL, Options
from seatplan.rules.profile import Profile
from seatplan.solver.explain import Explanation
from seatplan.solver.grid import Square
from seatplan.solver.results import Arrangement, Plan, SaidFirst
from seatplan.solver.rowplans import LEVELS
from seatplan.solver.tally import Tally

from .arrangement_json import arrangement_json, cell_json, seats_json
from .doubted_text import doubted_json
from .explained_json import certificates, explanation_json
from .failure_json import head_json
from .finding_json import plain, reading_json, readings_json
from .under_way_json import under_way_json


def plan_json(plan: Plan, explanation: Explanation | None = None,
              many: Callable[[Iterable[dict[str, Any]]], list[dict[str, Any]]] = list, *,
              full: bool = True) -> dict[str, Any]:
    """The answer as plain dicts and lists. ``many`` takes the placements of a full one, which may be tens of
    thousands."""
    answer = {
        **trip_json("plan", plan.trip, plan.profile, plan.day, plan.options),
        "form": form_json(full),
        "reckoned": [reckoned_json(rider) for rider in plan.trip.riders if isinstance(rider, Reckoned)],
        "strict": plan.strict,
        "worst_case": plan.worst_case,
        "verdict": plan.verdict,
        "alike": [list(names) for names in plan.choices.kinds.alike()],
        "complete": plan.tally.complete,
        "all_ranked": plan.all_ranked,
        "tally": tally_json(plan.tally),
        "first": first_json(plan.first) if plan.arrangements else None,
        "measure": readings_json(_open(plan.arrangements[0])) if plan.arrangements else [],
        "arrangements": [arrangement_json(arrangement, full) for arrangement in plan.arrangements],
        "grid": [_square(plan, key, square) for key, square in plan.squares.items()],
        "certificates": certificates(plan),
        "explanation": None if explanation is None else explanation_json(explanation, full),
    }
    if full:
        answer["placements"] = many(cell_json(cell) for cell in plan.choices.cells())
    return answer


def trip_json(kind: str, trip: Trip, profile: Profile, day: date, options: Options = USUAL) -> dict[str, Any]:
    """What every answer on one trip in one vehicle begins with."""
    return {**head_json(kind), "trip": trip.trip, "vehicle": trip.vehicle.vehicle, "rules": profile.name,
            "on": day.isoformat(), "doubted": doubted_json(trip),
            "under_way": under_way_json(trip, profile, day, options)}


def form_json(full: bool) -> str:
    """Which form an answer has that has two."""
    return "full" if full else "brief"


def first_json(first: SaidFirst) -> dict[str, Any]:
    """What is said of the best arrangement before all else."""
    reading = first.one_reading
    return {
        "in_front": [{"rider": one.rider, "position": one.position, "instead": one.instead, "wants": one.wants}
                     for one in first.in_front],
        "fits": None if first.fits is None else seats_json(first.fits),
        "one_reading": None if reading is None else {"seats": seats_json(reading), "measure": [
            reading_json(finding) for finding in _open(reading)]},
        "near_misses": [
            {"rider": miss.rider, "position": miss.position, "restraint": miss.restraint, "short": miss.short,
             "unit": miss.unit, "rule": miss.finding.rule if miss.finding else None} for miss in first.near_misses],
        "wishes_against": [
            {"wishes": [wish.model_dump(mode="json", exclude_none=True) for wish in one.wishes],
             "criterion": one.criterion,
             "about": list(one.about)} for one in first.against],
    }


def _open(arrangement: Arrangement) -> list[Finding]:
    """What an arrangement hangs on: the label first, without which nothing else is of use."""
    every = (*(f for seat in arrangement.seats for f in seat.cell.findings), *arrangement.findings)
    return sorted((finding for finding in every if finding.outcome == "unmeasured"),
                  key=lambda finding: finding.rule != "child-limits-unknown")


def tally_json(tally: Tally) -> dict[str, Any]:
    """All arrangements there are = those that are valid + those that each reason rules out."""
    return {
        "arrangements": tally.seatings, "valid": tally.valid, "ruled_out_by_placement": tally.placement,
        "ruled_out_by_contest": tally.contest, "ruled_out_by_squeeze": tally.squeeze,
        "contests": dict(tally.contests), "valid_by_verdict": dict(tally.sure),
    }


def reckoned_json(rider: Reckoned) -> dict[str, Any]:
    """Sizes reckoned for a later day: [1st percentile, likely, 99th]."""
    ends = (rider.smaller, rider, rider.larger)
    return {"rider": rider.rider, "since": rider.since.isoformat(), **{
        f"{name}_{unit}": None if getattr(rider, name) is None else [plain(getattr(size, name)) for size in ends]
        for name, unit in (("mass", "kg"), ("height", "mm"))}}


def _square(plan: Plan, key: tuple[int, int], square: Square) -> dict[str, Any]:
    level = None if square.level is None else LEVELS[square.level]
    return {"rider": plan.trip.riders[key[0]].rider, "position": plan.choices.positions[key[1]].position,
            "arrangements": square.seatings,
            "verdict": level or ("not-with-others" if square.allowed else "ruled-out")}
