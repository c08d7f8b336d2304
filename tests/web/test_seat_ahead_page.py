"""The seat ahead slid in a page: the gap moves with it, nothing is written until it is saved."""

from __future__ import annotations

import re

import pytest

pytest.importorskip("starlette")

from trip_visits import Browser, bytes_of, field_of, house_of, trip_in

from seatplan.app.shelf import shelf


@pytest.fixture
def browser(tmp_path):
    return Browser(house_of(tmp_path))


def gap(page):
    return int(re.search(r"(\d+) mm between", page)[1])


def test_the_gap_grows_by_as_much_as_the_seat_comes_forward(browser, tmp_path):
    number = trip_in(tmp_path, "three-across-school-run")
    before = bytes_of(tmp_path)
    path = f"/trips/{number}/ahead?seat=1L&forward="
    assert gap(browser.get(f"{path}150").text) - gap(browser.get(f"{path}20").text) == 130
    assert bytes_of(tmp_path) == before


def test_what_becomes_of_the_answer_is_that_of_the_trip_with_that_limit(browser, tmp_path):
    number = trip_in(tmp_path, "slide-decides")
    assert "Mina 2C" in browser.get(f"/trips/{number}/ahead?seat=1R&forward=0").text
    assert "everybody as in the best" in browser.get(f"/trips/{number}/ahead?seat=1R&forward=120").text


def test_it_is_written_where_it_is_saved(browser, tmp_path):
    number = trip_in(tmp_path, "three-across-school-run")
    page = browser.get(f"/trips/{number}/ahead?seat=1R&forward=60").text
    sent = browser.post(f"/trips/{number}/ahead", {"seat": "1R", "forward": "60", "version": field_of(page, "version")})
    assert sent.status_code == 303
    assert re.search(r'"?1R"?: *\{forward_at_most: 60\}', shelf(tmp_path).held(number).text)


@pytest.mark.parametrize("forward", ["-5", "99999", "1e2", "", "60; rm"])
def test_no_length_beyond_its_travel_is_saved(browser, tmp_path, forward):
    number = trip_in(tmp_path, "three-across-school-run")
    page = browser.get(f"/trips/{number}/ahead?seat=1R").text
    before = bytes_of(tmp_path)
    sent = browser.post(f"/trips/{number}/ahead",
                        {"seat": "1R", "forward": forward, "version": field_of(page, "version")})
    assert sent.status_code == 422
    assert bytes_of(tmp_path) == before


def test_an_older_page_saves_nothing(browser, tmp_path):
    number = trip_in(tmp_path, "three-across-school-run")
    page = browser.get(f"/trips/{number}/ahead?seat=1R&forward=60").text
    library = shelf(tmp_path)
    held = library.held(number)
    library.save(number, f"{held.text}# somebody else\n", held.version)
    before = bytes_of(tmp_path)
    sent = browser.post(f"/trips/{number}/ahead", {"seat": "1R", "forward": "60", "version": field_of(page, "version")})
    assert sent.status_code == 422
    assert "changed meanwhile" in sent.text
    assert bytes_of(tmp_path) == before


def test_a_length_that_was_taken_with_its_person_in_the_seat_is_never_reckoned_into_the_file(browser, tmp_path):
    number = trip_in(tmp_path, "first-answer-roomy")
    page = browser.get(f"/trips/{number}/ahead?seat=1L&forward=50").text
    assert "Save it so" not in page
    assert gap(page) - gap(browser.get(f"/trips/{number}/ahead?seat=1L&forward=-10").text) == 60
    before = bytes_of(tmp_path)
    held = shelf(tmp_path).held(number)
    sent = browser.post(f"/trips/{number}/ahead", {"seat": "1L", "forward": "50", "version": held.version})
    assert sent.status_code == 422
    assert bytes_of(tmp_path) == before


def test_where_no_seat_can_be_slid_the_page_says_why(browser, tmp_path):
    number = trip_in(tmp_path, "half-measured-car")
    assert "free length behind it is not known" in browser.get(f"/trips/{number}/ahead").text
