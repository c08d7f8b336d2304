"""A checkup as JSON: what stands in its page, and what `seatplan checkup --json` prints."""

from __future__ import annotations

from typing import Any

from seatplan.app.checkup import ForTheFile
from seatplan.rules.tries import reading
from seatplan.solver.asked import estimated_in
from seatplan.solver.departure import Leaves
from seatplan.solver.noted import Against
from seatplan.views.finding_json import finding_json, plain
from seatplan.views.notes_text import findings_of
from seatplan.views.plan_json import trip_json
from seatplan.views.record_json import installed_json, tried_json
from seatplan.written import visible


def checkup_json(found: ForTheFile, program: str) -> dict[str, Any]:
    """All that is known of it. ``program``: the version that wrote it."""
    left, arrangement = found.departure, found.departure.arrangement
    arrived, file = found.file.arrived, found.profile.file
    return {
        **trip_json("checkup", found.trip, found.profile, found.day),
        "program": program, "made": found.made.isoformat(), "who": list(found.who),
        "state": left.state,
        "open": [{"kind": point.kind, "rider": point.rider or None, "reading": point.reading or None,
                  "things": point.things, "refused_by": [finding_json(finding) for finding in point.against]}
                 for point in left.open],
        "verdict": None if arrangement is None else arrangement.verdict,
        "grave_cautions": left.grave_cautions,
        "cautions": [] if arrangement is None else [finding_json(f) for f in findings_of(arrangement)
                                                    if f.outcome == "caution"],
        "arrived": None if arrived is None else {rider: installed_json(here) for rider, here in arrived.items()},
        "arrived_refused_by": _by_rider(None if found.arrival is None else found.arrival.against),
        "arrived_grave_cautions": _by_rider(None if found.arrival is None else found.arrival.grave),
        "tried": [tried_json(tried) for tried in found.file.tried],
        "left": [_leaves(one) for one in left.leaves],
        "only_estimated": [] if arrangement is None else [str(one.what) for one in estimated_in(
            arrangement.guesses, [seat.placement for seat in arrangement.seats], left.plan.trip)],
        "limits": [{"name": limit.name, "value": plain(limit.value), "unit": limit.unit, "source": limit.source}
                   for limit in found.profile.thresholds.values()],
        "musts": sorted(found.profile.must),
        "rules_file": None if file is None else {"name": visible(file.name), "sha256": file.sha256, "text": file.text},
        "file": found.file.data(),
    }


def _by_rider(found: Against | None) -> dict[str, Any] | None:
    return None if found is None else {rider: [finding_json(f) for f in those] for rider, those in found.items()}


def _leaves(one: Leaves) -> dict[str, Any]:
    return {
        "rider": one.rider.rider, "installed": None if one.here is None else installed_json(one.here),
        "allowed": one.as_noted, "holds": one.holds,
        "asked": [{"reading": box.reading,
                   "value": None if one.here is None else _plain(reading(one.here, box.reading))}
                  for box in one.asked],
        "missing": list(one.missing), "belt_tested": one.belt_tested,
    }


def _plain(value: Any) -> Any:
    return None if value == "" else value
