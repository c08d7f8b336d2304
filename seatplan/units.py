"""Quantities as people write them, turned into mm, kg, degrees and months.

A plain number is taken in the project's own unit. A string carries its unit: ``17 1/4 in``, ``5 ft 3 in``,
``43 cm``, ``40 lb``, ``19 lb 10 oz``, ``15 months``, ``2 years 3 months``. The usual units library costs half
a second at start; this module costs nothing.
"""

from __future__ import annotations

import re
from fractions import Fraction

from seatplan.said import said

# Exact by definition: international yard and pound agreement, 1959.
MM_PER_INCH = Fraction("25.4")
KG_PER_POUND = Fraction("0.45359237")

_NUMBER = r"(\d+/\d+|\d+(?:\.\d+)?(?:\s+\d+/\d+|\s*-\s*\d+/\d+)?|\.\d+)"
_TERM = re.compile(rf"\s*{_NUMBER}\s*([A-Za-z\"'°]+|''|″|′)?\s*(?:,|and\b)?")

_LENGTH = {
    "mm": Fraction(1), "cm": Fraction(10), "m": Fraction(1000),
    "in": MM_PER_INCH, "inch": MM_PER_INCH, "inches": MM_PER_INCH, '"': MM_PER_INCH, "″": MM_PER_INCH,
    "''": MM_PER_INCH,
    "ft": 12 * MM_PER_INCH, "foot": 12 * MM_PER_INCH, "feet": 12 * MM_PER_INCH, "'": 12 * MM_PER_INCH,
    "′": 12 * MM_PER_INCH,
}
_MASS = {
    "kg": Fraction(1), "g": Fraction(1, 1000),
    "lb": KG_PER_POUND, "lbs": KG_PER_POUND, "pound": KG_PER_POUND, "pounds": KG_PER_POUND,
    "oz": KG_PER_POUND / 16, "ounce": KG_PER_POUND / 16, "ounces": KG_PER_POUND / 16,
}
_ANGLE = {"deg": Fraction(1), "degree": Fraction(1), "degrees": Fraction(1), "°": Fraction(1)}
_MONTHS = {
    "y": Fraction(12), "yr": Fraction(12), "yrs": Fraction(12), "year": Fraction(12), "years": Fraction(12),
    "month": Fraction(1), "months": Fraction(1), "mo": Fraction(1),
}

#: what to show a person who wrote something else
EXAMPLES = {
    "length": said('mm, cm, m, in or ft, such as 438, "43.8 cm" or "17 1/4 in"'),
    "mass": said('kg or lb, such as 8.9, "19.6 lb" or "19 lb 10 oz"'),
    "angle": said("degrees, such as 14"),
    "duration": said('years or months, such as "7y" or "15 months"'),
}

#: a length without a unit that is not in whole mm, such as 3.8: cm or inches are meant more often than mm
WHOLE_MM = said('a plain number is whole millimetres, such as 38; expected a unit with any other, such as "3.8 cm" or '
                '"1 1/2 in"')
#: a whole number in quotes
QUOTED = said('expected whole millimetres without quotes, such as 38, or a length with its unit, such as "3.8 cm" or '
              '"1 1/2 in"')
_PLAIN = re.compile(r"[+\-−]?(\d+(\.\d*)?|\.\d+|\d+/\d+|\d+[\s-]+\d+/\d+)")


class UnitError(ValueError):
    """A quantity that cannot be read; its text says what is allowed."""


def length_mm(value: object) -> int:
    """Read a length; whole millimetres, the nearest one. Raises UnitError."""
    if isinstance(value, str) and (text := value.strip()) and _PLAIN.fullmatch(text):
        raise UnitError(QUOTED if text.isdigit() else WHOLE_MM)
    return round(_read(value, _LENGTH, "length"))


def whole_mm(value: object) -> int:
    """Read a length that somebody measured in a hurry: a plain number with a fraction is refused, for 3.8 may well be
    centimetres. Raises UnitError."""
    if isinstance(value, float):
        raise UnitError(WHOLE_MM)
    return length_mm(value)


def mass_kg(value: object) -> float:
    """Read a mass in kg, to 10 g. Raises UnitError."""
    return round(float(_read(value, _MASS, "mass")), 2)


def angle_deg(value: object) -> float:
    """Read an angle in degrees, to a tenth. Raises UnitError."""
    return round(float(_read(value, _ANGLE, "angle")), 1)


def duration_months(value: object) -> int:
    """Read a duration in whole months passed. A plain number has no obvious unit here and is refused.
    Raises UnitError."""
    if isinstance(value, (int, float)) and not isinstance(value, bool):
        raise UnitError(said("expected {EXAMPLES}", EXAMPLES=EXAMPLES['duration']))
    return int(_read(value, _MONTHS, "duration"))


def _read(value: object, factors: dict[str, Fraction], kind: str) -> Fraction:
    allowed = said("expected {EXAMPLES}", EXAMPLES=EXAMPLES[kind])
    if isinstance(value, bool) or value is None:
        raise UnitError(allowed)
    if isinstance(value, (int, float)) and not abs(value) < 1e9:         # and what is no number at all
        raise UnitError(allowed)
    if isinstance(value, int):
        return Fraction(value)
    if isinstance(value, float):
        return Fraction(str(value))
    if not isinstance(value, str) or len(value) > 40:
        raise UnitError(allowed)
    return _sum_of_terms(value.strip(), factors, allowed)


def _sum_of_terms(text: str, factors: dict[str, Fraction], allowed: str) -> Fraction:
    """``5 ft 3 in`` is a sum of terms whose units get smaller; a sign stands before the whole."""
    sign = 1
    if text[:1] in "+-−":
        sign, text = (-1 if text[:1] in "-−" else 1), text[1:]
    total, at, last = Fraction(0), 0, None
    while at < len(text):
        term = _TERM.match(text, at)
        if term is None:
            raise UnitError(allowed)
        number, unit = term.group(1), (term.group(2) or "").strip()
        factor = factors.get(unit) or factors.get(unit.lower())
        if factor is None:
            raise UnitError(allowed)
        if last is not None and factor >= last:
            raise UnitError(allowed)
        total, at, last = total + _number(number) * factor, term.end(), factor
    if last is None:
        raise UnitError(allowed)
    return sign * total


def _number(text: str) -> Fraction:
    """``17``, ``17.5``, ``1/4``, ``17 1/4`` and ``17-1/4``."""
    try:
        return sum((Fraction(part) for part in re.split(r"[\s-]+", text.strip())), Fraction(0))
    except ZeroDivisionError:
        raise UnitError(said("a fraction with 0 below the line")) from None


def inches(mm: float) -> str:
    """A length in inches to the nearest eighth, as a tape shows it: ``17 1/4 in``."""
    eighths = round(mm / float(MM_PER_INCH) * 8)
    whole, part = divmod(abs(eighths), 8)
    fraction = f"{Fraction(part, 8)}" if part else ""
    sign = "-" if eighths < 0 else ""
    return said("{sign}{p} in", sign=sign,
                p=' '.join(p for p in (str(whole) if whole or not part else '', fraction) if p))
