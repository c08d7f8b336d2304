"""Bodies that are unlikely: for the age, for the stature, mass against stature."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from functools import lru_cache
from statistics import mean
from typing import Any

from seatplan.geometry import anthropometry
from seatplan.geometry.growth_tables import DAYS_A_MONTH, LAST, MEASURES, SEXES, Measure, lms_at, value_at
from seatplan.message import in_mm, said
from seatplan.model import Measured, Rider
from seatplan.model.doubt import Path

from .bands import Band, Odd, band_at, number, table

#: from this age on a body is an adult's, months
GROWN = 216
SEATED = anthropometry.SEATED
SIZES = (*MEASURES, *SEATED)
_KG: dict[str, str] = {"mass": "kg", "height": "mm"}


def odd_bodies(rider: Rider, taken: date) -> Iterator[Odd]:
    """Every unlikely size of a rider, those of past measurements too. ``taken``: the day of sizes without one."""
    own = {name: getattr(rider, name) for name in SIZES if getattr(rider, name) is not None}
    for k, entry in enumerate(rider.measured):
        told = {name: getattr(entry, name) for name in SIZES if getattr(entry, name) is not None}
        yield from _odd(rider, told, ages_on(rider, entry.on, taken), ("measured", k))
    by_day: dict[date, dict[str, Any]] = {}
    for name, value in own.items():
        of = _entry_of(rider, name)
        by_day.setdefault(taken if of is None else of.on, {})[name] = value
    found = [odd for day, told in by_day.items() for odd in _odd(rider, told, ages_on(rider, day, taken), ())]
    yield from found
    if len(by_day) > 1 and not found:            # sizes of several days are held against each other as well
        yield from _odd(rider, own, (), ())


def _entry_of(rider: Rider, name: str) -> Measured | None:
    """The latest measurement of a size, where the rider's own is the same."""
    entries = [entry for entry in rider.measured if getattr(entry, name) is not None]
    latest = max(entries, key=lambda entry: entry.on, default=None)
    return latest if latest is not None and getattr(latest, name) == getattr(rider, name) else None


def ages_on(rider: Rider, day: date, taken: date) -> tuple[float, ...]:
    """The age in months on a day: youngest and oldest where it was given in whole months or years; none if unknown."""
    if rider.born is not None:
        return (max(0.0, (day - rider.born).days / DAYS_A_MONTH),)
    if rider.ages is not None:
        since = (day - taken).days / DAYS_A_MONTH
        low, high = rider.ages
        return max(0.0, low + since), max(0.0, high + _slack(high) + since)
    if rider.age is None:
        return ()
    then = rider.age + (day - taken).days / DAYS_A_MONTH
    return max(0.0, then), max(0.0, then + _slack(rider.age))


def _slack(age: int) -> int:
    """An age in whole years may be all but a year more, one in months a month."""
    return 12 if age >= 24 and age % 12 == 0 else 1


def _odd(rider: Rider, told: dict[str, Any], ages: tuple[float, ...], at: Path) -> Iterator[Odd]:
    found: list[Odd] = []
    grown = rider.adult or min(ages, default=0) >= GROWN
    if grown:
        found += _odd_adult(told, at)
    elif ages:
        for measure in MEASURES:
            if measure in told:
                found += _odd_for_age(rider, measure, told, ages, at)
    if "mass" in told and "height" in told and not found:
        found += _odd_together(told, grown, at)
    yield from found
    height = None if any(odd.path[-1] == "height" for odd in found) else told.get("height")
    for name in SEATED:
        if name in told:
            yield from _odd_seated(name, told[name], height, grown, at)


def _odd_adult(told: dict[str, Any], at: Path) -> Iterator[Odd]:
    for name in MEASURES:
        if name in told:
            yield from band_at("body", f"adult_{name}", unit=_KG[name]).odd(
                (*at, name), (), number(told[name]), said("for an adult"))


def _odd_for_age(rider: Rider, measure: Measure, told: dict[str, Any], ages: tuple[float, ...],
                 at: Path) -> Iterator[Odd]:
    body = table()["body"]
    sexes = (rider.sex,) if rider.sex else SEXES
    ends = [value_at(lms_at(measure, sex, age), z)
            for sex in sexes for age in ages for z in (-body["percentile_z"], body["percentile_z"])]
    low, high, source = min(ends), max(ends), body["age_source"]
    if measure == "mass" and "height" not in told:
        middles = [lms_at(measure, sex, age).m for sex in sexes for age in ages]
        share = body["mass_for_age"]
        low, high = max(low, share["low"] * min(middles)), min(high, share["high"] * max(middles))
        source = share["source"]
    band = Band(round(low, 1), round(high, 1), _KG[measure], source)
    yield from band.odd((*at, measure), (), number(told[measure]), for_age(min(ages)))


def for_age(months: float) -> str:
    """``for 3 years``, ``for 7 months``."""
    if months >= 24:
        return said("for {years} years", years=int(months // 12))
    return said("for {months} months", months=int(months))


def _odd_together(told: dict[str, Any], grown: bool, at: Path) -> Iterator[Odd]:
    """Mass against stature. Either may be the slip, so both are asked about."""
    mass, height = told["mass"], told["height"]
    if grown or height > _tallest():
        index = band_at("body", "adult_mass_index", unit="kg")
        square = float(number(height)) ** 2 / 1e6
        band = Band(round(index.low * square, 1), round(index.high * square, 1), "kg", index.source)
    else:
        share = table()["body"]["mass_for_stature"]
        low, high = share["short" if height < share["below_mm"] else "tall"]
        middle = middle_mass(float(number(height)))
        band = Band(round(low * middle, 1), round(high * middle, 1), "kg", share["source"])
    for odd in band.odd((*at, "mass"), (), number(mass), said("for {height}", height=in_mm(int(height)))):
        yield odd
        yield Odd((*at, "height"), (), number(height), None, None, "mm", band.source,
                  said("for {mass}", mass=mass.written))


def _odd_seated(name: str, value: int, height: Any, grown: bool, at: Path) -> Iterator[Odd]:
    body = table()["body"]
    reference = None if height is None and not grown else SEATED[name](
        Rider(rider="anybody", height=None if height is None else int(height), adult=grown))
    if reference is None:
        low, high = body["alone"][name]
        yield from Band(low, high, "mm", body["alone"]["source"]).odd((*at, name), (), value)
        return
    reference, aside, why = anthropometry.from_5_to_95(reference), body["beyond"][name], said("for an adult")
    if not grown:
        why = said("for {height}", height=in_mm(int(height)))
    yield from Band(reference.low - aside, reference.high + aside, "mm", body["beyond"]["source"]).odd(
        (*at, name), (), value, why)


def _tallest() -> float:
    return mean(lms_at("height", sex, LAST).m for sex in SEXES)


@lru_cache(maxsize=4096)
def middle_mass(height_mm: float) -> float:
    """The middle mass of children so tall, kg: of the age at which it is the middle stature, of girls and boys."""
    low, high = 0.0, LAST
    for _ in range(30):
        age = (low + high) / 2
        if mean(lms_at("height", sex, age).m for sex in SEXES) < height_mm:
            low = age
        else:
            high = age
    at_birth = mean(lms_at("height", sex, 0.0).m for sex in SEXES)
    middle = mean(lms_at("mass", sex, low).m for sex in SEXES)
    return middle if height_mm >= at_birth else float(middle * (height_mm / at_birth) ** 3)
