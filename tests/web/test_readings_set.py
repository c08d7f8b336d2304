"""The page of readings: what is typed is set in the file that it belongs to, and what is unlikely is asked again."""

from __future__ import annotations

import pytest

pytest.importorskip("starlette")

from trip_visits import Browser, Tags, bytes_of, field_of, house_of, trip_in

from seatplan.app.measure import AskMeasure, measure
from seatplan.app.shelf import shelf
from seatplan.files.fieldnames import name_of

TRIP = "half-measured-car"


@pytest.fixture
def number(tmp_path):
    return trip_in(tmp_path, TRIP)


@pytest.fixture
def browser(tmp_path):
    return Browser(house_of(tmp_path))


def boxes(page):
    """What each field is called in the files, and its name in the form, in order."""
    found = {}
    for tag, attrs, _ in Tags(page).found:
        name = dict(attrs).get("name") or ""
        if tag == "input" and ":" in name:
            found.setdefault(name.partition(":")[2], name)
    return found


def test_the_readings_are_those_of_measure_best_first(browser, tmp_path, number):
    page = browser.get(f"/trips/{number}/measure").text
    asked = measure(AskMeasure(trip=shelf(tmp_path).held(number).path)).answer
    best = [name_of(one.asked.path, asked.trip) for one in asked.best.readings if one.asked.path]
    assert len(best) > 3
    assert list(boxes(page))[:len(best)] == best
    assert "tips at" in page or "would do" in page


def test_a_value_is_set_and_what_that_changes_is_told_once(browser, tmp_path, number):
    path = f"/trips/{number}/measure"
    page = browser.get(path).text
    name = boxes(page)["row2.cushion.angle"]
    answer = browser.post(path, {"version": field_of(page, "version"), name: "15"})
    assert answer.status_code == 303
    assert any("angle: 15" in text.decode() for text in bytes_of(tmp_path).values())
    now = browser.get(path).text
    assert "Written: row2.cushion.angle" in now
    assert "Before:" in now
    assert "row2.cushion.angle" not in boxes(now)
    assert "Written:" not in browser.get(path).text


def test_what_is_unlikely_is_asked_again_and_then_taken(browser, tmp_path, number):
    path = f"/trips/{number}/measure"
    page = browser.get(path).text
    before = bytes_of(tmp_path)
    name = boxes(page)["Bor.mass"] if "Bor.mass" in boxes(page) else next(
        box for field, box in boxes(page).items() if field.endswith(".mass"))
    answer = browser.post(path, {"version": field_of(page, "version"), name: "55 kg"})
    assert answer.status_code == 422
    assert bytes_of(tmp_path) == before
    assert "measured it again" in answer.text
    assert 'value="55 kg"' in answer.text
    again = boxes(answer.text)[name.partition(":")[2]]
    sent = browser.post(path, {"version": field_of(answer.text, "version"), again: "55 kg", "sure": "yes"})
    assert sent.status_code == 303
    assert bytes_of(tmp_path) != before


def test_what_reads_is_written_and_what_does_not_stays_in_its_field(browser, tmp_path, number):
    path = f"/trips/{number}/measure"
    page = browser.get(path).text
    names = boxes(page)
    answer = browser.post(path, {"version": field_of(page, "version"), names["row2.cushion.angle"]: "15",
                                 names["2L.belt.length"]: "two metres"})
    assert answer.status_code == 422
    assert 'value="two metres"' in answer.text
    assert 'aria-invalid="true"' in answer.text
    written = b"".join(bytes_of(tmp_path).values())
    assert b"angle: 15" in written
    assert b"two metres" not in written


def test_after_somebody_else_wrote_nothing_is_set_and_what_was_typed_stays(browser, tmp_path, number):
    path = f"/trips/{number}/measure"
    page = browser.get(path).text
    library = shelf(tmp_path)
    car = library.held(next(one.number for one in library.listing("vehicle")))
    library.save(car.number, f"{car.text}# somebody else\n", car.version)
    before = bytes_of(tmp_path)
    answer = browser.post(path, {"version": field_of(page, "version"), boxes(page)["row2.cushion.angle"]: "15"})
    assert answer.status_code == 409
    assert 'value="15"' in answer.text
    assert bytes_of(tmp_path) == before


@pytest.mark.parametrize("name", ["f1:", "f1:../../x.mass", "f1:__class__.mass", "f1:Wren.mass\n", "f1:2C.nothing"])
def test_a_field_that_there_is_not_is_refused(browser, tmp_path, number, name):
    path = f"/trips/{number}/measure"
    before = bytes_of(tmp_path)
    answer = browser.post(path, {"version": field_of(browser.get(path).text, "version"), name: "15"})
    assert answer.status_code == 422
    assert bytes_of(tmp_path) == before


def test_the_page_tells_no_path_of_this_machine(browser, tmp_path, number):
    path = f"/trips/{number}/measure"
    page = browser.get(path).text
    answer = browser.post(path, {"version": field_of(page, "version"), boxes(page)["2L.belt.length"]: "two metres"})
    assert str(tmp_path) not in page + answer.text


def test_a_bundled_car_is_never_written(browser, tmp_path):
    library = shelf(tmp_path)
    from seatplan.files.library import find
    number = library.create("trip", find("trip", TRIP).read_text(encoding="utf-8")).number
    path = f"/trips/{number}/measure"
    page = browser.get(path).text
    bundled = find("vehicle", "half-measured-hatch").read_bytes()
    answer = browser.post(path, {"version": field_of(page, "version"), boxes(page)["row2.cushion.angle"]: "15"})
    assert answer.status_code == 422
    assert "bundled" in answer.text
    copied = browser.post(path, {"version": field_of(page, "version"), "do": "copy"})
    assert copied.status_code == 303
    own = browser.get(path).text
    assert "half-measured-hatch" not in shelf(tmp_path).held(number).text
    sent = browser.post(path, {"version": field_of(own, "version"), boxes(own)["row2.cushion.angle"]: "15"})
    assert sent.status_code == 303
    assert b"angle: 15" in b"".join(bytes_of(tmp_path).values())
    assert find("vehicle", "half-measured-hatch").read_bytes() == bundled
