"""Trips that are given together agree on birthdays."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import file_samples
import pytest

from seatplan.doubt.check import check


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    for name, text in (("car.yaml", file_samples.VEHICLE), ("seat.yaml", file_samples.RESTRAINT),
                       ("trip.yaml", file_samples.TRIP)):
        (tmp_path / name).write_text(text, encoding="utf-8")
    return tmp_path


def told(*paths: str, today: date | None = None) -> list[list[str]]:
    return [[str(problem) for problem in report.problems] for report in check(paths, today)]


def test_another_birthday(folder: Path) -> None:
    (folder / "other.yaml").write_text(file_samples.TRIP.replace("2025-11-20", "2025-11-02"), encoding="utf-8")
    assert told("trip.yaml", "car.yaml", "other.yaml") == [[], [], [
        "other.yaml:7:25: Wren is born 2025-11-02 here and 2025-11-20 in trip.yaml; expected one birthday, or another "
        "name"]]
    assert told("other.yaml") == [[]]


def test_the_same_birthday_or_none(folder: Path) -> None:
    (folder / "other.yaml").write_text(file_samples.TRIP.replace("born: 2025-11-20, ", ""), encoding="utf-8")
    assert told("trip.yaml", "other.yaml", "trip.yaml") == [[], [], []]


def test_made_after_the_day_of_the_check(folder: Path) -> None:
    assert told("seat.yaml", today=date(2025, 2, 11)) == [[]]
    assert told("seat.yaml", today=date(2025, 2, 10)) == [[
        "seat.yaml:3:7: Sample Shell was made 2025-02-11, after 2025-02-10; expected a day up to it"]]
