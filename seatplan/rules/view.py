"""The driver's view to the rear, over the middle of the rows behind."""

from __future__ import annotations

from typing import TYPE_CHECKING

from .finding import Result, at_most
from .rule import rule

if TYPE_CHECKING:
    from .subjects import Placement, RuleContext


def _top(p: Placement) -> int | None:
    """How high a restraint, or whoever sits on the belt or a booster, stands above the cushion, mm; None where that was
    not measured."""
    tops: list[int] = []
    if p.mode is not None:
        for part in (*p.mode.parts, *(p.installation.parts if p.installation else ())):
            if part.up is None and part.outline is None:
                return None
            tops.append(part.up[1] if part.up is not None else max(up for _, up in part.outline or ()))
    if p.fastened_each_trip:
        lift = p.mode.seat_up if p.mode is not None else 0
        if p.rider.sitting_height is None or lift is None:
            return None
        tops.append(p.rider.sitting_height + lift)
    return max(tops, default=None)


@rule(
    "driver-sees-less-behind",
    title="Something tall in the middle hides what is behind the car",
    strength="good practice",
    source="common practice, no source",
    limits=("view_above_seatback",),
    depends=("rider", "mode", "installation", "position"), world=("front",),
    fact=("position",),
    reads=("mode.parts", "mode.seat_up", "rider.sitting_height", "row.seatback.height"),
    remedy="set the outside mirrors wider; a seat at the side",
    when=lambda p, w: p.position.position.endswith("C") and not w.vehicle.in_front(p.position)
    and p.row.seatback.height is not None and _top(p) is not None,
    weight="slight",
    why_weight="the outside mirrors show what the inside one does not, so it moves no child; common practice, no "
    "source",
    own_step=True,
    says={
        "caution": "stands {measured} high in the middle, where {limit} leave the driver a view to the rear: set the "
                   "outside mirrors before you drive",
        "block": "stands {measured} high in the middle, where {limit} leave the driver a view to the rear",
        "pass": "stands {measured} high in the middle, where {limit} leave the driver a view to the rear",
    },
)
def driver_sees_less_behind(p: Placement, w: RuleContext) -> Result:
    """A tall restraint or rider in the middle of a row behind hides the rear window from the driver.

    Checks: the top of the restraint, or of the head of whoever sits on the belt or a booster, above the cushion,
        against the height of the seatback and 200 mm.
    Why: a driver who sees nothing in the inside mirror misses what comes from behind.
    Limits: only heights that were measured; window, mirror and how tall the driver is are not known.
    Blocks: nothing; a shell that ends 830 mm above the cushion before a seatback of 620 mm gives a caution.
    """
    top, back = _top(p), p.row.seatback.height
    assert top is not None
    assert back is not None
    return at_most(top, back + w.limit("view_above_seatback"), "mm")
