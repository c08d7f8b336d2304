"""The un rules against the regulations: mass on lower anchors, airbags, neighbouring i-Size places."""

from __future__ import annotations

from datetime import date

import pytest

from seatplan.model import Restraint, Rider, Trip, Vehicle
from seatplan.rules.load import bundled_profile
from seatplan.rules.registry import rule_by_id
from seatplan.rules.subjects import Pair, Placement, RuleContext
from seatplan.units import Quantity

BARS = [{"bar": name, "across": across} for name, across in (("a", 160), ("b", 440), ("c", 600), ("d", 880))]


def isofix(mass: float, mode: str = "forward-facing-harness") -> Restraint:
    """An integral ISOFIX restraint approved to UN R129."""
    return Restraint.model_validate({
        "restraint": "Integral", "invented": True, "mass": f"{mass} kg",
        "approval": {"standard": "UN R129", "category": "i-size"},
        "modes": [{"mode": mode, "installations": [{"by": "lower-anchors", "connectors": "rigid"}]}],
    })


def world_of(positions: list[dict[str, object]], riders: list[Rider], off: tuple[str, ...] = ()) -> RuleContext:
    row = {"row": int(str(positions[0]["position"])[0]), "lower_anchors": BARS, "positions": positions}
    vehicle = Vehicle.model_validate({"vehicle": "Bench", "invented": True, "rows": [row]})
    trip = Trip(trip="try", vehicle=vehicle, drives="1L", riders=riders, airbags_off=list(off))
    return RuleContext(trip, vehicle, bundled_profile("un"), date(2026, 11, 25))


def placed(world: RuleContext, index: int, seat: Restraint, bars: tuple[str, ...]) -> Placement:
    row, mode, rider = world.vehicle.rows[0], seat.modes[0], world.trip.riders[index]
    return Placement(rider, row.positions[index], row, seat, mode, mode.installations[0], bars)


# UN R129 (02 series) 6.3.2.3: restraint and child together at most 33 kg
@pytest.mark.parametrize(("own", "child", "outcome", "together"), [
    (15.0, 18.1, "fail", 33.1),
    (15.0, 18.0, "pass", 33.0),
    (14.5, 18.5, "pass", 33.0),
    (14.5, 18.6, "fail", 33.1),
])
def test_restraint_and_child_on_isofix(own: float, child: float, outcome: str, together: float):
    world = world_of([{"position": "2L", "lower_anchors": ["a", "b"]}], [Rider(rider="Wren", mass=f"{child} kg")])
    result = rule_by_id("lower-anchors-overloaded").check(placed(world, 0, isofix(own), ("a", "b")), world)
    assert (result.outcome, result.measured, result.limit) == (outcome, Quantity(f"{together} kg"), 33)
    assert result.facts["by"] == "the un rules"


# Directive 91/671/EEC Art. 2(1)(b), UN R16 8.1.8: always, regardless of anything else
@pytest.mark.parametrize("off", [(), ("1R",)])
@pytest.mark.parametrize("child", [2.5, 9.0, 18.0])
@pytest.mark.parametrize("row", ["1", "2", "3"])
def test_rear_facing_before_an_active_airbag_is_always_blocked(row: str, child: float, off: tuple[str, ...]):
    name = f"{row}R"
    place = {"position": name, "airbag": {"front": "active"}}
    world = world_of([place], [Rider(rider="Wren", mass=f"{child} kg")], off)
    placement = placed(world, 0, isofix(12.0, "rear-facing-harness"), ())
    rule = rule_by_id("rear-facing-before-airbag")
    assert (rule.strength, rule.when(placement, world)) == ("must", True)
    assert rule.check(placement, world).outcome == "fail"


def test_an_airbag_that_nobody_looked_at_is_never_a_pass():
    world = world_of([{"position": "1R"}], [Rider(rider="Wren")])
    placement = placed(world, 0, isofix(12.0, "rear-facing-harness"), ())
    rule = rule_by_id("rear-facing-before-airbag")
    assert rule.when(placement, world)
    assert rule.check(placement, world).outcome == "unmeasured"


# UN R16 (07 series) 8.3.6: i-Size places 440 mm apart can be used at once
@pytest.mark.parametrize(("apart", "outcome"), [(439, "fail"), (440, "pass"), (441, "pass")])
def test_two_i_size_places_side_by_side(apart: int, outcome: str):
    places = [{"position": "2L", "i_size": True, "centre": 300},
              {"position": "2C", "i_size": True, "centre": 300 + apart}]
    world = world_of(places, [Rider(rider="Wren"), Rider(rider="Oslo")])
    pair = Pair(placed(world, 0, isofix(12.0), ()), placed(world, 1, isofix(12.0), ()))
    rule = rule_by_id("seats-too-near-to-be-tested")
    assert rule.when(pair, world)
    result = rule.check(pair, world)
    assert (result.outcome, result.measured, result.limit) == (outcome, apart, 440)


def test_midpoints_are_those_of_the_bars_where_there_are_bars():
    # 49 CFR 571.225 S6.3.4.3(a)(1): midway between the bars; here 300 and 740 mm, whatever the centres say
    places = [{"position": "2L", "centre": 310, "lower_anchors": ["a", "b"]},
              {"position": "2C", "centre": 700, "lower_anchors": ["c", "d"]}]
    world = world_of(places, [Rider(rider="Wren"), Rider(rider="Oslo")])
    pair = Pair(placed(world, 0, isofix(12.0), ("a", "b")), placed(world, 1, isofix(12.0), ("c", "d")))
    assert rule_by_id("seats-too-near-to-be-tested").check(pair, world).measured == 440


# UN R129 6.1.3.5 and Annex 24, UN R44 6.1.9: 150 mm of webbing stay on the spool when a restraint is approved; in a car
# it is enough that the belt reaches
@pytest.mark.parametrize(("length", "outcome", "measured", "limit"), [
    (2499, "fail", 2499, 2500), (2500, "caution", 0, 150), (2649, "caution", 149, 150), (2650, "pass", 2650, 2500)])
def test_webbing_left_on_the_spool(length: int, outcome: str, measured: int, limit: int):
    belt = {"kind": "lap-shoulder", "length": length}
    world = world_of([{"position": "2L", "belt": belt}], [Rider(rider="Wren")])
    seat = Restraint.model_validate({"restraint": "Belted", "modes": [{
        "mode": "rear-facing-harness", "installations": [{"by": "lap-shoulder-belt", "belt_needed": 2500}]}]})
    result = rule_by_id("belt-too-short").check(placed(world, 0, seat, ()), world)
    assert (result.outcome, result.measured, result.limit) == (outcome, measured, limit)


def test_no_belt_that_locks_is_asked_of_a_restraint_with_un_approval():
    # UN R16 asks for no belt that locks to hold a restraint, so it stays a caution
    belt = {"kind": "lap-shoulder", "retractor": "emergency", "latchplate": "sliding"}
    world = world_of([{"position": "2L", "belt": belt}], [Rider(rider="Wren")])
    seat = Restraint.model_validate({
        "restraint": "Belted", "approval": {"standard": "UN R44"}, "modes": [{
            "mode": "rear-facing-harness",
            "installations": [{"by": "lap-shoulder-belt", "lock_off": False}]}]})
    assert rule_by_id("belt-cannot-be-locked").check(placed(world, 0, seat, ()), world).outcome == "caution"
