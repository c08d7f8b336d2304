"""The page of a checkup in a browser: accessible in dark and light, as wide as a phone, and whole on paper."""

from __future__ import annotations

import shutil
from pathlib import Path
from typing import Any

import pytest
from opened import run

from seatplan.app import record
from seatplan.files.library import find

#: inside the margins of A4 and of letter, px
PAPERS = (703, 725)
ON = "2026-11-24"


@pytest.fixture(scope="module")
def files(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    """A checkup of which much is noted, and one of which little is known."""
    folder = tmp_path_factory.mktemp("checkup")
    trip = str(shutil.copyfile(find("trip", "three-across-school-run"), folder / "trip.yaml"))
    for noted in ({"go_on_with": 1}, {"rider": "Wren", "sideways": "12", "forwards": "9", "level": "yes", "on": ON,
                                      "who": "the technician", "note": "the belt was pulled through twice"},
                  {"rider": "Oslo", "failed": True, "on": ON}):
        record.record(record.Record(trip=trip, **noted))
    return {"noted": run(folder, "checkup", trip, "noted.html", "--who", "the family"),
            "little": run(folder, "checkup", "half-measured-car", "little.html")}


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("width", [360, 1200])
@pytest.mark.parametrize("name", ["noted", "little"])
def test_axe_finds_nothing(browser: Any, axe: str, files: dict[str, Path], name: str, width: int, scheme: str):
    page = browser.new_page()
    page.set_viewport_size({"width": width, "height": 740})
    page.emulate_media(color_scheme=scheme)
    page.goto(files[name].as_uri())
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    page.evaluate(axe)
    found = page.evaluate("axe.run()")
    assert [(v["id"], [n["html"][:150] for n in v["nodes"]][:3]) for v in found["violations"]] == []
    page.close()


def test_on_a_phone_its_tables_are_read_downwards(browser: Any, files: dict[str, Path]):
    """Eight columns do not fit: each cell is a line that begins with its head, and nothing is out of sight."""
    page = browser.new_page()
    page.set_viewport_size({"width": 390, "height": 844})
    page.goto(files["noted"].as_uri())
    hidden = page.evaluate("[...document.querySelectorAll('.wide')].filter(e => e.scrollWidth > e.clientWidth).length")
    assert hidden == 0
    heads = page.locator("table.many").first.locator("tbody tr").first.locator("td").evaluate_all(
        "cells => cells.map(cell => getComputedStyle(cell, '::before').content)")
    assert len(heads) == 7
    assert "held by" in heads[2]
    page.emulate_media(media="print")
    assert page.locator("table.many tbody tr").first.evaluate("row => getComputedStyle(row).display") == "table-row"
    page.close()


@pytest.mark.parametrize("width", PAPERS)
@pytest.mark.parametrize("name", ["noted", "little"])
def test_nothing_is_cut_at_the_right_edge_of_paper(browser: Any, files: dict[str, Path], name: str, width: int):
    page = browser.new_page()
    page.goto(files[name].as_uri())
    page.set_viewport_size({"width": width, "height": 1000})
    page.emulate_media(media="print")
    beyond = page.evaluate(
        f"[...document.querySelectorAll('body *')].filter(e => e.getBoundingClientRect().right > {width} + 1)"
        ".map(e => e.outerHTML.slice(0, 100))")
    assert beyond == []
    page.close()
