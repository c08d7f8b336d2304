"""Repairs that hold: every one told was solved again in full, with the arrangement that results."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from seatplan.message import said

from ..least import least
from ..ranking import placed, safe, stage
from ..results import Arrangement, Verdict
from .catalogue import KIND, applied
from .change import Change, Shelf
from .search import Opening, RepairSeater

if TYPE_CHECKING:
    from seatplan.model import Trip

    from ..solve import Progress, Solve

#: up to so many changes at once
MOST_CHANGES = 3
#: so many repairs are told; up to twice as many are solved, for some hang on what was not measured
SHOWN = 3
#: so many of a group of look-alikes are solved at most before the best of them is told
TRIED = 24
#: after solves of so many row plans together no further set of changes is solved
MOST_PLANS = 120_000
#: a trip of more placements than this is not solved again: it would be held in memory three times over
MOST_PLACEMENTS = 7_000
#: of one such solve so many seatings are looked at, those that promise most first
MOST_SEATINGS = 60_000
_ORDER: tuple[Verdict, ...] = ("fits", "close", "likely", "unmeasured", "rejected")


@dataclass(frozen=True, slots=True)
class Loss:
    """A child who would ride in a less protective mode than the best it fits by itself, with what is at hand."""

    rider: str
    mode: str
    instead_of: str


@dataclass(frozen=True, slots=True)
class Repair:
    """Do all of these changes, and the arrangement is the best that results. ``alike``: other sets that do the same
    with another rider or another restraint in the place of one of these; they were not all solved in full."""

    changes: tuple[Change, ...]
    arrangement: Arrangement
    losses: tuple[Loss, ...]
    alike: tuple[tuple[Change, ...], ...]

    @property
    def verdict(self) -> Verdict:
        return self.arrangement.verdict


@dataclass(frozen=True, slots=True)
class Repairs:
    """What would open a refused trip, least first. ``sets`` counts all smallest sets of changes by how many changes
    they have; ``complete`` is False when the search for them, or solving with them, stopped early."""

    repairs: tuple[Repair, ...]
    sets: dict[int, int]
    complete: bool


def repairs_of(solve: Solve, shelf: Shelf, shown: int = SHOWN, keep: tuple[str, ...] = (),
               progress: Progress | None = None, most: int = MOST_CHANGES) -> Repairs:
    """The smallest sets of up to ``most`` changes that open a refused trip, least effort first, up to ``shown`` of
    them solved. The wishes of riders in ``keep`` stay musts, and they ride along."""
    seater = RepairSeater(solve, shelf, keep)
    openings = seater.openings(most, progress)
    sets: dict[int, int] = {}
    for opening in openings:
        sets[len(opening.changes)] = sets.get(len(opening.changes), 0) + 1
    groups = sorted(_grouped(openings), key=_effort)
    told: list[Repair] = []
    again, complete = Again(solve, progress), seater.complete
    for group in groups:
        if again.plans > MOST_PLANS or solve.judged > MOST_PLACEMENTS:
            complete = False
            break
        best = _best_of(again, seater, group)
        if best is not None:
            told.append(best)
        if len(told) >= 2 * shown or sum(_order(repair)[:2] == (False, False) for repair in told) >= shown:
            break
    told.sort(key=_order)
    return Repairs(tuple(told[:shown]), dict(sorted(sets.items())), complete)


def _order(repair: Repair) -> tuple[bool, bool, int, int]:
    """Surely open first, then those without loss of protection, then the least effort."""
    return (repair.verdict == "unmeasured", bool(repair.losses),
            sum(KIND[change.kind].effort for change in repair.changes), len(repair.changes))


def _effort(group: Sequence[Opening]) -> tuple[int, int]:
    first = group[0]
    return sum(KIND[change.kind].effort for change in first.changes), len(first.changes)


def _grouped(openings: Sequence[Opening]) -> Iterator[list[Opening]]:
    """Openings that differ only in which rider rides elsewhere, or in which restraint serves the same rider."""
    groups: dict[tuple[object, ...], list[Opening]] = {}
    for opening in openings:
        groups.setdefault(tuple(_like(change, opening) for change in opening.changes), []).append(opening)
    for group in groups.values():
        group.sort(key=_protection)
        yield group


def _like(change: Change, opening: Opening) -> object:
    if change.kind == "ride-elsewhere":
        return change.kind
    if change.kind == "get-restraint":
        user = next((o.cell.placement.rider.rider for o in opening.found.options
                     if o.cell and o.cell.placement.restraint and o.cell.placement.restraint is change.new), "")
        return change.kind, user
    return change.kind, change.riders, change.restraint, change.position, change.thing


def _protection(opening: Opening) -> tuple[int, int]:
    """How far from the most protective modes its seating is; adults go elsewhere before children."""
    modes = sum(stage(p.mode_name) for p in opening.found.placements if not p.rider.adult)
    children = len([p for p in opening.found.placements if not p.rider.adult])
    return -children, modes


class Again:
    """Solves a trip again with changes; ``plans`` counts the row plans that this took, and placements."""

    def __init__(self, solve: Solve, progress: Progress | None = None) -> None:
        self.solve, self.plans, self._progress = solve, 0, progress
        self._changed: Solve | None = None

    def best(self, changes: tuple[Change, ...]) -> Arrangement | None:
        """The best arrangement with some changes; None without any."""
        if self._progress:
            self._progress(said("solving with changes"), self.plans)
        changed = self.solve.again(applied(self.solve.trip, changes))
        self.plans += changed.work
        self._changed = changed
        return _best(changed, MOST_SEATINGS)

    def at_its_best(self, arrangement: Arrangement) -> bool:
        """Whether the arrangement found last is as safe as these riders could ride with these changes, each by
        itself."""
        return self._changed is not None and safe(arrangement.cost) <= least(self._changed)


def _best_of(again: Again, seater: RepairSeater, group: Sequence[Opening]) -> Repair | None:
    """The best of a group by the order of arrangements, each solved in full until nothing is left to gain; None if none
    of them opens anything. Among those that put nobody small in front more, an adult goes elsewhere before a child."""
    solve = again.solve
    found: list[tuple[tuple[int, ...], Repair]] = []
    for n, opening in enumerate(group[:TRIED]):
        if found and again.plans > MOST_PLANS:
            break
        changes = seater.widest(opening, _least_forward(again, seater, opening))
        arrangement = again.best(changes)
        if arrangement is not None:
            alike = tuple(other.changes for other in group if other is not opening)
            repair = Repair(changes, arrangement, tuple(_losses(solve, arrangement)), alike)
            children = sum(not seat.placement.rider.adult for seat in arrangement.seats)
            found.append(((placed(arrangement.cost), -children, arrangement.cost, n), repair))
            if not repair.losses and arrangement.verdict != "unmeasured" and again.at_its_best(arrangement):
                break
    return min(found, key=lambda one: one[0])[1] if found else None


def _least_forward(again: Again, seater: RepairSeater, opening: Opening) -> tuple[Change, ...]:
    """The changes with each seat in front only as far forward as the best answer with all of its travel needs."""
    made = list(opening.changes)
    for i, change in enumerate(made):
        if KIND[change.kind].touches != "front":
            continue
        values = seater.forwards(opening, made, i)

        def sure(mm: int, i: int = i, change: Change = change) -> int:
            found = again.best((*made[:i], replace(change, mm=mm), *made[i + 1:]))
            return len(_ORDER) if found is None else _ORDER.index(found.verdict)

        if len(values) > 1:                              # the sure answers get more with every mm
            aim = sure(values[-1])
            values = values[bisect_left(values, -aim, key=lambda mm: -sure(mm)):]
        made[i] = replace(change, mm=values[0])
    return tuple(made)


def best_arrangement(solve: Solve, trip: Trip) -> Arrangement | None:
    """The best arrangement of a changed trip under the same rules and options; None without any."""
    return _best(solve.again(trip), None)


def _best(solve: Solve, most: int | None) -> Arrangement | None:
    from ..plan import best

    return best(solve, most)


def _losses(solve: Solve, arrangement: Arrangement) -> Iterator[Loss]:
    names = [rider.rider for rider in solve.trip.riders]
    for seat in arrangement.seats:
        placement = seat.placement
        if placement.rider.adult:
            continue
        at_hand = {c.mode for c in solve.choices.per_rider[names.index(placement.rider.rider)] if c.cells}
        best = min(at_hand, key=lambda mode: (stage(mode), mode), default=placement.mode_name)
        if stage(best) < stage(placement.mode_name):
            yield Loss(placement.rider.rider, placement.mode_name, best)
