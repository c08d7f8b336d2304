"""For each child and each way to ride that is at hand: from when, until when, and which limit ends it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date
from typing import NamedTuple

from seatplan.frozen import frozen
from seatplan.rules.finding import Finding

from .watch import Check, Watch, Watched

_SIZES = range(3)


class Window(NamedTuple):
    """When something happens: at the earliest, likely, at the latest; None: not within the days looked at."""

    earliest: date | None
    likely: date | None
    latest: date | None

    @property
    def exact(self) -> bool:
        """Whether growth has no say in it."""
        return self.earliest == self.likely == self.latest


@frozen
class Limit:
    """A limit that is met: the window of days, and what the rule says on the first of them that is known."""

    window: Window
    finding: Finding


@frozen
class Stay:
    """One rider in one mode of one restraint, held one way, at the seat where it lasts longest.

    ``opens``: None: from the first day on. ``closes``: None: not within the days looked at.
    """

    rider: str
    restraint: str | None
    mode: str
    by: str
    connectors: str | None
    opens: Limit | None
    closes: Limit | None


def stays(watch: Watch) -> list[Stay]:
    """Every way to ride that opens at all, in the order of the trip."""
    groups: dict[tuple[int, str | None, str, str, str | None], list[Watched]] = {}
    for watched in watch.placements:
        p = watched.placement
        held = p.installation.connectors if p.installation and p.on_lower_anchors else None
        key = (watched.rider, p.restraint.restraint if p.restraint else None, p.mode_name, p.by, held)
        groups.setdefault(key, []).append(watched)
    found = []
    for (rider, restraint, mode, by, connectors), group in groups.items():
        if watch.family.trip.riders[rider].adult:
            continue
        spans = [(span, watched) for watched in group if (span := _span(watch, watched)) is not None]
        if not spans:
            continue
        (opens, closes), watched = max(spans, key=lambda item: _lasting(watch, item[0]))
        found.append(Stay(watch.family.trip.riders[rider].rider, restraint, mode, by, connectors,
                          _opening(watch, watched, opens), _closing(watch, watched, closes)))
    return found


def closing(watch: Watch, watched: Watched) -> Limit | None:
    """The limit that ends one placement once it is open; None: not within the days looked at."""
    span = _span(watch, watched)
    return None if span is None else _closing(watch, watched, span[1])


def limit_at(watch: Watch, placements: Iterable[Watched], day: date) -> Limit | None:
    """The limit that shuts the last of some placements of one rider on a day; None where one is still open."""
    group = list(placements)
    last: tuple[date, Check] | None = None
    for watched in group:
        blocked = [(_since(check, day), check) for check in watched.blocked(day, 1)]
        if not blocked:
            return None
        first = min(blocked, key=lambda item: item[0])
        if last is None or first[0] > last[0]:
            last = first
    if last is None:
        return None
    return Limit(_window([_shut(watch, group, size) for size in _SIZES]), finding_of(watch, last[1], day))


def _shut(watch: Watch, group: Sequence[Watched], size: int) -> date | None:
    """The first day on which all of some placements are shut to a child of that size after one of them was open."""
    opened = False
    for day in sorted({watch.start, *(d for watched in group for d in watched.days())}):
        if any(_open(watch, watched, day, size) for watched in group):
            opened = True
        elif opened:
            return day
    return None


def _since(check: Check, day: date) -> date:
    """Since when, up to a day, it blocks the likely child."""
    since = day
    for first, said in reversed(list(zip(check.steps.days, check.steps.said, strict=True))):
        if first <= day:
            if said.likely != "block":
                break
            since = first
    return since


_Days = tuple[date | None, date | None, date | None]


def _span(watch: Watch, watched: Watched) -> tuple[_Days, _Days] | None:
    """For each size, the first day on which nothing blocks, and the first one after it on which something does."""
    days = [watch.start, *watched.days()]
    opens: list[date | None] = []
    closes: list[date | None] = []
    for size in _SIZES:
        first = next((day for day in days if _open(watch, watched, day, size)), None)
        opens.append(first)
        closes.append(None if first is None else next(
            (day for day in days if day > first and watched.blocked(day, size)), None))
    if all(day is None for day in opens):
        return None
    return (opens[0], opens[1], opens[2]), (closes[0], closes[1], closes[2])


def _open(watch: Watch, watched: Watched, day: date, size: int) -> bool:
    return watch.family.children[watched.rider].on(day) is not None and not watched.blocked(day, size)


def _lasting(watch: Watch, span: tuple[_Days, _Days]) -> tuple[int, int, int]:
    """A key by which the seat that opens likely, closes last and opens first is the greatest."""
    opens, closes = span
    never = watch.end.toordinal() + 1
    if opens[1] is None:
        return 0, 0, 0
    return 1, (closes[1].toordinal() if closes[1] else never), -opens[1].toordinal()


def _opening(watch: Watch, watched: Watched, days: _Days) -> Limit | None:
    if all(day == watch.start for day in days):
        return None
    window = _window(days)
    # what is in the way on the day before
    for check in watched.checks:
        turns = [day for day in days if day is not None and day > watch.start]
        for day in turns:
            before = date.fromordinal(day.toordinal() - 1)
            if "block" in check.steps.on(before)[:3] and watch.family.children[watched.rider].on(before) is not None:
                return Limit(window, finding_of(watch, check, before))
    return None


def _closing(watch: Watch, watched: Watched, days: _Days) -> Limit | None:
    known = [day for day in days if day is not None]
    if not known:
        return None
    day = days[1] or min(known)
    size = 1 if days[1] else days.index(day)
    checks = watched.blocked(day, size)
    newest = max(checks, key=lambda check: max(d for d in check.steps.days if d <= day))
    return Limit(_window(days), finding_of(watch, newest, day, size))


def _window(days: Sequence[date | None]) -> Window:
    order = sorted(days, key=lambda day: (day is None, day))
    return Window(order[0], order[1], order[2])


def finding_of(watch: Watch, check: Check, day: date, size: int = 3) -> Finding:
    """What the check says as a finding that views can put into words."""
    p = check.placement
    results = watch.results(check, day)
    result = results[size] or next(r for r in results if r is not None)
    outcome = "block" if result.outcome == "fail" else result.outcome
    rider = watch.family.trip.riders[check.rider].rider
    return Finding(check.rule.id, outcome, (rider,), (p.position.position,), result, check.rule.source,
                   p.restraint.restraint if p.restraint else None)

