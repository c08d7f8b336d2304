"""A bed across two belts uses two places: what a rule says of a place holds at each of them."""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps
from typing import TYPE_CHECKING, Any, TypeVar

if TYPE_CHECKING:
    from .subjects import Placement, RuleContext

R = TypeVar("R")

#: what decides of two places: the worse of both
_WORSE = ("pass", "caution", "unmeasured", "fail")


def at_both(check: Callable[[Placement, RuleContext], R]) -> Callable[[Placement, RuleContext], R]:
    """A check of one place that is asked at the second one, too, where a placement has one; the worse answer counts,
    and says in the fact ``at`` which place it is about."""

    @wraps(check)
    def asked(placement: Placement, world: RuleContext) -> R:
        found, beside = check(placement, world), placement.from_second()
        if beside is None:
            return found
        other: Any = check(beside, world)
        if _rank(other) <= _rank(found):
            return found
        told: R = other._replace(facts={**other.facts, "at": beside.position.position})
        return told

    return asked


def _rank(result: Any) -> int:
    return -1 if result is None else _WORSE.index(result.outcome)
