"""A seat ahead slid to and fro: the gap behind it, and what becomes of the answer. Nothing is written."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import ClassVar

from seatplan.frozen import frozen
from seatplan.message import FieldName, said
from seatplan.model import Trip, Vehicle
from seatplan.model.trip import FrontLimit
from seatplan.model.vehicle import Ahead
from seatplan.solver.behind import Behind, behind, pictured
from seatplan.solver.picture import Picture
from seatplan.solver.results import Arrangement, Plan

from .arrange import solve
from .misasked import Misasked
from .notices import QUIET, Listener
from .outcome import Outcome
from .question import option
from .reading import read, trip_asked
from .request import Request
from .verdict import verdict_of

#: a seat whose lengths were taken where its person sits can be looked at so far to either side of that, mm
_TO_EITHER_SIDE = 150


@frozen(kw_only=True)
class Slide(Request):
    """``seat``: which one; ``forward``: how far it is slid forward, mm."""

    COMMAND: ClassVar[str] = "arrange"

    seat: str
    forward: int | None = option(default=None)


@frozen
class Slides:
    """One seat that somebody sits behind. From ``least`` to ``most`` mm forward of where its lengths were taken, which
    is rearmost, or, where ``kept``, where its person sits: there nothing is written of a place that it was slid to,
    since the length there has to be taken anew. ``now``: how far forward it may come as the files say; None: they do
    not."""

    seat: str
    least: int
    most: int
    kept: bool
    now: int | None


@frozen
class Slid:
    """``before`` and ``plan``: the answer as the files have it, and with the seat slid ``forward`` mm; ``behind``:
    each body behind it in the best arrangement of ``before``, and ``picture`` that with the seat there; None where
    nothing fits."""

    slides: Slides
    forward: int
    before: Plan
    plan: Plan
    behind: tuple[Behind, ...]
    picture: Picture | None


def seats_ahead(request: Request) -> tuple[Slides, ...]:
    """The seats that can be slid in front of others, in the order of the car. Raises InputError."""
    return tuple(_slides(trip_asked(request)))


def slide(request: Slide, listener: Listener = QUIET) -> Outcome[Slid]:
    """The gap behind a seat where it stands, and the answer then. Raises InputError, Misasked for another seat and for
    more than its travel."""
    found = read(request, listener)
    seats = {one.seat: one for one in _slides(found.written)}
    if request.seat not in seats:
        raise Misasked("seat", said("no seat of this car that stands before another can be slid by that name"),
                       said("expected one of {known}", known=", ".join(seats)) if seats else "")
    one = seats[request.seat]
    forward = request.forward if request.forward is not None else one.now or 0
    if not one.least <= forward <= one.most:
        raise Misasked("forward", said("{asked} is {found} mm", asked=FieldName("forward"), found=forward),
                       said("expected {least} to {most} mm", least=one.least, most=one.most))
    before = solve(found, request, 1)
    best = next(iter(before.arrangements), None)
    trip = found.trip if request.forward is None else _slid(found.trip, one, forward)
    plan = before if trip is found.trip else solve(replace(found, trip=trip), request, 1)
    answer = Slid(one, forward, before, plan, *_seen(before, best, one.seat, forward))
    return Outcome(request, answer, verdict_of(plan), found.notices)


def _seen(plan: Plan, best: Arrangement | None, seat: str, forward: int) -> tuple[tuple[Behind, ...], Picture | None]:
    """What stands behind the seat, and the picture of it."""
    if best is None:
        return (), None
    return tuple(behind(plan, best, seat)), pictured(plan, best, seat, forward)


def _slides(trip: Trip) -> Iterator[Slides]:
    by_seat: dict[str, list[Ahead]] = {}
    for position in trip.vehicle.positions():
        if position.ahead is not None and position.ahead.seat is not None and position.ahead.gap:
            by_seat.setdefault(position.ahead.seat, []).append(position.ahead)
    for seat, all_ahead in by_seat.items():
        kept = any(ahead.free_everywhere for ahead in all_ahead)
        travel = min(ahead.travel or 0 for ahead in all_ahead)
        limit = trip.front.get(seat)
        if kept:
            yield Slides(seat, -_TO_EITHER_SIDE, _TO_EITHER_SIDE, True, 0)
        elif travel:
            yield Slides(seat, 0, travel, False, None if limit is None else limit.forward_at_most)


def _slid(trip: Trip, one: Slides, forward: int) -> Trip:
    """The trip with the seat there: what is free behind it where that was measured with its person in it, else how
    far forward whoever sits in it can sit."""
    if forward == (one.now or 0) and one.now is not None:
        return trip
    if one.kept:
        return trip.model_copy(update={"vehicle": _moved(trip.vehicle, one.seat, forward)})
    was = trip.front.get(one.seat)
    limit = FrontLimit(forward_at_most=forward, stature=None if was is None else was.stature)
    return trip.model_copy(update={"front": {**trip.front, one.seat: limit}})


def _moved(vehicle: Vehicle, seat: str, forward: int) -> Vehicle:
    rows = []
    for row in vehicle.rows:
        positions = [position if position.ahead is None or position.ahead.seat != seat else position.model_copy(
            update={"ahead": position.ahead.model_copy(update={
                "gap": [(height, free + forward) for height, free in position.ahead.gap]})})
            for position in row.positions]
        rows.append(row.model_copy(update={"positions": positions}))
    return vehicle.model_copy(update={"rows": rows})
