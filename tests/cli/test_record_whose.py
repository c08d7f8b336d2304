"""seatplan record: whose a try is, who loses what was noted, and that what holds is installed."""

from __future__ import annotations

import json
import shutil
from pathlib import Path
from typing import Any

import pytest
from running import seatplan

from seatplan.files.library import find
from seatplan.files.load import load_trip

WAY = ("--restraint", "Nook", "--position", "2C", "--by", "lap-shoulder-belt", "--mode", "rear-facing-harness")
HELD = ("--sideways", "12", "--forwards", "9", "--level", "yes")
ON = ("--on", "2026-11-24")


@pytest.fixture
def trip(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    return Path(shutil.copyfile(find("trip", "three-across-school-run"), "my-trip.yaml"))


def record(*words: str) -> dict[str, Any]:
    said = seatplan("record", "my-trip.yaml", *words, *ON, "--json")
    assert said.code == 0, said.err
    found: dict[str, Any] = json.loads(said.out)
    return found


def told(*words: str) -> str:
    said = seatplan("record", "my-trip.yaml", *words, *ON)
    assert said.code == 0, said.err
    assert max(map(len, said.out.splitlines())) <= 100
    return " ".join(said.out.split())


@pytest.mark.parametrize("by_trip", [True, False], ids=["as installed by a try", "as the file has it"])
def test_a_try_for_the_wrong_rider_speaks_of_that_rider(trip: Path, by_trip: bool):
    if by_trip:
        record("--rider", "Wren", *WAY, *HELD)
        way = WAY
    else:
        way = (*WAY[:2], "--position", "2R", *WAY[4:])
    before = load_trip("my-trip.yaml").installed
    said = told("--rider", "Tamsin", *way, *HELD)
    assert "It held, but must not be used there." in said
    assert "Tamsin, rear-facing harness: weighs 26.5 kg" in said
    assert "confirmed for Wren" not in said
    assert load_trip("my-trip.yaml").installed == before
    assert "No longer noted" not in said


def test_who_cannot_ride_so_at_all_is_named(trip: Path):
    said = told("--rider", "Ines", *WAY, *HELD)
    assert "Ines could not ride in Nook at 2C" in said
    assert "is confirmed for" not in said


def test_a_try_for_the_wrong_rider_is_forbidden_in_json(trip: Path):
    found = record("--rider", "Tamsin", *WAY, *HELD)
    assert found["judged"]["outcome"] == "forbidden"
    assert found["judged"]["confirmed_for"] == []
    assert {cell["rider"] for cell in found["judged"]["ruled_out"]} == {"Tamsin"}


def test_who_is_displaced_is_said(trip: Path):
    """Perch holds at 2L, where the file has Oslo in Lattice."""
    way = ("--rider", "Tamsin", "--restraint", "Perch", "--position", "2L", "--belt-fits", "yes")
    assert "No longer noted as installed: Oslo at 2L in Lattice." in told(*way)
    seatplan("undo", "my-trip.yaml")
    found = record(*way)
    assert {who: here["restraint"] for who, here in found["no_longer_installed"].items()} == {"Oslo": "Lattice"}
    assert "Oslo" not in found["installed"]
    assert load_trip("my-trip.yaml").arrived is not None
    assert load_trip("my-trip.yaml").arrived["Oslo"].restraint == "Lattice"


def test_what_would_not_hold_is_no_longer_noted_for_whoever_had_it(trip: Path):
    record("--rider", "Wren", *WAY, *HELD)
    assert "No longer noted as installed: Wren at 2C in Nook." in told("--rider", "Tamsin", *WAY, "--failed")


@pytest.mark.parametrize("first", [
    ("--sideways", "40"), ("--failed",), ("--level", "no"), (*HELD, "--head-below-top", "5"),
    (*HELD[:4], "--angle", "10"), (*HELD, "--straps", "400"),
], ids=str)
@pytest.mark.parametrize("begun", [True, False], ids=["under way", "nothing under way"])
def test_a_good_try_after_a_failure_of_the_same_way_is_installed(trip: Path, first: tuple[str, ...], begun: bool):
    if begun:
        record_alone("--go-on-with", "1")
    failed = record("--rider", "Wren", *WAY, *first)
    assert failed["installed"].get("Wren", {}).get("position") != "2C"
    found = record("--rider", "Wren", *WAY, *HELD)
    assert found["judged"]["outcome"] == "confirmed"
    assert found["installed"]["Wren"]["position"] == "2C"
    wren = next(one for one in found["under_way"] if one["rider"] == "Wren")
    assert (wren["restraint"], wren["holds"]) == ("Nook", True)


def record_alone(*words: str) -> None:
    assert seatplan("record", "my-trip.yaml", *words).code == 0


def test_a_belt_that_fits_after_it_did_not_is_installed(trip: Path):
    way = ("--rider", "Tamsin", "--restraint", "Perch", "--position", "2R")
    record(*way, "--belt-fits", "no")
    found = record(*way, "--belt-fits", "yes")
    assert found["installed"]["Tamsin"]["restraint"] == "Perch"


def test_what_held_and_is_not_under_way_says_what_is_and_what_to_type(trip: Path):
    """Perch holds at 2L, which is to be Wren's."""
    text = trip.read_text(encoding="utf-8").replace("wishes:\n", "wishes:\n  - {rider: Wren, at: [2L], must: yes}\n")
    trip.write_text(text, encoding="utf-8")
    record_alone("--go-on-with", "1")
    said = told("--rider", "Tamsin", "--restraint", "Perch", "--position", "2L", "--belt-fits", "yes")
    assert "Perch at 2L held and is no part of that." in said
    assert "`seatplan record my-trip.yaml --go-on-with N` takes the one with number N" in said
    assert "Under way: " in said
