"""What to measure next, as JSON."""

from __future__ import annotations

from datetime import date
from typing import Any

from seatplan.model.quantities import written
from seatplan.model.record import Record
from seatplan.solver.measure import Measure, Measurement, owner
from seatplan.units import Quantity, Stature

from .finding_json import plain
from .plan_json import tally_json, trip_json


def measure_json(measure: Measure) -> dict[str, Any]:
    """Every field that matters, those that decide most first."""
    return {
        **trip_json("measure", measure.trip, measure.profile, measure.day),
        "verdict": measure.now.verdict,
        "tally": tally_json(measure.now.tally),
        "complete": measure.complete,
        "measurements": [_measurement(measure, one) for one in measure.measurements],
    }


def _measurement(measure: Measure, one: Measurement) -> dict[str, Any]:
    unknown = one.unknown
    of, name = owner(measure.trip, unknown.path) or (None, None)
    return {
        "field": ".".join(map(str, unknown.path)), "of": of, "name": name,
        "what": unknown.name, "how": unknown.how,
        "settles": [{"at": plain(by.value), "unit": by.unit} for by in one.settles],
        "decides": one.decides, "asked_by": one.asked_by,
        "ends": None if one.ends is None else [
            {"value": _value(value), "fits": end.sure, "unmeasured": end.open}
            for value, end in zip(unknown.ends, one.ends, strict=True)],
    }


def _value(value: Any) -> Any:
    """A value as a file would have it."""
    if isinstance(value, (Quantity, Stature)):
        return written(value)
    if isinstance(value, Record):
        return value.model_dump(mode="json", exclude_defaults=True)
    return value.isoformat() if isinstance(value, date) else value
