"""`seatplan record --holds`: where a reading says otherwise that is told, and nothing is written."""

from __future__ import annotations

from pathlib import Path

import pytest

from seatplan.app.errors import InputError
from seatplan.app.misasked import Misasked
from seatplan.app.record import Noted, Record, record

TRIPS = Path(__file__).resolve().parents[2] / "seatplan" / "data" / "trips"
WREN = {"rider": "Wren", "restraint": "Nook", "position": "2C", "by": "lap-shoulder-belt",
        "mode": "rear-facing-harness"}
OSLO = {"rider": "Oslo", "restraint": "Lattice", "position": "2L", "by": "lower-anchors",
        "mode": "forward-facing-harness"}
TAMSIN = {"rider": "Tamsin", "restraint": "Perch", "position": "2R"}


@pytest.fixture
def trip(tmp_path):
    path = tmp_path / "trip.yaml"
    path.write_text((TRIPS / "three-across-school-run.yaml").read_text())
    return path


def _refused(trip: Path, **given: str) -> list[tuple[tuple, str]]:
    before = trip.read_bytes()
    with pytest.raises(InputError) as raised:
        record(Record(trip=str(trip), holds=True, **given))
    assert trip.read_bytes() == before
    return [(problem.loc, str(problem.text)) for problem in raised.value.problems]


@pytest.mark.parametrize(("read", "loc", "said"), [
    ({"sideways": "26", "forwards": "9", "level": "yes"}, "sideways", "26 mm, and at most 25 mm is allowed"),
    ({"sideways": "9", "forwards": "26", "level": "yes"}, "forwards", "26 mm, and at most 25 mm is allowed"),
    ({"moved": "3 cm", "level": "yes"}, "moved", "30 mm, and at most 25 mm is allowed"),
    ({"sideways": "9", "forwards": "9", "level": "no"}, "level", "not level"),
    ({"sideways": "9", "forwards": "9", "angle": "52"}, "angle", "not within 30 to 45 degrees"),
    ({"sideways": "9", "forwards": "9", "level": "yes", "head_below_top": "24"}, "holds",
     "the head is below the top by 24 mm, and at least 25 mm is needed"),
])
def test_a_reading_speaks_against_it(trip, read, loc, said):
    problems = _refused(trip, **WREN, **read)
    assert [where for where, _ in problems] == [(loc,)]
    assert said in problems[0][1]


def test_all_readings_that_speak_against_it_are_told_at_once(trip):
    problems = _refused(trip, **WREN, sideways="30", forwards="40", level="no")
    assert {where for where, _ in problems} == {("sideways",), ("forwards",), ("level",)}


def test_the_belt_that_does_not_fit(trip):
    assert _refused(trip, **TAMSIN, belt_fits="no")[0][0] == ("belt_fits",)


def test_a_tether_that_is_not_hooked(trip):
    problems = _refused(trip, **OSLO, sideways="9", forwards="9", tether="no")
    assert "the tether was not hooked" in problems[0][1]


@pytest.mark.parametrize("lacking", ["sideways", "forwards", "level"])
def test_what_is_missing_is_asked_for(trip, lacking):
    read = {"sideways": "9", "forwards": "9", "level": "yes"}
    del read[lacking]
    assert _refused(trip, **WREN, **read)[0][0] == (lacking,)


def test_the_limit_itself_holds(trip):
    noted = record(Record(trip=str(trip), holds=True, sideways="25", forwards="25", level="yes", **WREN)).answer
    assert isinstance(noted, Noted)
    assert noted.recorded.after.installed["Wren"].position == "2C"


def test_it_cannot_hold_and_fail(trip):
    with pytest.raises(Misasked) as raised:
        record(Record(trip=str(trip), holds=True, failed=True, **WREN))
    assert raised.value.field == "holds"
    with pytest.raises(Misasked):
        record(Record(trip=str(trip), holds=True, undo=True))
