"""One arrangement against another as JSON."""

from __future__ import annotations

from typing import Any

from seatplan.solver.contrast import Asked, Contrast
from seatplan.solver.results import Plan

from .arrangement_json import arrangement_json, placement_json
from .explained_json import explanation_json
from .finding_json import finding_json
from .plan_json import form_json, trip_json


def against_json(plan: Plan, found: Contrast, full: bool = True) -> dict[str, Any]:
    """Two arrangements of the list, by their numbers."""
    return {**_head(plan, full), "contrast": _contrast(found, full)}


def asked_json(asked: Asked, full: bool = True) -> dict[str, Any]:
    """Why not as asked: a contrast, or what stands in the way."""
    wish = asked.wish
    return {
        **_head(asked.plan, full),
        "asked": {"rider": wish.rider, "at": wish.at, "uses": wish.uses},
        "verdict": asked.plan.verdict, "is_the_best": asked.same, "fits_without": asked.best is not None,
        "contrast": None if asked.contrast is None else _contrast(asked.contrast, full),
        "explanation": None if asked.explanation is None else explanation_json(asked.explanation, full),
    }


def _head(plan: Plan, full: bool) -> dict[str, Any]:
    return {**trip_json("contrast", plan.trip, plan.profile, plan.day, plan.options),
            "form": form_json(full)}


def _contrast(found: Contrast, full: bool) -> dict[str, Any]:
    return {
        "one": arrangement_json(found.one, full), "other": arrangement_json(found.other, full),
        "moved": [{"one": placement_json(a), "other": placement_json(b)} for a, b in found.moved],
        "criteria": [{"criterion": c.name, "one": c.one, "other": c.other} for c in found.criteria],
        "only_one": [finding_json(f) for f in found.only_one],
        "only_other": [finding_json(f) for f in found.only_other],
    }
