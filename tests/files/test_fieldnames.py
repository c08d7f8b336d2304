"""Fields by the names that a person gives them, there and back."""

from __future__ import annotations

import pytest

from seatplan import load_trip
from seatplan.fields import FIELDS
from seatplan.files.errors import InputError
from seatplan.files.fieldnames import name_of, named, target
from seatplan.model.doubt import steps
from seatplan.model.record import Record

TRIP = load_trip("three-across-school-run")
#: whom a field of the table belongs to, here
OWNERS = {"rider": "Wren", "row": "row2", "position": "2C", "restraint": "Nook", "mode": "Nook/rear-facing-harness",
          "installation": "Nook/rear-facing-harness/lap-shoulder-belt"}
#: fields that stand elsewhere, or whose name says an item of a list
SPECIAL = {"limits": "Nook/rear-facing-harness.limits", "trip.front": "1L.front", "row.trim": "row2.trim.door.left",
           "row.lower_anchors": "row2.lower_anchors.a", "mode.parts.base": "Nook/rear-facing-harness.parts.base",
           "mode.parts.width": "Nook/rear-facing-harness.parts.shell.width",
           "mode.parts.outline": "Nook/rear-facing-harness.parts.shell.outline", "row.tethers": "row2.tethers.t1.up"}


@pytest.mark.parametrize("key", [key for key in FIELDS if key != "trip.tried"])      # that is what `record` is for
def test_every_field_of_the_table_can_be_named(key: str) -> None:
    head, _, tail = key.partition(".")
    found = target(SPECIAL.get(key) or f"{OWNERS[head]}.{tail}", TRIP)
    assert found.of == {"rider": "trip", "row": "vehicle", "position": "vehicle", "trip": "trip"}.get(head, "restraint")


@pytest.mark.parametrize(("text", "path", "value"), [
    ("2C.gap@300=640", ("rows", 1, "positions", 1, "ahead", "gap"), "640"),
    ("2C.gap@12 in=25 in", ("rows", 1, "positions", 1, "ahead", "gap"), "25 in"),
    ('"Wren".mass = 19.6 lb', ("riders", 1, "mass"), "19.6 lb"),
    ("wren.weight=9 kg", ("riders", 1, "mass"), "9 kg"),
    ("Nook.recall=none", ("condition", "recall"), "none"),
    ("row2.lower_anchors.z=900", ("rows", 1, "lower_anchors", 4, "across"), "900"),
])
def test_a_name_leads_to_its_field(text: str, path: tuple[object, ...], value: str) -> None:
    found, typed = named(text, TRIP)
    assert (found.path, typed) == (path, value)


def test_names_with_blanks_and_dots_are_owners_too() -> None:
    trip = TRIP.model_copy(update={"riders": [TRIP.riders[0].model_copy(update={"rider": "Ann B. Lee"}),
                                              *TRIP.riders[1:]]})
    assert target("Ann B. Lee.mass", trip).path == ("riders", 0, "mass")


@pytest.mark.parametrize(("text", "told"), [
    ("2C.belt.lenght=1", 'has no field "belt.lenght"; did you mean "length"?'),
    ("2C.lenght=1", 'has no field "lenght"; did you mean "length"?'),
    ("Wern.mass=1", 'nothing in this trip is called "Wern"; did you mean "Wren"?'),
    ("Nook/rear-facing.limits=1", 'did you mean "rear-facing-harness"?'),
    ("Nook/rear-facing-harness/lap.lock_off=1", "Nook is not installed by \"lap\" in this mode"),
    ("Nook/rear-facing-harness.belt_path=1", "expected one of Nook/rear-facing-harness/"),
    ("Wren/booster.mass=1", "Wren is no restraint"),
    ("2C.centre@300=1", "stands at no height"),
    ("2C.gap@high=1", "expected"),
    ("2C.belt.length", "gives no value"), ("2C.belt.length=", "gives no value"),
])
def test_a_wrong_name_is_told_with_the_nearest(text: str, told: str) -> None:
    with pytest.raises(InputError, match=r".") as error:
        named(text, TRIP)
    assert told in str(error.value)


def test_what_a_field_is_called_leads_back_to_it() -> None:
    for i, row in enumerate(TRIP.vehicle.rows):
        for path in _paths(row, ("vehicle", "rows", i)):
            assert ("vehicle", *target(name_of(path, TRIP), TRIP).path) == path
    for n, restraint in enumerate(TRIP.restraints):
        for path in _paths(restraint, ("restraints", n)):
            found = target(name_of(path, TRIP), TRIP)
            assert ("restraints", found.number, *found.path) == path


def _paths(record, at):
    """Every field that is not what something is called by, with the records in it."""
    called = next(name for name in type(record).model_fields if name != "sure")
    for name in type(record).model_fields:
        value = getattr(record, name)
        if isinstance(value, list) and value and isinstance(value[0], Record):
            for k, one in enumerate(value):
                yield from _paths(one, (*at, name, k))
        elif isinstance(value, Record):
            yield from (path for path in _paths(value, (*at, name)) if list(steps(TRIP, path)))
        elif name not in (called, "sure", "invented", "notes", "model_year", "every_seat", "by"):
            yield (*at, name)
