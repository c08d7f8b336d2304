"""seatplan record: what it leaves with, what it refuses, and that nothing but the entry is ever written."""

from __future__ import annotations

import json
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
    assert "Taken back: Nook 2C." in undone.out
    assert trip.read_bytes() == before
    assert seatplan("arrange", str(trip)).out == plain


def test_what_held_is_said_beside_the_arrangement(trip: Path):
    seatplan("record", str(trip), *WAY, "--moved", "12", "--level", "yes", "--mode", "rear-facing-harness")
    assert "   Nook at 2C: confirmed on 2026-11-24: moved 12 mm, level\n" in seatplan("arrange", str(trip)).out


REAR = ("--mode", "rear-facing-harness", "--moved", "10", "--level", "yes", "--on", "2026-11-24")
FORBIDDEN = [
    pytest.param(("Nook", "1R", "lap-shoulder-belt"), {},
                 "Wren, rear-facing harness: the front airbag at 1R is active; it would strike the back of the shell "
                 "(rear-facing-before-airbag)", id="airbag"),
    pytest.param(("Nook", "2C", "lower-anchors"), {},
                 "Wren, rear-facing harness: 2C has no lower anchors (no-lower-anchors)", id="no anchors"),
    pytest.param(("Nook", "2C", "lap-shoulder-belt"), {"mass: 9.6 kg": "mass: 18.6 kg, sure: {mass: 18.6 kg}"},
                 "Wren, rear-facing harness: weighs 18.6 kg; this mode takes up to 18.1 kg: 0.5 kg over "
                 "(child-too-heavy)", id="too heavy"),
]


@pytest.mark.parametrize(("way", "changed", "reason"), FORBIDDEN)
def test_what_held_and_is_forbidden_is_written_down_and_never_called_confirmed(
        trip: Path, way: tuple[str, str, str], changed: dict[str, str], reason: str):
    text = trip.read_text(encoding="utf-8")
    for old, new in changed.items():
        text = text.replace(old, new)
    trip.write_text(text, encoding="utf-8")
    restraint, position, by = way
    code = seatplan("arrange", str(trip)).code
    said = seatplan("record", str(trip), "--restraint", restraint, "--position", position, "--by", by, *REAR)
    told = " ".join(said.out.split())
    assert told.split(". ")[1].startswith("It held, but must not be used there")
    assert reason in told
    assert "confirmed" not in told
    assert "nothing speaks against" not in told
    assert "Go on with this" not in told
    assert said.code == code                        # of the whole trip, as it was
    assert "recorded: yes" in trip.read_text(encoding="utf-8")
    for shown in (("arrange",), ("report", "-o", "-"), ("sheet", "-o", "-"), ("arrange", "--json")):
        out = seatplan(*shown, str(trip)).out
        assert "confirmed on" not in out
        assert '"confirmed": true' not in out
    why = seatplan("why", str(trip), "--rider", "Wren", "--position", position, "--restraint", restraint, "--json",
                   "--full").out
    tries = [f for m in json.loads(why)["modes"] for c in m["placements"] for f in c["findings"]
             if f["rule"] == "moved-when-tried"]
    assert tries
    assert not any(f["facts"]["confirmed"] for f in tries)


def test_too_loose_and_forbidden_is_not_to_be_tightened(trip: Path):
    said = seatplan("record", str(trip), "--restraint", "Nook", "--position", "1R", "--by", "lap-shoulder-belt",
                    "--mode", "rear-facing-harness", "--moved", "38", "--on", "2026-11-24")
    told = " ".join(said.out.split())
    assert "Even if it held, it must not be used there like this: - Wren, rear-facing harness: the front airbag" in told
    assert "tightened" not in told


def test_what_held_and_is_not_all_measured_is_not_confirmed_and_says_what_to_measure(trip: Path):
    name = own("half-measured-car")
    said = seatplan("record", name, "--restraint", "Nook", "--position", "2R", "--by", "lap-shoulder-belt", *REAR)
    told = " ".join(said.out.split())
    assert said.code == 3, said.err
    assert "It held. Still to measure before Nook at 2R by lap-shoulder belt, rear-facing harness can be" in told
    assert "- Arlo, rear-facing harness: not known: cushion angle of row 2;" in told
    assert "is confirmed" not in told
    assert "confirmed on" not in told
    assert "confirmed on" not in seatplan("arrange", name).out


def test_what_held_and_is_allowed_is_confirmed_for_whom_it_is_allowed(trip: Path):
    said = seatplan("record", str(trip), "--restraint", "Nook", "--position", "2C", "--by", "lap-shoulder-belt", *REAR)
    told = " ".join(said.out.split())
    assert "rear-facing harness is confirmed for Wren and comes before what nobody tried" in told
    assert "must not" not in told
    why = seatplan("why", str(trip), "--rider", "Wren", "--position", "2C", "--restraint", "Nook", "--json",
                   "--full").out
    assert [f["facts"]["confirmed"] for m in json.loads(why)["modes"] for c in m["placements"] for f in c["findings"]
            if f["rule"] == "moved-when-tried"] == [True]


def test_who_rides_there_today_and_may_not_comes_first(trip: Path):
    text = trip.read_text(encoding="utf-8").replace("Wren: {restraint: Nook, position: 2R}", "Wren: {position: 2R}")
    trip.write_text(text.replace("Oslo: {restraint: Lattice, position: 2L}", "Oslo: {restraint: Nook, position: 2C}"),
                    encoding="utf-8")
    said = seatplan("record", str(trip), "--restraint", "Nook", "--position", "2C", "--by", "lap-shoulder-belt", *REAR)
    told = " ".join(said.out.split())
    warning = told.index("It held, but must not be used there. What rules out Nook at 2C by lap-shoulder belt")
    assert warning < told.index("- Oslo, rear-facing harness: ")
    assert "is confirmed for" not in told          # the entry is Oslo's


def test_the_heading_says_what_changes_are_counted_from(trip: Path):
    before = trip.read_bytes()
    seatplan("record", str(trip), "--restraint", "Lattice", "--position", "2L", "--by", "lower-anchors", "--failed",
             "--on", "2026-11-24")
    said = seatplan("record", str(trip), "--restraint", "Slim", "--position", "2C", "--by", "lap-shoulder-belt",
                    "--moved", "1/2 in", "--level", "yes", "--on", "2026-11-24").out
    assert "Changes are counted from the arrangement that was under way." in " ".join(said.split())
    trip.write_bytes(before)
    said = seatplan("record", str(trip), "--restraint", "Slim", "--position", "2C", "--by", "lap-shoulder-belt",
                    "--mode", "rear-facing-harness", "--moved", "10", "--level", "yes").out
    assert "Changes are counted from how they ride today." in " ".join(said.split())
    tamsin = next(line for line in said.splitlines() if line.startswith("   Tamsin"))
    assert "was at 1R in Cushion" in tamsin


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
                    "--on", "2026-11-24", "--moved", "8", "--mode", "rear-facing-harness", "--angle", "40")
    assert said.code == 3, said.err
    assert "lists them as a form" in said.out


@pytest.mark.parametrize(("given", "told"), [
    (("--undo", "--failed"), "--undo takes back what was written last and goes with nothing else; found --failed"),
    (("--restraint", "Nook", "--failed"), "missing --position, --by"),
    (WAY, "missing --sideways, --forwards"),
    ((*WAY, "--level", "yes"), "missing --mode, --sideways, --forwards: nothing was written"),
    ((*WAY, "--moved", "3"), "missing --mode: nothing was written"),
    ((*WAY, "--moved", "3"), "`--mode` is one of rear-facing-harness, forward-facing-harness"),
    ((*WAY, "--mode", "rear-facing-harness", "--sideways", "3"), "missing --forwards, --level: nothing was written"),
    ((*WAY, "--mode", "rear-facing-harness", "--sideways", "3"), "`--level` is what the indicator says, or `--angle`"),
    (("--restraint", "Cushion", "--position", "2R", "--moved", "3"), "missing --belt-fits: nothing was written"),
    (("--go-on-with", "2", "--note", "x"), "--go-on-with goes with nothing else; found --note"),
    (("--go-on-with", "999"), "--go-on-with is 999\nhint: expected 1 to "),
    (("--give-up",), "--give-up: nothing is under way"),
    (("--as-found", "--note", "x"), "missing --rider, --restraint, --position"),
    (("--as-found", "--rider", "Wren", "--failed"), "--as-found says how it is in the car, and goes not with --failed"),
    (("--restraint", "Nook", "--position", "2C", "--failed"),
     "`--by` is one of lower-anchors, lap-shoulder-belt, lap-belt, two-belts, lower-anchors-with-belt;"),
    ((*WAY, "--moved", "far"), '--moved is "far"; expected mm'),
    ((*WAY, "--moved", "3.8"), '--moved is "3.8"; a plain number is whole millimetres, such as 38; expected a unit'),
    ((*WAY, "--moved", "9999"), "--moved is 9999; expected 0 to 6000 mm"),
    ((*WAY, "--moved", "3", "--restraint", "Nok"),
     'error: --restraint: no restraint of this trip is called "Nok"; did you mean "Nook"?'),
    ((*WAY, "--moved", "3", "--position", "2Z"), 'error: --position: no position of this trip is called "2Z"'),
    ((*WAY, "--moved", "3", "--by", "lap-belt"), "error: --by: Nook has no installation by lap-belt"),
    ((*WAY, "--moved", "3", "--mode", "bed"), "error: --mode: Nook has no mode bed"),
    ((*WAY, "--moved", "3", "--on", "2026-02-31"), '--on is "2026-02-31"; expected a date'),
    ((*WAY, "--moved", "3", "--note", "bell \a"), '--note is "bell \\x07"; expected text without control characters'),
    ((*WAY, "--moved", "3", "--level", "perhaps"), '--level is "perhaps"\nhint: expected one of yes, no'),
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
    (*WAY, "--moved", "38"), (*WAY, "--moved", "3", "--level", "yes", "--mode", "rear-facing-harness"),
    ("--rider", "Wren", *WAY, "--mode", "rear-facing-harness", "--sideways", "3", "--forwards", "4", "--angle", "38"),
    ("--restraint", "Lattice", "--position", "2L", "--by", "lower-anchors", "--level", "no"),
    ("--restraint", "Cushion", "--position", "2R", "--by", "lap-shoulder-belt", "--belt-fits", "yes"),
], ids=str)
def test_text_fits_the_page(trip: Path, given: tuple[str, ...]):
    said = seatplan("record", str(trip), *given, *(() if "--on" in given else ("--on", "2026-11-24")))
    assert said.err == ""
    assert max(map(len, said.out.splitlines())) <= 100
    assert "caution: This is a planning aid." in said.out


def test_the_plan_says_what_was_tried_and_is_out(tmp_path: Path):
    trip = tmp_path / "my.yaml"
    shutil.copyfile(find("trip", "three-across-school-run"), trip)
    head = "Tried at the car, and out of the plan"
    assert head not in seatplan("arrange", str(trip)).out
    seatplan("record", str(trip), "--restraint", "Nook", "--position", "2C", "--by", "lap-shoulder-belt", "--mode",
             "rear-facing-harness", "--moved", "38", "--on", "2026-11-29")
    told = " ".join(seatplan("arrange", str(trip)).out.split())
    line = ("Nook at 2C by lap-shoulder belt, rear-facing harness: tried on 2026-11-29: moved 38 mm, allowed 25 mm "
            "(moved-when-tried)")
    assert f"{head} {line}" in told
    assert line in seatplan("report", str(trip), "-o", "-").out
    seatplan("record", str(trip), "--undo")
    assert head not in seatplan("arrange", str(trip)).out


def test_a_zero_too_many_is_asked_again(trip: Path):
    before = trip.read_bytes()
    said = seatplan("record", str(trip), *WAY, "--moved", "380")
    assert said.code == 2
    assert said.err == ("error: --moved is 380 mm: unlikely (0 to 150 mm); measure it again, or add `--sure` if it is "
                        "so\n")
    assert trip.read_bytes() == before
    assert seatplan("record", str(trip), *WAY, "--moved", "380", "--sure").code == 0
    assert "moved: 380, on: 2026-11-24, recorded: yes, sure: {moved: 380}" in trip.read_text()
    assert seatplan("record", str(trip), "--undo").code == 0
    assert trip.read_bytes() == before


def test_as_found_of_a_restraint_that_is_not_there(trip: Path):
    before = trip.read_bytes()
    said = seatplan("record", str(trip), "--as-found", "--rider", "Wren", "--restraint", "Nok", "--position", "2R")
    assert (said.code, said.err) == (2, (
        'error: --restraint: no restraint of this trip is called "Nok"; did you mean "Nook"?\n'))
    assert trip.read_bytes() == before


@pytest.mark.parametrize(("given", "told"), [
    (("--rider", "Tamsyn", "--restraint", "Nook", "--position", "2C"),
     'error: --rider: no rider of this trip is called "Tamsyn"; did you mean "Tamsin"?\n'),
    (("--restraint", "Nook", "--mode", "rear-facing"),
     'error: --mode: Nook has no mode rear-facing; did you mean "rear-facing-harness"?\n'),
    (("--mode", "rear-facing"), "error: --mode: no restraint of this trip has a mode rear-facing; did you mean"),
    (("--as-found", "--rider", "Tamsyn"),
     'error: --rider: no rider of this trip is called "Tamsyn"; did you mean "Tamsin"?\n'),
])
def test_an_unknown_name_is_told_before_what_is_missing(trip: Path, given: tuple[str, ...], told: str):
    said = seatplan("record", str(trip), *given)
    assert (said.code, said.out) == (2, "")
    assert said.err.startswith(told)
    assert "missing" not in said.err


@pytest.mark.parametrize(("went", "told", "not_told"), [
    (("--level", "no"), "If it stands level and holds once it is set again, record that too.", "tightened"),
    (("--failed",), "If it can be installed after all and holds, record that too.", "tightened"),
    (("--moved", "38"), "If it holds once it is tightened again, record that too.", "stands level"),
])
def test_what_to_do_again_is_what_went_wrong(trip: Path, went: tuple[str, ...], told: str, not_told: str):
    said = " ".join(seatplan("record", str(trip), *WAY, *went).out.split())
    assert told in said
    assert not_told not in said


def test_undo_of_a_bundled_trip_says_what_it_is(trip: Path):
    for name in ("three-across-school-run", str(find("trip", "three-across-school-run"))):
        said = seatplan("undo", name)
        assert (said.code, said.out) == (2, "")
        assert "three-across-school-run is a bundled trip, and nothing is ever written in it" in said.err
    assert 'did you mean "three-across-school-run"' in seatplan("undo", "three-across-school-ru").err


@pytest.mark.parametrize(("given", "told"), [
    (("--rider", "Wren", *WAY[:-2], "--moved", "38", "--on", "2024-01-01"),
     "error: --on is 2024-01-01, and Nook was made 2024-03-01; expected a day from then on"),
    (("--rider", "Wren", *WAY[:-2], "--moved", "38", "--on", "2024-04-01"),
     "error: --on is 2024-04-01, before Wren was born (2025-08-14 or later); expected the day of it"),
    (("--as-found", "--rider", "Wren", "--restraint", "Nook", "--position", "2R", "--on", "1999-01-01"),
     "error: --on is 1999-01-01, and Nook was made 2024-03-01"),
    (("--as-found", "--rider", "Wren", "--restraint", "Nook", "--position", "2R", "--head-below-top", "60", "--on",
      "2025-08-13"), "error: --on is 2025-08-13, before Wren was born"),
    (("--rider", "Oslo", "--restraint", "Lattice", "--position", "2L", "--by", "lower-anchors", "--failed",
      "--on", "1999-01-01"),
     "error: --on is 1999-01-01, and Lattice was made 2023-05-20"),
])
def test_a_day_before_it_was_made_or_the_child_born_is_refused(trip: Path, given: tuple[str, ...], told: str):
    before = trip.read_bytes()
    said = seatplan("record", str(trip), *given)
    assert (said.code, said.out) == (2, "")
    assert said.err.startswith(told)
    assert trip.read_bytes() == before


def test_a_restraint_may_be_found_in_the_car_of_a_child_that_is_expected(trip: Path):
    said = seatplan("record", str(trip), "--as-found", "--rider", "Wren", "--restraint", "Nook", "--position", "2R",
                    "--on", "2025-07-01")
    assert said.code == 0, said.err


def test_such_a_day_in_a_file_has_its_place(trip: Path):
    text = trip.read_text(encoding="utf-8").replace("Oslo: {restraint: Lattice, position: 2L}",
                                                    "Oslo: {restraint: Lattice, position: 2L, on: 1999-05-01}")
    trip.write_text(text, encoding="utf-8")
    line = next(n for n, told in enumerate(text.splitlines(), 1) if "1999" in told)
    said = seatplan("arrange", str(trip))
    assert said.code == 2
    assert f"my-trip.yaml:{line}:" in said.err
    assert "on is 1999-05-01, and Lattice was made 2023-05-20; expected a day from then on" in " ".join(
        said.err.split())
