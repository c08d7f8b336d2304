"""The unranked enumeration against the tally and the ranked list."""

from __future__ import annotations

import pytest

from seatplan import arrange, load_trip, seatings
from seatplan.files.library import names

SMALL = [name for name in names("trip") if name != "nine-seat-shuttle"]


@pytest.mark.parametrize("strict", [False, True])
@pytest.mark.parametrize("name", SMALL)
def test_as_many_as_the_tally_and_the_same_as_the_list(name: str, strict: bool) -> None:
    trip = load_trip(name)
    plan = arrange(trip, top=None, strict=strict)
    listed = {
        frozenset((p.rider.rider, p.position.position, p.restraint.restraint if p.restraint else None, p.mode_name)
                  for p in (seat.placement for seat in arrangement.seats))
        for arrangement in plan.arrangements
    }
    found = [frozenset((rider, *seat) for rider, seat in seating.items()) for seating in seatings(trip, strict=strict)]
    assert len(found) == len(set(found)) == plan.tally.valid
    assert set(found) == listed
