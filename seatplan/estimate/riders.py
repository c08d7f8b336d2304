"""Bodies by age: mass and stature of a child of whom only the age, or a band of ages, is known.

Source: CDC 2000 growth tables, 1st to 99th percentile, of both sexes where the sex is not said, and under 24 months
about WHO's medians as well (MMWR 59 RR-9); mass beside a known stature as the share of the middle mass of children so
tall, which ``data/bands.yaml`` has with its source.
"""

from __future__ import annotations

from fractions import Fraction
from math import ceil, floor
from statistics import mean
from typing import Any

from seatplan.doubt.bands import table
from seatplan.doubt.bodies import GROWN, middle_mass
from seatplan.geometry.anthropometry import Z_END
from seatplan.geometry.growth_tables import INFANT_UNTIL, SEXES, Measure, Sex, charts, lms_at, value_at
from seatplan.model import Rider
from seatplan.model.estimated import EstimatedRider
from seatplan.units import Quantity

#: by then every child stands taller than it lay at 24 months: a year of growth is 80 mm (CDC 2000), months
_GROWN_OVER = 36.0


def estimated_rider(rider: Rider, ages: tuple[float, ...]) -> Rider:
    """The rider with corners, where the age is known and mass or stature are not, or only a band of ages is; else as
    it is. ``ages``: the youngest and the oldest that the rider may be on the day, months; none if unknown."""
    if rider.adult or (rider.mass is not None and rider.height is not None and rider.ages is None):
        return rider
    if (not ages and rider.height is None) or min(ages, default=0) >= GROWN:
        return rider
    corners = tuple(_corner(rider, ages, z) for z in (-Z_END, 0.0, Z_END))
    return EstimatedRider.model_construct(
        rider.model_fields_set, **{name: getattr(rider, name) for name in Rider.model_fields}, corners=corners)


def _corner(rider: Rider, ages: tuple[float, ...], z: float) -> Rider:
    """The body at a z-score, the youngest for a small one, the oldest for a large one; rounded outwards."""
    update: dict[str, Any] = {}
    if rider.ages is not None:
        low, high = rider.ages
        update |= {"ages": None, "age": low if z < 0 else high if z > 0 else (low + high) // 2}
    if rider.height is None:
        update["height"] = _rounded(_at("height", rider, ages, z), z)
    if rider.mass is None:
        kg = _rounded(_mass(rider, ages, z) * 100, z)
        update["mass"] = Quantity.of_kg(Fraction(kg, 100))
    return rider.model_copy(update=update)


def _mass(rider: Rider, ages: tuple[float, ...], z: float) -> float:
    """kg: of the age, and no further from the middle of children so tall than such children are."""
    by_age = _at("mass", rider, ages, z) if ages else None
    if rider.height is None:
        assert by_age is not None
        return by_age
    share, middle = table()["body"]["mass_for_stature"], middle_mass(float(rider.height))
    low, high = share["short" if rider.height < share["below_mm"] else "tall"]
    if not z:
        return float(middle)
    by_stature = float(middle) * float(low if z < 0 else high)
    return by_stature if by_age is None else (max if z < 0 else min)(by_age, by_stature)


def _at(measure: Measure, rider: Rider, ages: tuple[float, ...], z: float) -> float:
    sexes = (rider.sex,) if rider.sex else SEXES
    return _end([_for_age(measure, sex, age, z) for sex in sexes for age in ages], z)


def _for_age(measure: Measure, sex: Sex, age: float, z: float) -> float:
    """By every chart of the age. Standing is shorter than lying, and CDC's medians than WHO's: a child of 24 months
    does not shrink for that, so the low end is before what it is then, and the rest stays what it was."""
    told = _end([value_at(lms_at(measure, sex, age, chart=chart), z) for chart in charts(age)], z)
    if age < INFANT_UNTIL:
        return min(told, value_at(lms_at(measure, sex, INFANT_UNTIL), z)) if z < 0 else told
    if z < 0 or age >= _GROWN_OVER:
        return told
    return max(told, _end([value_at(lms_at(measure, sex, INFANT_UNTIL, infant=True, chart=chart), z)
                           for chart in charts(0.0)], z))


def _end(values: list[float], z: float) -> float:
    return min(values) if z < 0 else max(values) if z > 0 else mean(values)


def _rounded(value: float, z: float) -> int:
    return floor(value) if z < 0 else ceil(value) if z > 0 else round(value)
