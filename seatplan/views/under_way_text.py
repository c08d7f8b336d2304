"""The arrangement that is being installed, in a line: who rides in what, how much of it holds, what comes next."""

from __future__ import annotations

from datetime import date

from seatplan.model import Trip, UnderWay
from seatplan.rules.profile import Profile
from seatplan.solver.results import Arrangement, Plan
from seatplan.solver.under_way import State, is_under_way, state_of

from .content import Block, Paragraph, group
from .say import t
from .seated_text import otherwise


def under_way(trip: Trip, profile: Profile, day: date) -> Paragraph | None:
    """The line for a trip; None where nothing is under way."""
    state = state_of(trip, profile, day)
    return None if state is None else Paragraph(state_told(state))


def under_way_in(plan: Plan) -> Block | None:
    """The same for a plan: also where what is under way cannot be any more, and what the best would be otherwise."""
    state = state_of(plan.trip, plan.profile, plan.day)
    if state is None:
        return None
    best = plan.arrangements[0] if plan.arrangements else None
    gone = best is not None and not is_under_way(best, plan.trip.under_way)
    return group(Paragraph(state_told(state)), Paragraph(t(
        "It cannot be like that any more; what is nearest to it comes first. `--give-up` of `seatplan record` goes "
        "on to the next.")) if gone else None, by_order_told(plan.by_order, best))


def by_order_told(other: Arrangement | None, best: Arrangement | None) -> Paragraph | None:
    """What the best by the order would be; None where that is the one under way."""
    if other is None or best is None:
        return None
    return Paragraph(t("By the order alone the best would be: {who}.", who=otherwise(other, best)))


def state_told(state: State) -> str:
    """``Under way: Wren in Nook on 2C, Oslo in Lattice on 2L (1 of 2 hold); next: Oslo in Lattice on 2L.``"""
    seats = ", ".join(_seat(rider, aim) for rider, aim in state.seats.items())
    held, n = len(state.holding), len(state.seats)
    if not state.waiting:
        return t("Under way: {seats}; all of it holds.", seats=seats)
    rider = state.waiting[0]
    return t("Under way: {seats} ({held} of {n} hold); next: {next}.", seats=seats, held=held, n=n,
             next=_seat(rider, state.seats[rider]))


def _seat(rider: str, aim: UnderWay) -> str:
    return t("{rider} in {restraint} on {position}", rider=rider, restraint=aim.restraint, position=aim.position)
