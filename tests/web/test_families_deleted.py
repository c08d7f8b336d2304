"""What a technician's day keeps of its families, and what is deleted."""

from __future__ import annotations

import re
from datetime import date, timedelta
from pathlib import Path

import pytest

pytest.importorskip("starlette")
pytest.importorskip("httpx")

from day_browser import Browser, screen_of, with_trip

from seatplan.app.checking_day import add, begin, the_day
from seatplan.app.checkups import AskCheckups, checkups
from seatplan.app.days import at
from seatplan.app.erasing import beside, erase_due
from seatplan.app.shelf import shelf


def _holding(folder: Path, word: str) -> list[str]:
    """The files of a folder, whatever they are, that hold a word."""
    return [str(path.relative_to(folder)) for path in folder.rglob("*")
            if path.is_file() and (word.encode() in path.read_bytes() or word in path.name)]


def _lived_in(folder: Path, stays: str = "no") -> Browser:
    """A family of one name that left all that a family can leave."""
    browser = with_trip(folder, stays=stays)
    trip = folder / "trip-1.yaml"
    trip.write_text(trip.read_text().replace("Wren", "Zebulonia"))
    browser.get("/day/trip-1")
    browser.post("/day/trip-1", do="go-on:1")
    path = screen_of(browser, "Zebulonia")
    browser.get(path)
    browser.post(path, do="fails:in")
    browser.get("/day/trip-1/checkup")
    browser.post("/day/trip-1/checkup", who="the mother of Zebulonia")
    browser.get("/day")
    browser.post("/day/new", how="known", number="1", layout="2-3")
    car = folder / "vehicle-1.yaml"
    car.write_text(car.read_text() + "notes: the car of Zebulonia\n")
    (folder / "trip-1.conflict-3fa9.yaml").write_text("rider: Zebulonia")
    (folder / ".trip-1.yaml.seatplan-new").write_text("Zebulonia")
    return browser


@pytest.mark.parametrize("number", ["trip-1", "trip-2"])
def test_deleting_leaves_no_byte_of_a_family(tmp_path, number):
    browser = _lived_in(tmp_path)
    assert len(_holding(tmp_path, "Zebulonia")) >= 6
    page = browser.get(f"/day/{number}/delete")
    assert "trip-1" in page
    assert "trip-2" in page
    assert "vehicle-1" in page
    browser.post(f"/day/{number}/delete")
    assert browser.url == "/day"
    assert _holding(tmp_path, "Zebulonia") == []
    assert _holding(tmp_path, "trip-1") == []
    assert not [one for one in tmp_path.glob("*.yaml") if not one.name.startswith(".")]
    assert "trip-1" not in browser.get("/day")
    browser.get("/day/trip-1")
    assert browser.status in (404, 422)


def test_number_and_hash_stay_where_that_was_said(tmp_path):
    browser = _lived_in(tmp_path, stays="yes")
    sha = checkups(AskCheckups(kind="checkups", folder=str(tmp_path / "checkups"))).answer.filed[0].sha256
    browser.get("/day/trip-1/delete")
    browser.post("/day/trip-1/delete")
    assert _holding(tmp_path, "Zebulonia") == []
    assert _holding(tmp_path, "trip-1") == ["day/day.yaml"]
    assert sha in browser.get("/day")


def test_what_another_family_uses_stays_but_not_what_it_was_before(tmp_path):
    browser = with_trip(tmp_path)
    (tmp_path / "vehicle-1.yaml").write_text((Path(__file__).resolve().parents[2] / "vehicles" /
                                              "lindholm-estate.yaml").read_text())
    for n in (1, 2):
        text = (tmp_path / "trip-1.yaml").read_text()
        (tmp_path / f"trip-{n}.yaml").write_text(re.sub(r"(?m)^vehicle: .*$", "vehicle: vehicle-1.yaml", text))
    (tmp_path / ".vehicle-1.yaml.seatplan-undo").write_text("Zebulonia")
    (tmp_path / ".trip-2.yaml.seatplan-undo").write_text("[]")
    page = browser.get("/day/trip-1/delete")
    assert "another family uses" in page
    browser.post("/day/trip-1/delete")
    assert (tmp_path / "vehicle-1.yaml").exists()
    assert (tmp_path / "trip-2.yaml").exists()
    assert (tmp_path / ".trip-2.yaml.seatplan-undo").exists()
    assert _holding(tmp_path, "Zebulonia") == []


@pytest.mark.parametrize(("kept", "after", "there"), [(0, 0, True), (0, 1, False), (7, 7, True), (7, 8, False),
                                                      (None, 40_000, True)])
def test_the_rule_deletes_by_itself_on_its_day(tmp_path, kept, after, there):
    since = date(2026, 3, 1)
    with at(since):
        begin(tmp_path, kept, False)
        number = shelf(tmp_path).create("trip", "trip: x\nvehicle: lindholm-estate\ndrives: 1L\n"
                                                "riders: [{rider: Zebulonia, adult: yes}]\n").number
        add(tmp_path, number)
    assert bool(erase_due(tmp_path, since + timedelta(days=after))) is not there
    assert (tmp_path / f"{number}.yaml").exists() is there
    assert bool(the_day(tmp_path).families) is there


def test_a_family_with_a_second_car_is_kept_until_the_later_day(tmp_path):
    with at(date(2026, 3, 1)):
        begin(tmp_path, 7, False)
        add(tmp_path, "trip-1")
    with at(date(2026, 3, 6)):
        add(tmp_path, "trip-2", of="trip-1")
    day = the_day(tmp_path)
    assert day.deleted_on("trip-1") == day.deleted_on("trip-2") == date(2026, 3, 14)


@pytest.mark.parametrize(("name", "goes"), [
    (".trip-1.yaml.seatplan-undo", True), (".trip-1.yaml.seatplan-new", True), ("trip-1.conflict-3fa9.yaml", True),
    ("trip-1.yaml.conflict-3fa9.yaml", True), ("trip-1.yaml", False), ("trip-10.yaml", False),
    (".trip-10.yaml.seatplan-undo", False), ("trip-1-2.conflict-1.yaml", False), ("trip-1.notes.yaml", False),
])
def test_what_lies_beside_a_file(tmp_path, name, goes):
    (tmp_path / name).write_text("x")
    assert [one.name for one in beside(tmp_path / "trip-1.yaml")] == ([name] if goes else [])
