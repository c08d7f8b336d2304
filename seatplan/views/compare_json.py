"""A comparison of vehicles as JSON: stable, versioned, described by ``data/schemas/compare.json``. Fields are only ever
added; lengths in mm."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from seatplan.solver.changes import Change, Rides
from seatplan.solver.compare import Comparison, InVehicle, Lost

from .caution import CAUTION
from .doubted_text import doubted_json
from .failure_json import SCHEMA
from .plan_json import arrangement_json, certificates, finding_json, placement_json, squeeze_json, tally_json


def compare_json(found: Comparison, left_out: Sequence[Sequence[str]]) -> dict[str, Any]:
    """The whole answer as plain dicts and lists; ``left_out`` says for each vehicle what does not apply there."""
    first = found.vehicles[0].plan
    return {
        "schema": SCHEMA,
        "caution": CAUTION,
        "trip": found.trip,
        "rules": found.profile.name,
        "on": found.day.isoformat(),
        "strict": first.strict,
        "worst_case": first.worst_case,
        "held_against": found.held_against,
        "rides": [{"rider": rider, **_rides(rides)} for rider, rides in found.rides.items()],
        "vehicles": [_vehicle(vehicle, notices) for vehicle, notices in zip(found.vehicles, left_out, strict=True)],
    }


def _vehicle(vehicle: InVehicle, left_out: Sequence[str]) -> dict[str, Any]:
    plan = vehicle.plan
    return {
        "vehicle": vehicle.trip.vehicle.vehicle,
        "doubted": doubted_json(plan.trip),
        "verdict": plan.verdict,
        "complete": plan.tally.complete,
        "tally": tally_json(plan.tally),
        "best": None if vehicle.best is None else arrangement_json(vehicle.best),
        "changes": [_change(change) for change in vehicle.changes],
        "keeps": None if vehicle.keeps is None else arrangement_json(vehicle.keeps),
        "keeps_changes": [_change(change) for change in vehicle.keeps_changes],
        "lost": [_lost(lost) for lost in vehicle.lost],
        "left_out": list(left_out),
        "certificates": certificates(plan),
    }


def _rides(rides: Rides) -> dict[str, Any]:
    return {"position": rides.position, "restraint": rides.restraint, "ahead": rides.ahead_mm,
            "placement": None if rides.placement is None else placement_json(rides.placement)}


def _change(change: Change) -> dict[str, Any]:
    return {"rider": change.rider, "what": list(change.what),
            "before": None if change.before is None else _rides(change.before), "after": _rides(change.after)}


def _lost(lost: Lost) -> dict[str, Any]:
    return {"rider": lost.rider, "was": _rides(lost.was), "reason": lost.reason,
            "findings": [finding_json(finding) for finding in lost.findings],
            "squeeze": None if lost.squeeze is None else squeeze_json(lost.squeeze)}
