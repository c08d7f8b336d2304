"""Missing data is never a pass: whatever a file leaves out, no seating fits that did not fit with it filled in.

Every optional field of every record of a trip is taken out in turn. Some say by being absent that something is not so,
or are wishes: those are named here, each with its reason.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from typing import Any

import pytest
from pydantic import BaseModel

from seatplan import InputError, arrange, load_trip
from seatplan.model import Measured, Rider, Trip

#: last part of the path -> why its absence may let more through
_MEANT = {
    "wishes": "nobody wishes it then",
    "must": "a wish only",
    "rider": "a wish of nobody",
    "drives": "somebody who is not listed drives",
    "age": "instructions that name no age limit have none; mass and height must be there",
    "settings": "a shell with one setting stands as it was measured",
    "measured": "sizes without a day are those of the day of travel; with one they are reckoned from there",
    "slides": "seats of a row that does not slide as one move one by one, each by its own travel",
}


def _optional(record: BaseModel, at: tuple[Any, ...] = ()) -> Iterator[tuple[tuple[Any, ...], Any]]:
    """Path and default of every field that is filled in and need not be."""
    for name, field in type(record).model_fields.items():
        value = getattr(record, name)
        if value is None:
            continue
        if not field.is_required() and (default := field.get_default(call_default_factory=True)) != value:
            yield (*at, name), default
        inner = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, (list, tuple)) \
            else [(None, value)]
        for key, item in inner:
            if isinstance(item, BaseModel):
                yield from _optional(item, (*at, name) if key is None else (*at, name, key))


def _put(record: Any, path: tuple[Any, ...], value: Any) -> Any:
    if not path:
        return value
    head, rest = path[0], path[1:]
    if isinstance(record, BaseModel):
        return record.model_copy(update={head: _put(getattr(record, head), rest, value)})
    if isinstance(record, dict):
        return record | {head: _put(record[head], rest, value)}
    return type(record)(_put(item, rest, value) if k == head else item for k, item in enumerate(record))


def _fits(trip: Trip) -> set[frozenset[tuple[Any, ...]]]:
    """What fits; nothing does where the trip is refused, as one whose driver is no adult any more."""
    try:
        plan = arrange(trip, top=None)
    except InputError:
        return set()
    return {frozenset((s.placement.rider.rider, s.placement.position.position,
                       s.placement.restraint and s.placement.restraint.restraint, s.placement.mode_name)
                      for s in found.seats)
            for found in plan.arrangements if found.verdict == "fits"}


def _due_soon() -> Trip:
    """A child measured a while ago, of a sex, and one that is not born yet: what only such trips have."""
    trip = load_trip("tall-driver")
    driver, mina = trip.riders
    told = {"sex": "girl", "measured": [Measured(on=date(2026, 8, 30), mass="10.2 kg", height=775, sitting_height=485),
                                        Measured(on=date(2026, 11, 30), mass="10.8 kg", height=800)]}
    baby = Rider(rider="Minnow", sex="boy", due=date(2027, 3, 20))
    return trip.model_copy(update={"riders": [driver, mina.model_copy(update=told), baby]})


@pytest.mark.parametrize("name", ["tall-driver", "slide-decides", "two-children-one-tether", "upright-only",
                                  "boosters-by-the-handbook", "three-boosters-two-belts", "due-soon"])
def test_nothing_fits_because_it_is_missing(name: str) -> None:
    trip = _due_soon() if name == "due-soon" else load_trip(name)
    base, tried = _fits(trip), 0
    for path, default in _optional(trip):
        # without its bars a car is no record: the reader refuses a seat that names them
        if path[-1] in _MEANT or path in (("on",), ("rules",)) or path[-1] in ("lower_anchors", "tethers"):
            continue
        tried += 1
        more = _fits(_put(trip, path, default)) - base
        assert not more, f"without {'.'.join(map(str, path))}: {sorted(map(sorted, more))[0]}"
    assert tried > 100
