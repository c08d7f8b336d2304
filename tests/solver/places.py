"""Whether everybody of a seating has the positions that they need, told plainly with sets."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import combinations
from math import prod

from seatplan.model import Trip
from seatplan.rules import footprints
from seatplan.rules.subjects import Placement


def uses(placement: Placement) -> set[str]:
    """The positions that a placement uses up, its own among them."""
    return {placement.position.position, *footprints.footprint(placement).takes}


def held_at(placement: Placement) -> list[str]:
    """The positions whose belts hold a placement, left to right."""
    return [position.position for position in (placement.position, placement.second) if position is not None]


def with_what_is_built_in(trip: Trip) -> Trip:
    """The trip with the restraints of its vehicle behind its own."""
    own = [restraint.restraint for restraint in trip.restraints]
    built_in = [position.built_in for row in trip.vehicle.rows for position in row.positions
                if position.built_in is not None and position.built_in.restraint not in own]
    return trip.model_copy(update={"restraints": [*trip.restraints, *built_in]})


def places_do(everyone: Sequence[Placement], trip: Trip) -> bool:
    """No position is used by two, none that somebody needs empty is used, and the driver keeps the driver's seat."""
    listed = any(rider.drives for rider in trip.riders)
    if not listed and any(trip.drives in footprints.footprint(p).takes | footprints.footprint(p).empties
                          for p in everyone):
        return False
    return not any(uses(a) & uses(b) or uses(a) & footprints.footprint(b).empties
                   or uses(b) & footprints.footprint(a).empties for a, b in combinations(everyone, 2))


def all_seatings(trip: Trip, kinds: Mapping[str, str]) -> int:
    """The product over the riders of all positions and all modes that are offered there, like restraints once."""
    firsts = [restraint for restraint in trip.restraints if kinds[restraint.restraint] == restraint.restraint]
    modes = [sum(len(r.modes) for r in firsts if footprints.offered_at(r, position.position))
             for position in trip.vehicle.positions()]
    return prod(len(modes) + (0 if rider.adult else sum(modes)) for rider in trip.riders)
