"""The planner against the slow, obvious solver and the checker, on some hundred random trips."""

from __future__ import annotations

from collections import Counter
from random import Random

import pytest
from compared import same_everywhere
from half_installed import half_installed
from inequalities import LEFT_DOOR, needs_of, room
from known import person_of
from slow import SlowSolver
from solved import DAY, whole_plan
from worlds import drawn, random_trip

from seatplan.rules.load import load_profile
from seatplan.views.plan_json import plan_json

#: seeds of one test each; a failing one is named in the test's id
_BATCHES = [range(start, start + 20) for start in range(0, 300, 20)]


@pytest.mark.parametrize("seeds", _BATCHES, ids=lambda seeds: f"{seeds[0]}-{seeds[-1]}")
def test_same_as_the_slow_solver(seeds: range) -> None:
    for seed in seeds:
        trip = drawn(seed)
        same_everywhere(trip, seed)


@pytest.mark.parametrize("seeds", _BATCHES[::2], ids=lambda seeds: f"{seeds[0]}-{seeds[-1]}")
def test_what_is_under_way_comes_first_for_the_slow_solver_too(seeds: range) -> None:
    """Where it can be; whether it can, who holds and who is next is told alike."""
    for seed in seeds:
        same_everywhere(half_installed(seed), seed)


def test_the_half_installed_trips_have_something_of_everything() -> None:
    seen: Counter[str] = Counter()
    for seed in range(160):
        trip = half_installed(seed)
        told = plan_json(whole_plan(trip))["under_way"] or []
        seen.update({key for one in told for key in ("holds", "next", "possible") if one[key]})
        seen["impossible"] += any(not one["possible"] for one in told)
        seen["installed, and does not hold"] += any(one["rider"] in trip.installed and not one["holds"] for one in told)
        seen["refused together"] += any(not one["possible"] for one in told) and any(
            len(finding["riders"]) > 1 for one in told for finding in one["refused_by"])
        seen["several under way, possible"] += len(trip.under_way) > 1 and any(one["possible"] for one in told)
    assert len(seen) == 7, seen
    assert min(seen.values()) >= 2, seen


def test_the_random_trips_have_something_of_everything() -> None:
    """A generator that only made hopeless trips would let any solver pass."""
    seen: Counter[str] = Counter()
    for seed in range(200):
        solved = whole_plan(drawn(seed))
        counts = {"valid": solved.tally.valid, "squeeze": solved.tally.squeeze, **solved.tally.contests,
                  **solved.tally.sure, "shortage": solved.shortage}
        seen.update(what for what, found in counts.items() if found)
        ways = {(s.placement.mode_name, s.placement.by) for a in solved.arrangements for s in a.seats}
        seen.update({word for way in ways for word in way})
        seen["beyond use"] += any(a.ahead is not None and bool(a.ahead.beyond) for a in solved.arrangements)
    assert min(seen[what] for what in ("valid", "squeeze", "position", "restraint", "together", "fits", "close",
                                       "likely", "unmeasured", "shortage", "impact-shield", "two-belts",
                                       "built-in", "beyond use")) >= 3, seen


def test_rooms_are_those_of_a_linear_program() -> None:
    """Fit and spare of random rows, against scipy's linear programming on the same inequalities."""
    from scipy.optimize import linprog

    asked = 0
    for seed in range(60):
        trip = random_trip(Random(seed))
        solver = SlowSolver(trip, load_profile(trip.rules), DAY)
        for arrangement in [*whole_plan(trip).arrangements[:2]]:
            for shown in arrangement.rows:
                bodies = solver.bodies(shown.row, [seat.placement for seat in shown.seats])
                needs = needs_of(shown.row, bodies, solver.play)
                points = sorted({point for need in needs for point in (need.start, need.end)} - {LEFT_DOOR})
                rows, least = [], []
                for need in needs:
                    line = [0.0] * (len(points) + 1)
                    for point, sign in ((need.start, 1.0), (need.end, -1.0)):
                        if point != LEFT_DOOR:
                            line[points.index(point)] += sign
                    line[-1] = 1.0 if need.stretch else 0.0
                    rows.append(line)
                    least.append(-need.need / 2)
                most_spare = [0.0] * len(points) + [-1.0]
                found = linprog(most_spare, A_ub=rows, b_ub=least, bounds=[(None, None)] * len(most_spare))
                if found.status == 3:
                    assert shown.spare_mm is None
                    assert room(needs)[1] is None
                else:
                    assert found.status == 0
                    assert shown.spare_mm == pytest.approx(-found.fun, abs=1e-6)
                asked += 1
    assert asked > 40


def test_an_estimated_breadth_is_a_band() -> None:
    """The slow solver's bodies get wider by the band, so that a close fit can be told from a sure one."""
    from seatplan.model import Rider

    adult = Rider.model_validate({"rider": "Ada", "adult": True})
    known = person_of(adult)
    assert known.hips is not None
    assert known.hips_spread > 0
    assert person_of(adult.model_copy(update={"hips": 400})).hips_spread == 0
