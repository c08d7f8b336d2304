"""Fields are set in the file that they stand in, checked like it, and taken back byte by byte."""

from __future__ import annotations

import stat
from datetime import date
from pathlib import Path

import pytest

from seatplan import load_trip
from seatplan.files.errors import InputError, Unwritten
from seatplan.files.library import find
from seatplan.files.setting import set_values, undo

DAY = date(2026, 11, 30)


@pytest.fixture
def trip(tmp_path: Path) -> str:
    """A trip with a vehicle and a restraint of its own, another restraint inline and one from the library."""
    (tmp_path / "car.yaml").write_bytes(find("vehicle", "half-measured-hatch").read_bytes().replace(b"\n", b"\r\n"))
    (tmp_path / "perch.yaml").write_bytes(find("restraint", "perch-slim").read_bytes())
    text = find("trip", "half-measured-car").read_text(encoding="utf-8")
    inline = find("restraint", "nook-35").read_text(encoding="utf-8").split("restraint:")[1].replace("\n", "\n    ")
    text = text.replace("half-measured-hatch", "car.yaml    # mine").replace("use: perch-slim", "use: perch.yaml")
    text += f"  - cushion-38\n  - restraint:{inline.replace('Nook 35', 'Own')}"
    (tmp_path / "trip.yaml").write_text(text.rstrip() + "\n", encoding="utf-8")
    return str(tmp_path / "trip.yaml")


def _bytes(trip: str) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in Path(trip).parent.iterdir()}


@pytest.mark.parametrize(("text", "file", "was", "now"), [
    ("2C.belt.length=2400", "car.yaml", "belt: {kind: lap-shoulder}", "belt: {kind: lap-shoulder, length: 2400}"),
    ("row2.cushion.angle=14", "car.yaml", "raised: none}", "raised: none, angle: 14}"),
    ("Beck.mass=19.6 lb", "trip.yaml", "sits_upright: yes}", "sits_upright: yes, mass: 19.6 lb}"),
    ("Perch.condition.recall=none", "trip.yaml", "crash: none, labels: readable, history: known}}",
     "crash: none, labels: readable, history: known, recall: none}}"),
    ("Perch/high-back-booster.seat_up=105", "perch.yaml", "seat_up: 100", "seat_up: 105"),
    ("Own/rear-facing-harness.seat_up=64", "trip.yaml", "seat_up: 60", "seat_up: 64"),
])
def test_a_field_is_set_where_it_stands(trip: str, text: str, file: str, was: str, now: str) -> None:
    before = _bytes(trip)
    done = set_values(trip, [text], today=DAY)
    after = _bytes(trip)
    changed = [name for name in before if before[name] != after[name]]
    assert changed == [file]
    assert after[file].decode() == before[file].decode().replace(was, now, 1) or (
        after[file].decode().splitlines() != before[file].decode().splitlines())
    assert now in after[file].decode()
    assert done.after == load_trip(trip)
    assert done.before != done.after
    [one] = done.fields
    assert now.split(": ")[-1].rstrip("}") in after[file].decode().splitlines()[one.line - 1]


def test_several_are_set_at_once_and_taken_back_together(trip: str) -> None:
    before = _bytes(trip)
    set_values(trip, ["2C.gap@300=640", "2C.gap@0=600", "Beck.mass=21 kg", "Perch.mass=4 kg"], today=DAY)
    assert load_trip(trip).vehicle.position("2C").ahead.gap == [(0, 600), (300, 640)]
    set_values(trip, ["2C.gap@300=650"], today=DAY)
    assert undo(trip, today=DAY).names == ("2C.gap@300",)
    found = undo(trip, today=DAY)
    assert found.names == ("2C.gap@300", "2C.gap@0", "Beck.mass", "Perch.mass")
    assert {Path(file).name for file in found.files} == {"car.yaml", "trip.yaml", "perch.yaml"}
    assert _bytes(trip) == before
    with pytest.raises(InputError, match="nothing to take back"):
        undo(trip, today=DAY)


def test_what_was_changed_since_is_not_taken_back(trip: str) -> None:
    set_values(trip, ["2C.belt.length=2400", "Beck.mass=21 kg"], today=DAY)
    car = Path(trip).with_name("car.yaml")
    car.write_bytes(car.read_bytes() + b"# mine\r\n")
    before = _bytes(trip)
    with pytest.raises(InputError, match="this file was changed since"):
        undo(trip, today=DAY)
    assert _bytes(trip) == before


def test_nothing_is_written_where_something_is_wrong(trip: str) -> None:
    before = _bytes(trip)
    for wanted, told in ((["2C.belt.length=24000"], "expected 0 to 6000 mm"), (["2C.belt.lenght=1"], "did you mean"),
                         (["Beck.mass=21 kg", "Perch.condition.crash=maybe"], "crash"),
                         (["2R.lower_anchors=[x, y]"], "x"), (["Cushion 38.mass=9 kg"], "bundled")):
        with pytest.raises(InputError) as error:
            set_values(trip, wanted, today=DAY)
        assert told in str(error.value)
        assert _bytes(trip) == before
    with pytest.raises(InputError, match="told so"):
        set_values(trip, ["Beck.mass=88 kg"], today=DAY, unlikely=lambda before, after: ["told so"])
    assert set_values(trip, ["Beck.mass=21 kg"], today=DAY, write_it=False).diff
    assert _bytes(trip) == before


def test_what_cannot_be_written_leaves_all_as_it_was(trip: str) -> None:
    car = Path(trip).with_name("car.yaml")
    car.chmod(stat.S_IRUSR)
    before = _bytes(trip)
    with pytest.raises(Unwritten):
        set_values(trip, ["Beck.mass=21 kg", "2C.belt.length=2400"], today=DAY)
    assert _bytes(trip) == before


def test_sure_stands_beside_the_value(trip: str) -> None:
    set_values(trip, ["Beck.mass=88 kg"], today=DAY, sure=True)
    assert "mass: 88 kg, sure: {mass: 88 kg}}" in Path(trip).read_text(encoding="utf-8")


def test_a_bundled_file_is_copied_and_named(trip: str, tmp_path: Path) -> None:
    bundled = find("restraint", "cushion-38").read_bytes()
    copy = tmp_path / "my-cushion.yaml"
    [mass, _] = [set_values(trip, ["Cushion 38.mass=2 kg"], today=DAY, copy_to=str(copy), write_it=write)
                 for write in (False, True)]
    assert mass.copies == (str(copy),)
    assert find("restraint", "cushion-38").read_bytes() == bundled
    assert "  - my-cushion.yaml\n" in Path(trip).read_text(encoding="utf-8")
    assert "mass: 2 kg" in copy.read_text(encoding="utf-8")
    with pytest.raises(InputError, match="there already"):
        set_values("half-measured-car", ["2C.belt.length=2400"], today=DAY, copy_to=str(copy))


def test_a_copy_of_a_vehicle_is_given_beside_a_bundled_trip(tmp_path: Path) -> None:
    copy = str(tmp_path / "car.yaml")
    done = set_values("half-measured-car", ["2C.belt.length=2400"], today=DAY, copy_to=copy)
    assert (done.vehicle, done.trip) == (copy, None)
    assert load_trip("half-measured-car", vehicle=copy).vehicle.position("2C").belt.length == 2400
    again = set_values("half-measured-car", ["2C.belt.length=2500"], today=DAY, vehicle=copy)
    assert again.after.vehicle.position("2C").belt.length == 2500
    own = str(tmp_path / "trip.yaml")
    assert set_values("half-measured-car", ["Beck.mass=21 kg"], today=DAY, copy_to=own).trip == own
    assert load_trip(own).riders[2].mass is not None




def test_a_part_that_a_kind_does_not_have_yet_is_made_with_its_name(tmp_path: Path) -> None:
    path = tmp_path / "trip.yaml"
    path.write_text(find("trip", "first-answer-middling").read_text(encoding="utf-8"))
    base = "Dara's carrier/rear-facing-harness.parts.base"
    set_values(str(path), [f"{base}.along=[40, 430]", f"{base}.width=380"])
    assert "parts: [{part: base, along: [40, 430], width: 380}]" in path.read_text()
    made = next(one for one in load_trip(path).restraints if one.restraint == "Dara's carrier")
    parts = {part.part: part for part in made.mode("rear-facing-harness").parts}
    assert (parts["base"].along, parts["base"].width) == ((40, 430), 380)
    assert "shell" in parts                                          # what the kind has is there still
