"""Every finding on every placement through time: on which days it changes, and for which size of the child.

A rule compares a size, an age or a day with a limit, and sizes, ages and days only ever grow, so what it says changes
a few times at most. Each check is asked about once a season, and where two answers differ the days between them are
halved until the day of the change is known. Two changes that cancel out within a season are the one thing this could
miss: estimates dip where two tables of body sizes meet, so those days are looked at too. The tests ask day by day.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Callable, Collection, Hashable, Iterator
from dataclasses import dataclass, replace
from datetime import date, timedelta
from functools import partial
from typing import NamedTuple

from seatplan.geometry import anthropometry
from seatplan.model import Reckoned, Rider
from seatplan.model.record import Record
from seatplan.rules.finding import Result
from seatplan.rules.profile import Profile
from seatplan.rules.reckoned import ask, merged
from seatplan.rules.rule import Rule
from seatplan.rules.run import Runner
from seatplan.rules.subjects import Placement, World
from seatplan.solver.kinds import apart
from seatplan.solver.placements import all_choices, setting_for

from .family import Family
from .remembered import placement_key

#: days between two looks at every check: a season
_LOOK_EVERY = 91
#: a rule that depends on none of these says the same every day
_CHANGING = frozenset(("rider", "restraint", "recline"))


class Said(NamedTuple):
    """What a check says of the smaller, the likely and the larger child, and of all three together: pass, block,
    caution, unmeasured, or nothing."""

    smaller: str
    likely: str
    larger: str
    together: str


_NOTHING = Said("", "", "", "")


@dataclass(frozen=True, slots=True)
class Steps:
    """What a check says from each of ``days`` on; the first is the first day looked at."""

    days: tuple[date, ...]
    said: tuple[Said, ...]

    def on(self, day: date) -> Said:
        return self.said[max(0, bisect_right(self.days, day) - 1)]


@dataclass(frozen=True, slots=True, eq=False)
class Check:
    """One rule about the parts of a placement that it looks at. ``rider``: of the trip as it was read."""

    rule: Rule
    rider: int
    placement: Placement
    steps: Steps


@dataclass(frozen=True, slots=True, eq=False)
class Watched:
    """One placement with all its checks."""

    rider: int
    placement: Placement
    checks: tuple[Check, ...]

    def status(self, day: date) -> tuple[bool, bool, int]:
        """Blocked, unmeasured, cautions: what the search knows of a placement."""
        told = [check.steps.on(day).together for check in self.checks]
        return "block" in told, "unmeasured" in told, told.count("caution")

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
        self._world = World(last, last.vehicle, profile, end)
        self._runner = Runner(self._world)
        self._worlds: dict[date, World] = {}
        self._index = {rider.rider: i for i, rider in enumerate(family.trip.riders)}
        self._made: dict[tuple[object, ...], Check] = {}
        self._look_days: dict[int, list[date]] = {}
        self._progress = progress
        self._turns: dict[Hashable, list[date]] | None = None
        # each copy of like restraints by itself, for whoever asks about one by its name
        self.placements = tuple(self._watched(cell.placement) for cell in all_choices(
            last, self._runner, apart(last)).cells())

    @property
    def checks(self) -> tuple[Check, ...]:
        """Every check there is, each once."""
        return tuple(self._made.values())

    def stays(self, key: Hashable, after: date, until: date) -> bool:
        """Whether nothing is said differently of a placement from one day until another."""
        if self._turns is None:
            self._turns = {placement_key(watched.placement): watched.days() for watched in self.placements}
        days = self._turns.get(key)
        return days is not None and self.start <= after and until <= self.end and (
            bisect_right(days, after) == bisect_right(days, until))

    def event_days(self) -> list[date]:
        """The days on which a finding on a placement of anybody changes."""
        return sorted({day for check in self.checks for day in check.steps.days[1:]})

    def turning_days(self, restraints: Collection[str] | None = None) -> list[date]:
        """Those of them on which a placement opens, closes, or becomes more or less sure or well advised.

        ``restraints``: only placements in these, and with the adult belt.
        """
        found: set[date] = set()
        for watched in self.placements:
            held = watched.placement.restraint
            if restraints is not None and held is not None and held.restraint not in restraints:
                continue
            before = watched.status(self.start)
            for day in watched.days():
                now = watched.status(day)
                if now != before:
                    found.add(day)
                before = now
        return sorted(found)

    def result(self, check: Check, day: date) -> Result | None:
        """What a check says on a day, with its numbers."""
        return self._results(check.rule, check.rider, check.placement, day)[3]

    def results(self, check: Check, day: date) -> tuple[Result | None, ...]:
        """For the smaller, the likely and the larger child, and together."""
        return self._results(check.rule, check.rider, check.placement, day)

    def _watched(self, placement: Placement) -> Watched:
        rider = self._index[placement.rider.rider]
        checks = []
        for rule in self._runner.placement_rules():
            # like restraints say the same, each of them under its own name
            key = (rule.id, placement.restraint and placement.restraint.restraint,
                   *(_part(placement, name) for name in rule.depends))
            if key not in self._made:
                self._made[key] = Check(rule, rider, placement, self._steps(rule, rider, placement))
                if self._progress:
                    self._progress(len(self._made))
            check = self._made[key]
            if check.steps.said != (_NOTHING,):
                checks.append(check)
        return Watched(rider, placement, tuple(checks))

    def _steps(self, rule: Rule, rider: int, placement: Placement) -> Steps:
        def said(day: date) -> Said:
            return Said(*(self._outcome(rule, r) for r in self._results(rule, rider, placement, day)))

        if not _CHANGING & set(rule.depends):
            return Steps((self.start,), (said(self.end),))
        days, told = [self.start], [said(self.start)]
        before, last = self.start, told[0]
        for day in self._looks(rider):
            for change, now in _changes(said, before, last, day, said(day)):
                days.append(change)
                told.append(now)
            before, last = day, told[-1]
        return Steps(tuple(days), tuple(told))

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

    def _results(self, rule: Rule, rider: int, placement: Placement, day: date) -> tuple[Result | None, ...]:
        child = self.family.children[rider].on(day) if "rider" in rule.depends or "recline" in rule.depends else (
            placement.rider)
        if child is None:
            return None, None, None, None
        world = self._world_on(day)
        placed = self._placed(placement, child, world)
        likely = ask(rule, placed, world)
        if not isinstance(child, Reckoned) or "rider" not in rule.depends:
            return likely, likely, likely, likely
        smaller = ask(rule, placed.for_rider(child.smaller, placed.recline), world)
        larger = ask(rule, placed.for_rider(child.larger, placed.recline), world)
        together = likely if likely is not None and likely.outcome == "fail" else merged(
            likely, [smaller, larger], child.rider, self._runner.is_must(rule))
        return smaller, likely, larger, together

    def _placed(self, placement: Placement, child: Rider, world: World) -> Placement:
        """The placement with the rider of the day, at the setting that the planner would choose then."""
        mode, restraint = placement.mode, placement.restraint
        if mode is None or restraint is None or mode.recline is None or not mode.recline.ranges:
            return placement.for_rider(child, placement.recline)
        lean = setting_for(world, child, placement.row, placement.position, restraint, mode)
        return placement.for_rider(child, lean)

    def _outcome(self, rule: Rule, result: Result | None) -> str:
        return "" if result is None else self._runner.outcome(rule, result)

    def _world_on(self, day: date) -> World:
        kept = self._worlds.get(day)
        if kept is None:
            # what is kept of shapes goes by rider, mode and setting, so that days share it
            kept = self._worlds[day] = replace(self._world, day=day)
        return kept


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
