"""The us rules against worked values of regulation and guidance; each source stands beside its check."""

from __future__ import annotations

from datetime import date
from itertools import product

import pytest

from seatplan.model import Restraint, Rider, Trip, Vehicle
from seatplan.rules.load import bundled_profile
from seatplan.rules.registry import rule_by_id
from seatplan.rules.subjects import Pair, Placement, RuleContext
from seatplan.units import Quantity


def lb(number: float) -> str:
    return f"{number} lb"


def restraint(mode: str = "forward-facing-harness", mass: str = "5 kg", **installation: object) -> Restraint:
    installation.setdefault("by", "lower-anchors")
    modes = [{"mode": mode, "installations": [installation]}]
    return Restraint.model_validate({"restraint": "Trial", "invented": True, "mass": mass, "modes": modes})


def placed(
    seat: Restraint, position: dict[str, object] | None = None, bars: tuple[int, int] = (175, 455),
    mass: str | None = "15 kg",
) -> tuple[Placement, RuleContext]:
    """A child in a restraint at 2L of a one-row car, on bars a and b, in the us rules."""
    row = {"row": 2, "lower_anchors": [{"bar": "a", "across": bars[0]}, {"bar": "b", "across": bars[1]}],
           "positions": [{"position": "2L", "lower_anchors": ["a", "b"], **(position or {})}]}
    vehicle = Vehicle.model_validate({"vehicle": "Bench", "invented": True, "rows": [row]})
    rider = Rider.model_validate({"rider": "Wren", "mass": mass})
    trip = Trip(trip="try", vehicle=vehicle, drives="2L", riders=[rider], restraints=[seat])
    mode = seat.modes[0]
    by = mode.installations[0]
    names = ("a", "b") if by.by.startswith("lower-anchors") else ()
    placement = Placement(rider, vehicle.rows[0].positions[0], vehicle.rows[0], seat, mode, by, names)
    return placement, RuleContext(trip, vehicle, bundled_profile("us"), date(2026, 11, 25))


@pytest.mark.parametrize(("spacing", "outcome"), [
    # 280 mm is nominal (figures of 49 CFR 571.225, from memory), bars of 25 to 60 mm take up the rest:
    # 278 and 283 mm are no reason to refuse
    (278, "pass"), (280, "pass"), (283, "pass"),
    # half of the least bar length, 25 mm, 49 CFR 571.225 S9.1.1(c)(i): 12 mm to each side
    (268, "pass"), (292, "pass"), (267, "fail"), (293, "fail"),
])
def test_spacing_of_lower_anchors(spacing: int, outcome: str):
    result = rule_by_id("lower-anchors-off-spacing").check(*placed(restraint(), bars=(175, 175 + spacing)))
    assert (result.outcome, result.measured) == (outcome, spacing)
    assert result.shortfall == (1 if outcome == "fail" else None)


# 49 CFR 571.213 S5.5.2(l)(3)(i)(A), option A: child at most 65 lb less the restraint. Worked values of its
# arithmetic, in lb.
OPTION_A = [(15, 50), (19.9, 45.1), (20, 45), (25, 40), (30, 35)]


@pytest.mark.parametrize(("own", "most"), OPTION_A)
def test_lower_anchor_mass_without_a_label(own: float, most: float):
    check = rule_by_id("lower-anchors-overloaded").check
    seat = restraint(mass=lb(own), mass_limit="none")
    assert check(*placed(seat, mass=lb(most))).outcome == "pass"           # exact: 65 lb together are still allowed
    result = check(*placed(seat, mass=lb(most + 0.01)))
    assert (result.outcome, result.limit, result.facts["by"]) == ("fail", Quantity("65 lb"), "the us rules")
    assert result.measured == Quantity("65.01 lb")


def test_the_label_comes_before_the_rules_own_limit():
    check = rule_by_id("lower-anchors-overloaded").check
    # the label wins
    result = check(*placed(restraint(mass="15 lb", mass_limit="50 lb"), mass="50 lb"))
    assert (result.outcome, result.limit) == ("pass", Quantity("50 lb"))
    result = check(*placed(restraint(mass="15 lb", mass_limit="55 lb"), mass="55.01 lb"))
    assert (result.outcome, result.facts["by"]) == ("fail", "the restraint's label")
    # and the vehicle maker may set a lower one
    lower = {"manual": {"lower_anchor_mass_limit": "60 lb"}}
    result = check(*placed(restraint(mass="15 lb", mass_limit="55 lb"), lower, mass="46 lb"))
    assert (result.outcome, result.facts["by"]) == ("fail", "the vehicle handbook")
    assert result.shortfall == 0.46           # 1 lb, never told as less


def test_rear_facing_without_a_label_is_a_caution_from_60_lb():
    # S5.5.2(l)(3)(i)(C): a rear-facing label starts from 60 lb, so option A can be too much
    check = rule_by_id("lower-anchors-overloaded").check
    seat = restraint("rear-facing-harness", mass="20 lb", mass_limit="none")
    assert check(*placed(seat, mass="40 lb")).outcome == "pass"
    result = check(*placed(seat, mass="40.01 lb"))
    assert (result.outcome, result.limit) == ("caution", Quantity("60 lb"))
    assert check(*placed(seat, mass="45.01 lb")).outcome == "fail"
    assert check(*placed(restraint(mass="20 lb", mass_limit="none"), mass="41 lb")).outcome == "pass"


# What locks a belt: retractor, latchplate or a lock-off on the restraint. Convention, from memory: an
# emergency-locking retractor alone never does, an automatic or switchable one does; of the latchplates the
# locking and the switchable one do. A static belt is held by its adjuster.
RETRACTOR_LOCKS = {"emergency": False, "automatic": True, "switchable": True, "static": True}
LATCHPLATE_LOCKS = {
    "sliding": False, "locking": True, "switchable": True, "sewn-on": False, "dynamic-locking": False,
}


@pytest.mark.parametrize(("retractor", "latchplate"), list(product(RETRACTOR_LOCKS, LATCHPLATE_LOCKS)))
def test_lockability(retractor: str, latchplate: str):
    check = rule_by_id("belt-cannot-be-locked").check
    belt = {"belt": {"kind": "lap-shoulder", "retractor": retractor, "latchplate": latchplate}}
    locks = RETRACTOR_LOCKS[retractor] or LATCHPLATE_LOCKS[latchplate]
    for lock_off, expected in ((True, "pass"), (False, "fail"), (None, "unmeasured")):
        seat = restraint(by="lap-shoulder-belt", lock_off=lock_off)
        assert check(*placed(seat, belt)).outcome == ("pass" if locks else expected)


@pytest.mark.parametrize(("known", "field"), [
    ({}, "the retractor of the belt of 2L"),
    ({"latchplate": "sliding"}, "the retractor of the belt of 2L"),
    ({"retractor": "emergency"}, "the latchplate of the belt of 2L"),
    ({"retractor": "emergency", "latchplate": "sliding"}, "whether the restraint has a lock-off"),
])
def test_what_is_not_known_of_a_belt_never_locks_it(known: dict[str, str], field: str):
    belt = {"belt": {"kind": "lap-shoulder", **known}}
    result = rule_by_id("belt-cannot-be-locked").check(*placed(restraint(by="lap-shoulder-belt"), belt))
    assert (result.outcome, result.field) == ("unmeasured", field)


@pytest.mark.parametrize(("distance", "outcome"), [(399, "fail"), (400, "pass"), (401, "pass")])
def test_adjacent_midpoints(distance: int, outcome: str):
    # 49 CFR 571.225 S6.3.4.3, S9.4.2(a): not tested together where midpoints are closer than 400 mm
    places = [{"position": "2L", "centre": 300}, {"position": "2C", "centre": 300 + distance}]
    row = {"row": 2, "positions": places}
    vehicle = Vehicle.model_validate({"vehicle": "Bench", "rows": [row]})
    seat = restraint()
    riders = [Rider(rider="Wren"), Rider(rider="Oslo")]
    trip = Trip(trip="try", vehicle=vehicle, drives="2L", riders=riders, restraints=[seat])
    mode = seat.modes[0]
    both = [Placement(rider, position, vehicle.rows[0], seat, mode, mode.installations[0])
            for rider, position in zip(riders, vehicle.rows[0].positions, strict=True)]
    rule = rule_by_id("seats-too-near-to-be-tested")
    result = rule.check(Pair(*both), RuleContext(trip, vehicle, bundled_profile("us"), date(2026, 11, 25)))
    assert (result.outcome, result.measured, result.limit) == (outcome, distance, 400)
    assert rule.strength == "good practice"


@pytest.mark.parametrize("airbag", ["active", "switchable"])
def test_no_rear_facing_child_before_an_airbag(airbag: str):
    # 49 CFR 571.213 S5.5.2(k)(3), Fig. 10 label; 208 S4.5.1(b) from memory
    front = {"row": 1, "positions": [{"position": "1L"}, {"position": "1R", "airbag": {"front": airbag}}]}
    vehicle = Vehicle.model_validate({"vehicle": "Coupe", "rows": [front]})
    seat, rider = restraint("rear-facing-harness"), Rider(rider="Wren")
    trip = Trip(trip="try", vehicle=vehicle, drives="1L", riders=[rider], restraints=[seat])
    mode = seat.modes[0]
    placement = Placement(rider, vehicle.position("1R"), vehicle.rows[0], seat, mode, mode.installations[0])
    rule = rule_by_id("rear-facing-before-airbag")
    assert rule.strength == "must"
    for off, outcome in (([], "fail"), (["1R"], "fail" if airbag == "active" else "caution")):
        told = trip.model_copy(update={"airbags_off": off})
        world = RuleContext(told, vehicle, bundled_profile("us"), date(2026, 11, 25))
        assert rule.when(placement, world)
        assert rule.check(placement, world).outcome == outcome
