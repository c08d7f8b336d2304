"""One trip in several vehicles: what fits in each, what changes for whom, and what does not go along."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from datetime import date
from typing import Literal

from seatplan.frozen import frozen
from seatplan.model import Trip
from seatplan.rules.finding import Finding
from seatplan.rules.profile import Profile

from .changes import Change, Rides, as_riding, changes, moved, rides_of, rides_today
from .kinds import Kinds
from .placements import Assignment
from .plan import plan, planned
from .ranking import safety
from .results import Arrangement, Plan, SqueezeShown
from .rowplans import TOO_TIGHT
from .solve import Solve
from .why import best_with

#: among so many of the best arrangements the one that keeps most the same is looked for
LOOKED_THROUGH = 400

#: seat: there is no such seat; rules: findings speak against it; way: only against how it was held; room: it fits in no
#: whole seating; others: nobody else can be seated around it; unknown: the search stopped at its limit
Reason = Literal["seat", "rules", "way", "room", "others", "unknown"]


@frozen
class Lost:
    """How one rider rode before, and why that does not go along into another vehicle."""

    rider: str
    was: Rides
    reason: Reason
    findings: tuple[Finding, ...] = ()
    squeeze: SqueezeShown | None = None


@frozen
class InVehicle:
    """One vehicle. ``changes`` are those of the best arrangement; ``keeps`` is one as safe in which fewer children
    move, the fewest of all, with its changes."""

    trip: Trip
    plan: Plan
    changes: tuple[Change, ...]
    keeps: Arrangement | None
    keeps_changes: tuple[Change, ...]
    lost: tuple[Lost, ...]

    @property
    def best(self) -> Arrangement | None:
        return self.plan.arrangements[0] if self.plan.arrangements else None


@frozen
class Comparison:
    """``held_against`` says what the changes are counted from: how they ride today, the best arrangement in the first
    vehicle, or nothing, where that has none."""

    trip: str
    profile: Profile
    day: date
    held_against: Literal["today", "first", "nothing"]
    rides: Mapping[str, Rides]
    vehicles: tuple[InVehicle, ...]


def compare(trips: Sequence[Trip], profile: Profile, today: date, *, own: int = 0, strict: bool = False,
            worst_case: bool = False) -> Comparison:
    """Solve a trip in several vehicles; ``trips`` holds it once for each, ``own`` is the number of its own vehicle.

    Where the trip says how they ride today, which is in its own vehicle, changes are counted from there; else from
    the best arrangement in the first vehicle.
    """
    plans = [plan(trip, profile, today, top=LOOKED_THROUGH, strict=strict, worst_case=worst_case) for trip in trips]
    first = plans[0]
    rides = _today(trips[own], plans[own])
    held_against: Literal["today", "first", "nothing"] = "today" if rides else "nothing"
    if not rides and first.arrangements:
        rides, held_against = rides_of(first.arrangements[0]), "first"
    solved = []
    for trip, found in zip(trips, plans, strict=True):
        if rides and trip.installed != as_riding(rides):
            like = trip.model_copy(update={"installed": as_riding(rides)})
            moving = planned(like, profile, today, top=LOOKED_THROUGH, strict=strict, worst_case=worst_case)
        else:
            moving = found
        best = found.arrangements[0] if found.arrangements else None
        keeps = _keeps_most(rides, moving, best)
        lost: tuple[Lost, ...] = ()
        if rides and not (held_against == "first" and found is first):
            solve = Solve(trip, profile, today, strict=strict, worst_case=worst_case)
            lost = tuple(_lost(rides, trip, solve))
        solved.append(InVehicle(trip, found, changes(rides, best) if best else (), keeps,
                                changes(rides, keeps) if keeps else (), lost))
    return Comparison(trips[0].trip, profile, first.day, held_against, rides, tuple(solved))


def _today(trip: Trip, found: Plan) -> dict[str, Rides]:
    """How they ride today; with mode and installation where the seat leaves only one of each."""
    rides = {}
    for name, here in rides_today(trip).items():
        cells = [c for c in found.choices.cells() if c.placement.rider.rider == name and not c.blocked
                 and c.placement.position.position == here.position
                 and (c.placement.restraint.restraint if c.placement.restraint else None) == here.restraint]
        # how it is set today nobody said
        rides[name] = replace(here, placement=replace(cells[0].placement, recline=None)) if len(cells) == 1 else here
    return rides


def _keeps_most(rides: Mapping[str, Rides], moving: Plan, best: Arrangement | None) -> Arrangement | None:
    """The first arrangement in which fewest children move among those that are as good as the best by all that is
    about safety; None where no fewer do than in the best."""
    if best is None:
        return None

    def moves(arrangement: Arrangement) -> int:
        return moved(changes(rides, arrangement))

    like = [a for a in moving.arrangements if safety(a.cost) == safety(best.cost)]
    keeps = min(like, key=moves, default=best)
    return keeps if moves(keeps) < moves(best) else None


def _lost(rides: Mapping[str, Rides], trip: Trip, solve: Solve) -> Iterable[Lost]:
    """Whatever of the old way of riding does not go along, rider by rider in order of the trip."""
    there = [position.position for position in solve.choices.positions]
    for r, rider in enumerate(trip.riders):
        was = rides.get(rider.rider)
        if was is None or rider.adult:
            continue
        if was.position not in there:
            yield Lost(rider.rider, was, "seat")
            continue
        own = [c for c in solve.choices.per_rider[r] if _is_same(c, was, solve.kinds, there)]
        found = _why_not(rider.rider, was, own, solve)
        if found is not None:
            yield found


def _is_same(choice: Assignment, was: Rides, kinds: Kinds, there: Sequence[str]) -> bool:
    held = kinds.index(was.restraint)
    return (there[choice.position] == was.position and choice.restraint == held and (held is None) == (
                was.restraint is None)
            and (was.placement is None or was.placement.mode_name == choice.mode))


def _why_not(rider: str, was: Rides, own: Sequence[Assignment], solve: Solve) -> Lost | None:
    """Why a rider cannot ride as before; None where that goes along."""
    cells = [cell for choice in own for cell in choice.all_cells]
    by = was.placement.by if was.placement is not None else None
    alike = [cell for cell in cells if cell.placement.by == by] or cells
    blocked = all(cell.blocked for cell in cells)
    if blocked or all(cell.blocked for cell in alike):
        nearest = min(alike, key=lambda cell: sum(_speaks_against(f, solve) for f in cell.findings), default=None)
        findings = tuple(f for f in nearest.findings if _speaks_against(f, solve)) if nearest else ()
        return Lost(rider, was, "rules" if blocked else "way", findings)
    found = [best_with(solve, choice) for choice in own if choice.cells]
    if any(level is not None and level < TOO_TIGHT for level, _ in found):
        return None
    if not solve.complete:
        return Lost(rider, was, "unknown")
    squeeze = next((squeeze for _, squeeze in found if squeeze is not None), None)
    return Lost(rider, was, "others" if squeeze is None else "room", (), squeeze)


def _speaks_against(finding: Finding, solve: Solve) -> bool:
    return finding.outcome == "block" or (solve.strict and finding.outcome == "unmeasured")
