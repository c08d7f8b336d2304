"""What one rule says of one subject: numbers and keys, never sentences."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from math import ceil
from types import MappingProxyType
from typing import Any, Literal, NamedTuple

from seatplan.fields import Missing
from seatplan.frozen import frozen
from seatplan.message import Word
from seatplan.units import Number, Stature

Outcome = Literal["pass", "block", "caution", "unmeasured"]
#: what a limit is: the most that may be, or the least; "" where neither was said
Keeps = Literal["most", "least", ""]

#: worst first
ORDER: tuple[Outcome, ...] = ("block", "unmeasured", "caution", "pass")

_NOTHING: Mapping[str, Any] = MappingProxyType({})


class Result(NamedTuple):
    """What a rule function returns. ``fails`` becomes block or caution by the strength of the rule.

    measured, limit and shortfall share ``unit``; shortfall is how far the measured value is on the wrong side.
    An unmeasured result names the ``field`` that is missing, ``how`` to take it, and the value that settles it.
    ``keeps``: whether what is measured must be at most or at least what it is held against (``sense``).
    ``close``: what was measured is nearer to the limit, on either side, than measuring can be off. ``estimates``: what
    a pass rests on that nobody measured, and that was taken at its unkind end.
    """

    outcome: Literal["pass", "fail", "caution", "unmeasured"]
    measured: Number | str | None = None
    limit: Number | str | None = None
    shortfall: float | None = None
    unit: str = ""
    field: str = ""
    how: str = ""
    settles_at: Number | str | None = None
    facts: Mapping[str, Any] = _NOTHING
    close: bool = False
    estimates: tuple[str, ...] = ()
    keeps: Keeps = ""


@frozen
class Finding:
    """A result with its subject: which rule, which riders, which positions."""

    rule: str
    outcome: Outcome
    riders: tuple[str, ...]
    positions: tuple[str, ...]
    result: Result
    source: str
    restraint: str | None = None


def passes(measured: Any = None, limit: Any = None, unit: str = "", **facts: Any) -> Result:
    return Result("pass", _typed(measured), _typed(limit), None, unit, facts=_all_typed(facts))


def guesses(estimates: tuple[str, ...], measured: Any, limit: Any, unit: str, **facts: Any) -> Result:
    """Pass at the unkind end of what is only estimated."""
    return passes(measured, limit, unit, **facts, estimated=True)._replace(estimates=estimates)


def fails(measured: Any = None, limit: Any = None, unit: str = "", shortfall: float | None = None,
          **facts: Any) -> Result:
    return Result("fail", _typed(measured), _typed(limit), shortfall, unit, facts=_all_typed(facts))


def cautions(measured: Any = None, limit: Any = None, unit: str = "", shortfall: float | None = None,
             **facts: Any) -> Result:
    """A failing that never blocks, whatever the strength of the rule."""
    return Result("caution", _typed(measured), _typed(limit), shortfall, unit, facts=_all_typed(facts))


def lacks(missing: Missing, settles_at: Number | str | None = None, keeps: Keeps = "", **facts: Any) -> Result:
    """A field is missing, and which value of it settles the question. A number is in the unit of the field."""
    unit = missing.unit if settles_at is None or isinstance(settles_at, (int, float, Fraction)) else ""
    return Result("unmeasured", None, None, None, unit, missing.field, missing.how, _typed(settles_at),
                  _all_typed(facts), keeps=keeps)


def notes(missing: Missing, settles_at: Number | str | None = None, keeps: Keeps = "", **facts: Any) -> Result:
    """A field is missing that only good practice asks for: a caution, which never holds anything up."""
    return lacks(missing, settles_at, keeps, **facts)._replace(outcome="caution")


def _typed(value: Any) -> Any:
    """A plain text in a result is a word of the files or the rules; names, days and messages have types of their
    own."""
    return Word(value) if type(value) is str and value else value


def _all_typed(facts: Mapping[str, Any]) -> Mapping[str, Any]:
    return {name: _typed(value) for name, value in facts.items()} if facts else _NOTHING


def sense(result: Result) -> Keeps:
    """Whether the limit of a result is a most or a least: as the rule said, or by which side of it what was measured
    lies and whether that fails."""
    measured, limit = result.measured, result.limit
    if result.keeps or not isinstance(measured, (int, float, Fraction)) or not isinstance(
            limit, (int, float, Fraction)) or measured == limit:
        return result.keeps
    failing = result.outcome == "fail" or result.shortfall is not None
    return "most" if failing == (measured > limit) else "least"


def at_most(measured: Number, limit: Number, unit: str, **facts: Any) -> Result:
    """Pass when measured <= limit, exactly; otherwise fail with the shortfall."""
    measured, limit = _exact(measured), _exact(limit)
    if measured <= limit:
        return passes(measured, limit, unit, **facts)._replace(keeps="most")
    return fails(measured, limit, unit, short_by(measured - limit), **facts)._replace(keeps="most")


def at_least(measured: Number, limit: Number, unit: str, **facts: Any) -> Result:
    """Pass when measured >= limit, exactly; otherwise fail with the shortfall."""
    measured, limit = _exact(measured), _exact(limit)
    if measured >= limit:
        return passes(measured, limit, unit, **facts)._replace(keeps="least")
    return fails(measured, limit, unit, short_by(limit - measured), **facts)._replace(keeps="least")


def short_by(amount: Number) -> float:
    """What is missing, to a hundredth, and never told as less than it is."""
    if isinstance(amount, int):
        return amount
    told = ceil(amount * 100 if isinstance(amount, Fraction) else round(amount * 100, 6)) / 100
    return int(told) if told.is_integer() and isinstance(amount, Fraction) else told


def _exact(value: Number) -> Number:
    """A stature with its fraction of a mm; anything else as it is."""
    if isinstance(value, Stature) and value.exact.denominator != 1:
        return value.exact
    return value
