"""How long it lasts, what comes next, what to buy."""

from __future__ import annotations

from datetime import date
from typing import ClassVar

from seatplan.files.errors import InputError, Problem
from seatplan.frozen import frozen
from seatplan.growth import outlook as looking
from seatplan.growth.outlook import Outlook
from seatplan.growth.stock import StockFound, find_stock
from seatplan.message import said
from seatplan.model import Trip
from seatplan.rules.profile import Profile
from seatplan.solver.budget import TooMuch

from .days import day_within
from .notices import QUIET, Listener, LooksAhead, TooLarge
from .outcome import Outcome
from .reading import read_through_time
from .request import Request
from .verdict import Verdict


@frozen(kw_only=True)
class LookAhead(Request):
    """``until``: how far, as a duration or a day. It begins on the day of travel."""

    COMMAND: ClassVar[str] = "outlook"

    until: str | date = "3y"
    stock: bool = False


@frozen
class InStock:
    """The smallest sets, and the trip that they are for."""

    trip: Trip
    stock: StockFound


def outlook(request: LookAhead, listener: Listener = QUIET) -> Outcome[Outlook | TooLarge]:
    """How long the arrangements last. The answer is TooLarge where days cannot be looked at one by one. Raises
    InputError, Misasked."""
    found = read_through_time(request, listener)
    end = day_within(request.until, found.taken)
    listener.read(found.written)
    try:
        with listener.progress("days") as progress:
            ahead = looking.outlook(found.written, found.profile, found.taken, end, progress)
    except TooMuch:
        return Outcome(request, too_large(found.written), Verdict.UNDECIDED, found.notices)
    return Outcome(request, ahead, _of(ahead), found.notices)


def ahead(request: LookAhead) -> Outlook:
    """``outlook`` for those who have no use for less. Raises InputError for a trip that is too large, too."""
    found = outlook(request).answer
    if isinstance(found, TooLarge):
        raise InputError([Problem("trip", 0, 0, said(
            "{riders} riders, {restraints} restraints and {seats} seats are too many to look at day by day",
            riders=found.riders, restraints=found.restraints, seats=found.seats))])
    return found


def stock(request: LookAhead, listener: Listener = QUIET) -> Outcome[InStock | TooLarge]:
    """The smallest set of restraints that carries everybody to a day. Raises as ``outlook`` does."""
    found = read_through_time(request, listener)
    end = day_within(request.until, found.taken)
    listener.read(found.written)
    try:
        with listener.progress("days") as progress:
            smallest = find_stock(found.written, found.profile, found.taken, end, progress)
    except TooMuch:
        return Outcome(request, too_large(found.written), Verdict.UNDECIDED, found.notices)
    verdict = Verdict.FITS if smallest.smallest else Verdict.REJECTED if smallest.complete else Verdict.UNDECIDED
    return Outcome(request, InStock(found.written, smallest), verdict, found.notices)


def look_ahead(written: Trip, profile: Profile, start: date, until: str | date | None,
               listener: Listener) -> Outlook | None:
    """The look ahead of a longer answer; None where nobody asked, or where it is too large, which is told."""
    if until is None:
        return None
    end = day_within(until, start)
    listener.notice(LooksAhead(end, written.vehicle.vehicle))
    try:
        with listener.progress("days") as progress:
            return looking.outlook(written, profile, start, end, progress)
    except TooMuch:
        listener.notice(too_large(written))
        return None


def too_large(trip: Trip) -> TooLarge:
    """How large a trip is that cannot be looked at day by day."""
    return TooLarge(len(trip.riders), len(trip.restraints), len(list(trip.vehicle.positions())))


def _of(found: Outlook) -> Verdict:
    """Nothing from some day on; else what the first day hangs on."""
    if found.gap is not None:
        return Verdict.REJECTED
    return Verdict.UNMEASURED if found.hangs_from_start else Verdict.FITS
