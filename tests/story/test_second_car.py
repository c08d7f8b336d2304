"""The second car gets a trip of its own, in which nothing of the first one counts."""

from __future__ import annotations

import json
import shutil
import sys
from datetime import date
from pathlib import Path

import pytest

from seatplan.files.library import find
from seatplan.files.load import load_trip

sys.path.insert(0, str(Path(__file__).parent.parent / "cli"))
from running import seatplan

ON = ("--on", "2026-11-24")
HELD = ("--sideways", "12", "--forwards", "9", "--level", "yes", *ON)
NEW = ("new", "trip", "--from", "my-trip.yaml", "--vehicle", "lindholm-estate", "second.yaml")


@pytest.fixture(autouse=True)
def trip(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    path = Path(shutil.copyfile(find("trip", "three-across-school-run"), "my-trip.yaml"))
    path.write_text(path.read_text(encoding="utf-8") + "airbags_off: [1R]\n", encoding="utf-8")
    assert seatplan("record", "my-trip.yaml", "--go-on-with", "1").code == 0
    assert seatplan("record", "my-trip.yaml", "--rider", "Wren", *HELD).code == 0
    return path


def test_nothing_of_the_first_car_counts_in_the_second():
    before = Path("my-trip.yaml").read_bytes()
    said = seatplan(*NEW)
    assert (said.code, said.out) == (0, "")
    assert Path("my-trip.yaml").read_bytes() == before
    first, second = load_trip("my-trip.yaml"), load_trip("second.yaml")
    assert second.vehicle != first.vehicle
    assert (second.riders, second.restraints) == (first.riders, first.restraints)
    assert (second.installed, second.tried, second.under_way, second.arrived) == ({}, [], {}, None)
    assert (second.airbags_off, second.front) == ([], {})
    comments = " ".join(line.lstrip("# ") for line in Path("second.yaml").read_text(encoding="utf-8").splitlines()
                        if line.startswith("#"))
    assert "In the other car, Harrow Estate" in comments
    assert "Wren in Nook on 2C." in comments
    assert "which airbags are off was said of the other car" in comments
    assert "left out: what was tried with Nook at 2C; it was in another car" in comments


def test_it_is_recorded_into_and_goes_on_a_checkup_of_its_own():
    assert seatplan(*NEW).code == 0
    assert seatplan("record", "second.yaml", "--go-on-with", "1").code == 0
    aim = next(iter(load_trip("second.yaml").under_way))
    said = seatplan("record", "second.yaml", "--rider", aim, *HELD, "--json")
    assert said.code in (0, 3), said.err
    assert list(json.loads(said.out)["installed"]) == [aim]
    assert load_trip("my-trip.yaml").installed["Wren"].on == date(2026, 11, 24)
    left = json.loads(seatplan("checkup", "second.yaml", "-o", "-", "--json").out)
    assert left["vehicle"] != json.loads(seatplan("checkup", "my-trip.yaml", "-o", "-", "--json").out)["vehicle"]


def test_the_comments_speak_the_language():
    assert seatplan(*NEW, "--lang", "es").code == 0
    text = Path("second.yaml").read_text(encoding="utf-8")
    assert "# En el otro vehículo, Harrow Estate" in text
    assert load_trip("second.yaml").installed == {}


@pytest.mark.parametrize(("words", "told"), [
    (("trip", "--vehicle", "lindholm-estate"), "--vehicle goes with a trip and --from"),
    (("vehicle", "--from", "harrow-estate", "--vehicle", "lindholm-estate"), "--vehicle goes with a trip and --from"),
    (("trip", "--from", "my-trip.yaml", "--vehicle", "harrow-estate"), "--vehicle is the car of this trip"),
    (("trip", "--from", "my-trip.yaml", "--vehicle", "no-such-car"), "no-such-car"),
    (("trip", "--from", "gone.yaml", "--vehicle", "lindholm-estate"), "gone.yaml"),
])
def test_what_makes_no_second_car_is_said(words: tuple[str, ...], told: str):
    said = seatplan("new", *words)
    assert (said.code, said.out) == (2, "")
    assert told in " ".join(said.err.split())
    assert "Traceback" not in said.err


def test_no_file_gives_way():
    Path("second.yaml").write_text("mine\n", encoding="utf-8")
    assert seatplan(*NEW).code in (2, 74)
    assert Path("second.yaml").read_text(encoding="utf-8") == "mine\n"
