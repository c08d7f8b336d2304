"""The un rules against UN R16, R44 and R129: age and stature, fixtures, categories, mass groups."""

from __future__ import annotations

from typing import Any

import pytest
from build import Case, subject

from seatplan.rules.finding import Result
from seatplan.rules.registry import rule_by_id
from seatplan.rules.un_route import accepted_fixtures, groups_of
from seatplan.units import Quantity

RIGID = {"by": "lower-anchors", "connectors": "rigid"}


def found(rule_id: str, case: Case) -> Result:
    """What the rule says under the un profile; it must apply."""
    rule = rule_by_id(rule_id)
    what, world = subject(rule, {"profile": "un", **case})
    assert rule.strength == "must"
    assert rule.when(what, world)
    result = rule.check(what, world)
    assert result is not None
    return result


def approved(standard: str, category: str, **more: Any) -> dict[str, Any]:
    return {"approval": {"standard": standard, "category": category, **more}}


# UN R129 (02 series) 6.1.2.3: facing forward from 15 months and 76 cm, both satisfied
@pytest.mark.parametrize(("height", "months", "by_age", "by_height"), [
    (750, 14, "fail", "fail"), (750, 15, "pass", "fail"), (750, 40, "pass", "fail"),
    (759, 15, "pass", "fail"), (760, 15, "pass", "pass"),
    (800, 14, "fail", "pass"), (800, 15, "pass", "pass"),
])
def test_facing_forward(height: int, months: int, by_age: str, by_height: str):
    case = {"rider": {"height": height, "age": f"{months} months"}, "restraint": approved("UN R129", "i-size")}
    assert found("forward-facing-under-15-months", case).outcome == by_age
    assert found("forward-facing-under-76-cm", case).outcome == by_height


# UN R129 (02 series) 6.1.3.3: booster seats from 100 cm; cushions from 125 cm, 03 series, from memory
@pytest.mark.parametrize(("mode", "height", "outcome"), [
    ("high-back-booster", 990, "fail"), ("high-back-booster", 1000, "pass"),
    ("backless-booster", 1240, "fail"), ("backless-booster", 1250, "pass"),
])
def test_booster_stature(mode: str, height: int, outcome: str):
    case = {"rider": {"height": height}, "mode": {"mode": mode}, "restraint": {"approval": {"standard": "UN R129"}}}
    assert found("booster-under-100-cm", case).outcome == outcome


# UN R16 (07 series) 8.3.6 and Annex 17 App. 3 Table 1: what each declaration takes, and nothing more
@pytest.mark.parametrize(("declared", "i_size", "taken"), [
    ([], True, {"R1", "R2X", "R2", "F2X", "B2"}),
    (["R2X"], False, {"R1", "R2X"}),
    (["R3"], False, {"R1", "R2X", "R2", "R3"}),
    (["F2"], False, {"F2X", "F2"}),
    (["F3"], True, {"R1", "R2X", "R2", "F2X", "F2", "F3", "B2"}),
    (["B3"], False, {"B2", "B3"}),
    (["L1"], False, {"L1"}),
    (["L2", "R1"], False, {"L2", "R1"}),
    ([], False, set()),
])
def test_accepted_fixtures(declared: list[str], i_size: bool, taken: set[str]):
    assert accepted_fixtures(declared, i_size) == taken


@pytest.mark.parametrize(("fixture", "mode", "outcome"), [
    ("R1", "rear-facing-harness", "pass"), ("R2X", "rear-facing-harness", "pass"),
    ("R2", "rear-facing-harness", "pass"), ("R3", "rear-facing-harness", "fail"),
    ("F2X", "forward-facing-harness", "pass"), ("F2", "forward-facing-harness", "fail"),
    ("F3", "forward-facing-harness", "fail"), ("B2", "high-back-booster", "pass"),
    ("B3", "high-back-booster", "fail"), ("L1", "lying-flat-bed", "fail"), ("L2", "lying-flat-bed", "fail"),
])
def test_fixtures_on_an_i_size_place_that_declares_nothing_more(fixture: str, mode: str, outcome: str):
    case = {
        "restraint": approved("UN R129", "specific-vehicle", fixtures=[fixture]), "mode": {"mode": mode},
        "installation": RIGID, "position": {"i_size": True, "fixtures": "none"},
    }
    assert found("fixture-not-listed", case).outcome == outcome


# UN R16 Annex 17 App. 3 (06 series), handbook tables: U both ways, UF forward-facing only, X none
@pytest.mark.parametrize(("declared", "mode", "outcome"), [
    ("both", "rear-facing-harness", "pass"), ("both", "forward-facing-harness", "pass"),
    ("forward-only", "rear-facing-harness", "fail"), ("forward-only", "forward-facing-harness", "pass"),
    ("forward-only", "lying-flat-bed", "fail"),
    ("none", "rear-facing-harness", "fail"), ("none", "forward-facing-harness", "fail"),
])
def test_universal_belted(declared: str, mode: str, outcome: str):
    case = {"restraint": approved("UN R44", "universal", groups=["0+", "I"]), "mode": {"mode": mode},
            "position": {"universal_belted": declared}}
    assert found("category-not-allowed", case).outcome == outcome


# UN R44 6.1.3: no rear-facing ISOFIX restraint is universal; without the maker's list it is turned down
@pytest.mark.parametrize("category", ["isofix-universal", "isofix-semi-universal"])
@pytest.mark.parametrize(("listed", "outcome"), [
    ([], "fail"), (["Another Car"], "fail"), (["Bench/2R"], "fail"), (["Bench/2L"], "pass"), (["Bench"], "pass"),
])
def test_rear_facing_isofix_of_un_r44(category: str, listed: list[str], outcome: str):
    case = {
        "restraint": approved("UN R44", category, groups=["0+"], listed=listed),
        "mode": {"mode": "rear-facing-harness"}, "installation": RIGID,
        "position": {"universal_isofix": "forward-only", "i_size": True},
    }
    assert found("category-not-allowed", case).outcome == outcome


# UN R44 6.1.3.7: a support leg excludes the universal category. UN R129 6.1.1: i-Size place or list
@pytest.mark.parametrize(("approval", "i_size", "outcome"), [
    (approved("UN R44", "isofix-semi-universal", groups=["0+"]), True, "fail"),
    (approved("UN R44", "isofix-semi-universal", groups=["0+"], listed=["Bench"]), False, "pass"),
    (approved("UN R129", "i-size"), True, "pass"),
    (approved("UN R129", "i-size"), False, "fail"),
    (approved("UN R129", "i-size"), None, "unmeasured"),
    (approved("UN R129", "i-size", listed=["Bench"]), False, "pass"),
])
def test_support_leg(approval: dict[str, Any], i_size: bool | None, outcome: str):
    case = {"restraint": approval, "mode": {"mode": "rear-facing-harness"},
            "installation": {**RIGID, "support_leg": True}, "position": {"i_size": i_size}}
    assert found("category-not-allowed", case).outcome == outcome


# UN R129 6.1.1: a forward-facing i-Size restraint with tether on any ISOFIX place that has an anchor
@pytest.mark.parametrize(("anchor", "hooked", "outcome"), [
    ("t1", "t1", "pass"), ("t1", None, "fail"), ("none", None, "fail"), (None, None, "unmeasured"),
])
def test_forward_facing_i_size_off_i_size_places(anchor: str | None, hooked: str | None, outcome: str):
    case = {"restraint": approved("UN R129", "i-size"), "installation": RIGID, "bars": ["a", "b"],
            "tether": hooked, "position": {"i_size": False, "lower_anchors": ["a", "b"], "tether": anchor}}
    assert found("category-not-allowed", case).outcome == outcome


# UN R44 (04 series) 2.1.1: 0 below 10 kg, 0+ below 13, I 9 to 18, II 15 to 25, III 22 to 36
@pytest.mark.parametrize(("mass", "groups"), [
    (12.0, {"0+", "I"}), (9.5, {"0", "0+", "I"}), (16.0, {"I", "II"}), (24.0, {"II", "III"}), (36.5, set()),
    (8.99, {"0", "0+"}), (9.0, {"0", "0+", "I"}), (10.0, {"0+", "I"}), (13.0, {"I"}), (15.0, {"I", "II"}),
    (18.0, {"I", "II"}), (18.01, {"II"}), (22.0, {"II", "III"}), (25.0, {"II", "III"}), (25.01, {"III"}),
    (36.0, {"III"}),
])
def test_mass_groups(mass: float, groups: set[str]):
    assert set(groups_of(Quantity(f"{mass} kg"))) == groups
    for group in ("0", "0+", "I", "II", "III"):
        case = {"rider": {"mass": f"{mass} kg"}, "mode": {"mode": "rear-facing-harness"},
                "restraint": approved("UN R44", "universal", groups=[group])}
        assert found("group-mass-mismatch", case).outcome == ("pass" if group in groups else "fail")


def test_mass_groups_leave_no_gap_below_36_kg():
    # UN R44 2.1.1: the ranges overlap from 0 to 36 kg
    assert all(groups_of(tenth / 10) for tenth in range(361))
