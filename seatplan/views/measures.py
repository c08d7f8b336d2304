"""Values with their units as a person reads them: in inches and pounds never rounded in anybody's favour."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from math import ceil, floor

from seatplan.message import Amount, digits
from seatplan.units import KG_PER_POUND, MM_PER_INCH, Number, decimal_text

from .manner import customary, decimals, grouped

_ROUND: dict[str, Callable[[Fraction], int]] = {"up": ceil, "down": floor, "near": round}
#: unit -> how many mm, or kg, it is
_OF = {"mm": 1, "cm": 10, "kg": 1}
#: units that are the same in every language
SYMBOLS = ("mm", "cm", "kg", "%", "")
#: parts of an inch or a pound: of what is told to a hundredth, and the most that are told
_FINE, _MOST_PARTS = 100, 1_000_000


def turned(unit: str) -> bool:
    """Whether values of that unit are told in inches or pounds."""
    return unit in _OF and customary()


def shown(amount: Amount, *, plain: bool = False) -> str:
    """The digits of an amount in the units in force and in the manner of the language, without its unit; ``plain``:
    no thousands are set apart, as in files."""
    if amount.unknown:
        return "?"
    if not turned(amount.unit):
        return _metric(amount, plain)
    value = _exact(amount.value) * _OF[amount.unit]
    told = pounds if amount.unit == "kg" else inches
    return decimals(told(value, amount.way, _parts(amount)))


def unit_of(symbol: str) -> str:
    """The unit in which amounts of a unit are shown."""
    return symbol if not turned(symbol) else "lb" if symbol == "kg" else "in"


def _metric(amount: Amount, plain: bool) -> str:
    value, other = amount.value, amount.against
    told = digits(value, grouped=not plain)
    if other is not None and digits(other.value, grouped=not plain) == told:
        told = f"{float(value):,.4f}".rstrip("0").rstrip(".")        # with as many digits as show that one is more
    return decimals(told) if plain else grouped(told)


def _parts(amount: Amount) -> int:
    """How many parts of an inch, or of a pound, an amount is told to: eighths or tenths, or as many as show which of
    two that are held against each other is more."""
    other, coarse = amount.against, 10 if amount.unit == "kg" else 8
    parts = _FINE if amount.fine or (other is not None and other.fine) else coarse
    while other is not None and parts < _MOST_PARTS and _hidden(amount, other, parts):
        parts = _FINE if parts == coarse else parts * 10
    return parts


def _hidden(one: Amount, other: Amount, parts: int) -> bool:
    """Whether so many parts of an inch, or of a pound, would show two unlike values as alike or the other way round."""
    step = (KG_PER_POUND if one.unit == "kg" else MM_PER_INCH) / parts
    a, b = (_ROUND[own.way](_exact(own.value) * _OF[own.unit] / step) for own in (one, other))
    return a == b or (a < b) != (one.value < other.value)


def _exact(value: Number) -> Fraction:
    """The number as it prints, or as the fraction that it is."""
    return Fraction(value) if isinstance(value, Fraction) else Fraction(str(value))


def inches(mm: Number, way: str = "near", parts: int = 8) -> str:
    """To an eighth of an inch, as a tape shows it, or in decimals to so many ``parts``; without the unit.

    ``way`` is up for what is needed or missing, down for what there is to spare, near for the rest.
    """
    length = _exact(mm) / MM_PER_INCH
    if parts != 8:
        return _decimal(length, way, parts)
    eighths = _ROUND[way](length * 8)
    whole, part = divmod(abs(eighths), 8)
    fraction = str(Fraction(part, 8)) if part else ""
    sign = "-" if eighths < 0 else ""
    return f"{sign}{' '.join(p for p in (str(whole) if whole or not part else '', fraction) if p)}"


def pounds(kg: Number, way: str = "near", parts: int = 10) -> str:
    """To a tenth of a pound, or to so many ``parts``; without the unit."""
    return _decimal(_exact(kg) / KG_PER_POUND, way, parts)


def _decimal(value: Fraction, way: str, parts: int) -> str:
    return decimal_text(Fraction(_ROUND[way](value * parts), parts))
