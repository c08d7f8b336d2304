"""The page of readings: what is typed is set in the file that it belongs to, and what is unlikely is asked again."""

from __future__ import annotations

import pytest

pytest.importorskip("starlette")

import re
from html import unescape
from typing import Literal, get_args, get_origin

from trip_visits import Browser, Tags, bytes_of, field_of, house_of, trip_in

from seatplan.app.measure import AskMeasure, measure
from seatplan.app.shelf import shelf
from seatplan.fields import FIELDS
from seatplan.files.fieldnames import inner_record, name_of, target
from seatplan.files.fieldvalues import value_of
from seatplan.files.library import find
from seatplan.files.load import load_trip
from seatplan.model.restraint import Installation, Mode, Restraint
from seatplan.model.trip import Rider
from seatplan.model.vehicle import Position, Row
from seatplan.views.answers import ANSWERS, HOW, PARTS
from seatplan.web.family.reading import EXAMPLES, asked_in_parts, written

TRIP = "half-measured-car"
#: another one, which asks for other things
TIGHT = "first-answer-tight"


@pytest.fixture
def number(tmp_path):
    return trip_in(tmp_path, TRIP)


@pytest.fixture
def browser(tmp_path):
    return Browser(house_of(tmp_path))


def boxes(page):
    """What each field is called in the files, and its name in the form, in order."""
    found = {}
    for name in names(page):
        found.setdefault(name.partition(":")[2], name)
    return found


def names(page):
    """What each field is called in the form, in order; of buttons of one choice once."""
    found = [dict(attrs).get("name") or "" for tag, attrs, _ in Tags(page).found if tag in ("input", "select")]
    return list(dict.fromkeys(name for name in found if ":" in name))


def done(page):
    """What the page says was written, line by line; nothing where it says nothing."""
    behind = page.partition('class="done"')[2].partition("<ul>")[2].partition("</ul>")[0]
    return [unescape(line) for line in re.findall(r"<li>(.*?)</li>", behind)]


def in_fields(name, key, trip):
    """The fields that one reading is asked for in."""
    return [one for one, _ in asked_in_parts(name, key, value_of(target(name, trip)))] or [name]


def test_the_readings_are_those_of_measure_best_first(browser, tmp_path, number):
    page = browser.get(f"/trips/{number}/measure").text
    asked = measure(AskMeasure(trip=shelf(tmp_path).held(number).path)).answer
    named = [(name_of(one.asked.path, asked.trip), one.asked.key) for one in asked.best.readings if one.asked.path]
    best = [box for name, key in named for box in in_fields(name, key, asked.trip)]
    assert len(named) > 3
    assert len(best) > len(named)
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
    assert done(now)[0] == "cushion angle of row 2: 15 degrees"
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


def test_what_was_written_is_told_as_it_was_asked_for(browser, tmp_path):
    path = f"/trips/{trip_in(tmp_path, TIGHT)}/measure"
    page = browser.get(path).text
    two = [name for name in names(page) if name.endswith(":2L.belt.anchors")]
    fields = boxes(page)
    sent = browser.post(path, {
        "version": field_of(page, "version"), two[0]: "115", two[1]: "45.5 cm", fields["row2.cushion.left"]: "25",
        fields["2C.ahead.gap@300"]: "690", fields["2C.tether"]: "none",
        fields["Gus's carrier/rear-facing-harness.touch_ahead"]: "may"})
    assert sent.status_code == 303
    assert done(browser.get(path).text) == [
        "the middle of 2L: left 115 mm, right 45.5 cm", "the edges of the cushion of row 2, its left edge: 25 mm",
        "free length ahead of 2C, 300 mm above it: 690 mm", "tether anchor of 2C: none",
        "Gus's carrier: whether it may touch the seat ahead: it may touch it"]


def test_what_was_ticked_is_told_in_words_and_what_was_not_taken_is_not(browser, tmp_path, number):
    path = f"/trips/{number}/measure"
    page = browser.get(path).text
    ticks = [name for name in names(page) if name.endswith(":2L.manual.forbids")]
    chosen = {name: name.partition(":")[0].partition(".")[2] for name in ticks if "none" not in name}
    fields = boxes(page)
    sent = browser.post(path, {"version": field_of(page, "version"), **chosen, fields["2L.belt.length"]: "two metres",
                               fields["2L.belt.inflatable"]: "no"})
    assert sent.status_code == 422
    assert done(sent.text) == [
        "what the vehicle handbook forbids at 2L: any child seat, facing backwards, facing forwards, on a booster and "
        "the two bars for child seats", "whether the belt of 2L is inflatable: no"]


# --- asked by what a field takes

#: every record that somebody is asked about, by how the table of fields begins
OWNERS = {"rider": Rider, "row": Row, "position": Position, "restraint": Restraint, "mode": Mode,
          "installation": Installation}


def choices(page, name):
    """The values that may be chosen in a field of the form, in order."""
    return [dict(attrs).get("value") or "" for tag, attrs, _ in Tags(page).found
            if tag == "input" and dict(attrs).get("name") == name]


def kinds_of(page, field):
    """How a field is asked for: the types of what is shown for it."""
    return {dict(attrs).get("type") for tag, attrs, _ in Tags(page).found
            if tag == "input" and (dict(attrs).get("name") or "").partition(":")[2] == field}


def test_a_choice_is_asked_as_buttons_and_written_as_the_word_of_the_file(browser, tmp_path, number):
    path = f"/trips/{number}/measure"
    page = browser.get(path).text
    name = boxes(page)["2L.belt.inflatable"]
    assert choices(page, name) == ["", "yes", "no"]
    assert "feel whether its shoulder part" in page.lower()
    assert browser.post(path, {"version": field_of(page, "version"), name: "no"}).status_code == 303
    assert "inflatable: no" in written_of(tmp_path)


def test_nothing_is_chosen_before_somebody_does(browser, tmp_path, number):
    """Every choice begins with that nobody knows; sent like that, nothing is written."""
    path = f"/trips/{number}/measure"
    page = browser.get(path).text
    on = {dict(attrs)["name"]: dict(attrs).get("value") or "" for tag, attrs, _ in Tags(page).found
          if tag == "input" and dict(attrs).get("type") in ("radio", "checkbox") and "checked" in dict(attrs)}
    before = bytes_of(tmp_path)
    assert len(on) > 3
    assert set(on.values()) == {""}
    assert browser.post(path, {"version": field_of(page, "version"), **on}).status_code == 303
    assert bytes_of(tmp_path) == before


def test_what_a_handbook_forbids_is_ticked(browser, tmp_path, number):
    path = f"/trips/{number}/measure"
    page = browser.get(path).text
    ticks = {name.partition(":")[0].partition(".")[2]: name for name in names(page)
             if name.endswith(":2L.manual.forbids")}
    assert set(ticks) == {"none", "child-restraint", "rear-facing", "forward-facing", "booster", "lower-anchors"}
    assert kinds_of(page, "2L.manual.forbids") == {"checkbox"}
    version = field_of(page, "version")
    wrong = browser.post(path, {"version": version, ticks["none"]: "none", ticks["booster"]: "booster"})
    assert wrong.status_code == 422                                  # nothing, and yet something
    sent = browser.post(path, {"version": version, ticks["rear-facing"]: "rear-facing", ticks["booster"]: "booster"})
    assert sent.status_code == 303
    assert "forbids: [rear-facing, booster]" in written_of(tmp_path)


def test_that_a_handbook_forbids_nothing_is_an_answer(browser, tmp_path, number):
    path = f"/trips/{number}/measure"
    page = browser.get(path).text
    name = next(one for one in names(page) if one.endswith(":2L.manual.forbids") and ".none:" in one)
    assert browser.post(path, {"version": field_of(page, "version"), name: "none"}).status_code == 303
    assert "forbids: []" in written_of(tmp_path)


def test_two_lengths_have_a_field_each_and_one_alone_is_not_written(browser, tmp_path):
    path = f"/trips/{trip_in(tmp_path, TIGHT)}/measure"
    page = browser.get(path).text
    two = [name for name in names(page) if name.endswith(":2L.belt.anchors")]
    assert len(two) == 2
    before = bytes_of(tmp_path)
    half = browser.post(path, {"version": field_of(page, "version"), two[1]: "45.5 cm"})
    assert half.status_code == 422
    assert 'value="45.5 cm"' in half.text
    assert bytes_of(tmp_path) == before
    again = [name for name in names(half.text) if name.endswith(":2L.belt.anchors")]
    sent = browser.post(path, {"version": field_of(half.text, "version"), again[0]: "115", again[1]: "45.5 cm"})
    assert sent.status_code == 303
    assert "anchors: [115, 45.5 cm]" in written_of(tmp_path)


def test_what_is_taken_in_one_go_has_a_field_for_each_part(browser, tmp_path):
    path = f"/trips/{trip_in(tmp_path, TIGHT)}/measure"
    page = browser.get(path).text
    fields = boxes(page)
    assert "row2.cushion" not in fields
    sent = browser.post(path, {"version": field_of(page, "version"), fields["row2.cushion.left"]: "25",
                               fields["row2.cushion.right"]: "1275"})
    assert sent.status_code == 303
    text = written_of(tmp_path)
    assert "left: 25" in text
    assert "right: 1275" in text


def test_no_words_of_the_file_are_asked_for_where_there_is_a_choice(browser, number):
    page = browser.get(f"/trips/{number}/measure").text
    for told in ("manual: {forbids", "`touch_ahead`", "`support_leg", "field: "):
        assert told not in page


@pytest.mark.parametrize(("parts", "told"), [
    ({"": "2400"}, "2400"), ({"0": "115", "1": "455"}, "[115, 455]"), ({"1": "455"}, "[, 455]"),
    ({"0": "1, 2", "1": "3"}, '["1, 2", 3]'), ({"0": "]", "1": "{}"}, '["]", "{}"]'), ({"none": "none"}, "[]"),
    ({"booster": "booster"}, "[booster]")])
def test_parts_of_a_value_are_put_together(parts, told):
    assert written(parts) == told


def asked_fields():
    """Each field of the table that is a field of a record, with its type."""
    for key in FIELDS:
        head, *steps = key.split(".")
        kind, annotation = OWNERS.get(head), None
        for step in steps:
            if kind is None or step not in kind.model_fields:
                break
            annotation, kind = kind.model_fields[step].annotation, inner_record(kind, step)[0]
        else:
            if annotation is not None:
                yield key, annotation


def words_in(annotation):
    """The words that may stand in a field."""
    if get_origin(annotation) is Literal:
        return list(get_args(annotation))
    return [word for one in get_args(annotation) if not isinstance(one, str) for word in words_in(one)]


@pytest.mark.parametrize(("key", "annotation"), list(asked_fields()), ids=[key for key, _ in asked_fields()])
def test_every_word_that_may_be_chosen_is_called_something(key, annotation):
    words = [word for word in words_in(annotation) if isinstance(word, str)]
    printed = ("restraint.approval.", "position.fixtures", "installation.mass_limit")         # as labels have them
    if words and not key.startswith(printed):
        assert set(words) <= set(ANSWERS[key]), key


@pytest.mark.parametrize("key", [key for key, field in FIELDS.items() if "`" in field.how])
def test_a_page_tells_how_to_answer_without_keys_of_the_file(key):
    """What names keys between backticks tells how to write a file."""
    assert "`" not in HOW[key]
    assert ":" not in HOW[key] or "{" not in HOW[key]


def test_a_recline_is_asked_in_its_parts_and_that_there_is_no_range_is_an_answer(browser, tmp_path):
    path = f"/trips/{trip_in(tmp_path, TIGHT)}/measure"
    page = browser.get(path).text
    name = "Hana's seat/forward-facing-harness.recline"
    sent = browser.post(path, {
        "version": field_of(page, "version"), f"f1:{name}.reference": "25", f"f2:{name}.allowed": "none"})
    assert sent.status_code == 303
    text = written_of(tmp_path)
    assert "reference: 25" in text
    assert "allowed: none" in text


@pytest.mark.parametrize("key", EXAMPLES)
def test_an_example_reads_as_what_it_is_an_example_of(key):
    from pydantic import TypeAdapter

    from seatplan.files.changing import as_typed
    head, *steps = key.split(".")
    kind = OWNERS[head]
    for step in steps[:-1]:
        kind = inner_record(kind, step)[0]
    TypeAdapter(kind.model_fields[steps[-1]].rebuild_annotation()).validate_python(as_typed(EXAMPLES[key])[1])


def test_what_has_no_field_of_its_own_kind_has_an_example(tmp_path):
    """Of everything that is asked for, a record or a list is the only thing that is typed as the file has it."""
    asked = 0
    for name in ("half-measured-car", "first-answer-middling", "first-answer-tight"):
        trip = load_trip(str(find("trip", name)))
        found = measure(AskMeasure(trip=name)).answer
        for one in [*(found.best.readings if found.best else ()), *(found.best.estimates if found.best else ()),
                    *found.rest]:
            if not one.asked.path:
                continue
            field = name_of(one.asked.path, found.trip)
            value = value_of(target(field, trip))
            if value.way in ("record", "written") and not asked_in_parts(field, one.asked.key, value):
                assert value.key in EXAMPLES or value.key in ANSWERS, (field, value)
                asked += 1
    assert asked > 3


def test_parts_of_what_is_taken_in_one_go_are_fields(tmp_path):
    trip = load_trip(str(find("trip", "three-across-school-run")))
    owners = {"row": "row2", "position": "2L", "mode": "Nook/rear-facing-harness", "rider": "Wren"}
    for key in PARTS:
        at = {"mode.parts.base": "parts", "mode.parts.outline": "parts.shell"}.get(key, key.partition(".")[2])
        for behind, _ in PARTS[key]:
            value = value_of(target(f"{owners[key.partition('.')[0]]}.{at}{behind}", trip))
            assert value.way not in ("record", "written") or value.key in EXAMPLES, (key, behind)


def written_of(folder):
    return "\n".join(text.decode() for text in bytes_of(folder).values())
