"""What happened at the car, what that leaves, and what to try next, as JSON."""

from __future__ import annotations

from typing import Any

from seatplan.model import Tried
from seatplan.solver.after_try import AfterTry
from seatplan.solver.judged_try import JudgedTry
from seatplan.solver.results import Plan
from seatplan.written import visible

from .arrangement_json import arrangement_json, cell_json
from .compare_json import change_json
from .finding_json import finding_json
from .plan_json import tally_json, trip_json

#: whether an arrangement has what was tried
_HAS = {"as tried": "as-tried", "otherwise held": "otherwise-held", "no": "no"}


def record_json(done: AfterTry, file: str, line: int, undone: bool) -> dict[str, Any]:
    """After an entry was written into line ``line`` of ``file``, or, ``undone``, taken back from there."""
    now = done.now
    return {
        **trip_json("record", now.trip, now.profile, now.day),
        "path": visible(file), "line": line, "undone": undone,
        "tried": _tried(done.tried),
        "judged": _judged(done.judged),
        "before": _found(done.was),
        "now": _found(now),
        "counted_from": done.base,
        "next": None if done.next is None else arrangement_json(done.next, full=False),
        "next_has_it": _HAS[done.has],
        "changes": [change_json(change) for change in done.changes],
        "otherwise_today": [change_json(change) for change in done.today],
    }


def _tried(tried: Tried) -> dict[str, Any]:
    return {"restraint": tried.restraint, "position": tried.position, "by": tried.by, "mode": tried.mode,
            "moved_mm": tried.moved, "level": tried.level, "failed": tried.failed,
            "on": None if tried.on is None else tried.on.isoformat(), "note": tried.note}


def _judged(judged: JudgedTry) -> dict[str, Any]:
    return {
        "outcome": judged.outcome,
        "finding": None if judged.finding is None else finding_json(judged.finding),
        "missing": list(judged.missing), "modes": list(judged.modes), "confirmed_for": list(judged.riders),
        "nearest": None if judged.nearest is None else cell_json(judged.nearest, full=False),
        "ruled_out": [cell_json(cell, full=False) for cell in judged.ruled_out],
    }


def _found(plan: Plan) -> dict[str, Any]:
    return {"verdict": plan.verdict, "complete": plan.tally.complete, "tally": tally_json(plan.tally)}
