"""Three stories in a real browser, each from an empty library: a family with three children for one row, a technician's
day with a second car, a half-known car that readings make surer. What a page says is held against the command line on
the same files, and every page against the accessibility checker."""

from __future__ import annotations

import contextlib
import io
import json
import os
import re
import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

pytest.importorskip("starlette")
pytest.importorskip("uvicorn")
pytest.importorskip("httpx")

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "web"))

from invented_family import BELTS, CAR, KINDS, LABELS, SEATS, SECOND_CAR, TAPE, children
from running_server import Server, served
from scripted_person import Person, seated

from seatplan.cli.main import run as seatplan
from seatplan.files.library import find

pytestmark = pytest.mark.skipif(os.name != "posix", reason="the server is stopped by signals as POSIX has them")
PHONE, DESKTOP = {"width": 390, "height": 844}, {"width": 1280, "height": 900}
#: window, and whether scripts run
_DESKTOP, _PHONE = pytest.param(DESKTOP, True, id="desktop"), pytest.param(PHONE, True, id="phone")
_DESKTOP_PLAIN = pytest.param(DESKTOP, False, id="desktop without script")
_PHONE_PLAIN = pytest.param(PHONE, False, id="phone without script")


@pytest.fixture
def library(tmp_path: Path) -> Path:
    """An empty one."""
    made = tmp_path / "library"
    made.mkdir(mode=0o700)
    return made


@pytest.fixture
def server(library: Path, tmp_path: Path) -> Iterator[Server]:
    with served(library, tmp_path / "log") as running:
        yield running


@pytest.fixture
def comes_in(server: Server, chromium: Any) -> Iterator[Callable[..., Person]]:
    """Somebody who opens the link that the server prints."""
    contexts: list[Any] = []

    def came(window: dict[str, int] = DESKTOP, script: bool = True, keys: bool = False, **more: Any) -> Person:
        contexts.append(chromium.new_context(viewport=window, java_script_enabled=script, locale="en-US", **more))
        page = contexts[-1].new_page()
        page.set_default_timeout(30_000)
        page.goto(server.link)
        return Person(page, script, keys)

    yield came
    for context in contexts:
        context.close()


# --- what the stories share

def first_answer(person: Person) -> None:
    """A new trip of three children in an unknown car, up to its first answer."""
    person.choose("children", "3")
    person.choose("layout", "2-3")
    person.press("form.begin button.save")
    answers(person)


def answers(person: Person) -> None:
    """What the first answer takes once the trip is there."""
    for kind in KINDS:
        person.press(f'button[name="do"][value="seat:{kind}"]')
    person.put(children(), "t.riders.", save=False)
    person.put(LABELS, "t.restraints.", save=False)
    person.put(BELTS, "c.")


def rest_of_the_car(person: Person) -> None:
    """What makes all three likely."""
    person.put(SEATS, "t.restraints.", save=False)
    person.put(CAR | TAPE, "c.")


def verdict(person: Person) -> str:
    return str(person.page.locator("#answer").get_attribute("data-verdict"))


def told_by_arrange(trip: Path) -> dict[str, Any]:
    """What the command says of a file."""
    with contextlib.redirect_stdout(io.StringIO()) as out, contextlib.redirect_stderr(io.StringIO()), \
            contextlib.suppress(SystemExit):
        seatplan(["arrange", str(trip), "--json"])
    told = json.loads(out.getvalue())
    assert isinstance(told, dict)
    return told


def same_as_arrange(person: Person, trip: Path) -> dict[str, Any]:
    """Verdict and who sits where are on the page what the command says; that."""
    told = told_by_arrange(trip)
    assert verdict(person) == told["verdict"]
    assert seated(person.page) == {seat["rider"]: seat["position"] for seat in told["arrangements"][0]["seats"]}
    return told


def goes_to(person: Person, where: str) -> None:
    """Follow a link of the page."""
    person.press(f'main a[href="{where}"]')
    assert re.sub(r"#.*", "", person.page.url).endswith(where)


# --- the family

@pytest.mark.parametrize(("window", "script"), [_DESKTOP, _PHONE, _PHONE_PLAIN])
def test_a_family_with_three_children_for_one_row(comes_in: Callable[..., Person], library: Path,
                                                  window: dict[str, int], script: bool) -> None:
    person = comes_in(window, script)
    page = person.page
    with person.within(60, "all three likely"):
        with person.within(40, "first answer"):
            first_answer(person)
        assert verdict(person) == "unmeasured"
        assert set(seated(page)) == {"Child 1", "Child 2", "Child 3"}
        find_first = page.locator("#answer .find li")
        assert find_first.count() >= 1
        assert find_first.first.inner_text().strip()
        same_as_arrange(person, library / "trip-1.yaml")
        rest_of_the_car(person)
    assert verdict(person) == "likely"
    before = same_as_arrange(person, library / "trip-1.yaml")
    assert len(seated(page)) == 3
    assert page.locator("footer").inner_text().startswith("Caution: ")

    goes_to(person, "/trips/trip-1/measure")
    box = page.locator('input[name$=":2C.centre"]')
    assert box.count() == 1
    person.fill(box.get_attribute("name"), "775")
    person.press("form.readings button.save")
    assert ": 775 mm" in page.locator("main .done").inner_text()
    surer = told_by_arrange(library / "trip-1.yaml")
    assert set(surer["arrangements"][0]["estimates"]) < set(before["arrangements"][0]["estimates"])

    goes_to(person, "/trips/trip-1/move")
    who = seated(page)
    person.choose("rider", "0")
    person.choose("seat", next(seat for rider, seat in who.items() if rider != "Child 1"))
    if not script:
        person.press("form.what-if button.save")
    page.locator("#what-if:has-text('Child 1')").wait_for()

    goes_to(person, "/trips/trip-1/papers")
    person.press('form[action="/trips/trip-1/sheet"] button')
    assert page.url.partition("?")[0].endswith("/trips/trip-1/sheet")
    assert all(child in page.locator("body").inner_text() for child in who)
    assert "certified technician" in page.locator("body").inner_text()


def test_a_child_that_is_named_is_called_so_all_over_the_page(comes_in: Callable[..., Person], library: Path) -> None:
    person = comes_in()
    page = person.page
    person.choose("children", "2")
    person.press("form.begin button.save")
    person.put({"0.rider": "Ada"}, "t.riders.")
    assert page.locator("h1").inner_text() == "Ada and Child 2"
    assert page.locator('input[name="t.trip"]').input_value() == "Ada and Child 2"
    assert page.locator("#rider-0-name").inner_text() == "Ada"
    assert page.locator('#rider-0 button[name="do"].less').inner_text() == "Take Ada out"
    person.put({"trip": "School"}, "t.")
    person.put({"1.rider": "Ben"}, "t.riders.")
    assert page.locator("h1").inner_text() == "School"
    assert "trip: School" in (library / "trip-1.yaml").read_text(encoding="utf-8")
    person.press('button[name="do"][value="riders:0"]')
    assert page.locator("#rider-0-name").inner_text() == "Ben"


def test_the_family_by_keyboard_alone(comes_in: Callable[..., Person], library: Path) -> None:
    person = comes_in(keys=True)
    page = person.page
    with person.within(40, "first answer by keyboard"):
        first_answer(person)
    same_as_arrange(person, library / "trip-1.yaml")
    goes_to(person, "/trips/trip-1/move")
    person.choose("rider", "1")
    person.choose("seat", "2R")
    page.locator("#what-if:has-text('Child 2')").wait_for()
    goes_to(person, "/trips/trip-1/papers")
    person.press('form[action="/trips/trip-1/sheet"] button')
    assert "Child 2" in page.locator("body").inner_text()


# --- the technician

@pytest.mark.parametrize(("window", "script"), [_PHONE, _DESKTOP_PLAIN])
def test_a_day_with_a_second_car_a_failed_try_and_a_checkup(comes_in: Callable[..., Person], library: Path,
                                                            window: dict[str, int], script: bool) -> None:
    person = comes_in(window, script)
    page = person.page
    person.press('header a[href="/day"]')
    begin_the_day(person)
    person.press('form[action="/day/new"]:has(input[value="new"]) button')
    answers(person)
    rest_of_the_car(person)
    assert verdict(person) == "likely"
    person.press('header a[href="/day"]')
    assert "Child" not in page.locator("main").inner_text()

    with person.within(25, "second car"):
        person.fill("number", "1")
        person.choose_in('form:has(input[name="number"])', "layout", "2-3")
        person.press('form:has(input[name="number"]) button')
        person.put(SECOND_CAR, "c.")
    assert verdict(person) == "likely"
    same_as_arrange(person, library / "trip-2.yaml")

    page.goto(page.url.partition("/trips/")[0] + "/day/trip-2")
    person.press("main a.big")
    while not page.locator('button[name="do"][value="fails:in"]').count():
        person.press('nav.around a:has-text("After it")')
    tried = page.locator("h1").inner_text()
    with person.within(4, "failed try to next plan"):
        person.press('button[name="do"][value="fails:in"]')
        assert page.locator("#told").count() == 1
        person.press("main a.big")
    assert page.locator("h1").inner_text() != tried
    holds_only_with_readings(person, library / "trip-2.yaml")
    checked_up_and_locked(person, library)


def begin_the_day(person: Person) -> None:
    person.fill("pin", "2468")
    person.fill("again", "2468")
    person.choose("kept", "7")
    person.press("form.begin-day button.big")


def holds_only_with_readings(person: Person, trip: Path) -> None:
    """The screen at the car: that it holds is refused until each reading is there."""
    page = person.page
    while not page.locator(".reading:has-text('Needed before it holds.')").count():
        person.press('nav.around a:has-text("After it")')
    before = trip.read_bytes()
    person.press('button[name="do"][value="holds"]')
    wrong = page.locator("#wrong")
    assert "Nothing was written" in wrong.inner_text()
    missing = [str(where).partition("read.")[2] for where in wrong.locator("a").evaluate_all(
        "links => links.map(link => link.getAttribute('href'))")]
    assert missing
    assert trip.read_bytes() == before
    for reading in missing:
        name = f"read.{reading}"
        if page.locator(f'input[type=radio][name="{name}"]').count():
            person.choose(name, "yes")
        else:
            person.fill(name, "8")
    person.press('button[name="do"][value="holds"]')
    assert page.locator("#wrong").count() == 0
    assert trip.read_bytes() != before
    assert "tried" in trip.read_text(encoding="utf-8")


def checked_up_and_locked(person: Person, library: Path) -> None:
    page = person.page
    address = page.url.partition("/day")[0]
    page.goto(f"{address}/day/trip-2/checkup")
    person.press('form.keep button')
    assert len(list((library / "checkups").iterdir())) == 1
    page.goto(f"{address}/day/trip-2/checkup/page")
    assert "Child 1" in page.locator("body").inner_text()
    page.goto(f"{address}/day/trip-2")
    assert "Child" in page.locator("main").inner_text()
    person.press("button.next-family")
    for _ in range(4):
        assert page.locator("h1").inner_text() == "Locked"
        assert "Child" not in page.locator("body").inner_text()
        page.go_back()
        page.locator("h1").wait_for()
    page.goto(f"{address}/day/trip-2")
    assert page.locator("h1").inner_text() == "Locked"
    person.fill("word", "2468")
    person.press("form.unlock button")
    assert page.url.endswith("/day")
    assert "Child" not in page.locator("main").inner_text()


# --- the half-known car

#: what a tape, an angle gauge, a label and a handbook say of it: at home, and at the car
AT_HOME = {":1L.belt.kind": "lap-shoulder", ":2L.belt.inflatable": "no", ":Beck.mass": "19.2 kg",
           ".none:2L.manual.forbids": "none", ".none:2R.manual.forbids": "none", ":2R.lower_anchors": "none",
           ":row2.cushion.angle": "14"}
AT_THE_CAR = {":Perch.condition.recall": "none", ":2L.ahead.gap@0": "700", ":2L.ahead.gap@300": "690",
              ":2L.ahead.gap@600": "680", ":2L.ahead.gap@900": "680",
              ":2R.belt.inflatable": "no", ":row1.trim": "[{name: door, left: 0, right: 1380}]",
              ":2R.belt.buckle.across": "826", ":2R.belt.buckle.stalk": "80"}


@pytest.mark.parametrize(("window", "script"), [_PHONE, _DESKTOP, _PHONE_PLAIN])
def test_a_half_known_car_is_sharpened_by_readings(comes_in: Callable[..., Person], library: Path,
                                                   window: dict[str, int], script: bool) -> None:
    person = comes_in(window, script)
    page = person.page
    goes_to(person, "/bring")
    page.locator('input[name="file-1"]').set_input_files(find("trip", "half-measured-car"))
    person.press("form.opening button.save")
    assert verdict(person) == "unmeasured"
    same_as_arrange(person, library / "trip-1.yaml")
    goes_to(person, "/trips/trip-1/measure")
    person.press('button[name="do"][value="copy"]')
    assert "Before: not all measured, 12 readings to take. Now: not all measured, 5" in " ".join(
        writes_down(person, AT_HOME).split())
    assert "Now: fits." in writes_down(person, AT_THE_CAR)
    goes_to(person, "/trips/trip-1")
    assert verdict(person) == "fits"
    same_as_arrange(person, library / "trip-1.yaml")


def writes_down(person: Person, readings: dict[str, str]) -> str:
    """Put readings into the boxes that ask for them, or choose them; what the page says of it."""
    page = person.page
    for field, value in readings.items():
        box = page.locator(f'.reading input[name$="{field}"]').first
        answer = person.fill if box.get_attribute("type") == "text" else person.choose
        answer(box.get_attribute("name"), value)
    person.press("form.readings button.save")
    return str(page.locator("main .done").inner_text())
