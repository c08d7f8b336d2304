"""What a try at the car changes: what becomes of that placement, how many seatings are left, what to try next."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from datetime import date
from typing import Literal

from seatplan.frozen import frozen
from seatplan.model import Tried, Trip
from seatplan.rules.profile import Profile
from seatplan.rules.tries import held_by

from .changes import Change, Rides, changes, rides_of, rides_today
from .judged_try import JudgedTry, is_tried, judge_try
from .placements import JudgedPlacement
from .plan import plan, planned
from .results import Arrangement, Plan

#: how many of the best arrangements are looked through for the one that was being installed
LOOKED_THROUGH = 100
#: what changes are counted from. under way: the arrangement that was being installed, as the trip notes it; today: how
#: they ride today. Of the arrangements before the try, proposed: the best, which has what was tried; likely: the best
#: that has it; best: the best, and none has it
Base = Literal["under way", "today", "proposed", "likely", "best", "nothing"]
#: whether an arrangement has what was tried: just like that, held in another way that it could be exchanged for, or not
Has = Literal["as tried", "otherwise held", "no"]


@frozen
class AfterTry:
    """``base`` says what ``changes`` are counted from. ``next`` is the best of the trip as it is now; None where
    nothing is left. ``has`` says whether it has what was tried. ``today`` is who rides otherwise today than in
    ``next``, where changes are not counted from there."""

    tried: Tried
    judged: JudgedTry
    was: Plan
    now: Plan
    base: Base
    next: Arrangement | None
    has: Has
    changes: tuple[Change, ...]
    today: tuple[Change, ...]


def before_try(before: Trip, tried: Tried, profile: Profile, today: date) -> Plan:
    """The trip without what was tried, with as many arrangements as are looked through for what was proposed."""
    told = before.under_way or any(_there(r, tried) for r in rides_today(before).values())
    # whichever of like restraints was proposed, this one was tried
    return plan(before, profile, today, top=1 if told else LOOKED_THROUGH, each_copy=True)


def after_try(before: Trip, after: Trip, tried: Tried, profile: Profile, today: date, was: Plan | None = None,
              now: Plan | None = None) -> AfterTry:
    """Solve the trip without and with what was tried; ``was`` and ``now`` are its plans, where they are known."""
    theirs = rides_today(before)
    rider = tried.rider or next((name for name, r in theirs.items() if _there(r, tried)), None)
    was = was or before_try(before, tried, profile, today)
    base, rides = _counted_from(was, theirs, tried)
    now = now or planned(after, profile, today, top=1)
    judged = judge_try([cell for cell in now.choices.cells() if is_tried(cell, tried)], tried, rider)
    if not now.arrangements:
        return AfterTry(tried, judged, was, now, base, None, "no", (), ())
    best = now.arrangements[0]
    otherwise = () if base in ("today", "under way") else tuple(c for c in changes(theirs, best) if c.what)
    return AfterTry(tried, judged, was, now, base, best, _has(best, tried), changes(rides, best), otherwise)


def _there(rides: Rides, tried: Tried) -> bool:
    return rides.restraint == tried.restraint and rides.position == tried.position


def _has(arrangement: Arrangement, tried: Tried) -> Has:
    if any(is_tried(seat.cell, tried) for seat in arrangement.seats):
        return "as tried"
    return "otherwise held" if _exchanged(arrangement, tried) else "no"


def _exchanged(arrangement: Arrangement, tried: Tried) -> JudgedPlacement | None:
    """What was tried, where an arrangement has it held in another way and that would do as well."""
    return next((other for seat in arrangement.seats for other in seat.alternatives if is_tried(other, tried)), None)


def _counted_from(was: Plan, today: Mapping[str, Rides], tried: Tried) -> tuple[Base, Mapping[str, Rides]]:
    """What changes are counted from: what was being installed, as far as that can be told.

    How they ride today, where that has the restraint on that seat; else the best arrangement before the try, if it
    has what was tried, for that is the one that was proposed. Any other would be a guess, the more so where an entry
    names no mode: then again how they ride today, and only where that is not noted the best arrangement that has it.
    """
    if was.trip.under_way and was.arrangements:
        return "under way", rides_of(was.arrangements[0])
    if any(_there(r, tried) for r in today.values()):
        return "today", {name: replace(r, by=held_by(tried)) if _there(r, tried) else r for name, r in today.items()}
    having = next((a for a in was.arrangements if _has(a, tried) != "no"), None)
    if having is not None and having is was.arrangements[0]:
        return "proposed", _being_installed(having, tried)
    if today:
        return "today", today
    if having is not None:
        return "likely", _being_installed(having, tried)
    return ("best", rides_of(was.arrangements[0])) if was.arrangements else ("nothing", {})


def _being_installed(arrangement: Arrangement, tried: Tried) -> Mapping[str, Rides]:
    """How they ride in an arrangement, with the restraint held as it was tried."""
    rides, other = rides_of(arrangement), _exchanged(arrangement, tried)
    if _has(arrangement, tried) == "otherwise held" and other is not None:
        name = other.placement.rider.rider
        rides[name] = replace(rides[name], placement=other.placement)
    return rides
