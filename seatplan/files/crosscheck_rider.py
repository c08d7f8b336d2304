"""A rider as somebody wrote it down: driver, adult, age and place. One check each, in ``RIDER_CHECKS``. Days and past
sizes are in ``crosscheck_over_time``, sizes that nobody has together in ``crosscheck_body``."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date

from seatplan.message import alone, in_kg, in_mm, joined, said
from seatplan.model import Rider, Trip

from .crosscheck_names import known, positions_of
from .places import Found

#: nobody younger counts as an adult here, so that a slip cannot take a child past the rules for children
ADULT_FROM_MONTHS = 13 * 12
#: nor anybody smaller or lighter: the stature at which US guidance looks at belt fit at all (57 in), and the mass of
#: the smallest child for whom a belt alone fitted, 37 kg (Klinich et al. 1994), rounded down
ADULT_FROM_MM, ADULT_FROM_KG = 1400, 35
#: names that the planner uses itself
_TAKEN_NAMES = ("the driver",)


def _name_is_not_taken(rider: Rider, trip: Trip) -> Found:
    if rider.rider.casefold() in _TAKEN_NAMES:
        yield ("rider",), said('"{name}" is a name that the planner uses itself; expected another', name=rider.rider)


def _a_driver_is_an_adult(rider: Rider, trip: Trip) -> Found:
    if rider.drives and not rider.adult:
        yield ("drives",), said("{rider} drives and is no adult; expected `adult: yes`", rider=rider.rider)


def _one_driver(rider: Rider, trip: Trip) -> Found:
    first = next((one for one in trip.riders if one.drives), rider)
    if rider.drives and rider is not first:
        yield (
            ("drives",),
            said("{rider} drives and {rider_2} too; expected one driver", rider=rider.rider,
                 rider_2=first.rider),
        )


def _an_adult_is_old_enough(rider: Rider, trip: Trip) -> Found:
    age = _age(rider, trip)
    if rider.adult and age is not None and age < ADULT_FROM_MONTHS:
        yield (
            ("adult",),
            said("{rider} is {age} years old; expected `adult: yes` from 13 on", rider=rider.rider, age=age // 12),
        )


def _an_adult_is_large_enough(rider: Rider, trip: Trip) -> Found:
    """One who is too young is told of that alone."""
    age = _age(rider, trip)
    small = (rider.height or ADULT_FROM_MM) < ADULT_FROM_MM or (rider.mass or ADULT_FROM_KG) < ADULT_FROM_KG
    if rider.adult and small and (age is None or age >= ADULT_FROM_MONTHS):
        yield (
            ("adult",),
            said("{rider} is written down as an adult of {body}; expected an adult of at least "
                 "{ADULT_FROM_MM} and {ADULT_FROM_KG}, others ride as children do", rider=rider.rider,
                 body=_body(rider), ADULT_FROM_MM=in_mm(ADULT_FROM_MM), ADULT_FROM_KG=in_kg(ADULT_FROM_KG)),
        )


def _born_by_the_day(rider: Rider, trip: Trip) -> Found:
    if rider.born is not None and trip.on is not None and rider.born > trip.on:
        yield (
            ("born",),
            said("{rider} is born {born}, after the day of travel {on}; "
                 "expected a day before it", rider=rider.rider, born=rider.born, on=trip.on),
        )


def _birthday_or_age(rider: Rider, trip: Trip) -> Found:
    if rider.born is not None and rider.age is not None:
        yield ("age",), said("{rider} has both `born` and `age`; expected one of them", rider=rider.rider)


def _one_age(rider: Rider, trip: Trip) -> Found:
    """A band of ages stands for an age that nobody knows to the month."""
    if rider.ages is None:
        return
    for name in ("born", "age"):
        if getattr(rider, name) is not None:
            yield ("ages",), said("{rider} has both `{name}` and `ages`; expected one of them", rider=rider.rider,
                                  name=name)
    if rider.adult:
        yield ("ages",), said("{rider} is an adult with a band of ages; expected one age, or none", rider=rider.rider)


def _belt_fit_is_of_a_seat(rider: Rider, trip: Trip) -> Found:
    if rider.belt_fit is not None and rider.belt_fit.position is not None:
        yield from known(("belt_fit", "position"), rider.belt_fit.position, positions_of(trip), "position")


def _only_women_are_pregnant(rider: Rider, trip: Trip) -> Found:
    if rider.pregnant and rider.sex == "boy":
        yield ("pregnant",), said("{rider} is pregnant and `sex` is boy; expected one of them", rider=rider.rider)


def _age(rider: Rider, trip: Trip) -> int | None:
    """On the day of travel, in months; None where it is not known."""
    return rider.age if rider.age is not None else _months(rider.born, trip.on)


def _months(born: date | None, on: date | None) -> int | None:
    if born is None or on is None:
        return None
    return (on.year - born.year) * 12 + on.month - born.month - (on.day < born.day)


def _body(rider: Rider) -> str:
    told = [alone(in_mm(rider.height))] if rider.height is not None else []
    told += [alone(in_kg(rider.mass))] if rider.mass is not None else []
    return joined(" and ", told)


RIDER_CHECKS: tuple[Callable[[Rider, Trip], Found], ...] = (
    _name_is_not_taken, _a_driver_is_an_adult, _one_driver, _an_adult_is_old_enough, _an_adult_is_large_enough,
    _born_by_the_day, _birthday_or_age, _one_age, _belt_fit_is_of_a_seat,
    _only_women_are_pregnant,
)
