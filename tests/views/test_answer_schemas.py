"""What each command prints as JSON, held against the schema that describes it."""

from __future__ import annotations

import json
import shutil
import sys
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator

from seatplan.cli.schema import ANSWERS, answer_schema
from seatplan.files.library import find
from seatplan.views.failure_json import SCHEMA
from seatplan.views.finding_json import FACT_UNITS

sys.path.insert(0, str(Path(__file__).parent.parent / "cli"))
from running import seatplan

TRIP = "three-across-school-run"
ENTRY = ["--restraint", "Nook", "--position", "2C", "--by", "lap-shoulder-belt", "--on", "2026-11-24"]
#: units as they end the name of a key -> how a description says them
UNITS = {"mm": "mm", "kg": "kg", "degrees": "degrees", "days": "days", "months": "months"}
#: numbers without a unit: ranks, rows, lines and counts, and those that stand beside their unit
COUNTS = {
    "schema", "number", "things", "grave_cautions", "rank", "row", "line", "column", "step", "at_least", "at_most",
    "more_than", "less_than", "count",
    "arrangements", "valid", "ruled_out_by_placement", "ruled_out_by_contest", "ruled_out_by_squeeze", "position",
    "restraint", "together", "fits", "close", "likely", "unmeasured", "changes", "sets", "alike", "one", "other",
    "moves", "tried", "solved", "ways", "decides", "asked_by",
    "measured", "limit", "shortfall", "settles_at", "short", "value", "low", "high", "at",
    # of a fleet: counts, prices in the money of its file, percent and minutes, which their keys say
    "below_floor", "bookings", "bound", "damaged", "empty_minutes", "end_minute", "member", "most_served",
    "most_served_bound", "n", "price", "price_bound", "rejected", "served", "start_minute", "taken", "target_percent",
    "unsure", "wanted", "home_minute"}


@cache
def _validator(kind: str) -> Draft202012Validator:
    return Draft202012Validator(answer_schema(kind))


def _wrong(kind: str, answer: Any) -> list[str]:
    return [error.message[:200] for error in _validator(kind).iter_errors(answer)]


@pytest.mark.parametrize(("schema", "command"), [
    ("plan", ["arrange", "three-too-wide"]),
    ("plan", ["arrange", "two-children-one-tether", "--full"]),
    ("plan", ["arrange", "three-boosters-two-belts", "--strict", "--full"]),
    ("plan", ["arrange", "tall-driver", "--all", "--brief"]),
    ("plan", ["arrange", "third-child-on-the-way", "--on", "2027-06-01"]),
    ("plan", ["demo"]),
    ("room", ["room", TRIP, "--rider", "Wren"]),
    ("room", ["room", "i-size-family", "--rider", "Matti"]),
    ("room", ["room", "half-measured-car", "--rider", "Beck"]),
    ("room", ["room", TRIP, "--rider", "Nobody"]),
    ("contrast", ["why", TRIP, "--not", "Wren=2R"]),
    ("contrast", ["why", "three-too-wide", "--not", "Juno=2C", "--full"]),
    ("contrast", ["why", TRIP, "--arrangement", "2", "--against", "1", "--full"]),
    ("contrast", ["why", "half-measured-car", "--arrangement", "2"]),
    ("contrast", ["why", TRIP, "--not", "Wren"]),
    ("why", ["why", "nine-seat-shuttle", "--rider", "Baby"]),
    ("why", ["why", "three-too-wide", "--rider", "Juno"]),
    ("why", ["why", "slide-decides", "--rider", "Mina", "--full"]),
    ("why", ["why", "half-measured-car", "--rider", "Arlo", "--position", "2L"]),
    ("compare", ["compare", TRIP, "--vehicle", "skiff-two"]),
    ("compare", ["compare", "three-too-wide", "--vehicle", "lindholm-estate", "--full"]),
    ("outlook", ["outlook", "two-seater-airbag-off", "--until", "18 months"]),
    ("outlook", ["outlook", "half-measured-car", "--until", "2 months"]),
    ("stock", ["outlook", "two-seater-airbag-off", "--stock", "--until", "3 months"]),
    ("measure", ["measure", "half-measured-car"]),
    ("measure", ["measure", "tall-driver"]),
    ("check", ["check", str(find("trip", TRIP)), str(find("vehicle", "half-measured-hatch")),
               str(find("restraint", "nook-35")), "no-such-file.yaml"]),
    ("list", ["list"]),
    ("list", ["list", "restraints"]),
    ("rules", ["rules"]),
    ("rules", ["rules", "child-too-heavy", "--profile", "us"]),
    ("rules", ["rules", "order"]),
    ("record", ["record", "my-trip.yaml", *ENTRY, "--moved", "38"]),
    ("record", ["record", "my-trip.yaml", *ENTRY, "--moved", "12", "--level", "yes", "--mode", "rear-facing-harness"]),
    ("record", ["record", "my-trip.yaml", *ENTRY, "--moved", "far"]),
    ("record", ["record", "my-trip.yaml", "--go-on-with", "2"]),
    ("record", ["record", "my-trip.yaml", "--as-found", "--rider", "Wren", "--angle", "40", "--who", "aunt"]),
    ("checkup", ["checkup", "my-trip.yaml", "-o", "checkup.html", "--who", "aunt"]),
    ("checkup", ["checkup", "three-too-wide", "-o", "-"]),
    ("checkups", ["list", "checkups", "."]),
], ids=lambda given: given if isinstance(given, str) else " ".join(given[:3]).rpartition("/")[2])
def test_output(schema: str, command: list[str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    shutil.copyfile(find("trip", TRIP), tmp_path / "my-trip.yaml")
    monkeypatch.chdir(tmp_path)
    said = seatplan(*command, "--json")
    answer = json.loads(said.out)
    assert _wrong(schema, answer) == []
    assert (answer["kind"], answer["schema"]) == ("failure" if answer.get("errors") else schema, SCHEMA)
    assert answer["caution"]
    assert len(said.out.encode()) < 100_000 or "--full" in command or command == ["rules"]
    if command[0] == "record" and said.code != 2:
        back = json.loads(seatplan("record", "my-trip.yaml", "--undo", "--json").out)
        assert (_wrong("undo", back), back["kind"], len(back["taken_back"])) == ([], "undo", 1)


@pytest.mark.parametrize("kind", ANSWERS)
def test_a_schema_says_all_of_each_key(kind: str) -> None:
    """Its own id, no key that it does not name, and for each key what it is, with the unit of a number."""
    schema = answer_schema(kind)
    Draft202012Validator.check_schema(schema)
    assert schema["$id"] == f"urn:seatplan:{kind}:{SCHEMA}"
    for where, one in _objects(schema):
        assert one.get("additionalProperties") is False or one.get("properties") is None, where
        for key, described in one.get("properties", {}).items():
            told = described.get("description") or schema["$defs"].get(
                described.get("$ref", "").rpartition("/")[2], {}).get("description")
            assert told, (where, key)
            unit = UNITS.get(key.rpartition("_")[2])
            if unit:
                assert unit in told, (where, key)
            elif _numbers(described):
                assert key in COUNTS, (where, key)


def _objects(schema: Any, where: str = "") -> Iterator[tuple[str, dict[str, Any]]]:
    if isinstance(schema, dict):
        if schema.get("type") == "object":
            yield where, schema
        for key, value in schema.items():
            yield from _objects(value, f"{where}/{key}")
    elif isinstance(schema, list):
        for value in schema:
            yield from _objects(value, where)


def _numbers(schema: dict[str, Any]) -> bool:
    """Whether a key may hold a number."""
    kinds = schema.get("type", [])
    return bool({"number", "integer"} & set([kinds] if isinstance(kinds, str) else kinds))


@pytest.mark.parametrize("name", ["tall-driver", "taxi-ride", "i-size-family", "slide-decides"])
def test_a_number_among_the_facts_of_a_finding_has_its_unit(name: str) -> None:
    facts = {key: value for placement in json.loads(seatplan("arrange", name, "--json", "--full").out)["placements"]
             for finding in placement["findings"] for key, value in finding["facts"].items()}
    numbers = {key for key, value in facts.items() if isinstance(value, (int, float)) and not isinstance(value, bool)}
    assert numbers
    assert numbers <= {f"{key}_{unit}" for key, unit in FACT_UNITS.items()} | {"years", "more"}


def test_a_form_of_json_needs_json() -> None:
    for form in ("--full", "--brief"):
        said = seatplan("why", TRIP, "--rider", "Wren", form)
        assert (said.code, said.out) == (2, "")
        assert said.err.startswith(f"error: {form} is a form of --json")


def test_what_changed_is_one_page() -> None:
    said = seatplan("schema", "changes")
    assert said.code == 0
    assert f"\n## {SCHEMA}\n" in said.out
    assert len(said.out.splitlines()) < 80
