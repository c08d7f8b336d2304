"""Writing down a try: one entry more, every other byte as it was; and taking it back."""

from __future__ import annotations

import json
import shlex
import subprocess
import tempfile
from datetime import date
from pathlib import Path

import pytest
import yaml
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from trip_layouts import NOTES, POSITIONS, RESTRAINTS, layouts

from seatplan.files.errors import InputError
from seatplan.files.library import find
from seatplan.files.load import load_trip
from seatplan.files.recording import draft, record
from seatplan.files.setting import undo
from seatplan.model import Installed, Readings, UnderWay

DAY = date(2026, 11, 25)
TRIES = st.fixed_dictionaries(
    {"restraint": st.sampled_from(RESTRAINTS), "position": st.sampled_from(POSITIONS),
     "by": st.just("lap-shoulder-belt"), "moved": st.sampled_from(["0", "38", "3/4 in", "2.5 cm"])},
    optional={"level": st.booleans(), "failed": st.booleans(), "note": st.sampled_from(NOTES),
              "mode": st.just("rear-facing-harness"), "on": st.just("2026-11-24")})


def is_put_into(before: bytes, after: bytes) -> bool:
    """Whether the one is the other with something put in at one place, or at two."""
    same = next((i for i, (a, b) in enumerate(zip(before, after, strict=False)) if a != b), len(before))
    rest, new = before[same:], after[same:]
    return new.endswith(rest) or any(
        new[1:].startswith(rest[:cut]) and new.endswith(rest[cut:]) for cut in range(len(rest)))


def takes_more(file: Path, told: dict) -> bool:
    """Whether an entry can stand behind an indented text that ends with the file: a line break more changes the text,
    unless it says that it does not."""
    try:
        record(str(file), told, DAY)
    except InputError as wrong:
        if "add it by hand" not in str(wrong):
            raise
        return False
    undo(str(file))
    return True


@settings(max_examples=120, suppress_health_check=[HealthCheck.too_slow])
@given(layouts(), TRIES, TRIES)
def test_any_layout_takes_two_entries_and_gives_them_back(raw: bytes, first: dict, second: dict):
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "trip.yaml"
        file.write_bytes(raw)
        old = load_trip(str(file))
        steps = [raw]
        if raw.endswith((b"tried: [no]", b"tried: [no]\r\n   ", b"tried: [no]\n   ")) and not takes_more(file, first):
            assert file.read_bytes() == raw
            return
        for told in (first, second):
            done = record(str(file), told, DAY)
            steps.append(file.read_bytes())
            assert is_put_into(steps[-2], steps[-1])
            now = load_trip(str(file))
            assert now == done.after
            assert now == old.model_copy(update={"tried": [*old.tried, done.tried]})
            assert done.tried.recorded
            assert done.tried.note == told.get("note", "")
            line = file.read_text(encoding="utf-8").splitlines()[done.line - 1]
            assert "recorded" in line
            old = now
        for before in reversed(steps[:-1]):
            undo(str(file))
            assert file.read_bytes() == before
        assert [p.name for p in Path(folder).iterdir()] == ["trip.yaml"]


HEAD = """\
trip: Layout
vehicle: {vehicle: Layout car, rows: [{row: 1, positions: [{position: 1L}]}, {row: 2, positions: [{position: 2L}]}]}
drives: 1L
riders: [{rider: Wren, age: 1y}]
restraints:
  - {restraint: Nook, modes: [{mode: rear-facing-harness, installations: [{by: lap-shoulder-belt}]},
                              {mode: high-back-booster, installations: [{by: lap-belt}]}]}
"""
TOLD = {"restraint": "Nook", "position": "2L", "by": "lap-shoulder-belt", "moved": "38"}
ENTRY = "{restraint: Nook, position: 2L, by: lap-shoulder-belt, moved: 38, on: 2026-11-25, recorded: yes}"
OLD = "{restraint: Nook, position: 2L, by: lap-belt, moved: 1}"


@pytest.fixture
def file(tmp_path: Path) -> Path:
    return tmp_path / "trip.yaml"


@pytest.mark.parametrize(("before", "after"), [
    ("", f"tried:\n  - {ENTRY}\n"),
    ("rules: us", f"rules: us\ntried:\n  - {ENTRY}"),
    ("rules: us\r\n", f"rules: us\r\ntried:\r\n  - {ENTRY}\r\n"),
    ("...\n# end\n", f"tried:\n  - {ENTRY}\n...\n# end\n"),
    ("tried: []  # so far\nrules: us\n", f"tried: [{ENTRY}]  # so far\nrules: us\n"),
    (f"tried: [{OLD},]\n", f"tried: [{OLD}, {ENTRY},]\n"),
    (f"tried:\n    - {OLD}  # wet\n    # it was late\n# the rules\nrules: us\n",
     f"tried:\n    - {OLD}  # wet\n    # it was late\n    - {ENTRY}\n# the rules\nrules: us\n"),
    (f"tried:\n- {OLD}\n# the rules\nrules: us\n", f"tried:\n- {OLD}\n- {ENTRY}\n# the rules\nrules: us\n"),
    (f"tried: [\n  {OLD}  # wet\n]\n", f"tried: [\n  {OLD},  # wet\n  {ENTRY}\n]\n"),
    (f"tried: [\n  {OLD},  # wet\n]\n", f"tried: [\n  {OLD},  # wet\n  {ENTRY},\n]\n"),
    ("# about the text\nnotes: |\n  text", f"tried:\n  - {ENTRY}\n# about the text\nnotes: |\n  text"),
], ids=["absent", "no last line break", "line break of the line above", "end of document", "empty list",
        "comma at the end", "comments", "no indentation", "lines of a flow list", "lines with commas",
        "text to the end"])
def test_where_the_entry_goes(file: Path, before: str, after: str):
    raw = (HEAD + before).encode()
    file.write_bytes(raw)
    done = record(str(file), TOLD, DAY)
    assert file.read_bytes().decode() == HEAD + after
    assert file.read_bytes().splitlines()[done.line - 1].count(b"recorded: yes") == 1
    assert undo(str(file)).after == done.before
    assert file.read_bytes() == raw


@pytest.mark.parametrize(("text", "where", "told"), [
    ("tried:\n", "8:1", "nothing was written: an entry cannot be added here"),
    ("tried: *x\n", "8:8", "`*x` names nothing above it"),
    ("tried:\n\t- {}\n", "9:1", "a tab indents this line; expected spaces"),
    ("notes: &n {a: 1}\n", "8:8", "notes is a set of keys; expected text of up to 4000 characters"),
])
def test_what_cannot_be_read_is_left_alone(file: Path, text: str, where: str, told: str):
    file.write_text(HEAD + text, encoding="utf-8")
    with pytest.raises(InputError) as wrong:
        record(str(file), TOLD, DAY)
    assert str(wrong.value).startswith(f"{file}:{where}: {told}")
    assert file.read_text(encoding="utf-8") == HEAD + text


def test_a_list_that_stands_elsewhere_is_refused_with_the_line_to_add(file: Path):
    text = HEAD.replace("trip: Layout", "trip: Layout\nwishes: &none []") + "tried: *none\n"
    file.write_text(text, encoding="utf-8")
    with pytest.raises(InputError, match="add it by hand") as wrong:
        record(str(file), TOLD, DAY)
    assert str(wrong.value).startswith(f"{file}:9:1: nothing was written")
    assert str(wrong.value).endswith(ENTRY)
    assert file.read_text(encoding="utf-8") == text


def test_an_anchored_list_that_others_use_does_not_grow_for_them(file: Path):
    text = HEAD + "tried: &none []\nwishes: *none\n"
    file.write_text(text, encoding="utf-8")
    with pytest.raises(InputError, match="add it by hand"):
        record(str(file), TOLD, DAY)
    assert file.read_text(encoding="utf-8") == text


def test_everything_that_is_wrong_is_told_at_once_with_its_option(file: Path):
    file.write_text(HEAD, encoding="utf-8")
    with pytest.raises(InputError) as wrong:
        record(str(file), {"restraint": "Nok", "position": "2R", "by": "lap-belt", "moved": "far",
                           "on": "tomorrow"}, DAY)
    assert [str(problem) for problem in wrong.value.problems] == [
        'moved is "far"; expected mm, cm, m, in or ft, such as 438, "43.8 cm" or "17 1/4 in"',
        'on is "tomorrow"; expected a date such as 2026-03-01',
        'position: no position of this trip is called "2R"; expected one of 1L, 2L',
        'restraint: no restraint of this trip is called "Nok"; did you mean "Nook"?',
    ]
    assert file.read_text(encoding="utf-8") == HEAD


@pytest.mark.parametrize(("changed", "told"), [
    ({"by": "lap-shoulder"}, 'by: Nook has no installation by lap-shoulder; did you mean "lap-shoulder-belt"?'),
    ({"by": "lap-belt", "mode": "rear-facing-harness"},
     "by: Nook has no installation by lap-belt as rear-facing-harness; did you mean \"lap-shoulder-belt\"?"),
    ({"mode": "rear-facing"}, 'mode: Nook has no mode rear-facing; did you mean "rear-facing-harness"?'),
])
def test_the_way_is_held_against_the_restraint(file: Path, changed: dict, told: str):
    file.write_text(HEAD, encoding="utf-8")
    with pytest.raises(InputError) as wrong:
        record(str(file), {**TOLD, **changed}, DAY)
    assert [str(p) for p in wrong.value.problems] == [told]


@pytest.mark.parametrize("moved", ["3.8", "25.4", "1/2", "1 1/2", ".5", " 3.8 "])
def test_a_plain_number_with_a_fraction_may_be_any_unit_and_is_refused(file: Path, moved: str):
    file.write_text(HEAD, encoding="utf-8")
    with pytest.raises(InputError) as wrong:
        record(str(file), {**TOLD, "moved": moved}, DAY)
    assert [str(p) for p in wrong.value.problems] == [
        f'moved is "{moved.strip()}"; a plain number is whole millimetres, such as 38; expected a unit with any '
        'other, such as "3.8 cm" or "1 1/2 in"']
    with pytest.raises(InputError, match="moved is -3; expected 0 to 6000 mm"):
        record(str(file), {**TOLD, "moved": "-3"}, DAY)
    assert file.read_text(encoding="utf-8") == HEAD


def test_a_try_after_the_day_of_travel_would_not_count_and_is_refused(file: Path):
    file.write_text(HEAD + "on: 2026-11-24\n", encoding="utf-8")
    with pytest.raises(InputError, match="8:5: the day of travel is 2026-11-24 and the try was on 2026-11-25"):
        record(str(file), TOLD, DAY)
    assert record(str(file), {**TOLD, "on": "2026-11-24"}, DAY).tried.on == date(2026, 11, 24)


def test_names_are_found_whatever_their_capitals_and_written_as_the_trip_has_them(file: Path):
    file.write_text(HEAD, encoding="utf-8")
    record(str(file), {**TOLD, "restraint": "NOOK", "position": "2l", "by": "Lap-Shoulder-Belt"}, DAY)
    assert ENTRY in file.read_text(encoding="utf-8")


@pytest.mark.parametrize("name", ["three-too-wide", str(find("trip", "three-too-wide"))])
def test_a_bundled_trip_is_not_written_in_and_the_copy_it_names_can_be(
        name: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    monkeypatch.chdir(tmp_path)
    before = find("trip", "three-too-wide").read_bytes()
    (tmp_path / "link.yaml").symlink_to(find("trip", "three-too-wide"))
    for ref in (name, "link.yaml"):
        with pytest.raises(InputError, match="is a bundled trip") as wrong:
            record(ref, TOLD, DAY)
        copy = str(wrong.value).split("`")[1]
        subprocess.run(shlex.split(copy), check=ref == name)       # the second time, what is there already stays
    told = {"restraint": "Bastion", "position": "2C", "by": "lap-shoulder-belt", "moved": "12"}
    assert record("my-three-too-wide.yaml", told, DAY).after.tried[-1].moved == 12
    assert find("trip", "three-too-wide").read_bytes() == before


@pytest.mark.parametrize("name", ["-", "no-such-trip", "no-such-trip.yaml"])
def test_what_is_no_file_is_refused(name: str):
    with pytest.raises(InputError, match=r"standard input|no bundled trip|no such file"):
        record(name, TOLD, DAY)


def test_nothing_is_taken_back_that_nothing_wrote(file: Path):
    file.write_text(HEAD + f"tried:\n  - {ENTRY}\n", encoding="utf-8")
    with pytest.raises(InputError, match="nothing to take back: nothing was written into it"):
        undo(str(file))
    assert file.read_text(encoding="utf-8") == HEAD + f"tried:\n  - {ENTRY}\n"


def test_what_was_changed_since_stays_and_nothing_is_taken_back(file: Path):
    file.write_text(HEAD, encoding="utf-8")
    record(str(file), TOLD, DAY)
    changed = file.read_text(encoding="utf-8").replace("Wren", "Wrenna") + "rules: un\n"
    file.write_text(changed, encoding="utf-8")
    with pytest.raises(InputError, match="this file was changed since; nothing was taken back"):
        undo(str(file))
    assert file.read_text(encoding="utf-8") == changed


def test_readings_and_whom_it_was_for_stand_in_the_entry(file: Path):
    file.write_text(HEAD, encoding="utf-8")
    told = {**TOLD, "moved": None, "rider": "wren", "sideways": "12", "forwards": "1/2 in", "angle": "38.5",
            "level": True, "zone": "blue 2", "tether": False, "who": "the aunt"}
    tried = record(str(file), told, DAY).after.tried[-1]
    assert (tried.rider, tried.tether, tried.who) == ("Wren", False, "the aunt")
    assert tried.readings is not None
    assert tried.readings.data() == {"sideways": 12, "forwards": 13, "level": True, "angle": 38.5, "zone": "blue 2"}
    assert 'readings: {sideways: 12, forwards: 1/2 in, level: yes, angle: 38.5, zone: blue 2}' in (
        file.read_text(encoding="utf-8"))


def test_the_larger_of_both_directions_stands_where_it_always_did(file: Path):
    file.write_text(HEAD, encoding="utf-8")
    record(str(file), {**TOLD, "level": True}, DAY)
    assert ENTRY.replace("moved: 38,", "moved: 38, level: yes,") in file.read_text(encoding="utf-8")


STATES = [
    "installed: {Wren: {restraint: Nook, position: 2L}}\n",
    "installed:\n  Wren: {restraint: Nook, position: 2L}   # since May\n# the rules\nrules: us\n",
    "installed:\n  Wren:\n    restraint: Nook\n    position: 2L\nrules: us\n",
    "installed:\r\n  Wren: {restraint: Nook, position: 2L}\r\n",
    "installed: {Wren: {restraint: Nook, position: 2L}}",
    "rules: us\n", "rules: us",
    "installed:\n  Wren: {restraint: Nook, position: 2L}\n...\n# end\n",
]


@pytest.mark.parametrize("text", STATES, ids=range(len(STATES)))
def test_what_is_installed_and_under_way_is_written_in_place_and_taken_out(file: Path, text: str):
    raw = (HEAD + text).encode()
    file.write_bytes(raw)
    here = Installed(restraint="Nook", position="2L", by="lap-shoulder-belt", on=DAY,
                     readings=Readings(sideways=3, forwards=0, level=True))
    aim = {"Wren": UnderWay(restraint="Nook", position="2L", mode="rear-facing-harness", by="lap-shoulder-belt")}
    done = draft(str(file), DAY).write(None, {"Wren": here}, aim, ["Wren"])
    assert done.after.installed == {"Wren": here}
    assert done.after.under_way == aim
    assert load_trip(str(file)) == done.after
    last = draft(str(file), DAY).write(None, {"Wren": None}, {}, ["Wren"]).after
    assert (last.installed, last.under_way) == ({}, {})
    for wanted in (done.after, None):
        undo(str(file))
        assert load_trip(str(file)) == wanted if wanted else file.read_bytes() == raw
    assert [p.name for p in file.parent.iterdir()] == ["trip.yaml"]


def test_a_trip_that_is_json_stays_json(file: Path):
    data = yaml.safe_load(HEAD)
    file.write_text(json.dumps({**data, "installed": {"Wren": {"restraint": "Nook", "position": "2L"}}}),
                    encoding="utf-8")
    aim = {"Wren": UnderWay(restraint="Nook", position="2L")}
    draft(str(file), DAY).write(None, {"Wren": None}, aim, ["Wren"])
    assert json.loads(file.read_text(encoding="utf-8"))["under_way"] == {"Wren": {"restraint": "Nook",
                                                                                  "position": "2L"}}
