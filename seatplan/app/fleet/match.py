"""Each distinct party of a day in each type of vehicle: whether it can travel there, and with what."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from typing import ClassVar

from seatplan.app.notices import QUIET, Listener
from seatplan.app.outcome import Outcome
from seatplan.app.verdict import Verdict
from seatplan.files.bookings import Reject
from seatplan.fleet.matching import Counts as Classes
from seatplan.fleet.reading import Counts, world_of
from seatplan.fleet.records import Booking, Party
from seatplan.frozen import frozen

from .files import FleetRead, OfBookings, Parties, open_bookings, read_fleet
from .solving import Answers, Solved, Solving, solved


@frozen(kw_only=True)
class Match(Solving):
    """The parties of the bookings in every type of vehicle."""

    COMMAND: ClassVar[str] = "fleet match"


@frozen
class Matched:
    """``parties``: with how many bookings each has; ``answers``: of each in each type. ``classes`` counts what was
    known and asked; ``damaged``: kept answers that could not be read."""

    read: FleetRead
    day: str
    counts: Counts
    rejects: tuple[Reject, ...]
    parties: Parties
    answers: Answers
    classes: Classes
    damaged: int


def match(request: Match, version: str, listener: Listener = QUIET) -> Outcome[Matched]:
    """The parties of a day matched with types and kinds. ``version``: of the program. Raises InputError, Misasked,
    Unwritten."""
    read = read_fleet(request)
    bookings = open_bookings(request, read)
    rejects: list[Reject] = []
    parties = parties_of(bookings.each(rejects.append))
    found = solved_for(request, version, bookings, parties, listener)
    answer = Matched(read, bookings.day.isoformat(), bookings.counts, tuple(rejects), parties, found.answers,
                     found.counts, found.damaged)
    return Outcome(request, answer, verdict_of(bookings.counts))


def parties_of(bookings: Iterable[Booking]) -> Parties:
    """The distinct parties of bookings; nothing else of them is kept."""
    return Parties(dict(Counter(booking.party for booking in bookings)))


def solved_for(request: Solving, version: str, bookings: OfBookings, parties: Parties,
               listener: Listener) -> Solved:
    """What the engine says of each party in each type."""
    read = bookings.read
    world = world_of(read.fleet, read.profile, bookings.day, parties.brought)
    return solved(request, version, world, tuple(parties.of), listener)


def verdict_of(counts: Counts) -> Verdict:
    """What came of a file of bookings: nothing that can be used, a row that was rejected, or neither."""
    if not counts.taken:
        return Verdict.WRONG
    return Verdict.REJECTED if counts.rejected else Verdict.ANSWERED


def types_that_serve(answers: Answers, party: Party, types: Iterable[str]) -> tuple[str, ...]:
    """The types in which a party can be served, in their order."""
    from seatplan.fleet.records import ClassAnswer, serves

    return tuple(one for one in types if isinstance(answer := answers.get((one, party)), ClassAnswer)
                 and any(map(serves, answer.ways)))
