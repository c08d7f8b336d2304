"""A trip: what it names of its vehicle, riders and restraints is there, once. One check each, in ``TRIP_CHECKS``;
those of one rider are in ``RIDER_CHECKS`` of ``crosscheck_rider``, those of wishes in ``crosscheck_wish``."""

from __future__ import annotations

from collections.abc import Callable, Collection
from datetime import date
from typing import get_args

from seatplan.message import Name, in_mm, said
from seatplan.model import Installed, Tried, Trip, UnderWay
from seatplan.model.own_seat import slides_at
from seatplan.model.restraint import By

from .crosscheck_body import bodies_wrong
from .crosscheck_dates import dated_too_early
from .crosscheck_names import known, positions_of, restraints_of, riders_of, twice
from .crosscheck_restraint import made_later
from .crosscheck_rider import RIDER_CHECKS
from .crosscheck_wish import MUST_CHECKS, wish_wrong
from .errors import Problem, near_word
from .places import Found, Loc, Places, below


def trip_problems(trip: Trip, places: Places, excused: Collection[Loc] = (),
                  today: date | None = None) -> list[Problem]:
    """Everything about one trip that does not agree with its vehicle, riders and restraints.

    What stands at an ``excused`` place does not count. ``today`` stands in where the trip names no day.
    """
    found = (*_trip(trip), *_not_made_yet(trip, trip.on or today), *_dated_too_early(trip, today))
    return [places.problem(loc, text) for loc, text in found if loc not in excused]


def _trip(trip: Trip) -> Found:
    for check in TRIP_CHECKS:
        yield from check(trip)
    for i, rider in enumerate(trip.riders):
        for rider_check in RIDER_CHECKS:
            yield from below(("riders", i), rider_check(rider, trip))
    for i, wish in enumerate(trip.wishes):
        yield from below(("wishes", i), wish_wrong(wish, trip))
    for i, tried in enumerate(trip.tried):
        yield from below(("tried", i), tried_wrong(tried, trip))
    for key in ("installed", "arrived", "under_way"):
        for name, here in (getattr(trip, key) or {}).items():
            yield from known((key, name), name, riders_of(trip), "rider")
            yield from below((key, name), _place_wrong(here, trip))


def _riders_named_once(trip: Trip) -> Found:
    yield from twice("riders", riders_of(trip), "rider", said("give each rider a name of its own"))


def _restraints_named_once(trip: Trip) -> Found:
    brought, there = [one.restraint for one in trip.restraints], [one.restraint for one in trip.vehicle.built_in()]
    yield from twice("restraints", brought, "restraint", said("give each copy a name of its own: {use: ..., as: ...}"))
    for i, name in enumerate(brought):
        if name in there and trip.restraints[i].built_into is None:
            yield ("restraints", i), said('"{name}" is built into the vehicle, too; expected another name', name=name)


def _driver_in_the_front_row(trip: Trip) -> Found:
    positions = positions_of(trip)
    if trip.drives not in positions:
        yield ("drives",), said('no position is called "{drives}"; {near_word}', drives=trip.drives,
                                near_word=near_word(trip.drives, positions))
    elif not trip.vehicle.in_front(trip.drives):
        yield ("drives",), said("{drives} is not in the front row; expected the driver's seat", drives=trip.drives)


def _front_seats_are_there(trip: Trip) -> Found:
    for name in trip.front:
        yield from known(("front", name), name, positions_of(trip), "position")


def _front_seats_travel_as_far(trip: Trip) -> Found:
    """Nobody sits further forward than the seat travels."""
    off = trip.vehicle.measured.tolerance
    for name, limit in trip.front.items():
        travels = [p.ahead.travel for p in trip.vehicle.positions()
                   if p.ahead is not None and p.ahead.seat == name and p.ahead.travel is not None]
        slides = _slides(trip, name)
        if limit.forward_at_most is None or not travels or slides is None:
            continue
        most = max(travels) + slides
        if limit.forward_at_most > most + 2 * off:
            yield (
                ("front", name, "forward_at_most"),
                said("whoever sits at {name} can live with {forward} forward, and the seat travels {most}; "
                     "expected at most that", name=name, forward=in_mm(limit.forward_at_most), most=in_mm(most)),
            )


def _slides(trip: Trip, position: str) -> int | None:
    """How far the row of a position, or its part of it, slides, mm; None where it is not known."""
    slides = next((slides_at(row, position) for row in trip.vehicle.rows if str(row.row) == position[0]), 0)
    if slides is None and trip.vehicle.in_front(position):
        return 0                            # a front row has seats that slide, not rails of its own
    return slides


def _airbags_are_of_seats(trip: Trip) -> Found:
    for i, name in enumerate(trip.airbags_off):
        yield from known(("airbags_off", i), name, positions_of(trip), "position")


def _each_where_nobody_else_is(trip: Trip) -> Found:
    """Riders sit at places of their own, in restraints of their own: now, on arrival, and in what is under way."""
    for among in ("installed", "arrived", "under_way"):
        taken: dict[tuple[str, str], str] = {}
        for name, here in (getattr(trip, among) or {}).items():
            for key, thing in (("position", here.position), ("restraint", here.restraint or "")):
                other = taken.setdefault((key, thing), name) if thing else name
                if other != name:
                    yield (
                        (among, name, key),
                        said("{thing} is where {other} rides too; expected one rider for each", thing=thing,
                             other=other),
                    )


def _place_wrong(here: Installed | UnderWay, trip: Trip) -> Found:
    """What one entry of `installed`, `arrived` or `under_way` names that the trip does not have."""
    yield from known(("position",), here.position, positions_of(trip), "position")
    if here.restraint is not None:
        yield from known(("restraint",), here.restraint, restraints_of(trip), "restraint")
        yield from _way_wrong(here.restraint, here.mode, here.by, trip)


def tried_wrong(tried: Tried, trip: Trip) -> Found:
    """What one entry of `tried` names that the trip does not have: (key, text)."""
    yield from _tried_of_what(tried, trip)
    yield from known(("position",), tried.position, positions_of(trip), "position")
    if tried.rider is not None:
        yield from known(("rider",), tried.rider, riders_of(trip), "rider")
    if tried.restraint is not None:
        yield from _way_wrong(tried.restraint, tried.mode, tried.by, trip)


def _tried_of_what(tried: Tried, trip: Trip) -> Found:
    """A restraint that is there with what held it; without one it is of a child on the vehicle belt alone, and then it
    says whose it is and how the belt lies, and nothing of how a restraint stood."""
    if tried.restraint is not None:
        yield from known(("restraint",), tried.restraint, restraints_of(trip), "restraint")
        if tried.by is None and tried.restraint not in {one.restraint for one in trip.vehicle.built_in()}:
            yield ("by",), said("by is missing; expected one of {ways}", ways=Name(", ".join(get_args(By))))
        return
    stood = tried.by or tried.mode or tried.failed or any(
        getattr(tried.readings, key, None) is not None or getattr(tried, key, None) is not None
        for key in ("sideways", "forwards", "moved", "level", "angle"))
    if stood or tried.rider is None or tried.readings is None or tried.readings.belt_fits is None:
        yield ("restraint",), said("restraint is missing; expected the name of one, or of a child on the vehicle belt "
                                   "alone `rider` and `readings: {example}` and nothing of a restraint",
                                   example=Name("{belt_fits: yes}"))


def _way_wrong(restraint: str, mode: str | None, by: str | None, trip: Trip) -> Found:
    """A mode that a restraint does not have, or a way of installing it."""
    modes = [m for r in (*trip.restraints, *trip.vehicle.built_in()) if r.restraint == restraint for m in r.modes]
    if modes and mode is not None and mode not in {m.mode for m in modes}:
        near = near_word(mode, {m.mode for m in modes})
        yield ("mode",), said("{restraint} has no mode {mode}; {near}", restraint=restraint, mode=mode, near=near)
        return
    ways = {k.by for m in modes if mode in (None, m.mode) for k in m.installations}
    if ways and by is not None and by not in ways:
        as_mode = said(" as {mode}", mode=mode) if mode else ""
        yield ("by",), said("{restraint} has no installation by {by}{as_mode}; {near_word}", restraint=restraint, by=by,
                            as_mode=as_mode, near_word=near_word(by, ways))


def _dated_too_early(trip: Trip, today: date | None) -> Found:
    for i, tried in enumerate(trip.tried):
        if tried.rider is not None:
            yield from below(("tried", i), dated_too_early(tried, tried.rider, trip, today))
    for key in ("installed", "arrived"):
        for name, here in (getattr(trip, key) or {}).items():
            yield from below((key, name), dated_too_early(here, name, trip, today))


def _not_made_yet(trip: Trip, day: date | None) -> Found:
    """Nobody rides in what is made later."""
    for i, restraint in enumerate(trip.restraints):
        if day is not None and restraint.made is not None and restraint.made > day:
            yield (
                ("restraints", i, "made"),
                made_later(restraint, day),
            )


TRIP_CHECKS: tuple[Callable[[Trip], Found], ...] = (
    _riders_named_once, _restraints_named_once, _driver_in_the_front_row, _front_seats_are_there,
    _front_seats_travel_as_far, _airbags_are_of_seats, _each_where_nobody_else_is, bodies_wrong, *MUST_CHECKS,
)
