"""A child on the vehicle belt alone, or in a part of the car: noted as found and at the car, and put on file."""

from __future__ import annotations

import json
import shutil
import sys
from pathlib import Path
from typing import Any

import pytest

from seatplan.files.library import find
from seatplan.files.load import load_trip

sys.path.insert(0, str(Path(__file__).parent.parent / "cli"))
from running import seatplan

ON = ("--on", "2026-11-24")
HELD = ("--sideways", "12", "--forwards", "9", "--level", "yes")
TALL = ("born: 2013-06-21, mass: 45 kg, height: 1530, sitting_height: 790, shoulder_height: 500,\n"
        "     ear_height: 660, hips: 260, shoulders: 400, sits_upright: yes}")
FOLD_OUT = ("built_in: {restraint: Fold-out, modes: [{mode: %s, limits: {mass: [15 kg, 36 kg], height: [900, 1500]},\n"
            "          seat_up: 100, installations: [{by: built-in}]}]}\n        ")


@pytest.fixture
def trip(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The school run with Tamsin tall enough for the belt, on which she arrives."""
    monkeypatch.chdir(tmp_path)
    text = find("trip", "three-across-school-run").read_text(encoding="utf-8")
    begin = text.index("born: 2018-06-21")
    end = text.index("}", begin) + 1
    text = text[:begin] + TALL + text[end:]
    Path("my-trip.yaml").write_text(text.replace("Tamsin: {restraint: Cushion, position: 1R}",
                                                 "Tamsin: {position: 1R}"), encoding="utf-8")
    return Path("my-trip.yaml")


def record(*words: str) -> dict[str, Any]:
    said = seatplan("record", "my-trip.yaml", *words, *(() if "--go-on-with" in words else ON), "--json")
    assert said.code in (0, 3), said.err
    found: dict[str, Any] = json.loads(said.out)
    return found


def checkup() -> dict[str, Any]:
    Path("c.html").unlink(missing_ok=True)
    found: dict[str, Any] = json.loads(seatplan("checkup", "my-trip.yaml", "-o", "c.html", "--json").out)
    return found


def refused(*words: str) -> str:
    before = Path("my-trip.yaml").read_bytes()
    said = seatplan("record", "my-trip.yaml", *words)
    assert (said.code, said.out) == (2, "")
    assert Path("my-trip.yaml").read_bytes() == before
    return " ".join(said.err.split())


def test_the_belt_alone_is_noted_and_how_it_lies_is_asked_for_first(trip: Path) -> None:
    assert "on the vehicle belt alone: `seatplan record" in refused("--rider", "Tamsin", "--position", "2R")
    assert "missing --belt-fits" in refused("--rider", "Tamsin", "--position", "2R", "--restraint", "none")
    assert "--moved is of a restraint" in refused("--rider", "Tamsin", "--position", "2R", "--restraint", "none",
                                                  "--belt-fits", "yes", "--moved", "3")
    noted = record("--rider", "Tamsin", "--position", "2R", "--belt-fits", "yes")
    assert (noted["tried"]["restraint"], noted["tried"]["by"], noted["judged"]["outcome"]) == (None, None, "held")
    here = load_trip("my-trip.yaml").installed["Tamsin"]
    assert (here.restraint, here.position, here.readings and here.readings.belt_fits) == (None, "2R", True)
    assert {one["rider"]: one["holds"] for one in noted["under_way"]}["Tamsin"]


def test_others_on_the_belt_stay_noted(trip: Path) -> None:
    text = trip.read_text(encoding="utf-8").replace("  Oslo: {restraint: Lattice, position: 2L}\n",
                                                    "  Oslo: {position: 2L}\n")
    trip.write_text(text, encoding="utf-8")
    record("--rider", "Tamsin", "--position", "2R", "--belt-fits", "yes")
    assert load_trip("my-trip.yaml").installed["Oslo"].position == "2L"


def test_a_belt_that_does_not_fit_is_out_on_that_seat_for_that_child(trip: Path) -> None:
    noted = record("--rider", "Tamsin", "--position", "2R", "--belt-fits", "no")
    assert noted["judged"]["outcome"] == "forbidden"
    assert "Tamsin" in noted["installed"], "where she is noted, she still is"
    assert noted["installed"]["Tamsin"]["position"] == "1R"
    plan = json.loads(seatplan("arrange", "my-trip.yaml", "--json", "--all").out)
    seats = [(seat["position"], seat["restraint"]) for one in plan["arrangements"] for seat in one["seats"]
             if seat["rider"] == "Tamsin"]
    assert seats
    assert ("2R", None) not in seats
    again = record("--rider", "Tamsin", "--restraint", "none", "--position", "2R", "--belt-fits", "yes")
    assert again["judged"]["outcome"] == "held"


def test_as_found_on_the_belt_with_what_blocks_it_on_file(trip: Path) -> None:
    assert "missing --belt-fits" in refused("--as-found", "--rider", "Tamsin", "--position", "1R")
    found = record("--as-found", "--rider", "Tamsin", "--position", "1R", "--belt-fits", "no")
    assert [f["rule"] for f in found["forbidden_as_found"]["findings"] if f["outcome"] == "block"] == [
        "read-at-the-car"]
    record("--as-found", "--rider", "Wren", "--restraint", "Nook", "--position", "2R", "--by", "lap-shoulder-belt",
           "--mode", "rear-facing-harness", "--sideways", "60", "--forwards", "5")
    left = checkup()
    assert {rider: [f["rule"] for f in those] for rider, those in left["arrived_refused_by"].items()} == {
        "Tamsin": ["read-at-the-car"], "Wren": ["moved-when-tried"]}
    page = Path("c.html").read_text(encoding="utf-8")
    section = page[page.index(">As it arrived<"):page.index(">What was tried<")]
    assert "As it arrived it must not be used:" in section
    assert "moved 60 mm" in section
    assert "(read-at-the-car)" in section


def test_what_was_tried_later_is_not_held_against_how_it_arrived(trip: Path) -> None:
    record("--rider", "Wren", "--restraint", "Nook", "--position", "2R", "--by", "lap-shoulder-belt", "--mode",
           "rear-facing-harness", "--sideways", "60")
    left = checkup()
    assert left["arrived_refused_by"] == {}
    assert "adult-belt-does-not-fit" in {f["rule"] for f in left["arrived_grave_cautions"]["Tamsin"]}


def test_the_loop_waits_for_the_belt_and_the_checkup_shows_it(trip: Path) -> None:
    begun = record("--go-on-with", "1")
    aims = {one["rider"]: one for one in begun["under_way"]}
    assert (aims["Tamsin"]["restraint"], aims["Tamsin"]["holds"]) == (None, False)
    for rider in ("Wren", "Oslo"):
        last = record("--rider", rider, *HELD)
        assert not last["all_holds"], "how the belt lies on Tamsin is not noted"
    assert {"kind": "reading", "rider": "Tamsin", "reading": "belt_fits", "things": 1, "refused_by": []} in (
        checkup()["open"])
    done = record("--rider", "Tamsin", "--belt-fits", "yes")
    assert done["all_holds"]
    left = checkup()
    assert "Tamsin" not in {point["rider"] for point in left["open"]}
    mine = next(one for one in left["left"] if one["rider"] == "Tamsin")
    assert (mine["holds"], mine["asked"]) == (True, [{"reading": "belt_fits", "value": True}])
    assert "Noted on 2026-11-24: the belt fits." in seatplan("sheet", "my-trip.yaml", "-o", "-").out


def test_the_belt_fit_test_at_that_seat_says_it_too(trip: Path) -> None:
    record("--go-on-with", "1")
    seat = load_trip("my-trip.yaml").under_way["Tamsin"].position
    text = trip.read_text(encoding="utf-8").replace("height: 1530,", f"belt_fit: {{passed: yes, position: {seat}}}, "
                                                                     "height: 1530,", 1)
    trip.write_text(text, encoding="utf-8")
    plan = json.loads(seatplan("arrange", "my-trip.yaml", "--json").out)
    assert {one["rider"]: one["holds"] for one in plan["under_way"]} == {"Wren": False, "Oslo": False, "Tamsin": True}
    record("--as-found", "--rider", "Tamsin", "--restraint", "none", "--position", seat, "--belt-fits", "yes")
    trip.write_text(trip.read_text(encoding="utf-8").replace("readings: {belt_fits: yes}, ", ""), encoding="utf-8")
    left = checkup()
    mine = next(one for one in left["left"] if one["rider"] == "Tamsin")
    assert (mine["belt_tested"], mine["holds"], mine["missing"]) == (True, True, [])
    assert "belt-fit test passed here" in Path("c.html").read_text(encoding="utf-8")


def test_two_copies_join_how_the_belt_lies(trip: Path) -> None:
    shutil.copyfile(trip, "other.yaml")
    record("--rider", "Tamsin", "--position", "2R", "--belt-fits", "yes")
    said = seatplan("merge", "my-trip.yaml", "other.yaml", "-o", "both.yaml")
    assert said.code in (0, 3), said.err
    here = load_trip("both.yaml").installed["Tamsin"]
    assert (here.restraint, here.position) == (None, "2R")
    shutil.copyfile("other.yaml", "third.yaml")
    assert seatplan("record", "third.yaml", "--rider", "Tamsin", "--position", "2R", "--belt-fits", "no",
                    *ON).code in (0, 3)
    said = seatplan("merge", "my-trip.yaml", "third.yaml", "-o", "all.yaml")
    assert said.code == 2
    assert "how the seat belt alone lies on Tamsin at 2R was noted in both copies" in " ".join(said.err.split())


@pytest.mark.parametrize(("mode", "read"), [("backless-booster", ("--belt-fits", "yes")),
                                            ("forward-facing-harness", ("--straps", "450"))])
def test_a_part_of_the_car_is_noted(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, mode: str,
                                    read: tuple[str, str]) -> None:
    monkeypatch.chdir(tmp_path)
    car = find("vehicle", "harrow-estate").read_text(encoding="utf-8")
    at = car.index("position: 2R") + len("position: 2R\n        ")
    Path("car.yaml").write_text(car[:at] + FOLD_OUT % mode + car[at:], encoding="utf-8")
    text = find("trip", "three-across-school-run").read_text(encoding="utf-8")
    Path("my-trip.yaml").write_text(text.replace("vehicle: harrow-estate", "vehicle: ./car.yaml").replace(
        "Wren: {restraint: Nook, position: 2R}", "Wren: {restraint: Nook, position: 2C}"), encoding="utf-8")
    what = ("--rider", "Tamsin", "--restraint", "Fold-out", "--position", "2R")
    assert f"missing {read[0]}" in refused(*what)
    noted = record("--as-found", *what, *read)
    assert (noted["installed"]["Tamsin"]["restraint"], noted["installed"]["Tamsin"]["by"]) == ("Fold-out", None)
    noted = record(*what, *read)
    assert (noted["tried"]["restraint"], noted["tried"]["by"]) == ("Fold-out", None)
    assert noted["judged"]["outcome"] in ("held", "unsettled")
    assert noted["installed"]["Tamsin"]["mode"] == mode
    assert {one["rider"]: one["holds"] for one in noted["under_way"]}["Tamsin"]


@pytest.mark.parametrize(("entry", "told"), [
    ("{position: 2R, by: lap-belt, moved: 3}", "restraint is missing"),
    ("{position: 2R, rider: Tamsin}", "restraint is missing"),
    ("{position: 2R, rider: Tamsin, moved: 3, readings: {belt_fits: yes}}", "restraint is missing"),
    ("{restraint: Nook, position: 2R, moved: 3}", "by is missing"),
])
def test_an_entry_without_its_restraint_is_no_entry_of_the_belt(trip: Path, entry: str, told: str) -> None:
    trip.write_text(trip.read_text(encoding="utf-8") + f"tried: [{entry}]\n", encoding="utf-8")
    said = seatplan("check", str(trip))
    assert said.code == 2
    assert told in " ".join(said.err.split() + said.out.split())
