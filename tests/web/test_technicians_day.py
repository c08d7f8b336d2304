"""The technician's day: its start and list, screens at the car, the checkup, the end of a view."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

pytest.importorskip("starlette")
pytest.importorskip("httpx")

import yaml
from day_browser import Browser, begun, house, screen_of, with_trip

from seatplan.app.checking_day import add, file_of, the_day
from seatplan.app.checkups import AskCheckups, checkups
from seatplan.app.record import Record, record
from seatplan.files.library import find

WHOLE = pytest.mark.whole
NAMES = ("Oslo", "Wren", "Ines", "school run")
FOLD_OUT = ("built_in: {restraint: Fold-out, modes: [{mode: %s, limits: {mass: [15 kg, 36 kg], height: [900, 1500]},\n"
            "          seat_up: 100, installations: [{by: built-in}]}]}\n        ")


def _trip(folder: Path, number: str = "trip-1") -> dict:
    return yaml.safe_load((folder / f"{number}.yaml").read_text())


# --- the start of a day

@pytest.mark.parametrize(("typed", "wrong"), [
    ({"pin": "12", "again": "12", "kept": "7"}, "the PIN is too short"),
    ({"pin": "2468", "again": "2469", "kept": "7"}, "the two PINs are not the same"),
    ({"pin": "2468", "again": "2468", "kept": ""}, "nobody said how long families are kept"),
    ({"pin": "2468", "again": "2468", "kept": "-3"}, "nobody said how long families are kept"),
])
def test_a_day_begins_with_a_pin_and_a_rule(tmp_path, typed, wrong):
    browser = Browser(house(tmp_path))
    assert "Begin a day" in browser.get("/day")
    page = browser.post("/day/begin", stays="no", **typed)
    assert browser.status == 422
    assert wrong in page
    assert "2468" not in page
    assert the_day(tmp_path) is None
    assert browser.house.secret is None


def test_the_rule_is_said_and_stands_in_a_file_without_names(tmp_path):
    browser = with_trip(tmp_path, kept="30", stays="yes")
    page = browser.get("/day")
    assert "A family is deleted 30 days after its day." in page
    assert "hashes of its checkups stay" in page
    text = file_of(tmp_path).read_text()
    assert yaml.safe_load(text)["families"][0]["number"] == "trip-1"
    assert not any(name in text for name in NAMES)


def test_a_server_that_was_started_anew_asks_for_a_pin_before_anything_of_the_day(tmp_path):
    with_trip(tmp_path)
    again = Browser(house(tmp_path))
    for path in ("/day", "/day/trip-1", "/day/trip-1/at/1", "/day/trip-1/checkup", "/day/trip-1/checkup/page",
                 "/day/trip-1/delete"):
        page = again.get(path)
        assert "Begin a day" in page, path
        assert not any(name in page for name in NAMES), path


def test_a_damaged_file_of_the_day_is_told_and_not_written_over(tmp_path):
    browser = with_trip(tmp_path)
    file_of(tmp_path).write_text("begun: [")
    page = browser.get("/day")
    assert browser.status == 422
    assert "the file of the day cannot be read" in page
    browser.raw("/day/begin", {"form": browser.house.doors.session(_key(browser)).form, "kept": "7", "stays": "no"})
    assert file_of(tmp_path).read_text() == "begun: ["


def _key(browser: Browser) -> str:
    return browser.client.cookies["seatplan-session"]


# --- the list

def test_the_list_has_numbers_and_states_and_no_name(tmp_path):
    browser = with_trip(tmp_path)
    page = browser.get("/day")
    assert "trip-1" in page
    assert "open points: " in page
    assert not any(name in page for name in NAMES)
    browser.get("/day/trip-1")
    browser.post("/day/trip-1", do="go-on:1")
    assert "under way: 0 of 3 hold" in browser.get("/day")


def test_the_page_of_a_family_is_headed_by_its_number_and_its_children_and_titled_by_number_alone(tmp_path):
    browser = with_trip(tmp_path)
    for path, title in (("/day/trip-1", "trip-1"), ("/day/trip-1/checkup", "Checkup")):
        page = browser.get(path)
        head = page[page.index("<h1"):page.index("</h1>")]
        assert "trip-1" in head
        assert all(name in head for name in ("Oslo", "Wren", "Tamsin")), path
        assert "Ines" not in head                                    # who drives is no child
        assert f"<title>{title}</title>" in page


def test_on_a_day_no_other_page_lists_a_family_by_name(tmp_path):
    browser = with_trip(tmp_path)
    assert "trip-1" in browser.get("/")
    assert not any(name in browser.page for name in NAMES)


def test_a_new_family_is_a_number(tmp_path):
    browser = begun(tmp_path)
    browser.post("/day/new", how="new", children="2", layout="2-3")
    assert browser.url == "/trips/trip-1"
    assert len(_trip(tmp_path)["riders"]) == 2
    assert "trip-1" in browser.get("/day")


def test_a_known_family_in_a_second_car_takes_nothing_of_the_first_along(tmp_path):
    browser = with_trip(tmp_path)
    path = screen_of(browser, "Oslo")
    browser.get(path)
    browser.post(path, do="fails:in")
    assert _trip(tmp_path)["tried"]
    browser.get("/day")
    browser.post("/day/new", how="known", number="1", layout="2-3")      # three inputs
    assert browser.url == "/trips/trip-2"
    first, second = _trip(tmp_path), _trip(tmp_path, "trip-2")
    assert [one["rider"] for one in second["riders"]] == [one["rider"] for one in first["riders"]]
    assert second["restraints"] == first["restraints"]
    assert second["vehicle"] == "vehicle-1.yaml"
    assert not {"installed", "under_way", "tried", "arrived", "front", "airbags_off"} & second.keys()
    assert not any("at" in wish or "not_at" in wish for wish in second.get("wishes") or ())
    assert {one.number for one in the_day(tmp_path).family("trip-1")} == {"trip-1", "trip-2"}


def test_a_long_list_does_not_wait_for_all_states(tmp_path):
    browser = begun(tmp_path)
    for n in range(1, 8):
        (tmp_path / f"trip-{n}.yaml").write_text("trip: x\nvehicle: lindholm-estate\ndrives: 1L\n"
                                                 f"riders: [{{rider: R{n}, adult: yes}}]\n")
        add(tmp_path, f"trip-{n}")
    page = browser.get("/day")
    assert page.count("not worked out yet") == 2
    assert re.findall(r'class="number">(trip-\d)', page) == [f"trip-{n}" for n in range(7, 0, -1)]
    assert "not worked out yet" not in browser.get("/day")


def test_an_unknown_number_makes_nothing(tmp_path):
    browser = with_trip(tmp_path)
    browser.get("/day")
    page = browser.post("/day/new", how="known", number="../trip-1", layout="2-3")
    assert browser.status == 422
    assert "no family of the library has that number" in page
    assert not list(tmp_path.glob("vehicle-*.yaml"))


# --- a screen

def test_it_holds_is_refused_without_readings_and_says_which_at_their_boxes(tmp_path):
    browser = with_trip(tmp_path)
    path = screen_of(browser, "Wren")
    browser.get(path)
    before = (tmp_path / "trip-1.yaml").read_bytes()
    page = browser.post(path, do="holds", read__sideways="12")
    assert browser.status == 422
    assert (tmp_path / "trip-1.yaml").read_bytes() == before
    assert 'value="12"' in page                                             # what was typed is still there
    assert _wrong_boxes(page) == {"forwards", "level"}


def _wrong_boxes(page: str) -> set[str]:
    return set(re.findall(r'id="read\.([a-z_]+)-wrong" class="amiss" data-wrong', page))


def _need(browser: Browser, path: str) -> list[str]:
    """The readings without which it is not taken, as the page says."""
    page = browser.get(path)
    return [key for key, how in re.findall(r'id="read\.([a-z_]+)-how" class="how">(.*?)</span>', page)
            if "<strong>Needed before it holds" in how]


@pytest.mark.parametrize("lacking", ["level", *(pytest.param(one, marks=WHOLE) for one in ("sideways", "forwards"))])
def test_every_reading_that_is_asked_for_is_needed(tmp_path, lacking):
    browser = with_trip(tmp_path)
    path = screen_of(browser, "Wren")
    assert set(_need(browser, path)) == {"sideways", "forwards", "level"}
    good = {"read__sideways": "12", "read__forwards": "9", "read__level": "yes"}
    del good[f"read__{lacking}"]
    page = browser.post(path, do="holds", **good)
    assert browser.status == 422
    assert _wrong_boxes(page) == {lacking}
    assert not _trip(tmp_path).get("installed", {}).get("Wren", {}).get("readings")


@pytest.mark.parametrize(("read", "said"), [
    ({"read__sideways": "26", "read__forwards": "9", "read__level": "yes"}, "at most 25 mm"),
    ({"read__sideways": "2", "read__forwards": "38 mm", "read__level": "yes"}, "at most 25 mm"),
    ({"read__sideways": "2", "read__forwards": "9", "read__level": "no"}, "not level"),
    ({"read__sideways": "2", "read__forwards": "9", "read__level": "yes", "read__head_below_top": "3"},
     "the head is below the top"),
    ({"read__sideways": "twelve", "read__forwards": "9", "read__level": "yes"}, "twelve"),
])
def test_it_holds_is_refused_where_a_reading_says_otherwise(tmp_path, read, said):
    browser = with_trip(tmp_path)
    path = screen_of(browser, "Wren")
    browser.get(path)
    before = (tmp_path / "trip-1.yaml").read_bytes()
    page = browser.post(path, do="holds", **read)
    assert browser.status == 422
    assert said in page
    assert (tmp_path / "trip-1.yaml").read_bytes() == before


def test_a_limit_itself_is_taken(tmp_path):
    browser = with_trip(tmp_path)
    path = screen_of(browser, "Wren")
    browser.get(path)
    browser.post(path, do="holds", read__sideways="25", read__forwards="25", read__level="yes")
    assert browser.status == 200
    assert _trip(tmp_path)["installed"]["Wren"]["readings"]["sideways"] == 25


def test_inches_are_read_as_inches(tmp_path):
    browser = with_trip(tmp_path)
    browser.client.cookies.set("seatplan-manner", "en-customary")
    path = screen_of(browser, "Wren")
    browser.get(path)
    browser.post(path, do="holds", read__sideways="1 1/2", read__forwards="1/4", read__level="yes")
    assert browser.status == 422
    browser.post(path, do="holds", read__sideways="1/2", read__forwards="6 mm", read__level="yes")
    read = _trip(tmp_path)["installed"]["Wren"]["readings"]
    assert read["sideways"] in (12, 13, "1/2 in")
    assert read["forwards"] in (6, "6 mm")


def test_what_cannot_be_deleted_is_told(tmp_path, monkeypatch):
    browser = with_trip(tmp_path)
    browser.get("/day/trip-1/checkup")
    browser.post("/day/trip-1/checkup", who="")
    browser.get("/day/trip-1/delete")

    def refused(self: Path, missing_ok: bool = False) -> None:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(Path, "unlink", refused)
    page = browser.post("/day/trip-1/delete")
    assert browser.status == 507
    assert "cannot be made or deleted: permission denied" in page
    assert the_day(tmp_path).families


def test_what_holds_leads_to_the_next_screen(tmp_path):
    browser = with_trip(tmp_path)
    browser.get("/day/trip-1")
    first = re.search(r'href="(/day/trip-1/at/\d+)" class="big"', browser.page)[1]
    need = _need(browser, first)
    browser.post(first, do="holds", **{f"read__{key}": "yes" if key in ("level", "belt_fits") else "8" for key in need})
    assert browser.status == 200
    assert browser.url.startswith("/day/trip-1/at/")
    assert browser.url != first
    assert 'class="told-now"' in browser.page


def test_where_the_belt_lies_on_the_child_the_button_is_the_reading(tmp_path):
    browser = with_trip(tmp_path)
    path = screen_of(browser, "Tamsin")
    assert 'name="read.belt_fits"' not in browser.get(path)
    browser.post(path, do="holds")
    assert _trip(tmp_path)["tried"][-1]["readings"]["belt_fits"] is True
    assert "in, and holds" in browser.get("/day/trip-1")
    browser.get(path)
    browser.post(path, do="fails:belt")
    assert _trip(tmp_path)["tried"][-1]["readings"]["belt_fits"] is False
    assert "in, and holds" not in browser.get("/day/trip-1")


def test_an_unlikely_reading_is_asked_again_and_taken_when_it_is_so(tmp_path):
    browser = with_trip(tmp_path)
    path = screen_of(browser, "Wren")
    browser.get(path)
    typed = {"read__sideways": "12", "read__forwards": "9", "read__level": "yes", "read__gap_ahead": "4000"}
    if "read.gap_ahead" not in browser.page:
        typed["read__head_below_top"] = typed.pop("read__gap_ahead")
    page = browser.post(path, do="holds", **typed)
    assert browser.status == 422
    assert "however unlikely" in page


def test_from_a_failed_try_to_the_next_plan_is_one_input(tmp_path):
    browser = with_trip(tmp_path)
    path = screen_of(browser, "Oslo")
    page = browser.get(path)
    seat = re.search(r'<h1><span class="seat">(\w+)</span> Oslo', page)[1]
    page = browser.post(path, do="fails:in")                                 # the reason is the button
    assert browser.status == 200
    assert browser.url == "/day/trip-1"
    entry = _trip(tmp_path)["tried"][-1]
    assert entry["failed"] in ("yes", True)
    assert (entry["rider"], entry["position"]) == ("Oslo", seat)
    assert "What to try next" in page
    assert 'class="big">Next: ' in page


def test_a_failed_try_notes_the_reading_that_failed(tmp_path):
    browser = with_trip(tmp_path)
    path = screen_of(browser, "Wren")
    browser.get(path)
    browser.post(path, do="fails:moves", read__sideways="38")
    entry = _trip(tmp_path)["tried"][-1]
    assert entry["readings"]["sideways"] == 38
    browser.get(screen_of(browser, "Wren"))
    browser.post(browser.url, do="fails:level")
    assert _trip(tmp_path)["tried"][-1].get("readings", {}).get("level", False) in ("no", False)


def test_a_form_of_a_state_that_is_no_more_writes_nothing(tmp_path):
    """Two people on one family: the second sees what the first wrote before anything of his is taken."""
    one = with_trip(tmp_path)
    other = Browser(one.house)
    path = screen_of(one, "Oslo")
    one.get(path)
    other.get(path)
    one.post(path, do="fails:in")
    before = (tmp_path / "trip-1.yaml").read_bytes()
    page = other.post(path, do="fails:in", read__sideways="7")
    assert other.status == 409
    assert "Somebody else wrote something down meanwhile" in page
    assert (tmp_path / "trip-1.yaml").read_bytes() == before


def test_go_on_give_up_and_undo(tmp_path):
    browser = with_trip(tmp_path)
    start = (tmp_path / "trip-1.yaml").read_bytes()
    browser.get("/day/trip-1")
    browser.post("/day/trip-1", do="go-on:2")
    second = _trip(tmp_path)["under_way"]
    browser.post("/day/trip-1", do="give-up")
    assert _trip(tmp_path)["under_way"] != second
    browser.post("/day/trip-1", do="undo")
    assert _trip(tmp_path)["under_way"] == second
    browser.post("/day/trip-1", do="undo")
    assert (tmp_path / "trip-1.yaml").read_bytes() == start
    page = browser.post("/day/trip-1", do="undo")
    assert browser.status == 422
    assert "nothing to take back" in page


def _found(browser: Browser, rider: int, restraint: str, seat: str, by: str = "", fits: str = "") -> str:
    """Note how a rider was found; the page that comes."""
    browser.get("/day/trip-1")
    return browser.post("/day/trip-1", **{"do": f"found:{rider}", f"restraint-{rider}": restraint,
                                          f"seat-{rider}": seat, f"by-{rider}": by, f"fits-{rider}": fits})


def _told(page: str) -> str:
    """What a page tells of what was just done."""
    told = page.partition('id="told"')[2].partition(">")[2].partition("</section>")[0]
    return " ".join(re.sub(r"<[^>]+>", " ", told).split())


def test_as_found_at_arrival(tmp_path):
    browser = with_trip(tmp_path)
    riders = [one["rider"] for one in _trip(tmp_path)["riders"]]
    wren = riders.index("Wren")
    page = _found(browser, wren, "1", "2R")
    assert browser.status == 200, page
    assert "Noted, as it is in the car: Wren rides at 2R in" in page
    assert "That it holds is not noted by that." in page
    assert _trip(tmp_path)["arrived"]["Wren"]["position"] == "2R"
    _found(browser, wren, "", "2R")
    assert browser.status == 422
    assert "choose what it was" in browser.page


def test_what_is_noted_for_another_is_taken_when_somebody_says_it_is_so(tmp_path):
    browser = with_trip(tmp_path)
    riders = [one["rider"] for one in _trip(tmp_path)["riders"]]
    before = (tmp_path / "trip-1.yaml").read_bytes()
    page = _found(browser, riders.index("Oslo"), "0", "2R")       # where Wren is noted
    assert browser.status == 422
    assert "is noted for Wren" in page
    assert (tmp_path / "trip-1.yaml").read_bytes() == before
    again = re.search(r'<div[^>]*id="wrong".*?</form>', page, re.DOTALL)[0]
    sent = dict(re.findall(r'<input type="hidden" name="([^"]+)" value="([^"]*)"', again))
    assert ">It is so</button>" in again
    page = browser.raw("/day/trip-1", {**sent, "do": re.search(r'name="do" value="([^"]+)"', again)[1]})
    assert browser.status == 200
    assert _trip(tmp_path)["installed"]["Oslo"]["position"] == "2R"
    assert "No longer noted as installed: Wren at 2R" in page


def test_how_it_must_not_be_used_is_said_first(tmp_path):
    browser = with_trip(tmp_path)
    riders = [one["rider"] for one in _trip(tmp_path)["riders"]]
    page = _found(browser, riders.index("Wren"), "belt", "2R")     # a small child on the belt alone
    assert browser.status == 422
    assert "choose whether the belt fits" in page
    page = _found(browser, riders.index("Wren"), "belt", "2R", fits="no")
    assert browser.status == 200, page
    told = _told(page)
    assert told.startswith("As it is in the car now it must not be used:"), told
    assert told.index("(read-at-the-car)") < told.index("Noted, as it is in the car: Wren rides at 2R with the seat")
    here = _trip(tmp_path)["installed"]["Wren"]
    assert "restraint" not in here
    assert here["readings"]["belt_fits"] is False


def test_a_child_on_the_vehicle_belt_alone(tmp_path):
    """How the belt lies is the reading; a no is out on that seat for that child."""
    browser = with_trip(tmp_path, "i-size-family")
    path = screen_of(browser, "Noor")
    page = browser.get(path)
    assert " on the vehicle belt</h1>" in page
    browser.post(path, do="holds")
    assert browser.status == 200, browser.page
    assert _trip(tmp_path)["tried"][-1]["readings"] == {"belt_fits": True}
    assert _trip(tmp_path)["installed"]["Noor"]["position"] == "2C"
    assert "in, and holds" in browser.get("/day/trip-1")
    assert "the belt fits" in browser.get(path)
    browser.post(path, do="fails:other")
    assert browser.status == 422
    browser.get(path)
    browser.post(path, do="fails:belt")
    assert _trip(tmp_path)["tried"][-1]["readings"] == {"belt_fits": False}
    assert "Noor" not in _trip(tmp_path)["installed"]
    page = browser.get("/day/trip-1")
    assert re.search(r'<span class="seat">1R</span> Noor', page)


@pytest.mark.parametrize(("mode", "reading", "value"), [("backless-booster", "belt_fits", ""),
                                                        ("forward-facing-harness", "straps", "450")])
def test_a_part_of_the_car_is_noted(tmp_path, mode, reading, value):
    car = find("vehicle", "harrow-estate").read_text()
    at = car.index("position: 2R") + len("position: 2R\n        ")
    (tmp_path / "vehicle-1.yaml").write_text(car[:at] + FOLD_OUT % mode + car[at:])
    browser = with_trip(tmp_path)
    trip = tmp_path / "trip-1.yaml"
    trip.write_text(trip.read_text().replace("vehicle: harrow-estate", "vehicle: vehicle-1.yaml").replace(
        "Wren: {restraint: Nook, position: 2R}", "Wren: {restraint: Nook, position: 2C}"))
    record(Record(trip=str(trip), rider="Tamsin", restraint="Fold-out", position="2R", **{reading: value or "yes"}))
    path = screen_of(browser, "Tamsin")
    page = browser.get(path)
    if value:
        assert _need(browser, path) == [reading]
        assert "It is a part of the car." in page
        browser.post(path, do="holds")
        assert browser.status == 422
        assert _wrong_boxes(browser.page) == {reading}
    else:
        assert f'name="read.{reading}"' not in page
    browser.post(path, do="holds", **({f"read__{reading}": value} if value else {}))
    assert browser.status == 200, browser.page
    entry = _trip(tmp_path)["tried"][-1]
    assert (entry["restraint"], entry.get("by")) == ("Fold-out", None)
    assert str(entry["readings"][reading]) == (value or "True")
    assert len(_trip(tmp_path)["tried"]) == 2
    assert "in, and holds" in browser.get("/day/trip-1")


# --- the checkup

def test_a_checkup_is_shown_and_kept_each_as_a_new_file(tmp_path):
    browser = with_trip(tmp_path)
    page = browser.get("/day/trip-1/checkup/page")
    assert 'id="seatplan-checkup"' in page
    assert "style-src 'sha256-" in browser.headers["content-security-policy"]
    assert browser.headers["cache-control"] == "no-store"
    for n in (1, 2):
        browser.get("/day/trip-1/checkup")
        browser.post("/day/trip-1/checkup", who="the technician")
        assert len(list((tmp_path / "checkups").iterdir())) == n
    listed = checkups(AskCheckups(kind="checkups", folder=str(tmp_path / "checkups"))).answer
    assert [one.wrong for one in listed.filed] == ["", ""]
    assert all(path.name.startswith("trip-1-") for path in (tmp_path / "checkups").iterdir())
    assert 'id="seatplan-checkup"' in browser.get("/day/trip-1/checkup/2")
    assert "saved checkups: 2" in browser.get("/day")


# --- the end of a view

OLD = ("/", "/trips/trip-1", "/day", "/day/trip-1", "/day/trip-1/at/1", "/day/trip-1/checkup",
       "/day/trip-1/checkup/page", "/day/trip-1/delete", "/cars")


def test_after_next_family_every_link_gives_the_lock_page(tmp_path):
    browser = with_trip(tmp_path)
    browser.get("/day/trip-1")
    assert any(name in browser.page for name in NAMES)
    assert browser.headers["cache-control"] == "no-store"
    browser.post("/day/lock")
    assert browser.url == "/enter"
    for path in OLD:
        page = browser.get(path)
        assert browser.status == 403, path
        assert "<h1>Locked</h1>" in page, path
        assert browser.headers["cache-control"] == "no-store"
        assert not any(name in page for name in NAMES), path


def test_after_next_family_nothing_that_was_open_can_be_sent(tmp_path):
    browser = with_trip(tmp_path)
    path = screen_of(browser, "Oslo")
    browser.get(path)
    old, key = browser.page, _key(browser)
    browser.post("/day/lock")
    before = (tmp_path / "trip-1.yaml").read_bytes()
    browser.page = old
    assert "<h1>Locked</h1>" in browser.post(path, do="fails:in")
    assert browser.status == 403
    browser.client.cookies.set("seatplan-session", key)           # a cookie that was kept from before
    browser.get("/day/trip-1")
    assert browser.status == 403
    assert (tmp_path / "trip-1.yaml").read_bytes() == before


def test_the_pin_opens_the_list_and_no_family(tmp_path):
    browser = with_trip(tmp_path)
    browser.get("/day/trip-1")
    old = browser.page
    browser.post("/day/lock")
    browser.post("/enter", word="1357")
    assert browser.status == 403
    assert "That does not open it." in browser.page
    browser.post("/enter", word="2468")
    assert browser.url == "/day"
    assert browser.status == 200
    assert not any(name in browser.page for name in NAMES)
    browser.page = old                                            # a form from before the lock
    browser.post("/day/trip-1", do="go-on:1")
    assert browser.status == 403


def test_wrong_pins_have_to_wait(tmp_path):
    browser = with_trip(tmp_path)
    browser.get("/day")
    browser.post("/day/lock")
    for _ in range(5):
        browser.post("/enter", word="0000")
    assert browser.status == 429
    assert "Too many wrong tries" in browser.page
    browser.post("/enter", word="2468")
    assert browser.status == 429
    assert (browser.get("/day") and browser.status == 403) or browser.status == 429


def test_what_was_told_once_is_not_told_to_the_next_family(tmp_path):
    browser = with_trip(tmp_path)
    path = screen_of(browser, "Oslo")
    browser.get(path)
    browser.client.follow_redirects = False
    browser.post(path, do="fails:in")
    session = browser.house.doors.session(_key(browser))
    assert session.said
    browser.raw("/day/lock", {"form": session.form})
    assert not session.said


def test_every_form_of_the_day_keeps_browsers_from_filling_in(tmp_path):
    browser = with_trip(tmp_path)
    for path in ("/day", "/day/trip-1", "/day/trip-1/at/1", "/day/trip-1/checkup", "/day/trip-1/delete"):
        page = browser.get(path)
        assert all('autocomplete="off"' in form for form in re.findall(r"<form [^>]*>", page)), path
        assert all('autocomplete="off"' in box for box in re.findall(r'<input type="text"[^>]*>', page)), path
        assert "Next family" in page
