"""The JSON Schema accepts what the loader accepts."""

import re
from datetime import date
from pathlib import Path
from typing import Any

import file_samples
import jsonschema
import pytest

from seatplan.doubt.check import check
from seatplan.files import library
from seatplan.files.errors import InputError
from seatplan.files.load import restraint_from, vehicle_from
from seatplan.files.reading import kind_of, parse, read
from seatplan.files.schema import schema

KINDS: tuple[library.Kind, ...] = ("vehicle", "restraint", "trip")
TEMPLATES = Path(library.__file__).parent.parent / "data" / "templates"
FILES = [TEMPLATES / f"{kind}.yaml" for kind in KINDS] + [
    library.find(kind, key) for kind in KINDS for key in library.names(kind)
]


def plain(value: Any) -> Any:
    """The data as JSON has it: dates are strings."""
    if isinstance(value, dict):
        return {key: plain(item) for key, item in value.items()}
    if isinstance(value, list):
        return [plain(item) for item in value]
    return value.isoformat() if isinstance(value, date) else value


def faults(kind: str, data: Any) -> list[str]:
    validator = jsonschema.Draft202012Validator(schema(kind))
    return [f"{list(error.path)}: {error.message}" for error in validator.iter_errors(plain(data))]


@pytest.mark.parametrize("kind", KINDS)
def test_is_a_schema(kind: str) -> None:
    made = schema(kind)
    jsonschema.Draft202012Validator.check_schema(made)
    assert made["$schema"] == "https://json-schema.org/draft/2020-12/schema"
    assert made["title"] == f"seatplan {kind} file"


@pytest.mark.parametrize(("moved", "good"), [(38, True), ("3.8 cm", True), (3.8, False), (6001, False)])
def test_how_far_it_moved_is_whole_mm_in_the_schema_too(moved: object, good: bool) -> None:
    data = read(library.find("trip", "three-across-school-run")).data
    told = {"restraint": "Nook", "position": "2C", "by": "lap-shoulder-belt", "moved": moved}
    assert (faults("trip", {**data, "tried": [told]}) == []) == good


def test_no_such_schema() -> None:
    with pytest.raises(KeyError):
        schema("family")


@pytest.mark.parametrize("file", FILES, ids=lambda file: f"{file.parent.name}/{file.name}")
def test_good_files(file: Path) -> None:
    """Templates and bundled files pass the loader and the schema."""
    [report] = check([str(file)])
    assert [str(problem) for problem in report.problems] == []
    data = read(file).data
    assert faults(kind_of(read(file)), data) == []


@pytest.mark.parametrize("kind", KINDS)
def test_templates_have_nothing_odd_and_say_how_to_measure(kind: str) -> None:
    file = TEMPLATES / f"{kind}.yaml"
    [report] = check([str(file)])
    assert (report.kind, report.notices) == (kind, [])
    text = file.read_text(encoding="utf-8")
    assert "invented" in text
    assert text.count("#") > 10


@pytest.mark.parametrize(
    "text",
    [
        "vehicle: {vehicle: X, rows: [{row: 1, positions: [{position: 1L}]}]}",
        "vehicle: some-car",
        "vehicle: some-car\nrestraints: [a, {use: b, as: B, made: 2024-03-01, condition: {crash: none}}]",
        "vehicle: some-car\nfront: {1L: {forward_at_most: 90}}\ninstalled: {I: {position: 1L}}",
        "vehicle: some-car\nrestraints: [{restraint: S, modes: [{mode: backless-booster, "
        "installations: [{by: lap-belt}]}]}]",
    ],
)
def test_trip_forms(text: str) -> None:
    assert faults("trip", parse(f"trip: T\ndrives: 1L\nriders: [{{rider: I}}]\n{text}\n", "t").data) == []


@pytest.mark.parametrize(
    "text",
    [
        "vehicle: 7",
        "vehicle: '-'",
        "vehicle:",
        "vehicle: c\nfront: {9Z: {}}",
        "vehicle: c\nrestraints: [{use: b, az: B}]",
        "vehicle: c\nrestraints: [7]",
        "vehicle: c\nwishes: none",
        "vehicle: c\ncolour: red",
        "vehicle: {vehicle: X}",
    ],
)
def test_trip_forms_refused(text: str) -> None:
    assert faults("trip", parse(f"trip: T\ndrives: 1L\nriders: [{{rider: I}}]\n{text}\n", "t").data) != []


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("lower_anchors: [{bar: a, across: 170}, {bar: b, across: 450}]", "lower_anchors: x"),
        ("lower_anchors: [a, b]", "lower_anchors: {a: b}"),
        ("lower_anchors: [a, b]", "lower_anchors: [a, b, c]"),
        ("inflatable: no", "inflatable: maybe"),
        ("inflatable: no", "inflatable: 1"),
        ("centre: 310\n", "centre: 17250\n"),
        ("centre: 310\n", "centre: far\n"),
        ("row: 2", "row: two"),
        ("row: 2", "row: 10"),
        ("angle: 14", "angle: 140"),
        ("position: 2R", "position: right"),
        ("kind: lap-shoulder", "kind: shoulder"),
        ("[booster]", "booster"),
        ("on: 2026-10-04", "on: yesterday"),
        ("model_year: 2015", "modle_year: 2015"),
        ("[0, 700]", "[0]"),
        ("[0, 400]", "400"),
        ("bar: b, across: 450", "bar: , across: 450"),
        ("{kind: lap-shoulder,", "{kind: ,"),
        ("{kind: lap-shoulder, anchors: [120, 520], inflatable: no}", "{}"),
    ],
)
def test_both_refuse(old: str, new: str) -> None:
    """A slip in the shape of one value is seen by the schema too."""
    assert old in file_samples.VEHICLE
    document = parse(file_samples.VEHICLE.replace(old, new, 1), "car.yaml")
    with pytest.raises(InputError):
        vehicle_from(document)
    assert faults("vehicle", document.data) != []


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("inflatable: no", "inflatable: OFF"),
        ("inflatable: no", "inflatable: true"),
        ("centre: 310", "centre: 12 1/4 in"),
        ("lower_anchors: none", "lower_anchors: []"),
        ("lower_anchors: none", "lower_anchors:"),
        ("    trim:\n      - {name: door, left: 0, right: 1350, up: [0, 400]}", "    trim:"),
        ("{on: 2026-10-04, tolerance: 5}", "{on: , tolerance: }"),
        ("{kind: lap-shoulder, anchors: [120, 520], inflatable: no}", "{kind: , buckle: {across: , stalk: }}"),
        ("vehicle: Sample Wagon", "vehicle: 500"),
        ("[booster]", "[]"),
        ("tether: t1\n", "tether: none\n"),
        ("on: 2026-10-04", "on: null"),
        ("on: 2026-10-04", "on: '2026-10-04'"),
        ("{forbids: [booster]}", "{page: 41, notes: 2026-01-01}"),
    ],
)
def test_both_accept(old: str, new: str) -> None:
    assert old in file_samples.VEHICLE
    document = parse(file_samples.VEHICLE.replace(old, new, 1), "car.yaml")
    vehicle_from(document)
    assert faults("vehicle", document.data) == []


def test_restraint_sample() -> None:
    document = parse(file_samples.RESTRAINT, "seat.yaml")
    restraint_from(document)
    assert faults("restraint", document.data) == []


@pytest.mark.parametrize("kind", KINDS)
def test_the_schema_says_which_version_of_files_it_is_for(kind: str) -> None:
    assert schema(kind)["$id"] == f"seatplan-{kind}-2"


@pytest.mark.parametrize("file", FILES[len(KINDS):], ids=lambda file: f"{file.parent.name}/{file.name}")
def test_a_file_of_version_1_lacks_just_the_units_of_its_masses(file: Path, tmp_path: Path) -> None:
    """Masses used to be bare: one error each, and no other."""
    told: list[str] = []

    def bare(found: re.Match[str]) -> str:
        told.extend(re.findall(r"[\d.]+", found["masses"]))
        return found[0].replace(" kg", "")

    old = tmp_path / file.name
    old.write_text(re.sub(r"\b(lower_anchor_)?mass(_limit)?: (?P<masses>\[?[\d.]+ kg(, [\d.]+ kg)?)", bare,
                          file.read_text(encoding="utf-8")), encoding="utf-8")
    [report] = check([str(old)])
    assert [problem.text for problem in report.problems if "write the unit" not in problem.text] == []
    assert len(report.problems) == len([number for number in told if float(number)])
