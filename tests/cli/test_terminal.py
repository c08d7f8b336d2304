"""Text is as wide as the terminal, from 60 to 100 columns; long work tells where it is in one line."""

from __future__ import annotations

import re

import pytest
from running import seatplan
from terminal import on_terminal

from seatplan.views.text import columns

COMMANDS = ["demo", "arrange half-measured-car --top 1", "arrange three-too-wide", "arrange nine-seat-shuttle --top 1",
            "why three-across-school-run --rider Wren --position 2C", "why three-across-school-run --arrangement 2 "
            "--against 1", "room tall-driver --rider Mina --position 2L", "measure half-measured-car", "rules",
            "compare three-across-school-run --vehicle skiff-two", "rules straps-above-shoulder", "list",
            "outlook third-child-on-the-way --until 2027-07-01", "measure --blank vehicle"]


@pytest.mark.parametrize("lang", ["en", "es"])
@pytest.mark.parametrize("command", COMMANDS)
def test_nothing_is_wider_than_a_narrow_page(command: str, lang: str, monkeypatch: pytest.MonkeyPatch):
    monkeypatch.setattr("seatplan.cli.main.terminal_columns", lambda: 60)
    told = seatplan(*command.split(), "--lang", lang)
    assert [line for line in told.out.splitlines() if columns(line) > 60] == []


@pytest.mark.parametrize(("columns_there", "widest"), [(40, 60), (60, 60), (80, 80), (120, 100)])
def test_text_is_as_wide_as_the_terminal(columns_there: int, widest: int):
    told = on_terminal("demo", columns=columns_there)
    lines = re.sub(r"\r[^\n]*\r", "", told).splitlines()
    assert widest - 12 < max(map(columns, lines)) <= widest
    assert "caution" in told


def test_off_a_terminal_text_is_a_hundred_wide():
    assert 88 < max(map(columns, seatplan("demo").out.splitlines())) <= 100


SLOW = """
import sys, time
from seatplan.cli import progress
progress._STEP = 0.0
with progress.Slow() as told:
    for n in range(14):
        told("filling row 2", n * 1000)
print("done")
"""


def test_long_work_is_told_in_one_line_that_is_gone_at_the_end():
    told = on_terminal(columns=40, code=SLOW)
    assert told.count("\n") == 1
    assert "12,000" in told
    shown = ""
    for part in told.split("\r"):
        assert columns(part.rstrip("\n")) < 40
        shown = part + shown[len(part):]                  # what is written over what stood there
    assert shown.rstrip() == "done"


def test_off_a_terminal_long_work_is_told_once(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch):
    monkeypatch.setattr("seatplan.cli.progress._STEP", 0.0)
    exec(SLOW, {})
    said = capsys.readouterr()
    assert (said.out, said.err.count("\n"), said.err.count("\r")) == ("done\n", 1, 0)
