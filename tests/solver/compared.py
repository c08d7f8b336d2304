"""The planner's answer held against the slow, obvious solver's, number by number."""

from __future__ import annotations

from slow import Answer, SlowSolver
from solved import DAY, named_seatings, problems_of, seatings_of, whole_plan

from seatplan.model import Trip
from seatplan.rules.load import load_profile
from seatplan.solver.results import Plan
from seatplan.solver.seatings import every_seating
from seatplan.solver.solve import Solve


def slowly(trip: Trip, strict: bool, worst_case: bool) -> Answer:
    return SlowSolver(trip, load_profile(trip.rules), DAY, strict=strict, worst_case=worst_case).answer()


def unranked(trip: Trip, strict: bool, worst_case: bool) -> list[frozenset[tuple[str, str, str | None, str]]]:
    """Every valid seating by names, counted one by one; a drawn trip need not be true, so no file could hold it."""
    solve = Solve(trip, load_profile(trip.rules), DAY, strict=strict, worst_case=worst_case)
    return [
        frozenset((trip.riders[c.rider].rider, solve.choices.positions[c.position].position,
                   None if c.restraint is None else solve.trip.restraints[c.restraint].restraint, c.mode)
                  for c in seating)
        for seating in every_seating(solve)]


def compare(solved: Plan, slow: Answer, seed: int) -> None:
    tally = solved.tally
    assert tally.complete
    assert tally.seatings == slow.seatings, seed
    assert tally.placement == slow.placement, seed
    assert tally.squeeze == slow.squeeze, seed
    assert tally.contests == {what: slow.contests[what] for what in ("position", "restraint", "together")}, seed
    assert tally.contest == sum(slow.contests.values()), seed
    assert tally.valid == len(slow.cost), seed
    assert tally.sure == slow.sure, seed
    assert len(solved.arrangements) == len(slow.cost), seed
    assert seatings_of(solved) == slow.cost, seed
    costs = [arrangement.cost for arrangement in solved.arrangements]
    assert costs == sorted(costs), seed
    riders, positions = solved.trip.riders, solved.choices.positions
    told = {(r, positions[p].position): (square.seatings, square.level)
            for (r, p), square in solved.squares.items() if square.seatings}
    assert told == slow.squares(), seed
    allowed = {(riders[r].rider, positions[p].position) for (r, p), square in solved.squares.items() if square.allowed}
    assert allowed == slow.allowed, seed


def same_everywhere(trip: Trip, seed: int) -> None:
    """Hold search, slow planner, the unranked count and the checker against each other, under options by the seed."""
    strict, worst_case = seed % 4 == 0, seed % 3 == 0
    solved = whole_plan(trip, strict=strict, worst_case=worst_case)
    compare(solved, slowly(trip, strict, worst_case), seed)
    every = unranked(trip, strict, worst_case)
    assert len(every) == solved.tally.valid, seed
    assert set(every) == named_seatings(solved), seed
    assert problems_of(solved) == [], seed
