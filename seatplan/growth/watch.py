"""Every finding on every placement through time: on which days it changes, and for which size of the child.

A rule compares a size, an age or a day with a limit, and sizes, ages and days only ever grow, so what it says changes
a few times at most. Each check is asked about once a season, and where two answers differ the days between them are
halved until the day of the change is known. A check that looks at nothing that a day changes is asked once, one that
looks at the setting alone once for each setting. One that never comes back to what it said is asked at both ends
first. Two changes that cancel out within a season are the one thing this could miss: estimates dip where two tables of
body sizes meet, so those days are looked at too. The tests ask day by day.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections import Counter
from collections.abc import Callable, Collection, Hashable, Iterable, Iterator, Sequence
from dataclasses import replace
from datetime import date, timedelta
from functools import partial
from itertools import groupby, pairwise
from operator import attrgetter, itemgetter
from typing import TYPE_CHECKING, NamedTuple

from seatplan.frozen import frozen
from seatplan.geometry import anthropometry
from seatplan.model import Reckoned
from seatplan.model.record import Record
from seatplan.rules.finding import Result
from seatplan.rules.profile import Profile
from seatplan.rules.reckoned import ask, merged
from seatplan.rules.rule import Rule
from seatplan.rules.run import Runner, judged_on
from seatplan.rules.subjects import Placement, RuleContext
from seatplan.solver.kinds import apart
from seatplan.solver.ways import placements_of, setting_for, ways_of

from .family import Family
from .remembered import placement_key
from .unmoved import Moves, hangs_on

if TYPE_CHECKING:
    from seatplan.geometry.recline import Setting

#: days between two looks at every check: a season
_LOOK_EVERY = 91
#: a rule that depends on none of these says the same every day, and one that reads none of those does so of an adult
_CHANGING, _DAILY = frozenset(("rider", "restraint", "recline")), frozenset(("age", "day", "tries"))


class Said(NamedTuple):
    """What a check says of the smaller, the likely and the larger child, and of all three together: pass, block,
    caution, unmeasured, or nothing."""

    smaller: str
    likely: str
    larger: str
    together: str


_NOTHING = Said("", "", "", "")
_NO_RESULTS = (None, None, None, None)


@frozen
class Steps:
    """What a check says from each of ``days`` on; the first is the first day looked at."""

    days: tuple[date, ...]
    said: tuple[Said, ...]

    def on(self, day: date) -> Said:
        return self.said[max(0, bisect_right(self.days, day) - 1)]


@frozen(eq=False)
class Check:
    """One rule about the parts of a placement that it looks at. ``rider``: of the trip as it was read."""

    rule: Rule
    rider: int
    placement: Placement
    steps: Steps


class Status(NamedTuple):
    """What the search knows of a placement."""

    blocked: bool
    unmeasured: bool
    cautions: int

    @property
    def sure(self) -> bool | None:
        """Whether nothing about it must be measured first; None where it is blocked. Cautions only rank."""
        return None if self.blocked else not self.unmeasured


@frozen(eq=False)
class Watched:
    """One placement with all its checks. ``statuses``: each with the day from which on it holds."""

    rider: int
    placement: Placement
    checks: tuple[Check, ...]
    statuses: tuple[tuple[date, Status], ...]

    def status(self, day: date) -> Status:
        """That of a day."""
        return self.statuses[max(0, bisect_right(self.statuses, day, key=itemgetter(0)) - 1)][1]

    def blocked(self, day: date, size: int) -> list[Check]:
        """The checks that turn it down for the smaller (0), likely (1) or larger (2) child."""
        return [check for check in self.checks if check.steps.on(day)[size] == "block"]

    def days(self) -> list[date]:
        """The days on which anything about it changes."""
        return sorted({day for check in self.checks for day in check.steps.days[1:]})


class Watch:
    """All placements of a family from ``start`` to ``end``, both included."""

    def __init__(self, family: Family, profile: Profile, start: date, end: date,
                 progress: Callable[[int], None] | None = None) -> None:
        self.family, self.profile, self.start, self.end = family, profile, start, end
        last = family.on(end)
        self._world = world = RuleContext(last, last.vehicle, profile, end)
        self._runner = Runner(world)
        self._worlds: dict[date, RuleContext] = {}
        self._index = {rider.rider: i for i, rider in enumerate(family.trip.riders)}
        self._made: dict[tuple[str, tuple[object, ...]], Check] = {}
        self._look_days: dict[int, list[date]] = {}
        self._reckoned: dict[int, bool] = {}
        self._progress = progress
        self._turns: dict[Hashable, Turns] | None = None
        # each copy of like restraints by itself, for whoever asks about one by its name
        self.placements = tuple([
            self._watched(placement) for rider in last.riders for way in ways_of(last, rider, apart(last))
            for placement in placements_of(world, rider, way)])

    @property
    def checks(self) -> tuple[Check, ...]:
        """Every check there is, each once."""
        return tuple(self._made.values())

    def turned(self, placement: Placement, after: date, until: date) -> frozenset[str] | None:
        """The rules that say something else of a placement on one day than on another; None: nobody knows."""
        if self._turns is None:
            self._turns = {placement_key(watched.placement): _turns_of(watched) for watched in self.placements}
        turns = self._turns.get(placement_key(placement))
        if turns is None or after < self.start or self.end < until:
            return None
        return frozenset(turns.rules[bisect_right(turns.days, after):bisect_right(turns.days, until)])

    def event_days(self) -> list[date]:
        """The days on which a finding on a placement of anybody changes."""
        return sorted({day for check in self.checks for day in check.steps.days[1:]})

    def turning_days(self, restraints: Collection[str] | None = None) -> list[date]:
        """Those of them on which a placement opens, closes, or becomes more or less sure while it is open.

        ``restraints``: only placements in these, and with the seat belt.
        """
        return self._changing_days(attrgetter("sure"), restraints)

    def status_days(self, restraints: Collection[str] | None = None) -> list[date]:
        """Those of them on which the status of a placement changes, of a blocked one too."""
        return self._changing_days(lambda status: status, restraints)

    def _changing_days(self, of: Callable[[Status], object], restraints: Collection[str] | None) -> list[date]:
        found: set[date] = set()
        for watched in self.placements:
            held = watched.placement.restraint
            if restraints is not None and held is not None and held.restraint not in restraints:
                continue
            for (_, before), (day, now) in pairwise(watched.statuses):
                if of(now) != of(before):
                    found.add(day)
        return sorted(found)

    def results(self, check: Check, day: date) -> tuple[Result | None, ...]:
        """What a check says on a day of the smaller, the likely and the larger child, and together, with its
        numbers."""
        return self._results(check.rule, _Grown(self, check.rider, check.placement), day)

    def _watched(self, placement: Placement) -> Watched:
        rider = self._index[placement.rider.rider]
        grown = _Grown(self, rider, placement)
        checks = []
        keys: dict[tuple[str, ...], tuple[object, ...]] = {}
        for rule in self._runner.placement_rules():
            if rule.depends not in keys:
                # like restraints say the same, each of them under its own name
                keys[rule.depends] = (placement.restraint and placement.restraint.restraint,
                                      *[_part(placement, name) for name in rule.depends])
            key = rule.id, keys[rule.depends]
            check = self._made.get(key)
            if check is None:
                check = self._made[key] = Check(rule, rider, placement, self._steps(rule, grown))
                if self._progress:
                    self._progress(len(self._made))
            if check.steps.said != (_NOTHING,):
                checks.append(check)
        return Watched(rider, placement, tuple(checks), tuple(_statuses(self.start, checks)))

    def _steps(self, rule: Rule, grown: _Grown) -> Steps:
        def said(day: date) -> Said:
            results = self._results(rule, grown, day)
            return _NOTHING if results is _NO_RESULTS else self._said(rule, results)

        grows = not self.family.trip.riders[grown.rider].adult or not _DAILY.isdisjoint(rule.world)
        if not grows or _CHANGING.isdisjoint(rule.depends):
            return Steps((self.start,), (said(self.end),))
        moves, result = self._moves(rule, grown, self.start)
        if moves == "nothing":
            return Steps((self.start,), (self._said(rule, [result] * len(_NOTHING)),))
        asked = self._by_setting(rule, grown, said) if moves == "setting" else said
        days, told = [self.start], [asked(self.start)]
        before, last = self.start, told[0]
        for day in self._ends(grown.rider) if rule.one_way else self._looks(grown.rider):
            for change, now in _changes(asked, before, last, day, asked(day)):
                days.append(change)
                told.append(now)
            before, last = day, told[-1]
        return Steps(tuple(days), tuple(told))

    def _said(self, rule: Rule, results: Iterable[Result | None]) -> Said:
        return Said(*["" if result is None else self._runner.outcome(rule, result) for result in results])

    @staticmethod
    def _moves(rule: Rule, grown: _Grown, day: date) -> tuple[Moves, Result | None]:
        """What a check hangs on as it is on a day, and what it says; of a rider who is not born, on the day."""
        there = grown.on(day)
        return ("day", None) if there is None else hangs_on(rule, there.likely, there.world)

    def _by_setting(self, rule: Rule, grown: _Grown, said: Callable[[date], Said]) -> Callable[[date], Said]:
        """The same answers, asked for once at each setting at which nothing but the setting is looked at."""
        kept: dict[Setting | None, Said | None] = {}

        def asked(day: date) -> Said:
            there = grown.on(day)
            if there is None:
                return said(day)
            setting = there.likely.recline
            if setting not in kept:
                moves, result = self._moves(rule, grown, day)
                kept[setting] = None if moves == "day" else self._said(rule, [result] * len(_NOTHING))
            return kept[setting] or said(day)

        return asked

    def _ends(self, rider: int) -> Iterator[date]:
        """The days to look at for what never comes back: the first on which sizes are reckoned, which from then on
        never fall, and the last; all looks at a rider whose sizes are not, or who is not born yet."""
        first = min(self.start + timedelta(1), self.end)
        if rider not in self._reckoned:
            born = self.family.children[rider].on(self.start)
            self._reckoned[rider] = born is not None and isinstance(self.family.children[rider].on(first), Reckoned)
        return iter((first, self.end)) if self._reckoned[rider] else self._looks(rider)

    def _looks(self, rider: int) -> Iterator[date]:
        if rider not in self._look_days:
            due = self.family.trip.riders[rider].due
            n = (self.end - self.start).days
            days = {self.start + timedelta(k) for k in (*range(_LOOK_EVERY, n, _LOOK_EVERY), n)}
            days |= set() if due is None else {due}
            for seam in self._seams(rider):
                days |= {seam - timedelta(1), seam}
            self._look_days[rider] = sorted(day for day in days if self.start < day <= self.end)
        return iter(self._look_days[rider])

    def _seams(self, rider: int) -> Iterator[date]:
        """The days on which the child, small, likely or large, comes to a stature at which two tables meet: what is
        estimated from stature may fall there by a little."""
        def stature(size: int, day: date) -> int:
            child = self.family.children[rider].on(day)
            if isinstance(child, Reckoned):
                child = (child.smaller, child, child.larger)[size]
            return (child.height or 0) if child else 0

        days = [self.start + timedelta(k) for k in range((self.end - self.start).days + 1)]
        for size in range(3):
            for seam in anthropometry.SEAMS_MM:
                first = bisect_left(days, seam, key=partial(stature, size))
                if 0 < first < len(days):
                    yield days[first]

    def _results(self, rule: Rule, grown: _Grown, day: date) -> tuple[Result | None, ...]:
        of_rider = "rider" in rule.depends
        if not of_rider and "recline" not in rule.depends:
            told = ask(rule, grown.placement, self.world_on(day))
            return told, told, told, told
        there = grown.on(day)
        if there is None:
            return _NO_RESULTS
        world = there.world
        if there.smaller is None or there.larger is None or not of_rider:
            told = judged_on(rule, there.likely, world, self._runner.is_must(rule))
            return told, told, told, told
        likely = ask(rule, there.likely, world)
        smaller, larger = ask(rule, there.smaller, world), ask(rule, there.larger, world)
        if smaller is likely is larger is None:
            return _NO_RESULTS
        together = likely if likely is not None and likely.outcome == "fail" else merged(
            likely, [smaller, larger], there.likely.rider.rider, self._runner.is_must(rule))
        return smaller, likely, larger, together

    def world_on(self, day: date) -> RuleContext:
        """The world of a day."""
        kept = self._worlds.get(day)
        if kept is None:
            # what is kept of shapes goes by rider, mode and setting, so that days share it
            kept = self._worlds[day] = replace(self._world, day=day)
        return kept


class _OnDay(NamedTuple):
    """A placement on a day; ``smaller`` and ``larger`` None: the sizes of its rider are not reckoned."""

    world: RuleContext
    smaller: Placement | None
    likely: Placement
    larger: Placement | None


class _Grown:
    """A placement through time, for all rules that ask about it."""

    def __init__(self, watch: Watch, rider: int, placement: Placement) -> None:
        self.rider, self.placement = rider, placement
        self._watch = watch
        self._kept: dict[date, _OnDay | None] = {}

    def on(self, day: date) -> _OnDay | None:
        """With the rider of a day, at the setting that the planner would choose then; None before the rider is born."""
        if day not in self._kept:
            self._kept[day] = self._on(day)
        return self._kept[day]

    def _on(self, day: date) -> _OnDay | None:
        child, of = self._watch.family.children[self.rider].on(day), self.placement
        if child is None:
            return None
        world = self._watch.world_on(day)
        lean, mode, restraint = of.recline, of.mode, of.restraint
        if mode is not None and restraint is not None and mode.recline is not None and mode.recline.ranges:
            lean = setting_for(world, child, of.row, of.position, restraint, mode)
        likely = of.for_rider(child, lean)
        if not isinstance(child, Reckoned):
            return _OnDay(world, None, likely, None)
        return _OnDay(world, of.for_rider(child.smaller, lean), likely, of.for_rider(child.larger, lean))


class Turns(NamedTuple):
    """Every change of what is said of a placement: the days in order, and beside each the rule."""

    days: tuple[date, ...]
    rules: tuple[str, ...]


def _turns_of(watched: Watched) -> Turns:
    found = sorted((day, check.rule.id) for check in watched.checks for day in check.steps.days[1:])
    return Turns(tuple([day for day, _ in found]), tuple([rule for _, rule in found]))


def _statuses(start: date, checks: Sequence[Check]) -> Iterator[tuple[date, Status]]:
    """The status that some checks come to, on the first day and on each on which one of them changes."""
    changes = sorted((day, n, said.together) for n, check in enumerate(checks)
                     for day, said in zip(check.steps.days[1:], check.steps.said[1:], strict=True))
    told = [check.steps.said[0].together for check in checks]
    count = Counter(told)
    yield start, Status(count["block"] > 0, count["unmeasured"] > 0, count["caution"])
    for day, turned in groupby(changes, key=itemgetter(0)):
        for _, n, now in turned:
            count[told[n]] -= 1
            count[now] += 1
            told[n] = now
        yield day, Status(count["block"] > 0, count["unmeasured"] > 0, count["caution"])


def _changes(said: Callable[[date], Said], before: date, first: Said, after: date,
             last: Said) -> Iterator[tuple[date, Said]]:
    """Each day in (before, after] on which the answer changes, with the new answer, by halving."""
    if first == last:
        return
    if (after - before).days == 1:
        yield after, last
        return
    middle = before + (after - before) // 2
    there = said(middle)
    yield from _changes(said, before, first, middle, there)
    yield from _changes(said, middle, there, after, last)


def _part(placement: Placement, name: str) -> object:
    """A part of a placement as a key: records by what they hold, the rest by value. A seat is one of its row."""
    part = getattr(placement, name)
    if name == "rider":
        return placement.rider.rider
    if name == "bars":
        return part, placement.borrowed
    return part.content if isinstance(part, Record) else part
