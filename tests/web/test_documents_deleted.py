"""Sheets, reports and checkups that a command wrote into the library's folder go with their family; others are told."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

pytest.importorskip("starlette")
pytest.importorskip("httpx")

from day_browser import TRIPS, Browser, with_trip
from running import seatplan

from seatplan.app.checking_day import the_day
from seatplan.app.erasing import erase, to_erase
from seatplan.files.checkups import opened
from seatplan.files.library import find, names
from seatplan.files.load import load_trip
from seatplan.files.made import identity, identity_of
from seatplan.files.reading import plain

SCHOOL, OTHER = "three-across-school-run", "tall-driver"


def _wrote(folder: Path, *command: str) -> None:
    assert seatplan(*command).code in (0, 1, 3), command


@pytest.fixture
def browser(tmp_path: Path) -> Browser:
    """A day with a family, and another family's trip in the same library; documents of both lie in the folder."""
    browser = with_trip(tmp_path, SCHOOL)
    shutil.copy(TRIPS / f"{OTHER}.yaml", tmp_path / "trip-2.yaml")
    (tmp_path / "for the car").mkdir()
    own, other = str(tmp_path / "trip-1.yaml"), str(tmp_path / "trip-2.yaml")
    _wrote(tmp_path, "sheet", own, "-o", str(tmp_path / "sheet.html"))
    _wrote(tmp_path, "sheet", own, "-o", str(tmp_path / "for the car" / "our sheet.html"))
    _wrote(tmp_path, "draw", own, "-o", str(tmp_path / "drawing.svg"))
    _wrote(tmp_path, "checkup", own, "-o", str(tmp_path / "checkup.html"))
    _wrote(tmp_path, "sheet", other, "-o", str(tmp_path / "other.html"))
    (tmp_path / "note.txt").write_text("whose is this?")
    (tmp_path / "page.html").write_text("<!doctype html><html><body>Wren</body></html>")
    return browser


def _there(folder: Path) -> set[str]:
    return {str(path.relative_to(folder)) for path in folder.rglob("*") if path.is_file()
            and not path.name.startswith(".")}


OWN = {"sheet.html", "for the car/our sheet.html", "drawing.svg", "checkup.html"}


def test_they_go_with_their_family_and_the_page_says_which_and_what_stays(browser: Browser, tmp_path: Path) -> None:
    assert _there(tmp_path) >= OWN
    page = browser.get("/day/trip-1/delete")
    for name in (*OWN, "note.txt", "page.html"):
        assert name in page
    assert "other.html" not in page
    assert page.index("sheet.html") < page.index("stay.") < page.index("note.txt")
    browser.post("/day/trip-1/delete")
    assert _there(tmp_path) == {"trip-2.yaml", "other.html", "note.txt", "page.html", "day/day.yaml"}


def test_a_document_of_before_a_name_was_changed_goes_too(browser: Browser, tmp_path: Path) -> None:
    from seatplan.app.shelf import shelf
    library = shelf(tmp_path)
    held = library.held("trip-1")
    library.save("trip-1", held.text.replace("Wren", "Zebulonia"), held.version)
    _wrote(tmp_path, "report", str(tmp_path / "trip-1.yaml"), "-o", str(tmp_path / "later.html"))
    assert set(to_erase(tmp_path, "trip-1").documents) == OWN | {"later.html"}


def test_where_another_trip_is_called_the_same_its_documents_stay_and_are_told(browser: Browser,
                                                                               tmp_path: Path) -> None:
    shutil.copy(tmp_path / "trip-1.yaml", tmp_path / "trip-3.yaml")
    found = to_erase(tmp_path, "trip-1")
    assert found.documents == ()
    assert set(found.others) == OWN | {"note.txt", "page.html"}
    erase(tmp_path, "trip-1")
    assert _there(tmp_path) >= OWN


def test_no_link_is_followed(browser: Browser, tmp_path: Path) -> None:
    aside = tmp_path.parent / "aside"
    aside.mkdir()
    (tmp_path / "sheet.html").rename(aside / "sheet.html")
    (tmp_path / "linked.html").symlink_to(aside / "sheet.html")
    (tmp_path / "folder").symlink_to(aside)
    erase(tmp_path, "trip-1")
    assert (aside / "sheet.html").exists()


def test_the_hash_of_such_a_checkup_stays_where_that_was_said(tmp_path: Path) -> None:
    browser = with_trip(tmp_path, SCHOOL, stays="yes")
    _wrote(tmp_path, "checkup", str(tmp_path / "trip-1.yaml"), "-o", str(tmp_path / "checkup.html"))
    digest = opened(str(tmp_path / "checkup.html"))[1]
    browser.get("/day/trip-1/delete")
    browser.post("/day/trip-1/delete")
    day = the_day(tmp_path)
    assert day is not None
    assert digest in browser.get("/day")


@pytest.mark.parametrize("name", names("trip"))
def test_a_file_tells_the_same_trip_as_its_record(name: str) -> None:
    data = plain(find("trip", name).read_text(encoding="utf-8"))
    assert identity_of(data["trip"], [one["rider"] for one in data["riders"]]) == identity(load_trip(name))
