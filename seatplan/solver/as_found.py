"""What the rules say of a restraint as it was found in the car, with what was read of it."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import Any

from seatplan.frozen import frozen
from seatplan.model import Installed, Tried, Trip
from seatplan.model.restraint import By
from seatplan.model.trip import Believed
from seatplan.rules.profile import Profile
from seatplan.rules.registry import weight_of

from .aboard import with_built_in
from .judge import Judge, Pick
from .judged_try import is_tried
from .noted import Against, meant, standing
from .placements import JudgedPlacement, cells_in
from .ways import settings_for
from .why import nearest


@frozen
class Arrival:
    """How a car arrived, held against the rules. ``possible``: whether an arrangement has all of it; ``against``: what
    forbids it, ``grave``: the grave cautions of what is allowed, by the rider whom it is about."""

    possible: bool
    against: Against
    grave: Against


def as_arrived(trip: Trip, profile: Profile, day: date) -> Arrival | None:
    """What the rules say of how the car arrived, with what was read of it then and not what was tried since; None
    where that is not noted. ``trip``: on the day, with what is unlikely left out."""
    if not trip.arrived:
        return None
    read = [one for rider, here in trip.arrived.items() for one in _as_tried(rider, here, trip)]
    then: dict[str, Any] = {"tried": [*(one for one in trip.tried if not one.recorded), *read], "under_way": {},
                            "installed": {}}
    if isinstance(trip, Believed):
        then["doubted"] = tuple(doubt for doubt in trip.doubted if doubt.of not in ("tried", "installed"))
    trip_then = trip.model_copy(update=then)
    stands = standing(trip_then, trip.arrived, profile, day)
    judge = Judge(trip_then, profile, day)
    grave = {rider: tuple(f for f in nearest(cells).findings if f.outcome == "caution" and weight_of(f) == "grave")
             for rider, here in trip.arrived.items() if rider not in stands.against
             and rider in {one.rider for one in judge.trip.riders} and (cells := meant(judge, rider, here))}
    return Arrival(stands.possible, stands.against, {rider: found for rider, found in grave.items() if found})


def _as_tried(rider: str, here: Installed, trip: Trip) -> list[Tried]:
    """What was read of something as it was found, as tries of it: one for each way in which it can have been held."""
    if here.readings is None and here.tether is None:
        return []
    ways = [here.by] if here.by or here.restraint is None else dict.fromkeys(
        None if k.by == "built-in" else k.by for r in with_built_in(trip).restraints if r.restraint == here.restraint
        for m in r.modes if here.mode in (None, m.mode) for k in m.installations)
    return [Tried(restraint=here.restraint, position=here.position, by=way, mode=here.mode, rider=rider,
                  readings=here.readings, tether=here.tether, on=here.on, recorded=True) for way in ways]


def forbidden_as_found(trip: Trip, found: Tried, ways: Sequence[By | None], profile: Profile,
                       day: date) -> JudgedPlacement | None:
    """The placement nearest to being allowed of those that the entry could mean, where the rules forbid them all;
    None where one is allowed. ``ways``: what can have held it. What was read counts as if it had been tried."""
    cells = [cell for way in ways for cell in _cells(trip, found.model_copy(update={"by": way}), profile, day)]
    if not cells or not all(cell.blocked for cell in cells):
        return None
    return min(cells, key=lambda cell: sum(f.outcome == "block" for f in cell.findings))


def _cells(trip: Trip, found: Tried, profile: Profile, day: date) -> list[JudgedPlacement]:
    judge = Judge(trip.model_copy(update={"tried": [*trip.tried, found]}), profile, day)
    rider = next((one for one in judge.trip.riders if one.rider == found.rider), None)
    if rider is None:                                      # not born yet
        return []
    row, position = trip.vehicle.row_of(found.position), trip.vehicle.position(found.position)
    if found.restraint is None:
        return judge.cells(Pick(found.rider or "", found.position))
    restraint = judge.trip.restraint(found.restraint)
    return [cell for mode in restraint.modes if found.mode in (None, mode.mode)
            for lean in settings_for(judge.world, rider, row, position, restraint, mode)
            for cell in cells_in(judge.runner, rider, row, position, restraint, mode, lean) if is_tried(cell, found)]
