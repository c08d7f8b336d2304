"""Bookings from CSV files as they come: the good ones are taken, the others told without what they hold."""

from __future__ import annotations

import csv
import io
import logging
import subprocess
import sys
from collections.abc import Iterator
from datetime import date, datetime
from pathlib import Path

import pytest
from fleet_samples import DAY, HEADER, ROW
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from seatplan.files import csv_cells
from seatplan.files.bookings import BookingRow, Known, Reject, folded, gone_by, read_bookings
from seatplan.files.errors import InputError
from seatplan.files.riders_cell import RiderTold
from seatplan.files.salt import key_of

SALT = b"0123456789abcdef0123456789abcdef"
A_TIME = "expected a day and a time on the clock there, such as 2026-11-30 08:15"
QUOTES = ("quotes that do not close in this line; expected each row on one line, and two quotes for one within a "
          "cell")
KNOWN = Known(SALT, folded(["Yard", "Quay", "Mill"]), folded(["shell", "booster"]), DAY, 30)


def read(folder: Path, text: str | bytes, known: Known = KNOWN) -> list[BookingRow | Reject]:
    file = folder / "bookings.csv"
    file.write_bytes(text if isinstance(text, bytes) else text.encode())
    return list(read_bookings(str(file), known))


def reasons(found: list[BookingRow | Reject]) -> list[tuple[int, str, str]]:
    return [(one.line, one.field, str(one.reason)) for one in found if isinstance(one, Reject)]


def test_a_booking(tmp_path: Path) -> None:
    [row] = read(tmp_path, HEADER + ROW)
    assert row == BookingRow(2, key_of("K-17", SALT), datetime(2026, 11, 30, 8), datetime(2026, 11, 30, 8, 30), "Mill",
                             "Quay", (RiderTold((60, 60), 18_000, 1100, True),), (RiderTold(None, None, 1680),), (), ())


@pytest.mark.parametrize("change", [
    lambda text: b"\xef\xbb\xbf" + text.encode(),
    lambda text: text.encode("utf-16"),
    lambda text: text.replace("\n", "\r\n").encode(),
    lambda text: text.replace("\n", "\r").encode(),
    lambda text: text.replace(",", "\t").encode(),
    lambda text: text.replace(",", ";").encode(),
    lambda text: text.rstrip("\n").encode(),
    lambda text: text.replace("K-17", '"K-17"').replace("5y 18kg", '"5y  18kg').replace("upright", 'upright"').encode(),
    lambda text: text.replace("id,", "ID ,").replace("riders", " Riders ").encode(),
    lambda text: text.replace("\n", ",phone,name\n", 1).replace("cm,\n", "cm,,0170,Anna Probe\n").encode(),
    lambda text: ("\n" * 3 + text.replace("\n", "\n,,,,,,,\n")).encode(),
    lambda text: text.replace("Mill", " mill").replace("08:00", "08:00:00").replace("30 08:30", "30T08:30").encode(),
])
def test_encodings_separators_quotes_and_line_ends_change_nothing(tmp_path: Path, change) -> None:
    [plain] = read(tmp_path, HEADER + ROW)
    [row] = read(tmp_path, change(HEADER + ROW))
    assert row._replace(line=2) == plain


def test_riders_between_semicolons_in_a_file_with_semicolons(tmp_path: Path) -> None:
    text = (HEADER + ROW).replace(",", ";").replace("5y 18kg 110cm upright", '"8m; 5y"')
    [row] = read(tmp_path, text)
    assert isinstance(row, BookingRow)
    assert [one.months for one in row.riders] == [(8, 8), (60, 60)]


@pytest.mark.parametrize(("old", "new", "field", "says"), [
    ("K-17", "", "id", "expected an id of 1 to 200 letters"),
    ("K-17", "x" * 201, "id", "expected an id of 1 to 200 letters"),
    ("2026-11-30 08:00", "30.11.2026 08:00", "start", A_TIME),
    ("2026-11-30 08:00", "2026-02-30 08:00", "start", A_TIME),
    ("2026-11-30 08:00", "2026-11-30 08:00Z", "start", A_TIME),
    ("08:30", "25:30", "end", A_TIME),
    ("08:30", "08:00", "end", "it ends before it begins, or at once; expected a later end"),
    ("2026-11-30 08:30", "2026-12-01 08:01", "end", "it takes more than a day; expected an earlier end"),
    ("2026-11-30 08:00,2026-11-30 08:30", "2029-11-30 08:00,2029-11-30 08:30", "start",
     "more than two years ahead; expected an earlier day"),
    ("2026-11-30 08:00,2026-11-30 08:30", "2026-10-30 08:00,2026-10-30 08:30", "end",
     "it ended longer ago than bookings are kept"),
    ("Mill", "Elm Street 4", "from", "no such place in the travel matrix; expected one of its names"),
    ("Quay", "", "to", "no such place in the travel matrix; expected one of its names"),
    ("5y 18kg", "5y 18", "riders", None),
    ("168cm", "", "adults", None),
    ("5y 18kg 110cm upright", "", "riders", "expected the children who ride, or 0 where none does"),
    ("5y 18kg 110cm upright,168cm", "0,0", "adults", "expected 1 to 19 riders, adults among them"),
    ("168cm,", "168cm,shel", "own", 'no such kind in the fleet\'s file; expected its kinds, with "in order" behind '
     "each that is in date and undamaged, and / between two"),
    ("168cm,", "168cm,shell / booster", "own", "more restraints than children; expected at most one for each"),
    ("168cm,", "168cm", "", "7 cells; expected 8, as in the first line"),
    ("168cm,", "168cm,,", "", "9 cells; expected 8, as in the first line"),
    ("K-17", '"K-17', "", QUOTES),
    ("K-17", 'K"17"x', "id", None),
])
def test_a_bad_row_is_told_by_line_and_field_and_the_rest_goes_on(
        tmp_path: Path, old: str, new: str, field: str, says: str | None) -> None:
    assert old in ROW
    found = read(tmp_path, HEADER + ROW.replace(old, new) + ROW.replace("K-17", "K-18"))
    if 'K"17' in new:                              # a quote within a cell is a letter of it
        assert not reasons(found)
        return
    [(line, told_field, reason)] = reasons(found)
    assert (line, told_field) == (2, field)
    assert says is None or reason == says
    assert isinstance(found[1], BookingRow)
    assert found[1].key == key_of("K-18", SALT)


def test_the_rest_of_a_row_on_two_lines_is_no_row_with_half_an_id(tmp_path: Path) -> None:
    """The lines below are rows again."""
    two = ROW.replace("K-17", '"K\n17"')
    found = read(tmp_path, HEADER + two + ROW.replace("K-17", 'K"18"') + ROW)
    assert reasons(found) == [(2, "", QUOTES), (3, "", QUOTES)]
    assert [one.key for one in found[2:]] == [key_of('K"18"', SALT), key_of("K-17", SALT)]


def test_an_id_twice(tmp_path: Path) -> None:
    found = read(tmp_path, HEADER + ROW + ROW.replace("K-17", " K-17 "))
    assert reasons(found) == [(3, "id", "this id stands above in the file; expected each booking once")]


def test_bytes_that_are_no_letters_spoil_their_own_line_alone(tmp_path: Path) -> None:
    bad = ROW.replace("K-17", "K-é").encode("latin-1")
    found = read(tmp_path, HEADER.encode() + bad + ROW.encode() + ROW.replace("K-17", "Ä").encode())
    assert reasons(found) == [(2, "", "a letter that is no UTF-8; expected the file to be saved as UTF-8")]
    assert len(found) == 3


def test_a_line_without_end_spoils_itself_alone(tmp_path: Path) -> None:
    found = read(tmp_path, HEADER + "x" * 500_000 + "\n" + ROW)
    assert reasons(found) == [(2, "", "a line of more than 100000 letters; expected a shorter one")]
    assert isinstance(found[1], BookingRow)
    assert found[1].line == 3


def test_own_restraints_count_once_somebody_looked_at_them(tmp_path: Path) -> None:
    row_of_two = ROW.replace("5y 18kg", "9m; 5y 18kg").replace("168cm,", "168cm,Booster / shell in order")
    [row] = read(tmp_path, HEADER + row_of_two)
    assert isinstance(row, BookingRow)
    assert (row.own, row.unsure) == (("shell",), ("booster",))


@pytest.mark.parametrize(("header", "says"), [
    ("id,start,end,from,to,rider,adults", "1:1: no column is called `riders`; did you mean column 6?"),
    ("id,start,end,from,to,riders", "1:1: no column is called `adults`; expected id, start, end, from, to, riders, "
     "adults in the first line, and `own` where parties bring restraints"),
    ("id,start,end,from,to,riders,adults,id", "1:1: column `id` stands here twice"),
    ('id,start,end,from,to,riders,"adults', f"1:1: {QUOTES}"),
])
def test_a_header_that_will_not_do(tmp_path: Path, header: str, says: str) -> None:
    with pytest.raises(InputError) as error:
        read(tmp_path, header + "\n" + ROW)
    assert [str(one).removeprefix(f"{tmp_path}/bookings.csv:") for one in error.value.problems] == [says]


def test_without_a_header_nothing_of_the_first_booking_is_told(tmp_path: Path) -> None:
    with pytest.raises(InputError) as error:
        read(tmp_path, ROW)
    assert len(error.value.problems) == 7
    for problem in error.value.problems:
        told = repr(problem)
        assert not any(word in told for word in ("K-17", "Mill", "18kg", "168"))


@pytest.mark.parametrize(("raw", "says"), [
    (b"", "this file is empty; expected bookings in CSV"),
    (b"\n\n", "this file is empty; expected bookings in CSV"),
    (b"PK\x03\x04", "this is an archive, or a document of an office program; expected a CSV file"),
    (b"id\0start", "this is no text in UTF-8; expected a CSV file"),
])
def test_what_is_no_file_of_bookings(tmp_path: Path, raw: bytes, says: str) -> None:
    with pytest.raises(InputError, match=says):
        read(tmp_path, raw)


def test_how_long_bookings_are_kept() -> None:
    end = datetime(2026, 10, 31, 23, 59)
    assert not gone_by(end, date(2026, 11, 30), 30)
    assert gone_by(end, date(2026, 12, 1), 30)
    assert not gone_by(end, date(2099, 1, 1), None)


SECRETS = ["Kasimir-4711", "Wren Probe", "0170-5551234", "Elmhurst Lane 77", "8y 31.7kg 133.3cm", "173.7cm"]


def test_nothing_personal_is_in_rejects_rows_logs_or_output(
        tmp_path: Path, caplog: pytest.LogCaptureFixture, capfd: pytest.CaptureFixture[str]) -> None:
    """A row with its secrets, spoilt in each column in turn, and once whole: nothing but the key is left of it."""
    caplog.set_level(logging.DEBUG)
    ident, name, phone, street, child, adult = SECRETS
    good = [ident, "2026-11-30 08:00", "2026-11-30 08:30", "Mill", "Quay", child, adult, "", name, phone, street]
    rows = [good]
    for column in range(8):
        for bad in (street, f"{child} {name}", '"', "=1+1"):
            rows.append([f"{ident}-{len(rows)}", *good[1:column], bad, *good[column + 1:]] if column else
                        [f"{ident}{'x' * 300}", *good[1:]])
    text = csv_cells.line([*HEADER.strip().split(","), "name", "phone", "street"]) + "".join(map(csv_cells.line, rows))
    found = read(tmp_path, text)
    rejects = [one for one in found if isinstance(one, Reject)]
    assert len(rejects) > 20
    told = "".join(csv_cells.line(one) for one in rejects) + repr(rejects) + caplog.text + "".join(capfd.readouterr())
    for secret in (*SECRETS, "Kasimir", "Wren", "Probe", "4711", "5551234", "Elmhurst", "31.7", "133.3", "173.7",
                   "1+1"):
        assert secret not in told
    [row] = [one for one in found if isinstance(one, BookingRow) and one.line == 2]
    for secret in ("Kasimir", "Wren", "5551234", "Elmhurst"):
        assert secret not in repr(row)


def _lines() -> st.SearchStrategy[str]:
    cells = st.sampled_from(["K-1", "2026-11-30 08:00", "2026-11-30 09:00", "Mill", "Quay", "5y", "0", "1", "", '"',
                             '"a', "=x", "-1", "9" * 30, "shell in order", "\x00", "\u2028", "é", "5y;6y", "'", "\\",
                             "\t"])
    return st.lists(cells, max_size=10).map(",".join)


@settings(max_examples=200, suppress_health_check=[HealthCheck.function_scoped_fixture], deadline=None)
@given(st.lists(_lines() | st.text(max_size=60), max_size=6), st.sampled_from(["\n", "\r\n", "\r"]),
       st.binary(max_size=3))
def test_mangled_rows_are_taken_or_told_and_a_good_one_behind_them_is_taken(
        tmp_path: Path, lines: list[str], end: str, junk: bytes) -> None:
    body = end.join(lines).encode("utf-8", "surrogatepass")
    raw = HEADER.encode() + body + junk.replace(b"\0", b"?") + b"\n" + ROW.replace("K-17", "K-last").encode()
    found = read(tmp_path, raw if b"\0" not in raw[:4096] else raw.replace(b"\0", b"\x01"))
    assert isinstance(found[-1], BookingRow)
    assert found[-1].key == key_of("K-last", SALT)
    for one in found:
        assert one.line >= 2


@settings(max_examples=100, suppress_health_check=[HealthCheck.function_scoped_fixture], deadline=None)
@given(st.binary(max_size=200))
def test_any_bytes_are_read_or_refused(tmp_path: Path, raw: bytes) -> None:
    problems = []
    try:
        read(tmp_path, raw)
    except InputError as error:
        problems = error.problems
    assert all(problem.text for problem in problems)


@settings(max_examples=100, suppress_health_check=[HealthCheck.function_scoped_fixture], deadline=None)
@given(st.text(min_size=1, max_size=30).filter(lambda text: " ".join(text.split()) and text.isprintable()))
def test_any_id_that_is_written_is_read_as_its_key(tmp_path: Path, ident: str) -> None:
    buffer = io.StringIO(newline="")
    writer = csv.writer(buffer)
    writer.writerow(HEADER.strip().split(","))
    writer.writerow([ident, *ROW.strip().split(",")[1:]])
    [row] = read(tmp_path, buffer.getvalue())
    assert isinstance(row, BookingRow)
    assert row.key == key_of(ident, SALT)


_MEASURE = """
import resource, sys
from datetime import date
from seatplan.files.bookings import Known, BookingRow, folded, read_bookings
known = Known(b"x" * 32, folded(["Mill", "Quay"]), {}, date(2026, 11, 30))
good = bad = 0
for one in read_bookings(sys.argv[1], known):
    good, bad = (good + 1, bad) if isinstance(one, BookingRow) else (good, bad + 1)
print(good, bad, resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024)
"""


def _many(n: int) -> Iterator[str]:
    yield HEADER
    for k in range(n):
        bad = "x" if k % 100 == 0 else ""
        yield (f"K-{k},2026-11-30 {k % 20:02}:{k % 60:02},2026-11-30 {k % 20 + 2:02}:00,Mill,Quay,{k % 17}y{bad};"
               f"{k % 13}y {10 + k % 200 / 10}kg,1,\n")


def _measured(tmp_path: Path, n: int) -> tuple[int, int, int]:
    file = tmp_path / "many.csv"
    with file.open("w", encoding="utf-8") as out:
        out.writelines(_many(n))
    done = subprocess.run([sys.executable, "-c", _MEASURE, str(file)], capture_output=True, text=True, check=True)
    good, bad, megabytes = map(int, done.stdout.split())
    return good, bad, megabytes


def test_many_rows_are_streamed(tmp_path: Path) -> None:
    good, bad, few = _measured(tmp_path, 1_000)
    assert (good, bad) == (990, 10)
    good, bad, many = _measured(tmp_path, 41_000)
    assert (good, bad) == (40_590, 410)
    assert many - few < 40                         # a list of rows would take more


@pytest.mark.whole
def test_a_million_rows_stay_below_a_gigabyte(tmp_path: Path) -> None:
    good, bad, megabytes = _measured(tmp_path, 1_000_000)
    assert (good, bad) == (990_000, 10_000)
    assert megabytes < 1000
