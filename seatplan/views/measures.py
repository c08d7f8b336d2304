"""Millimetres and kilograms in inches and pounds, never rounded in anybody's favour."""

from __future__ import annotations

import re
from collections.abc import Callable
from fractions import Fraction
from math import ceil, floor
from typing import Any

from seatplan.units import KG_PER_POUND, MM_PER_INCH, Number
from seatplan.written import Verbatim

_GROUPED = re.compile(r"-?\d{1,3}(,\d{3})+(\.\d+)?")
_ROUND: dict[str, Callable[[Fraction], int]] = {"up": ceil, "down": floor, "near": round}


def value_of(told: Any) -> Number | None:
    """The number that a field holds, also where it is written out (``1,440``, ``12,5`` or ``10 440``); None where it
    holds none."""
    if isinstance(told, (bool, Verbatim)) or told is None:
        return None
    if isinstance(told, Fraction):
        return Fraction(told)
    if isinstance(told, (int, float)):
        return float(told)
    text = str(told).replace("\u00a0", "")
    if _GROUPED.fullmatch(text):
        text = text.replace(",", "")
    try:
        return float(text.replace(",", "."))
    except ValueError:
        return None


def _exact(value: Number) -> Fraction:
    """The number as it prints, or as the fraction that it is."""
    return Fraction(value) if isinstance(value, Fraction) else Fraction(str(value))


def inches(mm: Number, way: str = "near", exact: bool = False) -> str:
    """To an eighth of an inch, as a tape shows it, or to a hundredth where ``exact``.

    ``way`` is up for what is needed or missing, down for what there is to spare, near for the rest.
    """
    length = _exact(mm) / MM_PER_INCH
    if exact:
        return f"{_ROUND[way](length * 100) / 100:g} in"
    eighths = _ROUND[way](length * 8)
    whole, part = divmod(abs(eighths), 8)
    fraction = str(Fraction(part, 8)) if part else ""
    sign = "-" if eighths < 0 else ""
    return f"{sign}{' '.join(p for p in (str(whole) if whole or not part else '', fraction) if p)} in"


def pounds(kg: Number, way: str = "near", exact: bool = False) -> str:
    """To a tenth of a pound, or to a hundredth where ``exact``."""
    parts = 100 if exact else 10
    return f"{_ROUND[way](_exact(kg) / KG_PER_POUND * parts) / parts:g} lb"


def hidden(one: Number, one_way: str, other: Number, other_way: str, unit: str) -> bool:
    """Whether eighths of an inch, or tenths of a pound, would show two unlike values as alike or the other way
    round; ``unit`` is mm or kg."""
    step = MM_PER_INCH / 8 if unit == "mm" else KG_PER_POUND / 10
    a, b = (_ROUND[way](_exact(value) / step) for value, way in ((one, one_way), (other, other_way)))
    return a == b or (a < b) != (one < other)
