"""Repairs that hold: every one told was solved again, with the arrangement that results."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from functools import partial
from typing import TYPE_CHECKING

from seatplan.frozen import frozen
from seatplan.message import said

from ..assemble import assemble
from ..judge import verdict_of
from ..least import least
from ..placements import Choices, all_choices, open_choices
from ..ranking import placed, safe, stage
from ..results import Arrangement, Verdict
from ..ways import Way
from .catalogue import KIND, applied
from .change import Change, Shelf
from .search import Opening, RepairSeater, Wanted
from .widths import Widths

if TYPE_CHECKING:
    from seatplan.model import Rider, Trip
    from seatplan.rules.run import Runner
    from seatplan.rules.subjects import Placement

    from ..kinds import Kinds
    from ..solve import Progress, Ranked, Solve

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


@frozen
class Loss:
    """A child who would ride in a less protective mode than the best it fits by itself, with what is at hand."""

    rider: str
    mode: str
    instead_of: str


@frozen
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


@frozen
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
    again, complete, passed_over = Again(solve, Widths(seater), progress), seater.complete, 0
    for group in groups:
        if again.plans > MOST_PLANS or solve.judged > MOST_PLACEMENTS:
            complete = False
            break
        # what takes no less effort than as many as are shown comes before one of these only where it protects more
        if sum(repair.verdict != "unmeasured" for repair in told) >= shown and not any(
                _may_protect(again, seater, opening) for opening in group[:TRIED]):
            passed_over += 1
        elif (best := _best_of(again, seater, group)) is not None:
            told.append(best)
        if len(told) + passed_over >= 2 * shown or sum(
                _order(repair)[:2] == (False, False) for repair in told) >= shown:
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


@frozen
class Tried:
    """A trip solved again with some changes, and the best seating that it has then."""

    changes: tuple[Change, ...]
    solve: Solve
    found: Ranked

    @property
    def verdict(self) -> Verdict:
        return verdict_of(self.found.level)

    @property
    def placements(self) -> tuple[Placement, ...]:
        return self.solve.seated(self.found.plans).placements

    def at_its_best(self) -> bool:
        """Whether it is as safe as these riders could ride with these changes, each by itself."""
        solve = self.solve
        return safe(self.found.cost) <= least(solve, all_choices(solve.trip, solve.runner, solve.kinds))


class Again:
    """Solves a trip again with changes; ``plans`` counts the row plans that this took, and placements."""

    def __init__(self, solve: Solve, widths: Widths, progress: Progress | None = None) -> None:
        self.solve, self.widths, self.plans, self._progress = solve, widths, 0, progress
        #: by child, the most protective mode that it fits by itself, with what is at hand
        self._at_hand = {rider.rider: min({c.mode for c in choices if c.cells}, key=lambda mode: (stage(mode), mode),
                                          default=None)
                         for rider, choices in zip(solve.trip.riders, solve.choices.per_rider, strict=True)
                         if not rider.adult}

    def best(self, changes: tuple[Change, ...], wanted: Wanted | None = None) -> Tried | None:
        """The best seating with some changes, or of the ``wanted`` ways to ride with them; None without any."""
        if self._progress:
            self._progress(said("solving with changes"), self.plans)
        changed = self.solve.again(applied(self.solve.trip, changes),
                                   open_choices if wanted is None else partial(_choices_in, wanted))
        self.plans += changed.work
        found = next(changed.ranked(MOST_SEATINGS), None)
        return None if found is None else Tried(changes, changed, found)


    def losses(self, placements: Iterable[Placement]) -> Iterator[Loss]:
        """The children who would ride less protected than at hand."""
        for placement in placements:
            best = self._at_hand.get(placement.rider.rider)
            if best is not None and stage(best) < stage(placement.mode_name):
                yield Loss(placement.rider.rider, placement.mode_name, best)


def _choices_in(wanted: Wanted, trip: Trip, runner: Runner, kinds: Kinds) -> Choices:
    """The choices that seatings are made of. Of copies of one kind any may be the one that is named."""
    def meant(rider: Rider, way: Way) -> bool:
        names = (None,) if way.kind is None else kinds.names(way.kind)
        mode = "seat-belt" if way.mode is None else way.mode.mode
        return any((rider.rider, way.position.position, name, mode) in wanted for name in names)

    return open_choices(trip, runner, kinds, meant)


def _may_protect(again: Again, seater: RepairSeater, opening: Opening) -> bool:
    """Whether an opening may give a seating in which no child rides less protected than at hand."""
    return seater.may_give(opening, lambda placement: not any(again.losses((placement,))))


def _best_of(again: Again, seater: RepairSeater, group: Sequence[Opening]) -> Repair | None:
    """The best of a group by the order of arrangements, each solved in full until nothing is left to gain; None if none
    of them opens anything. Among those that put nobody small in front more, an adult goes elsewhere before a child."""
    best: tuple[tuple[int, ...], Opening, Tried, tuple[Loss, ...]] | None = None
    for n, opening in enumerate(group[:TRIED]):
        if best is not None and again.plans > MOST_PLANS:
            break
        tried = _tried(again, seater, opening)
        if tried is None:
            continue
        losses, cost = tuple(again.losses(tried.placements)), tried.found.cost
        children = sum(not placement.rider.adult for placement in tried.placements)
        order = (placed(cost), -children, cost, n)
        if best is None or order < best[0]:
            best = order, opening, tried, losses
        if not losses and tried.verdict != "unmeasured" and tried.at_its_best():
            break
    if best is None:
        return None
    _, opening, tried, losses = best
    alike = tuple(other.changes for other in group if other is not opening)
    return Repair(tried.changes, assemble(tried.solve, 1, tried.found, None), losses, alike)


def _tried(again: Again, seater: RepairSeater, opening: Opening) -> Tried | None:
    """The best seating with the changes of an opening, each no larger than it has to be: seats in front as little
    forward, and narrower restraints as wide, as may be."""
    changes = _least_forward(again, seater, opening)
    opened, all_of_them = seater.opened(opening)
    # a seat that comes forward can change how a restraint stands behind it, so that there are other ways
    wanted = seater.ways(opened) if all_of_them and not _comes_forward(changes) else None
    widest = again.widths.widest(changes, opened)
    tried = again.best(widest, wanted)
    if tried is not None or widest == changes:
        return tried
    for i, (narrow, wide) in enumerate(zip(changes, widest, strict=True)):     # a rule looks at the width as well
        if narrow != wide:
            low, high = narrow.mm or 0, wide.mm or 0
            while high - low > 1:
                middle = (low + high) // 2
                found = again.best((*changes[:i], replace(narrow, mm=middle), *changes[i + 1:]), wanted)
                low, high = (low, middle) if found is None else (middle, high)
            changes = (*changes[:i], replace(narrow, mm=low), *changes[i + 1:])
    return again.best(changes, wanted)


def _comes_forward(changes: Sequence[Change]) -> bool:
    return any(KIND[change.kind].touches == "front" for change in changes)


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
