"""A trip as far as it is believed: every unlikely value that nobody is sure of counts as unknown."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from typing import Any, TypeVar

from seatplan.model import Ahead, Installed, Reckoned, Restraint, Rider, Row, Tried, Trip, Vehicle
from seatplan.model.doubt import Doubt, Owner, Path, steps
from seatplan.model.kinds import as_written, renewed
from seatplan.model.record import Record
from seatplan.model.trip import Believed
from seatplan.store import COMMON, Shelf, Store

from .across import odd_places
from .bands import Odd, outside
from .bodies import odd_bodies
from .labels import kind_of, odd_anchor_limits, odd_labels
from .telling import how_to_take, name_in

R = TypeVar("R", bound=Record)


def believed(trip: Trip, day: date, store: Store = COMMON) -> Believed:
    """The trip without its unlikely values; they are in ``doubted``. ``day``: where the trip names none; ``store``
    keeps what is doubted for whoever asks next.

    A trip that was asked once is believed as it is, whatever was tried on it since.
    """
    if isinstance(trip, Believed):
        return trip
    us = trip.rules != "un"
    taken = trip.on or day
    doubted: list[Doubt] = []
    of_vehicle = doubts_of_vehicle(trip.vehicle, us, store)
    vehicle = _without(trip.vehicle, of_vehicle)
    doubted += of_vehicle
    riders, restraints = [], []
    for rider in trip.riders:
        found = doubts_of_rider(rider, taken, store)
        doubted += found
        riders.append(_without(rider, found))
    for restraint in trip.restraints:
        found = doubts_of_restraint(restraint, us, store)
        doubted += found
        restraints.append(renewed(_without(restraint, found)) if found else restraint)
    front = {}
    for seat, limit in trip.front.items():
        found = _doubts("front", seat, {"front": trip.front}, ("front", seat), limit, outside(limit, at="front"))
        doubted += found
        front[seat] = _without(limit, found)
    tried = []
    for k, one in enumerate(trip.tried):
        found = doubts_of_try(one, k)
        doubted += found
        tried.append(_without(one, found))
    installed = {}
    for name, here in trip.installed.items():
        found = doubts_of_installed(here, name)
        doubted += found
        installed[name] = _without(here, found)
    kept = {name: getattr(trip, name) for name in Trip.model_fields}
    return Believed.model_construct(**kept | {
        "vehicle": vehicle, "riders": riders, "restraints": restraints, "front": front, "tried": tried,
        "installed": installed, "doubted": tuple(doubted)})


def believed_anew(trip: Trip, day: date, store: Store = COMMON) -> Believed:
    """``believed`` for a trip from outside: one that was asked once may have been copied with other values since. Those
    are asked too, and what was doubted stays so."""
    if not isinstance(trip, Believed):
        return believed(trip, day, store)
    plain = Trip.model_construct(**{name: getattr(trip, name) for name in Trip.model_fields})
    again = believed(plain, day, store)
    new = [doubt for doubt in again.doubted if doubt not in trip.doubted]
    return again.model_copy(update={"doubted": (*trip.doubted, *new)}) if new else trip


def _shelf(store: Store) -> Shelf[tuple[Doubt, ...]]:
    return store.shelf("doubts", weight=16)


def doubts_of_rider(rider: Rider, taken: date, store: Store = COMMON) -> tuple[Doubt, ...]:
    """The unlikely sizes of one rider. ``taken``: the day of sizes without one of their own."""
    if isinstance(rider, Reckoned):
        return ()
    return _shelf(store).ask((rider.content, taken), lambda: _doubts(
        "rider", rider.rider, {"riders": [rider]}, ("riders", 0), rider, odd_bodies(rider, taken)))


def doubts_of_restraint(restraint: Restraint, us: bool = True, store: Store = COMMON) -> tuple[Doubt, ...]:
    """The unlikely values of one restraint; ``us``: labels are those of the United States."""
    return _shelf(store).ask((restraint.content, us), lambda: _doubts(
        "restraint", restraint.restraint, {"restraints": [restraint]}, ("restraints", 0), restraint,
        (odd._replace(path=as_written(restraint, odd.path))
         for odd in (*odd_labels(restraint, us), *outside(restraint, kind_of(restraint))))))


def doubts_of_vehicle(vehicle: Vehicle, us: bool = True, store: Store = COMMON) -> tuple[Doubt, ...]:
    """The unlikely values of one vehicle; ``us``: labels are those of the United States."""
    return _shelf(store).ask((vehicle.content, us), lambda: _doubts(
        "vehicle", vehicle.vehicle, {"rows": vehicle.rows, "measured": vehicle.measured}, (), vehicle,
        (_at_free(vehicle, odd) for odd in (*odd_anchor_limits(vehicle, us), *outside(vehicle), *odd_places(vehicle)))))


def _at_free(vehicle: Vehicle, odd: Odd) -> Odd:
    """Of one length that stands for all heights the field that it is written in."""
    holder = list(steps(vehicle, odd.path[:-1]))[-1]
    if isinstance(holder, Ahead) and odd.path[-1] == "gap" and holder.free_everywhere:
        return odd._replace(path=(*odd.path[:-1], "free"), item=())
    return odd


def doubts_of_try(tried: Tried, number: int = 0) -> tuple[Doubt, ...]:
    """The unlikely values of the entry of that number."""
    return _doubts("tried", str(number), {"tried": [tried] * (number + 1)}, ("tried", number), tried,
                   outside(tried, at="tried"))


def doubts_of_installed(here: Installed, rider: str) -> tuple[Doubt, ...]:
    """The unlikely readings of what is installed for a rider."""
    return _doubts("installed", rider, {"installed": {rider: here}}, ("installed", rider), here,
                   outside(here, at="installed"))


def _doubts(of: Owner, name: str, holder: dict[str, Any], at: Path, record: Record,
            odd: Iterable[Odd]) -> tuple[Doubt, ...]:
    """Odd values as doubts, one for each field; none where somebody is sure."""
    found: dict[Path, Doubt] = {}
    for one in odd:
        if one.path in found:
            continue
        beside, value = list(steps(record, one.path))[-2:]
        field = str(one.path[-1])
        if beside.is_sure(field):
            continue
        if one.path == (field,) and _entry_sure(record, field):
            continue
        whose, called = _owner(of, name, record, one.path)
        inside = value
        for step in one.item:
            inside = inside[step]
        found[one.path] = Doubt(
            whose, called, one.path, name_in(holder, (*at, *one.path, *one.item)), one.value, one.low, one.high,
            one.unit, one.why, how_to_take(one.path, of), one.source, value, inside != one.value,
            _gone(record, one.path))
    return tuple(found.values())


def _entry_sure(record: Record, field: str) -> bool:
    """Whether a rider's size is one of a measurement that is sure."""
    return isinstance(record, Rider) and any(
        entry.is_sure(field) and getattr(entry, field) == getattr(record, field) for entry in record.measured)


def _owner(of: Owner, name: str, record: Record, path: Path) -> tuple[Owner, str]:
    """Whose value it is; of a vehicle the row or the position."""
    if not isinstance(record, Vehicle) or path[0] != "rows":
        return of, name
    row: Row = record.rows[int(path[1])]
    if len(path) > 3 and path[2] == "positions":
        return "position", row.positions[int(path[3])].position
    return "row", str(row.row)


def _gone(record: Record, path: Path) -> Path:
    """What becomes unknown with a field: itself, or where its record cannot be without it, what holds that."""
    while True:
        beside = list(steps(record, path[:-1]))[-1]
        if isinstance(beside, Record):
            field = type(beside).model_fields[str(path[-1])]
            if not field.is_required():
                return path
        elif isinstance(beside, list):
            holder, name = list(steps(record, path[:-2]))[-1], str(path[-2])
            default = type(holder).model_fields[name].get_default(call_default_factory=True)
            if default is not None:
                return path                      # one of a list that may be shorter
        path = path[:-1]


def _without(record: R, doubts: Iterable[Doubt]) -> R:
    """A record with the doubted values unknown; of lists the last item first, so that the others keep their place."""
    for path in sorted({doubt.gone for doubt in doubts}, key=_last_first, reverse=True):
        record = _cut(record, path)
    return record


def _last_first(path: Path) -> tuple[tuple[bool, str, int], ...]:
    return tuple((isinstance(step, int), str(step) if isinstance(step, str) else "",
                  step if isinstance(step, int) else 0) for step in path)


def _cut(record: Any, path: Path) -> Any:
    head, rest = path[0], path[1:]
    if isinstance(record, list):
        k = int(head)
        if k >= len(record):
            return record
        return [*record[:k], *([_cut(record[k], rest)] if rest else []), *record[k + 1:]]
    held = getattr(record, str(head))
    if isinstance(record, Ahead) and head == "free":
        return record.without_free() if record.free_everywhere else record
    if held is None:                             # gone already, with something else
        return record
    if rest:
        return record.model_copy(update={head: _cut(held, rest)})
    return record.model_copy(update={head: type(record).model_fields[str(head)].get_default(call_default_factory=True)})
