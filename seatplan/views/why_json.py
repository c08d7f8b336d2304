"""Why, or why not, as JSON."""

from __future__ import annotations

from typing import Any

from seatplan.rules.finding import ORDER
from seatplan.solver.rowplans import LEVELS
from seatplan.solver.why import Mode, Why, nearest

from .arrangement_json import cell_json, squeeze_json
from .plan_json import form_json, trip_json


def why_json(why: Why, full: bool = True, narrow: bool = True) -> dict[str, Any]:
    """Every seat and mode of the rider with its placements and what speaks for or against each. In brief each mode has
    only the placement with the least against it, and where the question is not narrowed to a seat or a restraint, the
    names of the rules that speak against that."""
    return {
        **trip_json("why", why.trip, why.profile, why.day, why.options),
        "form": form_json(full),
        "complete": why.complete,
        "rider": why.rider,
        "limits": [{"mover": key, "forward_mm": abs(most.mm), "what": most.label} for key, most in why.limits.items()],
        "modes": [_mode(mode, full, narrow) for mode in why.modes],
    }


def _mode(mode: Mode, full: bool, narrow: bool) -> dict[str, Any]:
    least = nearest(mode.cells)
    shown = mode.cells if full else (least,)
    return {
        "position": mode.position, "restraint": mode.restraint, "alike": list(mode.copies), "mode": mode.mode,
        "verdict": ("ruled-out" if all(cell.blocked for cell in mode.cells)
                    else "contest" if mode.level is None else LEVELS[mode.level]),
        "squeeze": squeeze_json(mode.squeeze) if mode.squeeze else None,
        "ways": len(mode.cells),
        "against": {outcome: list(dict.fromkeys(f.rule for f in least.findings if f.outcome == outcome))
                    for outcome in ORDER if outcome != "pass"},
        **({"placements": [cell_json(cell, full) for cell in shown]} if full or narrow else {}),
    }
