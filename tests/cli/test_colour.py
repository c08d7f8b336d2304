"""Verdicts and cautions have a colour on a terminal, and nowhere else; their words say all of it."""

from __future__ import annotations

import re

import pytest
from running import seatplan
from terminal import on_terminal

from seatplan.views.terminal import COLOURS
from seatplan.views.text import columns

#: what ECMA-48 calls a control sequence
ESCAPE = re.compile(r"\x1b\[[0-9;]*m")
PAINTED = re.compile(r"\x1b\[1;38;5;(\d+)m([^\x1b\n]*)\x1b\[0m")
GREEN, AMBER, RED = (f"\x1b[1;38;5;{COLOURS[weight]}m" for weight in ("fits", "likely", "rejected"))  # type: ignore[index]
TRIPS = ["three-across-school-run", "three-too-wide", "half-measured-car", "taxi-ride", "two-seater-airbag-off"]


def without(told: str) -> str:
    return ESCAPE.sub("", told)


@pytest.mark.parametrize("trip", TRIPS)
@pytest.mark.parametrize("command", ["arrange", "compare"])
def test_colour_changes_no_letter_and_no_line(trip: str, command: str):
    asked = (command, trip, *(("--vehicle", "skiff-two") if command == "compare" else ()))
    plain, painted = seatplan(*asked), seatplan(*asked, "--color", "always")
    assert (plain.code, plain.err) == (painted.code, painted.err)
    assert "\x1b" not in plain.out
    assert without(painted.out) == plain.out
    assert "\x1b" not in PAINTED.sub("", painted.out), "what is begun ends in its line"
    assert {int(found[1]) for found in PAINTED.finditer(painted.out)} <= set(COLOURS.values())


@pytest.mark.parametrize(("trip", "shade", "words"), [
    ("three-across-school-run", GREEN, "It fits: "), ("three-too-wide", RED, "Nothing fits: "),
    ("half-measured-car", AMBER, "Not settled: "), ("three-across-school-run", GREEN, "1. fits: "),
])
def test_a_verdict_is_painted_and_says_it_in_words(trip: str, shade: str, words: str):
    assert f"\n{shade}{words}" in seatplan("arrange", trip, "--color=always").out


@pytest.mark.parametrize("asked", ["taxi-ride --all --full", "i-size-family", "three-boosters-two-belts"])
def test_cautions_are_painted_by_their_weight(asked: str):
    said = seatplan("arrange", *asked.split(), "--color", "always").out
    found = [(shade, text) for shade, text in PAINTED.findall(said)
             if re.match(r"(?:- )?(?:with [^:]*: )?(?:grave )?caution: ", text)]
    assert found
    assert {(shade, "grave caution: " in text) for shade, text in found} <= {
        (str(COLOURS["grave"]), True), (str(COLOURS["slight"]), False)}


def test_only_verdicts_and_cautions_are_painted():
    said = seatplan("arrange", "two-seater-airbag-off", "--color", "always").out
    begun = re.compile(r"\d+\. |It fits|Close|Likely|Not settled|Nothing fits|(?:grave )?caution: ", re.IGNORECASE)
    lines = said.splitlines()
    for i, line in enumerate(lines):
        if PAINTED.search(line) and not begun.match(without(line).lstrip(" -")):
            assert PAINTED.search(lines[i - 1]), "the first line of a text says what it is"


@pytest.mark.parametrize("width", [60, 100])
def test_widths_are_those_of_the_letters(width: int, monkeypatch: pytest.MonkeyPatch):
    monkeypatch.setattr("seatplan.cli.main.terminal_columns", lambda: width)
    said = seatplan("arrange", "half-measured-car", "--color", "always").out
    assert max(columns(line) for line in without(said).splitlines()) <= width
    assert max(len(line) for line in said.splitlines()) > width


@pytest.mark.parametrize(("environment", "args", "there"), [
    ({"TERM": "xterm-256color"}, (), True),
    ({"TERM": "xterm-256color", "NO_COLOR": "1"}, (), False),
    ({"TERM": "xterm-256color", "NO_COLOR": "0"}, (), False),
    ({"TERM": "xterm-256color", "NO_COLOR": ""}, (), True),
    ({"TERM": "dumb"}, (), False),
    ({"TERM": "xterm-256color"}, ("--color", "never"), False),
    ({"TERM": "xterm-256color", "SEATPLAN_COLOR": "never"}, (), False),
    ({"TERM": "xterm-256color", "SEATPLAN_COLOR": "never"}, ("--color", "auto"), True),
    ({"TERM": "dumb", "NO_COLOR": "1"}, ("--color", "always"), True),
    ({"TERM": "xterm-256color"}, ("--json",), False),
])
def test_colour_on_a_terminal(environment: dict[str, str], args: tuple[str, ...], there: bool):
    assert ("\x1b[1;" in on_terminal("arrange", "two-seater-airbag-off", *args, columns=80, **environment)) is there


def test_off_a_terminal_there_is_none(monkeypatch: pytest.MonkeyPatch):
    monkeypatch.setenv("TERM", "xterm-256color")
    monkeypatch.delenv("NO_COLOR", raising=False)
    assert "\x1b" not in seatplan("arrange", "two-seater-airbag-off").out


def test_a_color_that_is_none_is_refused():
    said = seatplan("demo", "--color", "alwas")
    assert (said.code, said.err) == (2, 'error: --color is "alwas"\nhint: did you mean `always`?\n')


def _light(colour: int) -> float:
    """Relative luminance (WCAG 2.2) of one of the 216 colours of the cube, 16 to 231 (xterm)."""
    steps = (0, 95, 135, 175, 215, 255)
    at = colour - 16
    parts = [steps[at // 36] / 255, steps[at // 6 % 6] / 255, steps[at % 6] / 255]
    red, green, blue = (part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


@pytest.mark.parametrize("colour", sorted(set(COLOURS.values())))
def test_a_colour_is_read_on_black_as_on_white(colour: int):
    light = _light(colour)
    assert 1.05 / (light + 0.05) >= 3.9
    assert (light + 0.05) / 0.05 >= 4
