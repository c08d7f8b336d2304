"""Every answer that an unlikely number touches says so: text, JSON, files."""

from __future__ import annotations

import json
from pathlib import Path

import jsonschema
import pytest
from running import seatplan

from seatplan.cli.schema import answer_schema
from seatplan.files.library import find

SAYS = "mass of rider Wren is 95 kg: unlikely for"


@pytest.fixture
def trip(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> str:
    """A bundled trip in which one child weighs what no child weighs."""
    monkeypatch.chdir(tmp_path)
    text = find("trip", "three-across-school-run").read_text(encoding="utf-8")
    lines = [line.replace(line.split("mass: ")[1].split(",")[0], "95 kg") if "rider: Wren" in line and "mass: " in line
             else line for line in text.splitlines(keepends=True)]
    assert "".join(lines) != text
    Path("odd.yaml").write_text("".join(lines), encoding="utf-8")
    return "odd.yaml"


def _flat(text: str) -> str:
    return " ".join(text.replace("\n- ", "\n").split())


@pytest.mark.parametrize("command", [
    ("arrange",), ("why", "--rider", "Wren"), ("measure",), ("compare", "--vehicle", "harrow-estate"),
    ("why", "--not", "Wren=2R"), ("why", "--arrangement", "2", "--against", "1"), ("room", "--rider", "Wren"),
    ("outlook", "--until", "2 months"),
])
def test_texts(trip: str, command: tuple[str, ...]) -> None:
    said = seatplan(command[0], trip, *command[1:])
    assert SAYS in _flat(said.out), said.err
    assert "sure: {mass: 95 kg}" in _flat(said.out)


@pytest.mark.parametrize(("command", "schema"), [
    (("arrange",), "plan"), (("compare", "--vehicle", "harrow-estate"), "compare"),
    (("outlook", "--until", "2 months"), "outlook"), (("room", "--rider", "Wren"), "room"),
])
def test_json(trip: str, command: tuple[str, ...], schema: str) -> None:
    said = seatplan(command[0], trip, *command[1:], "--json")
    found = json.loads(said.out)
    jsonschema.validate(found, answer_schema(schema))
    doubted = found["doubted"] if "doubted" in found else found["vehicles"][0]["doubted"]
    assert [(one["of"], one["name"], one["field"], one["value"], one["unit"], one["sure"]) for one in doubted] == [
        ("rider", "Wren", "mass", 95, "kg", "sure: {mass: 95 kg}")]


@pytest.mark.parametrize(("command", "file"), [("report", "plan.html"), ("sheet", "sheet.html")])
def test_documents(trip: str, command: str, file: str) -> None:
    said = seatplan(command, trip, "-o", file)
    assert said.code == 3, said.err
    assert SAYS in Path(file).read_text(encoding="utf-8")


def test_a_drawing_says_it_beside(trip: str) -> None:
    said = seatplan("draw", trip, "-o", "plan.svg")
    assert said.code == 3
    assert f"warning: {SAYS}" in said.err


def test_check_and_sure(trip: str) -> None:
    assert SAYS in seatplan("check", trip).err
    text = Path(trip).read_text(encoding="utf-8")
    Path(trip).write_text(text.replace("mass: 95 kg", "mass: 95 kg, sure: {mass: 95 kg}"), encoding="utf-8")
    assert "unlikely" not in seatplan("check", trip).err
    said = seatplan("arrange", trip)
    assert "unlikely" not in said.out.lower()
    Path(trip).write_text(text.replace("mass: 95 kg", "mass: 95 kg, sure: {mass: 94 kg}"), encoding="utf-8")
    assert SAYS in seatplan("check", trip).err


def test_spanish(trip: str) -> None:
    said = seatplan("--lang", "es", "arrange", trip)
    assert "poco probable" in said.out
