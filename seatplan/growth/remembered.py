"""The choices of one day from those of another: only what turned in between is asked again."""

from __future__ import annotations

from collections.abc import Callable, Hashable
from datetime import date

from seatplan.model import Rider, Trip
from seatplan.rules.corners import is_estimated
from seatplan.rules.run import Runner
from seatplan.rules.subjects import Placement
from seatplan.solver.kinds import Kinds
from seatplan.solver.placements import Assignment, Choices, JudgedPlacement, all_choices
from seatplan.solver.ways import setting_for

#: by placement, the rules that turned since another day; None: nobody knows
Turned = Callable[[Placement], frozenset[str] | None]


def placement_key(p: Placement) -> Hashable:
    """What tells a placement apart from all others of its trip, but for the setting."""
    return (p.rider.rider, p.position.position, p.restraint and p.restraint.restraint, p.mode_name,
            p.installation and p.installation.content, p.bars, p.borrowed, p.tether)


class Remembered:
    """The choices of a family's trip, day by day. What they come to is what a search wants to know of them; the
    numbers of their findings may be those of another day, and so may be all of a choice that is blocked."""

    def __init__(self, turned: Callable[[Placement, date, date], frozenset[str] | None]) -> None:
        """``turned``: the rules that say something else of a placement on one day than on another."""
        self._turned = turned
        self._last: tuple[date, Choices] | None = None

    def choices(self, trip: Trip, runner: Runner, kinds: Kinds) -> Choices:
        """Those of the runner's day."""
        day = runner.world.day
        if self._last is None or not _same_places(self._last[1].trip, trip):
            made = all_choices(trip, runner, kinds)
        else:
            last, before = self._last
            ends = min(last, day), max(last, day)
            made = _of_another_day(before, trip, runner, lambda placement: self._turned(placement, *ends))
        self._last = day, made
        return made


def _same_places(one: Trip, other: Trip) -> bool:
    """Whether two trips offer the same placements."""
    return one.vehicle is other.vehicle and [r.rider for r in one.riders] == [r.rider for r in other.riders] and all(
        a is b for a, b in zip(one.restraints, other.restraints, strict=True))


def _of_another_day(before: Choices, trip: Trip, runner: Runner, turned: Turned) -> Choices:
    per_rider = tuple([tuple([_again(choice, rider, runner, turned) for choice in own])
                       for rider, own in zip(trip.riders, before.per_rider, strict=True)])
    return Choices(trip, before.positions, per_rider, before.kinds)


def _again(choice: Assignment, rider: Rider, runner: Runner, turned: Turned) -> Assignment:
    """A choice on another day; itself where it stays blocked, or its rider is no child and nothing turned."""
    rules = [turned(cell.placement) for cell in choice.all_cells]
    if not any(rules) and None not in rules and (not choice.cells or rider is choice.all_cells[0].placement.rider):
        return choice
    of = choice.all_cells[0].placement
    lean = of.recline if of.restraint is None or of.mode is None else setting_for(
        runner.world, rider, of.row, of.position, of.restraint, of.mode)
    cells = tuple([_cell_again(cell, some, cell.placement.for_rider(rider, lean), runner)
                   for cell, some in zip(choice.all_cells, rules, strict=True)])
    return Assignment(choice.rider, choice.position, choice.restraint, choice.mode,
                  tuple([cell for cell in cells if not cell.blocked]), cells, choice.footprint)


def _cell_again(cell: JudgedPlacement, turned: frozenset[str] | None, placement: Placement,
                runner: Runner) -> JudgedPlacement:
    """A cell on another day."""
    if turned is None or placement.recline != cell.placement.recline:
        return JudgedPlacement(placement, runner)
    if cell.blocked and not turned:
        return cell
    rules = *turned, *_close_by_age(placement)
    answers = runner.some_anew(placement, cell.answers, rules) if rules else cell.answers
    return JudgedPlacement(placement, runner, answers)


def _close_by_age(placement: Placement) -> tuple[str, ...]:
    """The rules that may come to be close, to rest on an estimate, or no longer, as a child grows, while what they say
    stays the same: legs reach further, and a range of reclining is for some ages only."""
    if placement.mode is None or placement.booster:
        return ("no-room-ahead",) if is_estimated(placement) else ()
    return ("recline-out-of-range",) if placement.rear_facing else ()
