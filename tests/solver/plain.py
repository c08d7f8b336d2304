"""A trip's records as plain data that can be changed and read again."""

from __future__ import annotations

from typing import Any

from worlds import Data

from seatplan.model import Trip

#: fields that hold months, which files give with a unit
_MONTHS = ("age", "expires_after")


def plain_of(trip: Trip) -> Data:
    """The data that ``Trip.model_validate`` reads back into equal records."""
    return dict(_with_units(trip.model_dump(mode="json", by_alias=True, exclude_none=True)))


def _with_units(value: Any) -> Any:
    if isinstance(value, list):
        return [_with_units(item) for item in value]
    if not isinstance(value, dict):
        return value
    return {key: _months(item) if key in _MONTHS else _with_units(item) for key, item in value.items()}


def _months(value: Any) -> Any:
    return [_months(item) for item in value] if isinstance(value, list) else f"{value} months"
