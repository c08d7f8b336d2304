"""Ages as parents say them: ``14 months``, ``2 years``, ``3 1/2 years``, ``3 years 4 months``."""

from __future__ import annotations

from fractions import Fraction

from .say import t
from .text import count

#: up to here an age is said in months, as it mostly is of children under two (common practice, no source)
_IN_MONTHS_BELOW = 24


def age(months: float | Fraction) -> str:
    """An age, a limit of one, or what is short of it, in whole months that have passed: each of them is said, and
    none is rounded up."""
    whole = int(months)
    years, rest = divmod(whole, 12)
    if whole < _IN_MONTHS_BELOW:
        return count(whole, "month")
    if rest == 6:
        return t("{years} 1/2 years", years=years)
    if rest:
        return t("{years} years {months}", years=years, months=count(rest, "month"))
    return t("{years} years", years=years)

