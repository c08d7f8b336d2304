"""What is kept of one trip never answers for another in which alike names and blank modes are estimated otherwise."""

from __future__ import annotations

from random import Random
from typing import Any

import pytest
from short_and_whole import DAY, drawn

from seatplan.files.load import load_trip
from seatplan.model import Approval, Restraint, Rider, Trip
from seatplan.model.kinds import renewed
from seatplan.rules.load import load_profile
from seatplan.solver.judge import Judge
from seatplan.solver.kinds import alike
from seatplan.solver.placements import all_choices
from seatplan.solver.plan import planned
from seatplan.store import Store

PROFILE = load_profile("us")
#: kinds with modes in common, which are the same as long as nobody measured them
_OTHER: dict[str | None, Any] = {"infant-carrier": "rear-and-forward", "harness-to-booster": "all-stages",
                                 "all-stages": "rear-and-forward", "rear-and-forward": "all-stages"}
BUNDLED = [f"first-answer-{name}" for name in ("roomy", "middling", "tight")]


def _base(name: str | int) -> Trip:
    return load_trip(name) if isinstance(name, str) else drawn(Random(name), name % 2 == 1).short


def _otherwise(trip: Trip, rng: Random) -> Trip:
    """The same names, with something that only an estimate rests on told otherwise; the modes stay as they are, but
    for a width."""
    def restraint(one: Restraint) -> Restraint:
        update: dict[str, Any] = rng.choice((
            {"level_adjusts": rng.choice((None, False))}, {"width": rng.randint(380, 520)}, {"in_order": None},
            {"kind": _OTHER.get(one.kind, one.kind)},
            {"approval": Approval(standard="FMVSS 213", fixtures=[rng.choice(("R1", "R3", "F2", "B3"))])}))
        other = one.model_copy(update=update)
        return renewed(other) if "width" in update else other

    def rider(one: Rider) -> Rider:
        return one.model_copy(update=rng.choice((
            {}, {"sex": "girl"}, {"height": None}, {"mass": None},
            {} if one.age is None else {"age": one.age + rng.choice((1, 7))})))

    vehicle = trip.vehicle
    if rng.random() < 0.3:
        vehicle = vehicle.model_copy(update={"not_measured": None})
    return trip.model_copy(update={"riders": [*map(rider, trip.riders)], "vehicle": vehicle,
                                   "restraints": [*map(restraint, trip.restraints)]})


def answers(trip: Trip, store: Store) -> tuple[object, ...]:
    """What is said of all arrangements together, of the best few, and of every placement."""
    day = trip.on or DAY
    plan = planned(trip, PROFILE, day, top=4, store=store)
    judge = Judge(trip, PROFILE, day, store=store)
    cells = all_choices(judge.trip, judge.runner, alike(judge.trip)).cells()
    return (plan.verdict, plan.tally.sure,
            [(a.verdict, [(s.placement.rider.rider, s.placement.position.position, s.placement.mode_name,
                           s.placement.by) for s in a.seats]) for a in plan.arrangements],
            [(cell.blocked, cell.unmeasured, cell.close, cell.estimates,
              [(f.rule, f.outcome, str(f.result.measured)) for f in cell.findings]) for cell in cells])


@pytest.mark.parametrize("name", [*BUNDLED, 1, 2, 4])
def test_one_trip_after_another_in_one_store(name: str | int) -> None:
    trip, shared = _base(name), Store()
    alone = answers(trip, Store())
    assert answers(trip, shared) == alone
    for seed in range(2):
        other = _otherwise(trip, Random(f"{name} {seed}"))
        assert answers(other, shared) == answers(other, Store())
        assert answers(trip, shared) == alone
