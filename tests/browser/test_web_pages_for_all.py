"""Every page that is served, in light and dark, on a phone and a desktop, at 200 % and with little motion. Sheets,
reports and checkups are the same documents as those of the command line, which have tests of their own."""

from __future__ import annotations

import os
import shutil
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

pytest.importorskip("starlette")
pytest.importorskip("uvicorn")
pytest.importorskip("httpx")

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "web"))

from running_server import Server, served
from scripted_person import sideways

from seatplan.files.library import find

pytestmark = pytest.mark.skipif(os.name != "posix", reason="the server is stopped by signals as POSIX has them")
TRIP, HALF_KNOWN = "/trips/trip-1", "/trips/trip-3"
PAGES = ("/", "/bring", "/cars", "/cars/vehicle-1", "/seats", "/seats/restraint-1", "/nowhere",
         TRIP, f"{TRIP}/measure", f"{TRIP}/why", f"{TRIP}/why?rider=1", f"{TRIP}/move", f"{TRIP}/move?rider=1&seat=2R",
         f"{TRIP}/move?rank=2", f"{TRIP}/ahead", f"{TRIP}/later", f"{TRIP}/papers", f"{TRIP}/drawing", f"{TRIP}/undo",
         f"{TRIP}/change", "/trips/trip-2", "/trips/trip-2/measure",
         f"{HALF_KNOWN}/measure",
         "/day", "/day/trip-1", "/day/trip-1/at/1", "/day/trip-1/checkup", "/day/trip-1/delete")
_RULES = {"runOnly": {"type": "tag", "values": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]}}


@pytest.fixture(scope="module")
def server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    """A library with a trip that fits, one of which nothing is known, one half known, a car and a restraint."""
    library = tmp_path_factory.mktemp("library")
    text = find("trip", "three-across-school-run").read_text(encoding="utf-8")
    (library / "trip-1.yaml").write_text(text.replace("vehicle: harrow-estate", "vehicle: vehicle-1.yaml"))
    (library / "trip-2.yaml").write_text("trip: New\nvehicle: vehicle-1.yaml\nriders: [{rider: Child 1}]\n"
                                         "restraints: []\nrules: us\n")
    shutil.copy(find("trip", "half-measured-car"), library / "trip-3.yaml")
    shutil.copy(find("vehicle", "harrow-estate"), library / "vehicle-1.yaml")
    shutil.copy(find("restraint", "nook-35"), library / "restraint-1.yaml")
    with served(library, library.parent / "log") as running:
        yield running


@pytest.fixture(scope="module")
def visitor(server: Server, chromium: Any) -> Iterator[Any]:
    """A page in a browser that came in, on a day that was begun."""
    context = chromium.new_context(locale="en-US")
    page = context.new_page()
    page.set_default_timeout(60_000)
    page.goto(server.link)
    page.goto(f"{server.address}/day")
    page.fill('[name="pin"]', "2468")
    page.fill('[name="again"]', "2468")
    page.select_option('[name="kept"]', "7")
    page.click("form.begin-day button.big")
    page.fill('[name="number"]', "1")
    page.click('form:has(input[name="number"]) button')
    yield page
    context.close()


def amiss(page: Any) -> list[str]:
    """What the accessibility checker has against a page as it is."""
    found = page.evaluate("rules => axe.run(document, rules)", _RULES)["violations"]
    return [f"{one['id']}: {node['html'][:150]} {node['failureSummary'][:300]}" for one in found
            for node in one["nodes"][:3]]


@pytest.mark.parametrize("window", [pytest.param((1280, 900), id="desktop"), pytest.param((390, 844), id="phone")])
def test_every_page_is_accessible_in_light_and_dark(visitor: Any, server: Server, axe: str,
                                                    window: tuple[int, int]) -> None:
    visitor.set_viewport_size({"width": window[0], "height": window[1]})
    found: dict[str, list[str]] = {}
    for path in PAGES:
        visitor.goto(server.address + path)
        visitor.evaluate(axe)
        for scheme in ("light", "dark"):
            visitor.emulate_media(color_scheme=scheme)
            if wrong := amiss(visitor):
                found[f"{path} {scheme}"] = wrong
    assert not found


@pytest.mark.parametrize("width", [640, 320])
def test_no_page_scrolls_sideways_at_200_percent(visitor: Any, server: Server, width: int) -> None:
    """A desktop's window of 1280 has 640 CSS pixels left at 200 %; 320 are those of 400 % (WCAG 1.4.10)."""
    visitor.set_viewport_size({"width": width, "height": 450})
    over = {}
    for path in PAGES:
        visitor.goto(server.address + path)
        if (by := sideways(visitor)) > 0:
            over[path] = by
    assert not over


def test_what_stays_in_reach_covers_no_reading_by_half(visitor: Any, server: Server) -> None:
    """The button below the readings is in a bar as wide as they are: nothing shows beside it."""
    visitor.set_viewport_size({"width": 390, "height": 844})
    visitor.goto(f"{server.address}{HALF_KNOWN}/measure")
    visitor.locator(".readings .reading").nth(2).scroll_into_view_if_needed()
    beside = visitor.locator(".keep-them").evaluate("""bar => {
        const box = bar.getBoundingClientRect(), form = bar.closest("form").getBoundingClientRect();
        const at = across => document.elementFromPoint(across, box.top + box.height / 2).closest(".keep-them") === bar;
        return at(form.left + 2) && at(form.right - 2) && box.bottom <= innerHeight + 1;
    }""")
    assert beside
    opaque = visitor.locator(".keep-them").evaluate("bar => getComputedStyle(bar).backgroundColor")
    assert opaque.startswith("rgb(")


def test_nothing_moves_where_little_motion_is_asked_for(visitor: Any, server: Server) -> None:
    visitor.emulate_media(reduced_motion="reduce")
    for path in (TRIP, f"{TRIP}/move", "/day/trip-1/at/1"):
        visitor.goto(server.address + path)
        moving = visitor.evaluate("""() => Array.from(document.querySelectorAll("*")).filter(one => {
            const style = getComputedStyle(one);
            const long = told => told.split(",").some(one => parseFloat(one) > 0.01);
            return (style.animationName !== "none" && long(style.animationDuration)) ||
                long(style.transitionDuration) || style.scrollBehavior === "smooth";
        }).map(one => one.outerHTML.slice(0, 120))""")
        assert moving == [], path
    visitor.emulate_media(reduced_motion="no-preference")


def test_the_lock_page_is_accessible(visitor: Any, server: Server, axe: str) -> None:
    """Last, since it closes what was open."""
    visitor.goto(f"{server.address}/day")
    visitor.click("button.next-family")
    assert visitor.locator("h1").inner_text() == "Locked"
    visitor.evaluate(axe)
    for scheme in ("light", "dark"):
        visitor.emulate_media(color_scheme=scheme)
        assert amiss(visitor) == []
