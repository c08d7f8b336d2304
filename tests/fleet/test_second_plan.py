"""The plan against a second model of the day, goal after goal."""

from __future__ import annotations

import pytest
from invented_days import party_of, way_of
from odd_days import odd
from second_plan import least
from test_plan_outside import several

from seatplan.fleet.planning import planned
from seatplan.fleet.records import Accept, Booking, ClassAnswer, CopyUnit, Day, DayPlan, VehicleUnit

PLACES = ("home", "north", "south")
SHELL, BACK = ("shell", "2A", "belt"), ("booster", "4A", "belt")


def told(day: Day, plan: DayPlan) -> tuple[int, ...]:
    return (len(day.bookings) - plan.served, plan.below, plan.changes, plan.empty_minutes,
            max(plan.shares.values(), default=0))


def day_of(units: tuple[VehicleUnit, ...], copies: tuple[CopyUnit, ...], *bookings: Booking, **changed) -> Day:
    answers = {("van", party_of(0)): ClassAnswer("fits", (way_of(SHELL),)),
               ("van", party_of(1)): ClassAnswer("fits", (way_of(BACK),))}
    return Day("2026-11-30", bookings, units, copies, answers, {(a, b): 5 for a in PLACES for b in PLACES},
               {"belt": (3, 2)}, **{"rows": {"van": {"2A": 2, "4A": 4}}, **changed})


@pytest.mark.parametrize("seed", range(40))
def test_a_second_model_finds_no_better_plan(seed: int):
    day = odd(seed)
    plan = planned(day)
    assert plan.proven
    assert told(day, plan) == least(day)


@pytest.mark.whole
@pytest.mark.parametrize("seed", range(40, 300))
def test_a_second_model_finds_no_better_plan_on_many_days(seed: int):
    day = odd(seed)
    assert told(day, planned(day)) == least(day)


def test_offers_that_somebody_accepted_are_counted_alike():
    below = 0
    for seed in range(60):
        day = odd(seed)
        levels = {one.key: {way.level for unit in day.vehicles
                            for way in day.answers[unit.vehicle_type, one.party].ways} for one in day.bookings}
        accepted = tuple(Accept(key, (1,), "asked") for key, there in levels.items() if there == {(0,), (1,)})
        if len(accepted) < 3:
            continue
        day = Day(**{name: getattr(day, name) for name in Day.__dataclass_fields__} | {"accepted": accepted})
        plan = planned(day)
        below += plan.below
        assert told(day, plan) == least(day)
    assert below


def test_what_is_in_a_vehicle_that_stays_is_taken_out_before_another_uses_it():
    units = VehicleUnit("v0", "van", "home", (SHELL,), until=600), VehicleUnit("v1", "van", "home")
    installed = CopyUnit("c0", "shell", "home", "v0", position="2A")
    day = day_of(units, (installed,), Booking("b", 600, 630, "north", "south", party_of(0)))
    assert told(day, planned(day)) == least(day) == (0, 0, 2, 10, 500)
    loose = day_of(units, (installed, CopyUnit("c1", "shell", "home")), *day.bookings)
    plan = planned(loose)
    assert told(loose, plan) == least(loose) == (0, 0, 1, 10, 500)
    assert plan.routes["v1"][0].copies == ("c1",)
    # nobody is at a vehicle before its hours begin
    late = day_of((units[0]._replace(since=599, until=None), units[1]), (installed,), *day.bookings)
    assert planned(late).served == 1 - least(late)[0] == 0


def test_what_is_in_nobodys_way_stays_in():
    """A booster behind, left in while a shell is put in ahead of it, and both stay for what comes after."""
    units, bookings = (VehicleUnit("v0", "van", "home", (BACK,)),), tuple(
        Booking(f"b{n}", 600 + 35 * n, 630 + 35 * n, "north", "north", party_of(n % 2)) for n in range(4))
    copies = CopyUnit("c0", "booster", "home", "v0", position="4A"), CopyUnit("c1", "shell", "home")
    day = day_of(units, copies, *bookings)
    plan = planned(day)
    assert told(day, plan) == least(day) == (0, 0, 1, 25, 4000)
    assert {leg.load for leg in plan.routes["v0"]} == {(BACK, SHELL)}


def test_what_must_come_out_first_takes_its_time():
    unit = VehicleUnit("v0", "van", "home", (SHELL,), since=590)
    copies = CopyUnit("c0", "shell", "home", "v0", position="2A", usable=False), CopyUnit("c1", "shell", "home")
    for start, served in ((600, 1), (599, 0)):      # 2 minutes to take out, 3 to put in, 5 to drive
        day = day_of((unit,), copies, Booking("b", start, 630, "north", "south", party_of(0)))
        assert planned(day).served == 1 - least(day)[0] == served
    unknown = day_of((unit._replace(installed=(("shell", "2A", "lower-anchors"),)),), copies,
                     Booking("b", 700, 730, "north", "south", party_of(0)))
    assert planned(unknown).served == 1 - least(unknown)[0] == 0


@pytest.mark.whole
@pytest.mark.parametrize(("seed", "bookings"), [(1, 8), (2, 8)])
def test_larger_days_with_several_types_and_depots(seed: int, bookings: int):
    day = several(seed, bookings)
    assert told(day, planned(day)) == least(day, 3000)
