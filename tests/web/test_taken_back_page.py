"""The last step is shown before it is taken back, and only that one is."""

from __future__ import annotations

import pytest

pytest.importorskip("starlette")

from trip_visits import Browser, bytes_of, field_of, house_of, trip_in

from seatplan.app.measure import SetFields, set_fields
from seatplan.app.shelf import shelf


@pytest.fixture
def browser(tmp_path):
    return Browser(house_of(tmp_path))


@pytest.fixture
def number(tmp_path):
    return trip_in(tmp_path, "half-measured-car")


def test_what_it_takes_back_is_shown_first(browser, tmp_path, number):
    path = shelf(tmp_path).held(number).path
    before = bytes_of(tmp_path)
    assert "nothing to take back" in browser.get(f"/trips/{number}/undo").text
    set_fields(SetFields(trip=path, fields=("row2.cushion.angle=15",)))
    between = bytes_of(tmp_path)
    page = browser.get(f"/trips/{number}/undo").text
    assert "This was written last: row2.cushion.angle" in page
    assert "angle: 15" in page
    assert bytes_of(tmp_path) == between != before
    sent = browser.post(f"/trips/{number}/undo", {"step": field_of(page, "step")})
    assert sent.status_code == 303
    assert bytes_of(tmp_path) == before
    assert "Taken back: row2.cushion.angle" in browser.get(f"/trips/{number}/undo").text


def test_a_step_that_was_not_shown_is_not_taken_back(browser, tmp_path, number):
    path = shelf(tmp_path).held(number).path
    set_fields(SetFields(trip=path, fields=("row2.cushion.angle=15",)))
    page = browser.get(f"/trips/{number}/undo").text
    set_fields(SetFields(trip=path, fields=("row2.cushion.length=480",)))
    before = bytes_of(tmp_path)
    sent = browser.post(f"/trips/{number}/undo", {"step": field_of(page, "step")})
    assert sent.status_code == 409
    assert "row2.cushion.length" in sent.text
    assert bytes_of(tmp_path) == before


def test_a_file_changed_by_hand_is_left_alone(browser, tmp_path, number):
    path = shelf(tmp_path).held(number).path
    set_fields(SetFields(trip=path, fields=("row2.cushion.angle=15",)))
    page = browser.get(f"/trips/{number}/undo").text
    for name in bytes_of(tmp_path):
        with (tmp_path / name).open("a", encoding="utf-8") as one:
            one.write("# by hand\n")
    before = bytes_of(tmp_path)
    sent = browser.post(f"/trips/{number}/undo", {"step": field_of(page, "step")})
    assert sent.status_code == 409
    assert bytes_of(tmp_path) == before
