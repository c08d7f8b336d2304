"""Drawings, sheets, reports and calendars: nothing readable in them stands outside the catalogue, and they say which
language they are in."""

from __future__ import annotations

import re
import shlex
import sys
from collections.abc import Iterator
from html.parser import HTMLParser
from pathlib import Path

import pytest
from marked import mark_all, unmarked

sys.path.insert(0, str(Path(__file__).parent.parent / "cli"))
from running import seatplan

#: small enough to be looked at for years
TRIP = "two-children-one-tether"
#: attributes that somebody reads or hears, or that the script shows
READ = ("aria-label", "title", "alt", "placeholder", "data-word", "data-why", "data-words", "data-cautions")


class Read(HTMLParser):
    """Everything of a page or drawing that somebody reads: text, and attributes that are told."""

    def __init__(self, told: str) -> None:
        super().__init__()
        self.found: list[str] = []
        self._inside: list[str] = []
        self.feed(told)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag not in ("meta", "input", "rect", "circle", "line", "path", "br"):
            self._inside.append(tag)
        for name, value in attrs:
            if name in READ and value:
                self.found.append(re.sub(r'"\w+": "', " ", value))       # the keys of data-words

    def handle_endtag(self, tag: str) -> None:
        if tag in self._inside:
            while self._inside.pop() != tag:
                pass

    def handle_data(self, data: str) -> None:
        if not {"style", "script", "pre", "code"} & set(self._inside):
            self.found.append(data)


def styled(page: str) -> Iterator[str]:
    """What a style sheet prints."""
    yield from re.findall(r'content: "((?:[^"\\]|\\.)*)"', page)


@pytest.mark.parametrize("command", [
    "draw three-across-school-run", "draw half-measured-car --for paper", "draw slide-decides",
    "sheet three-across-school-run", "sheet tall-driver --until 1y", "sheet half-measured-car --paper letter",
    "sheet i-size-family", "sheet third-child-on-the-way",
    "report three-across-school-run --until 2y", "report three-too-wide", "report half-measured-car",
    "report three-boosters-two-belts", "report two-children-one-tether",
    "report school-run-second-car --vehicle pipkin-hatch --vehicle skiff-two",
])
def test_nothing_readable_stands_outside_the_catalogue(
        command: str, monkeypatch: pytest.MonkeyPatch, tmp_path: Path):
    mark_all(monkeypatch, tmp_path)
    page = seatplan(*shlex.split(command), "-o", "-", "--lang", "es").out
    found = [*Read(page).found, *styled(page)]
    assert sum(map(len, found)) > 1000
    # joined, for in a drawing a text goes on in the next line
    assert unmarked(" ".join(found)) == set()


@pytest.mark.parametrize("command", ["draw three-across-school-run", "sheet i-size-family", "sheet slide-decides",
                                     "report three-too-wide", "report half-measured-car"])
def test_inches_and_pounds_leave_no_millimetre_but_in_sources(command: str):
    page = seatplan(*shlex.split(command), "-o", "-", "--units", "customary").out
    told = re.sub(r"source: [^\n]*|\(written as [^)]*\)", "", "\n".join(Read(page).found))
    assert re.search(r"\d in\b", told)
    assert re.findall(r".*\d (?:mm|cm|kg)\b.*", told) == []


def test_where_a_source_says_an_inch_the_sheet_in_inches_does_too():
    told = " ".join(Read(seatplan("sheet", "tall-driver", "-o", "-", "--units", "customary").out).found)
    assert "it moves not more than 1 in in any direction." in told
    assert "at least 1 in below the top of the shell." in told
    told = " ".join(Read(seatplan("sheet", "tall-driver", "-o", "-").out).found)
    assert "it moves not more than 25 mm in any direction (1 inch)." in told


def test_a_calendar_is_told_in_the_language(monkeypatch: pytest.MonkeyPatch, tmp_path: Path):
    mark_all(monkeypatch, tmp_path)
    seatplan("outlook", TRIP, "--until", "4y", "-o", "car.ics", "--lang", "es")
    text = (tmp_path / "car.ics").read_text(encoding="utf-8").replace("\n ", "").replace("\\,", ",")
    told = re.findall(r"^(?:SUMMARY|DESCRIPTION|X-WR-CALNAME):(.*)$", text, re.MULTILINE)
    assert len(told) > 4
    assert {word for line in told for word in unmarked(line.replace("\\n", " "))} == set()


def test_events_of_a_calendar_keep_their_names_in_every_language(tmp_path: Path):
    names = []
    for lang in ("en", "es"):
        file = tmp_path / f"{lang}.ics"
        seatplan("outlook", TRIP, "--until", "4y", "-o", str(file), "--lang", lang)
        names.append(sorted(re.findall(r"^UID:.*$", file.read_text(encoding="utf-8"), re.MULTILINE)))
    assert names[0] == names[1]
    assert len(set(names[0])) == len(names[0]) > 2


class Tags(HTMLParser):
    """The tags of a page outside its drawings, where lines are cut otherwise in every language."""

    def __init__(self, told: str) -> None:
        super().__init__()
        self.found: list[str] = []
        self._drawing = 0
        self.feed(told)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self._drawing += tag == "svg"
        if not self._drawing:
            self.found.append(tag)

    def handle_endtag(self, tag: str) -> None:
        self._drawing -= tag == "svg"


@pytest.mark.parametrize("command", [
    *(f"sheet {trip}" for trip in ("slide-decides", "tall-driver", "half-measured-car", "i-size-family",
                                   "upright-only", "sliding-row-outing", "two-seater-airbag-off", "borrowed-bars")),
    "sheet school-run-second-car --vehicle pipkin-hatch", "report three-too-wide", "report slide-decides",
    "report half-measured-car", "report two-children-one-tether --until 2y",
    "report twins-small-hatch --vehicle quarry-saloon --vehicle skiff-two",
])
def test_nothing_is_left_out_in_another_language(command: str):
    """What is shown must not hang on the words in which it is told."""
    english, spanish = (Tags(seatplan(*shlex.split(command), "-o", "-", "--lang", lang).out).found
                        for lang in ("en", "es"))
    assert len(english) > 50
    assert english == spanish


@pytest.mark.parametrize("command", ["sheet tall-driver", "report tall-driver"])
def test_a_page_says_which_language_it_is_in(command: str):
    for lang in ("en", "es"):
        assert f'lang="{lang}"' in seatplan(*shlex.split(command), "-o", "-", "--lang", lang).out
