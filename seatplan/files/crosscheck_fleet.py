"""A fleet in itself: every name once and there wherever it is used, every copy in one place, days in order. One check
each, in ``FLEET_CHECKS``."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Iterator, Sequence
from datetime import date
from itertools import pairwise

from seatplan.message import Day, Name, Word, said
from seatplan.model.fleet import Fleet, OneCopy, OneVehicle

from .errors import Problem, near_word
from .places import Found, Loc, Places

#: what a fleet lists, and the key that each item is called by
_LISTS = (("depots", "depot"), ("types", "type"), ("vehicles", "vehicle"), ("drivers", "driver"), ("kinds", "kind"),
          ("copies", "serial"))


def fleet_problems(fleet: Fleet, places: Places) -> list[Problem]:
    """Everything about one fleet that does not agree."""
    return [places.problem(loc, text) for check in FLEET_CHECKS for loc, text in check(fleet, places.today)]


def _each_name_once(fleet: Fleet, today: date | None) -> Found:
    for key, called in _LISTS:
        seen: dict[str, int] = {}
        for i, item in enumerate(getattr(fleet, key)):
            name = getattr(item, called)
            first = seen.setdefault(name.casefold(), i)
            if first != i:
                yield (key, i, called), said(
                    '{what} "{name}" stands here twice; first as number {first} of {key}', what=Word(
                        "serial number" if called == "serial" else called), name=Name(name), first=first + 1,
                    key=Name(key))


def _what_is_named_is_there(fleet: Fleet, today: date | None) -> Found:
    depots, types, vehicles, drivers, kinds = (
        dict.fromkeys(getattr(one, called) for one in getattr(fleet, key)) for key, called in _LISTS[:5])
    for i, vehicle in enumerate(fleet.vehicles):
        yield from _known(("vehicles", i, "type"), vehicle.type, types, "type")
        yield from _known(("vehicles", i, "depot"), vehicle.depot, depots, "depot")
        yield from _known(("vehicles", i, "driver"), vehicle.driver, drivers, "driver")
    for i, copy in enumerate(fleet.copies):
        yield from _known(("copies", i, "kind"), copy.kind, kinds, "kind")
        yield from _known(("copies", i, "depot"), copy.depot, depots, "depot")
        if copy.installed is not None:
            yield from _known(("copies", i, "installed", "vehicle"), copy.installed.vehicle, vehicles, "vehicle")
    for i, kind in enumerate(fleet.types):
        for k, tried in enumerate(kind.tried):
            yield from _known(("types", i, "tried", k, "restraint"), tried.restraint, kinds, "kind")


def _known(loc: Loc, name: str | None, names: Collection[str], what: str) -> Found:
    if name is not None and name not in names:
        near = near_word(name, names) if len(names) <= 40 else _nearest(name, names)
        yield loc, said('no {what} of this fleet is called "{name}"; {near}', what=Word(what), name=Name(name),
                        near=near)


def _nearest(name: str, names: Collection[str]) -> str:
    """The same without a list of hundreds."""
    from difflib import get_close_matches

    near = get_close_matches(name, names, 1, 0.6)
    return said('did you mean "{near}"?', near=near[0]) if near else said("{n} others are", n=len(names))


def _a_type_is_one_vehicle(fleet: Fleet, today: date | None) -> Found:
    for i, first, other in _alike((one.type, one.vehicle.content) for one in fleet.types):
        yield ("types", i, "vehicle"), said(
            "types {first} and {other} are one vehicle; expected one type for it", first=Name(first), other=Name(other))


def _a_kind_is_one_restraint(fleet: Fleet, today: date | None) -> Found:
    for i, first, other in _alike((one.kind, one.restraint.content) for one in fleet.kinds):
        yield ("kinds", i, "restraint"), said(
            "kinds {first} and {other} are one restraint; expected one kind for it", first=Name(first),
            other=Name(other))


def _alike(named: Iterable[tuple[str, int]]) -> Iterator[tuple[int, str, str]]:
    """Of names with what each stands for: each that stands for the same as an earlier one, by its place, with both."""
    seen: dict[int, str] = {}
    for i, (name, content) in enumerate(named):
        first = seen.setdefault(content, name)
        if first != name:
            yield i, first, name


def _seats_are_there(fleet: Fleet, today: date | None) -> Found:
    for i, one in enumerate(fleet.types):
        yield from _seat(("types", i, "drives"), one.drives, fleet, one.type)
        for seat in one.front:
            yield from _seat(("types", i, "front", seat), seat, fleet, one.type)


def _seat(loc: Loc, seat: str, fleet: Fleet, type_name: str) -> Found:
    """That a vehicle of a type has a seat; of a type that is not there nothing is said."""
    found = next((one for one in fleet.types if one.type == type_name), None)
    names = [] if found is None else [position.position for position in found.vehicle.positions()]
    if found is not None and seat not in names:
        yield loc, said('no position of type {type} is called "{seat}"; {near}', type=Name(type_name), seat=Name(seat),
                        near=near_word(seat, names))


def _tried_by_nobody(fleet: Fleet, today: date | None) -> Found:
    """Who rode or tried is nobody's business here."""
    for i, one in enumerate(fleet.types):
        for k, tried in enumerate(one.tried):
            yield from _seat(("types", i, "tried", k, "position"), tried.position, fleet, one.type)
            for key in ("rider", "who"):
                if getattr(tried, key):
                    yield ("types", i, "tried", k, key), said(
                        "`{key}` names a person; leave it out of a fleet", key=Name(key))


def _a_copy_is_in_one_place(fleet: Fleet, today: date | None) -> Found:
    of = {one.vehicle: one for one in fleet.vehicles}
    taken: dict[tuple[str, str], str] = {}
    for i, copy in enumerate(fleet.copies):
        here = copy.installed
        if here is None and copy.depot is None:
            yield ("copies", i), said("copy {serial} is nowhere: expected key \"depot\" or \"installed\"",
                                      serial=Name(copy.serial))
        if here is None or here.vehicle not in of:
            continue
        yield from _installed(("copies", i), copy, of[here.vehicle], fleet)
        first = taken.setdefault((here.vehicle, here.position), copy.serial)
        if first != copy.serial:
            yield ("copies", i, "installed", "position"), said(
                "copies {first} and {other} are both at {seat} of vehicle {vehicle}; expected one", first=Name(first),
                other=Name(copy.serial), seat=Name(here.position), vehicle=Name(here.vehicle))


def _installed(at: Loc, copy: OneCopy, vehicle: OneVehicle, fleet: Fleet) -> Found:
    here = copy.installed
    assert here is not None
    if copy.depot is not None and copy.depot != vehicle.depot:
        yield (*at, "depot"), said("copy {serial} is installed in vehicle {vehicle} of depot {depot}; expected that "
                                   "depot, or none", serial=Name(copy.serial), vehicle=Name(vehicle.vehicle),
                                   depot=Name(vehicle.depot))
    yield from _seat((*at, "installed", "position"), here.position, fleet, vehicle.type)
    if any(one.type == vehicle.type and one.drives == here.position for one in fleet.types):
        yield (*at, "installed", "position"), said("{seat} is the driver's seat of type {type}; expected another",
                                                   seat=Name(here.position), type=Name(vehicle.type))
    kind = next((one for one in fleet.kinds if one.kind == copy.kind), None)
    ways = [] if kind is None else sorted({way.by for mode in kind.restraint.modes for way in mode.installations})
    if kind is not None and here.by is not None and here.by not in ways:
        yield (*at, "installed", "by"), said('kind {kind} is not installed by "{by}"; {near}', kind=Name(copy.kind),
                                             by=Name(here.by), near=near_word(here.by, ways))


def _a_driver_is_in_one_vehicle(fleet: Fleet, today: date | None) -> Found:
    shifts: dict[str, list[OneVehicle]] = {}
    for i, vehicle in enumerate(fleet.vehicles):
        if vehicle.from_ is not None and vehicle.until is not None and vehicle.from_ >= vehicle.until:
            yield ("vehicles", i, "until"), said("vehicle {vehicle} is in use from {start} until {end}; expected a "
                                                 "later end", vehicle=Name(vehicle.vehicle), start=Name(vehicle.from_),
                                                 end=Name(vehicle.until))
        if vehicle.driver is None:
            continue
        for other in shifts.setdefault(vehicle.driver, []):
            if (vehicle.from_ or "") < (other.until or "99") and (other.from_ or "") < (vehicle.until or "99"):
                yield ("vehicles", i, "driver"), said(
                    "driver {driver} drives {first} and {other} at one time; expected one of them, or shifts with "
                    "`from` and `until`", driver=Name(vehicle.driver), first=Name(other.vehicle),
                    other=Name(vehicle.vehicle))
        shifts[vehicle.driver].append(vehicle)


def _days_in_order(fleet: Fleet, today: date | None) -> Found:
    for i, copy in enumerate(fleet.copies):
        since = None if copy.installed is None else copy.installed.since
        for loc, day in ((("made",), copy.made), (("installed", "since"), since)):
            if day is not None and today is not None and day > today:
                yield ("copies", i, *loc), said("{day} is after today, {today}; expected a day that was",
                                                day=Day(day), today=Day(today))
        if copy.made is not None and copy.expires is not None and copy.expires <= copy.made:
            yield ("copies", i, "expires"), said("copy {serial} expires {expires} and was made {made}; expected a "
                                                 "later day", serial=Name(copy.serial), expires=Day(copy.expires),
                                                 made=Day(copy.made))
        for k, one in enumerate(copy.quarantine):
            if one.until is not None and one.until <= one.from_:
                yield ("copies", i, "quarantine", k, "until"), said("the quarantine ends before it begins; expected a "
                                                                    "later end")


def _bands_rise(fleet: Fleet, today: date | None) -> Found:
    bands: Sequence[int] = fleet.privacy.age_bands
    for i, (low, high) in enumerate(pairwise(bands)):
        if low >= high:
            yield ("privacy", "age_bands", i + 1), said("ages of bands rise; expected more than {months} months",
                                                        months=low)


FLEET_CHECKS: tuple[Callable[[Fleet, date | None], Found], ...] = (
    _each_name_once, _what_is_named_is_there, _a_type_is_one_vehicle, _a_kind_is_one_restraint, _seats_are_there,
    _tried_by_nobody, _a_copy_is_in_one_place, _a_driver_is_in_one_vehicle, _days_in_order, _bands_rise,
)


def fleet_notices(fleet: Fleet) -> Iterator[tuple[Loc, str]]:
    """What is odd but allowed."""
    if not fleet.copies:
        yield ("copies",), said("no copies of restraints: only parties that bring their own, or need none, are served")
