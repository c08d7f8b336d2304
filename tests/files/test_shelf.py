"""A shelf as faces have it: files by number, and files of other names taken in."""

from __future__ import annotations

from pathlib import Path

import pytest

from seatplan.app.errors import InputError
from seatplan.app.reading import trip_asked
from seatplan.app.request import Request
from seatplan.app.shelf import shelf

CAR = "vehicle: Blue car\nrows: [{row: 1, positions: [{position: 1L}]}, {row: 2, positions: [{position: 2L}]}]\n"
TRIP = ("trip: To the sea   # ours\nvehicle: blue.yaml\ndrives: 1L\n"
        "riders: [{rider: Wren, age: 1y}]\nrestraints: [nook-35]\n")


def test_files_of_other_names_are_taken_in_with_the_references_between_them(tmp_path: Path) -> None:
    (tmp_path / "blue.yaml").write_text(CAR)
    (tmp_path / "sea.yaml").write_text(TRIP)
    (tmp_path / "shopping.yaml").write_text("milk: 2\n")
    found = shelf(tmp_path)
    assert found.others() == 3
    assert not found.listing()
    assert found.take_in() == ("vehicle-1", "trip-1")
    held = found.held("trip-1")
    assert held.text == TRIP.replace("blue.yaml", "vehicle-1.yaml")
    assert trip_asked(Request(trip=held.path)).vehicle.vehicle == "Blue car"
    assert (tmp_path / "sea.yaml").read_text() == TRIP


def test_a_number_of_another_kind_or_of_nothing_is_misasked(tmp_path: Path) -> None:
    found = shelf(tmp_path)
    made = found.create("vehicle", CAR)
    for number, kind in ((made.number, "trip"), ("trip-9", None), ("../etc", None), ("nook-35", None)):
        with pytest.raises(InputError):
            found.held(number, kind)
    assert found.held(made.number, "vehicle").text == CAR


def test_a_file_is_found_by_the_name_that_a_trip_has_for_it(tmp_path: Path) -> None:
    found = shelf(tmp_path)
    made = found.create("vehicle", CAR)
    assert found.named(found.reference(made.number), "vehicle") == found.held(made.number)
    (tmp_path / "blue.yaml").write_text(CAR)
    for reference, kind in ((f"./{made.number}.yaml", "vehicle"), (f"{made.number}.yaml", "restraint"),
                            ("vehicle-9.yaml", "vehicle"), ("blue.yaml", "vehicle"), ("", "vehicle")):
        assert found.named(reference, kind) is None
