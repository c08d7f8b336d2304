"""A report of several vehicles with timelines, in a browser: each is filtered by itself; phone, dark, axe, print."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest
from opened import run

PHONE = 360
#: the first two fit, in the third there are too few seats
OPTIONS = ("--vehicle", "pipkin-hatch", "--vehicle", "skiff-two", "--until", "6 months")


@pytest.fixture(scope="module")
def file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return run(tmp_path_factory.mktemp("report"), "report", "three-across-school-run", "plan.html", *OPTIONS)


@pytest.fixture
def page(browser: Any, file: Path) -> Any:
    page = browser.new_page()
    asked: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    page.goto(file.as_uri())
    assert asked == [file.as_uri()], "nothing but the file itself is asked for"
    yield page
    page.close()


def shown(page: Any, what: str) -> int:
    return page.evaluate(f"[...document.querySelectorAll('{what}')].filter(e => !e.hidden).length")


def said(page: Any, vehicle: str) -> str:
    return page.evaluate(f"document.getElementById('{vehicle}-remains').textContent + ' ' + "
                         f"[...document.querySelectorAll('#{vehicle}-went li')].map(e => e.textContent).join(' ')")


def test_a_choice_acts_on_its_own_vehicle(page: Any):
    lines = {v: shown(page, f"#{v}-all tr[data-at]") for v in ("v1", "v2")}
    before = said(page, "v1")
    page.select_option("#v2-choose select[data-rider='3']", "2L")        # Tamsin
    left = shown(page, "#v2-all tr[data-at]")
    assert 0 < left < lines["v2"]
    assert f"{left} of {lines['v2']} listed arrangements remain" in said(page, "v2")
    assert shown(page, "#v1-all tr[data-at]") == lines["v1"]
    assert said(page, "v1") == before == f"All {lines['v1']} listed arrangements are shown. "


def test_why_not_is_that_of_its_own_vehicle(page: Any):
    page.select_option("#v2-choose select[data-rider='1']", "1R")        # a baby in front
    why = page.evaluate("document.querySelector('#v2-grid td[data-rider=\"1\"][data-seat=\"1R\"]').dataset.why")
    assert why
    assert why in said(page, "v2")
    assert shown(page, "#v2-all tr[data-at]") == 0
    page.click("#v2-choose button[type=reset]")
    page.wait_for_function("document.getElementById('v2-remains').textContent.startsWith('All')")


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("width", [PHONE, 1200])
def test_axe_finds_nothing(page: Any, axe: str, width: int, scheme: str):
    page.set_viewport_size({"width": width, "height": 740})
    page.emulate_media(color_scheme=scheme)
    page.evaluate("document.querySelectorAll('details').forEach(one => one.open = true)")
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    page.evaluate(axe)
    found = page.evaluate("axe.run()")
    assert [(v["id"], [n["html"][:150] for n in v["nodes"]][:3]) for v in found["violations"]] == []


def test_letters_of_the_timeline_can_be_read_on_a_phone(page: Any):
    page.set_viewport_size({"width": PHONE, "height": 740})
    letters = page.evaluate("[...document.querySelectorAll('#v1-timeline .narrow svg text')].map(t => parseFloat("
                            "getComputedStyle(t).fontSize) * t.getScreenCTM().a)")
    assert page.evaluate("[...document.querySelectorAll('.timeline .broad')].every(e => e.offsetHeight === 0)")
    ends = page.evaluate("[...document.querySelectorAll('#v1-timeline .narrow svg text')].map("
                         "t => t.getBoundingClientRect().right)")
    assert max(ends) <= PHONE
    assert len(letters) >= 3
    assert min(letters) >= 9.5                             # px


def test_on_paper_the_fields_are_gone_and_the_timeline_fits(page: Any):
    page.set_viewport_size({"width": 700, "height": 740})
    page.emulate_media(media="print")
    assert page.evaluate("[...document.querySelectorAll('.choose')].every(e => e.getBoundingClientRect().height === 0)")
    wide = page.evaluate("[...document.querySelectorAll('.timeline svg')].map(e => e.getBoundingClientRect().right)")
    assert wide
    assert max(wide) <= 700


def test_three_vehicles_take_few_pages(page: Any):
    assert 3 < len(re.findall(rb"/Type\s*/Page\b(?!s)", page.pdf(prefer_css_page_size=True))) <= 14
