"""The report on paper: few pages, nothing cut at the right edge, and what is closed stays away unless it was opened."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest
from opened import run

#: trip and options -> the most pages it may take
PAGES = {
    ("three-across-school-run", "--until", "4y"): 8,
    ("two-seater-airbag-off",): 4,
    ("two-children-one-tether",): 5,
    ("half-measured-car",): 9,          # with the readings that it asks for, and how to take each
    ("nine-seat-shuttle",): 10,
}
#: inside the margins of A4 and of letter, px
PAPERS = (703, 725)
WHAT = pytest.mark.parametrize("what", list(PAGES), ids=lambda what: what[0])


@pytest.fixture(scope="module")
def files(tmp_path_factory: pytest.TempPathFactory) -> dict[tuple[str, ...], Path]:
    folder = tmp_path_factory.mktemp("paper")
    return {(trip, *options): run(folder, "report", trip, f"{trip}.html", *options) for trip, *options in PAGES}


def opened(browser: Any, file: Path) -> Any:
    page = browser.new_page()
    page.goto(file.as_uri())
    return page


def pages(page: Any) -> int:
    return len(re.findall(rb"/Type\s*/Page\b(?!s)", page.pdf(prefer_css_page_size=True)))


def seen(page: Any, what: str) -> int:
    """How many elements take up room."""
    return page.evaluate(f"[...document.querySelectorAll('{what}')].filter("
                         "e => e.getBoundingClientRect().height > 0 && e.checkVisibility("
                         "{contentVisibilityAuto: true})).length")


@WHAT
def test_it_takes_few_pages(browser: Any, files: dict[tuple[str, ...], Path], what: tuple[str, ...]):
    page = opened(browser, files[what])
    assert 1 < pages(page) <= PAGES[what]
    page.close()


@WHAT
@pytest.mark.parametrize("width", PAPERS)
def test_nothing_is_cut_at_the_right_edge(browser: Any, files: dict[tuple[str, ...], Path], what: tuple[str, ...],
                                          width: int):
    page = opened(browser, files[what])
    page.set_viewport_size({"width": width, "height": 1000})
    page.emulate_media(media="print")
    page.evaluate("document.querySelectorAll('details').forEach(one => { one.open = true; })")
    beyond = page.evaluate(
        f"[...document.querySelectorAll('body *')].filter(e => e.getBoundingClientRect().right > {width} + 1)"
        ".map(e => e.outerHTML.slice(0, 100))")
    assert beyond == []
    shut = page.evaluate("[...document.querySelectorAll('body *')].filter(e => e.scrollWidth > e.clientWidth + 1 && "
                         "getComputedStyle(e).overflowX !== 'visible').map(e => e.outerHTML.slice(0, 100))")
    assert shut == []
    seats = page.evaluate("[...document.querySelectorAll('.grid thead th')].map(e => e.getBoundingClientRect().right)")
    assert len(seats) > 2
    assert seats == sorted(seats)
    page.close()


def test_what_is_closed_is_left_out_and_a_line_says_so(browser: Any, files: dict[tuple[str, ...], Path]):
    page = opened(browser, files["three-across-school-run", "--until", "4y"])
    page.emulate_media(media="print")
    assert seen(page, ".best > article") == 3
    assert seen(page, ".best > article [data-side]") >= 3      # shells from the side
    assert seen(page, "figcaption li") > 10                    # what the letters of gaps stand for
    assert seen(page, "#timeline") == seen(page, "#grid table") == 1
    assert seen(page, ".best li") > 10
    for left_out in ("#all", "#why", "article article", "details:not(.paper) li", ".choose", ".narrow"):
        assert seen(page, left_out) == 0, left_out
    assert "closed on the screen is not printed" in page.inner_text("main ~ .on-paper")
    page.close()


def test_what_was_opened_is_printed(browser: Any, files: dict[tuple[str, ...], Path]):
    page = opened(browser, files["three-across-school-run", "--until", "4y"])
    before = pages(page)
    page.evaluate("document.querySelector('#all details').open = true")
    page.evaluate("document.querySelector('#a1 > details:not(.paper)').open = true")
    page.emulate_media(media="print")
    assert seen(page, "#all tbody tr") > 20
    assert seen(page, "#a1 > details:not(.paper) li") > 20
    assert seen(page, "#a2 > details:not(.paper) li") == 0
    assert pages(page) > before
    page.close()


def test_a_no_has_its_nearest_reason_on_paper(browser: Any, files: dict[tuple[str, ...], Path]):
    page = opened(browser, files["two-children-one-tether",])
    assert seen(page, "#grid .on-paper") == 0
    page.emulate_media(media="print")
    assert seen(page, "#grid .on-paper li") > 3
    assert seen(page, "#grid td li") == 0
    page.close()


def test_after_printing_it_is_as_before(browser: Any, files: dict[tuple[str, ...], Path]):
    page = opened(browser, files["two-seater-airbag-off",])
    opened_now = "[...document.querySelectorAll('details')].map(e => e.open)"
    before = page.evaluate(opened_now)
    page.evaluate("dispatchEvent(new Event('beforeprint'))")
    assert page.evaluate("[...document.querySelectorAll('details')].every(e => e.open === e.matches('.paper'))")
    page.evaluate("dispatchEvent(new Event('afterprint'))")
    assert page.evaluate(opened_now) == before
    page.close()
