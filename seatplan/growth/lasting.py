"""How long each rider stays in the placement of an arrangement: its own limits, at its own seat."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from seatplan.frozen import frozen
from seatplan.model import Trip
from seatplan.rules.profile import Profile
from seatplan.rules.subjects import Placement

from .family import Family
from .limits import Limit, closing
from .watch import Watch, Watched


@frozen
class Lasting:
    """``closes``: None: not within the days looked at. ``measure``: from that day on it hangs on a measurement, or may
    be outgrown; None: not within those days. ``unsure``: it does so from the first day on. ``known`` False: nobody
    said how old the rider is, so nothing can be reckoned."""

    rider: str
    end: date
    known: bool
    closes: Limit | None
    measure: date | None
    unsure: bool = False


def lasting(trip: Trip, profile: Profile, start: date, end: date, day: date,
            placements: Iterable[Placement]) -> dict[str, Lasting]:
    """By rider, from ``day`` on, for riders who are children.

    ``trip`` is as it was read; undated sizes hold on ``start``; ``end`` is the last day looked at. No whole day is
    solved, so that others may have to move sooner. Raises ValueError where ``end`` is not after ``day``.
    """
    if end <= day or end <= start:
        raise ValueError(f"{end} is not after {day}")
    watch = Watch(Family(trip, start), profile, start, end)
    riders = {rider.rider: rider for rider in trip.riders}
    found = {}
    for placement in placements:
        rider = riders[placement.rider.rider]
        if rider.adult:
            continue
        known = rider.born is not None or rider.due is not None or rider.age is not None
        alike = [w for w in watch.placements if _key(w.placement) == _key(placement)]
        if known and alike:
            found[rider.rider] = _longest(watch, alike, rider.rider, day)
        else:
            found[rider.rider] = Lasting(rider.rider, end, False, None, None)
    return found


def _longest(watch: Watch, alike: Iterable[Watched], rider: str, day: date) -> Lasting:
    """Of the same placement at several settings the one that lasts longest."""
    told = [Lasting(rider, watch.end, True, limit, _doubt(watched, limit, day), watched.status(day)[1])
            for watched in alike for limit in (closing(watch, watched),)]
    return max(told, key=lambda one: (_ordinal(one.closes.window.likely if one.closes else None),
                                      _ordinal(one.measure)))


def _ordinal(day: date | None) -> int:
    return date.max.toordinal() if day is None else day.toordinal()


def _doubt(watched: Watched, limit: Limit | None, day: date) -> date | None:
    """The first day on which it may be over, or hangs on a measurement."""
    days = [one for one in {day, *watched.days()} if one >= day and watched.status(one)[1]]
    if limit is not None and limit.window.earliest is not None and not limit.window.exact:
        days.append(max(day, limit.window.earliest))
    return min(days, default=None)


def _key(placement: Placement) -> tuple[object, ...]:
    """What stays the same while a child grows; the setting does not."""
    return (placement.rider.rider, placement.position.position,
            placement.restraint.restraint if placement.restraint else None, placement.mode_name, placement.by,
            placement.bars, placement.tether, placement.installation)
