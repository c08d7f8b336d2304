"""One arrangement against another as JSON."""

from __future__ import annotations

from typing import Any

from seatplan.solver.contrast import Asked, Contrast
from seatplan.solver.results import Plan

from .caution import CAUTION
from .doubted_text import doubted_json
from .failure_json import SCHEMA
from .plan_json import arrangement_json, explanation_json, finding_json, placement_json


def against_json(plan: Plan, found: Contrast) -> dict[str, Any]:
    """Two arrangements of the list, by their numbers."""
    return {**_head(plan), "contrast": _contrast(found)}


def asked_json(asked: Asked) -> dict[str, Any]:
    """Why not as asked: a contrast, or what stands in the way."""
    wish = asked.wish
    return {
        **_head(asked.plan),
        "asked": {"rider": wish.rider, "at": wish.at, "uses": wish.uses},
        "verdict": asked.plan.verdict, "is_the_best": asked.same, "fits_without": asked.best is not None,
        "contrast": None if asked.contrast is None else _contrast(asked.contrast),
        "explanation": None if asked.explanation is None else explanation_json(asked.explanation),
    }


def _head(plan: Plan) -> dict[str, Any]:
    return {"schema": SCHEMA, "caution": CAUTION, "trip": plan.trip.trip, "vehicle": plan.trip.vehicle.vehicle,
            "rules": plan.profile.name, "on": plan.day.isoformat(),
            "doubted": doubted_json(plan.trip)}


def _contrast(found: Contrast) -> dict[str, Any]:
    return {
        "one": arrangement_json(found.one), "other": arrangement_json(found.other),
        "moved": [{"one": placement_json(a), "other": placement_json(b)} for a, b in found.moved],
        "criteria": [{"criterion": c.name, "one": c.one, "other": c.other} for c in found.criteria],
        "only_one": [finding_json(f) for f in found.only_one],
        "only_other": [finding_json(f) for f in found.only_other],
    }
