"""A write is taken back in the folder where the file is now, and in no other."""

from __future__ import annotations

import shutil
import sys
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
