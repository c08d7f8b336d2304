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
DAY = date(2026, 11, 25)


@cache
def planned(name: str) -> Plan:
    """The plan of a bundled trip, with its best two arrangements."""
    trip = load_trip(name)
    return plan(trip, load_profile(trip.rules), DAY, top=2)
