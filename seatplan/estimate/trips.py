"""A trip with everything estimated in it that nobody measured and that may be estimated."""

from __future__ import annotations

from datetime import date
from typing import Any

from seatplan.doubt.bodies import ages_on
from seatplan.model import Reckoned, Trip
from seatplan.model.estimated import EstimatedRestraint, EstimatedRider, EstimatedRow

from .cars import estimated_vehicle
from .restraints import estimated_restraint
from .riders import estimated_rider


def estimated(trip: Trip, day: date) -> Trip:
    """The trip with corners on riders, restraints and rows; itself where nothing is estimated. ``day``: of travel,
    where the trip names none."""
    taken = trip.on or day
    update: dict[str, Any] = {
        "riders": [rider if isinstance(rider, (Reckoned, EstimatedRider)) else estimated_rider(
            rider, ages_on(rider, taken, taken))
                   for rider in trip.riders],
        "restraints": [one if isinstance(one, EstimatedRestraint) else estimated_restraint(one)
                       for one in trip.restraints],
        "vehicle": trip.vehicle if any(isinstance(row, EstimatedRow) for row in trip.vehicle.rows)
        else estimated_vehicle(trip.vehicle)}
    same = update["vehicle"] is trip.vehicle and all(
        new is old for name in ("riders", "restraints") for new, old in zip(update[name], getattr(trip, name),
                                                                            strict=True))
    return trip if same else trip.model_copy(update=update)
