"""A rider over time: past measurements, and a child that is not born yet. One check each, in ``OVER_TIME_CHECKS``."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from seatplan.message import Figure, in_mm, said
from seatplan.model import Measured, Reckoned, Rider, Trip

from .errors import Problem
from .places import Found, Loc, Places

#: what a measurement may hold
SIZES = tuple(name for name in Measured.model_fields if name not in ("on", "sure"))
#: two measurements of stature differ by up to so much although nobody grew: 95 % lie within 7 mm each (Voss, Bailey
#: 1994, Arch Dis Child 70:469), doubled for a tape at home
_SHRINKS_MM = 20
#: what nobody knows of a child before it is born
_NOT_YET = ("born", "age", "ages", "belt_fit", "climbs", "sits_upright", *SIZES)


def rider_problems(trip: Trip, places: Places) -> list[Problem]:
    """What does not agree between the riders' days and sizes, before the latest ones stand in."""
    return [
        places.problem(("riders", i, *loc), text)
        for i, rider in enumerate(trip.riders)
        for check in OVER_TIME_CHECKS
        for loc, text in check(rider, trip)
    ]


def with_latest(trip: Trip) -> Trip:
    """The trip with each rider's latest measurement where it gives no size by itself; reckoned ones stay."""
    return trip.model_copy(update={
        "riders": [rider if isinstance(rider, Reckoned) else _latest(rider) for rider in trip.riders]})


def _latest(rider: Rider) -> Rider:
    """Sizes that stand in come with what makes them sure."""
    found: dict[str, Any] = {}
    sure = dict(rider.sure)
    for entry in sorted(rider.measured, key=lambda entry: entry.on):
        for name in SIZES:
            if getattr(rider, name) is None and getattr(entry, name) is not None:
                found[name] = getattr(entry, name)
                if entry.is_sure(name):
                    sure[name] = found[name]
    return rider.model_copy(update={**found, "sure": sure}) if found else rider


def _unborn_has_no_sizes(rider: Rider, trip: Trip) -> Found:
    for name in _NOT_YET if rider.due is not None else ():
        if getattr(rider, name) is not None:
            yield (name,), said("{rider} is due on {due} and has `{name}` too; expected one of the two",
                                rider=rider.rider, due=rider.due, name=name)


def _unborn_was_not_measured(rider: Rider, trip: Trip) -> Found:
    if rider.due is not None and rider.measured:
        yield ("measured",), said("{rider} is due on {due} and was measured; expected `born` in place of `due`",
                                  rider=rider.rider, due=rider.due)


def _unborn_is_a_child(rider: Rider, trip: Trip) -> Found:
    for name in ("adult", "drives") if rider.due is not None else ():
        if getattr(rider, name):
            yield (name,), said("{rider} is due on {due}; expected no `{name}`", rider=rider.rider, due=rider.due,
                                name=name)


def _due_after_the_day(rider: Rider, trip: Trip) -> Found:
    if rider.due is not None and trip.on is not None and rider.due <= trip.on:
        yield ("due",), (said("{rider} is due {due}, and the day of travel is {on}; expected a later day, "
                              "or `born` once the child is there", rider=rider.rider, due=rider.due, on=trip.on))


def _something_was_measured(rider: Rider, trip: Trip) -> Found:
    for k, entry in enumerate(rider.measured):
        if all(getattr(entry, name) is None for name in SIZES):
            yield ("measured", k), said("nothing was measured of {rider} on {on}; expected one of {SIZES}",
                                        rider=rider.rider, on=entry.on, SIZES=', '.join(SIZES))


def _measured_once_a_day(rider: Rider, trip: Trip) -> Found:
    days = [entry.on for entry in rider.measured]
    for k, day in enumerate(days):
        if day in days[:k]:
            yield ("measured", k, "on"), said("{rider} was measured on {on} twice; expected one entry a day",
                                              rider=rider.rider, on=day)


def _measured_once_born(rider: Rider, trip: Trip) -> Found:
    for k, entry in enumerate(rider.measured):
        if rider.born is not None and entry.on < rider.born:
            yield ("measured", k, "on"), said("{rider} was measured on {on}, and is born {born}", rider=rider.rider,
                                              on=entry.on, born=rider.born)


def _measured_by_the_day(rider: Rider, trip: Trip) -> Found:
    for k, entry in enumerate(rider.measured):
        if trip.on is not None and entry.on > trip.on:
            yield ("measured", k, "on"), (said("{rider} was measured on {on}, after the day of travel {on_2}; "
                                               "expected a day up to it", rider=rider.rider, on=entry.on,
                                               on_2=trip.on))


def _measured_after_its_birth(rider: Rider, trip: Trip) -> Found:
    """A child of a given age was not measured before it can have been born: an age in whole years may be all but a
    year more, one in months a month."""
    if rider.age is None or trip.on is None:
        return
    most = rider.age + (12 if rider.age >= 24 and rider.age % 12 == 0 else 1)
    for k, entry in enumerate(rider.measured):
        if (trip.on.year - entry.on.year) * 12 + trip.on.month - entry.on.month > most:
            yield ("measured", k, "on"), said(
                "{rider} was measured on {on}, and is {age} months old on {day}; expected a day after its birth",
                rider=rider.rider, on=entry.on, age=rider.age, day=trip.on)


def _one_size_a_day(rider: Rider, trip: Trip) -> Found:
    """Sizes of the day of travel that are given twice are the same."""
    for k, entry in enumerate(rider.measured):
        for name in SIZES if entry.on == trip.on else ():
            one, other = getattr(entry, name), getattr(rider, name)
            if one is not None and other is not None and one != other:
                yield ("measured", k, name), (
                    said("{name} of {rider} is {one} here and {other} by itself, both for {on}; "
                         "expected one of them", name=name, rider=rider.rider, one=Figure(one),
                         other=Figure(other), on=entry.on))


def _a_child_does_not_shrink(rider: Rider, trip: Trip) -> Found:
    """Statures in order of time, the one without a day last."""
    if rider.adult:
        return
    order = sorted(range(len(rider.measured)), key=lambda k: rider.measured[k].on)
    told: list[tuple[int | None, str, Loc]] = [
        (rider.measured[k].height, said("on {on}", on=rider.measured[k].on), ("measured", k, "height")) for k in order]
    told.append((rider.height, said("on {on}", on=trip.on) if trip.on else "now", ("height",)))
    before: tuple[int, str] | None = None
    for height, when, loc in told:
        if height is None:
            continue
        if before is not None and height < before[0] - _SHRINKS_MM:
            yield loc, (said("height of {rider} is {height} {when}, and was {before} {before_2}; "
                             "expected a child that does not shrink", rider=rider.rider, height=in_mm(height),
                             when=when,
                             before=in_mm(before[0]), before_2=before[1]))
        before = height, when


OVER_TIME_CHECKS: tuple[Callable[[Rider, Trip], Found], ...] = (
    _unborn_has_no_sizes, _unborn_was_not_measured, _unborn_is_a_child, _due_after_the_day, _something_was_measured,
    _measured_once_a_day, _measured_once_born, _measured_by_the_day, _measured_after_its_birth, _one_size_a_day,
    _a_child_does_not_shrink,
)
