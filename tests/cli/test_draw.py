"""`seatplan draw` on the command line, and how files are written: whole or not at all, never over another's."""

from __future__ import annotations

from pathlib import Path
from xml.etree import ElementTree

import pytest
from running import seatplan

TRIP = "three-across-school-run"


def test_draws_to_a_file_and_to_standard_output(tmp_path: Path):
    file = tmp_path / "plan.svg"
    said = seatplan("draw", TRIP, "-o", str(file))
    assert (said.out, said.code) == ("", 0)
    assert said.err == f"wrote {file} (arrangement 1, {round(file.stat().st_size / 1000)} kB)\n"
    assert ElementTree.parse(file).getroot().tag.endswith("svg")
    assert seatplan("draw", TRIP, "-o", "-").out == file.read_text(encoding="utf-8")
    assert [entry.name for entry in tmp_path.iterdir()] == ["plan.svg"]


def test_the_second_arrangement_is_another_drawing():
    first, second = (seatplan("draw", TRIP, "--arrangement", n, "-o", "-").out for n in ("1", "2"))
    assert "arrangement 1, fits" in first
    assert "arrangement 2, fits" in second
    assert first.replace("arrangement 1", "arrangement 2") != second


def test_writes_anew_over_its_own_file_but_not_over_another(tmp_path: Path):
    own, other = tmp_path / "own.svg", tmp_path / "other.svg"
    other.write_text("<svg>a holiday</svg>", encoding="utf-8")
    assert seatplan("draw", TRIP, "-o", str(own)).code == 0
    assert seatplan("draw", TRIP, "--arrangement", "2", "-o", str(own)).code == 0
    assert "arrangement 2" in own.read_text(encoding="utf-8")
    said = seatplan("draw", TRIP, "-o", str(other))
    assert said.code == 2
    assert said.err == (f"error: `{other}` is there already, and seatplan did not write it\n"
                        "hint: another name, or `--force` to write over it\n")
    assert other.read_text(encoding="utf-8") == "<svg>a holiday</svg>"
    assert seatplan("draw", TRIP, "-o", str(other), "--force").code == 0
    assert "made by seatplan" in other.read_text(encoding="utf-8")


def test_a_link_is_followed_and_kept(tmp_path: Path):
    real, link = tmp_path / "real.svg", tmp_path / "link.svg"
    link.symlink_to(real)
    assert seatplan("draw", TRIP, "-o", str(link)).code == 0
    assert link.is_symlink()
    assert "made by seatplan" in real.read_text(encoding="utf-8")


@pytest.mark.parametrize(("path", "error", "code"), [
    ("", "is a folder", 2), ("nowhere/plan.svg", "the folder is not there", 74)])
def test_a_place_that_cannot_be_written(tmp_path: Path, path: str, error: str, code: int):
    said = seatplan("draw", TRIP, "-o", str(tmp_path / path))
    assert said.code == code
    assert error in said.err
    assert list(tmp_path.iterdir()) == []


def test_nothing_fits():
    said = seatplan("draw", "three-too-wide", "-o", "-")
    assert (said.out, said.code) == ("", 1)
    assert said.err == "nothing fits, so nothing was written\nhint: `seatplan arrange three-too-wide` says why\n"


def test_a_number_that_there_is_not():
    said = seatplan("draw", "tall-driver", "--arrangement", "9", "-o", "-")
    assert (said.out, said.code) == ("", 2)
    assert "--arrangement is 9, and there are 2" in said.err


def test_what_hangs_on_a_measurement_is_drawn_and_leaves_with_3():
    said = seatplan("draw", "half-measured-car", "-o", "-")
    assert said.code == 3
    assert "not all measured" in said.out


def test_a_sheet_is_written_like_a_drawing(tmp_path: Path):
    file = tmp_path / "sheet.html"
    assert seatplan("sheet", TRIP, "-o", str(file)).code == 0
    assert seatplan("sheet", TRIP, "-o", "-").out == file.read_text(encoding="utf-8")
    assert seatplan("sheet", TRIP, "-o", str(file), "--paper", "letter").code == 0        # its own file
    assert "size: letter" in file.read_text(encoding="utf-8")
    assert seatplan("sheet", "three-too-wide", "-o", str(file), "--force").code == 1
    assert seatplan("sheet", TRIP, "-o", str(file), "--paper", "a5").code == 2
    assert "size: letter" in file.read_text(encoding="utf-8")
