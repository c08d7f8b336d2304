"""The Python API: documented examples, trips from plain data, records that write and read themselves."""

from __future__ import annotations

import doctest
import json
import pickle
import shutil
import subprocess
import sys
from datetime import date
from importlib.resources import files
from pathlib import Path

import pytest
import yaml

import seatplan
from seatplan import InputError, Plan, Trip, arrange, check, compare, load_trip, outlook, record, seatings, undo, why
from seatplan.files.library import find, names
from seatplan.files.load import load_restraint, load_vehicle

SCHOOL = "three-across-school-run"


def test_documented_examples_are_true() -> None:
    found = doctest.testmod(seatplan)
    assert found.attempted > 10
    assert found.failed == 0


def test_types_are_for_others_to_check() -> None:
    assert files("seatplan").joinpath("py.typed").is_file()


@pytest.mark.parametrize("name", names("trip"))
def test_a_trip_writes_and_reads_itself_unchanged(name: str, tmp_path: Path) -> None:
    trip = load_trip(name)
    through_json = load_trip(json.loads(json.dumps(trip.data())))
    assert (through_json, through_json.key()) == (trip, trip.key())
    file = tmp_path / "trip.yaml"
    file.write_text(yaml.safe_dump(trip.data(), allow_unicode=True, sort_keys=False), encoding="utf-8")
    through_file = load_trip(file)
    assert (through_file, through_file.key()) == (trip, trip.key())
    assert pickle.loads(pickle.dumps(trip)) == trip


@pytest.mark.parametrize(("kind", "load"), [("vehicle", load_vehicle), ("restraint", load_restraint)])
def test_vehicles_and_restraints_do_so_too(kind, load) -> None:
    for name in names(kind):
        one = load(name)
        again = type(one).model_validate(json.loads(json.dumps(one.data())))
        assert (again, again.key()) == (one, one.key())


def test_a_key_is_the_same_in_every_process_and_another_for_other_content() -> None:
    trip = load_trip(SCHOOL)
    program = f"import seatplan; print(seatplan.load_trip({SCHOOL!r}).key())"
    told = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True,
                          env={"PYTHONHASHSEED": "7", "PYTHONPATH": str(Path(seatplan.__file__).parent.parent)})
    assert told.stdout.strip() == trip.key()
    assert len(trip.key()) == 32
    heavier = trip.model_copy(update={"riders": [
        trip.riders[0], *(r.model_copy(update={"climbs": not r.climbs}) for r in trip.riders[1:])]})
    assert heavier.key() != trip.key()


def test_one_trip_however_it_is_given_has_one_answer() -> None:
    path = find("trip", SCHOOL)
    trip = load_trip(SCHOOL)
    plans = [arrange(given, top=3) for given in (SCHOOL, path, str(path), trip, trip.data())]
    firsts = {tuple((s.placement.rider.rider, s.placement.position.position) for s in plan.arrangements[0].seats)
              for plan in plans}
    assert len(firsts) == 1
    assert len({plan.tally.valid for plan in plans}) == 1


def test_options_are_those_of_every_request() -> None:
    assert arrange(SCHOOL, vehicle="skiff-two").verdict == "rejected"
    vehicle = load_vehicle("skiff-two")
    assert arrange(SCHOOL, vehicle=vehicle).verdict == arrange(SCHOOL, vehicle=vehicle.data()).verdict == "rejected"
    assert arrange(SCHOOL, on="2027-03-01").day == arrange(SCHOOL, on=date(2027, 3, 1)).day == date(2027, 3, 1)
    assert arrange(SCHOOL, strict=True, worst_case=True).options.strict
    with pytest.raises(TypeError, match="no option is called tpo; expected some of on, rules, strict, today"):
        arrange(SCHOOL, tpo=3)
    own = [one.plan.verdict for one in compare(SCHOOL, ["skiff-two"]).vehicles]
    assert own == [one.plan.verdict for one in compare(load_trip(SCHOOL), [vehicle]).vehicles]


@pytest.mark.parametrize(("ask", "told"), [
    (lambda: arrange("no-such-trip"), 'no bundled trip is called "no-such-trip"'),
    (lambda: arrange({"trip": "X"}), "riders"),
    (lambda: arrange(SCHOOL, rules="nobody"), 'no rules are called "nobody"'),
    (lambda: arrange(SCHOOL, top=0), "top is 0; expected at least 1"),
    (lambda: arrange(SCHOOL, on="tomorrow"), 'on is "tomorrow"; expected a date'),
    (lambda: why(SCHOOL, "Wrenn"), "no rider is called \"Wrenn\" in this trip; did you mean `Wren`?"),
    (lambda: outlook(SCHOOL, "40y"), "until is 40y; expected years or months"),
    (lambda: seatings(SCHOOL, vehicle="skiff-three").__next__(), "did you mean \"skiff-two\""),
])
def test_what_is_wrong_is_an_input_error(ask, told: str) -> None:
    with pytest.raises(InputError) as error:
        ask()
    assert told in str(error.value)


def test_plain_data_is_refused_by_the_path_of_its_field() -> None:
    data = load_trip(SCHOOL).data()
    data["restraints"][0]["modes"][0]["parts"][0]["width"] = -400
    data["riders"][1]["mass"] = "900 kg"
    with pytest.raises(InputError) as error:
        load_trip(data)
    assert {"restraints[0].modes[0].parts[0].width", "riders[1].mass"} <= {p.path for p in error.value.problems}


def test_checks_take_files_records_and_data() -> None:
    path = str(find("trip", SCHOOL))
    trip = load_trip(SCHOOL)
    for thing in (path, trip, trip.data(), trip.vehicle, trip.restraints[0]):
        [found] = check(thing)
        assert not found.problems, found
    [wrong] = check({"vehicle": "Ours", "rows": []})
    assert wrong.problems


def test_a_try_is_recorded_and_taken_back(tmp_path: Path) -> None:
    file = tmp_path / "my.yaml"
    shutil.copyfile(find("trip", SCHOOL), file)
    before = file.read_bytes()
    noted = record(file, restraint="Nook", position="2C", by="lap-shoulder-belt", mode="rear-facing-harness", moved=38,
                   on=date(2026, 11, 29))
    assert noted.recorded.tried.moved == 38
    assert load_trip(file).tried[-1].moved == 38
    undo(file)
    assert file.read_bytes() == before
    with pytest.raises(InputError, match="missing position, by"):
        record(file, restraint="Nook")


def test_what_things_are_is_told_in_a_line() -> None:
    trip = load_trip(SCHOOL)
    for thing in (trip, trip.vehicle, trip.restraints[0], trip.riders[0], arrange(trip), arrange(trip).trip):
        assert len(repr(thing)) < 100
        assert "\n" not in repr(thing)
    assert repr(trip.riders[1]).startswith("<Rider '")


def test_a_notebook_shows_the_best_arrangement_and_the_caution() -> None:
    plan = arrange(load_trip(SCHOOL).model_copy(update={"trip": "<b>&"}))
    assert isinstance(plan, Plan)
    shown = plan._repr_html_()
    assert shown is not None
    assert "&lt;b&gt;&amp;" in shown                                     # whatever the title holds
    assert 'src="data:image/svg+xml;base64,' in shown
    assert "certified technician" in shown
    assert "certified technician" in (arrange("three-too-wide")._repr_html_() or "")


def test_records_are_there_by_name() -> None:
    assert isinstance(load_trip(SCHOOL), Trip)
    for name in seatplan.__all__:
        assert getattr(seatplan, name) is not None
