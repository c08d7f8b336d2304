"""Sheet, report, drawing, checkup: shown with a policy that names just their own style and script, and saved."""

from __future__ import annotations

import base64
import hashlib
import re

import pytest

pytest.importorskip("starlette")

from trip_visits import Browser, Tags, bytes_of, house_of, trip_in

from seatplan.views.markup import el
from seatplan.web.papers import policy_of

TRIP = "three-across-school-run"


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    return tmp_path_factory.mktemp("library")


@pytest.fixture(scope="module")
def browser(folder):
    return Browser(house_of(folder))


@pytest.fixture(scope="module")
def number(folder):
    return trip_in(folder, TRIP)


def policy(answer):
    return dict(part.strip().split(" ", 1) for part in answer.headers["content-security-policy"].split(";"))


def hash_of(text):
    return f"'sha256-{base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()}'"


def document(browser, number, which):
    if which == "checkup":
        return browser.post(f"/trips/{number}/checkup", {"who": "the family\nthe technician"},
                            f"/trips/{number}/papers")
    return browser.get(f"/trips/{number}/{which}")


@pytest.mark.parametrize("which", ["sheet", "sheet?paper=letter", "report", "checkup"])
def test_the_policy_names_exactly_what_stands_inline(browser, number, which):
    answer = document(browser, number, which)
    assert answer.status_code == 200
    told = policy(answer)
    styles, scripts, attributes = set(), set(), set()
    for tag, attrs, text in Tags(answer.text).found:
        named = dict(attrs)
        if tag == "style":
            styles.add(hash_of(text))
        elif tag == "script" and named.get("type") != "application/json":
            scripts.add(hash_of(text))
        if "style" in named:
            attributes.add(hash_of(named["style"]))
        assert not [name for name in named if name.startswith("on")]
    assert styles
    assert set(told["style-src"].split()) == styles
    assert set(told.get("script-src", "").split()) == scripts
    assert set(told.get("style-src-attr", "").split()) - {"'unsafe-hashes'"} == attributes
    assert "unsafe-inline" not in answer.headers["content-security-policy"]
    assert told["default-src"] == "'none'"
    assert bool(scripts) == (which == "report")


def test_a_script_that_came_in_otherwise_is_not_in_the_policy():
    root = el("html", el("body", el("p", "<script>alert(1)</script>"), el("script", "ours()")))
    assert hash_of("alert(1)") not in policy_of(root)
    assert hash_of("ours()") in policy_of(root)


@pytest.mark.parametrize(("which", "name", "start"), [
    ("sheet?save=yes", "sheet.html", "<!doctype html>"), ("report?save=yes", "plan.html", "<!doctype html>"),
    ("drawing?save=yes", "plan.svg", "<svg"), ("file", "trip.yaml", "trip:")])
def test_what_is_saved_is_called_by_its_kind_alone(browser, number, which, name, start):
    answer = browser.get(f"/trips/{number}/{which}")
    assert answer.headers["content-disposition"] == f'attachment; filename="{name}"'
    assert answer.text.startswith(start)


def test_documents_name_the_file_of_the_library_and_no_path(browser, number, folder):
    for which in ("sheet", "report"):
        text = document(browser, number, which).text
        assert str(folder) not in text
        assert re.search(r"seatplan \w+ \S+\.yaml", text)


def test_of_an_arrangement_that_there_is_not_the_page_says_so(browser, number):
    answer = browser.get(f"/trips/{number}/sheet?rank=9999")
    assert answer.status_code == 422
    assert "expected 1 to" in answer.text
    assert browser.get(f"/trips/{number}/sheet?rank=x").status_code == 422


def test_a_checkup_is_asked_for_without_a_name_in_its_address(browser, number):
    answer = document(browser, number, "checkup")
    assert "the technician" in answer.text
    assert answer.url.query == b""
    assert browser.get(f"/trips/{number}/checkup").status_code in (404, 405)


def test_nothing_is_written_by_any_of_it(browser, number, folder):
    before = bytes_of(folder)
    for which in ("sheet", "report", "drawing", "file", "papers"):
        assert document(browser, number, which).status_code == 200
    assert bytes_of(folder) == before


def test_no_address_on_any_page_of_a_trip_holds_a_name(browser, number):
    names = ("Ines", "Wren", "Oslo", "Tamsin", "school")
    for page in ("", "/measure", "/why", "/why?rider=1", "/move", "/ahead", "/later", "/papers", "/undo"):
        answer = browser.get(f"/trips/{number}{page}")
        assert answer.status_code == 200, page
        assert "Wren" in answer.text or page not in ("", "/why", "/move")
        for href in Tags(answer.text).hrefs():
            assert not any(name.casefold() in href.casefold() for name in names), href


def test_where_nothing_fits_there_is_no_sheet(folder, browser):
    number = trip_in(folder, "three-too-wide")
    answer = browser.get(f"/trips/{number}/sheet")
    assert answer.status_code == 200
    assert "Nothing fits" in answer.text
    assert f"/trips/{number}/report" in answer.text
