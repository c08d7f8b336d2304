"""A fleet file: what it holds, and everything that may be wrong with it, with its place."""

from __future__ import annotations

import os
import sys
from pathlib import Path

import jsonschema
import pytest
import yaml
from fleet_samples import DAY, FLEET, written
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from seatplan.doubt.check import check
from seatplan.files.errors import InputError
from seatplan.files.fleet_file import load_fleet, travel_file
from seatplan.files.reading import MAX_NODES
from seatplan.files.schema import schema

sys.path.insert(0, str(Path(__file__).parent.parent / "cli"))
from running import seatplan

LAST = "\n".join(FLEET.splitlines()[-3:])


def test_what_it_holds(tmp_path: Path) -> None:
    file = written(tmp_path)
    fleet = load_fleet(str(file), DAY)
    assert [one.vehicle.vehicle for one in fleet.types] == ["Harrow Estate", "Ferry Lane Eight"]
    assert fleet.kind("shell").restraint.restraint == "Nook 35 Slim"
    assert fleet.vehicles[0].from_ == "06:00"
    assert fleet.copies[1].quarantine[0].until == "2026-11-30T12:00"
    assert fleet.changeover["none"].put_in == 1
    assert travel_file(fleet, str(file)) == str(tmp_path / "travel.csv")


def test_what_is_read_is_written_and_read_again(tmp_path: Path) -> None:
    fleet = load_fleet(str(written(tmp_path)), DAY)
    again = type(fleet).model_validate(fleet.data())
    assert again.content == fleet.content


@pytest.mark.parametrize(("old", "new", "says"), [
    ("fleet: Sample cars", "fleet: Sample cars\ncolour: red", "2:1: unknown key \"colour\"; expected one of any_driver"
     ", changeover, copies, depots, drivers, fleet, invented, kinds, notes, privacy, rules, travel, types, vehicles"),
    ("keep_days: 30", "keep_day: 30", '6:11: unknown key "keep_day" in privacy; did you mean "keep_days"?'),
    ("keep_days: 30", "keep_days: 0", "6:22: privacy keep_days is 0; expected 1 to 3650 in whole numbers"),
    ("keep_days: 30", "age_bands: [2y, 12 months]", "6:27: ages of bands rise; expected more than 24 months"),
    ("{depot: Quay}", "{depot: yard}",
     '9:13: depot "yard" stands here twice; first as number 1 of depots\nmany'),
    ("vehicle: harrow-estate", "vehicle: harow-estate",
     '12:14: no bundled vehicle is called "harow-estate"; did you mean "harrow-estate"?'),
    ("vehicle: ferry-lane-eight", "vehicle: harrow-estate",
     "15:26: types estate and van are one vehicle; expected one type for it"),
    ("restraint: perch-slim", "restraint: nook-35-slim",
     "23:32: kinds shell and booster are one restraint; expected one kind for it\nmany"),
    ("    drives: 1L", "    drives: 1C",
     '13:13: no position of type estate is called "1C"; expected one of 1L, 1R, 2C, 2L, 2R'),
    ("tried: [{restraint: shell, position: 2R, by: lower-anchors, moved: 12}]",
     "tried: [{restraint: shel, position: 2R, by: lower-anchors, moved: 12}]",
     '14:25: no kind of this fleet is called "shel"; did you mean "shell"?'),
    ("front: {1L:", "front: {9L:",
     '15:68: no position of type van is called "9L"; expected one of 1C, 1L, 1R, 2C, 2L, 2R, '
     '3L, 3R'),
    ("front: {1L:", "front: {1X:",
     '15:64: unknown name "1X" in front of type van; expected row and side, such as 1L, 2C '
     "or 3R"),
    ("moved: 12}", "moved: 12, rider: Wren}", "14:83: `rider` names a person; leave it out of a fleet"),
    ("moved: 12}", "moved: 12, who: Ines}", "14:81: `who` names a person; leave it out of a fleet"),
    ("type: estate, depot: Yard", "type: estat, depot: Yard",
     '17:25: no type of this fleet is called "estat"; did you mean "estate"?'),
    ("type: van, depot: Quay", "type: van, depot: Key",
     '18:37: no depot of this fleet is called "Key"; expected one of Quay, Yard'),
    ("depot: Yard, driver: D1", "depot: Yard, driver: D2",
     '17:54: no driver of this fleet is called "D2"; expected one of D1'),
    ("from: 14:00}", "from: 13:00}", "18:51: driver D1 drives V1 and V2 at one time; expected one of them, or shifts "
     "with `from` and `until`"),
    ("until: 14:00}", "until: 05:00}", "17:78: vehicle V1 is in use from 06:00 until 05:00; expected a later end"),
    ("from: 06:00", "from: 6am", '17:64: from of vehicle V1 is "6am"; expected a time of day from 00:00 to 24:00, such '
     "as 06:30"),
    ("serial: B1", "serial: s1", '32:14: serial number "s1" stands here twice; first as number 1 of copies'),
    ("kind: booster, depot: Quay", "kind: buster, depot: Quay",
     '32:24: no kind of this fleet is called "buster"; did you mean "booster"?'),
    ("kind: booster, depot: Quay, ", "kind: booster, ",
     '32:5: copy B1 is nowhere: expected key "depot" or "installed"'),
    ("installed: {vehicle: V1", "installed: {vehicle: V9",
     '28:26: no vehicle of this fleet is called "V9"; expected one of V1, V2'),
    ("position: 2R, by: lower-anchors, since", "position: 3R, by: lower-anchors, since",
     '28:40: no position of type estate is called "3R"; expected one of 1L, 1R, 2C, 2L, 2R'),
    ("position: 2R, by: lower-anchors, since", "position: 1L, by: lower-anchors, since",
     "28:40: 1L is the driver's seat of type estate; expected another"),
    ("by: lower-anchors, since", "by: lap-belt, since",
     '28:48: kind shell is not installed by "lap-belt"; did you mean "lap-shoulder-belt"?'),
    ("since: 2026-11-01", "since: 2027-11-01",
     "28:70: 2027-11-01 is after today, 2026-11-30; expected a day that was"),
    ("    kind: shell\n    installed", "    kind: shell\n    depot: Quay\n    installed",
     "28:12: copy S2 is installed in vehicle V1 of depot Yard; expected that depot, or none"),
    ("made: 2024-05-05", "made: 2024-05-05, expires: 2023-05-05",
     "32:73: copy B1 expires 2023-05-05 and was made 2024-05-05; expected a later day"),
    ("until: 2026-11-30 12:00", "until: 2026-11-29",
     "31:59: the quarantine ends before it begins; expected a later end"),
    ("until: 2026-11-30 12:00", "until: noon",
     '31:59: until of copy S2, quarantine 1 is "noon"; expected a date such as '
     "2026-03-01"),
    ("until: 2026-11-30 12:00", "until: 2026-11-30 noon", '31:59: until of copy S2, quarantine 1 is "2026-11-30 noon"; '
     'expected a day, or a day with a time of day, such as "2026-03-01 14:00"'),
    ("why: cleaning", "why: clening", '31:24: why of copy S2, quarantine 1 is "clening"; expected crash, recall or '
     "cleaning"),
    ("  none: {", "  nothing: {", '35:3: unknown name "nothing" in changeover; expected lower-anchors, '
     "lap-shoulder-belt, lap-belt, two-belts, lower-anchors-with-belt or none"),
    ("take_out: 2}", "take_out: 1000}", "34:40: take_out of changeover of lower-anchors is 1000; expected 0 to 600 in "
     "whole numbers"),
    ("price: 250", "price: cheap", '22:51: price of kind shell is "cheap"; expected a whole number'),
    ("type: van, vehicle", "typ: van, vehicle", '15:6: unknown key "typ" in type 2; did you mean "type"?\nmany'),
])
def test_every_error_has_its_place(tmp_path: Path, old: str, new: str, says: str) -> None:
    assert FLEET.count(old) == 1, old
    file = written(tmp_path, FLEET.replace(old, new))
    says, _, many = says.partition("\n")
    with pytest.raises(InputError) as error:
        load_fleet(str(file), DAY)
    told = [str(problem).removeprefix(f"{file}:") for problem in error.value.problems]
    assert says in told
    assert many or told == [says]
    assert all(problem.source for problem in error.value.problems)


def test_two_copies_at_one_seat(tmp_path: Path) -> None:
    text = FLEET.replace("depot: Yard, made", "installed: {vehicle: V1, position: 2R}, made")
    with pytest.raises(InputError) as error:
        load_fleet(str(written(tmp_path, text)), DAY)
    assert [problem.text for problem in error.value.problems] == [
        "copies S1 and S2 are both at 2R of vehicle V1; expected one"]


def test_a_file_that_is_named_is_told_with_its_own_place(tmp_path: Path) -> None:
    (tmp_path / "own.yaml").write_text("restraint: Own\nkind: backles\n", encoding="utf-8")
    text = FLEET.replace("restraint: perch-slim", "restraint: own.yaml")
    file = written(tmp_path, text.replace("ferry-lane-eight, drives: 1L,", "ferry-lane-eight,"))
    with pytest.raises(InputError) as error:
        load_fleet(str(file), DAY)
    told = [str(problem) for problem in error.value.problems]
    assert any(one.startswith(f"{tmp_path}/own.yaml:2:7: kind ") for one in told)
    assert any(one.startswith(f"{file}:15:") and 'expected key "drives"' in one for one in told)


def test_another_kind_of_file(tmp_path: Path) -> None:
    file = tmp_path / "car.yaml"
    file.write_text("vehicle: Car\nrows: []\n", encoding="utf-8")
    with pytest.raises(InputError, match="this is a vehicle file; expected a fleet file"):
        load_fleet(str(file), DAY)
    file.write_text("Name,Phone\nAnna Probe,0123\n", encoding="utf-8")
    with pytest.raises(InputError) as error:
        load_fleet(str(file), DAY)
    assert "Probe" not in str(error.value)


def test_a_large_fleet_is_read(tmp_path: Path) -> None:
    more = "".join(f"  - {{serial: X{n}, kind: shell, depot: Yard, made: 2025-01-15, in_order: yes}}\n"
                   for n in range(MAX_NODES // 5))
    fleet = load_fleet(str(written(tmp_path, FLEET.replace("changeover:", f"{more}changeover:"))), DAY)
    assert len(fleet.copies) == 3 + MAX_NODES // 5


def test_check_new_and_schema_know_fleets(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    assert seatplan("new", "fleet", "mine.yaml").code == 0
    assert os.listdir() == ["mine.yaml"]
    said = seatplan("check", "mine.yaml")
    assert (said.out, said.err, said.code) == ("mine.yaml: fleet, good\n", "", 0)
    written(tmp_path, FLEET.replace("rules: us", "rules: usa"))
    said = seatplan("check", "fleet.yaml")
    assert said.code == 2
    assert "fleet.yaml:3:8: " in said.err
    assert '"title": "seatplan fleet file"' in seatplan("schema", "fleet").out
    assert seatplan("new", "fleet", "--short").code == 2


def test_the_template_answers_nothing(tmp_path: Path) -> None:
    data = yaml.safe_load(seatplan("new", "fleet").out)
    assert all(value is None for value in data["any_driver"].values())
    assert all(value is None for value in data["privacy"].values())
    copy = data["copies"][0]
    assert [copy[key] for key in ("made", "expires", "in_order")] == [None] * 3
    assert set(copy["condition"].values()) == {None}
    assert data["depots"][0]["installs"] is None


def test_the_schema_takes_what_the_loader_takes(tmp_path: Path) -> None:
    made = schema("fleet")
    jsonschema.Draft202012Validator.check_schema(made)
    data = _plain(yaml.load(FLEET, yaml.BaseLoader))
    for place, key in (((), "invented"), (("depots", 0), "installs"), (("drivers", 0), "installs")):
        at = data
        for step in place:
            at = at[step]
        assert at[key] == "yes"
    for minutes in data["changeover"].values():
        minutes.update({key: int(value) for key, value in minutes.items()})
    data["privacy"]["keep_days"] = 30
    data["kinds"][0]["price"] = 250
    data["types"][1]["front"]["1L"]["forward_at_most"] = 90
    data["types"][0]["tried"][0]["moved"] = 12
    assert [error.message for error in jsonschema.Draft202012Validator(made).iter_errors(data)] == []
    data["copies"][0]["colour"] = "red"
    assert [error.message for error in jsonschema.Draft202012Validator(made).iter_errors(data)]


def _plain(value: object) -> dict:
    assert isinstance(value, dict)
    return value


def test_no_copies_is_odd(tmp_path: Path) -> None:
    text = FLEET[:FLEET.index("copies:")]
    [report] = check([str(written(tmp_path, text))], DAY)
    assert (report.problems, len(report.notices)) == ([], 1)


@settings(max_examples=120, suppress_health_check=[HealthCheck.function_scoped_fixture], deadline=None)
@given(data=st.data())
def test_whatever_it_holds_is_read_or_refused_with_places(tmp_path: Path, data: st.DataObject) -> None:
    lines = FLEET.splitlines()
    for _ in range(data.draw(st.integers(1, 3))):
        n = data.draw(st.integers(0, len(lines) - 1))
        words = lines[n].split(" ")
        k = data.draw(st.integers(0, len(words) - 1))
        words[k] = data.draw(st.sampled_from(["", "[]", "{}", "none", "1L", "-1", "2026-11-30", "24:00", "~", "[[1]]",
                                              "{a: b}", "yes", "S1", "99999999999999999999", "'", "- -", "\t", "x: y"]))
        lines[n] = " ".join(words)
    file = written(tmp_path, "\n".join(lines))
    problems = []
    try:
        load_fleet(str(file), DAY)
    except InputError as error:
        problems = error.problems
    for problem in problems:
        assert problem.text
        assert 0 <= problem.line <= len(lines) + 1
