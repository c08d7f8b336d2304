"""What the fleet's parts hand to each other: plain frozen records, no names, no models, quick to send and to compare.

Minutes count from the midnight that begins the day of a plan, so a booking that begins before or ends after it keeps
its order. A *kind* is a restraint by its content, a *copy* one piece of it with a serial; a *kit* says how many of
which kinds are used at once. A *load* is what stands in a vehicle while a booking is carried, piece by piece: what its
kit says, and what is left installed at seats that nobody needs.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import field
from typing import Literal, NamedTuple

from seatplan.frozen import frozen

#: kind -> how many, sorted by kind
Kit = tuple[tuple[str, int], ...]
#: one restraint as it stands in a vehicle: its kind, its position, and what holds it ("": nothing does)
Piece = tuple[str, str, str]
#: what stands in a vehicle, sorted; no two pieces at one position
Load = tuple[Piece, ...]
#: what the order of arrangements says of where children sit and how they ride, lower is better: ``BEFORE`` counts (in
#: front, under two not rear-facing, next in front, restraints in doubt), then of each child, the youngest first, its
#: stage (``seatplan.solver.ranking.STAGES``), then of each child whether it rides on a backless booster
Level = tuple[int, ...]
#: counts of a level that stand before its stages
BEFORE = 4
Verdict = Literal["fits", "close", "likely", "unmeasured", "rejected"]

#: how a child rides, the most protective first: the stages of the order of arrangements, high-back before backless
GRADES = ("rear-facing harness", "forward-facing harness", "forward-facing harness without a tether below five",
          "vest or shield", "high-back booster", "backless booster", "vehicle belt",
          "bed for a child who need not lie")


class Member(NamedTuple):
    """One rider of a party on the day of its booking: ages in whole months, of a band both ends; sizes where they are
    known, in whole grams and mm."""

    adult: bool = False
    months: tuple[int, int] | None = None
    mass_g: int | None = None
    height_mm: int | None = None
    sits_upright: bool | None = None


@frozen
class Party:
    """Who travels, in canonical order (adults last, children from the youngest up), and the kinds that they bring."""

    members: tuple[Member, ...]
    brings: tuple[str, ...] = ()


class Class(NamedTuple):
    """One question for the engine: a party in a type of vehicle, with kinds of restraint to choose from. All are
    content: a type and a kind go by the hash of their file."""

    vehicle_type: str
    party: Party


class Seat(NamedTuple):
    """Where one member rides: the seat, the kind of the store that it rides in, the mode and how that is held. ``kind``
    None: nothing of the store, but the vehicle belt, what is built in, or the restraint that it brings, by its place
    ``own`` among those. ``member`` beyond those of the party: who drives."""

    member: int
    position: str
    kind: str | None
    mode: str
    by: str | None
    grade: int
    tether: bool
    own: int = -1


class Way(NamedTuple):
    """One way to carry a party: its kit, how sure it is, and who sits where. ``bodies_only``: nothing but the party's
    bodies is estimated in it; ``cautions``: rules that caution, grave ones first."""

    kit: Kit
    level: Level
    verdict: Verdict
    bodies_only: bool
    seats: tuple[Seat, ...]
    cautions: tuple[str, ...] = ()
    rank: int = 0
    held: bool = False


def serves(way: Way) -> bool:
    """Whether a booking may be served like that without anything tried before: it fits; it is close and held when it
    was tried; or nothing but the party's bodies is estimated."""
    return way.verdict == "fits" or (way.verdict == "close" and way.held) or (
        way.verdict == "likely" and way.bodies_only)


class Cover(NamedTuple):
    """Two ways that cover a band between them, without a gap: below the value of the reading (the field's key, the
    member, the value) the party rides as ``below``, from it on as ``above``."""

    below: Way
    above: Way
    reading: tuple[str, int, str]


@frozen
class ClassAnswer:
    """What the engine says of a class. ``verdict``: of the best arrangement there is. ``ways``: for each level that can
    be reached, every kit from which no piece can be dropped without losing that level, or without losing that it
    serves, each with its best way; best first. Of a party with bands they hold at both ends.

    ``conflict``: where nobody can be carried, the smallest group that cannot ride together, by members, and the rules
    that stand against it; no rules where the search for them came to its limit. Where no way serves: ``readings`` that
    would settle the best arrangement together, each with the field's key, the member (-1: it is of the vehicle or a
    restraint) and a value that would do ("": none can be told), and ``reading``, where one is enough; of a party with
    bands ``by_end``, the ways that hold at the lower and at the upper end, whatever becomes of the other, and
    ``covers``, pairs that cover all that lies between.

    ``complete``: False where the search came to a limit, so that there may be more ways."""

    verdict: Verdict
    ways: tuple[Way, ...]
    conflict: tuple[tuple[int, ...], tuple[str, ...]] | None = None
    reading: tuple[str, int, str] | None = None
    by_end: tuple[tuple[Way, ...], tuple[Way, ...]] | None = None
    covers: tuple[Cover, ...] = ()
    readings: tuple[tuple[str, int, str], ...] = ()
    complete: bool = True


class Booking(NamedTuple):
    """One booking as the plan knows it: ``key`` is the salted id; places are zones of the travel matrix."""

    key: str
    start: int
    end: int
    origin: str
    goal: str
    party: Party


class VehicleUnit(NamedTuple):
    """One vehicle: its type by content, its depot, what is installed in it when the day begins, and the minutes from
    and until which it may be used (None: all day); until then it is back at its depot."""

    key: str
    vehicle_type: str
    depot: str
    installed: Load = ()
    since: int | None = None
    until: int | None = None


class CopyUnit(NamedTuple):
    """One piece of a kind: its depot, and the vehicle and position that it is installed in, if it is; ``last``: the
    last day it may be used (ISO), empty: no limit known; ``usable``: undamaged, not recalled, not in quarantine on the
    day; ``since``: the minute from which it is (a quarantine ends), None: all day."""

    key: str
    kind: str
    depot: str
    vehicle: str = ""
    last: str = ""
    usable: bool = True
    why_not: str = ""
    position: str = ""
    since: int | None = None


class Accept(NamedTuple):
    """That a person accepted an offer: a booking may be carried at a level below its floor, and why."""

    booking: str
    level: Level
    why: str


@frozen
class Day:
    """All that a plan is made of. ``date``: ISO. ``answers``: by type and party. ``travel``: minutes from one place to
    another, depots included; a pair that is missing is unknown, and nothing drives there. ``holding``: by what holds a
    piece ("": nothing) the minutes to put one in and to take one out; what is missing is unknown, and such a piece
    stays where it is. ``rows``: by type, the row of each position, from the front. ``nobody_installs``: depots whose
    vehicles keep what is installed in them. ``accepted``: offers that somebody accepted."""

    date: str
    bookings: tuple[Booking, ...]
    vehicles: tuple[VehicleUnit, ...]
    copies: tuple[CopyUnit, ...]
    answers: Mapping[tuple[str, Party], ClassAnswer]
    travel: Mapping[tuple[str, str], int]
    holding: Mapping[str, tuple[int, int]]
    rows: Mapping[str, Mapping[str, int]] = field(default_factory=dict)
    nobody_installs: frozenset[str] = frozenset()
    accepted: tuple[Accept, ...] = ()


class Leg(NamedTuple):
    """One booking of a vehicle's day: the way it is carried, what stands in the vehicle meanwhile, which copy each
    piece of that is, whether the vehicle came by its depot before, and what it did for it: the minutes it went empty
    since the booking before, and the pieces taken out and put in. ``cover``: which mode counts from which reading on,
    where the way alone does not hold for the whole band."""

    booking: str
    way: Way
    load: Load
    copies: tuple[str, ...]
    by_depot: bool
    empty_minutes: int
    changes: int
    cover: Cover | None = None


class GivenUp(NamedTuple):
    """How a child would ride at the floor and how in an offer, by ``GRADES``."""

    member: int
    floor: int
    offered: int


class Offer(NamedTuple):
    """A way below the floor, in a type of vehicle: never served until somebody accepts its level. ``placed_worse``: it
    is worse by where children sit or how young ones face, not only by how they ride."""

    vehicle_type: str
    way: Way
    gives_up: tuple[GivenUp, ...]
    placed_worse: bool


#: why a booking is unserved: no type was asked about it or carries it; a reading or a try would settle it; what the
#: floor needs is nowhere usable in number; no vehicle that could carry it can be there in time from any depot; all
#: such vehicles are under way; the copies that it needs are under way; what it needs would have to be put in where
#: nobody is said to install
Why = Literal["no type", "reading", "try", "no usable copies", "out of reach", "no vehicle free", "no copy free",
              "nobody installs"]


class Unserved(NamedTuple):
    """Why a booking is unserved, and what would have served it: ``readings`` that settle it together (key, member,
    value), and ``reading`` where one is enough, a way to be tried in a
    type, one more vehicle of a type at a depot, or more copies of kinds at a depot. ``verified``: solved again with it,
    the plan serves one booking more."""

    why: Why
    reading: tuple[str, int, str] | None = None
    vehicle_type: str = ""
    depot: str = ""
    copies: Kit = ()
    way: Way | None = None
    conflict: tuple[tuple[int, ...], tuple[str, ...]] | None = None
    verified: bool = False
    readings: tuple[tuple[str, int, str], ...] = ()


@frozen
class DayPlan:
    """``routes``: vehicle -> its legs in order, by the order of vehicles; none for one that stays. ``unserved``: by
    booking, why; ``offers``: booking -> ways below its floor. ``bound``: no plan serves more bookings than that;
    ``proven``: the plan is the best there is by its whole order. ``below``: bookings carried by an offer that was
    accepted. ``changes`` and ``empty_minutes`` count the way back of each vehicle too. ``shares``: depot -> bookings
    carried for each vehicle of it, in thousandths."""

    routes: Mapping[str, tuple[Leg, ...]]
    unserved: Mapping[str, Unserved]
    bound: int
    proven: bool
    changes: int
    empty_minutes: int
    below: int = 0
    offers: Mapping[str, tuple[Offer, ...]] = field(default_factory=dict)
    shares: Mapping[str, int] = field(default_factory=dict)

    @property
    def served(self) -> int:
        """How many bookings are carried."""
        return sum(map(len, self.routes.values()))

    @property
    def gap(self) -> int:
        """How many bookings more the best plan could serve at most."""
        return self.bound - self.served
