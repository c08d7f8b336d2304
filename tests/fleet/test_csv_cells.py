"""Nothing that we write into a CSV file is run by a spreadsheet that opens it."""

from __future__ import annotations

import csv
import io

import pytest
from hypothesis import given
from hypothesis import strategies as st

from seatplan.files.csv_cells import cell, line


@pytest.mark.parametrize("text", ["=1+1", "+1", "-1", "@SUM(A1)", "\tx", "\r=1", "\n=1", " =1", "  @x", "＝1",
                                  "=cmd|' /C x'!A0"])
def test_what_would_run_is_text(text: str) -> None:
    assert next(csv.reader([cell(text)], strict=True), [""])[0].lstrip().startswith("'") or "\n" in text or "\r" in text
    assert cell(text).startswith('"\'')


def test_numbers_stay_numbers() -> None:
    assert line((-5, 2.5, 0, "a", "a;b", 'say "x"')) == '-5,2.5,0,a,"a;b","say ""x"""\r\n'


@given(st.lists(st.text(), min_size=1, max_size=5))
def test_what_is_written_reads_back_but_for_the_apostrophe(cells: list[str]) -> None:
    [row] = csv.reader(io.StringIO(line([*cells, "end"]), newline=""), strict=True)
    for read, wrote in zip(row, cells, strict=False):
        assert read in (wrote, f"'{wrote}")
        assert not read.startswith(("=", "+", "-", "@", "\t", "\r", "\n"))
        assert not read.lstrip().startswith(("=", "+", "-", "@"))
