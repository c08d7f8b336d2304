"""What was written on the page of readings, as it was asked for there: what each is called, and its value."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from seatplan.app.errors import InputError
from seatplan.app.measure import Value, value_of_field
from seatplan.model import Trip
from seatplan.solver.measure import Measure
from seatplan.views.answers import FROM_TO, NOTHING, PAIRS, typed_called
from seatplan.views.measure_text import asked_for
from seatplan.views.say import t
from seatplan.views.text import listed

from .reading import NONE, asked_in_parts


def written_said(typed: Mapping[str, Mapping[str, str]], before: Measure) -> Iterator[str]:
    """A line for each field that was written. ``typed``: by the name of a field the parts of its value; ``before``:
    what was asked for when they were typed."""
    labels = _labels(before)
    for name, parts in typed.items():
        yield f"{labels.get(name, name)}: {_value(value_of_field(before.trip, name), parts)}"


def _labels(before: Measure) -> dict[str, str]:
    """What each field is called on the page, by its name."""
    labels: dict[str, str] = {}
    for blank in asked_for(before):
        for name, told in _parts(blank.field, blank.key, before.trip) or [(blank.field, "")]:
            labels.setdefault(name, f"{blank.label}, {told}" if told else blank.label)
    return labels


def _parts(name: str, key: str, trip: Trip) -> list[tuple[str, str]]:
    try:
        return asked_in_parts(name, key, value_of_field(trip, name))
    except InputError:
        return []


def _value(value: Value, parts: Mapping[str, str]) -> str:
    if "" in parts:
        return typed_called(value.key, value.way, parts[""])
    if value.way == "two":
        return ", ".join(
            f"{t(told)} {typed_called(value.key, value.of, parts[str(n)])}"
            for n, told in enumerate(PAIRS.get(value.key, FROM_TO)))
    if NONE in parts:
        return NOTHING.get(value.key) or t("none")
    return listed([typed_called(value.key, value.way, word) for word in parts])
