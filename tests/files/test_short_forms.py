"""Short forms: they hold no answer, ask no more than was promised, load when they are filled in, and grow."""

from __future__ import annotations

import re
from datetime import date
from pathlib import Path
from typing import Any, get_args

import pytest
import yaml

from seatplan import InputError, arrange, load_trip, new
from seatplan.files.forms import grown, leaves, restraint_form, template
from seatplan.files.library import names
from seatplan.files.load import load_restraint, load_vehicle, restraint_from, vehicle_from
from seatplan.files.reading import parse
from seatplan.model.kinds import KINDS
from seatplan.model.restraint import Kind

DAY = date(2026, 11, 30)
KINDS_ALL = get_args(Kind)
#: names, and what says which form it is: `not_measured` and `rules` choose, they answer nothing
NAMES = {"vehicle", "restraint", "trip", "rider", "kind", "row", "position", "seat", "drives", "rules", "not_measured"}
#: what a person writes behind each key of a short form
ANSWERS = {
    "forward_and_fixed": "yes", "belt": "lap-shoulder", "retractor": "switchable", "inflatable": "no",
    "forbids": "none", "support_leg": "allowed", "front": "active", "lower_anchors": "yes", "tether": "yes",
    "across": "505", "free": "640", "right": "1460", "centre": "340",
    "in_order": "yes", "width": "44 cm", "mass": "10 - 29 kg", "height": "76 - 124 cm", "on_lower_anchors": "20.4 kg",
    "level_adjusts": "yes",
}


def empty_places(lines: list[str]) -> list[tuple[int, str]]:
    """Keys of a form that stand empty and hold no others, with their lines."""
    bare = [(n, line.split("#")[0].rstrip()) for n, line in enumerate(lines)]
    bare = [(n, line) for n, line in bare if line]
    found = []
    for (n, line), (_, below) in zip(bare, [*bare[1:], (0, "")], strict=True):
        found += [(n, key) for key in re.findall(r"(\w+): (?=[,}])", line)]
        if line.endswith(":") and len(below) - len(below.lstrip()) <= len(line) - len(line.lstrip()):
            found.append((n, line.strip(" -:")))
    return found


def empty_keys(text: str) -> list[str]:
    return [key for _, key in empty_places(text.splitlines())]


def filled(text: str, answers: dict[str, str]) -> str:
    """A form with an answer behind every key that stands empty, as a person types them in."""
    lines = text.splitlines()
    for n, key in empty_places(lines):
        lines[n] = re.sub(rf"\b{key}: *(?=[,}}]|#|$)", f"{key}: {answers[key]} ", lines[n], count=1).rstrip()
    return "\n".join(lines) + "\n"


def answers_in(text: str) -> list[tuple[tuple[str | int, ...], Any]]:
    return [(path, value) for path, value in leaves(yaml.safe_load(text)) if path[-1] not in NAMES and path != (
        "rows", 1, "trim", 0, "name") and path[-1] not in ("name", "left")]


FORMS = {"vehicle": template("short-vehicle"), "trip": template("short-trip"),
         **{kind: restraint_form(kind) for kind in KINDS_ALL}}


@pytest.mark.parametrize("name", FORMS)
def test_nothing_is_answered(name: str) -> None:
    assert answers_in(FORMS[name]) == []


def test_a_car_with_five_seats_is_22_answers() -> None:
    """Its name is the first of them."""
    assert len(empty_keys(FORMS["vehicle"])) + 1 == 22
    assert "in 22 answers" in FORMS["vehicle"]


@pytest.mark.parametrize("kind", KINDS_ALL)
def test_a_restraint_is_asked_what_its_kind_has(kind: str) -> None:
    asked = empty_keys(FORMS[kind])
    modes = [mode for mode, _ in KINDS[kind].modes]
    assert asked.count("mass") == asked.count("height") == len(modes)
    assert ("on_lower_anchors" in asked) == any(mode.endswith("harness") for mode in modes)
    assert ("level_adjusts" in asked) == ("rear-facing-harness" in modes)
    assert len(asked) + 1 <= 12                          # and its name


def test_a_filled_vehicle_loads() -> None:
    vehicle = vehicle_from(parse(filled(FORMS["vehicle"], ANSWERS), "car.yaml"))
    seat = vehicle.position("2R")
    assert (seat.facing, seat.seat, vehicle.rows[1].slides) == ("forward", "fixed", 0)
    assert seat.lower_anchors == ("e", "f")
    assert seat.tether == "t3"
    assert seat.belt is not None
    assert (seat.belt.kind, seat.belt.retractor, seat.belt.inflatable) == ("lap-shoulder", "switchable", False)
    assert seat.belt.buckle is not None
    assert seat.belt.buckle.across == 505
    assert seat.ahead is not None
    assert (seat.ahead.gap, seat.ahead.travel) == ([(0, 640), (900, 640)], 0)
    assert seat.manual is not None
    assert seat.manual.forbids == []
    assert seat.support_leg == "allowed"
    assert vehicle.position("1R").support_leg is None    # it was asked of the back
    assert vehicle.not_measured == "estimate"
    assert type(vehicle).model_validate(vehicle.data()) == vehicle


@pytest.mark.parametrize("kind", KINDS_ALL)
def test_a_filled_restraint_loads(kind: str) -> None:
    answers = {**ANSWERS, "support_leg": "no"}
    restraint = restraint_from(parse(filled(FORMS[kind], answers), "seat.yaml"))
    assert restraint.kind == kind
    assert restraint.in_order
    assert restraint.width == 440
    for mode in restraint.modes:
        assert mode.limits.mass is not None
        assert mode.limits.height is not None


def test_a_filled_trip_loads(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    Path("my-car.yaml").write_text(filled(FORMS["vehicle"], ANSWERS), encoding="utf-8")
    answers = {**ANSWERS, "support_leg": "no", "on": "2026-11-30", "born": "2022-03-02", "sits_upright": "yes"}
    riders, rest = FORMS["trip"].split("restraints:", 1)
    riders = filled(riders, {**answers, "mass": "16 kg", "height": "100 cm"})
    Path("trip.yaml").write_text(riders + "restraints:" + filled(rest, answers), encoding="utf-8")
    trip = load_trip("trip.yaml")
    assert [r.height for r in trip.riders] == [1000, 1000, 1000]
    assert all(r.in_order and r.width == 440 for r in trip.restraints)


def test_untouched_forms_decide_nothing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    Path("my-car.yaml").write_text(new("vehicle", short=True), encoding="utf-8")
    Path("trip.yaml").write_text(new("trip", short=True), encoding="utf-8")
    plan = arrange("trip.yaml", today=DAY, top=None)
    assert plan.arrangements
    assert {arrangement.verdict for arrangement in plan.arrangements} == {"unmeasured"}


def test_what_is_wrong_in_a_filled_form_is_told_at_its_line() -> None:
    text = filled(FORMS["vehicle"], {**ANSWERS, "free": "far", "lower_anchors": "maybe"})
    with pytest.raises(InputError) as caught:
        vehicle_from(parse(text, "car.yaml"))
    told = {str(problem) for problem in caught.value.problems}
    line = next(n for n, line in enumerate(text.splitlines(), 1) if "free: far" in line)
    assert any(one.startswith(f"car.yaml:{line}:17: ahead free of position 2L") for one in told)
    assert any('lower_anchors of position 2C is "maybe"' in one for one in told)


def test_one_yes_or_a_word_for_each() -> None:
    text = FORMS["vehicle"].replace("forward_and_fixed:", "forward_and_fixed: yes\n  slides: yes\n  belt:", 1)
    text = text.replace("\n  belt:                               # lap", "\n  # lap", 1)
    with pytest.raises(InputError, match="slides says otherwise than `forward_and_fixed: yes`"):
        vehicle_from(parse(text, "car.yaml"))


def test_anchors_that_are_only_said_to_be_there_take_free_names() -> None:
    row = {"row": 2, "lower_anchors": [{"bar": "a", "across": 170}, {"bar": "b", "across": 450}],
           "positions": [{"position": "2L", "lower_anchors": ["a", "b"], "tether": True},
                         {"position": "2R", "lower_anchors": "yes", "tether": "none"}]}
    vehicle = vehicle_from(parse(yaml.safe_dump({"vehicle": "X", "rows": [row]}), "car.yaml"))
    assert [bar.bar for bar in vehicle.rows[0].lower_anchors or ()] == ["a", "b", "c", "d"]
    assert vehicle.position("2R").lower_anchors == ("c", "d")
    assert [tether.tether for tether in vehicle.rows[0].tethers or ()] == ["t1"]


def test_a_tether_called_yes_is_that_tether() -> None:
    row = {"row": 2, "tethers": [{"tether": "yes", "across": 300}], "positions": [{"position": "2L", "tether": "yes"}]}
    vehicle = vehicle_from(parse(yaml.safe_dump({"vehicle": "X", "rows": [row]}), "car.yaml"))
    assert vehicle.position("2L").tether == "yes"
    assert len(vehicle.rows[0].tethers or ()) == 1


# --- growing into the full form ---

@pytest.mark.parametrize("name", names("vehicle"))
def test_a_grown_vehicle_says_all_that_it_said(name: str) -> None:
    """Each seat by itself, in place of once for all; a free length for all heights as one for the two ends."""
    vehicle = load_vehicle(name)
    again = vehicle_from(parse(grown(vehicle), "car.yaml"))
    same = {"every_seat": vehicle.every_seat, "rows": []}
    assert again.model_copy(update=same) == vehicle.model_copy(update=same)
    for one, other in zip(again.positions(), vehicle.positions(), strict=True):
        ahead = {"ahead": other.ahead and other.ahead.model_copy(update={"free": None})}
        assert one == other.model_copy(update=ahead)
    for row, before in zip(again.rows, vehicle.rows, strict=True):
        assert row.model_copy(update={"positions": []}) == before.model_copy(update={"positions": []})


@pytest.mark.parametrize("name", names("restraint"))
def test_a_grown_restraint_says_all_that_it_said(name: str) -> None:
    restraint = load_restraint(name)
    assert restraint_from(parse(grown(restraint), "seat.yaml")) == restraint


@pytest.mark.parametrize("kind", KINDS_ALL)
def test_a_grown_kind_keeps_each_answer_where_it_belongs(kind: str) -> None:
    short = restraint_from(parse(filled(FORMS[kind], {**ANSWERS, "support_leg": "no"}), "seat.yaml"))
    text = grown(short)
    full = restraint_from(parse(text, "seat.yaml"))
    assert full.modes == short.modes
    assert (full.kind, full.in_order, full.level_adjusts) == (short.kind, short.in_order, short.level_adjusts)
    assert "# from the seat surface up to the lowest and the highest slot" in text or "shoulder_slots:" in text
    assert grown(full) == text


def test_a_grown_car_gives_the_answer_of_the_short_one(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    Path("short.yaml").write_text(filled(FORMS["vehicle"], ANSWERS), encoding="utf-8")
    Path("full.yaml").write_text(new("vehicle", grown_from="short.yaml"), encoding="utf-8")
    short, full = load_vehicle("short.yaml"), load_vehicle("full.yaml")
    assert full.rows[1].positions[0].belt == short.rows[1].positions[0].belt
    Path("trip.yaml").write_text(new("trip", short=True).replace("my-car", "short"), encoding="utf-8")
    found = [arrange("trip.yaml", vehicle=name, today=DAY, top=3) for name in ("short.yaml", "full.yaml")]
    assert found[0].verdict == found[1].verdict
    assert found[0].tally == found[1].tally


@pytest.mark.parametrize(("options", "field"), [
    ({"kind": "vehicle", "of_kind": "backless"}, "kind"), ({"kind": "restraint", "short": True}, "short"),
    ({"kind": "restraint", "of_kind": "bakless"}, "kind"),
    ({"kind": "vehicle", "short": True, "grown_from": "x.yaml"}, "from"),
])
def test_what_does_not_go_together_is_refused(options: dict[str, Any], field: str) -> None:
    with pytest.raises(InputError) as caught:
        new(**options)
    assert caught.value.problems[0].loc == (field,)
