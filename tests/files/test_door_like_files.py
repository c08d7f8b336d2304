"""The door is as strict as the files are: any field of a bundled trip, copied with any value, is refused just where a
file with that value would be, or read as that file would be. What no file could hold is refused."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from datetime import date, datetime
from decimal import Decimal
from functools import cache
from typing import Any, get_args

import pytest
from hypothesis import assume, example, given, settings
from hypothesis import strategies as st
from pydantic import BaseModel

from seatplan import InputError, load_trip
from seatplan.files.door import checked
from seatplan.files.load import trip_from
from seatplan.files.plain import data_of, trip_of
from seatplan.files.reading import parse
from seatplan.model import Trip
from seatplan.model.record import Record
from seatplan.units import Quantity, mass

TODAY = date(2026, 11, 30)
TRIPS = ("three-across-school-run", "third-child-on-the-way", "i-size-family", "tall-driver", "sliding-row-outing")
#: values that a file can hold, right for some field and wrong for most
VALUES: tuple[Any, ...] = (
    None, -400, 0, 1, 2, 5, 12, 37, 400, 700, 10**9, 12.5, 438.0, True, False, "", "  ", "x", "9Z", "2C", "1L", "none",
    "yes", "Wren", "Nobody", "5 kg", "43 cm", "7y", "2026-11-30", "a\x1b[2J", "a\nb", "x" * 5000, [], [1], [5, 1],
    ["2L"], {}, {"x": 1}, {"sure": {}}, date(2020, 1, 1), date(2050, 1, 1), mass("5 kg"), "lap", (1, 2), [[1, 2]],
)
#: fields that a record holds in months, and a file with their unit
MONTHS = ("age", "expires_after")
Path = tuple[str | int, ...]


@cache
def trip(name: str) -> Trip:
    return load_trip(name)


@cache
def paths(name: str) -> tuple[Path, ...]:
    """Every field and item of a trip, those that nobody filled in too."""
    return tuple(path for path in _paths(trip(name), ()) if path)


def _paths(value: Any, at: Path) -> Iterator[Path]:
    yield at
    if isinstance(value, BaseModel):
        inner: Any = [(name, getattr(value, name)) for name in type(value).model_fields]
    elif isinstance(value, dict):
        inner = value.items()
    else:
        inner = enumerate(value) if isinstance(value, (list, tuple)) else ()
    for step, below in inner:
        yield from _paths(below, (*at, step))


def copied(holder: Any, path: Path, value: Any) -> Any:
    """As somebody would copy records in Python: nothing is checked."""
    if not path:
        return value
    step, rest = path[0], path[1:]
    if isinstance(holder, (list, tuple)):
        return type(holder)(copied(x, rest, value) if i == step else x for i, x in enumerate(holder))
    if isinstance(holder, dict):
        return {key: copied(x, rest, value) if key == step else x for key, x in holder.items()}
    return holder.model_copy(update={step: copied(getattr(holder, str(step)), rest, value)})


def file_of(name: str, path: Path, value: Any) -> str:
    """The text of a trip file with that value in that place."""
    data = json.loads(trip(name).model_dump_json(exclude_unset=True))
    at = data
    for step in path[:-1]:
        if isinstance(at, dict) and at.get(step) is None:
            at[step] = {}
        at = at[step]
    at[path[-1]] = _plain(value, any(step in MONTHS for step in path))
    return re.sub(r'"@day (.*?)"', r"\1", json.dumps(data, ensure_ascii=False))


def _plain(value: Any, months: bool) -> Any:
    if isinstance(value, date):
        return f"@day {value}"                  # without quotes, as YAML has it
    if isinstance(value, Quantity):
        return value.written
    if isinstance(value, (list, tuple)):
        return [_plain(one, months) for one in value]
    if isinstance(value, dict):
        return {key: _plain(one, months) for key, one in value.items()}
    return f"{value} months" if months and type(value) is int else value


def takes_words(holder: Any, path: Path) -> bool:
    """Whether a field takes text, or a mass with a word: a mass that is copied there is no text yet, and what becomes
    of it hangs on the version of pydantic."""
    for step in path[:-1]:
        holder = holder[step] if isinstance(holder, (list, tuple, dict)) else getattr(holder, str(step))
    if isinstance(holder, (list, tuple)):
        return isinstance(holder[int(path[-1])], str)
    field = type(holder).model_fields.get(str(path[-1])) if isinstance(holder, Record) else None
    kinds = [] if field is None else [field.annotation, *get_args(field.annotation)]
    return path[-1] == "needs_tether" or any(getattr(kind, "__origin__", kind) is str for kind in kinds)


def refused(made: Any) -> list[str]:
    return [problem.text for problem in made.problems] if isinstance(made, InputError) else []


places = st.sampled_from(TRIPS).flatmap(lambda name: st.tuples(st.just(name), st.sampled_from(paths(name))))


@settings(max_examples=250)
@given(places, st.sampled_from(VALUES))
@example(("three-across-school-run", ("riders", 1, "mass")), 9.6)
@example(("three-across-school-run", ("riders", 1, "measured")), [{"on": "2026-11-01", "hips": 200}])
@example(("three-across-school-run", ("restraints", 0, "modes", 0, "parts", 0, "width")), 400.0)
def test_a_copied_value_is_taken_as_a_file_with_it_would_be(place: tuple[str, Path], value: Any) -> None:
    name, path = place
    assume(not isinstance(value, Quantity) or not takes_words(trip(name), path))
    copy = copied(trip(name), path, value)
    made: list[Trip | InputError] = []
    for make in (lambda: checked(copy, TODAY, over_time=True),
                 lambda: trip_from(parse(file_of(name, path, value), "trip.yaml", TODAY), today=TODAY)):
        try:
            made.append(make())
        except InputError as error:
            made.append(error)
    door, file = made
    assert isinstance(door, InputError) == isinstance(file, InputError), refused(door) or refused(file)
    if isinstance(door, Trip) and isinstance(file, Trip):
        assert door.content == file.content             # equal to the last value and its type, so answered alike


class Odd:
    """Nothing that a file holds."""


def endless() -> list[Any]:
    around: list[Any] = []
    around.append(around)
    return around


NO_FILE_HOLDS: dict[str, Any] = {
    "an object": Odd(), "bytes": b"x", "a set": {1}, "a generator": (x for x in "ab"), "a Decimal": Decimal("9.6"),
    "a complex number": 1j, "a list within itself": endless(), "a hidden letter": "a\u202eb", "a class": Odd,
    "a number without end": 10**6000, "a key that is none": {1: 2}, "a long list": [[0] * 300] * 300,
    "a nest": eval("[" * 60 + "]" * 60),
}


@pytest.mark.parametrize("what", NO_FILE_HOLDS)
@settings(max_examples=25)
@given(place=places)
def test_what_no_file_holds_is_refused(what: str, place: tuple[str, Path]) -> None:
    copy = copied(trip(place[0]), place[1], NO_FILE_HOLDS[what])
    head = str(place[1][0])
    data = {**data_of(trip(place[0])), head: getattr(copy, head)}
    for make in (lambda: checked(copy, TODAY), lambda: trip_of(data, today=TODAY)):
        with pytest.raises(InputError) as caught:
            make()
        for problem in caught.value.problems:
            assert problem.path.startswith(head)
            assert str(problem).isprintable()
            assert len(str(problem)) < 2000


@settings(max_examples=100)
@given(places, st.sampled_from([float("nan"), float("inf"), -float("inf"), datetime(2026, 1, 1)]))
def test_numbers_that_are_none_pass_as_text_alone(place: tuple[str, Path], value: Any) -> None:
    try:
        found: Any = checked(copied(trip(place[0]), place[1], value), TODAY)
    except InputError:
        return
    for step in place[1]:
        found = found[step] if isinstance(step, int) or isinstance(found, dict) else getattr(found, step)
    assert isinstance(found, str), "notes may say anything"
