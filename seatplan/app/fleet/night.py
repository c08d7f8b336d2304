"""Which vehicles are still out when the day of a plan begins, by the plan of the day before."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from dataclasses import replace
from datetime import datetime, timedelta
from typing import TYPE_CHECKING

from seatplan.app.misasked import Misasked
from seatplan.files.bookings import BookingRow, read_bookings
from seatplan.files.errors import InputError, Problem
from seatplan.fleet.audit import BOOKING, Recorded
from seatplan.fleet.overnight import NEVER, StillOut, still_out
from seatplan.fleet.reading import vehicles_of
from seatplan.fleet.records import Booking
from seatplan.message import FieldName, Name, said

from .files import OfBookings
from .record import mark_of, read_record

if TYPE_CHECKING:
    from .plan import PlanDay

#: minutes: a vehicle that is home so long before it, or another, has to leave is ready for it, whatever is taken out of
#: one and put into the other
_READY = 180


def out_at_midnight(request: PlanDay, of: OfBookings, bookings: Collection[Booking]) -> tuple[StillOut, ...]:
    """The vehicles that are out when the day begins. Raises InputError, and Misasked where bookings of the day before
    are in the way of this day's and no plan of it is named: nobody knows then which vehicles and restraints they have.
    """
    if request.day_before is not None:
        return _by_plan(request.day_before, of)
    first = min((one.start - _longest(of, one.origin, to_depot=False) for one in bookings), default=NEVER)
    lines = [line for line, home in _homes(of) if home + _READY > first]
    if lines:
        raise Misasked("day_before", said(
            "the booking in line {line} of {file} began on the day before, and may still have its vehicle and "
            "restraints on this one (there are {n} such bookings)", line=lines[0], file=Name(of.path), n=len(lines)),
            said("expected {asked} and the plan of that day, which says what is out until when",
                 asked=FieldName("day_before")))
    return ()


def _homes(of: OfBookings) -> Iterable[tuple[int, int]]:
    """By line, when whoever carries a booking of an earlier day is home at the latest, where that is on this day."""
    midnight = datetime.combine(of.day, datetime.min.time())
    for row in read_bookings(of.path, of.known):
        if isinstance(row, BookingRow) and row.start < midnight:
            home = int((row.end - midnight).total_seconds() // 60) + _longest(of, row.goal, to_depot=True)
            if home > 0 and row.end > midnight - timedelta(days=1):
                yield row.line, home


def _longest(of: OfBookings, place: str, to_depot: bool) -> int:
    """The most minutes between a place and a depot; what nothing drives counts for nothing: no vehicle of that depot
    carries it."""
    depots = {one.depot for one in of.read.fleet.vehicles}
    return max((of.travel.get((place, depot) if to_depot else (depot, place), 0) for depot in depots), default=0)


def _by_plan(path: str, of: OfBookings) -> tuple[StillOut, ...]:
    record = read_record(path)
    before = of.day - timedelta(days=1)
    if record.date != before.isoformat():
        raise InputError([Problem(path, 0, 0, said("this is a plan of {day}; expected one of {before}",
                                                   day=Name(record.date), before=before))])
    if any(one.carried for one in record.deleted):
        raise InputError([Problem(path, 0, 0, said(
            "a booking that a vehicle carries was deleted from this plan, so it does not say any more where that "
            "vehicle is; make the plan of that day once more"))])
    bookings = {one.key: one for one in replace(of, day=before).each()}
    return tuple(still_out(record.plan, _last(path, record, of, bookings), vehicles_of(of.read.fleet), of.travel,
                           record.night))


def _last(path: str, record: Recorded, of: OfBookings, bookings: dict[str, Booking]) -> dict[str, Booking]:
    """The bookings, once the last one of each vehicle is among them, and is as it was planned."""
    for vehicle, legs in record.plan.routes.items():
        key = legs[-1].booking
        if key not in bookings or mark_of(bookings[key], of.known.salt) != record.inputs.get(BOOKING + key):
            raise InputError([Problem(of.path, 0, 0, said(
                "the last booking of vehicle {vehicle} in {plan} is not in this file, or was changed; expected the "
                "bookings of the day before here, too", vehicle=Name(vehicle), plan=Name(path)))])
    return bookings
