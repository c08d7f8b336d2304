"""Two people on one trip: what each typed is written, nothing is written over, and both are shown where they differ."""

from __future__ import annotations

from pathlib import Path

import pytest

pytest.importorskip("starlette")

from served import Browser, fields_of, opened

from seatplan.app.errors import Problem, Unwritten
from seatplan.app.shelf import Shelf


@pytest.fixture
def trip(tmp_path: Path) -> tuple[Browser, str, str]:
    """A visitor, the path of a new trip, and its page as one of the two opened it before the other wrote."""
    browser = opened(tmp_path)
    path = browser.begun()
    return browser, path, browser.get(path).text


def test_two_fields_are_merged_without_a_question(trip: tuple[Browser, str, str]) -> None:
    browser, path, mine = trip
    browser.change(path, t__riders__0__mass="7.2 kg", c__every_seat__belt="lap")
    answer = browser.change(path, page=mine, t__riders__1__mass="15 kg", c__every_seat__inflatable="no")
    assert answer.status_code == 200
    sent = fields_of(answer.text, path)
    assert (sent["t.riders.0.mass"], sent["t.riders.1.mass"]) == ("7.2 kg", "15 kg")
    assert (sent["c.every_seat.belt"], sent["c.every_seat.inflatable"]) == ("lap", "no")


@pytest.mark.parametrize("live", [True, False])
def test_one_field_keeps_what_the_other_wrote_and_shows_both(trip: tuple[Browser, str, str], live: bool) -> None:
    browser, path, mine = trip
    browser.change(path, t__riders__0__mass="7.2 kg")
    answer = browser.change(path, live, mine, t__riders__0__mass="9.9 kg", t__riders__1__mass="15 kg")
    assert answer.status_code == (200 if live else 422)
    assert "somebody else wrote 7.2 kg here meanwhile" in answer.text
    assert fields_of(answer.text, path)["t.riders.0.mass"] == "9.9 kg"            # what was typed is kept
    stands = browser.text("trip-1.yaml")
    assert "mass: 7.2 kg" in stands
    assert "9.9" not in stands
    assert "mass: 15 kg" in stands                                                # the other field is saved
    other = browser.change(path, live, answer.text, t__riders__2__mass="23 kg")   # no other save puts it there
    assert "mass: 7.2 kg" in browser.text("trip-1.yaml")
    assert "somebody else wrote 7.2 kg here meanwhile" in other.text
    again = browser.change(path, live, other.text, do="mine:t.riders.0.mass")     # a button of its own does
    assert again.status_code == 200
    assert "mine:t.riders.0.mass" not in again.text
    assert "mass: 9.9 kg" in browser.text("trip-1.yaml")


def test_no_number_goes_to_another_child(trip: tuple[Browser, str, str]) -> None:
    browser, path, mine = trip
    browser.change(path, do="riders:0")
    before = browser.text("trip-1.yaml")
    answer = browser.change(path, page=mine, t__riders__1__mass="15 kg")
    assert answer.status_code == 409
    assert browser.text("trip-1.yaml") == before
    assert "Child 2" in answer.text
    assert "15 kg" in answer.text                        # nothing that was typed is lost


def test_a_button_removes_nobody_else(trip: tuple[Browser, str, str]) -> None:
    browser, path, mine = trip
    browser.change(path, do="riders:0")
    before = browser.text("trip-1.yaml")
    assert browser.change(path, page=mine, do="riders:1").status_code == 409
    assert browser.text("trip-1.yaml") == before


def test_a_new_name_is_no_other_child(trip: tuple[Browser, str, str]) -> None:
    """The answer to the first of two quick requests was never read: the second comes with the older page."""
    browser, path, mine = trip
    browser.change(path, page=mine, t__riders__0__rider="Una")
    answer = browser.change(path, page=mine, t__riders__0__rider="Una", t__riders__0__mass="7.2 kg")
    assert answer.status_code == 200
    assert "rider: Una" in browser.text("trip-1.yaml")
    assert "mass: 7.2 kg" in browser.text("trip-1.yaml")


def test_somebody_writes_between_reading_and_writing(trip: tuple[Browser, str, str],
                                                     monkeypatch: pytest.MonkeyPatch) -> None:
    browser, path, mine = trip
    saved, once = Shelf.save, []

    def save(self: Shelf, number: str, text: str, expected: str) -> object:
        if not once:
            once.append(1)
            held = self.held(number)
            saved(self, number, held.text.replace("born:", "born: 2019-08-21", 1), held.version)
        return saved(self, number, text, expected)

    monkeypatch.setattr(Shelf, "save", save)
    assert browser.change(path, page=mine, t__riders__1__mass="15 kg").status_code == 200
    stands = browser.text("trip-1.yaml")
    assert "born: 2019-08-21" in stands
    assert "mass: 15 kg" in stands


def test_the_car_s_file_by_itself_goes_the_same_way(trip: tuple[Browser, str, str]) -> None:
    browser, path, _ = trip
    car = "/cars/vehicle-1"
    theirs = browser.get(car).text
    browser.change(path, c__rows__1__trim__0__right="1550")
    answer = browser.change(car, page=theirs, c__rows__1__trim__0__right="1450", c__every_seat__belt="lap")
    assert answer.status_code == 422
    assert "somebody else wrote 1550 here" in answer.text
    assert "right: 1550" in browser.text("vehicle-1.yaml")
    assert "belt: lap" in browser.text("vehicle-1.yaml")


def test_what_a_form_brings_back_can_be_anything(trip: tuple[Browser, str, str]) -> None:
    browser, path, mine = trip
    for was in ("", "{", "[]", '{"fields": 1, "shape": []}', "[" * 5000,
                '{"fields": {"riders.0.mass": 3}, "shape": {}}'):
        answer = browser.post(path, fields_of(mine, path) | {"t.was": was, "t.riders.0.mass": "7 kg"})
        assert answer.status_code in (200, 409, 422)


def test_another_kind_of_seat_is_another_seat(trip: tuple[Browser, str, str]) -> None:
    browser, path, _ = trip
    mine = browser.change(path, do="seat:rear-and-forward").text
    browser.change(path, t__restraints__0__kind="high-back")
    before = browser.text("trip-1.yaml")
    answer = browser.change(path, page=mine, t__restraints__0__limits__rear_facing__mass="2-18 kg")
    assert answer.status_code == 409
    assert browser.text("trip-1.yaml") == before
    assert "2-18 kg" in answer.text


@pytest.mark.parametrize("live", [True, False])
def test_what_was_typed_is_kept_where_nothing_can_be_written(trip: tuple[Browser, str, str], live: bool,
                                                             monkeypatch: pytest.MonkeyPatch) -> None:
    browser, path, _ = trip

    def save(self: Shelf, number: str, text: str, expected: str) -> object:
        raise Unwritten(Problem("x", 0, 0, "no space is left"))

    monkeypatch.setattr(Shelf, "save", save)
    before = browser.text("trip-1.yaml")
    answer = browser.change(path, live, t__riders__0__mass="7.2 kg", c__every_seat__belt="lap")
    assert answer.status_code == (200 if live else 507)
    assert "no space is left" in answer.text
    assert fields_of(answer.text, path)["t.riders.0.mass"] == "7.2 kg"
    assert fields_of(answer.text, path)["c.every_seat.belt"] == "lap"
    assert browser.text("trip-1.yaml") == before
