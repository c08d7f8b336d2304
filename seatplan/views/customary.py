"""Templates whose millimetres and kilograms are told in inches and pounds, never rounded in anybody's favour."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from seatplan.units import Number

from . import measures
from .manner import decimals

_QUANTITY = re.compile(r"\{(\w+)\}(?:( to | and | a | y )\{(\w+)\})? (mm|cm|kg)\b")
#: several numbers with a word from one to the next, such as 268 to 292
_NUMBER_TOLD = re.compile(r"\d[\d.,]*")
_SPANS = re.compile(r"\d[\d.,]*( \w+ \d[\d.,]*)+")
#: what is missing, or needed, is rounded up; what there is to spare, or free, is rounded down
_UP = ("shortfall", "short", "need", "needs", "reach", "overhang", "lacks", "asked", "head", "stands", "slid")
_DOWN = ("free", "spare", "have", "room", "there", "gap")
#: what is held against each other, and limits that may stand alone
_PAIRS, _LIMITS = (("measured", "limit"), ("gap", "asked")), ("limit", "settles_at")


def in_customary(template: str, told: dict[str, Any], passed: bool | None = None) -> str:
    """The template without ``mm`` and ``kg`` behind its fields; the fields now carry inches and pounds.

    ``passed`` says whether ``measured`` keeps to ``limit``: a most is then rounded down and what is held against it
    up, a least the other way round. A limit of which that is not known is told to a hundredth.
    """
    ways = _ways(told, passed)

    def shown(name: str, value: Number, unit: str) -> str:
        pair = next((pair for pair in _PAIRS if name in pair), ())
        held = [(amount, ways.get(which, "near")) for which in pair
                if (amount := measures.value_of(told.get(which))) is not None]
        if len(held) < 2:
            return converted(value, unit, ways.get(name, "near"), name in _LIMITS)
        (one, one_way), (other, other_way) = held
        if one == other:
            return converted(value, unit, exact=one_way != other_way)
        return converted(value, unit, ways.get(name, "near"), measures.hidden(one, one_way, other, other_way, unit))

    def quantity(found: re.Match[str]) -> str:
        first, between, second, unit = found.groups()
        if not second and _SPANS.fullmatch(str(told.get(first))):
            told[first] = _spans(told, first, unit)
            return f"{{{first}}}"
        ends = []
        for name in (first, second) if second else (first,):
            value = measures.value_of(told.get(name))
            ends.append(f"{{{name}}}" if value is None else f"{{{name}_{unit}}}")
            if value is not None:
                told[f"{name}_{unit}"] = shown(name, value, unit)
        if ends[-1] == f"{{{second or first}}}":
            return found.group(0)                            # no number has that unit
        return (between or "").join(ends)

    return _QUANTITY.sub(quantity, template)


def _spans(told: dict[str, Any], name: str, unit: str) -> str:
    """``268 to 292`` in inches, to a hundredth; ``measured`` too where it would seem to lie on one of the ends."""
    ends = [value for found in _NUMBER_TOLD.findall(str(told[name])) if (value := measures.value_of(found)) is not None]
    measured = measures.value_of(told.get("measured"))
    if measured is not None and any(converted(end, unit) == converted(measured, unit) for end in ends):
        told[f"measured_{unit}"] = converted(measured, unit, exact=True)
    parts = iter(converted(end, unit, exact=True) for end in ends)
    spans = _NUMBER_TOLD.sub(lambda _: next(parts).rpartition(" ")[0], str(told[name]))
    return f"{spans} {'lb' if unit == 'kg' else 'in'}"


def beside(have: float, need: float) -> tuple[str, str]:
    """What there is and what is asked for, in inches: never more than there is, never less than is asked, and alike
    only where they are."""
    told = {"gap": have, "asked": need}
    return tuple(in_customary("{gap} mm|{asked} mm", told).format(**told).split("|"))  # type: ignore[return-value]


def converted(value: Number, unit: str, way: str = "near", exact: bool = False) -> str:
    """``438 mm`` as 17 1/4 in, ``8.9 kg`` as 19.6 lb."""
    if unit == "kg":
        return decimals(measures.pounds(value, way, exact))
    return decimals(measures.inches(value * 10 if unit == "cm" else value, way, exact))


def _ways(told: Mapping[str, Any], passed: bool | None) -> dict[str, str]:
    """How each field is rounded."""
    ways = {**dict.fromkeys(_UP, "up"), **dict.fromkeys(_DOWN, "down")}
    measured, limit = (measures.value_of(told.get(name)) for name in ("measured", "limit"))
    if passed is None or measured is None or limit is None or measured == limit:
        return ways
    most = passed == (measured < limit)
    return ways | ({"measured": "up", "limit": "down"} if most else {"measured": "down", "limit": "up"})
