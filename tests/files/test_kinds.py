"""Restraints that only say their kind: what the door takes, what it doubts, and that they are written as they were."""

from __future__ import annotations

import sys
from datetime import date
from pathlib import Path
from typing import Any, get_args

import jsonschema
import pytest

from seatplan import arrange, check, load_trip
from seatplan.doubt import believed
from seatplan.files.errors import InputError
from seatplan.files.library import find
from seatplan.files.load import restraint_from
from seatplan.files.reading import parse
from seatplan.files.schema import schema
from seatplan.model import Restraint, Rider
from seatplan.model.kinds import KINDS, LIMITS_OF, has_modes_of_kind, ways_of
from seatplan.model.restraint import Kind
from seatplan.units import Quantity

sys.path.insert(0, str(Path(__file__).parent.parent / "cli"))
from running import seatplan

KINDS_ALL = get_args(Kind)
DAY = date(2026, 11, 30)
#: of each way to ride
LABELS: dict[str, dict[str, Any]] = {
    "rear_facing": {"mass": "2.3 - 18 kg", "height": [0, 1020]},
    "forward_facing": {"mass": "10 - 29 kg", "height": [0, 1240]},
    "booster": {"mass": "18 - 45 kg", "height": [1000, 1450]},
}


def told(text: str) -> list[str]:
    with pytest.raises(InputError) as caught:
        restraint_from(parse(text, "seat.yaml"))
    return [str(problem).removeprefix("seat.yaml:") for problem in caught.value.problems]


def data_of(kind: str, **more: Any) -> dict[str, Any]:
    ways = ways_of(kind)  # type: ignore[arg-type]
    return {"restraint": "Ours", "kind": kind, "width": 440, "limits": {way: LABELS[way] for way in ways}, **more}


def test_every_kind_is_in_the_table() -> None:
    assert set(KINDS) == set(KINDS_ALL)
    assert {way for kind in KINDS for way in ways_of(kind)} == set(LABELS)


@pytest.mark.parametrize(("text", "problems"), [
    ("restraint: X", ['1:1: restraint X has no modes: expected key "modes", or "kind" with what its label says']),
    ("restraint: X\nkind: booster\n", [
        '2:7: kind is "booster"; expected infant-carrier, rear-and-forward, forward-only, '
        "harness-to-booster, all-stages, high-back, backless or lying-flat"]),
    ("restraint: X\nkind: all-stages\nlimits: {mass: 2 - 18 kg, height: [0, 900]}", [
        "3:16: all-stages has limits for each way to ride; expected this under `rear_facing`, `forward_facing`, "
        "`booster`",
        "3:35: all-stages has limits for each way to ride; expected this under `rear_facing`, `forward_facing`, "
        "`booster`"]),
    ("restraint: X\nkind: forward-only\nlimits: {rear_facing: {mass: 2 - 18 kg}}", [
        "3:23: forward-only never rides so; expected `forward_facing`"]),
    ("restraint: X\nkind: high-back\nlimits: {booster: {mass: 18 - 40 kg}, mass: 18 - 45 kg}", [
        "3:45: mass stands here and under booster too; expected it once"]),
    ("restraint: X\nkind: high-back\nsupport_leg: yes\nlimits: {mass: 18 - 45 kg, on_lower_anchors: 20 kg}", [
        "3:14: high-back has no harness of its own; expected support_leg of one that has",
        "4:46: high-back has no harness of its own; expected on_lower_anchors of one that has"]),
    ("restraint: X\nkind: forward-only\nlimits: {mass: 10 - 29 kg, on_lower_anchors: 8 kg}", [
        "3:46: on_lower_anchors is 8 kg, and children ride from 10 kg on; expected a limit above that"]),
    ("restraint: X\nkind: forward-only\nlimits: {mass: [0, 0]}", ["3:16: the highest mass is 0; expected more"]),
    ("restraint: X\nkind: backless\nwidth: 4\n", [
        "3:8: shell measures 4 mm, with a tolerance of 5 mm; expected a tolerance below the length"]),
    ("restraint: X\nwidth: 440\nlevel_adjusts: yes\nlimits: {mass: 2 - 9 kg}\nmodes: [{mode: backless-booster, "
     "installations: [{by: lap-belt}]}]", [
         "2:8: width stands beside `modes`; expected it in each mode",
         "3:16: level_adjusts stands beside `modes`; expected it in each mode",
         "4:9: limits stands beside `modes`; expected it in each mode"]),
    ("restraint: X\nkind: high-back\nmodes: [{mode: backless-booster, installations: [{by: lap-belt}]}]", [
        "3:16: high-back has no mode backless-booster; expected one of high-back-booster"]),
    ("restraint: X\nkind: high-back\nin_order: yes\ncondition: {crash: minor, recall: remedied, labels: unknown}", [
        "4:20: crash is minor, and `in_order` is yes; expected one of them",
        "4:53: labels is unknown, and `in_order` is yes; expected one of them"]),
    ("restraint: X\nkind: high-back\nin_order: no", [
        "3:11: in_order is no; expected `condition` or `expires` beside it, with what is wrong"]),
])
def test_what_does_not_agree_is_told_at_its_place(text: str, problems: list[str]) -> None:
    assert told(text) == problems


@pytest.mark.parametrize("kind", KINDS_ALL)
def test_every_kind_is_taken_with_its_own_limits(kind: str) -> None:
    """By the loader and by the schema; written out again it is as short as it was."""
    data = data_of(kind, in_order=True)
    restraint = Restraint.model_validate(data)
    assert [mode.mode for mode in restraint.modes] == [mode for mode, _ in KINDS[restraint.kind].modes]
    assert list(jsonschema.Draft202012Validator(schema("restraint")).iter_errors(data)) == []
    again = Restraint.model_validate(restraint.data())
    assert "modes" not in restraint.data()
    assert again == restraint
    assert again.content == restraint.content


def test_the_schema_asks_for_modes_or_a_kind() -> None:
    assert list(jsonschema.Draft202012Validator(schema("restraint")).iter_errors({"restraint": "X"}))
    trip = {"trip": "T", "vehicle": "harrow-estate", "drives": "1L", "riders": [{"rider": "A", "age": ["4y", "7y"]}]}
    for restraint, good in ((data_of("all-stages"), True), ({"restraint": "X"}, False)):
        errors = list(jsonschema.Draft202012Validator(schema("trip")).iter_errors({**trip, "restraints": [restraint]}))
        assert (errors == []) == good


def test_alone_or_under_its_way_is_the_same() -> None:
    flat = Restraint.model_validate({"restraint": "X", "kind": "high-back", "limits": LABELS["booster"]})
    under = Restraint.model_validate({"restraint": "X", "kind": "high-back", "limits": {"booster": LABELS["booster"]}})
    assert flat.modes[0].limits.mass == under.modes[0].limits.mass
    assert flat.modes[0].limits.height == under.modes[0].limits.height


# --- unlikely numbers ---

def _trip(**restraint: Any) -> dict[str, Any]:
    return {"trip": "T", "vehicle": "harrow-estate", "drives": "1L", "on": DAY,
            "riders": [{"rider": "A", "age": "4y", "mass": "17 kg", "height": 1050}],
            "restraints": [{"restraint": "Ours", "kind": "all-stages", "in_order": True, **restraint}]}


@pytest.mark.parametrize(("field", "restraint", "sure"), [
    ("limits.forward_facing.mass", {"limits": {"forward_facing": {"mass": ["10 kg", "40 kg"]}}},
     {"limits": {"forward_facing": {"mass": ["10 kg", "40 kg"], "sure": {"mass": ["10 kg", "40 kg"]}}}}),
    ("limits.on_lower_anchors", {"limits": {"on_lower_anchors": "40 kg"}},
     {"limits": {"on_lower_anchors": "40 kg", "sure": {"on_lower_anchors": "40 kg"}}}),
    ("width", {"width": 44}, {"width": 44, "sure": {"width": 44}}),
    ("limits.mass", {"kind": "high-back", "limits": {"mass": ["18 kg", "100 kg"]}},
     {"kind": "high-back", "limits": {"mass": ["18 kg", "100 kg"], "sure": {"mass": ["18 kg", "100 kg"]}}}),
])
def test_an_unlikely_number_is_unknown_until_it_is_sure(field: str, restraint: dict[str, Any],
                                                        sure: dict[str, Any]) -> None:
    trip = load_trip(_trip(**restraint))
    doubting = believed(trip, DAY)
    assert [doubt.field for doubt in doubting.doubted] == [field]
    [doubted] = doubting.restraints
    [plain] = trip.restraints
    assert plain.modes != doubted.modes                   # what follows from it is unknown too
    assert has_modes_of_kind(doubted)
    assert not believed(load_trip(_trip(**sure)), DAY).doubted


def test_what_is_doubted_stays_so_from_python() -> None:
    plan = arrange(load_trip(_trip(limits={"forward_facing": {"mass": ["10 kg", "40 kg"]}})), today=DAY)
    again = arrange(plan.trip, today=DAY)
    assert [d.field for d in again.trip.doubted] == [d.field for d in plan.trip.doubted] == [
        "limits.forward_facing.mass"]


def test_a_check_points_at_the_field_as_it_is_written() -> None:
    [found] = check({"restraint": "X", "kind": "all-stages", "width": 440,
                     "limits": {"forward_facing": {"mass": ["10 kg", "40 kg"]}}})
    assert [notice.loc for notice in found.notices] == [("limits", "forward_facing", "mass")]
    assert found.restraint_kind == "all-stages"
    assert [lacks.fields for lacks in found.lacking] == [
        ("limits.rear_facing", "limits.booster", "limits.on_lower_anchors", "support_leg", "level_adjusts",
         "in_order")]


# --- a family's copies ---

def test_copies_of_a_kind(tmp_path: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    """A copy that says otherwise is not in order as the model was."""
    monkeypatch.chdir(tmp_path)
    (tmp_path / "seat.yaml").write_text(
        "restraint: Ours\nkind: high-back\nwidth: 44 cm\nlimits: {mass: 18 - 45 kg}\nin_order: yes\n", encoding="utf-8")
    copies = [{"use": "seat.yaml", "as": "One"}, {"use": "seat.yaml", "as": "Two", "condition": {"crash": "minor"}},
              {"use": "seat.yaml", "as": "Three", "in_order": True}]
    one, two, three = load_trip({**_trip(), "restraints": copies}).restraints
    assert [c.in_order for c in (one, two, three)] == [True, None, True]
    assert [c.condition.crash for c in (one, two, three)] == ["none", "minor", "none"]
    assert all(c.kind == "high-back" and has_modes_of_kind(c) for c in (one, two, three))
    with pytest.raises(InputError, match="in_order"):
        load_trip({**_trip(), "restraints": [
            {"use": "seat.yaml", "as": "Four", "in_order": True, "condition": {"recall": "open"}}]})


# --- a band of ages ---

@pytest.mark.parametrize(("rider", "problem"), [
    ({"age": "5y", "ages": ["4y", "7y"]}, "A has both `age` and `ages`; expected one of them"),
    ({"born": "2020-01-01", "ages": ["4y", "7y"]}, "A has both `born` and `ages`; expected one of them"),
    ({"age": ["30y", "40y"], "adult": True}, "A is an adult with a band of ages; expected one age, or none"),
    ({"age": ["7y", "4y"]}, 'age of rider A is ["7y", "4y"]; expected the lower one first, [lowest, highest]'),
    ({"age": ["7y"]}, 'age of rider A is ["7y"]; expected two values, [lowest, highest]'),
    ({"due": "2027-03-01", "age": ["1y", "2y"]}, "ages"),
])
def test_an_age_or_a_band_of_ages(rider: dict[str, Any], problem: str) -> None:
    with pytest.raises(InputError) as caught:
        load_trip({**_trip(), "riders": [{"rider": "A", **rider}]})
    assert any(problem in str(found) for found in caught.value.problems)


def test_two_ages_are_a_band() -> None:
    rider = Rider.model_validate({"rider": "A", "age": ["4y", "7y"]})
    assert (rider.age, rider.ages) == (None, (48, 84))
    assert Rider.model_validate(rider.data()) == rider


def test_a_label_in_pounds_and_kilograms_is_read() -> None:
    restraint = Restraint.model_validate({"restraint": "X", "kind": "high-back",
                                          "limits": {"mass": "40-100 lb, 18.1-45 kg"}})
    mass = restraint.modes[0].limits.mass
    assert mass is not None
    assert mass[1] <= Quantity("45.4 kg")
    assert set(LIMITS_OF.values()) == set(LABELS)


# --- what was measured since ---

def test_modes_stand_over_those_of_the_kind_key_by_key() -> None:
    restraint = Restraint.model_validate(data_of("all-stages", modes=[
        {"mode": "rear-facing-harness", "touch_ahead": "may", "parts": [{"part": "shell", "along": [40, 430]}],
         "installations": [{"by": "lap-shoulder-belt", "belt_path": 240}]}]))
    plain = Restraint.model_validate(data_of("all-stages"))
    assert [mode.mode for mode in restraint.modes] == [mode.mode for mode in plain.modes]
    mode, before = restraint.modes[0], plain.modes[0]
    assert (mode.touch_ahead, mode.limits.mass, mode.limits.height) == (
        "may", before.limits.mass, before.limits.height)
    [shell] = mode.parts
    assert (shell.width, shell.along) == (440, (40, 430))
    assert [(way.by, way.belt_path) for way in mode.installations] == [
        ("lower-anchors", None), ("lap-shoulder-belt", 240)]
    assert restraint.modes[1:] == plain.modes[1:]
    again = Restraint.model_validate(restraint.data())
    assert (again, again.content) == (restraint, restraint.content)


def test_a_reading_is_written_over_the_kind_and_taken_back(tmp_path: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    text = find("trip", "first-answer-middling").read_text(encoding="utf-8")
    (tmp_path / "trip.yaml").write_text(text, encoding="utf-8")
    for name, value in (("touch_ahead", "may"), ("parts.shell", "{along: [40, 430], up: [0, 420]}")):
        assert seatplan("measure", "trip.yaml", "--set", f"Dara's carrier/rear-facing-harness.{name}={value}").code in (
            0, 3)
    mode = load_trip("trip.yaml").restraints[0].modes[0]
    [shell] = mode.parts
    assert (mode.touch_ahead, shell.along, shell.up, shell.width) == ("may", (40, 430), (0, 420), 430)
    for _ in range(2):
        seatplan("measure", "trip.yaml", "--undo")
    assert (tmp_path / "trip.yaml").read_text(encoding="utf-8") == text
