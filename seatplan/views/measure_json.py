"""What to measure next, as JSON."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from seatplan.files.fieldnames import name_of
from seatplan.files.setting import Changed
from seatplan.model import Trip
from seatplan.solver.asked import Asked
from seatplan.solver.measure import Measure, Measurement, owner
from seatplan.solver.settle import Reading, Settle
from seatplan.solver.would_do import Settled
from seatplan.written import visible

from .finding_json import plain
from .plan_json import tally_json, trip_json


def measure_json(measure: Measure) -> dict[str, Any]:
    """The readings that settle the best arrangement, those that could open a better one, and the rest."""
    return {
        **trip_json("measure", measure.trip, measure.profile, measure.day),
        "verdict": measure.verdict,
        "tally": None if measure.tally is None else tally_json(measure.tally),
        "complete": measure.complete,
        "best": _settle(measure, measure.best),
        "sooner": _settle(measure, measure.sooner),
        "opens": [_settle(measure, one) for one in measure.opens],
        "measurements": [_measurement(measure.trip, one) for one in measure.rest],
    }


def set_json(before: Measure, now: Measure, done: Any, written: bool) -> dict[str, Any]:
    """What was set or taken back, and the readings that are left."""
    changed = done if isinstance(done, Changed) else None
    return {
        **measure_json(now),
        "undone": changed is None, "written": written,
        "set": [] if changed is None else [
            {"field": one.name, "path": visible(one.file), "line": one.line, "was": _plain(one.was),
             "now": _plain(one.now)} for one in changed.fields],
        "copies": [visible(path) for path in (changed.copies if changed else ())],
        "before": {"verdict": before.verdict, "best": _settle(before, before.best)},
    }


def _settle(measure: Measure, one: Settle | None) -> dict[str, Any] | None:
    if one is None:
        return None
    return {
        "seats": [{"rider": seat.placement.rider.rider, "position": seat.placement.position.position,
                   "restraint": seat.placement.restraint.restraint if seat.placement.restraint else None,
                   "mode": seat.placement.mode_name} for seat in one.arrangement.seats],
        "now": one.arrangement.verdict, "then": one.verdict, "smallest": one.smallest,
        "readings": [_reading(measure.trip, reading) for reading in one.readings],
        "estimates": [_reading(measure.trip, reading) for reading in one.estimates],
    }


def _reading(trip: Trip, one: Reading) -> dict[str, Any]:
    return {**_asked(trip, one.asked, one.settles), "would_do": _plain(one.would_do), "asked_by": list(one.asked_by)}


def _measurement(trip: Trip, one: Measurement) -> dict[str, Any]:
    return {
        **_asked(trip, one.asked, one.settles), "decides": one.ways, "asked_by": one.asked_by,
        "ways": [{"rider": way.rider, "restraint": way.restraint or None, "positions": list(way.seats)}
                 for way in one.decides],
        "ends": None,
    }


def _asked(trip: Trip, asked: Asked, settles: Sequence[Settled]) -> dict[str, Any]:
    of, name = (owner(trip, asked.path) if asked.path else None) or (None, None)
    return {
        "field": ".".join(map(str, asked.path)), "set": name_of(asked.path, trip) if asked.path else None,
        "of": of, "name": name, "what": str(asked.what), "how": str(asked.how), "unit": asked.unit,
        "settles": [{"at": plain(by.value), "unit": by.unit, "keeps": by.keeps or None} for by in settles],
    }


def _plain(value: Any) -> Any:
    """A value as a file would have it."""
    if isinstance(value, dict):
        return {key: _plain(one) for key, one in value.items()}
    if isinstance(value, (list, tuple)):
        return [_plain(one) for one in value]
    return value if value is None or isinstance(value, (str, int, float)) else str(value)
