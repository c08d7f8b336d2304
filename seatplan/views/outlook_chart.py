"""Time as a drawing in characters, not wider than the page: one line a child, one letter a stretch of days."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta

from seatplan.frozen import frozen
from seatplan.growth.outlook import Outlook, Way

from .manner import day as day_said
from .manner import month as month_said
from .manner import page
from .say import t
from .text import columns, cut, padded, wrapped
from .words import MODES

LETTERS = {
    "rear-facing-harness": "r", "lying-flat-bed": "l", "forward-facing-harness": "f", "harness-vest": "v",
    "impact-shield": "s",
    "high-back-booster": "b", "backless-booster": "c", "seat-belt": "a",
}
#: may be outgrown: measure; nothing at hand works; not born yet
MEASURE, NOTHING, ABSENT = "?", "!", "."
_NAMES, _LEAST_GAP = 14, 2
#: a look up to so long has marks for quarters, not years
_SHORT_DAYS = 600


@frozen
class Span:
    """Days, both included, that one child spends in one mode; None: no arrangement. ``unsure``: measure first."""

    first: date
    last: date
    mode: str | None
    restraint: str | None
    unsure: bool
    born: bool = True


def spans(outlook: Outlook, way: Way, rider: str) -> Iterator[Span]:
    """The days of one child in order, without a gap."""
    day = timedelta(1)
    due = next(r.due for r in outlook.trip.riders if r.rider == rider)
    for step in way.steps:
        leg = step.leg
        place = next((p for p in leg.seating or () if p.rider == rider), None)
        if place is None:
            yield Span(leg.first, leg.last, None, None, False, due is None or leg.first >= due)
            continue
        doubt = next((d.first for d in step.doubts if d.rider == rider), None)
        if doubt is None:
            yield Span(leg.first, leg.last, place.mode, place.restraint, False)
            continue
        if doubt > leg.first:
            yield Span(leg.first, doubt - day, place.mode, place.restraint, False)
        yield Span(doubt, leg.last, place.mode, place.restraint, True)


def children(outlook: Outlook) -> list[str]:
    return [rider.rider for rider in outlook.trip.riders if not rider.adult]


def chart(outlook: Outlook, way: Way) -> str:
    """Years on top, a line for each child, the numbers of the arrangements below, and what the letters mean."""
    names = children(outlook)
    margin = min(_NAMES, max(map(columns, names), default=0)) + 2
    wide = page() - margin
    total = (outlook.end - outlook.start).days + 1

    def column(day: date) -> int:
        return min(wide - 1, (day - outlook.start).days * wide // total)

    years, ticks = [" "] * wide, [" "] * wide
    _write(years, 0, day_said(outlook.start))
    for day, label in _marks(outlook.start, outlook.end):
        ticks[column(day)] = "|"
        _write(years, column(day), label)
    lines = [" " * margin + "".join(row).rstrip() for row in (years, ticks)]
    used: set[str] = set()
    for name in names:
        row = [" "] * wide
        for span in spans(outlook, way, name):
            letter = (ABSENT if not span.born else NOTHING) if span.mode is None else LETTERS[span.mode]
            last = wide if span.last == outlook.end else max(column(span.last + timedelta(1)),
                                                               column(span.first) + 1)
            for k in range(column(span.first), last):
                row[k] = MEASURE if span.unsure and k % 2 else letter
            used.add(letter)
            used |= {MEASURE} if span.unsure else set()
        lines.append(padded(cut(name, _NAMES), margin) + "".join(row))
    marks = [" "] * wide
    for n, step in enumerate(way.steps, 1):
        _write(marks, column(step.leg.first), str(n))
    lines.append(" " * margin + "".join(marks).rstrip())
    return "\n".join([*lines, wrapped(_key(used), " " * margin)])


def _marks(start: date, end: date) -> Iterator[tuple[date, str]]:
    """The first day of each year; of each quarter where the look is short."""
    short = (end - start).days < _SHORT_DAYS
    for year in range(start.year, end.year + 1):
        for month in (1, 4, 7, 10) if short else (1,):
            day = date(year, month, 1)
            if start < day <= end:
                yield day, month_said(day) if short else str(year)


def _write(row: list[str], at: int, text: str) -> None:
    """Where nothing stands yet, nor beside it; what would run over the edge is left out."""
    near = row[max(0, at - _LEAST_GAP + 1):at + len(text) + _LEAST_GAP - 1]
    if at + len(text) <= len(row) and not any(c.isdigit() for c in near):
        row[at:at + len(text)] = text


def _key(used: set[str]) -> str:
    told = [f"{letter} {MODES[mode]}" for mode, letter in LETTERS.items() if letter in used]
    for sign, meaning in (
        (MEASURE, t("to be measured first, it may be outgrown")),
        (NOTHING, t("nothing at hand works")),
        (ABSENT, t("not born yet")),
    ):
        if sign in used:
            told.append(f"{sign} {meaning}")
    return "; ".join([*told, t("the numbers: the arrangements below")])
