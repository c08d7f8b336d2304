"""Who sits where, in one short line."""

from __future__ import annotations

from seatplan.solver.results import Arrangement

from .words import held_by, in_short, in_what


def seated(arrangement: Arrangement, first: Arrangement) -> str:
    """``Oslo 2L, Wren 2C in Slim rear-facing``: the restraint, or what holds it, where it is not that of ``first``."""
    before = {seat.placement.rider.rider: seat.placement for seat in first.seats}
    told = []
    for seat in arrangement.seats:
        placement = seat.placement
        one, differs = before.get(placement.rider.rider), ""
        if one is not None and in_what(one) != in_what(placement):
            differs = f" {in_short(placement)}"
        elif one is not None and one.position is placement.position and held_by(one) != held_by(placement):
            differs = f" ({held_by(placement)})"
        told.append(f"{placement.rider.rider} {placement.position.position}{differs}")
    return ", ".join(told)
