"""One rider on any day to come: sizes as growth tables reckon them, with their range.

Seated lengths follow stature: a child keeps the distance from the reference of that stature (UN R129 Annex 18 and
Snyder 1977, in ``geometry.anthropometry``) that it was measured to have. How far it may leave it grows with the
stature gained, to the whole spread of the reference.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta
from fractions import Fraction
from functools import lru_cache
from math import ceil, floor
from typing import NamedTuple

from seatplan.doubt.bodies import ages_on
from seatplan.estimate.riders import estimated_rider
from seatplan.geometry import anthropometry
from seatplan.geometry.growth_tables import DAYS_A_MONTH, MEASURES, Measure
from seatplan.model import Reckoned, Rider
from seatplan.units import Quantity

from .channel import Channel, Point, Spread, channels, never_less, newborn, widest

#: after so much more stature nothing but the reference's own spread is left; common practice, no source
_FORGOTTEN_AFTER_MM = 300
#: a "does not sit upright" of a young child says nothing of the same child later: it is open again half a year on
#: (common practice, no source), and not before the fifth birthday, up to which a harness is asked for anyway (AAP 2018)
_ASK_AGAIN_DAYS, _ASK_AGAIN_FROM_MONTHS = 183, 60
_REFERENCE = anthropometry.SEATED
#: whose lengths go by stature alone; a copy takes a tenth of the time of one that is checked
_ANYBODY = Rider(rider="anybody")
#: a size that goes to a z-score and back comes out by less than this beside itself
_SLIP = 1e-6


class Curve:
    """One measure of one child by the day. It never falls: a child does not shrink, and one that lost weight is
    reckoned to have it again."""

    def __init__(self, ways: Sequence[Channel], start: date, ages: Sequence[float]) -> None:
        """``ages``: in months on ``start``, the day of the latest measurement; several where only an age in months
        or years was given."""
        self.start = start
        self._ways, self._ages = ways, ages
        self._days: list[Spread] = []

    def on(self, day: date) -> Spread:
        """kg or mm on a day from ``start`` on."""
        return self.after((day - self.start).days)

    def after(self, n: int) -> Spread:
        """The same so many days after ``start``; on an earlier day that of ``start``."""
        days, n = self._days, max(0, n)
        while len(days) <= n:
            since = len(days) / DAYS_A_MONTH
            now = widest([way.at(age + since) for way, age in zip(self._ways, self._ages, strict=True)])
            days.append(never_less(now, days[-1]) if days else now)
        return days[n]


class Child:
    """A rider through time. Sizes without a day hold on ``taken``."""

    def __init__(self, rider: Rider, taken: date) -> None:
        self.rider, self.taken = rider, taken
        self._kept: dict[date, Rider | None] = {}
        self._curves: dict[Measure, Curve] = {}
        self._lengths: dict[str, list[Spread]] = {}
        self._taken: dict[str, tuple[int, _Reference] | None] = {}
        self._since: dict[str, date] = {}
        if rider.due is not None:
            for measure in MEASURES:
                ways = newborn(measure, rider.sex)
                self._curves[measure] = Curve(ways, rider.due, [0.0] * len(ways))
                self._since[measure] = rider.due
        elif not rider.adult:
            self._since = {name: self._taken_on(name) for name in (*MEASURES, *_REFERENCE)
                           if getattr(rider, name) is not None}
            for measure in MEASURES:
                self._add_curve(measure)

    def on(self, day: date) -> Rider | None:
        """The rider on a day; None before it is born. On the day that it was measured, as it was written down."""
        if day not in self._kept:
            self._kept[day] = self._on(day)
        return self._kept[day]

    def _on(self, day: date) -> Rider | None:
        rider = self.rider
        if rider.due is not None:
            if day < rider.due:
                return None
            rider = rider.model_copy(update={"born": rider.due, "due": None})
        elif day > self.taken:
            rider = _older(rider, _whole_months(self.taken, day))
        older = [since for since in self._since.values() if since < day]
        if rider.adult or not (older or self.rider.due):
            # an age in whole years, or a band of them, stays as wide as it was written
            return estimated_rider(rider, ages_on(self.rider, day, self.taken))
        return self._reckoned(rider, day, min(older, default=day))

    def _reckoned(self, rider: Rider, day: date, since: date) -> Reckoned:
        found = self._spreads(day)
        likely: dict[str, Quantity | int | None] = dict.fromkeys(found)
        low, high = dict(likely), dict(likely)
        for name, spread in found.items():
            if spread is not None:
                low[name], likely[name], high[name] = _rounded(name, spread)
        for sizes in (low, likely, high):
            self._keep_shoulder(sizes)
        bands = {name: (int(low[name] or 0), int(high[name] or 0)) for name in _REFERENCE if found.get(name)}
        if rider.sits_upright is False and self._ask_again(day):
            likely["sits_upright"] = low["sits_upright"] = high["sits_upright"] = None
        if rider.age is not None:
            high["age"] = rider.age + self._age_slack
        return Reckoned.model_construct(
            **{name: getattr(rider, name) for name in Rider.model_fields} | likely,
            since=since, bands=bands,
            smaller=rider.model_copy(update=low), larger=rider.model_copy(update=high))

    def _spreads(self, day: date) -> dict[str, Spread | None]:
        """Each size that was measured before a day, as it may be on it; None where no table follows it."""
        found: dict[str, Spread | None] = {}
        for measure in MEASURES:
            if measure in self._since:
                curve = self._curves.get(measure)
                found[measure] = None if curve is None else curve.on(max(day, curve.start))
        for name in _REFERENCE:
            if name in self._since and self._since[name] < day:
                found[name] = self._length(name, day)
        return found

    def _keep_shoulder(self, sizes: dict[str, Quantity | int | None]) -> None:
        """A shoulder that is reckoned stays below its share of the sitting height, measured or by stature, and never
        falls below what was measured."""
        shoulder, stature = sizes.get("shoulder_height"), sizes.get("height")
        if not isinstance(shoulder, int):
            return
        sitting = sizes.get("sitting_height")
        head = sitting if isinstance(sitting, int) else None
        if head is None and isinstance(stature, int):
            told = _reference("sitting_height", stature)
            head = None if told is None else round(told.middle + told.half)
        if head is not None:
            sizes["shoulder_height"] = max(self.rider.shoulder_height or 0,
                                           min(shoulder, anthropometry.highest_shoulder(head)))

    def _length(self, name: str, day: date) -> Spread | None:
        """A seated length or breadth on a day, from the one that was measured. Like the rest it never falls."""
        start, curve = self._since[name], self._curves.get("height")
        if curve is None:
            return None
        days, last, offset = self._lengths.setdefault(name, []), (day - start).days, (start - curve.start).days
        while len(days) <= last:
            now = self._length_at(name, curve.after(offset + len(days)))
            if now is None:
                return None
            days.append(never_less(now, days[-1]) if days else now)
        return days[last]

    def _length_at(self, name: str, stature: Spread) -> Spread | None:
        if name not in self._taken:
            self._taken[name] = self._taken_at(name)
        at = self._taken[name]
        low, likely, high = (_reference(name, round(mm)) for mm in stature)
        if at is None or low is None or likely is None or high is None:
            return None
        measured, (then, first) = float(getattr(self.rider, name)), at
        share = min(1.0, max(0.0, (stature.likely - then) / _FORGOTTEN_AFTER_MM))
        aside = share * likely.half
        return Spread(max(measured, measured + low.middle - first.middle - aside),
                      max(measured, measured + likely.middle - first.middle),
                      max(measured, measured + high.middle - first.middle + aside))

    def _taken_at(self, name: str) -> tuple[int, _Reference] | None:
        """Stature when a length was taken, and the reference there."""
        then = self._stature_on(self._since[name])
        first = None if then is None else _reference(name, then)
        return None if then is None or first is None else (then, first)

    def _stature_on(self, day: date) -> int | None:
        """Stature when a length was taken: the measurement nearest in time."""
        told = self._points("height")
        return round(min(told, key=lambda p: abs((p[0] - day).days))[1]) if told else None

    def _taken_on(self, name: str) -> date:
        """The day of a size that counts: the latest measurement's where it is the same, else that of the trip."""
        entries = [(entry.on, getattr(entry, name)) for entry in self.rider.measured]
        latest = max((entry for entry in entries if entry[1] is not None), default=None)
        return latest[0] if latest and latest[1] == getattr(self.rider, name) else self.taken

    def _points(self, measure: Measure) -> list[tuple[date, float]]:
        """Every measurement by its day, the latest last."""
        told = {entry.on: float(value) for entry in self.rider.measured
                if (value := getattr(entry, measure)) is not None}
        value = getattr(self.rider, measure)
        if value is not None:
            told[self._taken_on(measure)] = float(value)
        return sorted(told.items())

    def _add_curve(self, measure: Measure) -> None:
        points = self._points(measure)
        ways: list[Channel] = []
        ages: list[float] = []
        if not points:
            return
        for now in self._ages():
            by_age = [Point(now - (self.taken - day).days / DAYS_A_MONTH, value) for day, value in points]
            own = channels(measure, self.rider.sex, [p for p in by_age if p.age >= 0] or by_age[-1:])
            ways += own
            ages += [by_age[-1].age] * len(own)
        if ways:
            self._curves[measure] = Curve(ways, points[-1][0], ages)

    def _ages(self) -> list[float]:
        """The age in months on ``taken``; youngest and oldest where it was given in whole months or years."""
        if self.rider.born is not None:
            return [(self.taken - self.rider.born).days / DAYS_A_MONTH]
        if self.rider.age is None:
            return []
        return [float(self.rider.age), float(self.rider.age + self._age_slack)]

    @property
    def _age_slack(self) -> int:
        """An age in whole years may be all but a year more, one in months a month."""
        age = self.rider.age or 0
        return 12 if age >= 24 and age % 12 == 0 else 1

    def _ask_again(self, day: date) -> bool:
        ages = self._ages()
        if not ages:
            return False
        age = min(ages) + (day - self.taken).days / DAYS_A_MONTH
        return day >= self.taken + timedelta(_ASK_AGAIN_DAYS) and age >= _ASK_AGAIN_FROM_MONTHS


class _Reference(NamedTuple):
    """The middle of a reference at one stature, and half of its 5th to 95th band."""

    middle: float
    half: float


@lru_cache(maxsize=4096)
def _reference(name: str, stature: int) -> _Reference | None:
    """The reference at a stature in mm; None below its tables."""
    told = _REFERENCE[name](_ANYBODY.model_copy(update={"height": stature}))
    return None if told is None else _Reference(told.middle, (told.high - told.low) / 2)


def _rounded(name: str, spread: Spread) -> tuple[Quantity | int, Quantity | int, Quantity | int]:
    """Low, likely and high in whole mm, a mass in hundredths of a kg, the ends outwards."""
    per = 100 if name == "mass" else 1
    low, likely, high = (floor(spread.low * per + _SLIP), round(spread.likely * per),
                         ceil(spread.high * per - _SLIP))
    if name == "mass":
        return (Quantity.of_kg(Fraction(low, per)), Quantity.of_kg(Fraction(likely, per)),
                Quantity.of_kg(Fraction(high, per)))
    return low, likely, high


def _older(rider: Rider, months: int) -> Rider:
    """The rider so many months older, where an age or a band of ages was written and no day."""
    update: dict[str, object] = {}
    if rider.age is not None:
        update["age"] = rider.age + months
    if rider.ages is not None:
        update["ages"] = (rider.ages[0] + months, rider.ages[1] + months)
    return rider.model_copy(update=update) if update else rider


def _whole_months(start: date, end: date) -> int:
    return (end.year - start.year) * 12 + end.month - start.month - (end.day < start.day)
