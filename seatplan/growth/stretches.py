"""The days from now on cut where the valid seatings change: every cut is a day, exact, never a month."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Sequence
from datetime import date, timedelta

from seatplan.frozen import frozen
from seatplan.rules.profile import Profile
from seatplan.rules.subjects import Placement
from seatplan.solver.budget import Work
from seatplan.solver.solve import Solve

from .family import Family
from .remembered import Remembered
from .solved import Solved, picture_of, solved
from .watch import Watch

_DAY = timedelta(1)
#: the solves of all days together take so many units at most: placements judged and row plans made
MOST_WORK = 3_000_000


@frozen
class Stretch:
    """Days, first and last included, on which the same seatings are valid."""

    first: date
    last: date
    solved: Solved

    @property
    def days(self) -> int:
        return (self.last - self.first).days + 1


class Solver:
    """Whole solves by the day, each made once; ``solves`` counts them. Raises TooMuch where one of them leaves seatings
    out, or all of them together take more than ``MOST_WORK`` units."""

    def __init__(self, family: Family, profile: Profile, progress: Callable[[int], None] | None = None) -> None:
        self.family, self.profile = family, profile
        self.watch: Watch | None = None          # knows when placements turn
        self._kept: dict[date, Solved] = {}
        self._progress, self._work = progress, Work(MOST_WORK)
        self._remembered = Remembered(self._turned)

    @property
    def solves(self) -> int:
        return len(self._kept)

    def on(self, day: date) -> Solved:
        return self._kept.get(day) or self._keep(day, self._solve(day))

    def same(self, before: date, after: date) -> bool:
        """Whether the same seatings are valid, and as sure, on two days."""
        if after not in self._kept:
            picture, solve = self.on(before).picture, self._solve(after)
            if picture is not None and picture == picture_of(solve):
                return True
            self._keep(after, solve)
        return self.on(before).key == self.on(after).key

    def _keep(self, day: date, solve: Solve) -> Solved:
        made = self._kept[day] = solved(solve, day)
        if self._progress:
            self._progress(len(self._kept))
        return made

    def _solve(self, day: date) -> Solve:
        """The trip of a day, its rules asked about what turned since the day that was solved last."""
        solve = Solve(self.family.on(day), self.profile, day, each_copy=True, choices_of=self._remembered.choices,
                      counted=False)
        self._work.spend(solve.work)
        return solve

    def _turned(self, placement: Placement, after: date, until: date) -> frozenset[str] | None:
        return None if self.watch is None else self.watch.turned(placement, after, until)


def stretches(solver: Solver, watch: Watch, restraints: Collection[str] | None = None) -> list[Stretch]:
    """From the watch's first day to its last; ``restraints``: where the solver knows only some of the watch's.

    The trip is solved on each day on which a placement turns, and on the day before the next: bodies grow in between,
    and where the two answers differ the days between are halved. Room only ever shrinks as children grow. Where there
    are too many seatings to look at, the days on which more or less speaks for a placement are all that is looked at.
    """
    solver.watch = watch
    due = [r.due for r in solver.family.trip.riders if r.due is not None and watch.start < r.due <= watch.end]
    status_days = watch.status_days(restraints)
    cuts = sorted({watch.start, *watch.turning_days(restraints), *due})
    found: list[Stretch] = []
    for first, after in zip(cuts, [*cuts[1:], watch.end + _DAY], strict=True):
        for day in _looked_at(solver, first, after - _DAY, status_days):
            now = solver.on(day)
            if found:
                found[-1] = Stretch(found[-1].first, day - _DAY, found[-1].solved)
            if not found or now.key != found[-1].solved.key:
                found.append(Stretch(day, watch.end, now))
    found[-1] = Stretch(found[-1].first, watch.end, found[-1].solved)
    return found


def _looked_at(solver: Solver, first: date, last: date, status_days: Sequence[date]) -> Iterator[date]:
    """The first of some days between which no placement turns, and each on which the valid seatings change."""
    for day in (first, *(day for day in status_days if first < day <= last)):
        yield day
        if solver.on(day).complete:
            yield from _cuts(solver, day, last)
            return


def _cuts(solver: Solver, before: date, after: date) -> Iterator[date]:
    """Each day in (before, after] on which the valid seatings change, by halving."""
    if before >= after or solver.same(before, after):
        return
    if (after - before).days == 1:
        yield after
        return
    middle = before + (after - before) // 2
    yield from _cuts(solver, before, middle)
    yield from _cuts(solver, middle, after)
