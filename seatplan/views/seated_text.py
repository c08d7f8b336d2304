"""Who sits where, in one short line."""

from __future__ import annotations

from collections.abc import Callable

from seatplan.rules.subjects import Placement
from seatplan.solver.results import Arrangement

from .say import N, t
from .words import SHORT_MODES, held_by, in_short, in_what

_HOW = Callable[[Placement], str]


def seated(arrangement: Arrangement, first: Arrangement) -> str:
    """``Oslo 2L, Wren 2C in Slim rear-facing``: the restraint, or what holds it, where it is not that of ``first``."""
    return ", ".join(told for told, _ in _each(arrangement, first, in_short))


def otherwise(arrangement: Arrangement, first: Arrangement, how: _HOW = in_short) -> str:
    """The same of those alone who do not ride as in ``first``; ``how``: in which words what they ride in is told."""
    return ", ".join(told for told, differs in _each(arrangement, first, how) if differs) or t(_ALIKE)


def in_one_word(placement: Placement) -> str:
    """``in Nook``, or ``with the seat belt``."""
    return in_short(placement) if placement.restraint is None else t(
        "in {restraint}", restraint=placement.restraint.restraint)


def in_mode(placement: Placement) -> str:
    """``rear-facing``, where the restraint is the same."""
    return str(SHORT_MODES[placement.mode_name])


#: ways to tell what somebody rides in, the longest first
OTHERWISE: tuple[_HOW, ...] = (in_short, in_one_word)
_ALIKE = N("everybody as in the best")


def _each(arrangement: Arrangement, first: Arrangement, how: _HOW) -> list[tuple[str, bool]]:
    """Each rider with the seat, and what differs from ``first``; and whether anything does."""
    before = {seat.placement.rider.rider: seat.placement for seat in first.seats}
    told = []
    for seat in arrangement.seats:
        placement = seat.placement
        one, differs = before.get(placement.rider.rider), ""
        if one is not None and in_what(one) != in_what(placement):
            again = (how is in_one_word and one.restraint is not None and placement.restraint is not None
                     and one.restraint.restraint == placement.restraint.restraint)
            differs = f" {in_mode(placement) if again else how(placement)}"
        elif one is not None and one.position is placement.position and held_by(one) != held_by(placement):
            differs = f" ({held_by(placement)})"
        moved = one is None or one.position is not placement.position
        told.append((f"{placement.rider.rider} {placement.position.position}{differs}", moved or bool(differs)))
    return told
