"""`report` and `sheet` from the command line: several vehicles, how long it lasts, exit codes, errors."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from running import seatplan


def written(folder: Path, *args: str, code: int = 0) -> str:
    file = folder / "out.html"
    said = seatplan(*args, "-o", str(file), "--force")
    assert said.code == code, said.err
    return file.read_text(encoding="utf-8")


def test_several_vehicles_share_one_report(tmp_path: Path):
    """The trip's own comes first; in the third there are too few seats."""
    text = written(tmp_path, "report", "three-across-school-run", "--vehicle", "marlow-saloon", "--vehicle",
                   "skiff-two", code=1)
    heads = [text.index(f'id="v{n}-head"') for n in (1, 2, 3)]
    assert heads == sorted(heads)
    assert "1. Harrow Estate" in text
    assert "seatplan draw three-across-school-run --vehicle marlow-saloon" in text
    assert 'data-draw="seatplan draw three-across-school-run"' in text


def test_three_vehicles_that_all_fit_are_still_a_small_file(tmp_path: Path):
    """The larger of them have three rows."""
    text = written(tmp_path, "report", "three-across-school-run", "--vehicle", "lindholm-estate", "--vehicle",
                   "fallow-eight")
    assert text.count('id="v3-a1"') == 1
    assert len(text.encode()) < 1_100_000


def test_the_trips_own_vehicle_may_be_given_at_any_place(tmp_path: Path):
    text = written(tmp_path, "report", "two-seater-airbag-off", "--vehicle", "pipkin-hatch", "--vehicle", "skiff-two")
    assert "1. Pipkin Hatch" in text
    assert "2. Skiff Two" in text
    assert "v3" not in text


def test_one_vehicle_stands_in_for_the_trips_own(tmp_path: Path):
    text = written(tmp_path, "report", "two-seater-airbag-off", "--vehicle", "pipkin-hatch")
    assert "In Pipkin Hatch" in text
    assert "Skiff Two" not in text


def test_names_of_several_vehicles_that_are_wrong_are_told_and_nothing_is_written(tmp_path: Path):
    file = tmp_path / "plan.html"
    said = seatplan("report", "two-seater-airbag-off", "--vehicle", "skif-two", "--vehicle", "pipkin", "-o", str(file))
    assert said.code == 2
    assert '"skif-two"' in said.err
    assert '"pipkin"' in said.err
    assert not file.exists()


@pytest.mark.parametrize("command", ["report", "sheet"])
def test_until_must_be_a_day_to_come(command: str, tmp_path: Path):
    for until in ("2020-01-01", "soon", "11y"):
        file = tmp_path / "out.html"
        said = seatplan(command, "two-seater-airbag-off", "--until", until, "-o", str(file))
        assert said.code == 2
        assert "--until is" in said.err
        assert "expected years or months, such as 4y" in said.err
        assert not file.exists()


def test_the_report_says_how_long_it_lasts_where_that_is_asked(tmp_path: Path):
    assert "timeline" not in written(tmp_path, "report", "two-seater-airbag-off").partition("<body>")[2]
    text = written(tmp_path, "report", "two-seater-airbag-off", "--until", "1y")
    assert 'id="timeline"' in text
    assert "2026-11-30 to 2027-11-30" in text


def test_every_vehicle_has_its_timeline(tmp_path: Path):
    text = written(tmp_path, "report", "two-seater-airbag-off", "--vehicle", "skiff-two", "--vehicle", "pipkin-hatch",
                   "--until", "6 months")
    assert 'id="v1-timeline"' in text
    assert 'id="v2-timeline"' in text


def test_the_sheet_says_how_long_each_restraint_lasts_where_that_is_asked(tmp_path: Path):
    assert 'class="lasts"' not in written(tmp_path, "sheet", "borrowed-bars")
    text = written(tmp_path, "sheet", "borrowed-bars", "--until", "3y")
    assert text.count('class="lasts"') == 2
    assert "Rosa is taller than 1,245 mm, the most for Lattice; measure again by" in text


def test_a_sheet_of_a_later_day_looks_from_that_day_on(tmp_path: Path):
    said = seatplan("sheet", "borrowed-bars", "--on", "2027-06-01", "--until", "2027-06-01", "-o",
                    str(tmp_path / "sheet.html"))
    assert said.code == 2
    text = written(tmp_path, "sheet", "borrowed-bars", "--on", "2027-06-01", "--until", "2028-01-15")
    days = re.findall(r"measure again by ([0-9-]{10})", text)
    assert days
    assert all("2027-06-01" < day <= "2028-01-15" for day in days)
