"""The arrangement that is being installed, in a line: who rides in what, how much of it holds, what comes next."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from datetime import date
from typing import TYPE_CHECKING

from seatplan.model import Trip, UnderWay
from seatplan.rules.options import USUAL, Options
from seatplan.rules.profile import Profile
from seatplan.solver.results import Arrangement, Plan

from .content import Block, Paragraph, group, items
from .say import t
from .seated_text import otherwise
from .text import listed
from .words import sentence

if TYPE_CHECKING:
    from seatplan.solver.noted import Against
    from seatplan.solver.under_way import State


def under_way(trip: Trip, profile: Profile, day: date, options: Options = USUAL) -> Block | None:
    """The line for a trip; None where nothing is under way."""
    state = _state(trip, profile, day, options)
    return None if state is None else group(*_told(state))


def under_way_in(plan: Plan) -> Block | None:
    """The same for a plan: also how it goes on where what is under way cannot be any more, and what the best would be
    otherwise."""
    state = _state(plan.trip, plan.profile, plan.day, plan.options)
    return None if state is None else state_in(state, plan, plan.by_order)


def _state(trip: Trip, profile: Profile, day: date, options: Options) -> State | None:
    if not trip.under_way:
        return None
    from seatplan.solver.under_way import state_of  # with the order of installing, which mostly nobody asks

    return state_of(trip, profile, day, options)


def state_in(state: State, plan: Plan, by_order: Arrangement | None) -> Block:
    """What is said of a state beside the plan of its trip."""
    best = plan.arrangements[0] if plan.arrangements else None
    return group(*_told(state), None if state.possible else _instead(best), by_order_told(by_order, best))


def _instead(best: Arrangement | None) -> Paragraph:
    if best is None:
        return Paragraph(t("No other arrangement is found, so nothing is to be installed next."))
    return Paragraph(t("What is nearest to it comes first. `--give-up` of `seatplan record` goes on to the next."))


def by_order_told(other: Arrangement | None, best: Arrangement | None) -> Paragraph | None:
    """What the best by the order would be; None where that is the one under way."""
    if other is None or best is None:
        return None
    return Paragraph(t("By the order alone the best would be: {who}.", who=otherwise(other, best)))


def _told(state: State) -> list[Block | None]:
    """``Under way: Wren in Nook on 2C, Oslo in Lattice on 2L (1 of 2 hold); next: Oslo in Lattice on 2L.``, and what
    the rules have against it by now. What cannot be has no next step."""
    seats = seats_told(state.seats)
    held, n = len(state.holding), len(state.seats)
    if not state.possible:
        return [Paragraph(t("Under way: {seats} ({held} of {n} hold).", seats=seats, held=held, n=n)),
                Paragraph(t("It cannot be like that any more:") if state.against else t(
                    "It cannot be like that any more: nothing that is left for the others goes with it.")),
                group(items(against_said(state.against), marked=True), inner=True) if state.against else None]
    if state.next is None:
        return [Paragraph(t("Under way: {seats}; all of it holds.", seats=seats))]
    return [Paragraph(t("Under way: {seats} ({held} of {n} hold); next: {next}.", seats=seats, held=held, n=n,
                        next=_seat(state.next, state.seats[state.next])))]


def against_said(against: Against) -> list[str]:
    """What rules have against what is noted, each once: ``Wren: expired on 2026-01-01 (restraint-expired)``."""
    riders: dict[tuple[str, str], list[str]] = {}
    for rider, findings in against.items():
        for finding in findings:
            riders.setdefault((sentence(finding), finding.rule), []).append(rider)
    return [t("{rider}: {sentence} ({rule})", rider=listed(names), sentence=told, rule=rule)
            for (told, rule), names in riders.items()]


def seats_told(aims: Mapping[str, UnderWay], adults: Collection[str] = ()) -> str:
    """``Wren in Nook on 2C, Oslo in Lattice on 2L``: everybody but ``adults`` on the vehicle belt."""
    return ", ".join(_seat(rider, aim) for rider, aim in aims.items() if aim.restraint or rider not in adults)


def _seat(rider: str, aim: UnderWay) -> str:
    if aim.restraint is None:
        return t("{rider} on {position} with the seat belt", rider=rider, position=aim.position)
    return t("{rider} in {restraint} on {position}", rider=rider, restraint=aim.restraint, position=aim.position)
