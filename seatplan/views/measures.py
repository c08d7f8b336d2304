"""Millimetres and kilograms in inches and pounds, never rounded in anybody's favour."""

from __future__ import annotations

import re
from collections.abc import Callable
from fractions import Fraction
from math import ceil, floor
from typing import Any

from seatplan.units import KG_PER_POUND, MM_PER_INCH
from seatplan.written import Verbatim

_GROUPED = re.compile(r"-?\d{1,3}(,\d{3})+(\.\d+)?")
_ROUND: dict[str, Callable[[Fraction], int]] = {"up": ceil, "down": floor, "near": round}


def value_of(told: Any) -> float | None:
    """The number that a field holds, also where it is written out (``1,440``, ``12,5`` or ``10 440``); None where it
    holds none."""
    if isinstance(told, (bool, Verbatim)) or told is None:
        return None
    if isinstance(told, (int, float)):
        return float(told)
    text = str(told).replace("\u00a0", "")
    if _GROUPED.fullmatch(text):
        text = text.replace(",", "")
    try:
        return float(text.replace(",", "."))
    except ValueError:
        return None


def inches(mm: float, way: str = "near", exact: bool = False) -> str:
    """To an eighth of an inch, as a tape shows it, or to a hundredth where ``exact``.

    ``way`` is up for what is needed or missing, down for what there is to spare, near for the rest.
    """
    length = Fraction(str(mm)) / MM_PER_INCH
    if exact:
        return f"{_ROUND[way](length * 100) / 100:g} in"
    eighths = _ROUND[way](length * 8)
    whole, part = divmod(abs(eighths), 8)
    fraction = str(Fraction(part, 8)) if part else ""
    sign = "-" if eighths < 0 else ""
    return f"{sign}{' '.join(p for p in (str(whole) if whole or not part else '', fraction) if p)} in"


def pounds(kg: float, way: str = "near", exact: bool = False) -> str:
    """To a tenth of a pound, or to a hundredth where ``exact``."""
    parts = 100 if exact else 10
    return f"{_ROUND[way](Fraction(str(kg)) / KG_PER_POUND * parts) / parts:g} lb"


def hidden(one: float, one_way: str, other: float, other_way: str, unit: str) -> bool:
    """Whether eighths of an inch, or tenths of a pound, would show two unlike values as alike or the other way
    round; ``unit`` is mm or kg."""
    step = MM_PER_INCH / 8 if unit == "mm" else KG_PER_POUND / 10
    a, b = (_ROUND[way](Fraction(str(value)) / step) for value, way in ((one, one_way), (other, other_way)))
    return a == b or (a < b) != (one < other)
