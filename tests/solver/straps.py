"""Which anchors and loops of a row a tether strap uses, and whether two straps may be used at once; told from the
plain records, apart from the planner."""

from __future__ import annotations

from seatplan.model import Row


def loops(row: Row, tether: str) -> set[str]:
    """The anchor itself and all that its strap is led to."""
    found = {tether}
    for one in row.tethers or []:
        if one.tether == tether:
            found.update(one.through)
    return found


def clash(row: Row, one: str | None, other: str | None) -> bool:
    """Whether two straps that are both hooked are known to be one too many somewhere: at an anchor that both end at,
    or at a loop that the handbook keeps for one."""
    if one is None or other is None:
        return False
    told = {tether.tether: tether.shared for tether in row.tethers or []}
    return any(told.get(name) is not True and (told.get(name) is False or one == other == name)
               for name in loops(row, one) & loops(row, other))
