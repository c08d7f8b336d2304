"""seatplan record --as-found: what must not be as it was found is noted, and said before all else."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import pytest
from running import seatplan

from seatplan.files.library import find
from seatplan.files.load import load_trip

WREN = ("--as-found", "--rider", "Wren", "--restraint", "Nook", "--on", "2026-11-24")
BELT = ("--by", "lap-shoulder-belt", "--mode", "rear-facing-harness")


@pytest.fixture
def trip(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    return Path(shutil.copyfile(find("trip", "three-across-school-run"), "my-trip.yaml"))


@pytest.mark.parametrize(("given", "changed", "rule", "told"), [
    (("--position", "1R", *BELT, "--sure"), ("", ""), "rear-facing-before-airbag", "the front airbag at 1R is active"),
    (("--position", "2R", *BELT, "--sideways", "60", "--forwards", "5"), ("", ""), "moved-when-tried",
     "moved 60 mm, allowed 25 mm"),
    (("--position", "2R", *BELT, "--level", "no"), ("", ""), "moved-when-tried", "not level"),
    (("--position", "2R", *BELT), ("Nook, made: 2024-03-01,\n     condition: {crash: none",
                                   "Nook, made: 2024-03-01,\n     condition: {crash: severe"), "", "crash"),
    (("--position", "2R", *BELT), ("Nook, made: 2024-03-01", "Nook, expires: 2026-01-01, made: 2024-03-01"), "",
     "2026-01-01"),
    (("--position", "1L", *BELT), ("", ""), "", "1L"),
], ids=["airbag", "too loose", "not level", "crashed", "expired", "driver's seat"])
def test_what_must_not_be_is_noted_and_said_first(trip: Path, given: tuple[str, ...], changed: tuple[str, str],
                                                  rule: str, told: str):
    text = trip.read_text(encoding="utf-8")
    assert changed[0] in text
    trip.write_text(text.replace(*changed) if changed[0] else text, encoding="utf-8")
    before = trip.read_bytes()
    said = seatplan("record", str(trip), *WREN, *given)
    assert said.out.startswith("As it is in the car now it must not be used:\n"), said.err
    first = " ".join(said.out.split("\n\n")[0].split())
    assert told in first
    assert rule in first
    assert load_trip(str(trip)).installed["Wren"].position == given[1]
    trip.write_bytes(before)
    found = json.loads(seatplan("record", str(trip), *WREN, *given, "--json").out)["forbidden_as_found"]
    assert rule in {f["rule"] for f in found["findings"] if f["outcome"] == "block"} or not rule


def test_what_may_be_so_is_not_called_forbidden(trip: Path):
    for given in (("--position", "2R", *BELT), ("--position", "2C")):     # by which way is not said: one of them may be
        said = seatplan("record", str(trip), *WREN, *given)
        assert "must not be used" not in said.out
        assert said.out.startswith("Noted in ")


def test_a_seat_noted_for_somebody_else_is_asked_again(trip: Path):
    before = trip.read_bytes()
    said = seatplan("record", str(trip), *WREN, "--position", "2L", *BELT)
    assert (said.code, said.out) == (2, "")
    assert "Nook at 2L is noted for Oslo; nothing was written" in said.err
    assert trip.read_bytes() == before
    said = seatplan("record", str(trip), *WREN, "--position", "2L", *BELT, "--sure")
    assert "No longer noted as installed: Oslo at 2L in Lattice." in " ".join(said.out.split())


def test_who_is_displaced_did_not_arrive_so_either_and_that_is_said(trip: Path):
    """Two cannot arrive on one seat, so the fact that was noted first goes, and the answer says so."""
    oslo = ("--as-found", "--rider", "Oslo", "--restraint", "Lattice", "--position", "2L")
    assert seatplan("record", str(trip), *oslo).code == 0
    assert (load_trip(str(trip)).arrived or {})["Oslo"].position == "2L"
    before = trip.read_bytes()
    said = seatplan("record", str(trip), *WREN, "--position", "2L", *BELT, "--sure")
    told = " ".join(said.out.split())
    assert "No longer noted as installed: Oslo at 2L in Lattice." in told
    assert "Nor does how the car arrived say so any more: Oslo." in told
    assert "Oslo" not in (load_trip(str(trip)).arrived or {})
    trip.write_bytes(before)
    found = json.loads(seatplan("record", str(trip), *WREN, "--position", "2L", *BELT, "--sure", "--json").out)
    assert found["no_longer_arrived"] == ["Oslo"]


def test_a_try_that_displaces_leaves_how_the_car_arrived(trip: Path):
    held = ("--rider", "Wren", "--restraint", "Nook", "--position", "2L", *BELT, "--on", "2026-11-24",
            "--sideways", "12", "--forwards", "9", "--level", "yes")
    found = json.loads(seatplan("record", str(trip), *held, "--json").out)
    assert list(found["no_longer_installed"]) == ["Oslo"]
    assert found["no_longer_arrived"] == []
    assert (load_trip(str(trip)).arrived or {})["Oslo"].position == "2L"


def test_the_help_says_what_sure_does_with_another_riders_note():
    said = " ".join(seatplan("record", "--help").out.split())
    assert "--sure It is so, however unlikely; with --as-found, what is noted of another rider for that seat" in said
