"""Ways to look at a plan that several tests share."""

from __future__ import annotations

from datetime import date

from checker import Checker, Json
from known import person_of, play_of
from lengthwise_slow import need_of
from likes import kinds_of
from slow import Seating

from seatplan.model import Trip
from seatplan.rules.load import load_profile
from seatplan.rules.subjects import Placement, RuleContext
from seatplan.solver.aboard import with_built_in
from seatplan.solver.assemble import assemble
from seatplan.solver.plan import planned as plan  # drawn trips need not be true
from seatplan.solver.results import Arrangement, Plan
from seatplan.solver.solve import Solve
from seatplan.views.arrangement_json import placement_json
from seatplan.views.plan_json import plan_json

DAY = date(2026, 11, 25)


def whole_plan(trip: Trip, *, strict: bool = False, worst_case: bool = False) -> Plan:
    """The plan with every arrangement."""
    return plan(trip, load_profile(trip.rules), DAY, top=None, strict=strict, worst_case=worst_case)


def best(solve: Solve) -> Arrangement | None:
    """The best arrangement of a solve; None where there is none."""
    found = next(solve.ranked(), None)
    return None if found is None else assemble(solve, 1, found, None)


def seating_of(trip: Trip, arrangement: Arrangement) -> Seating:
    """(position, restraint, mode) of every rider, in the order of the trip; a restraint by the name of its kind."""
    kinds = kinds_of(with_built_in(trip))
    by_name = {seat.placement.rider.rider: seat.placement for seat in arrangement.seats}
    seated = [by_name[rider.rider] for rider in trip.riders]
    return tuple((p.position.position, kinds[p.restraint.restraint] if p.restraint else None, p.mode_name)
                 for p in seated)


def seatings_of(solved: Plan) -> dict[Seating, int]:
    """Every arrangement's seating with its cost."""
    return {seating_of(solved.trip, arrangement): arrangement.cost for arrangement in solved.arrangements}


def named_seatings(solved: Plan) -> set[frozenset[tuple[str, str, str | None, str]]]:
    """The valid seatings by names alone, whatever the order of riders and restraints."""
    names = [rider.rider for rider in solved.trip.riders]
    return {frozenset((name, *place) for name, place in zip(names, seating, strict=True))
            for seating in seatings_of(solved)}


_KEY = ("rider", "position", "restraint", "mode", "by", "base", "connectors", "support_leg")


def _key(placement: Placement) -> tuple[object, ...]:
    told = placement_json(placement)
    return tuple(told[field] for field in _KEY)


def problems_of(solved: Plan) -> list[str]:
    """What the checker finds wrong with a plan."""
    profile = solved.profile
    world = RuleContext(solved.trip, solved.trip.vehicle, profile, solved.day, solved.options)
    shown = {_key(p): p for a in solved.arrangements for p in (seat.placement for seat in a.seats)}

    def room_ahead(told: Json) -> int | None:
        placement = shown[tuple(told[field] for field in _KEY)]
        braced = placement.mode is not None and placement.mode.touch_ahead == "must"
        known = need_of(placement, world)
        need = None if known is None else known[0]
        return need if need is not None and (need > 0 or braced) else None

    checker = Checker(solved.trip, plan_json(solved), person_of, play_of(profile), profile.limit("belts_overlap"),
                      room_ahead)
    return checker.problems()
