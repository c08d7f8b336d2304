"""One body: sizes that nobody has together. One check each, in ``_ABOVE``."""

from __future__ import annotations

from datetime import date

from seatplan.message import in_mm, said
from seatplan.model import Measured, Rider, Trip

from .places import Found

#: a size that is smaller than another one on every body, taken on the same day; seated heights are above the seat
_ABOVE = (
    ("sitting_height", "height"),
    ("shoulder_height", "sitting_height"),
    ("ear_height", "sitting_height"),
    ("shoulder_height", "ear_height"),
    ("shoulder_height", "height"),
    ("ear_height", "height"),
    ("buttock_knee", "height"),
    ("hips", "height"),
    ("shoulders", "height"),
)


def bodies_wrong(trip: Trip) -> Found:
    """Everything about the bodies of a trip that cannot be true; only sizes of one day are held together."""
    for i, rider in enumerate(trip.riders):
        if type(rider) is not Rider:                    # reckoned, so nobody wrote it down
            continue
        for loc, text in _body(rider, rider):
            yield ("riders", i, *loc), text
        for k, entry in enumerate(rider.measured):
            for loc, text in _body(rider, entry):
                yield ("riders", i, "measured", k, *loc), text


def _body(rider: Rider, sizes: Rider | Measured) -> Found:
    told: set[str] = set()
    for small, large in _ABOVE:
        one, other = getattr(sizes, small), getattr(sizes, large)
        if one is None or other is None or one < other or small in told:
            continue
        if sizes is not rider or _day(rider, small) is _day(rider, large) is None:
            told.add(small)
            yield (
                (small,),
                said("{small} of {rider} is {one}, and {large} {other}; expected it to be less", small=small,
                     rider=rider.rider, one=in_mm(int(one)), large=large, other=in_mm(int(other))),
            )


def _day(rider: Rider, name: str) -> date | None:
    """The day of a size that the latest measurement gave; None for one that stands by itself."""
    latest = max((entry for entry in rider.measured if getattr(entry, name) is not None),
                 key=lambda entry: entry.on, default=None)
    return latest.on if latest is not None and getattr(latest, name) == getattr(rider, name) else None
