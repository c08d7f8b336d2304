"""How far a seat ahead comes is written at each position behind it; where two of them differ, the least counts."""

from __future__ import annotations

from copy import deepcopy
from random import Random

import pytest
from slow import SlowSolver
from solved import DAY
from worlds import trip_data, trip_of

from seatplan.rules.load import load_profile
from seatplan.rules.subjects import RuleContext
from seatplan.solver.lanes import Lanes


@pytest.mark.parametrize("travels", [(60, 150), (150, 60)])
def test_the_least_travel_counts(travels: tuple[int, int]) -> None:
    data = deepcopy(next(d for seed in range(100) if len((d := trip_data(Random(seed)))["vehicle"]["rows"]) == 2
                         and len(d["vehicle"]["rows"][1]["positions"]) > 1))
    data["vehicle"]["rows"][0]["slides"] = 0
    seat = data["vehicle"]["rows"][0]["positions"][0]["position"]
    data["front"] = {seat: {"forward_at_most": 400}}            # further than either travel
    for position, travel in zip(data["vehicle"]["rows"][1]["positions"], travels, strict=False):
        position["ahead"] = {"seat": seat, "travel": travel, "gap": [[0, 600]]}
    trip = trip_of(data)
    world = RuleContext(trip, trip.vehicle, load_profile(trip.rules), DAY)
    assert -Lanes(world).limits([])[seat].mm == 60
    assert SlowSolver(trip, world.profile, DAY).lengthwise.travel[seat] == 60
