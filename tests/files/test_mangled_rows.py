"""Whatever the tables of a fleet hold, each row is read or refused with its place: never a traceback."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from seatplan.files.accepted import load_accepted
from seatplan.files.bookings import Known, Reject, folded, read_bookings
from seatplan.files.errors import InputError
from seatplan.files.travel import load_travel

PLACES = ["Yard", "Quay", "Mill"]
KNOWN = Known(b"salt", folded(PLACES), folded(["shell", "booster"]), date(2026, 11, 29), 30)
BOOKINGS = ("id,start,end,from,to,riders,adults,own\n"
            "K-17,2026-11-30 08:00,2026-11-30 08:30,Mill,Quay,5y 18kg 110cm upright,168cm,\n"
            "K-18,2026-11-30 09:00,2026-11-30 09:30,Quay,Yard,9y 30kg 135cm upright,168cm,shell\n")
TRAVEL = "from,Yard,Quay,Mill\nYard,3,12,9\nQuay,14,2,20\nMill,8,21,4\n"
ACCEPTED = "id,offer,why\nK-17,1,the parents agreed\n"
CELLS = ["", "0", "-1", "1e999", "9" * 400, '"', '""', "\n", "=1+1", "2026-13-45 25:61", "Yard", "5y", "\x00", "\u2028"]


def bookings(path: str) -> None:
    for row in read_bookings(path, KNOWN):
        if isinstance(row, Reject):
            assert row.line > 1
            assert 0 < len(row.reason) < 2000
            assert str(row.reason).isprintable()


#: a table that is right, and who reads it
READERS: dict[str, tuple[str, Callable[[str], object]]] = {
    "bookings": (BOOKINGS, bookings), "travel": (TRAVEL, load_travel),
    "accepted": (ACCEPTED, lambda path: load_accepted(path, b"salt"))}
slow = settings(max_examples=80, suppress_health_check=[HealthCheck.function_scoped_fixture])


def must_not_crash(folder: Path, kind: str, raw: bytes) -> None:
    file = folder / "f.csv"
    file.write_bytes(raw)
    problems = None
    try:
        READERS[kind][1](str(file))
    except InputError as error:
        problems = error.problems
    assert problems != []
    for problem in problems or ():
        assert 0 <= problem.line <= raw.count(b"\n") + raw.count(b"\r") + 2
        assert 0 < len(problem.text) < 2000
        assert str(problem).isprintable()


def test_what_is_right_is_read(tmp_path: Path) -> None:
    for kind, (text, read) in READERS.items():
        (tmp_path / kind).write_text(text, encoding="utf-8")
        if kind != "bookings":
            assert read(str(tmp_path / kind))
    assert not any(isinstance(row, Reject) for row in read_bookings(str(tmp_path / "bookings"), KNOWN))


@pytest.mark.parametrize("kind", READERS)
@slow
@given(data=st.data())
def test_flipped_bytes(tmp_path: Path, kind: str, data: st.DataObject) -> None:
    raw = bytearray(READERS[kind][0].encode())
    for _ in range(data.draw(st.integers(1, 4))):
        raw[data.draw(st.integers(0, len(raw) - 1))] = data.draw(st.integers(0, 255))
    must_not_crash(tmp_path, kind, bytes(raw))


@pytest.mark.parametrize("kind", READERS)
@slow
@given(data=st.data())
def test_cells_exchanged(tmp_path: Path, kind: str, data: st.DataObject) -> None:
    cells = READERS[kind][0].split(",")
    for _ in range(data.draw(st.integers(1, 4))):
        cells[data.draw(st.integers(0, len(cells) - 1))] = data.draw(st.sampled_from(CELLS))
    must_not_crash(tmp_path, kind, ",".join(cells).encode())


@pytest.mark.parametrize("kind", READERS)
@slow
@given(raw=st.binary(max_size=300))
def test_random_bytes(tmp_path: Path, kind: str, raw: bytes) -> None:
    must_not_crash(tmp_path, kind, raw)
