"""A pool of loan restraints for a car of eight seats: one of each, or some of each."""

from __future__ import annotations

from seatplan.files.load import load_trip
from seatplan.model import Trip

#: with copies beside one of each, at most so many times as long
WANTED = 1.4


def loans(copies: int) -> Trip:
    """The bundled shuttle in a car of eight seats, with so many of each of the depot's ten restraints."""
    trip = load_trip("nine-seat-shuttle", "ferry-lane-eight")
    pool = [restraint.model_copy(update={"restraint": f"{restraint.restraint} no. {n + 1}"})
            for restraint in trip.restraints for n in range(copies)]
    return trip.model_copy(update={"restraints": pool})
