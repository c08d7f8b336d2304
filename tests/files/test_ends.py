"""Days far ahead and input without an end are refused, with place, what was found and what is allowed."""

from __future__ import annotations

import os
import socket
import sys
from datetime import date
from pathlib import Path

import file_samples
import pytest

from seatplan.doubt.check import check
from seatplan.files.errors import InputError
from seatplan.files.load import load_trip, load_vehicle
from seatplan.files.reading import MAX_BYTES, read
from seatplan.files.setting import undo
from seatplan.model.quantities import last_day
from seatplan.rules.load import load_profile, named_rules_problems

TODAY = date(2026, 11, 25)


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder with the sample files, which is the current one."""
    monkeypatch.chdir(tmp_path)
    for name, text in (("car.yaml", file_samples.VEHICLE), ("seat.yaml", file_samples.RESTRAINT),
                       ("trip.yaml", file_samples.TRIP)):
        Path(name).write_text(text, encoding="utf-8")
    return tmp_path


def told(error: pytest.ExceptionInfo[InputError]) -> list[str]:
    return [str(problem) for problem in error.value.problems]


@pytest.mark.parametrize(("today", "last"), [
    (date(2026, 11, 25), date(2051, 11, 25)), (date(2028, 2, 29), date(2053, 2, 28)),
    (date(2024, 2, 28), date(2049, 2, 28))])
def test_the_last_day(today: date, last: date):
    assert last_day(today) == last


@pytest.mark.parametrize(("day", "fine"), [("2051-11-25", True), ("2051-11-26", False), ("2100-12-31", False)])
def test_days_in_a_trip_end(day: str, fine: bool, folder: Path):
    Path("trip.yaml").write_text(file_samples.TRIP.replace("on: 2026-11-25", f"on: {day}", 1), encoding="utf-8")
    assert load_trip("trip.yaml").on == date.fromisoformat(day), "without a today there is no such end"
    if fine:
        assert load_trip("trip.yaml", today=TODAY).on == date.fromisoformat(day)
        return
    with pytest.raises(InputError) as caught:
        load_trip("trip.yaml", today=TODAY)
    (only,) = told(caught)
    assert only.startswith("trip.yaml:")
    assert f"is {day}; expected a day up to 2051-11-25, 25 years ahead" in only


def test_days_in_a_file_that_a_trip_names_end(folder: Path):
    Path("car.yaml").write_text(file_samples.VEHICLE.replace("on: 2026-10-04", "on: 2099-10-04", 1), encoding="utf-8")
    with pytest.raises(InputError) as caught:
        load_trip("trip.yaml", today=TODAY)
    assert told(caught) == ["car.yaml:3:16: measured on is 2099-10-04; expected a day up to 2051-11-25, 25 years ahead"]
    assert [str(p) for p in check(["car.yaml"], TODAY)[0].problems] == told(caught)


@pytest.fixture(params=["pipe", "socket", "device"])
def endless(request: pytest.FixtureRequest, tmp_path: Path) -> tuple[str, str]:
    """The name of something without an end, and what it is called."""
    name = str(tmp_path / "x.yaml")
    if request.param == "pipe":
        os.mkfifo(name)
    elif request.param == "socket":
        try:
            with socket.socket(socket.AF_UNIX) as server:
                server.bind(name)
        except OSError:
            pytest.skip("a path that is too long for a socket")
    else:
        os.symlink("/dev/zero", name)
    return name, request.param


@pytest.mark.skipif(sys.platform == "win32", reason="no such files there")
class TestNoFile:
    """None of these waits: a pipe that nobody writes to would be waited for for ever."""

    def test_read(self, endless: tuple[str, str]):
        name, kind = endless
        with pytest.raises(InputError) as caught:
            read(name)
        assert told(caught) == [f"{name}: this is a {kind}; expected a YAML file"]

    def test_as_vehicle_and_as_rules(self, endless: tuple[str, str]):
        name, kind = endless
        for load in (load_vehicle, load_profile):
            with pytest.raises(InputError, match=f"this is a {kind}"):
                load(name)

    def test_record(self, endless: tuple[str, str]):
        name, kind = endless
        with pytest.raises(InputError, match=f"this is a {kind}"):
            undo(name)

    def test_named_in_a_trip(self, endless: tuple[str, str], folder: Path):
        name, kind = endless
        Path("trip.yaml").write_text(file_samples.TRIP.replace("vehicle: car.yaml", f"vehicle: {name}"),
                                     encoding="utf-8")
        with pytest.raises(InputError) as caught:
            load_trip("trip.yaml")
        (only,) = told(caught)
        assert only.startswith("trip.yaml:")
        assert only.endswith(f"this is a {kind}; expected a YAML file")


def test_a_file_that_grows_without_end_is_read_up_to_the_limit(tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    file = tmp_path / "long.yaml"
    file.write_bytes(b"# " + b"x" * MAX_BYTES)
    with pytest.raises(InputError, match="expected at most 1,000,000"):
        read(file)


def test_rules_that_do_not_exist(folder: Path):
    Path("trip.yaml").write_text(file_samples.TRIP + "rules: nowhere\n", encoding="utf-8")
    (report,) = check(["trip.yaml"], TODAY)
    assert not report.problems
    assert report.document is not None
    assert [str(p) for p in named_rules_problems(report.rules, report.document)] == [
        f"trip.yaml:{report.document.place(('rules',))[0]}:8: no rules are called \"nowhere\"; "
        "expected us, un or a path ending in .yaml"]
