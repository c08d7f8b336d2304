"""How much an outlook costs, beside plain solves of the same trip: whole solves are counted, so no clock is needed.

``ratios.py`` measures the same in time.
"""

from __future__ import annotations

from datetime import date

from seatplan import load_trip
from seatplan.growth.outlook import outlook
from seatplan.rules.load import load_profile

#: plain solves that an event may cost
WANTED = 15


def test_an_event_costs_few_solves() -> None:
    trip = load_trip("two-children-one-tether")
    assert trip.on is not None
    found = outlook(trip, load_profile(trip.rules), trip.on, date(2030, 11, 30))
    assert len(found.events) > 5
    assert found.solves <= WANTED * len(found.events)
