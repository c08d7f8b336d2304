"""The smallest set of restraints, of those at hand and the bundled ones, that carries all children to a day.

A set is tried in two steps. First by the limits alone: on every day on which something turns, each child must find a
restraint of the set, or the seat belt, that no other child needs (a matching). What passes is solved, the whole car,
over all its days.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from itertools import combinations, islice

from seatplan.frozen import frozen
from seatplan.message import said
from seatplan.model import Restraint, Trip
from seatplan.rules.profile import Profile

from .course import Course, course
from .family import Family
from .purchase import bundled
from .stretches import Solver, Stretch, stretches
from .watch import Watch

#: sets of one size that are solved at most, how many of them that carry everybody are enough, and how many more
#: restraints than the smallest set are looked at
MOST_SOLVED, ENOUGH, MORE = 60, 2, 1
#: so many sets of one size are looked at
MOST_SETS = 200_000
Progress = Callable[[str, int], None]


@frozen
class Stock:
    """One set that carries everybody. ``bought``: which of it is not at hand; ``course``: with the fewest moves."""

    restraints: tuple[str, ...]
    bought: tuple[str, ...]
    course: Course


@frozen
class StockFound:
    """``smallest``: by count, then by what must be bought, then by moves; ``calmest``: by moves, with at most one
    restraint more; both of the ``solved`` sets; None: no set was found. ``complete``: every smaller set fails.
    ``nobody_takes``: children whom no restraint takes on some day, with the first such day."""

    end: date
    smallest: Stock | None
    calmest: Stock | None
    solved: int
    complete: bool
    nobody_takes: tuple[tuple[str, date], ...] = ()


def find_stock(trip: Trip, profile: Profile, start: date, end: date, progress: Progress | None = None) -> StockFound:
    """The sets for a trip as it was read, from the restraints of the trip and one new copy of each bundled model.
    Raises TooMuch where the trip is too large to look at day by day."""
    Solver(Family(trip, start), profile).on(start)
    own = [restraint.restraint for restraint in trip.restraints]
    pool = list(trip.restraints)
    for restraint in bundled().values():
        name = restraint.restraint
        while name in {r.restraint for r in pool}:
            name += " (new)"
        pool.append(restraint.model_copy(update={"restraint": name, "made": start}))
    wide = trip.model_copy(update={"restraints": pool, "installed": {}, "under_way": {}})
    family = Family(wide, start)
    watch = Watch(family, profile, start, end, _part(progress, said("looking at findings")))
    needs = _needs(watch)
    stranded = tuple((child, day) for day, takes in needs for child, those in takes.items() if not those)
    if stranded:
        first = {child: min(day for c, day in stranded if c == child) for child, _ in stranded}
        return StockFound(end, None, None, 0, True, tuple(sorted(first.items())))
    search = _Search(trip, profile, watch, {r.restraint: r for r in pool}, set(own), progress)
    return search.run(needs)


#: on a day, for each child the restraints that take it by the limits; None stands for the seat belt
_Takes = Mapping[str, frozenset[str | None]]


def _needs(watch: Watch) -> list[tuple[date, _Takes]]:
    """Which restraints take each child, on every day on which that changes; the hardest days first."""
    found: dict[tuple[tuple[str, frozenset[str | None]], ...], date] = {}
    riders = watch.family.trip.riders
    for day in sorted({watch.start, *watch.turning_days(), *(r.due for r in riders if r.due and r.due <= watch.end)}):
        takes: dict[str, set[str | None]] = {
            r.rider: set() for r in riders if not r.adult and not (r.due and day < r.due)}
        for watched in watch.placements:
            child = riders[watched.rider].rider
            if child in takes and not watched.status(day)[0]:
                p = watched.placement
                takes[child].add(p.restraint.restraint if p.restraint else None)
        found.setdefault(tuple((child, frozenset(those)) for child, those in takes.items()), day)
    days = [(day, dict(key)) for key, day in found.items()]
    return sorted(days, key=lambda item: (sum(len(those) for those in item[1].values()), item[0]))


@dataclass
class _Search:
    trip: Trip
    profile: Profile
    watch: Watch
    pool: dict[str, Restraint]
    own: set[str]
    progress: Progress | None
    solved: int = 0
    failed_on: list[date] = field(default_factory=list)      # days on which sets failed, the last first

    def run(self, needs: Sequence[tuple[date, _Takes]]) -> StockFound:
        """Sets by growing size; once one size carries everybody, one size more for fewer moves."""
        found: list[Stock] = []
        complete = True
        children = len({child for _, takes in needs for child in takes})
        useful = sorted({name for _, takes in needs for those in takes.values() for name in those if name})
        least: int | None = None
        for size in range(0, 2 * children + 1):
            if least is not None and size > least + MORE:
                break
            sets = list(islice(combinations(useful, size), MOST_SETS + 1))
            complete = complete and len(sets) <= MOST_SETS
            passing = [names for names in sets if all(_matched(set(names), t) for _, t in needs)]
            passing.sort(key=lambda names: (sum(n not in self.own for n in names), names))
            tried = carrying = 0
            for names in passing[:MOST_SOLVED]:
                tried += 1
                stock = self._carries(names)
                if stock is not None:
                    found.append(stock)
                    carrying += 1
                if carrying == ENOUGH:
                    break
            if not found:
                complete = complete and tried == len(passing)
            if found and least is None:
                least = size
        if not found:
            return StockFound(self.watch.end, None, None, self.solved, complete)
        smallest = min(found, key=lambda s: (len(s.restraints), len(s.bought), s.course.moves, s.restraints))
        calmest = min(found, key=lambda s: (s.course.moves, len(s.restraints), len(s.bought), s.restraints))
        return StockFound(self.watch.end, smallest, calmest, self.solved, complete)

    def _carries(self, names: tuple[str, ...]) -> Stock | None:
        """The set with its course, where the whole car works on every day."""
        self.solved += 1
        if self.progress:
            self.progress(said("solving sets"), self.solved)
        trip = self.trip.model_copy(update={
            "restraints": [self.pool[name] for name in names],
            "wishes": [w for w in self.trip.wishes if w.uses is None],
            "tried": [t for t in self.trip.tried if t.restraint in names],
            "installed": {who: here for who, here in self.trip.installed.items() if here.restraint in names}})
        watch = self.watch
        family = Family(trip, watch.start, watch.family)
        solver = Solver(family, self.profile)
        turning = watch.turning_days(names)
        # one day that fails is enough, and days on which others failed fail most
        for day in (*self.failed_on, watch.end, watch.start, *turning):
            if not solver.on(day).seatings:
                self.failed_on = [day, *(d for d in self.failed_on if d != day)][:5]
                return None
        through: list[Stretch] = stretches(solver, watch, names)
        if not all(s.solved.seatings for s in through):
            return None
        return Stock(names, tuple(n for n in names if n not in self.own),
                     course(through, family.on(watch.start).installed, "moves"))


def _matched(names: set[str], takes: _Takes) -> bool:
    """Whether each child finds a restraint of its own in the set, or rides with the seat belt."""
    needing = {child: those & names for child, those in takes.items() if None not in those}
    if len(names) < len(needing) or not all(needing.values()):
        return False
    import networkx as nx

    graph = nx.Graph((("child", child), name) for child, those in needing.items() for name in those)
    tops = [("child", child) for child in needing]
    return not tops or len(nx.bipartite.maximum_matching(graph, tops)) == 2 * len(tops)


def _part(progress: Progress | None, stage: str) -> Callable[[int], None] | None:
    return None if progress is None else lambda n: progress(stage, n)
