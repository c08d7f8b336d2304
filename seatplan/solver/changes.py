"""What differs for each rider between two ways of riding: seat, restraint, direction, installation, lean, room."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Literal

from seatplan.frozen import frozen
from seatplan.geometry.lengthwise import mover_of
from seatplan.model import Trip
from seatplan.model.trip import Installed
from seatplan.rules.subjects import Placement

from .results import Arrangement

What = Literal["seat", "restraint", "mode", "held", "recline", "ahead"]


@frozen
class Rides:
    """How one rider rides in what others are held against. ``placement`` is None where only seat and restraint are
    known (``restraint`` None: the seat belt), and perhaps what held it (``by``); ``ahead_mm`` is how far the seat
    ahead stands forward of rearmost, None where nobody says."""

    position: str
    restraint: str | None
    placement: Placement | None = None
    ahead_mm: int | None = None
    by: str | None = None


@frozen
class Change:
    """One rider of an arrangement beside how the rider rode before (None: that is not known), and what differs."""

    before: Rides | None
    after: Rides
    placement: Placement
    what: tuple[What, ...]

    @property
    def rider(self) -> str:
        return self.placement.rider.rider


def rides_of(arrangement: Arrangement) -> dict[str, Rides]:
    """How everybody rides in an arrangement, by rider."""
    return {seat.placement.rider.rider: _rides(seat.placement, arrangement) for seat in arrangement.seats}


def rides_today(trip: Trip) -> dict[str, Rides]:
    """How they ride today, as far as the trip says."""
    return {name: Rides(here.position, here.restraint) for name, here in trip.installed.items()}


def changes(before: Mapping[str, Rides], arrangement: Arrangement) -> tuple[Change, ...]:
    """What differs for each rider, in order of seat."""
    found = []
    for seat in arrangement.seats:
        was = before.get(seat.placement.rider.rider)
        now = _rides(seat.placement, arrangement)
        found.append(Change(was, now, seat.placement, () if was is None else tuple(_differs(was, now))))
    return tuple(found)


def moved(made: Iterable[Change]) -> int:
    """How many children change their seat, their restraint or the way they face in it."""
    return sum(not change.placement.rider.adult and bool({"seat", "restraint", "mode"} & set(change.what))
               for change in made)


def as_riding(rides: Mapping[str, Rides]) -> dict[str, Installed]:
    """What ``installed`` of a trip would say, so that the ranking counts moves from there."""
    return {name: Installed(restraint=r.restraint, position=r.position) for name, r in rides.items()}


def _rides(placement: Placement, arrangement: Arrangement) -> Rides:
    held = placement.restraint.restraint if placement.restraint else None
    return Rides(placement.position.position, held, placement, _ahead_mm(placement, arrangement))


def _ahead_mm(placement: Placement, arrangement: Arrangement) -> int | None:
    """How far what is ahead of a placement stands forward: the seat itself, or its row or part of it where that slides.
    None where nothing is known of it."""
    ahead = placement.position.ahead
    if ahead is None:
        return None
    seat = ahead.seat
    if seat is None or arrangement.ahead is None:
        return 0
    stands = dict(arrangement.ahead.stands)
    return stands.get(mover_of(seat, stands), 0)


def _differs(was: Rides, now: Rides) -> Iterable[What]:
    if was.position != now.position:
        yield "seat"
    if was.restraint != now.restraint:
        yield "restraint"
    before, after = was.placement, now.placement
    if was.by is not None and after is not None and was.restraint == now.restraint and was.by != after.by:
        yield "held"
    if before is None or after is None:
        return
    if before.mode_name != after.mode_name:
        yield "mode"
    if was.restraint == now.restraint and _way(before) != _way(after):
        yield "held"
    if before.recline is not None and after.recline is not None and was.restraint == now.restraint and (
            (before.recline.setting, before.recline.packing) != (after.recline.setting, after.recline.packing)):
        yield "recline"
    known = was.ahead_mm is not None and now.ahead_mm is not None
    if known and was.position == now.position and was.ahead_mm != now.ahead_mm:
        yield "ahead"


def _way(placement: Placement) -> tuple[object, ...]:
    """How it is held, but for the names that one car gives its bars and anchors."""
    installation = placement.installation
    base = (installation.base, installation.connectors, installation.support_leg) if installation else None
    return placement.by, base, placement.borrowed, placement.tether is not None
