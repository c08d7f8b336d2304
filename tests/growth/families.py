"""Bundled families and days, shared by the tests of time."""

from __future__ import annotations

from datetime import date
from functools import lru_cache

from seatplan import load_trip
from seatplan.growth.family import Family
from seatplan.growth.outlook import Outlook, outlook
from seatplan.growth.watch import Watch
from seatplan.model import Rider, Trip
from seatplan.rules.load import load_profile


def years(trip: Trip, n: int) -> date:
    assert trip.on is not None
    return trip.on.replace(year=trip.on.year + n)


@lru_cache(maxsize=32)
def watched(name: str, n: int = 4) -> Watch:
    trip = load_trip(name)
    assert trip.on is not None
    return Watch(Family(trip, trip.on), load_profile(trip.rules), trip.on, years(trip, n))


@lru_cache(maxsize=8)
def looked(name: str, n: int) -> Outlook:
    trip = load_trip(name)
    assert trip.on is not None
    return outlook(trip, load_profile(trip.rules), trip.on, years(trip, n))


def child(**given: object) -> Rider:
    """A rider of a small family."""
    return Rider.model_validate({"rider": "Kim", **given})
