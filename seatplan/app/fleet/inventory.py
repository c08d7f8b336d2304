"""The cheapest stock of restraints for a level of service."""

from __future__ import annotations

from collections.abc import Mapping
from math import ceil
from typing import ClassVar

from seatplan.app.misasked import Misasked
from seatplan.app.notices import QUIET, Listener
from seatplan.app.outcome import Outcome
from seatplan.files.bookings import Reject
from seatplan.files.errors import InputError, Problem
from seatplan.fleet.inventory import Curve, Point, curve
from seatplan.fleet.matching import Counts as Classes
from seatplan.fleet.reading import Counts, world_of
from seatplan.frozen import frozen
from seatplan.message import FieldName, Name, said

from .files import FleetRead, open_bookings, read_fleet
from .match import parties_of, verdict_of
from .plan import day_for
from .solving import Solving, needs_extra, solved

#: so many points of the curve are worked out, beside that of the target; of a day with many bookings fewer
_POINTS, _FEWER, _MANY = 10, 4, 30
_PERCENT = 100


@frozen(kw_only=True)
class Stock(Solving):
    """``target``: the share of bookings to be served, such as 98%."""

    COMMAND: ClassVar[str] = "fleet inventory"

    target: str = "98%"


@frozen
class Stocked:
    """``wanted``: bookings to be served; ``point``: the cheapest stock for them, None where no stock serves so many;
    ``now``: by kind, how many copies the fleet has."""

    read: FleetRead
    day: str
    counts: Counts
    rejects: tuple[Reject, ...]
    classes: Classes
    damaged: int
    percent: float
    wanted: int
    curve: Curve
    point: Point | None
    now: Mapping[str, int]
    prices: Mapping[str, int]


def stock(request: Stock, version: str, listener: Listener = QUIET) -> Outcome[Stocked]:
    """The cheapest stock for a target, and for other levels. ``version``: of the program. Raises InputError,
    Misasked, Unwritten."""
    percent = _percent(request.target)
    read = read_fleet(request)
    prices = _prices(read)
    of = open_bookings(request, read)
    rejects: list[Reject] = []
    bookings = tuple(of.each(rejects.append))
    parties = parties_of(bookings)
    # what there is no copy of may be bought
    world = world_of(read.fleet, read.profile, of.day, {*prices, *parties.brought})
    found = solved(request, version, world, tuple(parties.of), listener)
    wanted = ceil(len(bookings) * percent / _PERCENT - 1e-9)
    with needs_extra():
        told = curve(day_for(of, bookings, found.answers), prices, {wanted, *_levels(len(bookings))})
    point = next((one for one in told.points if one.served >= wanted), None) if wanted else None
    now = dict.fromkeys(prices, 0)
    for copy in read.fleet.copies:
        now[read.fleet.kind(copy.kind).restraint.key()] += 1
    answer = Stocked(read, of.day.isoformat(), of.counts, tuple(rejects), found.counts, found.damaged, percent, wanted,
                     told, point, now, prices)
    return Outcome(request, answer, verdict_of(of.counts))


def _percent(told: str) -> float:
    number = told.strip().removesuffix("%").strip()
    try:
        percent = float(number)
    except ValueError:
        percent = -1.0
    if not 0 < percent <= _PERCENT:
        raise Misasked("target", said('{asked} is "{found}"', asked=FieldName("target"), found=Name(told)),
                       said("expected a share of the bookings, such as 98%"), told)
    return percent


def _prices(read: FleetRead) -> dict[str, int]:
    """The price of each kind. Raises InputError where one has none: what a piece costs is not guessed."""
    missing = [one.kind for one in read.fleet.kinds if one.price is None]
    if missing:
        raise InputError([Problem(read.path, 0, 0, said(
            'kind "{kind}" has no price; expected `price:` of each, in whole units', kind=Name(kind)), ("kinds", kind))
            for kind in missing])
    return {one.restraint.key(): one.price for one in read.fleet.kinds if one.price is not None}


def _levels(bookings: int) -> set[int]:
    """Numbers of bookings for which the curve is worked out."""
    points = _POINTS if bookings <= _MANY else _FEWER
    return {ceil(bookings * n / points) for n in range(1, points + 1)}
