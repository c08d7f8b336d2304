"""The child limits that hold for a placement: the mode's, narrowed by those of the installation."""

from __future__ import annotations

from typing import TYPE_CHECKING

from seatplan.units import Number

if TYPE_CHECKING:
    from .subjects import Placement, RuleContext

Range = tuple[Number, Number]


def head_below_top(placement: Placement, world: RuleContext) -> tuple[int, bool]:
    """How far below the top of the shell the head must stay, mm, and whether the instructions are what asks for it:
    they may only tighten what the profile has."""
    limits = (placement.mode.limits if placement.mode else None,
              placement.installation.limits if placement.installation else None)
    own = max((part.head_below_top for part in limits if part is not None and part.head_below_top is not None),
              default=0)
    least = int(world.limit("rear_head_below_top"))
    return max(own, least), own >= least


def limit_of(placement: Placement, name: str) -> Range | None:
    """The range of ``mass`` (kg), ``height`` (mm) or ``age`` (months); None where the instructions name none."""
    mode, installation = placement.mode, placement.installation
    wide: Range | None = None if mode is None else getattr(mode.limits, name)
    narrow: Range | None = None if installation is None or installation.limits is None else getattr(
        installation.limits, name)
    if wide is None or narrow is None:
        return wide or narrow
    return max(wide[0], narrow[0]), min(wide[1], narrow[1])
