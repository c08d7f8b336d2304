"""What bounds a vehicle's day beside its bookings: nobody who installs, hours, travel and holding that nobody knows."""

from __future__ import annotations

from dataclasses import replace

import pytest
from invented_days import invented, party_of, way_of
from test_plan_optimum import check

from seatplan.fleet.planning import planned
from seatplan.fleet.records import Booking, ClassAnswer, CopyUnit, Day, VehicleUnit

SHELL, FAR = ("shell", "2A", "belt"), ("booster", "4A", "belt")
PLACES = ("home", "north", "south")


def day_of(unit: VehicleUnit, *copies: CopyUnit, bookings: int = 1) -> Day:
    """Bookings with one child in a shell at 2A, one after the other."""
    return Day("2026-11-30", tuple(Booking(f"b{n}", 600 + 60 * n, 630 + 60 * n, "north", "south", party_of(0))
                                   for n in range(bookings)), (unit,), copies,
               {("van", party_of(0)): ClassAnswer("fits", (way_of(SHELL),))},
               {(a, b): 5 for a in PLACES for b in PLACES}, {"belt": (3, 2), "lower-anchors": (3, 2)},
               {"van": {"2A": 2, "2C": 2, "3A": 3, "4A": 4}})


def copy_in(piece: tuple[str, str, str], key: str = "c") -> CopyUnit:
    return CopyUnit(key, piece[0], "home", "v", position=piece[1])


@pytest.mark.parametrize(("installed", "served"), [
    ((), 0), ((SHELL,), 1), ((SHELL, FAR), 1),                      # two rows apart: in nobody's way
    ((SHELL, ("booster", "3A", "belt")), 0), ((SHELL, ("booster", "2C", "belt")), 0),
    ((("shell", "2A", "lower-anchors"),), 0)])
def test_where_nobody_installs_a_vehicle_keeps_what_it_has(installed, served: int):
    copies = [copy_in(piece, f"c{n}") for n, piece in enumerate(installed)] or [CopyUnit("c", "shell", "home")]
    day = day_of(VehicleUnit("v", "van", "home", installed), *copies)
    plan = planned(replace(day, nobody_installs=frozenset({"home"})))
    assert plan.served == served
    assert plan.changes == 0
    assert planned(day).served == 1
    unknown = planned(replace(day, rows={}, nobody_installs=frozenset({"home"})))
    assert unknown.served == (installed == (SHELL,))


@pytest.mark.parametrize(("since", "until", "served"), [
    (None, None, 1), (592, None, 1), (593, None, 0), (None, 635, 1), (None, 634, 0)])
def test_a_vehicle_keeps_to_its_hours(since, until, served: int):
    # 3 minutes to put the shell in, 5 to drive there; 5 to drive back
    day = day_of(VehicleUnit("v", "van", "home", (), since, until), CopyUnit("c", "shell", "home"))
    assert planned(day).served == served


def test_a_copy_that_is_recalled_comes_out_first():
    day = day_of(VehicleUnit("v", "van", "home", (SHELL,)), copy_in(SHELL)._replace(usable=False),
                 CopyUnit("d", "shell", "home"))
    plan = planned(day)
    assert (plan.served, plan.changes, plan.routes["v"][0].copies) == (1, 2, ("d",))
    assert planned(replace(day, copies=(day.copies[1],))).changes == 2      # of the one installed nothing is known


def test_what_is_not_known_is_not_done():
    day = day_of(VehicleUnit("v", "van", "home"), CopyUnit("c", "shell", "home"))
    for pair in (("home", "north"), ("south", "home")):
        missing = {key: minutes for key, minutes in day.travel.items() if key != pair}
        plan = planned(replace(day, travel=missing))
        assert plan.unserved["b0"].why == "out of reach"
    assert planned(replace(day, holding={})).served == 0


def test_what_stays_aboard_is_the_same_copy_all_day():
    day = day_of(VehicleUnit("v", "van", "home", (SHELL,)), CopyUnit("a", "shell", "home"), copy_in(SHELL), bookings=4)
    plan = planned(day)
    assert {leg.copies for leg in plan.routes["v"]} == {("c",)}
    assert plan.changes == 0


@pytest.mark.whole
def test_a_city_is_planned_in_minutes():
    import time

    for vehicles, copies in ((150, 120), (90, 40)):
        day = invented(1, bookings=2000, vehicles=vehicles, depots=3, types=4, kinds=3, parties=25, copies=copies,
                       span=1000)
        begin = time.process_time()
        plan = planned(day)
        print(f"{vehicles} vehicles, {copies} copies: served {plan.served} of at most {plan.bound}, gap {plan.gap}, "
              f"{time.process_time() - begin:.0f} s of CPU")
        check(day, plan)
        assert plan.gap >= 0
