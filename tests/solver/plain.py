"""A trip's records as plain data that can be changed and read again."""

from __future__ import annotations

from worlds import Data

from seatplan.model import Trip


def plain_of(trip: Trip) -> Data:
    """The data that ``Trip.model_validate`` reads back into equal records."""
    return dict(trip.model_dump(mode="json", by_alias=True, exclude_none=True, exclude={"doubted"}))
