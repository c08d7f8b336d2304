"""How much a second copy of everything costs: row plans and placements are counted, so no clock is needed.

``ratios.py`` measures the same in time.
"""

from __future__ import annotations

from loans import WANTED, loans

from seatplan.rules.load import load_profile
from seatplan.solver.solve import Solve


def test_two_of_each_cost_little_more_than_one() -> None:
    one, two = (Solve(trip, load_profile(trip.rules), trip.on) for trip in (loans(1), loans(2)) if trip.on)
    assert len(two.trip.restraints) == 20
    assert two.complete
    assert len(two.kinds.kinds()) == len(one.kinds.kinds()) == 10
    assert two.judged == one.judged
    assert one.work < two.work <= WANTED * one.work
