"""Every kind of mistake, with its full text and place."""

from pathlib import Path
from typing import Any

import file_samples
import pytest
import yaml

from seatplan.files.errors import InputError
from seatplan.files.load import load_restraint, load_trip, load_vehicle
from seatplan.files.reading import YAML_LOADER

FILES = {
    "vehicle": ("car.yaml", file_samples.VEHICLE, load_vehicle),
    "restraint": ("seat.yaml", file_samples.RESTRAINT, load_restraint),
    "trip": ("trip.yaml", file_samples.TRIP, load_trip),
}
CASES = yaml.load(Path(__file__).with_name("problems.yaml").read_text(encoding="utf-8"), Loader=YAML_LOADER)


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder with the three sample files, which is the current one."""
    monkeypatch.chdir(tmp_path)
    for name, text, _ in FILES.values():
        (tmp_path / name).write_text(text, encoding="utf-8")
    return tmp_path


def test_samples_are_right(folder: Path) -> None:
    trip = load_trip("trip.yaml")
    assert trip.vehicle == load_vehicle("car.yaml")
    assert [restraint.restraint for restraint in trip.restraints] == ["Sample Shell", "Second"]


@pytest.mark.parametrize(
    ("kind", "case"),
    [
        pytest.param(kind, case, id=f"{kind}-{name}")
        for kind, cases in CASES.items()
        for name, case in cases.items()
    ],
)
def test_says(kind: str, case: dict[str, Any], folder: Path) -> None:
    name, text, load = FILES[kind]
    assert case["old"] in text
    (folder / name).write_text(text.replace(case["old"], case["new"], 1), encoding="utf-8")
    with pytest.raises(InputError) as caught:
        load(name)
    assert [str(problem) for problem in caught.value.problems] == case["says"]


def test_no_foreign_words() -> None:
    """Nothing of pydantic's, Python's or a solver's language is shown."""
    said = [text for cases in CASES.values() for case in cases.values() for text in case["says"]]
    foreign = (
        "Input should",
        "valid ",
        "None",
        "dict",
        "tuple",
        "NoneType",
        "illegal",
        "error",
        "constraint",
    )
    assert [(text, word) for text in said for word in foreign if word in text] == []
