"""Which checks say the same every day, by what they look at. `test_watch.py` holds the answers against each day's."""

from dataclasses import replace

import pytest
from families import child, watched

from seatplan.estimate.riders import estimated_rider
from seatplan.fields import Missing
from seatplan.growth.unmoved import hangs_on
from seatplan.rules.finding import lacks, passes
from seatplan.rules.registry import RULES


def asked(when, check, rider=None):
    """What a rule made of these hangs on that a day changes, asked about a placement in a restraint."""
    watch = watched("three-across-school-run", 0)
    placement = next(one.placement for one in watch.placements if one.placement.mode is not None)
    placement = placement.for_rider(rider, None) if rider else replace(placement, second=placement.row.positions[-1])
    moves, _ = hangs_on(replace(RULES[0], when=when, check=check), placement, watch.world_on(watch.start))
    return moves


@pytest.mark.parametrize(("when", "on"), [
    (lambda p, w: p.mode is None, "nothing"),
    (lambda p, w: p.built_in or p.rear_facing is None, "nothing"),
    (lambda p, w: p.rider.adult, "day"),
    (lambda p, w: p.recline is not None and p.mode is None, "setting"),
    (lambda p, w: p.recline is not None and p.rider.adult, "day"),
    (lambda p, w: w.day.year < 2000, "day"),
    (lambda p, w: w.age_months(p.rider) is None, "day"),
    (lambda p, w: w.about(w.trip).trip is None, "day"),
])
def test_where_it_does_not_apply(when, on):
    assert asked(when, lambda p, w: pytest.fail("not asked")) == on


@pytest.mark.parametrize(("check", "on"), [
    (lambda p, w: None, "nothing"),
    (lambda p, w: passes(len(p.row.positions), 1, "mm"), "nothing"),
    (lambda p, w: passes(p.for_rider(p.rider, None).position.position, "2L"), "day"),
    (lambda p, w: passes(p.from_second().position.position, "2L"), "day"),
    (lambda p, w: passes(w.age_months(p.rider) or 0, 1, "months"), "day"),
])
def test_where_it_does(check, on):
    assert asked(lambda p, w: True, check) == on


def test_what_is_open_because_of_an_estimate_is_asked_every_day():
    """Its corners are asked about apart, and one of them may be the rider's."""
    def check(p, w):
        return lacks(Missing("width", "measure it", "mm"))

    assert asked(lambda p, w: True, check) == "nothing"
    assert asked(lambda p, w: True, check, estimated_rider(child(age="50 months"), (50, 51))) == "day"
