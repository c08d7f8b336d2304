"""A write is taken back in the folder where the file is now, and in no other."""

from __future__ import annotations

import json
import shutil
import sys
from collections.abc import Callable
from hashlib import sha256
from pathlib import Path

import pytest

from seatplan.files.library import find

sys.path.insert(0, str(Path(__file__).parent.parent / "cli"))
from running import seatplan


@pytest.fixture
def written(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> bytes:
    """A trip in the folder ``monday`` that something was written in; what it was before."""
    monkeypatch.chdir(tmp_path)
    Path("monday").mkdir()
    shutil.copyfile(find("trip", "three-across-school-run"), "monday/trip.yaml")
    before = Path("monday/trip.yaml").read_bytes()
    assert seatplan("record", "monday/trip.yaml", "--go-on-with", "1").code == 0
    assert Path("monday/trip.yaml").read_bytes() != before
    return before


def test_in_a_copied_folder_the_copy_is_taken_back(written: bytes) -> None:
    shutil.copytree("monday", "kept")
    after = Path("monday/trip.yaml").read_bytes()
    assert seatplan("undo", "kept/trip.yaml").code == 0
    assert Path("kept/trip.yaml").read_bytes() == written
    assert Path("monday/trip.yaml").read_bytes() == after


def test_in_a_moved_folder_it_is_taken_back_there(written: bytes) -> None:
    Path("monday").rename("tuesday")
    assert seatplan("undo", "tuesday/trip.yaml").code == 0
    assert Path("tuesday/trip.yaml").read_bytes() == written
    assert not Path("monday").exists()


def test_a_step_of_a_file_of_another_name_is_none_of_this_one(written: bytes) -> None:
    after = Path("monday/trip.yaml").read_bytes()
    shutil.copyfile("monday/trip.yaml", "monday/other.yaml")
    shutil.copyfile("monday/.trip.yaml.seatplan-undo", "monday/.other.yaml.seatplan-undo")
    said = seatplan("undo", "monday/other.yaml")
    assert said.code == 2
    assert "nothing to take back" in said.err
    assert Path("monday/trip.yaml").read_bytes() == after


def without_end(raw: bytes) -> bytes:
    return raw[:-20]


def one_letter(raw: bytes) -> bytes:
    return raw.replace(b"9.6 kg", b"9.8 kg", 1)


def one_step_less(raw: bytes) -> bytes:
    return json.dumps({**json.loads(raw), "steps": []}).encode()


DAMAGES: list[Callable[[bytes], bytes]] = [
    without_end, one_letter, one_step_less, lambda _: b"", lambda _: b"[]\n", lambda _: b"{}", lambda _: b"\xff\0",
    lambda _: b'{"sha256": "%s", "steps": [1]}' % sha256(b"[1]").hexdigest().encode(),
    lambda _: b"[" * 100_000, lambda _: b'{"sha256": "0", "steps": [1]}']


@pytest.mark.parametrize(("damage", "command"), [
    *((damage, ("undo",)) for damage in DAMAGES),
    *((without_end, command) for command in [("record", "--undo"), ("measure", "--undo"), ("record", "--give-up"),
                                             ("measure", "--set", "Oslo.mass=17.5 kg")])])
def test_a_damaged_undo_file_is_told_and_nothing_is_lost(written: bytes, damage: Callable[[bytes], bytes],
                                                         command: tuple[str, ...]) -> None:
    kept = Path("monday/.trip.yaml.seatplan-undo")
    raw = damage(kept.read_bytes())
    assert raw != kept.read_bytes()
    kept.write_bytes(raw)
    trip = Path("monday/trip.yaml").read_bytes()
    said = seatplan(command[0], "monday/trip.yaml", *command[1:])
    assert (said.code, said.out) == (2, "")
    told = " ".join(said.err.split())
    assert "monday/.trip.yaml.seatplan-undo: what is kept here for undo is damaged" in told
    assert (kept.read_bytes(), Path("monday/trip.yaml").read_bytes()) == (raw, trip)


def test_once_it_is_moved_away_it_goes_on(written: bytes) -> None:
    kept = Path("monday/.trip.yaml.seatplan-undo")
    kept.write_bytes(b"")
    kept.rename("damaged")
    before = Path("monday/trip.yaml").read_bytes()
    assert seatplan("record", "monday/trip.yaml", "--give-up").code in (0, 3)
    assert seatplan("undo", "monday/trip.yaml").code in (0, 3)
    assert Path("monday/trip.yaml").read_bytes() == before


def test_an_undo_file_that_cannot_be_read_is_told(written: bytes) -> None:
    kept = Path("monday/.trip.yaml.seatplan-undo")
    kept.unlink()
    kept.mkdir()
    said = seatplan("undo", "monday/trip.yaml")
    assert (said.code, "this file cannot be read" in said.err) == (2, True)
