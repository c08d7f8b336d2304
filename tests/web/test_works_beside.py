"""What takes long: worked out in a process of its own, one after the other, given up at once, seen by whoever asked."""

from __future__ import annotations

import multiprocessing
import os
import time

import pytest

pytest.importorskip("starlette")

from trip_visits import Browser, Tags, house_of, trip_in

from seatplan.app.days import at
from seatplan.web.apart import Apart
from seatplan.web.works import MOST_EACH, Works

#: a process that begins imports the solver first; the machine may have much else to do
_LONG = 60


def whose() -> int:
    """The process that answers."""
    return os.getpid()


def slowly(seconds: float) -> int:
    time.sleep(seconds)
    return os.getpid()


def breaks() -> None:
    raise ValueError("Wren has a secret")


def until(told, seconds=_LONG):
    end = time.monotonic() + seconds
    while not told():
        assert time.monotonic() < end
        time.sleep(0.02)


@pytest.fixture
def works():
    """None of the processes that were begun outlives what asked them."""
    before = set(multiprocessing.active_children())
    made = Works(Apart())
    yield made
    made.close()
    until(lambda: set(multiprocessing.active_children()) <= before)


def test_another_process_answers(works):
    work = works.begin("me", "1", "v", "asked", whose)
    assert work.finished.wait(_LONG)
    assert work.state == "done"
    assert work.answer not in (None, os.getpid())


def test_what_breaks_has_failed_and_tells_nothing(works):
    work = works.begin("me", "1", "v", "asked", breaks)
    assert work.finished.wait(_LONG)
    assert (work.state, work.answer) == ("failed", None)


def test_given_up_while_it_runs_the_next_one_is_answered(works):
    slow = works.begin("me", "1", "v", "slow", slowly, 600)
    until(lambda: slow.state == "works")
    next_one = works.begin("you", "1", "v", "next", whose)
    assert next_one.state == "waits"
    works.give_up(slow)
    assert slow.finished.wait(_LONG)
    assert slow.state == "given up"
    assert next_one.finished.wait(_LONG)
    assert next_one.state == "done"


def test_given_up_while_it_waits_nobody_else_is_disturbed(works):
    first = works.begin("me", "1", "v", "first", slowly, 1.5)
    until(lambda: first.state == "works")
    waiting = works.begin("you", "1", "v", "waits", slowly, 600)
    works.give_up(waiting)
    assert first.finished.wait(_LONG)
    assert first.state == "done"


def test_only_whoever_asked_finds_it(works):
    mine = works.begin("me", "1", "v", "asked", whose)
    assert works.find("me", "1", mine.number) is mine
    assert works.find("you", "1", mine.number) is None
    assert works.find("me", "2", mine.number) is None


def test_of_one_browser_there_are_so_many_and_all_go_with_the_visit(works):
    made = [works.begin("me", "1", "v", str(n), slowly, 600) for n in range(MOST_EACH + 2)]
    assert works.of("me", "1") == made[::-1][:MOST_EACH]
    works.leave("me")
    assert works.of("me", "1") == []
    assert all(one.finished.wait(_LONG) for one in made)


# --- the pages

@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    return tmp_path_factory.mktemp("library")


@pytest.fixture(scope="module")
def house(folder):
    made = house_of(folder)
    yield made
    made.works.close()


@pytest.fixture(scope="module")
def number(folder):
    return trip_in(folder, "third-child-on-the-way")


def asked(browser, number, **fields):
    answer = browser.post(f"/trips/{number}/later", fields)
    assert answer.status_code == 303
    return answer.headers["location"]


def done(browser, where):
    until(lambda: browser.get(where).text.count("data-waits") == 0)
    return browser.get(where).text


def test_an_outlook_another_car_and_room(house, number):
    from datetime import date

    browser = Browser(house)
    with at(date(2026, 11, 30)):
        outlook = asked(browser, number, what="outlook", until="1y")
        car = asked(browser, number, what="car", car="bundled:skiff-two")
        room = asked(browser, number, what="room", rider="0")
    assert "how long it lasts" in done(browser, outlook)
    calendar = browser.get(f"{outlook}?save=calendar")
    assert calendar.text.startswith("BEGIN:VCALENDAR")
    assert 'filename="outlook.ics"' in calendar.headers["content-disposition"]
    assert "Skiff" in done(browser, car)
    assert "hint:" not in browser.get(car).text
    assert "seatplan room" not in done(browser, room)
    listed = Tags(browser.get(f"/trips/{number}/later").text).hrefs()
    assert {outlook, car, room} <= set(listed)
    other = Browser(house)
    assert other.get(outlook, follow_redirects=False).status_code == 303
    assert not {outlook, car, room} & set(Tags(other.get(f"/trips/{number}/later").text).hrefs())


def test_it_is_given_up_by_its_button(house, number):
    browser = Browser(house)
    where = asked(browser, number, what="outlook", until="10y")
    assert "Give it up" in browser.get(where).text
    sent = browser.post(where, {})
    assert sent.headers["location"] == f"/trips/{number}/later"
    assert browser.get(where, follow_redirects=False).status_code == 303


@pytest.mark.parametrize("fields", [
    {"what": "outlook", "until": "99y"}, {"what": "car", "car": "own:../../etc"}, {"what": "car", "car": "/etc/passwd"},
    {"what": "car", "car": ""}, {"what": "room", "rider": "Wren"}, {"what": "room", "rider": "99"}, {"what": "x"}, {}])
def test_what_is_not_in_the_lists_is_not_asked(house, number, fields):
    browser = Browser(house)
    assert browser.post(f"/trips/{number}/later", fields).status_code == 422
    assert house.works.of("", number) == []
