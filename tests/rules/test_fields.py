"""The table of fields: one entry for what a rule can miss, none that nobody uses, and words that a subject fills."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any, get_args

import pytest

import seatplan
from seatplan.fields import FIELDS, field, how_to_take
from seatplan.model import Installation, Limits, Mode, Position, Restraint, Rider, Row, Trip, Vehicle
from seatplan.model.record import Record
from seatplan.rules.not_given import _NOT_ASKED
from seatplan.rules.registry import RULES

ROOTS: dict[str, type[Record]] = {
    "rider": Rider, "row": Row, "position": Position, "restraint": Restraint, "mode": Mode,
    "installation": Installation, "limits": Limits, "trip": Trip, "vehicle": Vehicle,
}
#: what holds nothing up where it is absent: without it a rule has nothing to say, or takes the strictest reading
HOLDS_NOTHING_UP = {
    "installation.inflatable_belt", "installation.spacing", "limits.age", "position.airbag.side",
    "position.manual.lower_anchor_mass_limit", "rider.climbs", "row.cushion.raised", "row.tethers.mass_limit",
}
SUBJECT = {"rider": "Wren", "restraint": "Nook", "position": "2C", "row": 2, "side": "left", "trim_name": "armrest",
           "tether": "T1", "part": "shell", "which": "mass"}
SOURCES = sorted(Path(seatplan.__file__).parent.rglob("*.py"))


def records(annotation: Any) -> Iterator[type[Record]]:
    if isinstance(annotation, type) and issubclass(annotation, Record):
        yield annotation
    for inner in get_args(annotation):
        yield from records(inner)


def may_be_absent(read: str) -> bool:
    """Whether a file can leave out what a rule reads, so that it is None there."""
    root, *path = read.split(".")
    held, absent = [ROOTS[root]], False
    for name in path:
        info = next(record.model_fields[name] for record in held if name in record.model_fields)
        held, absent = list(records(info.annotation)), not info.is_required() and info.default is None
    return absent


def every_read() -> set[str]:
    return {read for rule in RULES for read in rule.reads if "." in read}


def has_entry(read: str) -> bool:
    return read in FIELDS or any(read in known.also for known in FIELDS.values())


def test_what_a_rule_reads_and_a_file_may_leave_out_has_an_entry():
    absent = {read for read in every_read() if may_be_absent(read) and read.rsplit(".", 1)[-1] not in _NOT_ASKED}
    assert {read for read in absent if not has_entry(read)} == HOLDS_NOTHING_UP


def texts(node: ast.AST) -> Iterator[str]:
    """Every text in the source, but for what rules say that they read."""
    if isinstance(node, ast.keyword) and node.arg == "reads":
        return
    if isinstance(node, ast.Constant) and isinstance(node.value, str):
        yield node.value
    for inner in ast.iter_child_nodes(node):
        yield from texts(inner)


def asked_for() -> set[str]:
    return {text for file in SOURCES if file.name != "fields.py"
            for text in texts(ast.parse(file.read_text(encoding="utf-8")))}


def test_no_entry_is_unused():
    assert set(FIELDS) - asked_for() == set()


def calls(name: str) -> Iterator[tuple[Path, ast.Call]]:
    for file in SOURCES:
        for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id == name and node.args:
                yield file, node


def test_every_field_that_is_asked_for_is_in_the_table_with_its_subject():
    asked = [(file, call, call.args[0].value) for file, call in (*calls("field"), *calls("_unknown"))
             if isinstance(call.args[0], ast.Constant)]
    assert len(asked) > 100
    for file, call, key in asked:
        needs = set(re.findall(r"\{(\w+)\}", FIELDS[key].label))
        assert needs <= {word.arg for word in call.keywords}, (file.name, call.lineno)


def test_rules_name_fields_that_they_or_a_part_of_them_read():
    for key in FIELDS:
        known = {key, *FIELDS[key].also}
        if key in ("rider.shoulders", "rider.hips", "rider.buttock_knee"):
            continue                                     # bodies in a row, and legs, are drawn from them
        assert any(read == name or name.startswith(f"{read}.") or read.startswith(f"{name}.")
                   for name in known for rule in RULES for read in rule.reads) or key in (
            "position.middle", "trip.front"), key


@pytest.mark.parametrize("key", FIELDS)
def test_words_are_filled_and_say_what_to_do(key: str):
    missing = field(key, **SUBJECT)
    assert missing.field
    assert missing.how
    assert "{" not in missing.field
    assert not re.search(r"\{\w+\}", missing.how)
    assert not missing.field.endswith(".")
    assert not missing.how.endswith(".")
    assert missing.unit == FIELDS[key].unit


def test_braces_of_a_file_stay_words():
    assert field("row.slides", row=2).how.endswith("write `every_seat: {slides: no}` once")


def test_a_field_of_another_name_and_one_without_its_subject_are_refused():
    with pytest.raises(KeyError):
        field("position.belt.colour", position="2C")
    with pytest.raises(KeyError):
        field("position.belt.kind")
    assert how_to_take("position.belt.kind") == "look whether it has a lap and a shoulder part"


def test_how_to_take_every_field_is_told_where_no_subject_is_known():
    for key in FIELDS:
        assert str(how_to_take(key)), key
