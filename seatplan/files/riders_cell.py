"""Riders as a booking writes them, in one cell: ``14m; 5y-7y; 8y 24kg 126cm upright``.

Each is an age, or a band from the youngest to the oldest that it may be, then what is known of it: mass and stature
with their units, and ``upright`` or ``not upright``: whether it keeps the booster's belt position for a whole ride.
Where no child rides it is ``0``: an empty cell may be a forgotten one, whose children would be met at the kerb.
Adults are a number, ``2``, or the stature of each, and its mass where that is known: ``168cm 70kg; 181cm``.
"""

from __future__ import annotations

import re
from functools import lru_cache
from typing import NamedTuple

from seatplan import units
from seatplan.message import said

from .crosscheck_rider import ADULT_FROM_KG, ADULT_FROM_MM

#: an age from which nobody is written down as a child here, months
GROWN_MONTHS = 18 * 12
#: the most riders of one booking
MOST_RIDERS = 19
#: within these a mass (kg) and a stature (mm) can be those of somebody
_KG, _MM = (0.5, 250), (300, 2300)
_LONGEST = 80

_YEARS = r"y(?:r|rs|ears?)?"
_MONTHS = r"m(?:o|os|onths?|ths?)?"
_AGE = rf"(?:\d{{1,2}}\s*{_YEARS}(?:\s*\d{{1,2}}\s*{_MONTHS})?|\d{{1,3}}\s*{_MONTHS})(?![a-z])"
_BAND = re.compile(rf"({_AGE}|\d{{1,3}})\s*(?:-|–|to)\s*({_AGE})", re.ASCII)
_ONE_AGE = re.compile(_AGE, re.ASCII)
_PARTS = re.compile(rf"(?:(\d+)\s*{_YEARS})?\s*(?:(\d+)\s*{_MONTHS})?", re.ASCII)
_MASS = re.compile(r"\d+(?:\.\d+)?\s*(?:kg|g|lbs?|pounds?)(?![a-z])(?:\s*\d+(?:\.\d+)?\s*(?:oz|ounces?)(?![a-z]))?",
                   re.ASCII)
_STATURE = re.compile(r"\d+(?:\.\d+)?\s*(?:mm|cm|in|inch|inches|ft|feet|foot)(?![a-z])"
                      r"(?:\s*\d+(?:\.\d+)?\s*(?:in|inch|inches)(?![a-z]))?", re.ASCII)
_UPRIGHT = re.compile(r"(not\s+)?upright(?![a-z])")
_BETWEEN = re.compile(r"[\s,]*")


class RiderTold(NamedTuple):
    """One who rides: of a child its age in months from youngest to oldest; whole grams, whole mm; None: not known."""

    months: tuple[int, int] | None = None
    mass_g: int | None = None
    height_mm: int | None = None
    upright: bool | None = None


class CellError(ValueError):
    """A cell that cannot be read; its text says what is expected, and never what was found."""


@lru_cache(maxsize=65_536)
def riders_in(cell: str) -> tuple[RiderTold, ...]:
    """The riders of a cell; none for ``0``. Raises CellError."""
    if cell.strip() == "0":
        return ()
    told = [part for part in cell.split(";") if part.strip()]
    if not told:
        raise CellError(said("expected the children who ride, or 0 where none does"))
    if len(told) > MOST_RIDERS:
        raise CellError(said("more than {most} riders; expected at most that many", most=MOST_RIDERS))
    return tuple(_rider(" ".join(part.split()).casefold(), n) for n, part in enumerate(told, 1))


@lru_cache(maxsize=65_536)
def adults_in(cell: str) -> tuple[RiderTold, ...]:
    """The adults of a cell, by number or by their sizes. Raises CellError."""
    if cell.isascii() and cell.isdecimal() and len(cell) <= 2:
        if int(cell) > MOST_RIDERS:
            raise CellError(said("more than {most} riders; expected at most that many", most=MOST_RIDERS))
        return (RiderTold(),) * int(cell)
    try:
        told = riders_in(cell)
    except CellError:
        told = ()
    if not told or any(one.months is not None or one.upright is not None for one in told):
        raise CellError(said('expected how many adults ride, 0 where none does, or the stature of each, such as '
                             '"168cm; 181cm"'))
    if any((one.height_mm or ADULT_FROM_MM) < ADULT_FROM_MM or
           (one.mass_g or 1000 * ADULT_FROM_KG) < 1000 * ADULT_FROM_KG for one in told):
        raise CellError(said("expected adults of at least {low} mm and {kg} kg; others ride as children do, and stand "
                             "under `riders`", low=ADULT_FROM_MM, kg=ADULT_FROM_KG))
    return told


def _rider(text: str, number: int) -> RiderTold:
    months, at = _age(text, number)
    mass = height = upright = None
    at = _after(text, at)
    while at < len(text):
        if (found := _MASS.match(text, at)) and mass is None:
            mass = _grams(found[0], number)
        elif (found := _STATURE.match(text, at)) and height is None:
            height = _mm(found[0], number)
        elif (found := _UPRIGHT.match(text, at)) and upright is None:
            upright = found[1] is None
        else:
            raise _unread(number)
        at = _after(text, found.end())
    if months is None and mass is None and height is None:
        raise _unread(number)
    return RiderTold(months, mass, height, upright)


def _after(text: str, at: int) -> int:
    found = _BETWEEN.match(text, at)
    return at if found is None else found.end()


def _age(text: str, number: int) -> tuple[tuple[int, int] | None, int]:
    """The age that a rider begins with, and where it ends; none where it begins with something else."""
    if len(text) > _LONGEST:
        raise _unread(number)
    if band := _BAND.match(text):
        last = band[2].rstrip()
        unit = "y" if "y" in last else "m"
        low, high = _in_months(band[1] + unit if band[1].isdecimal() else band[1]), _in_months(last)
        if low > high:
            raise CellError(said("rider {n}: expected the lower age first", n=number))
        end = band.end()
    elif one := _ONE_AGE.match(text):
        low = high = _in_months(one[0])
        end = one.end()
    else:
        return None, 0
    if high >= GROWN_MONTHS:
        raise CellError(said("rider {n}: expected an age below 18 years; grown-ups are counted under `adults`",
                             n=number))
    return (low, high), end


def _in_months(age: str) -> int:
    found = _PARTS.fullmatch(age.strip())
    assert found is not None
    return int(found[1] or 0) * 12 + int(found[2] or 0)


def _grams(text: str, number: int) -> int:
    try:
        kg = units.mass(text)
    except units.UnitError:
        raise _unread(number) from None
    if not _KG[0] <= kg <= _KG[1]:
        raise CellError(said("rider {n}: expected a mass of {low} to {high} kg", n=number, low=_KG[0], high=_KG[1]))
    return round(kg * 1000)


def _mm(text: str, number: int) -> int:
    try:
        mm = units.stature(text).exact
    except units.UnitError:
        raise _unread(number) from None
    if not _MM[0] <= mm <= _MM[1]:
        raise CellError(said("rider {n}: expected a stature of {low} to {high} mm", n=number, low=_MM[0], high=_MM[1]))
    return round(mm)


def _unread(number: int) -> CellError:
    return CellError(said('rider {n}: expected an age, or a band of ages, then mass and stature with units, such as '
                          '"14m", "5y-7y" or "8y 24kg 126cm upright"', n=number))
