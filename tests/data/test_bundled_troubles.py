"""Each kind of trouble that a technician meets in a car occurs in one of the bundled ones: a rule speaks of it."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from functools import lru_cache

import pytest
from bundled import RESTRAINTS, TRIPS, VEHICLES

from seatplan.model import Vehicle
from seatplan.rules.load import load_profile
from seatplan.rules.registry import rule_by_id
from seatplan.rules.subjects import Placement, RuleContext
from seatplan.solver.ways import Way, placements_of

#: what a car has, and the rule that says so of somebody there
TROUBLES = [
    ("tidewater-carrier", "across-two-parts"),          # a bench that slides apart, 60/40
    ("tidewater-carrier", "split-back-latched"),
    ("tidewater-carrier", "back-set-as-measured"),      # a back that reclines
    ("tidewater-carrier", "lower-anchors-overloaded"),  # a handbook that names the heaviest child
    ("sandling-slider", "row-slides-under-it"),
    ("amberley-electric", "base-off-the-cushion"),      # a raised middle, where the base stands over
    ("amberley-electric", "console-in-the-way"),
    ("amberley-electric", "belt-inflatable"),
    ("amberley-electric", "belt-tightens-before-crash"),
    ("amberley-electric", "airbag-by-sensor"),
    ("amberley-electric", "sensors-ahead"),
    ("ferry-lane-eight", "belt-comes-apart"),           # a belt out of the roof
    ("ferry-lane-eight", "tether-anchor-not-marked"),
    ("skiff-two", "back-between-bolsters"),
    ("dowel-coupe", "roof-too-low"),
    ("dowel-coupe", "head-under-roof"),
    ("dowel-coupe", "tether-anchor-outside-zone"),
    ("marlow-saloon", "base-on-raised-cushion"),        # a hump
    ("marlow-saloon", "no-shoulder-belt"),
    ("marlow-saloon", "head-restraint-juts"),
    ("quarry-saloon", "belt-cannot-be-locked"),
    ("quarry-saloon", "head-above-vehicle-back"),
]


@lru_cache(maxsize=len(VEHICLES))
def placed(car: str) -> tuple[RuleContext, tuple[Placement, ...]]:
    """The children of one family in every bundled restraint at every place of a car."""
    family = TRIPS["three-across-school-run"]
    vehicle: Vehicle = VEHICLES[car]
    trip = family.model_copy(update={"vehicle": vehicle, "restraints": list(RESTRAINTS.values())})
    world = RuleContext(trip, vehicle, load_profile("us"), date(2026, 11, 30))

    def all_of_them() -> Iterator[Placement]:
        for rider in trip.riders:
            for at, position in enumerate(vehicle.positions()):
                row = vehicle.row_of(position.position)
                yield from placements_of(world, rider, Way(at, row, position))
                for kind, restraint in enumerate(trip.restraints) if not rider.adult else ():
                    for mode in restraint.modes:
                        yield from placements_of(world, rider, Way(at, row, position, kind, restraint, mode))

    return world, tuple(all_of_them())


@pytest.mark.parametrize(("car", "rule"), TROUBLES)
def test_it_occurs(car: str, rule: str) -> None:
    world, placements = placed(car)
    asked = rule_by_id(rule)
    found = [asked.check(one, world) for one in placements if asked.when(one, world)]
    assert {"fail", "caution"} & {result.outcome for result in found if result is not None}


def test_two_straps_led_to_one_loop_that_takes_only_one() -> None:
    row = VEHICLES["cattlegate-crew-cab"].rows[1]
    both = row.strap_uses("t1") & row.strap_uses("t2")
    assert [one.tether for one in row.tethers or () if one.tether in both and one.shared is False] == ["t1"]
