"""Files from elsewhere: they come into the library as they are, or not at all; nothing else of this machine is read."""

from __future__ import annotations

import pytest

pytest.importorskip("starlette")

from trip_visits import Browser, bytes_of, house_of, trip_in

from seatplan.app.arrange import Arrange, arrange
from seatplan.app.request import Request
from seatplan.app.shelf import shelf
from seatplan.files.library import find
from seatplan.views.plan_json import plan_json

CAR = find("vehicle", "skiff-two").read_text(encoding="utf-8")
TRIP = """\
trip: A short one
vehicle: our-car.yaml
on: 2026-11-30
drives: 1L
riders:
  - {rider: Ada, adult: yes, height: 170 cm, drives: yes}
restraints: []
rules: us
"""


@pytest.fixture
def browser(tmp_path):
    return Browser(house_of(tmp_path))


def opened(browser, *files):
    return browser.post("/bring", {}, files={
        f"file-{n}": (name, text if isinstance(text, bytes) else text.encode(), "application/octet-stream")
        for n, (name, text) in enumerate(files, 1)})


def test_a_trip_comes_with_its_car_whatever_they_were_called(browser, tmp_path):
    sent = opened(browser, ("my trip.yaml", TRIP), ("our-car.yaml", CAR))
    assert sent.status_code == 303
    library = shelf(tmp_path)
    made = library.held(sent.headers["location"].removeprefix("/trips/"))
    assert "our-car" not in made.text
    assert library.held(library.listing("vehicle")[0].number).text == CAR
    assert arrange(Arrange(trip=made.path)).answer.plan.trip.vehicle.vehicle == "Skiff Two"
    assert browser.get(sent.headers["location"]).status_code == 200


def test_what_was_saved_opens_again_and_has_the_same_answer(browser, tmp_path):
    number = trip_in(tmp_path, "three-across-school-run")
    saved = browser.get(f"/trips/{number}/file").text
    sent = opened(browser, ("trip.yaml", saved))
    assert sent.status_code == 303
    library = shelf(tmp_path)
    again = library.held(sent.headers["location"].removeprefix("/trips/"))
    assert again.number != number
    plans = [plan_json(arrange(Arrange(trip=library.held(one).path)).answer.plan) for one in (number, again.number)]
    assert plans[0] == plans[1]


def test_a_checkup_is_the_trip_that_it_holds(browser, tmp_path):
    number = trip_in(tmp_path, "third-child-on-the-way")
    page = browser.post(f"/trips/{number}/checkup", {"who": "", "save": "yes"}, f"/trips/{number}/papers")
    assert 'filename="checkup.html"' in page.headers["content-disposition"]
    sent = opened(browser, ("checkup.html", page.text))
    assert sent.status_code == 303
    assert shelf(tmp_path).held(sent.headers["location"].removeprefix("/trips/")).text.startswith("# checkup:")
    damaged = page.text.replace("third", "thrid").replace("Third", "Thrid")
    before = bytes_of(tmp_path)
    assert opened(browser, ("checkup.html", damaged)).status_code == 422
    assert bytes_of(tmp_path) == before


DEEP = "trip: x\nriders: " + "[" * 400 + "]" * 400 + "\n"
ALIASES = "trip: x\na: &a [1, 2]\n" + "".join(
    f"{chr(98 + n)}: &{chr(98 + n)} [{', '.join([f'*{chr(97 + n)}'] * 9)}]\n" for n in range(12))
BAD = {
    "a wrong number": (TRIP.replace("170 cm", "a lot").replace("our-car.yaml", "skiff-two"), "a lot"),
    "a car that is not there": (TRIP, "did not come along"),
    "a car of this machine": (TRIP.replace("our-car.yaml", "/etc/passwd.yaml"), "did not come along"),
    "a car further up": (TRIP.replace("our-car.yaml", "../../car.yaml"), "did not come along"),
    "rules of this machine": (TRIP.replace("our-car.yaml", "skiff-two").replace("rules: us", "rules: ./x.yaml"),
                              "not taken from elsewhere"),
    "no YAML": ("trip: [\n", "line"),
    "depth": (DEEP, "deep"),
    "aliases": (ALIASES, "aliases"),
    "nothing": ("", "expected"),
    "something else": ("<html><body>hello</body></html>", "expected"),
    "letters that are none": (b"trip: \xff\xfe\n", "UTF-8"),
    "a program": (b"\x7fELF\0\0\0", "expected"),
    "too long": ("trip: x\n" + "# " + "x" * 1_100_000, "longer"),
}


@pytest.mark.parametrize("name", BAD)
def test_a_bad_file_is_told_of_and_never_written(browser, tmp_path, name):
    text, told = BAD[name]
    sent = opened(browser, ("mine.yaml", text))
    assert sent.status_code == 422
    assert told in sent.text
    assert "Nothing was taken" in sent.text
    assert str(tmp_path) not in sent.text
    assert "Traceback" not in sent.text
    assert bytes_of(tmp_path) == {}


def test_the_line_is_shown_with_a_mark_below_what_is_wrong(browser):
    sent = opened(browser, ("mine.yaml", TRIP.replace("170 cm", "a lot").replace("our-car.yaml", "skiff-two")))
    assert "6 |   - {rider: Ada, adult: yes, height: a lot, drives: yes}" in sent.text
    marked = next(line for line in sent.text.splitlines() if "^" in line)
    assert marked.count("^") == len("a lot")


def test_one_bad_file_of_two_keeps_both_out(browser, tmp_path):
    sent = opened(browser, ("t.yaml", TRIP), ("our-car.yaml", CAR.replace("rows:", "rwos:", 1)))
    assert sent.status_code == 422
    assert bytes_of(tmp_path) == {}


@pytest.mark.parametrize("name", ["../../evil.yaml", "/etc/cron.d/x", "a\\..\\b.yaml", "\x00.yaml", "x" * 5000, "",
                                  "<script>alert(1)</script>.yaml", "con.yaml"])
def test_what_a_file_is_called_is_never_a_path(browser, tmp_path, name):
    around = sorted(tmp_path.parent.iterdir())
    sent = opened(browser, (name, CAR))
    assert sent.status_code in (303, 400, 403, 422)
    assert sorted(tmp_path.parent.iterdir()) == around
    assert all("evil" not in one and "script" not in one for one in bytes_of(tmp_path))
    wrong = opened(browser, (name, "vehicle: [\n"))
    assert "<script>alert" not in wrong.text


def test_nothing_sent_says_so(browser, tmp_path):
    assert "no file came" in browser.post("/bring", {}).text
    assert bytes_of(tmp_path) == {}


def test_more_than_is_taken_at_once_is_refused_before_it_is_read(browser, tmp_path):
    sent = opened(browser, ("a.yaml", "trip: x\n# " + "x" * 2_100_000))
    assert sent.status_code == 413
    assert bytes_of(tmp_path) == {}


def test_a_file_holds_the_whole_trip(tmp_path):
    from seatplan.app.carrying import whole_trip
    number = trip_in(tmp_path, "three-across-school-run")
    text = whole_trip(Request(trip=shelf(tmp_path).held(number).path))
    assert ".yaml" not in text
    assert "use:" not in text
