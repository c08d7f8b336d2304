"""The first screen of a report on a phone: the verdict, who sits where and how held; what is pinned changes it."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import Any

import pytest
from opened import run

from seatplan.files.library import names
from seatplan.files.load import load_trip

SCREEN = {"width": 390, "height": 844}
TRIPS = [name for name in names("trip") if len(load_trip(name).riders) <= 5]
#: what the page shows on top
TOLD = """(() => {
  const box = e => { const r = e.getBoundingClientRect(); return [r.left, r.top, r.right, r.bottom, r.height]; };
  const row = e => [...e.children].map(c => c.textContent);
  const seen = e => e.getBoundingClientRect().height > 0;
  return {verdict: document.querySelector('.verdict').textContent, told: document.querySelector('.told').textContent,
          box: box(document.querySelector('.verdict')),
          rows: [...document.querySelectorAll('.seated tbody tr')].filter(seen).map(row),
          boxes: [...document.querySelectorAll('.seated tbody tr')].filter(seen).map(box),
          first: [...document.querySelectorAll('.answer > .first li')].filter(seen).map(e => e.textContent),
          noted: [...document.querySelectorAll('.answer > .noted li')].filter(seen).map(e => e.textContent)};
})()"""


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("first")


@cache
def written(folder: Path, name: str, *options: str) -> Path:
    return run(folder, "report", name, f"{name}{''.join(options)}.html", *options)


def opened(browser: Any, file: Path) -> Any:
    page = browser.new_page()
    page.set_viewport_size(SCREEN)
    page.goto(file.as_uri())
    return page


def pin(page: Any, rider: str, choice: str) -> None:
    page.locator("#choose label", has_text=rider).locator("select").select_option(choice)


def told_of(told: dict[str, Any], trip: str) -> list[str]:
    """The seats on top as a line of the list has them, in the order of the trip."""
    by_rider = {rider: f"{seat} {what.split(',')[0]}" for rider, seat, what, _ in told["rows"]}
    return [by_rider[rider.rider] for rider in load_trip(trip).riders]


@pytest.mark.parametrize("options", [(), ("--lang", "es")], ids=["en", "es"])
@pytest.mark.parametrize("name", TRIPS)
def test_it_says_the_verdict_and_who_sits_where(browser: Any, folder: Path, name: str, options: tuple[str, ...]):
    page = opened(browser, written(folder, name, *options))
    told = page.evaluate(TOLD)
    riders = page.locator("#grid tbody th").all_text_contents()
    assert {rider.rider for rider in load_trip(name).riders if rider.due is None} == set(riders)
    refused = page.locator("#repairs").count() > 0
    assert sorted(row[0] for row in told["rows"]) == ([] if refused else sorted(riders))
    assert all(cell for row in told["rows"] for cell in row)
    assert page.locator("header a[href='#repairs']").count() == refused
    for left, top, right, bottom, height in [told["box"], *told["boxes"]]:
        assert height > 10
        assert 0 <= left < right <= SCREEN["width"]
        assert 0 <= top < bottom <= SCREEN["height"]
    assert page.evaluate("document.documentElement.scrollWidth") <= SCREEN["width"]
    page.close()


def test_the_lines_on_top_are_those_of_the_first_arrangement(browser: Any, folder: Path):
    page = opened(browser, written(folder, "i-size-family"))
    told = page.evaluate(TOLD)
    first = page.evaluate("[...document.querySelectorAll('#a1 tbody tr')].map(r => [...r.children].map(c => "
                          "c.textContent))")
    assert [row[:3] for row in told["rows"]] == [row[:3] for row in first]
    assert all(below.startswith(row[3]) for row, (*_, below) in zip(told["rows"], first, strict=True))
    assert len(told["noted"]) == 2
    assert set(told["noted"]) <= set(page.locator("#a1 li").all_text_contents())
    page.close()


def test_pinning_a_child_says_the_best_with_it(browser: Any, folder: Path):
    page = opened(browser, written(folder, "three-across-school-run"))
    before = page.evaluate(TOLD)
    assert (before["told"].strip(), before["first"]) == ("It fits", ["All children in the back: yes."])
    seats = {row[0]: row[1] for row in before["rows"]}
    assert seats["Tamsin"] == "2R"
    pin(page, "Tamsin", "1R")
    after = page.evaluate(TOLD)
    line = page.evaluate("(() => { const e = [...document.querySelectorAll('#all tr[data-at]')].find(e => !e.hidden);"
                         " return [...e.children].map(c => c.textContent); })()")
    assert after["verdict"] == {"fits": "It fits", "close": "Close: try it in the car"}[line[1]]
    assert f"With Tamsin at 1R, the best is number {line[0]}." in after["told"]
    assert told_of(after, "three-across-school-run") == line[2:]
    assert after["first"] == []                            # they are of the first arrangement: children in the back
    assert after["noted"] != before["noted"]
    page.click("#choose button[type=reset]")
    page.wait_for_function("document.querySelector('.told').textContent.trim() === 'It fits'")
    again = page.evaluate(TOLD)
    assert [again[what] for what in ("rows", "first", "noted")] == [before[what] for what in ("rows", "first", "noted")]
    page.close()


@pytest.mark.parametrize("name", ["i-size-family", "taxi-ride", "half-measured-car", "sliding-row-outing"])
def test_what_is_said_of_a_pin_is_what_the_list_says(browser: Any, folder: Path, name: str):
    """Each rider at each seat: verdict and seats are those of the first line that remains; else it says that nothing
    does."""
    page = opened(browser, written(folder, name))
    words = {"fits": "It fits", "close": "Close", "not all measured": "Not settled", "likely": "Likely"}
    complete = page.locator("#choose").get_attribute("data-complete") is not None
    seen = set()
    for rider in [rider.rider for rider in load_trip(name).riders]:
        for seat in page.evaluate("[...document.querySelectorAll('#grid thead th')].slice(1).map(e => e.textContent)"):
            pin(page, rider, seat)
            told = page.evaluate(TOLD)
            line = page.evaluate("(() => { const e = [...document.querySelectorAll('#all tr[data-at]')].find("
                                 "e => !e.hidden); return e ? [...e.children].map(c => c.textContent) : null; })()")
            if line is None:
                why = page.locator(f"#grid tr:has(th:text-is('{rider}')) td[data-seat='{seat}']").get_attribute(
                    "data-why")
                assert told["verdict"] == ("Nothing fits" if complete or why else told["verdict"])
                assert told["verdict"].startswith(("Nothing fits", "None of the"))
                assert why is None or why in told["told"]
                assert told["rows"] == told["noted"] == []
                seen.add("none")
            else:
                assert told["verdict"].startswith(words[line[1]])
                assert told_of(told, name) == line[2:]
                seen.add("some")
        pin(page, rider, "")
    assert seen == {"none", "some"}
    page.close()


def test_it_is_told_to_whoever_listens(browser: Any, folder: Path):
    """A live region that is in the page from the start, and is read as a whole; it changes once for a choice."""
    page = opened(browser, written(folder, "three-across-school-run"))
    told = page.locator(".told")
    assert [told.get_attribute(name) for name in ("role", "aria-live", "aria-atomic")] == ["status", "polite", "true"]
    page.evaluate("window.changed = 0; new MutationObserver(() => { window.changed += 1; }).observe("
                  "document.querySelector('.told'), {subtree: true, childList: true, characterData: true})")
    pin(page, "Wren", "1R")
    assert page.evaluate("window.changed") == 1
    assert told.inner_text().startswith("Nothing fits With Wren at 1R: ")
    page.close()


def test_a_pinned_verdict_stays_in_sight_at_the_fields(browser: Any, folder: Path):
    page = opened(browser, written(folder, "i-size-family"))
    pin(page, "Elif", "2R")
    page.locator("#remains").scroll_into_view_if_needed()
    page.evaluate("window.scrollTo(0, document.querySelector('#choose').offsetTop)")
    top, bottom = page.evaluate("(() => { const r = document.querySelector('.told').getBoundingClientRect();"
                                " return [r.top, r.bottom]; })()")
    assert 0 <= top < bottom < SCREEN["height"] / 3
    page.close()


def test_of_several_vehicles_each_has_its_own(browser: Any, folder: Path):
    page = opened(browser, written(folder, "three-across-school-run", "--vehicle", "harrow-estate", "--vehicle",
                                   "pipkin-hatch"))
    before = page.locator("#v2 .told").inner_text()
    page.select_option("#v1-choose select[data-rider='1']", "1R")
    assert page.locator("#v1 .verdict").inner_text() == "Nothing fits"
    assert page.locator("#v2 .told").inner_text() == before
    page.close()


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("seat", ["2R", "1R"])
def test_axe_finds_nothing_once_a_rider_is_pinned(browser: Any, axe: str, folder: Path, seat: str, scheme: str):
    page = opened(browser, written(folder, "three-across-school-run"))
    page.emulate_media(color_scheme=scheme)
    pin(page, "Wren", seat)
    assert page.evaluate(TOLD)["verdict"] == {"2R": "It fits", "1R": "Nothing fits"}[seat]
    page.evaluate(axe)
    found = page.evaluate("axe.run()")
    assert [(v["id"], [n["html"][:150] for n in v["nodes"]][:3]) for v in found["violations"]] == []
    page.close()
