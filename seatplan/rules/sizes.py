"""Whether a rider's sizes are known for the day of travel."""

from __future__ import annotations

from typing import TYPE_CHECKING

from seatplan.fields import Missing
from seatplan.message import said

from .finding import Result, lacks
from .rule import rule

if TYPE_CHECKING:
    from .subjects import Placement, RuleContext


def _later(placement: Placement, world: RuleContext) -> bool:
    from seatplan.model import Reckoned

    return world.options.strict and isinstance(placement.rider, Reckoned)


@rule(
    "size-only-reckoned",
    title="Nobody has measured the child for that day",
    source="sizes are reckoned from growth tables: DEVELOPERS.md, time",
    depends=("rider",),
    fact=("rider",),
    reads=("rider.height", "rider.mass"),
    remedy="measure again when the day is near",
    when=_later,
    says={
    },
)
def size_only_reckoned(placement: Placement, world: RuleContext) -> Result:
    """Only under --strict: the child's sizes are reckoned for a later day.

    Checks: whether the sizes were measured, where nothing that is only estimated is to count.
    Why: children grow by jumps; what is reckoned is likely, and not sure.
    Limits: without --strict such a day is never better than likely.
    Blocks: nothing by itself: under --strict what was not measured counts as a no.
    """
    from .reckoned import HOW_LATER, size_that_day

    return lacks(Missing(size_that_day(placement.rider.rider), said(HOW_LATER["mm"][1], rider=placement.rider.rider)))
