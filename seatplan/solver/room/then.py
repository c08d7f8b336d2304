"""Where the others sit when one rider has a restraint of some size at one seat."""

from __future__ import annotations

from itertools import islice
from typing import TYPE_CHECKING

from seatplan.model import Restraint, Wish

from ..assemble import assemble
from ..results import Arrangement

if TYPE_CHECKING:
    from ..solve import Solve

#: seatings looked at, best first, for one that is as sure as it is to be
_LOOKED_AT = 200


def seated_with(solve: Solve, rider: str, position: str, restraint: Restraint,
                level: int) -> tuple[Arrangement | None, int]:
    """The best arrangement with the rider there in that restraint, of those that are as sure as ``level``; None where
    none is of the first ones that were looked at. And how many row plans that took."""
    must = [Wish(rider=rider, at=[position], must=True), Wish(rider=rider, uses=[restraint.restraint], must=True)]
    again = solve.again(solve.trip.model_copy(update={
        "restraints": [*solve.trip.restraints, restraint], "wishes": [*solve.trip.wishes, *must]}))
    rows = [[plan for plan in plans if plan.level <= level] for plans in again.rows]
    found = next((one for one in islice(again.ranked(_LOOKED_AT, rows=rows), _LOOKED_AT) if one.level <= level), None)
    return None if found is None else assemble(again, 1, found, None), sum(map(len, again.rows))
