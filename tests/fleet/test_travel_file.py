"""The travel matrix: every pair said, nothing filled in, every error with its place."""

from __future__ import annotations

from pathlib import Path

import pytest
from fleet_samples import TRAVEL
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from seatplan.files.errors import InputError
from seatplan.files.travel import load_travel


def told(path: Path) -> list[str]:
    with pytest.raises(InputError) as error:
        load_travel(str(path))
    return [str(problem).removeprefix(f"{path}:").strip() for problem in error.value.problems]


def test_minutes_may_differ_there_and_back_and_need_no_shortest_way(tmp_path: Path) -> None:
    file = tmp_path / "t.csv"
    file.write_text(TRAVEL.replace("20", "-").replace("9\n", "9.01\n"), encoding="utf-8")
    found = load_travel(str(file))
    assert (found["Yard", "Quay"], found["Quay", "Yard"], found["Yard", "Yard"]) == (12, 14, 3)
    assert found["Yard", "Mill"] == 10
    assert ("Quay", "Mill") not in found
    assert len(found) == 8


@pytest.mark.parametrize(("old", "new", "says"), [
    ("3,12,9", "3,,9", '2:3: no minutes from "Yard" to "Quay"; expected 0 to 1440, or - where nothing drives'),
    ("3,12,9", "3,12", '2:4: no minutes from "Yard" to "Mill"; expected 0 to 1440, or - where nothing drives'),
    ("3,12,9", "3,12,9,4", "2:5: 5 cells; expected 4, as in the first line"),
    ("\nQuay,", "\nQuai,", '3:1: place "Quai" is not in the first line; did you mean "Quay"?'),
    ("\nQuay,", "\nquay,", '3:1: place "quay" is not in the first line; did you mean "Quay"?'),
    ("\nQuay,", "\nYard,", '3:1: place "Yard" stands here twice; first in line 2'),
    ("from,Yard,Quay,Mill", "from,Yard,Quay,yard", '1:4: place "yard" stands here twice, in columns 2 and 4'),
    ("from,Yard,Quay,Mill", "from,Yard,,Mill", "1:3: column 3 has no name; expected that of a place"),
    ("from,Yard,Quay,Mill", "from", "1:1: expected the places in the first line, and in the first cell of each line "
     "below"),
    ("\nMill,8,21,4\n", "\n", '1:4: place "Mill" has a column and no line; expected the minutes from it'),
    ('Mill,8', '"Mill,8', "4:1: quotes that do not close in this line; expected each row on one line, and two quotes "
     "for one within a cell"),
])
def test_every_error_has_its_place(tmp_path: Path, old: str, new: str, says: str) -> None:
    assert TRAVEL.count(old) == 1
    file = tmp_path / "t.csv"
    file.write_text(TRAVEL.replace(old, new), encoding="utf-8")
    assert says in told(file)


@pytest.mark.parametrize("minutes", ["-12", "1e9", "nan", "1441", "1,5 h", "12.", ".5", "+3", "١٢", "=3"])
def test_what_is_no_number_of_minutes(tmp_path: Path, minutes: str) -> None:
    (tmp_path / "t.csv").write_text(TRAVEL.replace("3,12,9", f'3,"{minutes}",9'), encoding="utf-8")
    assert told(tmp_path / "t.csv") == [
        f'2:3: minutes from "Yard" to "Quay" are "{minutes}"; expected 0 to 1440, or - where nothing drives']


def test_no_file_an_empty_one_a_folder_and_a_picture(tmp_path: Path) -> None:
    assert told(tmp_path / "t.csv") == ["there is no such file"]
    assert told(tmp_path) == ["this is a directory; expected a CSV file"]
    (tmp_path / "t.csv").write_bytes(b"")
    assert told(tmp_path / "t.csv") == ["this file is empty; expected a travel matrix in CSV"]
    (tmp_path / "t.csv").write_bytes(b"PK\x03\x04rest")
    assert told(tmp_path / "t.csv") == ["this is an archive, or a document of an office program; expected a CSV "
                                        "file"]


def test_not_more_is_told_than_anybody_reads(tmp_path: Path) -> None:
    places = [f"P{n}" for n in range(60)]
    (tmp_path / "t.csv").write_text("\n".join([",".join(["", *places]), *places]), encoding="utf-8")
    assert 20 <= len(told(tmp_path / "t.csv")) <= 100


@settings(max_examples=150, suppress_health_check=[HealthCheck.function_scoped_fixture], deadline=None)
@given(st.binary(max_size=120) | st.text(alphabet='Yard,Quy"\n\r;-0123456789.', max_size=120).map(str.encode))
def test_whatever_it_holds_is_read_or_refused(tmp_path: Path, raw: bytes) -> None:
    (tmp_path / "t.csv").write_bytes(raw)
    found, problems = {}, []
    try:
        found = load_travel(str(tmp_path / "t.csv"))
    except InputError as error:
        problems = error.problems
    assert all(problem.text for problem in problems)
    assert all(0 <= minutes <= 1440 for minutes in found.values())
