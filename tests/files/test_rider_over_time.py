"""Past measurements and children on the way: what is read, and what each contradiction is told."""

from __future__ import annotations

from pathlib import Path

import pytest

from seatplan.files.errors import InputError
from seatplan.files.load import load_trip
from seatplan.model import Trip
from seatplan.units import Quantity

HEAD = """\
trip: T
vehicle: skiff-two
on: 2026-11-30
drives: 1L
riders:
  - {rider: Ines, age: 36y, adult: yes, drives: yes}
"""


def trip_of(tmp_path: Path, rider: str, head: str = HEAD) -> Trip:
    file = tmp_path / "trip.yaml"
    file.write_text(f"{head}  - {rider}\n", encoding="utf-8")
    return load_trip(str(file))


def problems(tmp_path: Path, rider: str, head: str = HEAD) -> list[str]:
    with pytest.raises(InputError) as caught:
        trip_of(tmp_path, rider, head)
    return [str(problem).rpartition("/")[2] for problem in caught.value.problems]


def test_the_latest_of_each_size_stands_in_and_what_is_given_stays(tmp_path: Path) -> None:
    kim = trip_of(tmp_path, "{rider: Kim, born: 2024-01-01, sex: boy, height: 915, measured: ["
                            "{on: 2026-10-01, mass: 13.2 kg, height: 900}, "
                            "{on: 2026-03-01, mass: 12.1 kg, hips: 18 cm}]}"
                  ).riders[1]
    assert (kim.mass, kim.height, kim.hips, kim.sex, len(kim.measured)) == (Quantity("13.2 kg"), 915, 180, "boy", 2)


def test_a_child_on_the_way(tmp_path: Path) -> None:
    kim = trip_of(tmp_path, "{rider: Kim, due: 2027-03-20}").riders[1]
    assert (str(kim.due), kim.born, kim.mass) == ("2027-03-20", None, None)


@pytest.mark.parametrize(("rider", "told"), [
    ("{rider: Kim, due: 2027-03-20, born: 2026-01-01}",
     "Kim is due on 2027-03-20 and has `born` too; expected one of the two"),
    ("{rider: Kim, due: 2027-03-20, mass: 3.5 kg}",
     "Kim is due on 2027-03-20 and has `mass` too; expected one of the two"),
    ("{rider: Kim, due: 2027-03-20, adult: yes}", "Kim is due on 2027-03-20; expected no `adult`"),
    ("{rider: Kim, due: 2027-03-20, measured: [{on: 2026-11-01, mass: 3.5 kg}]}",
     "Kim is due on 2027-03-20 and was measured; expected `born` in place of `due`"),
    ("{rider: Kim, due: 2026-11-30}",
     "Kim is due 2026-11-30, and the day of travel is 2026-11-30; expected a later day, or `born` once the child is "
     "there"),
    ("{rider: Kim, born: 2025-01-01, measured: [{on: 2026-11-01}]}",
     "nothing was measured of Kim on 2026-11-01; expected one of mass, height, sitting_height, shoulder_height, "
     "ear_height, hips, shoulders, buttock_knee"),
    ("{rider: Kim, born: 2025-01-01, measured: [{on: 2026-11-01, mass: 9 kg}, {on: 2026-11-01, mass: 9.1 kg}]}",
     "Kim was measured on 2026-11-01 twice; expected one entry a day"),
    ("{rider: Kim, born: 2026-01-01, measured: [{on: 2025-11-01, mass: 9 kg}]}",
     "Kim was measured on 2025-11-01, and is born 2026-01-01"),
    ("{rider: Kim, born: 2026-01-01, measured: [{on: 2026-12-01, mass: 9 kg}]}",
     "Kim was measured on 2026-12-01, after the day of travel 2026-11-30; expected a day up to it"),
    ("{rider: Kim, born: 2026-01-01, mass: 9.2 kg, measured: [{on: 2026-11-30, mass: 9 kg}]}",
     "mass of Kim is 9 here and 9.2 by itself, both for 2026-11-30; expected one of them"),
    ("{rider: Kim, born: 2024-01-01, measured: [{on: 2026-11-01, height: 880}, {on: 2026-06-01, height: 901}]}",
     "height of Kim is 880 mm on 2026-11-01, and was 901 mm on 2026-06-01; expected a child that does not shrink"),
    ("{rider: Kim, born: 2024-01-01, height: 870, measured: [{on: 2026-06-01, height: 901}]}",
     "height of Kim is 870 mm on 2026-11-30, and was 901 mm on 2026-06-01; expected a child that does not shrink"),
])
def test_contradictions_are_told_with_their_line(tmp_path: Path, rider: str, told: str) -> None:
    [problem] = problems(tmp_path, rider)
    place, _, text = problem.partition(": ")
    assert text == told
    assert place.startswith("trip.yaml:7:")


def test_within_what_measuring_is_off_nobody_shrinks(tmp_path: Path) -> None:
    trip_of(tmp_path, "{rider: Kim, born: 2024-01-01, height: 881, measured: [{on: 2026-06-01, height: 901}]}")


@pytest.mark.parametrize("field", ["sex: child", "due: soon", "measured: 12", "measured: [{mass: 9 kg}]",
                                   "measured: [{on: 2026-11-01, weight: 9}]", "smaller: {rider: x}"])
def test_what_cannot_be_read_is_an_input_error(tmp_path: Path, field: str) -> None:
    assert problems(tmp_path, f"{{rider: Kim, {field}}}")
