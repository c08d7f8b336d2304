"""What stands before whoever installs: the pages of the sheet in their order, and who of them is in and holds."""

from __future__ import annotations

from seatplan.frozen import frozen
from seatplan.model import Trip
from seatplan.rules.subjects import RuleContext
from seatplan.rules.tries import holds, is_belt_tested
from seatplan.solver.installing import Card
from seatplan.solver.ranking import is_as_noted
from seatplan.solver.under_way import State, state_of

from .documents import ForTheCar, Sheet, sheet


@frozen
class AtTheCar:
    """``found``: plan, arrangement and cards; ``state``: how far the arrangement under way is, None where none is;
    ``holding``: the riders, as names, who are in as they are to be and hold."""

    found: ForTheCar
    state: State | None
    holding: frozenset[str]

    @property
    def next(self) -> int:
        """The place of the first card that does not hold yet, from 1; 0 where all of them do, or there is none."""
        return next((n for n, card in enumerate(self.found.cards, 1)
                     if card.placement.rider.rider not in self.holding), 0)


def at_the_car(trip: str) -> AtTheCar:
    """The arrangement of a trip file that is to be installed now: the one under way, or else the best. Raises
    InputError."""
    found = sheet(Sheet(trip=trip)).answer
    plan = found.plan
    world = RuleContext(plan.trip, plan.trip.vehicle, plan.profile, plan.day, plan.options)
    return AtTheCar(found, state_of(plan.trip, plan.profile, plan.day), frozenset(
        card.placement.rider.rider for card in found.cards if _is_in(card, plan.trip, world)))


def _is_in(card: Card, trip: Trip, world: RuleContext) -> bool:
    placement = card.placement
    here = trip.installed.get(placement.rider.rider)
    if here is None or not is_as_noted(placement, here):
        return is_belt_tested(placement, world)
    return holds(here, placement, world)
