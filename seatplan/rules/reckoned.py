"""A rule about a child whose sizes are reckoned for a later day: asked at both ends of what they may be, too.

Never in the user's favour: where the likely size fails, it fails; where only an end of the range does, it is open
until somebody measures again; it passes where the whole range does.
"""

from __future__ import annotations

from seatplan.fields import Missing
from seatplan.message import Word, said
from seatplan.model import Reckoned

from .finding import Result, lacks, sense
from .rule import Rule
from .subjects import Placement, RuleContext

#: what is asked for, and how to find out, by unit
HOW_LATER = {
    "kg": ("mass", "weigh {rider} when the day is near"),
    "mm": ("size", "measure {rider} when the day is near"),
    "months": ("age", "write the day of birth"),
}


def size_that_day(rider: str) -> str:
    """How a size is named that is only reckoned for a later day."""
    return said("{field} of {rider} that day", field=Word(HOW_LATER["mm"][0]), rider=rider)


def ask(rule: Rule, placement: Placement, world: RuleContext) -> Result | None:
    """What a rule says of a placement; None where it has nothing to say."""
    return rule.check(placement, world) if rule.when(placement, world) else None


def judge(rule: Rule, placement: Placement, world: RuleContext, must: bool) -> Result | None:
    """The same, at the likely size and at both ends where the rider's sizes are reckoned."""
    likely = rule.check(placement, world) if rule.when(placement, world) else None
    rider = placement.rider
    if not isinstance(rider, Reckoned) or "rider" not in rule.depends or (likely and likely.outcome == "fail"):
        return likely
    ends = [ask(rule, placement.for_rider(end, placement.recline), world) for end in (rider.smaller, rider.larger)]
    return merged(likely, ends, rider.rider, must)


def merged(likely: Result | None, ends: list[Result | None], rider: str, must: bool) -> Result | None:
    """One result of three: the worst, where a failing at an end alone is open rather than a block."""
    told = [result for result in ends if result is not None]
    outcomes = {result.outcome for result in told}
    if must and "fail" in outcomes:
        failing = next(result for result in told if result.outcome == "fail")
        field, how = HOW_LATER.get(failing.unit, ("size", HOW_LATER["mm"][1]))
        later = Missing(said("{field} of {rider} that day", field=Word(field), rider=rider), said(how, rider=rider),
                        failing.unit)
        return lacks(later, failing.limit, sense(failing), estimated=True, reckoned=failing.measured)
    if likely is not None:
        told.insert(0, likely)
        outcomes.add(likely.outcome)
    for outcome in ("unmeasured", "fail", "caution"):
        if outcome in outcomes:
            return next(result for result in told if result.outcome == outcome)
    return next(iter(told), None)
