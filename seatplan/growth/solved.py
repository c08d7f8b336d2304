"""A trip solved on one day, as far as time asks: which seatings are valid, how sure, how protective."""

from __future__ import annotations

from datetime import date
from itertools import islice
from typing import NamedTuple

from seatplan.frozen import frozen
from seatplan.solver.budget import TooMuch
from seatplan.solver.lane import LengthwiseDemand
from seatplan.solver.ranking import stages_of, unpack
from seatplan.solver.rowplans import LEVELS, UNSURE, Level
from seatplan.solver.solve import Solve

#: seatings looked at on one day, best first; where there are more, the answer is not the only one
MOST_SEATINGS = 1000
#: bits for a count times all days of an outlook
_DAYS = 32


class Place(NamedTuple):
    """Where one rider rides: one letter of a seating."""

    rider: str
    position: str
    restraint: str | None
    mode: str


#: a place for every rider of the day, in the order of the trip
Seating = tuple[Place, ...]


class Rated(NamedTuple):
    """What speaks for a seating: whether something must be measured first, who sits in front and how each child is
    protected, from the youngest up, good practice and wishes not kept, and its rank on that day. Lower is better, and
    all but the rank add up over days: steps of the order that come first outweigh all that follow, for years."""

    unsure: bool
    protection: int
    cautions: int
    wishes: int
    rank: int


@frozen
class Solved:
    """The valid seatings of one day, best first. ``complete`` is False where there are more; ``counts``: how many there
    are at each level."""

    day: date
    seatings: dict[Seating, Rated]
    complete: bool
    counts: tuple[int, ...]
    work: int = 0                     # units that it took, as a solve counts them
    picture: Picture | None = None

    @property
    def key(self) -> frozenset[tuple[Seating, bool]] | tuple[int, ...]:
        """What two days must share for nothing to have changed between them, as far as is known: which of too many
        seatings come first changes with every millimetre, so there the counts stand for them."""
        if not self.complete:
            return self.counts
        return frozenset((seating, rated.unsure) for seating, rated in self.seatings.items())


#: all that the seatings of a day hang on: who may ride where, and each row's plans, by the choices they are made of,
#: with their levels and ways
Picture = tuple[tuple[object, ...], tuple[tuple[tuple[int, ...], int, frozenset[tuple[LengthwiseDemand, Level]]], ...]]


def picture_of(solve: Solve) -> Picture | None:
    """What two days share that have the same seatings, as sure; None where rules of the whole trip decide too."""
    if solve.runner.trip_rules_bite():
        return None
    open_ = [c for own in solve.choices.per_rider for c in own if c.cells]
    choices = tuple([(c.rider, c.position, c.restraint, c.mode, len(c.cells)) for c in open_])
    number = {choice: n for n, choice in enumerate(open_)}
    riders = tuple([rider.rider for rider in solve.trip.riders])
    told = {way: solve.lanes.told(way) for way in {plan.way for row in solve.rows for plan in row}}
    return (riders, *choices), tuple([(tuple([number[choice] for choice in plan.choices]), plan.level, told[plan.way])
                                      for row in solve.rows for plan in row])


def _added(*counts: int) -> int:
    """Counts in order of weight as one number that stays in order when it is added up over all days."""
    whole = 0
    for count in counts:
        whole = whole << _DAYS | count
    return whole


def solved(solve: Solve, day: date, most: int = MOST_SEATINGS) -> Solved:
    """The seatings of a trip as it is on a day. Raises TooMuch where any are left out."""
    if not solve.complete:
        raise TooMuch
    trip = solve.trip
    positions = [position.position for position in solve.choices.positions]
    found: dict[Seating, Rated] = {}
    ranked = solve.ranked()
    places = {c: Place(trip.riders[c.rider].rider, positions[c.position],
                       None if c.restraint is None else trip.restraints[c.restraint].restraint, c.mode)
              for own in solve.choices.per_rider for c in own if c.cells}
    for rank, one in enumerate(islice(ranked, most)):
        told = unpack(one.cost)
        protection = _added(told["front_young"], told["under_two"], told["front_under_nine"], told["doubtful"],
                            *stages_of(told["protection"]), told["front_older"])
        seating = {c.rider: places[c] for plan in one.plans for c in plan.choices}
        found[tuple([seating[r] for r in range(len(trip.riders))])] = Rated(
            one.level >= UNSURE, protection, _added(told["grave"], told["slight"]), told["wishes"], rank)
    levels = [0] * len(LEVELS)
    for way, n in solve.ways.items():
        levels[solve.lanes.level(way)] += n
    return Solved(day, found, next(ranked, None) is None, tuple(levels), solve.work, picture_of(solve))
