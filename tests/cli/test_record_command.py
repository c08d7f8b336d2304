"""seatplan record: what it leaves with, what it refuses, and that nothing but the entry is ever written."""

from __future__ import annotations

import shlex
import shutil
import subprocess
from pathlib import Path

import pytest
from running import seatplan

from seatplan.files.library import find

WAY = ("--restraint", "Nook", "--position", "2C", "--by", "lap-shoulder-belt", "--on", "2026-11-24")


@pytest.fixture
def trip(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A trip of one's own in the current folder."""
    monkeypatch.chdir(tmp_path)
    return Path(shutil.copyfile(find("trip", "three-across-school-run"), "my-trip.yaml"))


def own(name: str) -> str:
    shutil.copyfile(find("trip", name), f"{name}.yaml")
    return f"{name}.yaml"


def test_recorded_then_arranged_then_taken_back(trip: Path):
    before = trip.read_bytes()
    plain = seatplan("arrange", str(trip)).out
    assert seatplan("record", str(trip), *WAY, "--moved", "38").code == 0
    said = seatplan("why", str(trip), "--rider", "Wren", "--position", "2C", "--restraint", "Nook").out
    assert "tried on 2026-11-24: moved 38 mm, allowed 25 mm (moved-when-tried)" in said
    assert seatplan("arrange", str(trip)).out != plain
    undone = seatplan("record", str(trip), "--undo")
    assert undone.code == 0
    assert "Taken back from my-trip.yaml, line 34" in undone.out
    assert trip.read_bytes() == before
    assert seatplan("arrange", str(trip)).out == plain


def test_what_held_is_said_beside_the_arrangement(trip: Path):
    seatplan("record", str(trip), *WAY, "--moved", "12", "--level", "yes", "--mode", "rear-facing-harness")
    assert "   Nook at 2C: confirmed on 2026-11-24: moved 12 mm, level\n" in seatplan("arrange", str(trip)).out


def test_the_commands_it_names_work(trip: Path):
    said = seatplan("record", str(trip), *WAY, "--moved", "38").out
    for command in " ".join(said.split()).split("`")[1::2]:
        assert seatplan(*shlex.split(command)[1:]).code == 0, command


def test_nothing_left_leaves_with_1_and_is_still_noted(trip: Path):
    name = own("two-seater-airbag-off")
    given = ("--position", "1R", "--on", "2026-11-24", "--failed")
    codes = []
    for restraint, way in (("Cradle", "lap-shoulder-belt"), ("Cradle", "lower-anchors"),
                           ("Slim", "lap-shoulder-belt"), ("Slim", "lower-anchors")):
        said = seatplan("record", name, "--restraint", restraint, "--by", way, *given)
        codes.append(said.code)
    assert codes[-1] == 1, said.err
    assert "Now nothing fits any more" in said.out or "Nothing fits, and nothing did before" in said.out
    assert Path(name).read_text(encoding="utf-8").count("recorded: yes") == len(codes)


def test_undecided_leaves_with_3(trip: Path):
    name = own("half-measured-car")
    restraint = Path(name).read_text(encoding="utf-8").partition("as: ")[2].split(",")[0].strip("'\"")
    said = seatplan("record", name, "--restraint", restraint, "--position", "2R", "--by", "lap-shoulder-belt",
                    "--on", "2026-11-24", "--moved", "8")
    assert said.code == 3, said.err
    assert "lists them as a form" in said.out


@pytest.mark.parametrize(("given", "told"), [
    (("--undo", "--failed"), "--undo takes the last entry back and goes with nothing else; found --failed"),
    (("--restraint", "Nook", "--failed"), "missing --position, --by"),
    (WAY, "nothing says how it went"),
    ((*WAY, "--level", "yes"), "nothing says how it went"),
    ((*WAY, "--moved", "far"), 'moved is "far"; expected mm'),
    ((*WAY, "--moved", "9999"), "moved is 9999; expected 0 to 6000 mm"),
    ((*WAY, "--moved", "3", "--on", "2026-02-31"), 'on is "2026-02-31"; expected a date'),
    ((*WAY, "--moved", "3", "--note", "bell \a"), 'note is "bell ?"; expected text without control characters'),
    ((*WAY, "--moved", "3", "--level", "perhaps"), "'perhaps' is not one of 'yes', 'no'"),
    (("--undo",), "nothing to take back"),
])
def test_refused_and_nothing_written(trip: Path, given: tuple[str, ...], told: str):
    before = trip.read_bytes()
    said = seatplan("record", str(trip), *given)
    assert said.code == 2
    assert said.out == ""
    assert told in said.err
    assert "Traceback" not in said.err
    assert trip.read_bytes() == before
    assert [p.name for p in Path().iterdir()] == ["my-trip.yaml"]


@pytest.mark.parametrize("ref", ["-", "three-across-school-run", "three-acros", "no.yaml"])
def test_what_is_not_yours_is_refused(trip: Path, ref: str):
    said = seatplan("record", ref, *WAY, "--moved", "38")
    assert said.code == 2
    assert said.out == ""
    if ref == "three-across-school-run":
        subprocess.run(shlex.split(said.err.split("`")[1]), check=True)
        assert seatplan("record", "my-three-across-school-run.yaml", *WAY, "--moved", "38").code == 0


def test_another_kind_of_file_is_refused(trip: Path):
    Path("car.yaml").write_text(seatplan("new", "vehicle").out, encoding="utf-8")
    said = seatplan("record", "car.yaml", *WAY, "--moved", "38")
    assert said.code == 2
    assert "this is a vehicle file; expected a trip file" in said.err


@pytest.mark.parametrize("given", [
    (*WAY, "--moved", "38"), (*WAY, "--moved", "3"), (*WAY, "--moved", "3", "--level", "yes"),
    ("--restraint", "Lattice", "--position", "2L", "--by", "lower-anchors", "--level", "no"),
    ("--restraint", "Cushion", "--position", "2R", "--by", "lap-shoulder-belt", "--moved", "3"),
], ids=str)
def test_text_fits_the_page(trip: Path, given: tuple[str, ...]):
    said = seatplan("record", str(trip), *given, *(() if "--on" in given else ("--on", "2026-11-24")))
    assert said.err == ""
    assert max(map(len, said.out.splitlines())) <= 100
    assert "caution: This is a planning aid." in said.out
