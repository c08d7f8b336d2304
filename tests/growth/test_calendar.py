"""The calendar file, read by somebody else's parser, and when it may be written over."""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path

import icalendar
import pytest
from families import looked
from hypothesis import given
from hypothesis import strategies as st

from seatplan.cli.target import target
from seatplan.cli.usage import Misuse
from seatplan.files.errors import Unwritten
from seatplan.views.calendar import _escaped, _folded, calendar, entries

NAME = "two-seater-airbag-off", 4


def test_a_general_parser_reads_what_was_meant() -> None:
    found = looked(*NAME)
    text = calendar(found)
    parsed = icalendar.Calendar.from_ical(text)
    assert (parsed["VERSION"], parsed["PRODID"]) == ("2.0", "-//seatplan//outlook//EN")
    events = parsed.walk("VEVENT")
    told = entries(found)
    assert len(events) == len(told) > 2
    for event, entry in zip(events, told, strict=True):
        assert event.decoded("DTSTART") == entry.day
        assert event.decoded("DTEND") == entry.day + timedelta(days=1)
        assert str(event["SUMMARY"]) == entry.summary
        assert str(event["DESCRIPTION"]).startswith(entry.text)
        assert "planning aid" in str(event["DESCRIPTION"])
        assert event.walk("VALARM")
        assert event.decoded("DTSTAMP").date() == found.start
    assert len({str(event["UID"]) for event in events}) == len(events)


def test_there_is_a_reminder_before_every_change_and_doubt() -> None:
    found = looked(*NAME)
    days = [entry.day for entry in entries(found) if entry.summary.startswith("Measure")]
    for step in found.protection.steps:
        for doubt in step.doubts:
            assert any(day <= doubt.first for day in days)
        if step.change is not None and step.change.limits:
            assert any(found.start <= day < step.change.day for day in days)
    assert min(days) >= found.start


def test_lines_are_as_the_standard_asks() -> None:
    text = calendar(looked(*NAME))
    assert text.endswith("END:VCALENDAR\r\n")
    assert "\n" not in text.replace("\r\n", "")
    assert max(len(line.encode()) for line in text.split("\r\n")) <= 75


@given(st.text(st.characters(exclude_categories=["Cc", "Cs"], include_characters="\n"), max_size=300))
def test_any_text_comes_back(text: str) -> None:
    lines = ["BEGIN:VCALENDAR", "VERSION:2.0", "PRODID:x", "BEGIN:VEVENT", "UID:1", "DTSTAMP:20260101T000000Z",
             _folded(f"SUMMARY:{_escaped(text)}"), "END:VEVENT", "END:VCALENDAR", ""]
    assert max(len(line.encode()) for line in "\r\n".join(lines).split("\r\n")) <= 75
    # a line separator of its own kind would end a line for the parser, as it does for python
    plain = text.replace("\u2028", "").replace("\u2029", "").replace("\x85", "")
    if plain == text:
        assert str(icalendar.Calendar.from_ical("\r\n".join(lines)).walk("VEVENT")[0]["SUMMARY"]) == text


def test_the_same_outlook_gives_the_same_bytes() -> None:
    assert calendar(looked(*NAME)) == calendar(looked(*NAME))


def test_ours_may_be_written_anew_and_others_never(tmp_path: Path) -> None:
    found, file = looked(*NAME), tmp_path / "outlook.ics"
    ours = calendar(found)
    for _ in range(2):
        target(str(file), False, "calendar", found.trip).write(ours, "2 entries")
    assert file.read_bytes() == ours.encode()
    file.write_text("BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:-//somebody//else//EN\r\n", encoding="utf-8")
    with pytest.raises(Misuse, match="seatplan did not write it"):
        target(str(file), False, "calendar", found.trip)
    assert "somebody" in file.read_text(encoding="utf-8")
    assert [path.name for path in tmp_path.iterdir()] == ["outlook.ics"]


@pytest.mark.parametrize(("name", "told", "kind"), [
    ("outlook.txt", "-o is", Misuse), ("none/outlook.ics", "the folder is not there", Unwritten),
    ("folder.ics", "is a folder", Misuse)])
def test_where_nothing_can_be_written_nothing_is(tmp_path: Path, name: str, told: str, kind: type[Exception]) -> None:
    (tmp_path / "folder.ics").mkdir()
    with pytest.raises(kind, match=told):
        target(str(tmp_path / name), False, "calendar", looked(*NAME).trip)
    assert [path.name for path in tmp_path.iterdir()] == ["folder.ics"]
