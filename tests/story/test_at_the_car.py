"""One loop from arrival to what was left installed: as it came, two failures, a move, held, done; and all back."""

from __future__ import annotations

import json
import shutil
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from seatplan.files.library import find
from seatplan.files.load import load_trip
from seatplan.readings import READINGS

sys.path.insert(0, str(Path(__file__).parent.parent / "cli"))
from running import seatplan

HELD = ("--sideways", "12", "--forwards", "9", "--level", "yes")
ON = ("--on", "2026-11-24")


@pytest.fixture
def trip(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    return Path(shutil.copyfile(find("trip", "three-across-school-run"), "my-trip.yaml"))


def record(*words: str) -> dict[str, Any]:
    said = seatplan("record", "my-trip.yaml", *words, "--json")
    assert said.code == 0, said.err
    found: dict[str, Any] = json.loads(said.out)
    return found


def seats_of(arrangement: dict[str, Any]) -> dict[str, tuple[str, str | None]]:
    return {seat["rider"]: (seat["position"], seat["restraint"]) for seat in arrangement["seats"]}


def named_alike(noted: dict[str, Any]) -> dict[str, tuple[str, str | None]]:
    """What record, arrange, the sheet and the file name, which is one and the same arrangement."""
    plan = json.loads(seatplan("arrange", "my-trip.yaml", "--json").out)
    first = seats_of(plan["arrangements"][0])
    assert seats_of(noted["next"]) == first
    assert plan["under_way"] == noted["under_way"]
    assert {one["rider"]: (one["position"], one["restraint"]) for one in plan["under_way"] or ()}.items() <= (
        first.items())
    file = load_trip("my-trip.yaml").under_way
    assert {rider: (aim.position, aim.restraint) for rider, aim in file.items()}.items() <= first.items()
    sheet = seatplan("sheet", "my-trip.yaml", "-o", "-").out
    for rider, (position, restraint) in first.items():
        if restraint:
            assert f"<strong>{position} {rider} </strong>" in sheet
    if plan["under_way"]:
        for command in (("arrange",), ("sheet", "-o", "-"), ("measure",), ("why", "--rider", "Wren"),
                        ("compare", "--vehicle", "lindholm-estate"), ("report", "-o", "-"),
                        ("outlook", "--until", "1 month")):
            told = " ".join(seatplan(command[0], "my-trip.yaml", *command[1:]).out.split())
            assert "Under way: Wren in " in told, command
    return first


def test_from_arrival_to_what_was_left_installed(trip: Path):
    steps = [trip.read_bytes()]

    def then(*words: str) -> dict[str, Any]:
        noted = record(*words)
        steps.append(trip.read_bytes())
        return noted

    arrived = then("--as-found", "--rider", "Wren", "--restraint", "Nook", "--position", "2R", "--by",
                   "lap-shoulder-belt", "--who", "the family", *ON)
    assert arrived["installed"]["Wren"]["who"] == "the family"
    assert arrived["tried"] is None
    assert arrived["under_way"] is None

    begun = then("--go-on-with", "1")
    assert named_alike(begun)["Wren"] == ("2C", "Nook")

    first = then("--rider", "Wren", "--sideways", "40", *ON)
    assert (first["judged"]["outcome"], first["gone_on_with_another"]) == ("blocked", True)
    after_first = named_alike(first)
    assert after_first["Wren"] == ("2C", "Slim")
    assert first["best_by_order"] is None

    held = then("--rider", "Wren", *HELD, "--who", "the technician", *ON)
    assert held["judged"]["outcome"] == "confirmed"
    assert held["installed"]["Wren"]["readings"] == {"sideways_mm": 12, "forwards_mm": 9, "level": True}
    assert [one["holds"] for one in held["under_way"]] == [True, False, False]
    assert named_alike(held) == after_first

    second = then("--rider", "Oslo", "--failed", "--note", "the bar is bent", *ON)
    moved = named_alike(second)
    assert moved["Wren"] == ("2C", "Slim"), "what holds is kept"
    assert moved["Oslo"] != ("2L", "Lattice")
    assert "Oslo" not in second["installed"]

    before = trip.read_bytes()
    short = seatplan("record", "my-trip.yaml", "--rider", "Oslo", "--sideways", "5", *ON)
    assert (short.code, short.out) == (2, "")
    assert "missing --forwards" in short.err
    assert trip.read_bytes() == before

    then("--rider", "Oslo", *HELD, *ON)
    done = then("--rider", "Tamsin", "--belt-fits", "yes", *ON)
    assert done["all_holds"]
    assert done["under_way"] is None
    assert {who: (here["position"], here["restraint"]) for who, here in done["installed"].items()}.items() <= (
        named_alike(done).items())
    assert load_trip("my-trip.yaml").under_way == {}
    assert len(load_trip("my-trip.yaml").tried) == 5
    in_the_second_car(done)
    all_asked_for_is_noted(then)
    on_file()

    for wanted in reversed(steps[:-1]):
        assert seatplan("undo", "my-trip.yaml").code == 0
        assert trip.read_bytes() == wanted
    said = seatplan("undo", "my-trip.yaml")
    assert (said.code, "nothing to take back" in said.err) == (2, True)
    assert sorted(path.name for path in Path().iterdir()) == ["again.yaml", "checkup.html", "my-trip.yaml",
                                                              "second.html"]


def in_the_second_car(done: dict[str, Any]) -> None:
    """Changes are counted from what is installed, and the sheet says what stays behind."""
    told = " ".join(seatplan("compare", "my-trip.yaml", "--vehicle", "lindholm-estate").out.split())
    assert "changes are counted from how they ride today" in told
    assert f"was at {done['installed']['Tamsin']['position']}" in told
    command = "sheet my-trip.yaml --vehicle lindholm-estate -o sheet.html"
    assert f"`seatplan {command}` writes its sheet" in told
    assert seatplan(*command.replace("sheet.html", "second.html").split()).code == 0
    sheet = Path("second.html").read_text(encoding="utf-8")
    assert "What does not go along" in sheet
    assert "what was tried with Slim at 2C" in sheet
    assert "Under way" not in sheet


def all_asked_for_is_noted(then: Callable[..., dict[str, Any]]) -> None:
    """The checkup names every reading that the sheet asks for and nobody noted; once they are noted it is held."""
    said = seatplan("checkup", "my-trip.yaml", "-o", "-", "--json")
    left = json.loads(said.out)
    assert (said.code, left["state"]) == (3, "open")
    assert {point["kind"] for point in left["open"]} == {"reading"}
    for one in left["left"]:
        if not one["missing"]:
            continue
        here = one["installed"]["readings"]
        noted = {key.removesuffix("_mm").removesuffix("_degrees").replace("_", "-"): value
                 for key, value in here.items()}
        told = {"head_below_top": 60, "gap_ahead": 60, "straps": {"Wren": 280, "Oslo": 380}[one["rider"]]}
        more = {key.replace("_", "-"): told[key] for key in one["missing"]}
        words = [word for key, value in (noted | more).items()
                 for word in (f"--{key}", "yes" if value is True else str(value))]
        then("--rider", one["rider"], *words, *ON)
    said = seatplan("checkup", "my-trip.yaml", "-o", "-", "--json")
    left = json.loads(said.out)
    assert (left["open"], said.code, left["state"]) == ([], 0, "held"), left["left"]


def on_file() -> None:
    """As it arrived, what was tried, as it left, every reading asked for; read back it is the same trip."""
    assert seatplan("checkup", "my-trip.yaml", "--who", "the family", "-o", "checkup.html").code == 0
    page = Path("checkup.html").read_text(encoding="utf-8")
    trip = load_trip("my-trip.yaml")
    assert trip.arrived
    assert trip.arrived["Wren"].position == "2R"
    left = json.loads(seatplan("checkup", "my-trip.yaml", "-o", "-", "--json").out)
    body = page[page.index("<body"):page.index("<script")]
    for one in left["left"]:
        for asked in one["asked"]:
            label = READINGS[asked["reading"]].label
            assert f">{label}</th>" in body
            assert asked["reading"] in one["missing"] or asked["value"] is not None or asked["reading"] == "angle"
    assert body.count("not noted") == 0
    assert "<svg" in body, "all are in as the plan has them"
    for words in ("As it arrived", "the bar is bent", "would not hold", "the technician", "the family", "Signed in ink",
                  "only estimated"):
        assert words in body
    assert body.count("Caution: This is a planning aid.") == 2
    assert seatplan("checkup", "my-trip.yaml", "-o", "checkup.html").code == 2
    assert seatplan("new", "trip", "--from", "checkup.html", "again.yaml").code == 0
    assert load_trip("again.yaml") == trip


def test_two_tablets_at_one_car(trip: Path) -> None:
    record("--go-on-with", "1")
    Path("phone.yaml").write_bytes(trip.read_bytes())
    record("--rider", "Wren", *HELD, *ON)
    assert seatplan("record", "phone.yaml", "--rider", "Oslo", *HELD, *ON).code == 0
    assert seatplan("merge", "my-trip.yaml", "phone.yaml", "-o", "both.yaml").code == 0
    both = json.loads(seatplan("record", "both.yaml", "--rider", "Tamsin", "--belt-fits", "yes", *ON, "--json").out)
    assert both["all_holds"]
    assert set(both["installed"]) == {"Wren", "Oslo", "Tamsin"}


def test_what_is_given_up_gives_way_to_the_next_and_the_best_is_named(trip: Path):
    ranked = [seats_of(one) for one in json.loads(seatplan("arrange", "my-trip.yaml", "--json").out)["arrangements"]]
    assert named_alike(record("--go-on-with", "2")) == ranked[1]
    told = " ".join(seatplan("arrange", "my-trip.yaml").out.split())
    assert "By the order alone the best would be: Wren 2C in Nook" in told
    assert named_alike(record("--give-up")) == ranked[2]


def test_measured_and_recorded_are_taken_back_by_one_undo(trip: Path):
    first = trip.read_bytes()
    assert seatplan("measure", "my-trip.yaml", "--set", "Oslo.mass=17.5 kg").code == 0
    second = trip.read_bytes()
    record("--go-on-with", "1")
    assert seatplan("measure", "my-trip.yaml", "--undo").code == 0
    assert trip.read_bytes() == second
    assert seatplan("record", "my-trip.yaml", "--undo").code == 0
    assert trip.read_bytes() == first


def test_a_change_by_hand_is_never_lost(trip: Path):
    record("--go-on-with", "1")
    trip.write_bytes(trip.read_bytes() + b"# mine\n")
    before = trip.read_bytes()
    said = seatplan("undo", "my-trip.yaml")
    assert (said.code, "this file was changed since" in said.err) == (2, True)
    assert trip.read_bytes() == before


def test_what_held_and_is_forbidden_is_not_installed(trip: Path):
    noted = record("--rider", "Wren", "--restraint", "Nook", "--position", "1R", "--by", "lap-shoulder-belt", "--mode",
                   "rear-facing-harness", *HELD, *ON)
    assert noted["judged"]["outcome"] == "forbidden"
    assert noted["installed"]["Wren"]["position"] == "2R"
    assert all(one["position"] != "1R" for one in noted["under_way"])


@pytest.mark.parametrize("wrong", [("--angle", "10"), ("--head-below-top", "5")])
def test_a_reading_that_the_child_may_not_have_is_no_hold(trip: Path, wrong: tuple[str, str]):
    record("--go-on-with", "1")
    given = {"--sideways": "3", "--forwards": "3", "--level": "yes"} | {wrong[0]: wrong[1]}
    noted = record("--rider", "Wren", *(word for pair in given.items() for word in pair), *ON)
    assert noted["gone_on_with_another"]
    assert named_alike(noted)["Wren"] != ("2C", "Nook")
    assert noted["installed"].get("Wren", {}).get("position") != "2C"


def test_a_tight_clip_of_readings_that_are_unlikely_is_asked_again(trip: Path):
    record("--go-on-with", "1")
    before = trip.read_bytes()
    said = seatplan("record", "my-trip.yaml", "--rider", "Wren", "--sideways", "380", *ON)
    assert said.code == 2
    assert "--sideways is 380 mm: unlikely (0 to 150 mm)" in said.err
    assert trip.read_bytes() == before
    assert seatplan("record", "my-trip.yaml", "--rider", "Wren", "--sideways", "380", "--sure", *ON).code == 0
