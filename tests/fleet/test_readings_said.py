"""Which reading would settle a booking, in words for a dispatcher."""

from __future__ import annotations

import pytest

from seatplan.fleet.records import Member, Party
from seatplan.views.fleet.parties import reading_said

PARTY = Party((Member(months=(60, 60)), Member(adult=True)))


@pytest.mark.parametrize("value", ["464", "{'left': 25, 'right': 1275}", "[330, 670]", ""])
def test_of_a_vehicle_no_wished_value_is_told(value: str):
    """It is measured: whoever reads a number that would do might write it down."""
    assert reading_said(("row.cushion.length", -1, value), PARTY) == "cushion length of the vehicle"


def test_of_a_rider_a_value_that_would_do_is_told():
    assert reading_said(("rider.height", 1, "1620"), PARTY) == "height of the adult (such as 1,620 mm)"
