"""Why not, and what would change it, for a trip that nothing fits: groups, conflict, certificate, repairs."""

from __future__ import annotations

from typing import TYPE_CHECKING

from seatplan.frozen import frozen
from seatplan.geometry.chain import Squeeze
from seatplan.message import said

from .conflict import MOST_RIDERS, MOST_STEPS, Conflict, Group, Stopped, smallest_conflict, smallest_groups
from .occasions import ROW
from .repairs.change import Shelf
from .repairs.verify import Repairs, repairs_of
from .results import Plan, SqueezeShown
from .seater import RelaxedSearch, solve_seater
from .solve import Progress, Solve
from .walk import Found, Steps

if TYPE_CHECKING:
    from collections.abc import Iterator

#: of so many smallest groups the reasons are worked out, and those with the fewest are told
GROUPS_LOOKED_AT = 4
#: so many seatings are looked at for the one that lacks least room
SEATINGS_LOOKED_AT = 2_000


@frozen
class Explanation:
    """``groups``: the names of all smallest groups of riders that cannot travel together, those of ``conflict`` first;
    ``all_groups`` False: there may be more. ``nearest``: the sum of the seating that the conflict's row alone stands
    in the way of and that lacks least; None where no row does. ``conflict`` is None, and the groups may be missing,
    where the search for them stopped at its limit."""

    groups: tuple[tuple[str, ...], ...]
    all_groups: bool
    conflict: Conflict | None
    nearest: SqueezeShown | None
    repairs: Repairs

    @property
    def riders(self) -> tuple[str, ...]:
        """Those of the conflict; nobody where the search stopped before it found a group."""
        return self.groups[0] if self.groups else ()


def explain(plan: Plan, shelf: Shelf, progress: Progress | None = None) -> Explanation | None:
    """Explain a plan without arrangements; None where there are some, or where the search stopped before it knew.

    ``shelf``: restraints that could be had, by the word that files name them by.
    """
    if plan.arrangements or not plan.tally.complete:
        return None
    trip = plan.trip if plan.trip.on else plan.trip.model_copy(update={"on": plan.day})
    solve = Solve(trip, plan.profile, plan.day, strict=plan.strict, worst_case=plan.worst_case,
                  choices=plan.choices)
    return explain_solve(solve, shelf, progress=progress)


def explain_solve(solve: Solve, shelf: Shelf, keep: tuple[str, ...] = (),
                  progress: Progress | None = None) -> Explanation | None:
    """The same for a solve; None where all can travel together. No repair gives up what riders of ``keep`` must have,
    or leaves them behind."""
    seater = solve_seater(solve)
    steps = Steps(MOST_STEPS, None if progress is None else lambda n: progress(said("looking for the reasons"), n))
    names = [rider.rider for rider in solve.trip.riders]
    groups: list[tuple[int, ...]] = []
    conflicts: list[Conflict] = []
    try:
        groups = list(smallest_groups(seater, steps))
        if not groups:
            return None
        for group in groups[:GROUPS_LOOKED_AT]:
            conflicts.append(smallest_conflict(seater, group, steps))
    except Stopped:
        pass                                              # what is known by then is told
    conflict = None
    if conflicts:
        first = min(range(len(conflicts)), key=lambda i: (len(conflicts[i].reasons), len(groups[i]), i))
        groups.insert(0, groups.pop(first))
        conflict = conflicts[first]
    return Explanation(
        tuple(tuple(names[r] for r in group) for group in groups), bool(groups) and len(names) <= MOST_RIDERS, conflict,
        None if conflict is None else _nearest(seater, conflict),
        repairs_of(solve, shelf, keep=keep, progress=progress))


def _nearest(seater: RelaxedSearch, conflict: Conflict) -> SqueezeShown | None:
    """The least lack of room among the seatings that a row of the conflict alone stands in the way of."""
    rows = [reason.occasion for reason in conflict.reasons if reason.occasion.rule == ROW]
    if not rows:
        return None
    best: tuple[Found, int, Squeeze] | None = None
    looked_at: set[tuple[int, ...]] = set()
    for n, found in enumerate(_only(seater, conflict, sum(map(seater.occasions.bit, rows)))):
        bodies = seater.bodies(found)                     # others of the same sizes lack as much
        squeezed = None if bodies in looked_at else _squeezed(seater, found)
        looked_at.add(bodies)
        if squeezed is not None and (best is None or squeezed[1].short < best[2].short):
            best = (found, *squeezed)
        if n >= SEATINGS_LOOKED_AT:
            break
    if best is None:
        return None
    found, row, squeeze = best
    told = seater.given_out(found).placements
    return SqueezeShown(row, tuple(p for p in told if p.row.row == row), told, squeeze)


def _only(seater: RelaxedSearch, conflict: Conflict, bits: int) -> Iterator[Found]:
    group = Group(seater, conflict.riders, Steps(MOST_STEPS))
    return group.all_breaking(bits)


def _squeezed(seater: RelaxedSearch, found: Found) -> tuple[int, Squeeze] | None:
    """The row of a seating that lacks most, and its sum."""
    solve = seater.solve
    worst: tuple[int, Squeeze] | None = None
    for i, row in enumerate(solve.trip.vehicle.rows):
        here = tuple(p for p in found.placements if p.row.row == row.row)
        answer = solve.cars[i].solve(here) if here else None
        if isinstance(answer, Squeeze) and (worst is None or answer.short > worst[1].short):
            worst = row.row, answer
    return worst
