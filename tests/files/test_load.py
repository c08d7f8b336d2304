"""References, the family's own copies, another vehicle, and the bundled library."""

from datetime import date
from io import BytesIO
from pathlib import Path
from types import SimpleNamespace

import file_samples
import pytest

from seatplan.files import library
from seatplan.files.errors import InputError, Notice
from seatplan.files.load import load_restraint, load_trip, load_vehicle


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The samples in a folder, and the current folder another one."""
    elsewhere = tmp_path / "elsewhere"
    elsewhere.mkdir()
    monkeypatch.chdir(elsewhere)
    for name, text in (
        ("car.yaml", file_samples.VEHICLE),
        ("seat.yaml", file_samples.RESTRAINT),
        ("trip.yaml", file_samples.TRIP),
    ):
        (tmp_path / name).write_text(text, encoding="utf-8")
    return tmp_path


def rewrite(file: Path, old: str, new: str) -> None:
    text = file.read_text(encoding="utf-8")
    assert old in text
    file.write_text(text.replace(old, new), encoding="utf-8")


def said(caught: pytest.ExceptionInfo[InputError]) -> list[str]:
    return [str(problem) for problem in caught.value.problems]


def test_paths_in_a_trip_are_meant_from_its_folder(folder: Path) -> None:
    rewrite(folder / "trip.yaml", "drives: 1L", "drives: 1L\nrules: mine.yaml")
    trip = load_trip("../trip.yaml")
    assert trip.vehicle.vehicle == "Sample Wagon"
    assert trip.rules == "../mine.yaml"


def test_rules_that_are_bundled_stay_a_name(folder: Path) -> None:
    rewrite(folder / "trip.yaml", "drives: 1L", "drives: 1L\nrules: un")
    assert load_trip("../trip.yaml").rules == "un"


def test_own_copy(folder: Path) -> None:
    rewrite(
        folder / "trip.yaml",
        "condition: {recall: none}",
        "made: 2026-01-02, expires: 2030-01-01, notes: blue, condition: {recall: none}",
    )
    model, copy = load_trip("../trip.yaml").restraints
    assert (copy.restraint, copy.made, copy.expires, copy.notes) == (
        "Second",
        date(2026, 1, 2),
        date(2030, 1, 1),
        "blue",
    )
    assert (copy.condition.crash, copy.condition.recall) == ("none", "none")  # crash from the model
    assert (copy.mass, copy.modes, copy.expires_after) == (model.mass, model.modes, model.expires_after)
    assert (model.restraint, model.expires, model.condition.recall) == ("Sample Shell", None, None)


def test_own_copy_never_hides_an_open_recall(folder: Path) -> None:
    rewrite(folder / "seat.yaml", "condition: {crash: none}", "condition: {recall: open}")
    rewrite(folder / "trip.yaml", "condition: {recall: none}", "condition: {crash: none}")
    assert load_trip("../trip.yaml").restraints[1].condition.recall == "open"


def test_restraints_may_be_called_as_they_were_taken(folder: Path) -> None:
    rewrite(folder / "trip.yaml", "  - seat.yaml\n", "")
    rewrite(folder / "trip.yaml", "{restraint: Second, position: 2L}", "{restraint: seat.yaml, position: 2L}")
    rewrite(folder / "trip.yaml", "tried: [{restraint: Second", "tried: [{restraint: seat.yaml")
    rewrite(folder / "trip.yaml", "at: [2L, 2R]", "uses: [seat.yaml]")
    trip = load_trip("../trip.yaml")
    assert trip.installed["Wren"].restraint == trip.tried[0].restraint == "Second"
    assert trip.wishes[0].uses == ["Second"]


def test_a_word_that_means_two_restraints_means_none(folder: Path) -> None:
    rewrite(folder / "trip.yaml", "at: [2L, 2R]", "uses: [seat.yaml]")
    with pytest.raises(InputError) as caught:
        load_trip("../trip.yaml")
    assert said(caught) == [
        '../trip.yaml:13:26: no restraint of this trip is called "seat.yaml"; '
        "expected one of Sample Shell, Second"
    ]


def test_problems_of_all_files_at_once(folder: Path) -> None:
    rewrite(folder / "car.yaml", "angle: 14", "angle: steep")
    rewrite(folder / "seat.yaml", "mass: 7.4", "mass: heavy")
    rewrite(folder / "trip.yaml", "mass: 8.9", "mass: light")
    with pytest.raises(InputError) as caught:
        load_trip("../trip.yaml")
    assert [text.split(": ")[0] for text in said(caught)] == [
        "../car.yaml:10:58",
        "../seat.yaml:2:7",
        "../trip.yaml:7:43",
    ]


def test_a_file_that_cannot_be_read_is_a_problem_of_the_line_that_names_it(folder: Path) -> None:
    (folder / "seat.yaml").write_bytes(b"\x00")
    (folder / "car.yaml").unlink()
    with pytest.raises(InputError) as caught:
        load_trip("../trip.yaml")
    assert said(caught) == [
        '../trip.yaml:2:10: vehicle "car.yaml": there is no such file',
        '../trip.yaml:10:5: restraint "seat.yaml": this is no text; expected a YAML file',
        '../trip.yaml:11:11: restraint "seat.yaml": this is no text; expected a YAML file',
    ]


def test_too_many_restraints(folder: Path) -> None:
    rewrite(folder / "trip.yaml", "  - seat.yaml\n", "  - seat.yaml\n" * 40)
    with pytest.raises(InputError, match="41 restraints; expected at most 40"):
        load_trip("../trip.yaml")


def test_trip_from_standard_input(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Paths in it are meant from the current folder."""
    monkeypatch.chdir(folder)
    monkeypatch.setattr("sys.stdin", SimpleNamespace(buffer=BytesIO(file_samples.TRIP.encode())))
    assert load_trip("-").trip == "Sample trip"


OTHER = """\
vehicle: Two seats in the rear, one in front
rows:
  - row: 1
    positions: [{position: 1L}]
  - row: 2
    positions: [{position: 2L}, {position: 2C}]
"""


def test_another_vehicle(folder: Path) -> None:
    (folder / "other.yaml").write_text(OTHER, encoding="utf-8")
    rewrite(folder / "trip.yaml", "drives: 1L", "drives: 1L\nfront: {1L: {}, 1R: {}}\nairbags_off: [1R]")
    rewrite(folder / "trip.yaml", "adult: yes", "adult: yes, belt_fit: {passed: yes}")
    rewrite(folder / "trip.yaml", "  - {apart:", "  - {rider: Oslo, not_at: [2R]}\n  - {apart:")
    notices: list[Notice] = []
    trip = load_trip("../trip.yaml", "../other.yaml", notices)
    assert trip.vehicle.vehicle == "Two seats in the rear, one in front"
    assert [(wish.at, wish.not_at, wish.apart) for wish in trip.wishes] == [
        (["2L"], None, None),
        (None, None, ["Wren", "Oslo"]),
    ]
    assert (list(trip.front), trip.airbags_off, trip.tried, list(trip.installed)) == (["1L"], [], [], ["Wren"])
    assert trip.riders[0].belt_fit is None
    assert sorted(str(notice) for notice in notices) == sorted(
        [
            "../trip.yaml:5:21: left out: the front seat 1R; this car has no such position",
            "../trip.yaml:6:15: left out: the airbag at 1R; this car has no such position",
            "../trip.yaml:8:51: left out: the belt fit of Ines; it was tested in another car",
            "../trip.yaml:15:28: left out: the wish for 2R; this car has no such position",
            "../trip.yaml:16:28: left out: the wish for 2R; this car has no such position",
            "../trip.yaml:19:39: left out: what was tried with Second at 2R; it was in another car",
        ]
    )


def test_another_vehicle_never_opens_a_must(folder: Path) -> None:
    (folder / "other.yaml").write_text(OTHER, encoding="utf-8")
    rewrite(folder / "trip.yaml", "at: [2L, 2R]", "at: [2R], must: yes")
    with pytest.raises(InputError) as caught:
        load_trip("../trip.yaml", "../other.yaml")
    assert said(caught) == [
        '../trip.yaml:13:24: no position of this trip is called "2R"; expected one of 1L, 2C, 2L'
    ]


def test_another_vehicle_without_the_driver_seat(folder: Path) -> None:
    (folder / "other.yaml").write_text(OTHER.replace("1L", "1R"), encoding="utf-8")
    with pytest.raises(InputError) as caught:
        load_trip("../trip.yaml", "../other.yaml")
    assert said(caught) == ['../trip.yaml:4:9: no position is called "1L"; expected one of 1R, 2C, 2L']


def test_the_same_vehicle_keeps_what_was_tried(folder: Path) -> None:
    notices: list[Notice] = []
    assert load_trip("../trip.yaml", "../car.yaml", notices) == load_trip("../trip.yaml")
    assert notices == []


def test_another_vehicle_for_a_trip_whose_own_is_broken_or_not_there(folder: Path) -> None:
    (folder / "other.yaml").write_text(OTHER, encoding="utf-8")
    (folder / "car.yaml").write_text("vehicle: [", encoding="utf-8")
    assert load_trip("../trip.yaml", "../other.yaml").vehicle.vehicle.startswith("Two seats")
    rewrite(folder / "trip.yaml", "vehicle: car.yaml\n", "")
    assert load_trip("../trip.yaml", "../other.yaml").vehicle.vehicle.startswith("Two seats")


def test_wrong_vehicle_and_wrong_trip_at_once(folder: Path) -> None:
    rewrite(folder / "trip.yaml", "mass: 8.9", "mass: light")
    with pytest.raises(InputError) as caught:
        load_trip("../trip.yaml", "none.yaml")
    assert [text.split(": ")[0] for text in said(caught)] == ["../trip.yaml:7:43", "none.yaml"]


@pytest.mark.parametrize("kind", ["vehicle", "restraint", "trip"])
def test_library(kind: library.Kind) -> None:
    load = {"vehicle": load_vehicle, "restraint": load_restraint, "trip": load_trip}[kind]
    keys = library.names(kind)
    assert keys == sorted(set(keys))
    assert keys
    for key in keys:
        assert library.find(kind, key).name == f"{key}.yaml"
        load(key)


@pytest.mark.parametrize("kind", ["vehicle", "restraint", "trip"])
def test_did_you_mean(kind: library.Kind) -> None:
    key = library.names(kind)[0]
    with pytest.raises(InputError) as caught:
        library.find(kind, key[:-1] + "q")
    assert said(caught)[0].startswith(f'no bundled {kind} is called "{key[:-1]}q"; did you mean "')


def test_no_such_name() -> None:
    with pytest.raises(InputError) as caught:
        load_trip("zzzzzzzzzzzz")
    assert said(caught) == [
        'no bundled trip is called "zzzzzzzzzzzz"; `seatplan list trips` shows them, and a file '
        "is named by a path that ends in .yaml"
    ]


@pytest.mark.parametrize(
    ("ref", "path"),
    [
        ("nook", False),
        ("my trip", False),
        ("-", True),
        ("a/b", True),
        ("x.yaml", True),
        ("X.YML", True),
        ("a\\b", True),
    ],
)
def test_is_path(ref: str, path: bool) -> None:
    assert library.is_path(ref) is path
