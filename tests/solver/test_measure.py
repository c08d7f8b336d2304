"""What to measure next: the order, and that typing a value into the file does what was foretold."""

from __future__ import annotations

from datetime import date

import pytest

from seatplan import load_trip
from seatplan.rules.load import load_profile
from seatplan.solver.measurable import unknowns
from seatplan.solver.measure import Measure, measure, with_value
from seatplan.solver.plan import plan
from seatplan.units import Quantity

DAY = date(2026, 11, 30)


@pytest.fixture(scope="module")
def half() -> Measure:
    trip = load_trip("half-measured-car")
    return measure(trip, load_profile(trip.rules), DAY)


def test_the_readings_of_the_best_arrangement_come_first(half: Measure) -> None:
    assert half.verdict == "unmeasured"
    assert half.best is not None
    assert half.best.verdict == "fits"
    assert half.best.smallest == "proven"
    told = {one.asked.same for one in half.best.readings}
    assert not told & {one.asked.same for one in half.rest}


def test_another_arrangement_that_fewer_readings_settle_is_told(half: Measure) -> None:
    assert half.best is not None
    assert half.sooner is not None
    assert len(half.sooner.readings) < len(half.best.readings)
    assert half.sooner.verdict in ("fits", "close", "likely")


def test_those_of_the_rest_that_decide_most_come_first(half: Measure) -> None:
    ways = [one.ways for one in half.rest]
    assert ways == sorted(ways, reverse=True)
    assert ways[0] > 0


def test_who_could_ride_where_is_whoever_lacks_the_field(half: Measure) -> None:
    lacking: dict[str, set[tuple[str, str]]] = {}
    for cell in plan(half.trip, half.profile, DAY, top=1).choices.cells():
        for finding in () if cell.blocked else cell.findings:
            if finding.outcome == "unmeasured":
                way = cell.placement.rider.rider, cell.placement.position.position
                lacking.setdefault(str(finding.result.field), set()).add(way)
    told = {str(one.asked.what): {(way.rider, seat) for way in one.decides for seat in way.seats} for one in half.rest}
    named = [what for what in told if what in lacking]
    assert len(named) > 5
    assert {what: told[what] for what in named} == {what: lacking[what] for what in named}


def test_nothing_is_asked_that_is_known() -> None:
    trip = load_trip("two-seater-airbag-off")
    found = measure(trip, load_profile(trip.rules), DAY)
    assert found.rest == found.opens == ()
    assert found.best is not None
    assert not found.best.readings


def test_a_better_arrangement_is_one_that_few_readings_open() -> None:
    trip = with_value(load_trip("twins-small-hatch"), ("restraints", 2, "condition", "recall"), None)
    found = measure(trip, load_profile(trip.rules), DAY)
    now = plan(trip, load_profile(trip.rules), DAY, top=1)
    assert found.verdict == now.verdict == "fits"
    assert now.first.one_reading is not None
    [one] = found.opens[:1]
    assert [len(one.readings), one.readings[0].asked.key] == [1, "restraint.condition.recall"]
    assert one.verdict == "close"


def test_what_is_lacking_where_the_same_is_asked_twice_is_one_reading(half: Measure) -> None:
    assert half.best is not None
    masses = [one for one in half.best.readings if one.asked.key == "rider.mass"]
    assert len(masses) == 1
    # the heaviest of her age is lighter than the 45.4 kg that it takes
    assert {(str(s.value), s.keeps) for s in masses[0].settles} == {("18.1 kg", "least")}
    assert 18.1 <= float(Quantity.of_kg(float(masses[0].would_do.split()[0]))) <= 45.4


def test_every_unknown_can_be_set() -> None:
    for name in ("half-measured-car", "three-across-school-run", "i-size-family"):
        trip = load_trip(name)
        for unknown in unknowns(trip, DAY):
            for value in unknown.ends:
                changed = with_value(trip, unknown.path, value)
                assert type(changed) is type(trip)
                assert changed != trip or value in ("none", ())
