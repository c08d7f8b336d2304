"""``sure``: a value once more beside the field."""

from __future__ import annotations

from typing import Any

import pytest
from pydantic import ValidationError

from seatplan.files.crosscheck_over_time import with_latest
from seatplan.files.errors import InputError
from seatplan.files.load import load_trip
from seatplan.files.reading import parse
from seatplan.files.validate import validate
from seatplan.model import Limits, Measured, Restraint, Rider, Trip, Vehicle
from seatplan.model.record import Record


@pytest.mark.parametrize(("sure", "counts"), [("37.2 kg", True), ("37.20 kg", True), ("37.3 kg", False),
                                              ("37.2 lb", False)])
def test_counts_while_it_is_the_same(sure: str, counts: bool) -> None:
    assert Rider(rider="Wren", mass="37.2 kg", sure={"mass": sure}).is_sure("mass") is counts


def test_a_range_is_one_value() -> None:
    limits = Limits(mass=["9 kg", "40 kg"], sure={"mass": ["9 kg", "40 kg"]})
    assert limits.is_sure("mass")
    assert not limits.is_sure("height")


@pytest.mark.parametrize("record", [
    Rider(rider="Wren", mass="37.2 kg", height=998, sure={"mass": "37.2 kg", "height": 998}),
    Limits(mass=["9 kg", "40 kg"], sure={"mass": ["9 kg", "40 kg"]}),
])
def test_what_is_written_reads_back(record: Record) -> None:
    assert type(record).model_validate_json(record.model_dump_json()) == record


@pytest.mark.parametrize(("sure", "says"), [
    ("{mas: 37.2 kg}", 'r.yaml:3:8: unknown key "mas" in sure; did you mean "mass"?'),
    ("{mass: 37.2}", 'r.yaml:3:14: sure mass is 37.2; 37.2 kg is 82 lb; 37.2 lb is 16.9 kg: write the unit, such as '
                     '"37.2 kg" or "37.2 lb"'),
    ("{height: 9 m}", 'r.yaml:3:16: sure height is "9 m"; expected 300 to 2300 mm'),
])
def test_a_slip_under_sure_is_told_with_its_place(sure: str, says: str) -> None:
    document = parse(f"rider: Wren\nmass: 37.2 kg\nsure: {sure}\n", "r.yaml")
    with pytest.raises(InputError) as caught:
        validate(Rider, document.data, document)
    assert [str(problem) for problem in caught.value.problems] == [says]


def test_other_records_are_no_values() -> None:
    with pytest.raises(ValidationError):
        Rider(rider="Wren", sure={"belt_fit": {"passed": True}})


def test_the_latest_measurement_brings_its_sure_along() -> None:
    entry: dict[str, Any] = {"on": "2026-03-01", "mass": "37.2 kg", "sure": {"mass": "37.2 kg"}}
    rider = Rider(rider="Wren", measured=[Measured.model_validate(entry)])
    trip = load_trip("three-across-school-run").model_copy(update={"riders": [rider]})
    assert with_latest(trip).riders[0].is_sure("mass")


@pytest.mark.parametrize("record", [Vehicle, Restraint, Trip])
def test_the_schema_of_a_file_names_it_everywhere(record: type[Record]) -> None:
    schema = record.model_json_schema()
    told = [schema, *schema["$defs"].values()]
    assert all("sure" in one["properties"] for one in told if one.get("type") == "object")
