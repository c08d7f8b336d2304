"""A plan as JSON: stable, versioned, described by ``data/schemas/plan.json``. Fields are only ever added."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from fractions import Fraction
from typing import Any

from seatplan.geometry.chain import Step
from seatplan.message import Amount
from seatplan.model import Reckoned
from seatplan.rules.finding import Finding
from seatplan.rules.registry import gravest_first, weight_of
from seatplan.rules.subjects import Placement
from seatplan.solver.conflict import Reason
from seatplan.solver.explain import Explanation
from seatplan.solver.grid import Square
from seatplan.solver.placements import Cell
from seatplan.solver.repairs.verify import Repair
from seatplan.solver.results import AheadShown, Arrangement, Plan, SaidFirst, SeatShown, SqueezeShown
from seatplan.solver.rowplans import LEVELS
from seatplan.solver.tally import Tally

from .caution import CAUTION
from .change_text import to_do, to_write, user_of
from .doubted_text import doubted_json
from .failure_json import SCHEMA
from .words import sentence


def plan_json(plan: Plan, explanation: Explanation | None = None,
              many: Callable[[Iterable[dict[str, Any]]], list[dict[str, Any]]] = list) -> dict[str, Any]:
    """The whole answer as plain dicts and lists; lengths in mm. ``many`` takes the placements, which may be tens of
    thousands."""
    return {
        "schema": SCHEMA,
        "caution": CAUTION,
        "trip": plan.trip.trip,
        "vehicle": plan.trip.vehicle.vehicle,
        "rules": plan.profile.name,
        "on": plan.day.isoformat(),
        "reckoned": [reckoned_json(rider) for rider in plan.trip.riders if isinstance(rider, Reckoned)],
        "doubted": doubted_json(plan.trip),
        "strict": plan.strict,
        "worst_case": plan.worst_case,
        "verdict": plan.verdict,
        "alike": [list(names) for names in plan.choices.kinds.alike()],
        "complete": plan.tally.complete,
        "all_ranked": plan.all_ranked,
        "tally": tally_json(plan.tally),
        "first": first_json(plan.first) if plan.arrangements else None,
        "arrangements": [arrangement_json(arrangement) for arrangement in plan.arrangements],
        "squares": [_square(plan, key, square) for key, square in plan.squares.items()],
        "cells": many(cell_json(cell) for cell in plan.choices.cells()),
        "certificates": certificates(plan),
        "explanation": None if explanation is None else explanation_json(explanation),
    }


def first_json(first: SaidFirst) -> dict[str, Any]:
    """What is said of the best arrangement before all else."""
    reading = first.one_reading
    return {
        "in_front": [{"rider": one.rider, "position": one.position, "instead": one.instead, "wants": one.wants}
                     for one in first.in_front],
        "fits": None if first.fits is None else _seated(first.fits),
        "one_reading": None if reading is None else {"seats": _seated(reading), "measure": [
            {"rule": f.rule, "field": f.result.field, "how": f.result.how, "settles_at": plain(f.result.settles_at),
             "unit": f.result.unit, "riders": list(f.riders), "positions": list(f.positions)}
            for f in (*(f for seat in reading.seats for f in seat.cell.findings), *reading.findings)
            if f.outcome == "unmeasured"]},
        "near_misses": [
            {"rider": miss.rider, "position": miss.position, "restraint": miss.restraint, "short": miss.short,
             "unit": miss.unit, "rule": miss.finding.rule if miss.finding else None} for miss in first.near_misses],
        "wishes_against": [
            {"wishes": [wish.model_dump(mode="json", exclude_none=True) for wish in one.wishes],
             "criterion": one.criterion,
             "about": list(one.about)} for one in first.against],
    }


def _seated(arrangement: Arrangement) -> list[dict[str, Any]]:
    return [{"rider": p.rider.rider, "position": p.position.position,
             "restraint": p.restraint.restraint if p.restraint else None, "mode": p.mode_name, "by": p.by}
            for p in (seat.placement for seat in arrangement.seats)]


def plain(value: Any) -> Any:
    """A number of JSON: an exact mass or stature as a decimal."""
    return round(float(value), 6) if isinstance(value, Fraction) else value


def tally_json(tally: Tally) -> dict[str, Any]:
    return {
        "seatings": tally.seatings, "valid": tally.valid, "placement": tally.placement,
        "contest": tally.contest, "squeeze": tally.squeeze,
        "contests": dict(tally.contests), "sure": dict(tally.sure),
    }


def reckoned_json(rider: Reckoned) -> dict[str, Any]:
    """Sizes reckoned for a later day: [10th percentile, likely, 90th]; kg and mm."""
    ends = (rider.smaller, rider, rider.larger)
    return {"rider": rider.rider, "since": rider.since.isoformat(), **{
        name: None if getattr(rider, name) is None else [plain(getattr(size, name)) for size in ends]
        for name in ("mass", "height")}}


def arrangement_json(arrangement: Arrangement) -> dict[str, Any]:
    return {
        "rank": arrangement.rank,
        "verdict": arrangement.verdict,
        "spare": arrangement.spare_mm,
        "estimates": list(arrangement.estimates),
        "decided_by": arrangement.decided_by,
        "decided_about": list(arrangement.decided_about),
        "rows": [
            {"row": row.row.row, "spare": row.spare_mm, "tolerance": row.tolerance_mm,
             "tight": [_step(step) for step in row.tight], "unmeasured": row.unsure}
            for row in arrangement.rows
        ],
        "ahead": _ahead(arrangement.ahead),
        "placements": [_seat(seat) for seat in arrangement.seats],
        "findings": [finding_json(finding) for finding in gravest_first(arrangement.findings)],
    }


def _ahead(ahead: AheadShown | None) -> dict[str, Any] | None:
    if ahead is None:
        return None
    return {
        "stands": [{"mover": key, "forward": forward} for key, forward in ahead.stands],
        "spare": ahead.spare_mm, "tolerance": ahead.tolerance_mm, "unknown": ahead.unknown or None,
        "tight": [_step(step) for step in ahead.tight],
    }


def _seat(seat: SeatShown) -> dict[str, Any]:
    return {
        **placement_json(seat.placement),
        "across": seat.across_mm,
        "width": seat.width_mm,
        "findings": cell_findings_json(seat.cell),
        "alternatives": [placement_json(cell.placement) for cell in seat.alternatives],
    }


def placement_json(placement: Placement) -> dict[str, Any]:
    installation = placement.installation
    return {
        "rider": placement.rider.rider,
        "restraint": placement.restraint.restraint if placement.restraint else None,
        "mode": placement.mode_name,
        "by": placement.by,
        "base": installation.base if installation else None,
        "support_leg": bool(installation and installation.support_leg),
        "position": placement.position.position,
        "bars": list(placement.bars),
        "borrowed": placement.borrowed,
        "tether": placement.tether,
        "connectors": installation.connectors if installation else None,
        "recline": _recline(placement),
    }


def _recline(placement: Placement) -> dict[str, float] | None:
    lean = placement.recline
    return None if lean is None else {"setting": lean.setting, "packing": lean.packing, "angle": lean.angle}


def finding_json(finding: Finding) -> dict[str, Any]:
    result = finding.result
    return {
        "rule": finding.rule,
        "outcome": finding.outcome,
        "weight": weight_of(finding),
        "riders": list(finding.riders),
        "positions": list(finding.positions),
        "measured": plain(result.measured),
        "limit": plain(result.limit),
        "shortfall": result.shortfall,
        "unit": result.unit,
        "field": result.field or None,
        "how": result.how or None,
        "settles_at": plain(result.settles_at),
        "close": result.close,
        "estimates": list(result.estimates),
        "facts": {key: _plain(value) for key, value in result.facts.items()},
        "source": finding.source,
        "text": sentence(finding) if finding.outcome != "pass" else None,
    }


def _plain(value: Any) -> Any:
    if isinstance(value, (str, int, float, bool)) or value is None:
        return value
    if isinstance(value, (list, tuple)):
        return [_plain(item) for item in value]
    return plain(value.value) if isinstance(value, Amount) else str(value)


def cell_json(cell: Cell) -> dict[str, Any]:
    return {**placement_json(cell.placement), "blocked": cell.blocked,
            "findings": cell_findings_json(cell)}


def cell_findings_json(cell: Cell) -> list[dict[str, Any]]:
    """Every finding on a placement, cautions first. A try says of itself that it confirms; it does so only where
    nothing else forbids the placement or is not measured."""
    told = [finding_json(finding) for finding in gravest_first(cell.findings)]
    for finding in told:
        if "confirmed" in finding["facts"]:
            finding["facts"]["confirmed"] = cell.confirmed
    return told


def _square(plan: Plan, key: tuple[int, int], square: Square) -> dict[str, Any]:
    level = None if square.level is None else LEVELS[square.level]
    return {"rider": plan.trip.riders[key[0]].rider, "position": plan.choices.positions[key[1]].position,
            "seatings": square.seatings, "verdict": level or ("not-with-others" if square.allowed else "no")}


def certificates(plan: Plan) -> list[dict[str, Any]]:
    """Shortage, contests and squeezes: each can be checked without the program."""
    found: list[dict[str, Any]] = []
    if plan.shortage:
        found.append({
            "kind": "shortage", "thing": plan.shortage.thing, "riders": list(plan.shortage.riders),
            "have": list(plan.shortage.have),
            "taken_away": [{"rider": rider, "thing": thing, "rules": list(rules)}
                           for (rider, thing), rules in plan.shortage.taken_away.items()],
        })
    for contest in plan.contests:
        found.append({
            "kind": "contest", "what": contest.what, "seatings": contest.seatings,
            "placements": [placement_json(p) for p in contest.example],
            "findings": [finding_json(finding) for finding in contest.findings],
        })
    found.extend(squeeze_json(shown) for shown in plan.squeezes)
    return found


def squeeze_json(shown: SqueezeShown) -> dict[str, Any]:
    return {
        "kind": "squeeze", "row": shown.row, "direction": "along" if shown.row is None else "across",
        "placements": [placement_json(p) for p in shown.placements],
        "everyone": [placement_json(p) for p in shown.everyone],
        "need": shown.squeeze.need, "have": shown.squeeze.have, "short": shown.squeeze.short,
        "steps": [_step(step) for step in shown.squeeze.steps],
    }


def _step(step: Step) -> dict[str, Any]:
    return {"start": step.start or "left", "end": step.end or "left", "need": step.need / 2,
            "sum": [{"what": addend.label, "mm": addend.mm} for addend in step.addends]}


def explanation_json(explanation: Explanation) -> dict[str, Any]:
    """Groups, the reasons of one with a seating that each alone stands in the way of, and repairs as solved again."""
    repairs = explanation.repairs
    return {
        "groups": [list(group) for group in explanation.groups],
        "all_groups": explanation.all_groups,
        "conflict": None if explanation.conflict is None else {
            "riders": list(explanation.riders), "fewest": explanation.conflict.fewest,
            "reasons": [_reason(reason) for reason in explanation.conflict.reasons],
            "nearest": None if explanation.nearest is None else squeeze_json(explanation.nearest),
        },
        "repairs": [_repair(repair) for repair in repairs.repairs],
        "sets": [{"changes": size, "sets": n} for size, n in repairs.sets.items()],
        "complete": repairs.complete,
    }


def _reason(reason: Reason) -> dict[str, Any]:
    occasion = reason.occasion
    return {
        "rule": occasion.rule, "riders": list(occasion.riders), "positions": list(occasion.positions),
        "restraints": list(occasion.restraints), "modes": list(occasion.modes), "row": occasion.row,
        "wish": occasion.wish, "unmeasured": occasion.unmeasured,
        "finding": None if reason.finding is None else finding_json(reason.finding),
        "without_it": [placement_json(p) for p in reason.opens.placements],
    }


def _repair(repair: Repair) -> dict[str, Any]:
    placements = tuple(seat.placement for seat in repair.arrangement.seats)
    return {
        "changes": [{
            "kind": change.kind, "riders": list(change.riders), "restraint": change.restraint or None,
            "position": change.position or None, "thing": change.thing or None, "use": change.word or None,
            "mm": change.mm, "was": change.was_mm, "text": to_do(change, user_of(change, placements)),
            "write": to_write(change)} for change in repair.changes],
        "arrangement": arrangement_json(repair.arrangement),
        "losses": [{"rider": loss.rider, "mode": loss.mode, "instead_of": loss.instead_of} for loss in repair.losses],
        "alike": len(repair.alike),
    }
