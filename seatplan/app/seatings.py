"""Every valid seating, unranked: for counting and filtering."""

from __future__ import annotations

from collections.abc import Iterator

from seatplan.solver.seatings import every_seating
from seatplan.solver.solve import Solve

from .reading import read
from .request import Request

#: rider -> (position, restraint or None, mode)
Seating = dict[str, tuple[str, str | None, str]]


def seatings(request: Request) -> Iterator[Seating]:
    """Seatings that differ by a swap of restraints that are alike are one. Raises InputError."""
    found = read(request)
    solve = Solve(found.trip, found.profile, found.day, strict=request.strict, worst_case=request.worst_case)
    names = [position.position for position in solve.choices.positions]
    for seating in every_seating(solve):
        left_to_right = sorted(seating, key=lambda c: c.position)
        copies = solve.kinds.handed(c.restraint for c in left_to_right)
        held = {c.rider: None if copy is None else copy.restraint
                for c, copy in zip(left_to_right, copies, strict=True)}
        yield {found.trip.riders[c.rider].rider: (names[c.position], held[c.rider], c.mode) for c in seating}
