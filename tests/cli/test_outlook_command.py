"""`seatplan outlook`: exit codes, bad input, files."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from running import seatplan

from seatplan.app.days import MOST_MONTHS


@pytest.mark.parametrize(("trip", "until", "code"), [
    ("tall-driver", "4 months", 0), ("two-children-one-tether", "3 months", 1), ("half-measured-car", "2 months", 3),
    ("no-such-trip", "1y", 2),
])
def test_leaves_with_the_code_of_its_answer(trip: str, until: str, code: int) -> None:
    said = seatplan("outlook", trip, "--until", until)
    assert said.code == code
    assert bool(said.out) == (code != 2)


@pytest.mark.parametrize("until", ["soon", "0y", "11y", "2026-11-30", "2020-01-01", "2037-01-01", "4"])
def test_an_end_that_is_none_is_told(until: str) -> None:
    said = seatplan("outlook", "tall-driver", "--until", until)
    assert said.code == 2
    assert said.err.startswith("error: --until is ")
    assert "hint: expected years or months" in said.err
    assert MOST_MONTHS == 120


def test_json_and_a_calendar_at_once(tmp_path: Path) -> None:
    file = tmp_path / "outlook.ics"
    said = seatplan("outlook", "tall-driver", "--until", "2027-03-30", "--json", "-o", str(file))
    told = json.loads(said.out)
    assert (told["from"], told["until"], said.code) == ("2026-11-30", "2027-03-30", 0)
    assert file.read_text(encoding="utf-8").startswith("BEGIN:VCALENDAR")


def test_somebody_elses_calendar_is_left_alone(tmp_path: Path) -> None:
    file = tmp_path / "mine.ics"
    file.write_text("BEGIN:VCALENDAR\n", encoding="utf-8")
    said = seatplan("outlook", "tall-driver", "--until", "3 months", "-o", str(file))
    assert said.code == 2
    assert said.out == ""
    assert "is there already, and seatplan did not write it" in said.err
    assert file.read_text(encoding="utf-8") == "BEGIN:VCALENDAR\n"


def test_another_vehicle_and_other_rules() -> None:
    said = seatplan("outlook", "tall-driver", "--until", "2 months", "--vehicle", "harrow-estate", "--rules", "un")
    assert "in Harrow Estate (invented), rules un" in said.out
    assert "seatplan arrange tall-driver --vehicle harrow-estate --rules un --on" in " ".join(said.out.split())


def test_stock_has_no_calendar() -> None:
    said = seatplan("outlook", "tall-driver", "--stock", "-o", "x.ics")
    assert said.code == 2
    assert "--stock has no calendar" in said.err


def test_arrange_on_a_later_day_says_what_it_reckoned() -> None:
    said = seatplan("arrange", "tall-driver", "--on", "2027-11-30", "--top", "1")
    assert said.err.startswith("note: Mina on 2027-11-30: ")
    assert "by growth tables (measured 2026-11-30)" in said.err
    assert "The sizes of Mina are reckoned for that day" in " ".join(said.out.split())
    told = json.loads(seatplan("arrange", "tall-driver", "--on", "2027-11-30", "--json").out)
    assert [r["rider"] for r in told["reckoned"]] == ["Mina"]
    assert told["verdict"] in ("likely", "unmeasured")


def test_arrange_before_a_birth_says_who_is_not_there() -> None:
    said = seatplan("arrange", "third-child-on-the-way", "--top", "1")
    assert said.err == "note: Minnow is due 2027-03-20 and does not ride before\n"
    assert "3 riders" in said.out
    later = seatplan("arrange", "third-child-on-the-way", "--top", "1", "--on", "2027-03-20")
    assert "4 riders" in later.out
    assert "Minnow on 2027-03-20: 3.4 kg" in later.err
