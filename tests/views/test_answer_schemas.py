"""What `room` and `why --not`, `--against` print as JSON, held against the schemas that describe it."""

from __future__ import annotations

import json
import sys
from pathlib import Path

import pytest
from jsonschema import Draft202012Validator

from seatplan.cli.schema import answer_schema

sys.path.insert(0, str(Path(__file__).parent.parent / "cli"))
from running import seatplan


@pytest.mark.parametrize(("schema", "command"), [
    ("room", ["room", "three-across-school-run", "--rider", "Wren"]),
    ("room", ["room", "i-size-family", "--rider", "Matti"]),
    ("room", ["room", "three-across-school-run", "--rider", "Nobody"]),
    ("contrast", ["why", "three-across-school-run", "--not", "Wren=2R"]),
    ("contrast", ["why", "three-too-wide", "--not", "Juno=2C"]),
    ("contrast", ["why", "three-across-school-run", "--arrangement", "2", "--against", "1"]),
    ("contrast", ["why", "three-across-school-run", "--not", "Wren"]),
    ("plan", ["arrange", "three-too-wide"]),
    ("plan", ["arrange", "two-children-one-tether"]),
    ("plan", ["arrange", "three-boosters-two-belts", "--strict"]),
])
def test_output(schema: str, command: list[str]) -> None:
    described = answer_schema(schema)
    Draft202012Validator.check_schema(described)
    said = seatplan(*command, "--json")
    answer = json.loads(said.out)
    assert [error.message[:200] for error in Draft202012Validator(described).iter_errors(answer)] == []
    assert "caution" in answer or said.code == 2
