"""What every question about a fleet begins with: its file, its rules, its travel minutes, its bookings of a day."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from datetime import date
from functools import cached_property
from pathlib import Path
from typing import ClassVar

from seatplan.app.days import today
from seatplan.app.misasked import Misasked
from seatplan.app.question import Question, argument
from seatplan.files.bookings import BookingRow, Known, Reject, read_bookings
from seatplan.files.errors import Problem
from seatplan.files.fleet_file import load_fleet, travel_file
from seatplan.files.salt import NAME, salt_at
from seatplan.files.travel import load_travel
from seatplan.fleet.reading import Counts, bookings_of, known_of, places_needed
from seatplan.fleet.records import Booking, Member, Party
from seatplan.frozen import frozen
from seatplan.message import FieldName, said
from seatplan.model.fleet import Fleet
from seatplan.rules.load import load_profile
from seatplan.rules.profile import Profile


@frozen(kw_only=True)
class FleetAsked(Question):
    """``fleet``: the path of its file; ``rules``: in place of its own; ``on``: the day."""

    COMMAND: ClassVar[str] = "fleet coverage"

    fleet: str = argument()
    rules: str | None = None
    on: date | None = None


@frozen(kw_only=True)
class BookingsAsked(FleetAsked):
    """``bookings``: the path of the CSV file; ``on``: the day, else that of the first booking; ``travel``: the matrix
    in place of the one that the fleet names; ``salt``: the file that hides ids, else the one beside the fleet's."""

    COMMAND: ClassVar[str] = "fleet match"

    bookings: str = argument()
    travel: str | None = None
    salt: str | None = None


@frozen
class FleetRead:
    """A fleet as it was read, with its profile. ``notices``: what in its file is odd but allowed."""

    path: str
    fleet: Fleet
    profile: Profile
    notices: tuple[Problem, ...]

    def type_name(self, key: str) -> str:
        """What a type is called that goes by its content."""
        return next((one.type for one in self.fleet.types if one.vehicle.key() == key), key)

    def kind_name(self, key: str) -> str:
        """What a kind is called that goes by its content."""
        return next((one.kind for one in self.fleet.kinds if one.restraint.key() == key), key)


def read_fleet(request: FleetAsked) -> FleetRead:
    """The fleet and its rules. Raises InputError."""
    notices: list[Problem] = []
    fleet = load_fleet(request.fleet, today(), notices)
    return FleetRead(request.fleet, fleet, load_profile(request.rules or fleet.rules), tuple(notices))


@dataclass(slots=True)
class OfBookings:
    """The bookings of one day as they are in the file. ``counts`` and ``rejects`` are whole once all were read."""

    read: FleetRead
    path: str
    day: date
    travel: dict[tuple[str, str], int]
    known: Known
    counts: Counts = field(default_factory=Counts)

    def each(self, rejected: Callable[[Reject], object] = lambda reject: None) -> Iterator[Booking]:
        """The bookings one by one; ``rejected`` is told of rows that are none. Counts begin anew. Raises InputError."""
        self.counts = Counts()
        return bookings_of(self.path, self.read.fleet, self.known, self.day, rejected, self.counts)

    def lines(self) -> dict[str, int]:
        """The line in which each booking of the file stands, by its key; the file is read once more."""
        return {row.key: row.line for row in read_bookings(self.path, self.known) if isinstance(row, BookingRow)}


def open_bookings(request: BookingsAsked, read: FleetRead) -> OfBookings:
    """The bookings of a day, before any is read. Raises InputError, Misasked where there is no travel matrix, Unwritten
    where the salt cannot be made."""
    path = request.travel or travel_file(read.fleet, read.path)
    if path is None:
        raise Misasked("travel", said("{file} names no travel matrix", file=read.path),
                       said("expected {asked}, or `travel:` in the fleet's file", asked=FieldName("travel")))
    travel = load_travel(path)
    places_needed(read.fleet, path, travel)
    salt = salt_at(request.salt or str(Path(read.path).parent / NAME))
    places = {place for pair in travel for place in pair}
    known = known_of(read.fleet, salt, places, today())
    return OfBookings(read, request.bookings, request.on or _first_day(request.bookings, known), travel, known)


def _first_day(path: str, known: Known) -> date:
    """The day of the first booking of a file; where there is none, today."""
    for row in read_bookings(path, known):
        if isinstance(row, BookingRow):
            return row.start.date()
    return today()


@dataclass(frozen=True)
class Parties:
    """Distinct parties of some bookings with how many bookings each has, in the order in which they come first."""

    of: dict[Party, int]

    @cached_property
    def brought(self) -> frozenset[str]:
        """Kinds that any of them brings."""
        return frozenset(kind for party in self.of for kind in party.brings)


def children_of(party: Party) -> tuple[Member, ...]:
    """Those of a party who are no adults."""
    return tuple(member for member in party.members if not member.adult)
