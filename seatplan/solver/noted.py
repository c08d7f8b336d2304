"""What is noted of a car, installed or under way, held against the rules of the day: whether everybody can ride so."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date

from seatplan.frozen import frozen
from seatplan.model import Installed, Trip, UnderWay, Wish
from seatplan.rules.finding import Finding
from seatplan.rules.options import USUAL, Options
from seatplan.rules.profile import Profile

from .judge import Judge, Pick
from .placements import JudgedPlacement
from .plan import planned
from .ranking import is_as_noted
from .why import nearest

#: by name of the rider
Noted = Mapping[str, UnderWay | Installed]
Against = Mapping[str, tuple[Finding, ...]]


@frozen
class Standing:
    """``possible``: whether an arrangement has all that is noted; also where that was not searched to its end.
    ``against``: what the rules have against it, by the rider whom it is about."""

    possible: bool
    against: Against


def standing(trip: Trip, noted: Noted, profile: Profile, day: date, options: Options = USUAL) -> Standing:
    """Whether all that is noted can be on a day, and what is against it."""
    judge = Judge(trip, profile, day, options)
    ways = {rider.rider: meant(judge, rider.rider, noted[rider.rider]) for rider in judge.trip.riders
            if rider.rider in noted}
    against = {rider: tuple(f for f in nearest(cells).findings if options.refuses(f.outcome))
               for rider, cells in ways.items() if cells and all(cell.blocked for cell in cells)}
    if against or not all(ways.values()):
        return Standing(False, against)
    return _together(judge, ways, noted, day)


def meant(judge: Judge, rider: str, one: UnderWay | Installed) -> list[JudgedPlacement]:
    """Every placement that is meant by what is noted; none where the trip has no such thing."""
    trip = judge.trip
    if one.position not in [p.position for p in trip.vehicle.positions()]:
        return []
    modes = ["seat-belt"] if one.restraint is None else [
        mode.mode for restraint in trip.restraints if restraint.restraint == one.restraint for mode in restraint.modes]
    return [cell for mode in modes for cell in judge.cells(Pick(rider, one.position, one.restraint, mode))
            if is_as_noted(cell.placement, one)]


def _together(judge: Judge, ways: Mapping[str, Sequence[JudgedPlacement]], noted: Noted, day: date) -> Standing:
    """The same of all at once, where each by itself may ride so. One pick of many is judged for the reasons; that
    there is none is what a search says."""
    trip, options = judge.trip, judge.options
    chosen = [next(cell for cell in cells if not cell.blocked) for cells in ways.values()]
    chosen += [cell for rider in trip.riders if rider.drives and rider.rider not in ways
               for cell in judge.cells(Pick(rider.rider, trip.drives))]
    judged = judge.arrangement(chosen)
    if not judged.refused_by and len(chosen) == len(trip.riders):
        return Standing(True, {})
    musts = [Wish(rider=rider, at=[noted[rider].position], must=True) for rider in ways]
    aims = {rider: UnderWay(restraint=one.restraint, position=one.position, mode=one.mode, by=one.by)
            for rider, one in noted.items() if rider in ways}
    found = planned(trip.model_copy(update={"wishes": [*trip.wishes, *musts], "under_way": aims}),
                    judge.world.profile, day, top=1, strict=options.strict, worst_case=options.worst_case)
    if any(all(is_as_noted(seat.placement, one) for seat in arrangement.seats
               if (one := aims.get(seat.placement.rider.rider)) is not None) for arrangement in found.arrangements):
        return Standing(True, {})
    if not found.tally.complete:
        return Standing(True, {})
    names = {cell.placement.rider.rider for cell in chosen}
    against = {rider: tuple(f for f in judged.refused_by if rider in f.riders and names.issuperset(f.riders))
               for rider in ways}
    return Standing(False, {rider: findings for rider, findings in against.items() if findings})
