"""From the files of a fleet to what its plan is made of: bookings, vehicles, copies, and the world of its classes."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from functools import lru_cache
from typing import Any

from seatplan.doubt.doubting import doubts_of_rider
from seatplan.files.bookings import BookingRow, Known, Reject, folded, gone_by, read_bookings
from seatplan.files.errors import InputError, Problem
from seatplan.files.riders_cell import GROWN_MONTHS, RiderTold
from seatplan.message import Name, said
from seatplan.model import Restraint, Rider
from seatplan.model.fleet import Fleet
from seatplan.rules.profile import Profile

from .classes import World, canonical
from .copies import Copies
from .records import Booking, CopyUnit, Load, Member, Party, VehicleUnit

#: sizes of the longest child's day have none of their own; bodies are held against ages, which stand beside them
_ANY_DAY = date(2000, 1, 1)


@dataclass(slots=True)
class Counts:
    """What came of a file of bookings: taken for the day, rejected, of other days; ``unsure``: taken, with restraints
    of their own that nobody looked at, which do not count as aboard."""

    taken: int = 0
    rejected: int = 0
    other_days: int = 0
    unsure: int = 0


def known_of(fleet: Fleet, salt: bytes, places: Iterable[str], today: date) -> Known:
    """What bookings of a fleet may name. ``places``: those of its travel matrix."""
    return Known(salt, folded(sorted(set(places))), folded([kind.kind for kind in fleet.kinds]), today,
                 fleet.privacy.keep_days)


def bookings_of(path: str, fleet: Fleet, known: Known, day: date, rejected: Callable[[Reject], object],
                counts: Counts) -> Iterator[Booking]:
    """The bookings of a file that begin on a day, one by one; ``rejected`` is told of rows that are none. Raises
    InputError where the file has no bookings at all to begin with."""
    party = _Parties(fleet)
    midnight = datetime.combine(day, datetime.min.time())
    for row in read_bookings(path, known):
        wrong = row if isinstance(row, Reject) else _unlikely(row)
        if wrong is not None:
            counts.rejected += 1
            rejected(wrong)
            continue
        assert isinstance(row, BookingRow)
        if row.start.date() != day:
            counts.other_days += 1
            continue
        counts.taken += 1
        counts.unsure += bool(row.unsure)
        yield Booking(row.key, _minutes(row.start, midnight), _minutes(row.end, midnight), row.origin, row.goal,
                      party.of(row.riders, row.adults, row.own))


def keys_due(day: date, bookings: Iterable[Booking], today: date, keep_days: int | None) -> list[str]:
    """The keys of bookings of a plan's day that are to be kept no longer."""
    midnight = datetime.combine(day, datetime.min.time())
    return [one.key for one in bookings if gone_by(midnight + timedelta(minutes=one.end), today, keep_days)]


def _minutes(moment: datetime, midnight: datetime) -> int:
    return int((moment - midnight).total_seconds() // 60)


def _unlikely(row: BookingRow) -> Reject | None:
    """A size that nobody of that age or stature is likely to have: it is asked again, and not planned with."""
    for field, told in (("riders", row.riders), ("adults", row.adults)):
        for n, rider in enumerate(told, 1):
            if _odd(rider, field == "adults"):
                return Reject(row.line, field, said(
                    "number {n}: mass, stature and age are unlikely together; ask again", n=n))
    return None


@lru_cache(maxsize=65_536)
def _odd(rider: RiderTold, adult: bool) -> bool:
    if rider.mass_g is None and rider.height_mm is None:
        return False
    told: dict[str, Any] = {"rider": "one", "adult": adult}
    if rider.months is not None:
        low, high = rider.months
        told["age"] = f"{low} months" if low == high else [f"{low} months", f"{high} months"]
    if rider.mass_g is not None:
        told["mass"] = f"{rider.mass_g} g"
    if rider.height_mm is not None:
        told["height"] = rider.height_mm
    return bool(doubts_of_rider(Rider.model_validate(told), _ANY_DAY))


class _Parties:
    """Parties as classes know them; equal ones are one object."""

    def __init__(self, fleet: Fleet) -> None:
        self._bands: Sequence[int] = fleet.privacy.age_bands
        self._kinds = {kind.kind: kind.restraint.key() for kind in fleet.kinds}
        self._kept: dict[tuple[tuple[RiderTold, ...], tuple[RiderTold, ...], tuple[str, ...]], Party] = {}
        self._same: dict[Party, Party] = {}

    def of(self, riders: tuple[RiderTold, ...], adults: tuple[RiderTold, ...], own: tuple[str, ...]) -> Party:
        asked = riders, adults, own
        found = self._kept.get(asked)
        if found is None:
            made = canonical([*(Member(False, self._band(rider.months), rider.mass_g, rider.height_mm, rider.upright)
                                for rider in riders),
                               *(Member(True, None, adult.mass_g, adult.height_mm) for adult in adults)],
                             [self._kinds[kind] for kind in own])
            found = self._kept[asked] = self._same.setdefault(made, made)
        return found

    def _band(self, months: tuple[int, int] | None) -> tuple[int, int] | None:
        """An age as it is kept: the band that it lies in, where bands are set."""
        if months is None or not self._bands:
            return months
        low, high = bisect_right(self._bands, months[0]), bisect_right(self._bands, months[1])
        return (self._bands[low - 1] if low else 0,
                self._bands[high] - 1 if high < len(self._bands) else max(months[1], GROWN_MONTHS - 1))


# --- vehicles, copies, classes

def vehicles_of(fleet: Fleet) -> tuple[VehicleUnit, ...]:
    """The vehicles as a plan knows them, in the order of the file."""
    types = {one.type: one.vehicle.key() for one in fleet.types}
    kinds = {one.kind: one.restraint.key() for one in fleet.kinds}
    aboard: dict[str, list[tuple[str, str, str]]] = {}
    for copy in fleet.copies:
        if copy.installed is not None:
            aboard.setdefault(copy.installed.vehicle, []).append(
                (kinds[copy.kind], copy.installed.position, copy.installed.by or ""))
    return tuple(VehicleUnit(
        one.vehicle, types[one.type], one.depot, _load(aboard.get(one.vehicle, ())), _time(one.from_), _time(one.until))
        for one in fleet.vehicles)


def _load(pieces: Iterable[tuple[str, str, str]]) -> Load:
    return tuple(sorted(pieces))


def _time(told: str | None) -> int | None:
    return None if told is None else int(told[:2]) * 60 + int(told[3:])


def copies_of(fleet: Fleet, profile: Profile, day: date, latest: int = 0) -> tuple[CopyUnit, ...]:
    """The copies as a plan of a day knows them, in the order of the file. ``latest``: the minute in which the last
    booking ends, where that is on the next day."""
    copies = Copies(fleet, profile)
    depots = {one.vehicle: one.depot for one in fleet.vehicles}
    return tuple(copies.unit(copy, day, depots, latest) for copy in fleet.copies)


def holding_of(fleet: Fleet) -> dict[str, tuple[int, int]]:
    """By what holds a restraint, the minutes to put it in and to take it out; nothing by an empty word."""
    return {"" if by == "none" else by: (one.put_in, one.take_out) for by, one in fleet.changeover.items()}


def rows_of(fleet: Fleet) -> dict[str, dict[str, int]]:
    """By type, the row of each position."""
    return {one.vehicle.key(): {position.position: row.row for row in one.vehicle.rows for position in row.positions}
            for one in fleet.types}


def nobody_installs(fleet: Fleet) -> frozenset[str]:
    """The depots whose vehicles keep what is installed in them: nobody there is said to install, nor is every driver of
    their vehicles."""
    trained = {one.driver for one in fleet.drivers if one.installs}
    return frozenset(depot.depot for depot in fleet.depots if not depot.installs and not all(
        one.driver in trained for one in fleet.vehicles if one.depot == depot.depot))


def world_of(fleet: Fleet, profile: Profile, day: date, brought: Iterable[str] = ()) -> World:
    """The world of the classes of a fleet. ``brought``: content's names of kinds that parties bring; those that nobody
    brings, and of which there is no copy, are left out."""
    used = {copy.kind for copy in fleet.copies}
    kinds: dict[str, Restraint] = {one.restraint.key(): one.restraint for one in fleet.kinds
                                   if one.kind in used or one.restraint.key() in set(brought)}
    names = {one.kind: one.restraint.key() for one in fleet.kinds}
    tried = {one.vehicle.key(): [each.model_copy(update={"restraint": names[each.restraint]}) for each in one.tried
                              if each.restraint is not None]
             for one in fleet.types if one.tried}
    return World({one.vehicle.key(): one.vehicle for one in fleet.types}, kinds,
                 {one.vehicle.key(): one.drives for one in fleet.types}, profile, tried,
                 fleet.any_driver.data(), day,
                 {one.vehicle.key(): {seat: limit.data() for seat, limit in one.front.items()}
                  for one in fleet.types if one.front})


def places_needed(fleet: Fleet, path: str, travel: dict[tuple[str, str], int]) -> None:
    """That each depot is a place of the travel matrix at ``path``. Raises InputError."""
    places = {place for pair in travel for place in pair}
    missing = [depot.depot for depot in fleet.depots if depot.depot not in places]
    if missing:
        raise InputError([Problem(path, 0, 0, said('depot "{depot}" is no place of this matrix; expected its minutes '
                                                   "to and from every place", depot=Name(depot))) for depot in missing])
