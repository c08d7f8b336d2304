"""Why, and what if: the pages say what the commands say, at places and not by names, and write nothing."""

from __future__ import annotations

import pytest

pytest.importorskip("starlette")

from trip_visits import Browser, Tags, bytes_of, house_of, trip_in

from seatplan.app.shelf import shelf
from seatplan.app.why import AskAgainst, AskWhy, AskWhyNot, against, not_so, why
from seatplan.views.contrast_text import against_content, asked_content
from seatplan.views.html import Place, elements
from seatplan.views.markup import html_piece
from seatplan.views.why_text import why_content

TRIP = "three-across-school-run"
#: the trip's riders in the order of its file
INES, WREN, OSLO = 0, 1, 2


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    return tmp_path_factory.mktemp("library")


@pytest.fixture(scope="module")
def house(folder):
    return house_of(folder)


@pytest.fixture(scope="module")
def browser(house):
    return Browser(house)


@pytest.fixture(scope="module")
def number(folder):
    return trip_in(folder, TRIP)


@pytest.fixture(scope="module")
def path(folder, number):
    return shelf(folder).held(number).path


def pieces(blocks, place):
    return [html_piece(one) for one in elements(blocks, place)]


@pytest.mark.parametrize("seat", ["", "2C"])
def test_why_says_what_the_command_says(browser, number, path, seat):
    page = browser.get(f"/trips/{number}/why?rider={WREN}" + (f"&seat={seat}" if seat else "")).text
    found = why(AskWhy(trip=path, rider="Wren", position=seat or None)).answer
    for piece in pieces(why_content(found, None, narrow=bool(seat)), Place("h2", prefix="why")):
        assert piece in page
    assert "seatplan why" not in page


def test_who_sits_where_leads_to_why(browser, number):
    hrefs = Tags(browser.get(f"/trips/{number}").text).hrefs()
    for rider, seat in ((INES, "1L"), (OSLO, "2L"), (WREN, "2C")):
        assert f"/trips/{number}/why?rider={rider}" in hrefs
        assert f"/trips/{number}/why?rider={rider}&seat={seat}" in hrefs


@pytest.mark.parametrize("query", ["rider=99", "rider=-1", "rider=Wren", "rider=1&seat=9Z", "rider=1e3"])
def test_whoever_is_not_there_is_no_mistake_of_ours(browser, number, query):
    for page in ("why", "move"):
        answer = browser.get(f"/trips/{number}/{page}?{query}" + ("&seat=2C" if "seat" not in query else ""))
        assert answer.status_code in (200, 422)
        assert "No answer yet" in answer.text or "cannot be answered" in answer.text


@pytest.mark.parametrize(("rider", "name", "seat", "can"), [
    (WREN, "Wren", "2R", True), (OSLO, "Oslo", "2L", True), (INES, "Ines", "2R", False)])
def test_what_if_says_what_the_command_says(browser, number, path, folder, rider, name, seat, can):
    before = bytes_of(folder)
    page = browser.get(f"/trips/{number}/move?rider={rider}&seat={seat}").text
    asked = not_so(AskWhyNot(trip=path, so=f"{name}={seat}")).answer
    assert bool(asked.plan.arrangements) == can
    for piece in pieces(asked_content(asked), Place("h3", prefix="whatif")):
        assert piece in page
    assert bytes_of(folder) == before


def test_another_arrangement_is_held_against_the_first(browser, number, path):
    page = browser.get(f"/trips/{number}/move?rank=2").text
    found = against(AskAgainst(trip=path, arrangement=2)).answer
    for piece in pieces(against_content(found.plan, found.contrast), Place("h3", prefix="whatif")):
        assert piece in page
    for rank in ("1", "999", "x", "-2"):
        assert browser.get(f"/trips/{number}/move?rank={rank}").status_code == 200


def test_child_and_seat_are_chosen_with_the_keys_that_every_browser_has(browser, number):
    """Each choice is a group of its own, in the order of the trip and of the car."""
    found = [dict(attrs) for tag, attrs, _ in Tags(browser.get(f"/trips/{number}/move").text).found if tag == "input"]
    assert [one["value"] for one in found if one.get("name") == "rider"] == ["0", "1", "2", "3"]
    assert [one["value"] for one in found if one.get("name") == "seat"] == ["1L", "1R", "2L", "2C", "2R"]
    assert all(one["type"] == "radio" for one in found if one.get("name") in ("rider", "seat"))
