"""``why`` and ``arrange`` agree: a mode is part of an arrangement exactly where ``why`` says so."""

from __future__ import annotations

from random import Random

from solved import DAY, seatings_of, whole_plan
from worlds import random_trip

from seatplan.rules.load import load_profile
from seatplan.solver.rowplans import TOO_TIGHT
from seatplan.solver.why import why


def test_a_mode_has_seatings_where_why_says_so() -> None:
    told_yes = told_no = 0
    for seed in range(80):
        trip = random_trip(Random(seed))
        seatings = seatings_of(whole_plan(trip))
        for index, rider in enumerate(trip.riders):
            arranged = {seating[index] for seating in seatings}
            for mode in why(trip, load_profile(trip.rules), DAY, rider.rider).modes:
                told = mode.level is not None and mode.level < TOO_TIGHT
                assert told == ((mode.position, mode.restraint, mode.mode) in arranged), (seed, rider.rider, mode)
                told_yes, told_no = told_yes + told, told_no + (not told)
    assert min(told_yes, told_no) > 50
