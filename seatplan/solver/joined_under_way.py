"""What is under way once two copies of a trip are one: what is done is done, and what no longer fits is given up.

It is told from what both copies noted, by the plan that this leaves, so whichever copy comes first makes no difference.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date
from typing import Literal

from seatplan.frozen import frozen
from seatplan.model import Trip, UnderWay
from seatplan.rules.profile import Profile

from .plan import best_of, planned
from .under_way import as_under_way, is_under_way, next_after, state_of

#: ``same``: in both; ``first`` or ``second``: the other one was given up, or does not go with all that is noted;
#: ``anew``: so it is of both, and another one is gone on with, as after a try; ``done``: all of it is in and holds;
#: ``dropped``: whether one was given up, or which, cannot be told; ``none-fits``: nothing fits
Settled = Literal["same", "first", "second", "anew", "done", "dropped", "none-fits"]


@frozen
class JoinedUnderWay:
    """What is under way, and how that was settled."""

    under_way: Mapping[str, UnderWay]
    settled: Settled


def joined_under_way(facts: Trip, profile: Profile, day: date, one: Trip, other: Trip) -> JoinedUnderWay:
    """``facts``: the trip with what both copies noted; ``one`` and ``other``: each copy."""
    first, second = one.under_way, other.under_way
    both = [aims for aims in (first, second) if aims]
    if any(_all_holds(facts, profile, day, aims) for aims in both):
        return JoinedUnderWay({}, "done")
    if first == second:
        return JoinedUnderWay(first, "same")
    if len(both) < 2:
        return JoinedUnderWay({}, "dropped")
    keep = {rider: aims[rider] for aims in both for rider in _holding(facts, profile, day, aims)}
    going: dict[Settled, Mapping[str, UnderWay]] = {}
    if not _was_given_up(first, other, profile, day):
        going["first"] = first
    if not _was_given_up(second, one, profile, day):
        going["second"] = second
    fitting = [word for word, aims in going.items()
               if keep.items() <= aims.items() and _fits(facts, profile, day, aims)]
    if len(fitting) == 1:
        return JoinedUnderWay(going[fitting[0]], fitting[0])
    return JoinedUnderWay({}, "dropped") if fitting else _anew(facts, profile, day, keep, both)


def _anew(facts: Trip, profile: Profile, day: date, keep: Mapping[str, UnderWay],
          given_up: Sequence[Mapping[str, UnderWay]]) -> JoinedUnderWay:
    """The best arrangement that keeps what is in and holds, unless it was given up."""
    plan = planned(_with(facts, keep), profile, day, top=1)
    if not plan.arrangements:
        return JoinedUnderWay({}, "none-fits")
    aims = as_under_way(plan, plan.arrangements[0])
    if any(is_under_way(plan.arrangements[0], gone) for gone in given_up):
        return JoinedUnderWay({}, "dropped")
    return JoinedUnderWay({}, "done") if _all_holds(facts, profile, day, aims) else JoinedUnderWay(aims, "anew")


def _was_given_up(aims: Mapping[str, UnderWay], copy: Trip, profile: Profile, day: date) -> bool:
    """Whether a copy has under way what giving an arrangement up leaves: the one that comes after it."""
    plan = planned(_with(copy, aims), profile, day, top=1)
    after = next_after(plan) if plan.arrangements and is_under_way(plan.arrangements[0], aims) else None
    return after is not None and is_under_way(after, copy.under_way)


def _with(trip: Trip, aims: Mapping[str, UnderWay]) -> Trip:
    return trip.model_copy(update={"under_way": dict(aims)})


def _holding(trip: Trip, profile: Profile, day: date, aims: Mapping[str, UnderWay]) -> tuple[str, ...]:
    """Who of an arrangement is in and holds."""
    state = state_of(_with(trip, aims), profile, day)
    return () if state is None else state.holding


def _all_holds(trip: Trip, profile: Profile, day: date, aims: Mapping[str, UnderWay]) -> bool:
    state = state_of(_with(trip, aims), profile, day)
    return state is not None and not state.waiting


def _fits(trip: Trip, profile: Profile, day: date, aims: Mapping[str, UnderWay]) -> bool:
    """Whether an arrangement can still be, with all that is noted."""
    return any(is_under_way(best, aims) for best in best_of(_with(trip, aims), profile, day))
