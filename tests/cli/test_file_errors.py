"""What is said of files that cannot be used: the sentence, the line of the file, and a mark under what is wrong."""

from __future__ import annotations

import random
import re
import time
from collections.abc import Callable
from pathlib import Path

import pytest
from running import seatplan

from seatplan.files.errors import Problem
from seatplan.files.library import find, names
from seatplan.files.syntax import lines_in
from seatplan.views.manner import speaking
from seatplan.views.problem_text import source_lines
from seatplan.views.text import columns

CAR = """\
vehicle: Sample Wagon
rows:
  - row: 1
    positions: [{position: 1L, centre: 300}]
  - row: 2
    positions:
      - position: 2L
        centre: 310
        belt: {kind: lap-shoulder, anchors: [120, 520]}
"""
SEAT = """\
restraint: Sample Cushion
modes:
  - mode: backless-booster
    installations: [{by: lap-shoulder-belt}]
"""
TRIP = """\
trip: Sample trip
vehicle: car.yaml
drives: 1L
riders:
  - rider: Ines
    age: 36y
    adult: yes
    drives: yes
  - rider: Oslo
    age: 9y
restraints: [seat.yaml]
"""


def text(told: str) -> str:
    """What is expected on stderr, as it stands between the quotes of a test."""
    return told.removeprefix("\n")


@pytest.fixture(autouse=True)
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder with a right file of each kind, which is the current one."""
    monkeypatch.chdir(tmp_path)
    for name, holds in (("car.yaml", CAR), ("seat.yaml", SEAT), ("trip.yaml", TRIP)):
        (tmp_path / name).write_text(holds, encoding="utf-8")
    return tmp_path


#: name -> file, what stands there, what is put in its place, all that is said
SPOTS = {
    "a value that is none of the list": ("car.yaml", "kind: lap-shoulder", "kind: lapshoulder", """
error: car.yaml:9:22: belt kind of position 2L is "lapshoulder"; expected lap-shoulder, lap or none
  9 |         belt: {kind: lapshoulder, anchors: [120, 520]}
    |                      ^^^^^^^^^^^
"""),
    "a length without sense": ("car.yaml", "centre: 310", "centre: about 310", """
error: car.yaml:8:17: centre of position 2L is "about 310"; expected mm, cm, m, in or ft, such as 438, \
"43.8 cm" or "17 1/4 in"
  8 |         centre: about 310
    |                 ^^^^^^^^^
"""),
    "no value": ("trip.yaml", "rider: Oslo", "rider:", """
error: trip.yaml:9:11: name of rider 2 is empty; expected a name of 1 to 60 characters
  9 |   - rider:
    |           ^
"""),
    "a key by another name": ("trip.yaml", "age: 9y", "weight: 30 kg", """
error: trip.yaml:10:5: unknown key "weight" in rider Oslo; did you mean "mass"?
  10 |     weight: 30 kg
     |     ^^^^^^
"""),
    "several in one file": ("car.yaml", "position: 2L\n        centre: 310", "postion: 2L\n        center: 310", """
error: car.yaml:7:9: row 2, position 1 has no name: expected key "position"
  7 |       - postion: 2L
    |         ^
error: car.yaml:7:9: unknown key "postion" in row 2, position 1; did you mean "position"?
  7 |       - postion: 2L
    |         ^^^^^^^
error: car.yaml:8:9: unknown key "center" in row 2, position 1; did you mean "centre"?
  8 |         center: 310
    |         ^^^^^^
"""),
    "a tab": ("trip.yaml", "    age: 36y", "\tage: 36y", """
error: trip.yaml:6:1: a tab indents this line; expected spaces
  6 |     age: 36y
    | ^^^^
"""),
    "a tab behind spaces": ("car.yaml", "        centre: 310", "  \tcentre: 310", """
error: car.yaml:8:3: a tab indents this line; expected spaces
  8 |       centre: 310
    |   ^^^^
"""),
    "an open bracket": ("car.yaml", "520]}", "520}", """
error: car.yaml:9:45: "[" is opened here and not closed, or a comma is missing
  9 |         belt: {kind: lap-shoulder, anchors: [120, 520}
    |                                             ^
"""),
    "an open brace": ("car.yaml", "520]}", "520]", """
error: car.yaml:9:15: "{" is opened here and not closed, or a comma is missing
  9 |         belt: {kind: lap-shoulder, anchors: [120, 520]
    |               ^
"""),
    "an open quote": ("trip.yaml", "rider: Oslo", 'rider: "Oslo', """
error: trip.yaml:9:12: a quote is opened here and never closed
  9 |   - rider: "Oslo
    |            ^
"""),
    "a quote that another one closes": ("trip.yaml", "trip: Sample trip\nvehicle: car.yaml",
                                        'trip: "Sample trip\nvehicle: "car.yaml"', """
error: trip.yaml:1:7: a quote is opened here and not closed in its line; the next one, in line 2, closes it
  1 | trip: "Sample trip
    |       ^
"""),
    "no space behind a colon": ("car.yaml", "centre: 310", "centre:310", """
error: car.yaml:8:9: a space is missing behind the colon; expected `centre: ` and the value
  8 |         centre:310
    |         ^^^^^^^^^^
"""),
    "no space behind the first colon": ("trip.yaml", "trip: Sample", "trip:Sample", """
error: trip.yaml:1:1: a space is missing behind the colon; expected `trip: ` and the value
  1 | trip:Sample trip
    | ^^^^^^^^^^^^^^^^
"""),
    "no space behind the colon of an item": ("trip.yaml", "rider: Ines", "rider:Ines", """
error: trip.yaml:5:5: a space is missing behind the colon; expected `rider: ` and the value
  5 |   - rider:Ines
    |     ^^^^^^^^^^
"""),
    "no space behind a colon in braces": ("car.yaml", "kind: lap-shoulder", "kind:lap-shoulder", """
error: car.yaml:9:16: unknown key "kind:lap-shoulder" in belt of position 2L; a space is missing behind the colon; \
expected `kind: ` and the value
  9 |         belt: {kind:lap-shoulder, anchors: [120, 520]}
    |                ^^^^^^^^^^^^^^^^^
"""),
    "no space behind a colon in a list": ("trip.yaml", "  - rider: Oslo\n    age: 9y", "  - rider:Oslo", """
error: trip.yaml:9:5: rider 2 is "rider:Oslo"; a space is missing behind the colon; expected `rider: ` and the value
  9 |   - rider:Oslo
    |     ^^^^^^^^^^
"""),
    "no colon": ("car.yaml", "centre: 310", "centre 310", """
error: car.yaml:8:9: a key without its colon
  8 |         centre 310
    |         ^^^^^^^^^^
"""),
    "a key twice": ("trip.yaml", "age: 9y", "age: 9y\n    age: 10y", """
error: trip.yaml:11:5: key "age" stands here twice; first in line 10
  11 |     age: 10y
     |     ^^^
"""),
    "a line too far in": ("trip.yaml", "    age: 9y", "     age: 9y", """
error: trip.yaml:10:9: a colon cannot stand here; check the indentation, or put the text in quotes
  10 |      age: 9y
     |         ^
"""),
    "a line too far out": ("trip.yaml", "    age: 9y", "   age: 9y", """
error: trip.yaml:10:4: this line does not line up with the lines above it
  10 |    age: 9y
     |    ^
"""),
    "a first line too far in": ("trip.yaml", "trip: Sample", " trip: Sample", """
error: trip.yaml:2:1: this line does not line up with the lines above it
  2 | vehicle: car.yaml
    | ^
"""),
    "a file that is not there": ("trip.yaml", "seat.yaml", "seta.yaml", """
error: trip.yaml:11:14: restraint "seta.yaml": there is no such file; did you mean `seat.yaml`?
  11 | restraints: [seta.yaml]
     |              ^^^^^^^^^
"""),
    "a file without its ending": ("trip.yaml", "vehicle: car.yaml", "vehicle: car", """
error: trip.yaml:2:10: no bundled vehicle is called "car"; did you mean the file `car.yaml`?
  2 | vehicle: car
    |          ^^^
"""),
    "a bundled name with a slip": ("trip.yaml", "vehicle: car.yaml", "vehicle: harow-estate", """
error: trip.yaml:2:10: no bundled vehicle is called "harow-estate"; did you mean "harrow-estate"?
  2 | vehicle: harow-estate
    |          ^^^^^^^^^^^^
"""),
    "a bundled name of another kind": ("trip.yaml", "vehicle: car.yaml", "vehicle: nook-35", """
error: trip.yaml:2:10: "nook-35" is a bundled restraint; expected a vehicle
  2 | vehicle: nook-35
    |          ^^^^^^^
"""),
    "a restraint for a vehicle": ("trip.yaml", "vehicle: car.yaml", "vehicle: seat.yaml", """
error: seat.yaml:1:1: this is a restraint file; expected a vehicle file
  1 | restraint: Sample Cushion
    | ^^^^^^^^^
"""),
    "letters that are two columns wide": ("car.yaml", "{kind: lap-shoulder", "{kinds: 後部座席, kind: lapshoulder", """
error: car.yaml:9:16: unknown key "kinds" in belt of position 2L; did you mean "kind"?
  9 |         belt: {kinds: 後部座席, kind: lapshoulder, anchors: [120, 520]}
    |                ^^^^^
error: car.yaml:9:35: belt kind of position 2L is "lapshoulder"; expected lap-shoulder, lap or none
  9 |         belt: {kinds: 後部座席, kind: lapshoulder, anchors: [120, 520]}
    |                                       ^^^^^^^^^^^
"""),
    "tabs that indent nothing": ("car.yaml", "centre: 310", "centre:\t\tabout", """
error: car.yaml:8:18: centre of position 2L is "about"; expected mm, cm, m, in or ft, such as 438, \
"43.8 cm" or "17 1/4 in"
  8 |         centre:        about
    |                        ^^^^^
"""),
    "marks of color": ("trip.yaml", "rider: Oslo", "rider: Os\x1b[31mlo", """
error: trip.yaml:9:14: a character that is no text (number 27); leave it out
  9 |   - rider: Os\\x1b[31mlo
    |              ^^^^
"""),
    "a letter of another encoding": ("trip.yaml", "rider: Oslo", "rider: Ren\udce9", """
error: trip.yaml:9:15: a letter that is no UTF-8 (byte 0xe9); expected the file to be saved as UTF-8
  9 |   - rider: Ren\\xe9
    |               ^^^^
"""),
    "the start of a long line": ("car.yaml", "kind: lap-shoulder", "kind: lapshoulder, buckles: " + "x" * 90, f"""
error: car.yaml:9:22: belt kind of position 2L is "lapshoulder"; expected lap-shoulder, lap or none
  9 |         belt: {{kind: lapshoulder, buckles: {"x" * 44}...
    |                      ^^^^^^^^^^^
error: car.yaml:9:35: unknown key "buckles" in belt of position 2L; did you mean "buckle"?
  9 |         belt: {{kind: lapshoulder, buckles: {"x" * 44}...
    |                                   ^^^^^^^
"""),
}


@pytest.mark.parametrize("case", SPOTS)
def test_one_spot(case: str, folder: Path):
    name, old, new, told = SPOTS[case]
    right = (folder / name).read_text(encoding="utf-8")
    assert old in right
    (folder / name).write_bytes(right.replace(old, new, 1).encode("utf-8", "surrogateescape"))
    for command in ("arrange trip.yaml", f"check {name}"):
        done = seatplan(*command.split())
        assert (done.out, done.code) == ("", 2)
        assert done.err == text(told)


#: what a whole file holds, and what is said of it
WHOLE: dict[str, tuple[bytes, str]] = {
    "nothing": (b"", "this file is empty; expected a YAML file"),
    "comments": (b"# my car\n\n", "this file is empty; expected a YAML file"),
    "a PDF": (b"%PDF-1.7\n%\xe2\xe3", "this is a PDF; expected a YAML file, in UTF-8"),
    "a picture": (b"\x89PNG\r\n\x1a\n\x00", "this is a picture; expected a YAML file, in UTF-8"),
    "an office document": (b"PK\x03\x04\x14\x00\x9c", "this is an archive, or a document of an office program; "
                                                      "expected a YAML file, in UTF-8"),
    "UTF-16": (TRIP.encode("utf-16"), "this is text in UTF-16; expected a YAML file, in UTF-8"),
    "any bytes": (b"\x01\x02\x00\x04", "this is no text; expected a YAML file"),
    "a page": (b"<!DOCTYPE html>\n<title>x</title>", "this is a page of HTML, a drawing or other XML; expected a trip "
                                                     "file in YAML"),
    "JSON": (b'{"answers": [1, 2]}', "this is JSON; expected a trip file in YAML"),
    "an answer": (b'{"schema": 2, "kind": "plan", "caution": "c", "trip": "t"}',
                  "this is an answer that was printed with --json; expected a trip file in YAML"),
    "a file of somebody else": (b"image: alpine\nscript: [make]\n",
                                'this is no trip file; expected one with key "trip"'),
}


@pytest.mark.parametrize("case", WHOLE)
def test_whole_files(case: str, folder: Path):
    holds, told = WHOLE[case]
    (folder / "it.yaml").write_bytes(holds)
    done = seatplan("arrange", "it.yaml")
    assert (done.out, done.err, done.code) == ("", f"error: it.yaml: {told}\n", 2)


def test_a_trip_may_be_written_as_json(folder: Path):
    (folder / "it.yaml").write_text('{"trip": "J", "vehicle": "car.yaml", "drives": "1L",\n"riders": [{"rider": '
                                    '"Ines", "age": "36y", "adult": "yes", "drives": "yes"}]}', encoding="utf-8")
    assert seatplan("check", "it.yaml").code == 0


@pytest.mark.parametrize(("args", "told"), [
    (["car.yaml", "--vehicle", "trip.yaml"], "trip and vehicle stand in each other's place: \"car.yaml\" is a vehicle "
                                             "file, \"trip.yaml\" a trip file"),
    (["car.yaml"], "car.yaml:1:1: this is a vehicle file; expected a trip file, which names its vehicle under "
                   "`vehicle`\n  1 | vehicle: Sample Wagon\n    | ^^^^^^^"),
    (["seat.yaml"], "seat.yaml:1:1: this is a restraint file; expected a trip file, which lists restraints under "
                    "`restraints`\n  1 | restraint: Sample Cushion\n    | ^^^^^^^^^"),
    (["trip.yaml", "--vehicle", "trip.yaml"], "trip.yaml:1:1: this is a trip file; expected a vehicle file\n"
                                              "  1 | trip: Sample trip\n    | ^^^^"),
    (["trip.yaml", "--vehicle", "skif-two"], 'no bundled vehicle is called "skif-two"; did you mean "skiff-two"?'),
    (["harrow-estate"], '"harrow-estate" is a bundled vehicle; expected a trip'),
    (["trip"], 'no bundled trip is called "trip"; did you mean the file `trip.yaml`?'),
    (["tripp.yaml"], "tripp.yaml: there is no such file; did you mean `trip.yaml`?"),
    (["TRIP.yml"], "TRIP.yml: there is no such file; did you mean `trip.yaml`?"),
    (["three-too-wide.yaml"], "three-too-wide.yaml: there is no such file; did you mean `three-too-wide`?"),
    (["nothing-like-it.yaml"], "nothing-like-it.yaml: there is no such file"),
    (["none/such.yaml"], "none/such.yaml: there is no such file"),
    (["."], '"." is a directory; expected a trip'),
    (["./"], "./: this is a directory; expected a YAML file"),
], ids=lambda value: " ".join(value) if isinstance(value, list) else "")
def test_files_in_a_wrong_place(args: list[str], told: str):
    done = seatplan("arrange", *args)
    assert (done.out, done.err, done.code) == ("", f"error: {told}\n", 2)


def test_of_a_file_that_is_not_ours_no_line_is_shown(folder: Path):
    (folder / "it.yaml").write_bytes(b"password: hunter2\n\tbad: [\n")
    assert "hunter2" not in seatplan("check", "it.yaml").err
    (folder / "it.yaml").write_bytes(b"password: hunter2 \xe9\n")
    assert "hunter2" not in seatplan("check", "it.yaml").err


@pytest.mark.parametrize("wide", [60, 80, 100])
@pytest.mark.parametrize("letter", ["a", "座", "\t", "\x1b", "é"])
def test_a_long_line_is_cut_around_the_mark(letter: str, wide: int):
    """Wherever the mark is, the line fits the page and the letter that is meant stands above the mark."""
    source = letter * 150
    for at in range(len(source)):
        line = source[:at] + "@" + source[at + 1:]
        with speaking(columns=wide):
            shown, below = source_lines(Problem("f.yaml", 7, at + 1, "", source=line, length=3))
        assert columns(shown) <= wide
        assert columns(below) <= wide
        before = next(shown[:i] for i, one in enumerate(shown) if one == "@")
        assert below.index("^") == columns(before)


def test_many_errors_of_one_endless_line_are_told_at_once(folder: Path):
    """A file can be one line of a million letters; showing that costs no more than showing another."""
    keys = ", ".join(f"key{n}: {n}" for n in range(900))
    (folder / "it.yaml").write_text(f"{{trip: T, vehicle: car.yaml, drives: 1L, {keys}, notes: {'x' * 900_000}}}",
                                    encoding="utf-8")
    start = time.monotonic()
    told = seatplan("check", "it.yaml").err.splitlines()
    assert len(told) > 2700
    assert all(columns(line) <= 100 for line in told if not line.startswith("error: "))
    assert time.monotonic() - start < 20


MUTATED = [*((kind, name) for kind in ("vehicle", "restraint", "trip") for name in names(kind))]


def _dropped(lines: list[str], dice: random.Random) -> None:
    at = dice.randrange(len(lines))
    if lines[at]:
        i = dice.randrange(len(lines[at]))
        lines[at] = lines[at][:i] + lines[at][i + 1:]


def _tabbed(lines: list[str], dice: random.Random) -> None:
    at = dice.randrange(len(lines))
    i = dice.choice([0, len(lines[at]) - len(lines[at].lstrip()), dice.randrange(len(lines[at]) + 1)])
    lines[at] = lines[at][:i] + "\t" + lines[at][i:]


def _swapped(lines: list[str], dice: random.Random) -> None:
    a, b = dice.randrange(len(lines)), dice.randrange(len(lines))
    lines[a], lines[b] = lines[b], lines[a]


def _put_in(lines: list[str], dice: random.Random) -> None:
    at = dice.randrange(len(lines))
    i = dice.randrange(len(lines[at]) + 1)
    lines[at] = lines[at][:i] + dice.choice(["[", "}", '"', "'", ":", "- ", "#", "座", "x" * 120]) + lines[at][i:]


SLIPS: list[Callable[[list[str], random.Random], None]] = [_dropped, _tabbed, _swapped, _put_in]


@pytest.mark.parametrize(("kind", "name"), MUTATED, ids=lambda value: value)
def test_whatever_slips_it_is_told_with_its_place(kind: str, name: str, folder: Path, monkeypatch: pytest.MonkeyPatch):
    """Bundled files with one to three slips of the hand: right, or refused with lines that are there."""
    dice = random.Random(f"{kind} {name}")
    right = find(kind, name).read_text(encoding="utf-8")                                    # type: ignore[arg-type]
    for _ in range(12):
        lines = right.split("\n")
        for _ in range(dice.randrange(1, 4)):
            dice.choice(SLIPS)(lines, dice)
        there = "\n".join(lines)
        (folder / "it.yaml").write_text(there, encoding="utf-8")
        done = seatplan("check", "it.yaml")
        assert done.code in (0, 2), there
        held_to_its_lines(done.err, there, wrong=done.code == 2)


def held_to_its_lines(told: str, there: str, *, wrong: bool) -> None:
    """Every problem that has a place is followed by that line, and by a mark under that column."""
    said, file = told.splitlines(), lines_in(there)
    assert "Traceback" not in told
    assert any(line.startswith("error: ") for line in said) == wrong
    for i, line in enumerate(said):
        found = re.match(r"(?:error|warning): it\.yaml:(\d+):(\d+): ", line)
        if found is None:
            assert re.match(r"error: |warning: |  +\d* *\|", line), line
            continue
        row, column = int(found[1]), int(found[2])
        assert 1 <= row <= len(file)
        if not file[row - 1].strip() or "does not say what it is" in line:      # of what is not ours nothing is shown
            continue
        shown, mark = said[i + 1], said[i + 2]
        assert shown.startswith(f"  {row} | ")
        assert max(columns(shown), columns(mark)) <= 100
        gutter = len(f"  {row} | ")
        at = mark.index("^")
        before = shown[gutter:][:_letters(shown[gutter:], at - gutter)]
        told_before = "".join("    " if one == "\t" else one for one in file[row - 1][:column - 1])
        assert told_before.endswith(before.removeprefix("...")) or not told_before.isprintable()
        assert before.startswith("...") or columns(before) == columns(told_before)


def _letters(shown: str, wide: int) -> int:
    """How many letters take so many columns."""
    return next((i for i in range(len(shown) + 1) if columns(shown[:i]) >= wide), len(shown))
