"""What a trip comes to at best by the steps of the order that are about safety, whatever fits beside whatever."""

from __future__ import annotations

from typing import TYPE_CHECKING

from .occasions import WISHES
from .ranking import safe

if TYPE_CHECKING:
    from .placements import Choices
    from .solve import Solve


def least(solve: Solve, choices: Choices) -> int:
    """What steps 2 to 7 come to at least by all choices of a solve's trip, whatever is wished: that of each rider's
    best place by itself."""
    wishes = set(WISHES)
    return sum(
        min((safe(solve.cost_of(cell)) for choice in own for cell in choice.all_cells
             if not cell.blocked or cell.refused_by() <= wishes), default=0)
        for own in choices.per_rider)
