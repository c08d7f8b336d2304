"""Plans of the bundled trips, worked out once for all tests of views."""

from __future__ import annotations

from datetime import date
from functools import cache

from seatplan.files.library import names
from seatplan.files.load import load_trip
from seatplan.rules.load import load_profile
from seatplan.solver.plan import plan
from seatplan.solver.results import Plan

TRIPS = names("trip")
#: trips that nothing fits, and those whose rows are too narrow for something: by name, so that nothing has to be solved
#: to know which tests there are; `test_plan_text.py` holds both lists against the plans
REFUSED = ("three-boosters-two-belts", "three-too-wide", "two-children-one-tether")
SQUEEZED = ("boosters-by-the-handbook", "borrowed-bars", "first-answer-tight", "i-size-family", "school-run-second-car",
            "slide-decides", "sliding-row-outing", "tall-driver", "taxi-ride", "third-child-on-the-way",
            "three-across-school-run", "three-too-wide", "twins-small-hatch")
FITTING = [name for name in TRIPS if name not in REFUSED]
#: those of which everything that is drawn was measured
MEASURED = [name for name in FITTING if load_trip(name).vehicle.not_measured is None]
DAY = date(2026, 11, 25)


@cache
def planned(name: str) -> Plan:
    """The plan of a bundled trip, with its best two arrangements."""
    trip = load_trip(name)
    return plan(trip, load_profile(trip.rules), DAY, top=2)
