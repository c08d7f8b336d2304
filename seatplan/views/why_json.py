"""Why, or why not, as JSON."""

from __future__ import annotations

from typing import Any

from seatplan.solver.rowplans import LEVELS
from seatplan.solver.why import Why

from .caution import CAUTION
from .doubted_text import doubted_json
from .failure_json import SCHEMA
from .plan_json import cell_json, squeeze_json


def why_json(why: Why) -> dict[str, Any]:
    return {
        "schema": SCHEMA,
        "caution": CAUTION,
        "trip": why.trip.trip,
        "vehicle": why.trip.vehicle.vehicle,
        "rules": why.profile.name,
        "on": why.day.isoformat(),
        "doubted": doubted_json(why.trip),
        "complete": why.complete,
        "rider": why.rider,
        "limits": [{"mover": key, "forward": abs(most.mm), "what": most.label} for key, most in why.limits.items()],
        "modes": [
            {
                "position": mode.position, "restraint": mode.restraint, "alike": list(mode.copies), "mode": mode.mode,
                "verdict": ("rejected" if all(cell.blocked for cell in mode.cells)
                            else "contest" if mode.level is None else LEVELS[mode.level]),
                "squeeze": squeeze_json(mode.squeeze) if mode.squeeze else None,
                "cells": [cell_json(cell) for cell in mode.cells],
            }
            for mode in why.modes
        ],
    }
