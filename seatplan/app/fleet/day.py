"""What each driver needs on a day: every booking of theirs worked out again with the very restraints of the plan."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import ClassVar, Literal

from seatplan.app.misasked import Misasked
from seatplan.app.notices import QUIET, Listener
from seatplan.app.outcome import Outcome
from seatplan.app.question import option
from seatplan.app.verdict import Verdict
from seatplan.fleet.audit import Recorded
from seatplan.fleet.classes import World, rider_of
from seatplan.fleet.copies import Copies
from seatplan.fleet.overnight import with_still_out
from seatplan.fleet.reading import copies_of, vehicles_of, world_of
from seatplan.fleet.records import Booking, Leg, Load, VehicleUnit, Way
from seatplan.fleet.whereabouts import Place, put_in_from
from seatplan.frozen import frozen
from seatplan.message import FieldName, said
from seatplan.model import Restraint, Rider, Trip
from seatplan.model.restraint import Condition
from seatplan.solver.installing import Card, cards
from seatplan.solver.picture import Picture, picture
from seatplan.solver.plan import planned
from seatplan.solver.results import Arrangement, Plan

from .files import BookingsAsked, FleetRead, open_bookings, read_fleet
from .match import parties_of
from .record import as_planned, read_record

DRIVER = "driver"
_LETTERS = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"
#: of what a party brings somebody said that it is in order
_WELL = Condition(crash="none", recall="none", labels="readable", history="known")


@frozen(kw_only=True)
class DriverCards(BookingsAsked):
    """``plan``: the file of the plan; ``paper``: to print on."""

    COMMAND: ClassVar[str] = "fleet day"

    plan: str = option(default="")
    paper: Literal["a4", "letter"] = "a4"


@frozen
class Seated:
    """One way worked out again: the arrangement that it is, with its drawing and a card for each restraint."""

    plan: Plan
    arrangement: Arrangement
    picture: Picture
    cards: tuple[Card, ...]


@frozen
class LegOfDay:
    """One booking. ``seated`` None: it did not come out again as planned, so nobody is to travel like that. ``above``:
    of a band that two modes cover, how the child rides from the reading on. ``beside``: what stands in the vehicle and
    is nobody's. ``taken_out`` and ``put_in``: at the depot, before it; ``from_``: by copy that is put in,
    the place in a vehicle that it comes from, None: the shelf of the depot."""

    booking: Booking
    leg: Leg
    seated: Seated | None
    above: Seated | None
    beside: Load
    taken_out: Load
    put_in: Load
    names: Mapping[tuple[str, str], str]
    from_: Mapping[str, Place | None]


@frozen
class VehicleDay:
    """The bookings of one vehicle in their order."""

    vehicle: VehicleUnit
    legs: tuple[LegOfDay, ...]


@frozen
class DayCards:
    """``drivers``: by driver, or by vehicle where it has none, only what is theirs."""

    read: FleetRead
    day: date
    record: Recorded
    drivers: Mapping[str, tuple[VehicleDay, ...]]


def driver_cards(request: DriverCards, listener: Listener = QUIET) -> Outcome[DayCards]:
    """The cards of a plan. Raises InputError where fleet, rules, minutes or bookings are not those of the plan."""
    if not request.plan:
        raise Misasked("plan", said("no plan is named"), said("expected {asked} and the file of one",
                                                              asked=FieldName("plan")))
    record = read_record(request.plan)
    read = read_fleet(request)
    of = open_bookings(_on(request, record), read)
    bookings = as_planned(request.plan, record, of, of.each())
    world = world_of(read.fleet, read.profile, of.day, parties_of(bookings).brought)
    by_key = {one.key: one for one in bookings}
    vehicles, copies = with_still_out(vehicles_of(read.fleet), copies_of(read.fleet, read.profile, of.day),
                                      record.night)
    made = _Cards(read, world, of.day, by_key, put_in_from(record.plan.routes, by_key, copies))
    drivers: dict[str, list[VehicleDay]] = {}
    names = {one.vehicle: one.driver or one.vehicle for one in read.fleet.vehicles}
    for unit in vehicles:
        legs = record.plan.routes.get(unit.key, ())
        if legs:
            drivers.setdefault(names[unit.key], []).append(VehicleDay(unit, made.legs(unit, legs)))
    found = DayCards(read, of.day, record, {name: tuple(told) for name, told in drivers.items()})
    whole = all(leg.seated is not None for told in drivers.values() for one in told for leg in one.legs)
    return Outcome(request, found, Verdict.ANSWERED if whole else Verdict.REJECTED)


def _on(request: DriverCards, record: Recorded) -> DriverCards:
    """The request on the day of the plan."""
    return replace(request, on=date.fromisoformat(record.date))


@dataclass(slots=True)
class _Cards:
    read: FleetRead
    world: World
    day: date
    bookings: Mapping[str, Booking]
    from_: Mapping[tuple[str, str], Place | None]

    def legs(self, unit: VehicleUnit, legs: Sequence[Leg]) -> tuple[LegOfDay, ...]:
        """The bookings of one vehicle, with what is done at the depot before each."""
        told, before = [], unit.installed
        for leg in legs:
            booking = self.bookings[leg.booking]
            names = {(kind, position): copy for (kind, position, _), copy in zip(leg.load, leg.copies, strict=True)}
            used = {(seat.kind, seat.position) for seat in leg.way.seats}
            beside = tuple(piece for piece in leg.load if piece[:2] not in used)
            told.append(LegOfDay(
                booking, leg, self._seated(unit, booking, leg.way, names),
                None if leg.cover is None else self._seated(unit, booking, leg.cover.above, names),
                beside, *_changed(before, leg), names,
                {copy: self.from_[leg.booking, copy] for copy in leg.copies if (leg.booking, copy) in self.from_}))
            before = leg.load
        return tuple(told)

    def _seated(self, unit: VehicleUnit, booking: Booking, way: Way, names: Mapping[tuple[str, str], str]
                ) -> Seated | None:
        """A way asked again as a trip of one family would be, with the copies that the plan hands out."""
        trip, held = self._trip(unit, booking, way, names)
        if trip is None:
            return None
        solved = planned(trip, self.world.profile, self.day, top=None)
        wanted = {(_name(seat.member, booking), seat.position, held.get(n), seat.mode, seat.by)
                  for n, seat in enumerate(way.seats)}
        for arrangement in solved.arrangements:
            there = {(one.placement.rider.rider, one.placement.position.position,
                      None if one.placement.restraint is None else one.placement.restraint.restraint,
                      one.placement.mode_name, one.placement.by) for one in arrangement.seats}
            if there == wanted:
                seen = picture(solved, arrangement)
                return Seated(solved, arrangement, seen, cards(solved, arrangement, seen))
        return None

    def _trip(self, unit: VehicleUnit, booking: Booking, way: Way, names: Mapping[tuple[str, str], str]
              ) -> tuple[Trip | None, dict[int, str]]:
        """The trip of one booking, and by place in the way what each rides in."""
        restraints: list[Restraint] = []
        tried, held = [], {}
        of_type = self.world.tried.get(unit.vehicle_type, ())
        for n, seat in enumerate(way.seats):
            found = self._restraint(seat.kind, seat.own, names.get((seat.kind or "", seat.position), ""), booking)
            if found is None:
                if seat.kind is not None:
                    return None, {}
                continue
            restraints.append(found)
            held[n] = found.restraint
            kind = seat.kind if seat.kind is not None else booking.party.brings[seat.own]
            tried += [one.model_copy(update={"restraint": found.restraint}) for one in of_type
                      if one.restraint == kind]
        riders = [rider_of(_name(n, booking), member) for n, member in enumerate(booking.party.members)]
        driver = Rider.model_validate({"rider": DRIVER, "adult": True, "drives": True, **self.world.driver})
        trip = Trip.model_validate({
            "trip": f"{unit.key} {booking.origin} {booking.goal}"[:80], "vehicle": self.world.types[unit.vehicle_type],
            "on": self.day, "drives": self.world.drives[unit.vehicle_type], "riders": [*riders, driver],
            "rules": self.world.profile.name, "front": self.world.front.get(unit.vehicle_type, {})})
        return trip.model_copy(update={"restraints": restraints, "tried": tried}), held

    def _restraint(self, kind: str | None, own: int, serial: str, booking: Booking) -> Restraint | None:
        """What somebody rides in: the copy itself, with its own dates; what they bring, as they said."""
        if kind is None:
            if own < 0:
                return None
            brought = self.world.kinds[booking.party.brings[own]]
            return brought.model_copy(update={"restraint": f"own {brought.restraint} {own + 1}", "in_order": True,
                                              "made": None, "expires": None, "condition": _WELL})
        copy = next((one for one in self.read.fleet.copies if one.serial == serial), None)
        if copy is None:
            return None
        made = Copies(self.read.fleet, self.read.profile).restraint(copy)
        return made.model_copy(update={"restraint": f"{copy.kind} {serial}"})


def _name(member: int, booking: Booking) -> str:
    """What a rider is called on a card: a letter, in the order of the party; nobody's name is known."""
    return _LETTERS[member] if member < len(booking.party.members) else DRIVER


def letters(booking: Booking) -> Iterable[str]:
    """What the members of a party are called on a card, in their order."""
    return _LETTERS[:len(booking.party.members)]


def _changed(before: Load, leg: Leg) -> tuple[Load, Load]:
    """What is taken out and put in at the depot before a booking: also of one to which the vehicle was to drive on
    directly, where the booking before it was deleted."""
    return (tuple(piece for piece in before if piece not in leg.load),
            tuple(piece for piece in leg.load if piece not in before))
