"""Two copies of a trip come to one, whichever is given first; what cannot be told is an error with both places."""

from __future__ import annotations

import shutil
import sys
from pathlib import Path

import pytest

from seatplan.files.library import find
from seatplan.files.load import load_trip
from seatplan.model import Trip

sys.path.insert(0, str(Path(__file__).parent.parent / "cli"))
from running import seatplan

HELD = ("--sideways", "12", "--forwards", "9", "--level", "yes")
ON = ("--on", "2026-11-24")
LATER = ("--on", "2026-11-25")
WREN = ("--rider", "Wren", "--restraint", "Nook", "--position", "2C", "--by", "lap-shoulder-belt", "--mode",
        "rear-facing-harness")
OSLO = ("--rider", "Oslo", "--restraint", "Lattice", "--position", "2L", "--by", "lower-anchors")


@pytest.fixture
def copies(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    shutil.copyfile(find("trip", "three-across-school-run"), "a.yaml")
    assert seatplan("record", "a.yaml", "--go-on-with", "1").code == 0
    shutil.copyfile("a.yaml", "b.yaml")
    return tmp_path


def record(name: str, *words: str) -> None:
    said = seatplan("record", name, *words)
    assert said.code in (0, 1, 3), said.err


def joined(first: str = "a.yaml", second: str = "b.yaml", into: str = "c.yaml") -> Trip:
    said = seatplan("merge", first, second, "-o", into)
    assert said.code == 0, said.err
    return load_trip(into)


def refused(*told: str) -> None:
    for first, second in (("a.yaml", "b.yaml"), ("b.yaml", "a.yaml")):
        said = seatplan("merge", first, second, "-o", "c.yaml")
        assert (said.code, said.out, Path("c.yaml").exists()) == (2, "", False)
        for words in (*told, f"{first}:", f"{second}:"):
            assert words in said.err


def test_what_was_tried_in_either_is_in_both(copies: Path) -> None:
    record("a.yaml", *WREN, *HELD, *ON)
    record("b.yaml", *OSLO, *HELD, *ON)
    mine, theirs = load_trip("a.yaml"), load_trip("b.yaml")
    both, other = joined(), joined("b.yaml", "a.yaml", "d.yaml")
    assert both.tried == [*mine.tried, *theirs.tried]
    assert sorted(map(str, other.tried)) == sorted(map(str, both.tried))
    assert both.installed == other.installed
    assert both.installed["Wren"] == mine.installed["Wren"]
    assert both.installed["Oslo"] == theirs.installed["Oslo"]
    assert both.arrived == mine.arrived
    assert both.under_way == mine.under_way


def test_twice_is_as_once(copies: Path) -> None:
    record("a.yaml", *WREN, *HELD, *ON)
    assert joined() == load_trip("a.yaml")
    assert joined("c.yaml", "a.yaml", "d.yaml") == load_trip("a.yaml")
    assert Path("c.yaml").read_bytes() == Path("a.yaml").read_bytes()


def test_what_is_installed_later_counts(copies: Path) -> None:
    record("a.yaml", *WREN, *HELD, *ON)
    record("b.yaml", *WREN, "--sideways", "3", "--forwards", "4", "--level", "yes", *LATER)
    for into, names in (("c.yaml", ("a.yaml", "b.yaml")), ("d.yaml", ("b.yaml", "a.yaml"))):
        assert joined(*names, into).installed["Wren"] == load_trip("b.yaml").installed["Wren"]


def test_two_tries_of_one_way_on_one_day_are_told_with_both_places(copies: Path) -> None:
    record("a.yaml", *WREN, *HELD, *ON)
    record("b.yaml", *WREN, "--sideways", "40", *ON)
    refused("Nook at 2C was tried in both copies on one day")


def test_another_way_held_on_the_same_day_is_told_with_both_places(copies: Path) -> None:
    record("a.yaml", *WREN, *HELD, *ON)
    record("b.yaml", "--rider", "Wren", "--restraint", "Slim", "--position", "2C", "--by", "lap-shoulder-belt",
           "--mode", "rear-facing-harness", *HELD, *ON)
    refused("what is installed for Wren differs, and both are of one day", "another arrangement is under way")


def test_what_was_taken_out_of_a_seat_later_is_out(copies: Path) -> None:
    record("a.yaml", *WREN, *HELD, *ON)
    shutil.copyfile("a.yaml", "b.yaml")
    record("b.yaml", *WREN, "--sideways", "40", *LATER)
    assert "Wren" not in load_trip("b.yaml").installed
    for name in ("a.yaml", "b.yaml"):                  # what is under way differs by then, and is settled by hand
        lines = Path(name).read_text(encoding="utf-8").splitlines(True)
        at = next(k for k, line in enumerate(lines) if line.startswith("under_way:"))
        end = next(k for k in range(at, len(lines)) if lines[k].rstrip().endswith("}}"))
        Path(name).write_text("".join(lines[:at] + lines[end + 1:]), encoding="utf-8")
    for into, names in (("c.yaml", ("a.yaml", "b.yaml")), ("d.yaml", ("b.yaml", "a.yaml"))):
        assert "Wren" not in joined(*names, into).installed


@pytest.mark.parametrize(("before", "after"), [
    ("mass: 9.6 kg", "mass: 9.8 kg"), ("rules: us", "rules: un"), ("drives: 1L", "drives: 1R"),
    ("on: 2026-11-30", "on: 2026-12-01")])
def test_what_else_differs_is_told_with_both_places(copies: Path, before: str, after: str) -> None:
    text = Path("b.yaml").read_text(encoding="utf-8")
    if before not in text:
        pytest.fail(f"{before} is not in the trip")
    Path("b.yaml").write_text(text.replace(before, after, 1), encoding="utf-8")
    said = seatplan("merge", "a.yaml", "b.yaml", "-o", "c.yaml")
    assert said.code == 2
    assert not Path("c.yaml").exists()
    assert "the copies differ here; in b.yaml:" in said.err or "b.yaml:" in said.err


def test_the_new_file_takes_the_place_of_nothing(copies: Path) -> None:
    said = seatplan("merge", "a.yaml", "b.yaml", "-o", "b.yaml")
    assert (said.code, "`b.yaml` is there already" in said.err) == (2, True)


def test_what_failed_held_and_failed_again_has_failed(copies: Path) -> None:
    for name in ("a.yaml", "b.yaml"):
        record(name, *WREN, "--failed", *ON)
    record("b.yaml", *WREN, *HELD, *ON)
    record("b.yaml", *WREN, "--failed", *ON)
    theirs = load_trip("b.yaml")
    assert len(theirs.tried) == 3
    assert joined() == theirs
    assert joined("b.yaml", "a.yaml", "d.yaml") == theirs


def test_the_order_of_one_day_is_not_guessed(copies: Path) -> None:
    record("a.yaml", *WREN, *HELD, *ON)
    record("b.yaml", *WREN, "--failed", *ON)
    record("b.yaml", *WREN, *HELD, *ON)
    refused("Nook at 2C was tried in both copies on one day")
