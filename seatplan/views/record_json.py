"""What happened at the car, what that leaves, and what to try next, as JSON."""

from __future__ import annotations

from typing import Any

from seatplan.app.record import Noted
from seatplan.model import Installed, Readings, Tried
from seatplan.readings import READINGS
from seatplan.solver.judged_try import JudgedTry
from seatplan.solver.results import Plan
from seatplan.written import visible

from .arrangement_json import arrangement_json, cell_json
from .compare_json import change_json
from .finding_json import finding_json
from .plan_json import tally_json, trip_json

#: whether an arrangement has what was tried
_HAS = {"as tried": "as-tried", "otherwise held": "otherwise-held", "no": "no"}


def record_json(noted: Noted, file: str) -> dict[str, Any]:
    """After something was written into ``file``."""
    now, done = noted.now, noted.after
    best = done.next if done is not None else next(iter(now.arrangements), None)
    return {
        **trip_json("record", now.trip, now.profile, now.day),
        "path": visible(file), "line": noted.recorded.line, "undone": False,
        "tried": None if done is None else tried_json(done.tried),
        "judged": None if done is None else _judged(done.judged),
        "before": None if done is None else _found(done.was),
        "now": _found(now),
        "counted_from": "nothing" if done is None else done.base.replace(" ", "-"),
        "next": None if best is None else arrangement_json(best, full=False),
        "next_has_it": "no" if done is None else _HAS[done.has],
        "changes": [change_json(change) for change in (done.changes if done is not None else ())],
        "otherwise_today": [change_json(change) for change in (done.today if done is not None else ())],
        "all_holds": noted.done, "gone_on_with_another": noted.other,
        "best_by_order": None if noted.best is None else arrangement_json(noted.best, full=False),
        "forbidden_as_found": None if noted.forbidden is None else cell_json(noted.forbidden, full=False),
        "no_longer_installed": {rider: installed_json(here) for rider, here in noted.displaced.items()},
        "no_longer_arrived": list(noted.not_arrived),
        "installed": {rider: installed_json(here) for rider, here in noted.recorded.after.installed.items()},
    }


def installed_json(here: Installed) -> dict[str, Any]:
    """What is installed for a rider."""
    return {"restraint": here.restraint, "position": here.position, "mode": here.mode, "by": here.by,
            "tether": here.tether, "readings": readings_json(here.readings),
            "on": None if here.on is None else here.on.isoformat(), "who": here.who, "note": here.note}


def readings_json(readings: Readings | None) -> dict[str, Any]:
    """What was read, by the names of the readings with their unit; nothing where nothing was."""
    units = {"mm": "_mm", "°": "_degrees", "": ""}
    return {} if readings is None else {f"{key}{units[one.unit]}": value for key, one in READINGS.items()
                                        if (value := getattr(readings, key)) not in (None, "")}


def tried_json(tried: Tried) -> dict[str, Any]:
    return {"restraint": tried.restraint, "position": tried.position, "by": tried.by, "mode": tried.mode,
            "rider": tried.rider, "moved_mm": tried.moved, "level": tried.level,
            "readings": readings_json(tried.readings), "tether": tried.tether, "failed": tried.failed,
            "on": None if tried.on is None else tried.on.isoformat(), "who": tried.who, "note": tried.note}


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
