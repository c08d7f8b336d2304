"""Which positions a placement needs beside its own, and where a restraint can stand at all.

A bed across two belts takes the position beside it; a restraint that is built into the vehicle lives at its seat. A
seat ahead that is pushed beyond use hangs on the whole car, so the lanes know that one. The search, the rules and the
tests all ask here, and nowhere else.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from seatplan.frozen import frozen

if TYPE_CHECKING:
    from seatplan.model import Restraint

    from .subjects import Placement


@frozen
class Footprint:
    """Positions beside the placement's own: ``takes`` are used up by it, ``empties`` may not be used by anybody."""

    takes: frozenset[str] = frozenset()
    empties: frozenset[str] = frozenset()

    def __bool__(self) -> bool:
        return bool(self.takes or self.empties)


NOTHING = Footprint()


def footprint(placement: Placement) -> Footprint:
    """What a placement needs beside its position. It may hang on position, mode and installation, never on the rider:
    riders who look alike to a row share its answers."""
    return NOTHING if placement.second is None else Footprint(takes=frozenset((placement.second.position,)))


def home(restraint: Restraint) -> str | None:
    """The position that a restraint is built into; None where it can stand anywhere."""
    return restraint.built_into


def offered_at(restraint: Restraint, position: str) -> bool:
    """Whether a restraint can stand at a position at all."""
    return home(restraint) in (None, position)


def wanted_by_both(one: Placement, other: Placement) -> tuple[str, ...]:
    """The positions that one uses and the other uses, too, or needs empty."""
    a, b = footprint(one), footprint(other)
    uses, others = a.takes | {one.position.position}, b.takes | {other.position.position}
    return tuple(sorted(uses & (others | b.empties) | others & a.empties))
