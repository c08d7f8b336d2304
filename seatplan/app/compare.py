"""One trip in several vehicles."""

from __future__ import annotations

from dataclasses import fields
from datetime import date
from typing import ClassVar

from seatplan.files.errors import Problem
from seatplan.files.plain import trip_in_vehicles
from seatplan.frozen import frozen
from seatplan.model import Trip
from seatplan.rules.load import load_profile
from seatplan.rules.profile import Profile
from seatplan.solver import compare as comparing
from seatplan.solver.compare import Comparison

from .days import today
from .notices import QUIET, Listener, Notice
from .outcome import Outcome
from .question import option
from .reading import travelling
from .request import Request, VehicleAsked
from .verdict import of_several


@frozen(kw_only=True)
class Compare(Request):
    """``vehicles``: those to look at beside the trip's own; ``vehicle`` is left out."""

    COMMAND: ClassVar[str] = "compare"

    vehicles: tuple[VehicleAsked, ...] = option("--vehicle", default=())

    def in_vehicle(self, vehicle: VehicleAsked | None) -> Request:
        """The same trip in one vehicle; None: its own."""
        return Request(**{one.name: getattr(self, one.name) for one in fields(Request)} | {"vehicle": vehicle})


@frozen
class ReadIn:
    """The trip in one vehicle, as it was read and on the day of travel, and what was left out for it; ``named``: the
    vehicle as it was asked for, None for the trip's own."""

    written: Trip
    trip: Trip
    left_out: tuple[Problem, ...]
    named: VehicleAsked | None


@frozen
class ReadEach:
    """``own``: the number of the trip's own vehicle, 0 where it is not among them. ``requests``: what asks for the trip
    in each of them alone."""

    each: tuple[ReadIn, ...]
    requests: tuple[Request, ...]
    profile: Profile
    day: date
    taken: date
    own: int
    notices: tuple[Notice, ...]


@frozen
class Compared:
    """``left_out``: for each vehicle, what of the trip does not apply in it. ``requests``: what asks for the trip in
    each of them alone."""

    comparison: Comparison
    left_out: tuple[tuple[Problem, ...], ...]
    requests: tuple[Request, ...]


def compare(request: Compare, listener: Listener = QUIET) -> Outcome[Compared]:
    """What fits in each vehicle, what changes for whom, and what does not go along. Raises InputError, Misasked."""
    found = read_each(request, listener)
    held = compared(found, request)
    answer = Compared(held, tuple(one.left_out for one in found.each), found.requests)
    return Outcome(request, answer, of_several(one.plan for one in held.vehicles), found.notices)


def compared(found: ReadEach, request: Compare) -> Comparison:
    """The comparison of what was read."""
    return comparing.compare([one.trip for one in found.each], found.profile, found.day, own=found.own,
                             strict=request.strict, worst_case=request.worst_case)


def read_each(request: Compare, listener: Listener = QUIET) -> ReadEach:
    """The trip in its own vehicle and in each that is asked for, on the day of travel."""
    loaded = trip_in_vehicles(request.trip, request.vehicles, today())
    taken = loaded[0].trip.on or today()
    day = request.on or taken
    words = _named(len(loaded), request.vehicles)
    each: list[ReadIn] = []
    notices: list[Notice] = []
    for one, word in zip(loaded, words, strict=True):
        trip, told = travelling(one.trip, day, listener)
        each.append(ReadIn(one.trip, trip, one.notices, None if one.own else word))
        notices += told
    listener.read(each[0].trip)
    own = next((i for i, one in enumerate(loaded) if one.own), 0)
    return ReadEach(tuple(each), tuple(request.in_vehicle(one.named) for one in each),
                    load_profile(request.rules or loaded[0].trip.rules), day, taken, own, tuple(notices))


def _named(n: int, vehicles: tuple[VehicleAsked, ...]) -> list[VehicleAsked | None]:
    """How each vehicle was asked for; None for the trip's own, which comes first where it was not."""
    return [None] * (n - len(vehicles)) + list(vehicles[-n:])
