"""A plan that was kept, read back, with the bookings that it was made of."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from pathlib import Path

from seatplan.files.errors import InputError, Problem
from seatplan.files.salt import key_of
from seatplan.fleet.audit import BOOKING, Recorded, hash_of, record_of
from seatplan.fleet.records import Booking
from seatplan.message import FieldName, said

from .files import OfBookings


def of_travel(travel: Mapping[tuple[str, str], int]) -> str:
    """What the minutes of a matrix are known by."""
    return hash_of(json.dumps(sorted((*pair, n) for pair, n in travel.items()), ensure_ascii=False).encode())


def mark_of(booking: Booking, salt: bytes) -> str:
    """What a booking is known by again: another one, or the same with another time, has another mark."""
    return key_of(repr(tuple(booking)), salt)


def read_record(path: str) -> Recorded:
    """A plan that was kept. Raises InputError."""
    try:
        text = Path(path).read_text(encoding="utf-8")
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or str(error)
        raise InputError([Problem(path, 0, 0, said("this file cannot be read: {reason}",
                                                   reason=reason.lower()))]) from None
    return record_of(text, path)


def as_planned(path: str, record: Recorded, of: OfBookings, bookings: Iterable[Booking]) -> list[Booking]:
    """The bookings that a plan was made of, those aside that were deleted since. Raises InputError where the fleet, the
    minutes, the rules or a booking are not what they were."""
    read = of.read
    for name, now in (("fleet", read.fleet.key()), ("travel", of_travel(of.travel))):
        if record.inputs.get(name) != now:
            raise InputError([Problem(path, 0, 0, said(
                "this plan was made of another {what}; make the plan once more", what=name))])
    if record.rules != f"{read.profile.content:032x}":
        raise InputError([Problem(path, 0, 0, said("this plan was made by other rules; make the plan once more"))])
    there = {one.key: one for one in bookings}
    gone = {one.booking for one in record.deleted}
    found = []
    for name, mark in record.inputs.items():
        key = name.removeprefix(BOOKING)
        if not name.startswith(BOOKING) or key in gone:
            continue
        if key not in there or mark_of(there[key], of.known.salt) != mark:
            raise InputError([Problem(of.path, 0, 0, said(
                "a booking of this plan is not in the file any more, or was changed; leave its row, and make the plan "
                "again with {gone}, or once more", gone=FieldName("gone")))])
        found.append(there[key])
    order = {key: n for n, key in enumerate(there)}
    return sorted(found, key=lambda one: order[one.key])
