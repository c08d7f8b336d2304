"""Quantities as people write them, turned into mm, kg, degrees and months.

A plain number is a length in mm or an angle in degrees. A string carries its unit: ``17 1/4 in``, ``5 ft 3 in``,
``43 cm``, ``40 lb``, ``19 lb 10 oz``, ``15 months``, ``2 years 3 months``. A mass always carries its unit: a label
read in pounds and typed bare is the likeliest dangerous slip. Masses and statures are exact and remember how they were
written. The usual units library costs half a second at start; this module costs nothing.
"""

from __future__ import annotations

import re
from decimal import Decimal
from fractions import Fraction
from typing import Any

from seatplan.message import Message, said

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
    "mass": said('kg or lb, such as "8.9 kg", "19.6 lb" or "19 lb 10 oz"'),
    "angle": said("degrees, such as 14"),
    "duration": said('years or months, such as "7y" or "15 months"'),
}

#: a length without a unit that is not in whole mm, such as 3.8: cm or inches are meant more often than mm
WHOLE_MM = said('a plain number is whole millimetres, such as 38; expected a unit with any other, such as "3.8 cm" or '
                '"1 1/2 in"')
#: a whole number in quotes
QUOTED = said('expected whole millimetres without quotes, such as 38, or a length with its unit, such as "3.8 cm" or '
              '"1 1/2 in"')
_TWO_READINGS = re.compile(r"(?P<first>[^(/,]*[A-Za-z])\s*(?:\((?P<second>[^()]+)\))")
_RANGE_TOLD = re.compile(r"(?P<low>[\d.]+)\s*(?:-|–|to)\s*(?P<high>[\d.]+)\s*(?P<unit>[A-Za-z]+)")
_PLAIN = re.compile(r"[+\-−]?(\d+(\.\d*)?|\.\d+|\d+/\d+|\d+[\s-]+\d+/\d+)")


#: labels print both units rounded, such as 18.4 kg (40 lb) and 30 kg (65 lb): so far apart they are one limit, kg
SAME_LABEL_KG = Fraction("0.6")


#: a length in mm, an angle, a number of months, or an exact mass
Number = float | Fraction


class UnitError(ValueError):
    """A quantity that cannot be read; its text says what is allowed."""


class Quantity(Fraction):
    """A mass, exact, in kg, and as it was written: ``Quantity("19 lb 10 oz")``.

    It compares and adds up as the fraction of a kilogram that it is. ``written`` reads back as the same quantity.
    ``both`` holds the two readings of a limit that a label prints in both units; the quantity itself is then the
    first of them, until whoever knows which end of a range it is takes the stricter one (``stricter``).
    Raises UnitError.
    """

    __slots__ = ("both", "written")
    written: str
    both: tuple[Quantity, ...]

    def __new__(cls, text: object) -> Quantity:
        return text if isinstance(text, Quantity) else mass(text)

    @classmethod
    def _made(cls, kg: Fraction, written: str, both: tuple[Quantity, ...] = ()) -> Quantity:
        made = super().__new__(cls, kg)
        made.written, made.both = written, both
        return made

    @classmethod
    def of_kg(cls, kg: Fraction | float) -> Quantity:
        """A mass that was reckoned, not written; a float counts as the decimal that it prints as."""
        exact = kg if isinstance(kg, Fraction) else Fraction(str(kg))
        return cls._made(exact, f"{decimal_text(exact)} kg")

    def stricter(self, upper: bool) -> Quantity:
        """The reading that counts as an upper or as a lower limit; it remembers both."""
        if not self.both:
            return self
        taken = (min if upper else max)(self.both)
        return Quantity._made(Fraction(taken), self.written, self.both)

    @property
    def metric(self) -> bool:
        """Whether it was written in kg or g, and in nothing else."""
        return not self.both and self.written.endswith("g")

    @classmethod
    def from_float(cls, f: float) -> Fraction:  # type: ignore[override]  # what it is compared with is none
        return Fraction.from_float(f)

    def __reduce__(self) -> tuple[Any, ...]:
        return _again, (Fraction(self), self.written, self.both)

    def __copy__(self) -> Quantity:
        return self

    def __deepcopy__(self, memo: Any) -> Quantity:
        return self

    def __str__(self) -> str:
        return self.written

    def __repr__(self) -> str:
        return f"Quantity({self.written!r})"

    def __format__(self, spec: str) -> str:
        return format(float(self), spec) if spec else self.written


def _again(kg: Fraction, written: str, both: tuple[Quantity, ...]) -> Quantity:
    return Quantity._made(kg, written, both)


def decimal_text(value: Fraction) -> str:
    """``8.93``; a fraction without an end, ``1/3``, as it is."""
    rest = value.denominator
    for prime in (2, 5):
        while rest % prime == 0:
            rest //= prime
    if rest != 1:
        return f"{value.numerator}/{value.denominator}"
    told = f"{Decimal(value.numerator) / Decimal(value.denominator):f}"
    return told.rstrip("0").rstrip(".") if "." in told else told


class Stature(int):
    """A stature, or a limit of one: the nearest whole mm, with the exact length beside it.

    It reckons as the whole number that it is; limits are held against ``exact``.
    """

    exact: Fraction

    def __new__(cls, exact: Fraction | int) -> Stature:
        made = super().__new__(cls, round(exact))
        made.exact = Fraction(exact)
        return made

    def __reduce__(self) -> tuple[Any, ...]:
        return Stature, (self.exact,)

    def __deepcopy__(self, memo: Any) -> Stature:
        return self


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


def stature(value: object) -> Stature:
    """Read a stature, exactly. Raises UnitError as ``length_mm`` does."""
    if isinstance(value, Stature):
        return value
    length_mm(value)
    return Stature(_read(value, _LENGTH, "length"))


def stature_range(value: object) -> object:
    """``76-124 cm`` or ``30 to 49 in``, as labels print it: [lowest, highest].

    Anything else comes back as it is. Raises UnitError.
    """
    if not isinstance(value, str):
        return value
    found = _RANGE_TOLD.fullmatch(value.strip())
    if found is None:
        raise UnitError(said('expected the lowest and the highest height, such as [760, 1240] or "76-124 cm"'))
    return [stature(f"{end} {found.group('unit')}") for end in found.group("low", "high")]


def mass(value: object) -> Quantity:
    """Read a mass with its unit, exactly; two readings of one label too, such as ``18.4 kg (40 lb)``.

    Raises UnitError: no unit, or two readings further apart than a label's rounding.
    """
    if isinstance(value, Quantity):
        return value
    if isinstance(value, (int, float)) and not isinstance(value, bool):
        if value == 0:                          # nothing, in either unit
            return Quantity._made(Fraction(0), "0 kg")
        raise UnitError(_bare(value))
    text = value.strip() if isinstance(value, str) else value
    if isinstance(text, str) and _PLAIN.fullmatch(text):
        raise UnitError(_bare(text))
    if isinstance(text, str) and (found := _TWO_READINGS.fullmatch(text)):
        first, second = (mass(part) for part in found.group("first", "second"))
        return both_readings(first, second, text)
    return Quantity._made(_read(text, _MASS, "mass"), " ".join(str(text).split()))


def both_readings(first: Quantity, second: Quantity, written: str) -> Quantity:
    """One limit that a label prints in both units. Raises UnitError where the two are not one limit."""
    if first.metric == second.metric:
        raise UnitError(said("expected the two readings in kg and in lb, such as 18.4 kg (40 lb)"))
    if abs(first - second) > SAME_LABEL_KG:
        raise UnitError(said("{first} is {other}, not {second}; expected two readings of one limit", first=str(first),
                             other=_other(first), second=str(second)))
    return Quantity._made(Fraction(first), " ".join(written.split()), (first, second))


def mass_range(value: object) -> object:
    """``22-65 lb``, or in both units as labels print it, ``22-65 lb, 10-29.5 kg``: [lowest, highest].

    Anything else comes back as it is. Raises UnitError.
    """
    if not isinstance(value, str):
        return value
    told = [_RANGE_TOLD.fullmatch(part.strip()) for part in re.split(r"[,;(/]", value.strip().removesuffix(")"))]
    if unit_less := re.fullmatch(r"([\d.]+)\s*(?:-|–|to)\s*[\d.]+", value.strip()):
        raise UnitError(_bare(unit_less.group(1)))
    if not 1 <= len(told) <= 2 or not all(told):
        raise UnitError(said('expected the lowest and the highest mass, such as [10 kg, 18 kg] or '
                             '"22-65 lb, 10-29.5 kg"'))
    ranges = [tuple(mass(f"{end} {found.group('unit')}") for end in found.group("low", "high"))
              for found in told if found]
    if len(ranges) == 1:
        return list(ranges[0])
    return [both_readings(one, other, f"{one} ({other})") for one, other in zip(*ranges, strict=True)]


def _bare(value: object) -> Message:
    """What is said of a mass without a unit: what it would be in either."""
    try:
        number = _number(f"{value:.12g}" if isinstance(value, float) else str(value).lstrip("+"))
    except (UnitError, ValueError):
        number = Fraction(0)
    if not 0 < number < 10_000:                               # no mass in either unit
        return said("expected {EXAMPLES}", EXAMPLES=EXAMPLES["mass"])
    told = decimal_text(number)
    return said('{kg} is {as_lb}; {lb} is {as_kg}: write the unit, such as "{kg}" or "{lb}"', kg=f"{told} kg",
                as_lb=f"{_short(number / KG_PER_POUND)} lb", lb=f"{told} lb",
                as_kg=f"{_short(number * KG_PER_POUND)} kg")


def _other(quantity: Quantity) -> str:
    """The same mass in the other unit."""
    return f"{_short(quantity / KG_PER_POUND)} lb" if quantity.metric else f"{_short(Fraction(quantity))} kg"


def _short(value: Fraction) -> str:
    return f"{round(float(value), 1):g}"


def angle_deg(value: object) -> float:
    """Read an angle in degrees, to a tenth. Raises UnitError."""
    return round(float(_read(value, _ANGLE, "angle")), 1)


def duration_months(value: object) -> int:
    """Read a duration in whole months passed. A plain number has no obvious unit here and is refused.
    Raises UnitError."""
    if isinstance(value, (int, float)) and not isinstance(value, bool):
        raise UnitError(said("expected {EXAMPLES}", EXAMPLES=EXAMPLES['duration']))
    return int(_read(value, _MONTHS, "duration"))


def duration_range(value: object) -> object:
    """``4 to 7 years``: [lowest, highest], each with its unit. Anything else comes back as it is."""
    found = _RANGE_TOLD.fullmatch(value.strip()) if isinstance(value, str) else None
    return value if found is None else [f"{end} {found.group('unit')}" for end in found.group("low", "high")]


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
