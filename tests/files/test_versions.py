"""Whoever read a file and writes it later says which version was read: no change of anybody is lost."""

from __future__ import annotations

import json
import os
import shutil
import stat
import subprocess
import sys
from datetime import date
from pathlib import Path

import pytest

from seatplan.files import recording, setting
from seatplan.files.errors import InputError, Unwritten
from seatplan.files.library import find
from seatplan.files.setting import set_values, undo
from seatplan.files.undo import replace, take_back
from seatplan.files.versions import Changed, version_of

sys.path.insert(0, str(Path(__file__).parent.parent / "cli"))
from running import seatplan

DAY = date(2026, 11, 30)
#: adds to a number in a file, over and over, as often as it is told; reads again whatever changed meanwhile
COUNTS = """\
import sys
from pathlib import Path
from seatplan.files.undo import replace
from seatplan.files.versions import Changed, version_of

file, name, left, lost = Path(sys.argv[1]), sys.argv[2], int(sys.argv[3]), 0
while left:
    raw = file.read_bytes()
    try:
        replace(str(file), raw + f"{name} {left}\\n".encode(), version_of(raw), [name])
    except Changed:
        lost += 1
    else:
        left -= 1
"""
#: sets one field over and over; the last one stays
SETS = """\
import sys
from datetime import date
from seatplan.files.setting import set_values
for n in range(int(sys.argv[3])):
    set_values(sys.argv[1], [f"{sys.argv[2]}={2400 + n}"], today=date(2026, 11, 30))
"""


@pytest.fixture
def file(tmp_path: Path) -> Path:
    path = tmp_path / "trip.yaml"
    path.write_bytes(b"one\r\n")
    return path


@pytest.fixture
def trip(tmp_path: Path) -> str:
    (tmp_path / "car.yaml").write_bytes(find("vehicle", "half-measured-hatch").read_bytes())
    text = find("trip", "half-measured-car").read_text(encoding="utf-8").replace("half-measured-hatch", "car.yaml")
    (tmp_path / "trip.yaml").write_text(text, encoding="utf-8")
    return str(tmp_path / "trip.yaml")


def test_the_version_that_was_read_is_replaced_and_taken_back(file: Path) -> None:
    now = replace(str(file), b"two\n", version_of(b"one\r\n"), ["all of it"])
    assert file.read_bytes() == b"two\n"
    assert now == version_of(b"two\n")
    assert take_back(str(file), [str(file)]).names == ("all of it",)
    assert file.read_bytes() == b"one\r\n"


def test_another_version_is_left_alone_and_both_texts_are_told(file: Path) -> None:
    with pytest.raises(Changed) as wrong:
        replace(str(file), b"mine\n", version_of(b"before\n"), ["x"])
    found = wrong.value
    assert (found.path, found.expected, found.found) == (str(file), version_of(b"before\n"), version_of(b"one\r\n"))
    assert (found.wanted, found.there) == ("mine\n", "one\r\n")
    assert str(found) == f"{file}: this file was changed by something else meanwhile; nothing was written, try again"
    assert [path.name for path in file.parent.iterdir()] == ["trip.yaml"]
    assert file.read_bytes() == b"one\r\n"


def test_a_file_that_is_written_as_it_stands_makes_no_step(file: Path) -> None:
    assert replace(str(file), b"one\r\n", version_of(b"one\r\n"), ["x"]) == version_of(b"one\r\n")
    assert [path.name for path in file.parent.iterdir()] == ["trip.yaml"]


def test_a_file_that_is_gone_is_not_made_again(file: Path) -> None:
    file.unlink()
    with pytest.raises(InputError, match="this file cannot be read: no such file"):
        replace(str(file), b"two\n", version_of(b"one\r\n"), ["x"])
    assert not file.exists()


def test_what_a_file_was_is_its_owners_alone(file: Path) -> None:
    replace(str(file), b"two\n", version_of(b"one\r\n"), ["x"])
    journal = file.with_name(".trip.yaml.seatplan-undo")
    assert stat.S_IMODE(journal.stat().st_mode) == 0o600
    journal.chmod(0o644)                                          # as an older version left it
    replace(str(file), b"three\n", version_of(b"two\n"), ["x"])
    assert stat.S_IMODE(journal.stat().st_mode) == 0o600
    assert [entry["before"] for entry in json.loads(journal.read_text())["steps"]] == ["one\r\n", "two\n"]


def test_two_processes_lose_no_edit_of_two_hundred_each(file: Path) -> None:
    both = [subprocess.Popen([sys.executable, "-c", COUNTS, str(file), name, "200"]) for name in ("a", "b")]
    assert [one.wait(120) for one in both] == [0, 0]
    lines = file.read_text().splitlines()
    assert lines[0] == "one"
    for name in ("a", "b"):
        assert [line for line in lines if line.startswith(name)] == [f"{name} {n}" for n in range(200, 0, -1)]
    assert len(lines) == 401


def test_fields_that_two_processes_set_at_once_are_all_there(trip: str) -> None:
    names = ("2C.belt.length", "2L.belt.length")
    both = [subprocess.Popen([sys.executable, "-c", SETS, trip, name, "15"]) for name in names]
    assert [one.wait(120) for one in both] == [0, 0]
    # what the other process wrote in between is still there
    before = Path(trip).with_name("car.yaml").read_bytes()
    done = set_values(trip, [f"{name}=2414" for name in names], today=DAY)
    assert [field.was for field in done.fields] == [2414, 2414]
    assert Path(trip).with_name("car.yaml").read_bytes() == before


def test_what_an_editor_changes_while_a_field_is_set_stays(trip: str, monkeypatch: pytest.MonkeyPatch) -> None:
    car = Path(trip).with_name("car.yaml")
    whole = setting.write_together

    def meanwhile(*args: object) -> None:
        car.write_bytes(car.read_bytes() + b"# mine\n")
        whole(*args)

    monkeypatch.setattr(setting, "write_together", meanwhile)
    before = car.read_bytes()
    with pytest.raises(Changed, match=r"car\.yaml: this file was changed by something else meanwhile"):
        set_values(trip, ["2C.belt.length=2400"], today=DAY)
    assert car.read_bytes() == before + b"# mine\n"
    assert sorted(os.listdir(car.parent)) == ["car.yaml", "trip.yaml"]


def test_a_copy_takes_the_place_of_nothing_that_came_meanwhile(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    whole = setting.place_of

    def meanwhile(name: str) -> object:
        place = whole(name)
        Path("mine.yaml").write_text("somebody's")
        return place

    monkeypatch.setattr(setting, "place_of", meanwhile)
    with pytest.raises(Unwritten, match=r"mine\.yaml: this file cannot be written: file exists"):
        set_values("half-measured-car", ["2C.belt.length=2400"], copy_to="mine.yaml", today=DAY)
    assert Path("mine.yaml").read_text() == "somebody's"


def test_undo_of_a_step_that_somebody_wrote_over_touches_nothing(trip: str) -> None:
    set_values(trip, ["2C.belt.length=2400"], today=DAY)
    car = Path(trip).with_name("car.yaml")
    car.write_bytes(car.read_bytes() + b"# mine\n")
    with pytest.raises(InputError, match=r"car\.yaml: this file was changed since"):
        undo(trip, today=DAY)
    assert car.read_bytes().endswith(b"# mine\n")


@pytest.mark.parametrize(("times", "code"), [(3, 0), (100, 2)])
def test_a_command_reads_again_what_changed_and_gives_up_with_code_2(
        tmp_path: Path, monkeypatch: pytest.MonkeyPatch, times: int, code: int) -> None:
    file = tmp_path / "trip.yaml"
    shutil.copyfile(find("trip", "three-across-school-run"), file)
    before, whole, left = file.read_bytes(), recording.write_together, iter(range(times))

    def meanwhile(*args: object) -> None:
        if next(left, None) is not None:
            file.write_bytes(file.read_bytes() + b"# edited\n")
        whole(*args)

    monkeypatch.setattr(recording, "write_together", meanwhile)
    told = seatplan("record", str(file), "--go-on-with", "1")
    assert told.code == code
    if code:
        assert f"{file}: this file was changed by something else meanwhile; nothing was written" in told.err
        edits = file.read_bytes().removeprefix(before)
        assert edits == b"# edited\n" * edits.count(b"\n")             # nothing but what the editor wrote
        assert os.listdir(tmp_path) == ["trip.yaml"]
    else:
        assert file.read_bytes().count(b"# edited\n") == times
        assert b"under_way" in file.read_bytes()
