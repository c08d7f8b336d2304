"""A comparison of vehicles as JSON: versioned, described by ``data/schemas/compare.json``."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from seatplan.files.errors import Notice
from seatplan.solver.changes import Change, Rides
from seatplan.solver.compare import Comparison, InVehicle, Lost

from .arrangement_json import arrangement_json, placement_json, squeeze_json
from .doubted_text import doubted_json
from .explained_json import certificates
from .failure_json import head_json, problem_json
from .finding_json import finding_json
from .plan_json import form_json, tally_json
from .under_way_json import under_way_json


def compare_json(found: Comparison, left_out: Sequence[Sequence[Notice]], full: bool = True) -> dict[str, Any]:
    """The answer as plain dicts and lists; ``left_out`` says for each vehicle what does not apply there."""
    first = found.vehicles[0].plan
    return {
        **head_json("compare"),
        "form": form_json(full),
        "trip": found.trip,
        "rules": found.profile.name,
        "on": found.day.isoformat(),
        "strict": first.strict,
        "worst_case": first.worst_case,
        "held_against": found.held_against,
        "rides": [{"rider": rider, **rides_json(rides)} for rider, rides in found.rides.items()],
        "vehicles": [_vehicle(vehicle, notices, full)
                     for vehicle, notices in zip(found.vehicles, left_out, strict=True)],
    }


def _vehicle(vehicle: InVehicle, left_out: Sequence[Notice], full: bool) -> dict[str, Any]:
    plan = vehicle.plan
    return {
        "vehicle": vehicle.trip.vehicle.vehicle,
        "doubted": doubted_json(plan.trip),
        "under_way": under_way_json(plan.trip, plan.profile, plan.day, plan.options),
        "verdict": plan.verdict,
        "complete": plan.tally.complete,
        "tally": tally_json(plan.tally),
        "best": None if vehicle.best is None else arrangement_json(vehicle.best, full),
        "changes": [change_json(change) for change in vehicle.changes],
        "keeps": None if vehicle.keeps is None else arrangement_json(vehicle.keeps, full),
        "keeps_changes": [change_json(change) for change in vehicle.keeps_changes],
        "lost": [_lost(lost) for lost in vehicle.lost],
        "left_out": [problem_json(notice) for notice in left_out],
        "certificates": certificates(plan),
    }


def rides_json(rides: Rides) -> dict[str, Any]:
    """How one rider rides: seat and restraint, and in full where that is known."""
    return {"position": rides.position, "restraint": rides.restraint, "ahead_mm": rides.ahead_mm,
            "placement": None if rides.placement is None else placement_json(rides.placement)}


def change_json(change: Change) -> dict[str, Any]:
    """One rider of an arrangement beside how they rode before."""
    return {"rider": change.rider, "what": list(change.what),
            "before": None if change.before is None else rides_json(change.before),
            "after": rides_json(change.after)}


def _lost(lost: Lost) -> dict[str, Any]:
    return {"rider": lost.rider, "was": rides_json(lost.was), "reason": lost.reason,
            "findings": [finding_json(finding) for finding in lost.findings],
            "squeeze": None if lost.squeeze is None else squeeze_json(lost.squeeze)}
