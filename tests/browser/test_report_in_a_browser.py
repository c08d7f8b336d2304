"""The report in a browser: what its script does, what stays without it, keyboard, dark and light, print."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from opened import run

PHONE = 360


@pytest.fixture(scope="module")
def file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return run(tmp_path_factory.mktemp("report"), "report", "three-across-school-run", "plan.html")


@pytest.fixture
def page(browser: Any, file: Path) -> Any:
    page = browser.new_page()
    page.goto(file.as_uri())
    yield page
    page.close()


def shown(page: Any, what: str) -> int:
    return page.evaluate(f"[...document.querySelectorAll('{what}')].filter(e => !e.hidden).length")


def said(page: Any) -> str:
    return page.evaluate("document.getElementById('remains').textContent + ' ' + "
                         "[...document.querySelectorAll('#went li')].map(e => e.textContent).join(' ')")


def test_pinning_a_rider_leaves_what_has_the_rider_there(page: Any):
    lines = shown(page, "#all tr[data-at]")
    assert said(page) == f"All {lines} listed arrangements are shown. "
    page.select_option("#choose select[data-rider='1']", "2R")           # Wren
    there = page.evaluate("[...document.querySelectorAll('#all tr[data-at]')].filter(e => !e.hidden)"
                          ".map(e => e.getAttribute('data-at').split(' ')[1])")
    assert set(there) == {"2R"}
    word = page.evaluate("document.querySelector('#grid td[data-rider=\"1\"][data-seat=\"2R\"]').dataset.word")
    assert word == f"fits {len(there)}"                                  # as the grid counts
    assert f"{len(there)} of {lines} listed arrangements remain" in said(page)
    assert f"{lines - len(there)} are ruled out: they have Wren elsewhere than at 2R." in said(page)
    assert shown(page, "#best article") >= 1                             # and a drawing of it


def test_keeping_a_rider_away(page: Any):
    lines = shown(page, "#all tr[data-at]")
    page.select_option("#choose select[data-rider='1']", "!2R")
    assert "are ruled out: they have Wren at 2R." in said(page)
    assert 0 < shown(page, "#all tr[data-at]") < lines
    page.click("#choose button[type=reset]")
    page.wait_for_function("document.getElementById('remains').textContent.startsWith('All')")
    assert shown(page, "#all tr[data-at]") == lines


def test_what_cannot_be_had_says_why(page: Any):
    page.select_option("#choose select[data-rider='1']", "1R")           # a baby in front
    assert shown(page, "#all tr[data-at]") == 0
    assert "0 of" in said(page)
    why = page.evaluate("document.querySelector('#grid td[data-rider=\"1\"][data-seat=\"1R\"]').dataset.why")
    assert why
    assert why in said(page)


def test_where_no_drawing_remains_the_list_opens_and_says_how_to_draw_it(page: Any):
    page.select_option("#choose select[data-rider='1']", "2L")
    page.select_option("#choose select[data-rider='3']", "1R")           # Tamsin
    assert shown(page, "#best article") == 0
    assert page.evaluate("document.querySelector('#all details').open")
    number = page.evaluate("[...document.querySelectorAll('#all tr[data-at]')].find(e => !e.hidden)"
                           ".querySelector('th').textContent")
    assert f"`seatplan draw three-across-school-run --arrangement {number} -o plan.svg` draws the best" in said(page)


def test_it_can_be_worked_with_the_keyboard(page: Any):
    for _ in range(40):
        page.keyboard.press("Tab")
        if page.evaluate("document.activeElement.matches('#choose select')"):
            break
    assert page.evaluate("document.activeElement.matches('#choose select')")
    page.keyboard.press("ArrowDown")
    assert "listed arrangements remain" in said(page)


def test_everything_is_there_without_scripts(browser: Any, file: Path):
    quiet = browser.browser.new_context(java_script_enabled=False, offline=True) if browser.browser else None
    if quiet is None:
        text = file.read_text(encoding="utf-8").replace("<script>", "<!--").replace("</script>", "-->")
        bare = file.with_name("bare.html")
        bare.write_text(text, encoding="utf-8")
        page = browser.new_page()
        page.goto(bare.as_uri())
    else:
        page = quiet.new_page()
        page.goto(file.as_uri())
    assert page.locator("#choose").is_hidden()
    assert page.locator("#best article").first.is_visible()
    page.locator("#all summary").click()
    assert page.locator("#all tbody tr").first.is_visible()
    page.close()


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("width", [PHONE, 1200])
@pytest.mark.parametrize("name", ["three-across-school-run", "two-children-one-tether", "half-measured-car"])
def test_axe_finds_nothing(browser: Any, axe: str, tmp_path: Path, name: str, width: int, scheme: str):
    page = browser.new_page()
    page.set_viewport_size({"width": width, "height": 740})
    page.emulate_media(color_scheme=scheme)
    page.goto(run(tmp_path, "report", name, "plan.html").as_uri())
    page.evaluate("document.querySelectorAll('details').forEach(one => one.open = true)")
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    page.evaluate(axe)
    found = page.evaluate("axe.run()")
    assert [(v["id"], [n["html"][:150] for n in v["nodes"]][:3]) for v in found["violations"]] == []
    page.close()


def test_a_seat_that_only_arrangements_beyond_the_list_have(browser: Any, tmp_path: Path):
    page = browser.new_page()
    page.goto(run(tmp_path, "report", "nine-seat-shuttle", "plan.html").as_uri())
    lines = shown(page, "#all tr[data-at]")
    square = page.evaluate(
        "(() => { const lines = [...document.querySelectorAll('#all tr[data-at]')].map(e => e.dataset.at.split(' '));"
        " const cell = [...document.querySelectorAll('#grid td[data-there]')].find("
        "c => lines.every(at => at[c.dataset.rider] !== c.dataset.seat));"
        " return [cell.dataset.rider, cell.dataset.seat, cell.dataset.word.split(' ')[1], cell.dataset.ask]; })()")
    rider, seat, there, ask = square
    page.select_option(f"#choose select[data-rider='{rider}']", seat)
    assert f"None among the {lines} listed has" in said(page)
    assert f"at {seat}; {there} exist: `{ask}`" in said(page)
    assert ask.startswith("seatplan why nine-seat-shuttle --rider ")
    assert ask.endswith(f" --position {seat}")
    page.close()


@pytest.mark.parametrize("name", ["three-across-school-run", "half-measured-car"])
def test_tables_become_blocks_on_a_phone(browser: Any, tmp_path: Path, name: str):
    page = browser.new_page()
    page.set_viewport_size({"width": 375, "height": 740})
    page.goto(run(tmp_path, "report", name, "plan.html").as_uri())
    wide = page.evaluate("[...document.querySelectorAll('.best > article .wide, .grid .wide')].map("
                         "e => e.scrollWidth - e.clientWidth)")
    assert wide
    assert max(wide) <= 0                                  # nothing to scroll to
    heads = page.evaluate("[...document.querySelectorAll('#a1 td')].map(e => getComputedStyle(e, '::before').content)")
    assert '"held by" ": "' in heads or '"held by: "' in heads
    page.close()


def test_a_table_that_scrolls_has_a_shadow_at_its_edge(page: Any):
    page.set_viewport_size({"width": 375, "height": 740})
    page.evaluate("document.querySelector('#all details').open = true")
    scrolls = page.evaluate("(() => { const e = document.querySelector('#all .wide');"
                            " return [e.scrollWidth > e.clientWidth, getComputedStyle(e).backgroundAttachment]; })()")
    assert scrolls == [True, "local, local, scroll, scroll"]
