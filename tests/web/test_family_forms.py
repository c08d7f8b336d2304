"""What the family's pages do with what is typed: kept, written, refused, asked again."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

pytest.importorskip("starlette")

from served import Browser, fields_of, opened

from seatplan.files.library import PACKAGE, names


@pytest.fixture
def browser(tmp_path: Path) -> Browser:
    return opened(tmp_path)


def bundled_trip(browser: Browser, name: str, car: str) -> str:
    """A bundled trip and its car as files of the library; the path of its page."""
    vehicles = PACKAGE.parent / "vehicles"
    folder = vehicles if vehicles.is_dir() else PACKAGE / "data" / "vehicles"
    (browser.folder / "vehicle-1.yaml").write_text((folder / f"{car}.yaml").read_text(encoding="utf-8"))
    text = (PACKAGE / "data" / "trips" / f"{name}.yaml").read_text(encoding="utf-8")
    (browser.folder / "trip-1.yaml").write_text(text.replace(f"vehicle: {car}", "vehicle: vehicle-1.yaml"))
    return "/trips/trip-1"


@pytest.mark.parametrize(("trip", "car"), [("three-across-school-run", "harrow-estate"),
                                           ("first-answer-roomy", "broadmere-tall")])
def test_a_form_sent_back_as_it_came_changes_no_letter(browser: Browser, trip: str, car: str) -> None:
    path = bundled_trip(browser, trip, car)
    before = browser.text("trip-1.yaml"), browser.text("vehicle-1.yaml")
    assert browser.change(path).status_code == 200
    assert (browser.text("trip-1.yaml"), browser.text("vehicle-1.yaml")) == before


def test_one_field_of_a_full_file_leaves_all_else(browser: Browser) -> None:
    path = bundled_trip(browser, "three-across-school-run", "harrow-estate")
    before = browser.text("vehicle-1.yaml")
    page = browser.get(path).text
    sent = fields_of(page, path)
    name = next(name for name in sent if re.fullmatch(r"c\.rows\.1\.positions\.0\.centre", name))
    browser.change(path, page=page, **{name: "317"})
    assert browser.text("vehicle-1.yaml") == before.replace(f"centre: {sent[name]}", "centre: 317", 1)


def test_bars_that_a_file_lists_are_shown_and_stay(browser: Browser) -> None:
    path = bundled_trip(browser, "three-across-school-run", "harrow-estate")
    page = browser.get(path).text
    assert fields_of(page, path)["c.rows.1.positions.0.lower_anchors"] == "[a, b]"
    assert "yes: a and b" in page                                    # as a person says it, in place of yes
    assert ">[a, b]<" not in page
    assert "as the file has it" not in page
    seat = page[page.index('id="c.rows.1.positions.0.lower_anchors-ask"'):]
    assert re.findall(r"<span>([^<]*)</span></label>", seat[:seat.index("</fieldset>")]) == [
        "not known", "yes: a and b", "none"]


def title(browser: Browser) -> str:
    return next(line.partition(": ")[2].strip('"') for line in browser.text("trip-1.yaml").splitlines()
                if line.startswith("trip:"))


def test_a_trip_that_nobody_called_anything_is_called_by_its_children(browser: Browser) -> None:
    path = browser.begun()
    first = title(browser)
    browser.change(path, t__riders__0__mass="15 kg")
    browser.change(path, do="adult")
    assert title(browser) == first
    browser.change(path, t__riders__0__rider="Ada")
    assert title(browser) == "Ada, Child 2 and Child 3"
    assert ">Ada, Child 2 and Child 3</h1>" in browser.get(path).text
    browser.change(path, t__riders__1__rider="Ben", t__riders__2__rider="Ida: 3")
    assert title(browser) == "Ada, Ben and Ida: 3"
    assert "Ada, Ben and Ida: 3" in browser.get("/").text
    assert "Ada, Ben e Ida" not in browser.get("/").text
    browser.change(path, do="riders:0")
    assert title(browser) == "Ben and Ida: 3"
    browser.change(path, do="child")
    assert title(browser) == "Ben, Ida: 3 and Child 3"


def test_a_title_that_was_typed_stays(browser: Browser) -> None:
    path = browser.begun()
    browser.change(path, t__trip="School", t__riders__0__rider="Ada")
    browser.change(path, t__riders__1__rider="Ben")
    assert title(browser) == "School"


def test_a_title_made_in_another_language_follows_too(browser: Browser) -> None:
    path = browser.begun()
    text = browser.text("trip-1.yaml").replace(f"trip: {title(browser)}", 'trip: "Child 1, Child 2 y Child 3"')
    (browser.folder / "trip-1.yaml").write_text(text)
    browser.change(path, t__riders__0__rider="Ada")
    assert title(browser) == "Ada, Child 2 and Child 3"


def test_long_names_make_no_title_that_no_file_takes(browser: Browser) -> None:
    path = browser.begun(children="8")
    browser.change(path, **{f"t__riders__{n}__rider": f"Somebody with a long name {n}" for n in range(8)})
    assert title(browser) == "Somebody with a long name 0, Somebody with a long name 1, \u2026"


def test_on_a_technicians_day_no_title_names_a_child(browser: Browser) -> None:
    path = browser.begun()
    first = title(browser)
    sent = {"pin": "2468", "again": "2468", "kept": "7"}
    browser.post("/day/begin", fields_of(browser.get("/day").text, "/day/begin") | sent)
    assert ">trip-1</a>" in browser.get("/").text                    # as all lists have it on such a day
    browser.change(path, t__riders__0__rider="Ada")
    assert "rider: Ada" in browser.text("trip-1.yaml")
    assert title(browser) == first


@pytest.mark.parametrize(("written", "shown"), [
    ("[4y, 7y]", "4 to 7 years"), ("[18 months, 30 months]", "18 to 30 months"), ("4 to 7 years", "4 to 7 years"),
    ("[18 months, 4y]", "[18 months, 4y]"), ("5y", "5y")])
def test_a_band_of_ages_is_shown_as_people_write_it_and_stays_as_the_file_has_it(browser: Browser, written: str,
                                                                                shown: str) -> None:
    path = browser.begun()
    text = browser.text("trip-1.yaml").replace("    born:", f"    age: {written}", 1)
    (browser.folder / "trip-1.yaml").write_text(text)
    page = browser.get(path).text
    assert fields_of(page, path)["t.riders.0.age"] == shown
    browser.change(path, page=page, t__riders__1__mass="15 kg")
    assert f"age: {written}\n" in browser.text("trip-1.yaml")


def test_a_band_of_ages_is_typed_as_it_is_shown(browser: Browser) -> None:
    path = browser.begun()
    assert browser.change(path, t__riders__0__age="5 to 7 years").status_code == 200
    assert "age: 5 to 7 years" in browser.text("trip-1.yaml")
    page = browser.get(path).text
    wrong = browser.change(path, page=page, t__riders__0__age="9 to 7 years")
    assert wrong.status_code == 422
    assert "the lower one first" in wrong.text
    assert "age: 5 to 7 years" in browser.text("trip-1.yaml")


@pytest.mark.parametrize(("mass", "height", "shown"), [
    ("[10 kg, 29.5 kg]", "[760, 1240]", ("10-29.5 kg", "760-1240 mm")),
    ("[22 lb, 29.5 kg]", "[76 cm, 124 cm]", ("[22 lb, 29.5 kg]", "76-124 cm")),
    ("10-29 kg", "76-124 cm", ("10-29 kg", "76-124 cm"))])
def test_limits_that_a_file_lists_are_shown_as_labels_print_them(browser: Browser, mass: str, height: str,
                                                                 shown: tuple[str, str]) -> None:
    path = browser.begun()
    browser.change(path, do="seat:forward-only")
    listed = f"{{restraint: Seat 1, kind: forward-only, limits: {{mass: {mass}, height: {height}}}}}"
    text = re.sub(r"\{restraint: Seat 1[^}]*\}", listed, browser.text("trip-1.yaml"))
    (browser.folder / "trip-1.yaml").write_text(text)
    sent = fields_of(browser.get(path).text, path)
    assert (sent["t.restraints.0.limits.mass"], sent["t.restraints.0.limits.height"]) == shown
    answer = browser.change(path, t__restraints__0__width="44 cm",
                            t__restraints__0__limits__mass=f" {shown[0]}")        # nothing but a blank was typed
    assert answer.status_code == 200
    assert f"mass: {mass}, height: {height}" in browser.text("trip-1.yaml")


def test_what_does_not_read_stays_in_its_field_and_all_else_is_saved(browser: Browser) -> None:
    path = browser.begun()
    answer = browser.change(path, t__riders__0__mass="heavy", t__riders__1__mass="15 kg",
                            c__rows__1__trim__0__right="x")
    assert answer.status_code == 422
    sent = fields_of(answer.text, path)
    assert (sent["t.riders.0.mass"], sent["c.rows.1.trim.0.right"]) == ("heavy", "x")
    for name in ("t.riders.0.mass", "c.rows.1.trim.0.right"):
        field = re.search(rf'<input[^>]* name="{re.escape(name)}"[^>]*>', answer.text)
        assert field
        assert 'aria-invalid="true"' in field[0]
        assert f"{name}-wrong" in field[0]
        assert re.search(rf'id="{re.escape(name)}-wrong"[^>]*data-wrong', answer.text)
    assert "mass: 15 kg" in browser.text("trip-1.yaml")
    assert "heavy" not in browser.text("trip-1.yaml")


def test_an_unlikely_number_is_asked_again_and_can_be_so(browser: Browser) -> None:
    path = browser.begun()
    answer = browser.change(path, t__riders__0__born="2023-06-02", t__riders__0__mass="82 lb")
    assert answer.status_code == 200
    assert 'value="sure:t.riders.0.mass"' in answer.text
    assert "Is it so?" in answer.text
    again = browser.change(path, page=answer.text, do="sure:t.riders.0.mass")
    assert "sure:t.riders.0.mass" not in again.text
    assert "sure: {mass: 82 lb}" in browser.text("trip-1.yaml")


@pytest.mark.parametrize("where", ["/trips/trip-1", "/cars/vehicle-1"])
def test_an_unlikely_length_of_the_car_is_asked_again(browser: Browser, where: str) -> None:
    browser.begun()
    answer = browser.change(where, c__rows__1__trim__0__right="1460", c__rows__1__positions__0__ahead__free="40")
    assert 'value="sure:c.rows.1.positions.0.ahead.free"' in answer.text
    browser.change(where, do="sure:c.rows.1.positions.0.ahead.free")
    assert "sure: {free: 40}" in browser.text("vehicle-1.yaml")
    assert "sure:c.rows" not in browser.get(where).text


def test_an_adult_needs_no_seat(browser: Browser) -> None:
    path = browser.begun(children="1")
    page = browser.change(path, do="adult").text
    assert "Adult 1" in page
    assert "t.riders.1.height" in fields_of(page, path)
    assert "t.riders.1.born" not in fields_of(page, path)
    assert "adult: yes" in browser.text("trip-1.yaml")


def test_a_seat_of_the_library_comes_along_by_its_file(browser: Browser) -> None:
    made = browser.post("/seats", fields_of(browser.get("/seats").text, "/seats") | {"kind": "high-back"})
    seat = str(made.url.path)
    browser.change(seat, r__restraint="Green booster", r__width="42 cm")
    path = browser.begun()
    browser.change(path, do="own", own=f"own:{seat.rpartition('/')[2]}")
    page = browser.change(path, do="own", own="bundled:nook-35").text
    assert f"restraints: [{seat.rpartition('/')[2]}.yaml, nook-35]" in browser.text("trip-1.yaml")
    assert "Green booster" in page


def test_seats_are_added_with_a_name_of_their_own_and_taken_out(browser: Browser) -> None:
    path = browser.begun()
    browser.change(path, do="seat:high-back")
    browser.change(path, do="seat:high-back")
    assert "Seat 1" in browser.text("trip-1.yaml")
    assert "Seat 2" in browser.text("trip-1.yaml")
    browser.change(path, do="restraints:0")
    browser.change(path, do="seat:backless")
    assert "Seat 2 2" in browser.text("trip-1.yaml")
    for do in ("seat:", "seat:nonsense", "riders:99", "riders:x", "own", "sure:x", "nonsense", "sure:t.riders.0.mass"):
        before = browser.text("trip-1.yaml")
        assert browser.change(path, do=do).status_code == 200
        assert browser.text("trip-1.yaml") == before


def test_a_button_saves_what_was_typed_beside_it(browser: Browser) -> None:
    path = browser.begun()
    browser.change(path, do="child", t__riders__0__mass="7.2 kg")
    assert "mass: 7.2 kg" in browser.text("trip-1.yaml")
    assert "Child 4" in browser.text("trip-1.yaml")
    answer = browser.change(path, do="child", t__riders__0__height="tall")
    assert answer.status_code == 422
    assert fields_of(answer.text, path)["t.riders.0.height"] == "tall"
    assert "Child 5" in browser.text("trip-1.yaml")


def test_a_car_without_a_door_trim_gets_one(browser: Browser) -> None:
    path = browser.begun()
    text = browser.text("vehicle-1.yaml")
    (browser.folder / "vehicle-1.yaml").write_text(re.sub(r"    trim:\n      - .*\n", "", text))
    assert browser.change(path, c__rows__1__trim__0__right="1460").status_code == 200
    assert fields_of(browser.get(path).text, path)["c.rows.1.trim.0.right"] == "1460"


def test_the_drawing_moves_with_the_number(browser: Browser) -> None:
    path = browser.begun()

    def strip(page: str) -> str:
        start = page.index('id="strip-1"')
        return page[start:page.index("</svg>", start)]

    empty = strip(browser.get(path).text)
    assert "tape guess" in empty
    page = browser.change(path, live=True, c__rows__1__trim__0__right="1550", c__rows__1__positions__0__centre="330",
                          c__rows__1__positions__0__ahead__free="665",
                          c__rows__1__positions__0__lower_anchors="yes").text
    drawn = strip(page)
    assert 'x="1550"' in drawn                           # the right wall stands where it was measured
    assert 'd="M330 -6V' in drawn                        # and a line leads from the tape to the middle
    assert 'y="-665"' in drawn                           # the tape ahead is as long as the way is
    assert ">665 mm<" in drawn
    assert 'href="#c.rows.1.positions.0.centre-ask"' in drawn


def test_every_bundled_car_is_drawn_and_asked(browser: Browser) -> None:
    from datetime import date

    from seatplan.app.strips import row_strips
    from seatplan.files.load import load_vehicle

    for name in names("vehicle"):
        for row in row_strips(load_vehicle(name, date(2026, 11, 29))):
            assert row.left.at < row.right.at, name
            for seat in row.seats:
                assert seat.ends[0] < seat.middle.at < seat.ends[1], (name, seat.name)
            for left, right in zip(row.seats, row.seats[1:], strict=False):
                assert left.middle.at < right.middle.at, name


def test_no_page_names_anybody_in_a_link(browser: Browser) -> None:
    path = browser.begun()
    browser.change(path, t__riders__0__rider="Zanthia", do="seat:high-back")
    browser.change(path, t__restraints__0__restraint="Quillon", t__trip="Vexley")
    for page in ("/", path, "/cars", "/seats", "/cars/vehicle-1"):
        links = re.findall(r'(?:href|action|data-fetch|src)="([^"]*)"', browser.get(page).text)
        assert links
        assert not [link for link in links if re.search("zanthia|quillon|vexley", link, re.IGNORECASE)]


def test_begin_is_refused_for_what_is_not_on_its_list(browser: Browser) -> None:
    for wrong in ({"children": "9"}, {"children": "x"}, {"layout": "9"}, {"drives": "9"}, {"rules": "../x"},
                  {"car": "nowhere"}):
        sent = fields_of(browser.get("/").text, "/trips") | wrong
        assert browser.post("/trips", sent).status_code == 422
    assert not list(browser.folder.glob("*.yaml"))
    assert browser.post("/seats", fields_of(browser.get("/seats").text, "/seats")).status_code == 422


def test_a_trip_may_take_a_car_of_the_library(browser: Browser) -> None:
    browser.post("/cars", fields_of(browser.get("/cars").text, "/cars"))
    browser.begun(car="vehicle-1")
    assert "vehicle: vehicle-1.yaml" in browser.text("trip-1.yaml")
    assert len(list(browser.folder.glob("vehicle-*.yaml"))) == 1
    assert browser.get("/cars/trip-1").status_code == 422
