"""A child's channel: where in the growth tables it is, how surely, and where that takes it.

A child keeps its z-score. With three measurements or more over three months, level and drift are those of a
Theil-Sen line through the z-scores: the median of the slopes of all pairs, and the median of what is left. One
measurement in four that is quite wrong (a shoe, a wet nappy, a slip of the pen) hardly moves a median, where it would
tilt a line of least squares. Drift is followed for as long as it was seen, a year at most: a child that crosses
channels settles in one. With fewer measurements the latest is the channel.

A child measured under 24 months has two channels, and what is plausible reaches over both. One keeps its z-score about
CDC's medians. The other keeps it about WHO's up to 24 months, and from there keeps the one that CDC's table gives to
the size it has come to: WHO's charts under 24 months and CDC's from there on are what US guidance asks for
(Grummer-Strawn et al. 2010, MMWR 59 RR-9).
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from itertools import combinations
from math import hypot
from statistics import median
from typing import NamedTuple

from seatplan.frozen import frozen
from seatplan.geometry.anthropometry import Z_END
from seatplan.geometry.growth_tables import (
    INFANT_UNTIL,
    LMS,
    SEXES,
    Chart,
    Measure,
    Sex,
    charts,
    lms_at,
    value_at,
    z_of,
)

#: a channel is estimated from so many measurements over so many months
LEAST_POINTS, LEAST_SPAN = 3, 3.0
#: drift is followed no longer than this, months
LONGEST_DRIFT = 12.0
#: beyond this the LMS sums mean little; a child out there keeps its share of the median instead
FARTHEST_Z = 4.0
#: as far as the curve of the tables is followed towards its end
_CURVED_Z = 3.0
#: what is raised to a power, 1 in the middle and 0 where no value is any more: below that the curve runs away
_ENDS = 0.25
#: variance of a change of z-score in one year, by the age in months up to which it holds. 2 (1 - r) of the year-to-year
#: correlations r that conditional growth references give (mass about 0.6 in the first year, 0.88 in the second, 0.94 to
#: five years, 0.96 after; height a little higher): from memory, rounded towards more spread.
#: Height from 96 to 216 months is derived: about two thirds of children cross more than 1 SD of stature at some time
#: before adulthood (Hermanussen 2010), and before puberty they hold their channels well (Bailey 1994). A random walk
#: leaves -1 to 1 with a chance of two thirds when its variance is 1.09; 0.18 of it falls to 24 to 60 months and 0.12 to
#: 60 to 96, as above, so that 0.79 are left for the ten years in which puberty falls, the earliest girls' at 8 and the
#: latest boys' done by 18 (common practice, no source)
_VARIANCE: dict[Measure, tuple[tuple[float, float], ...]] = {
    "mass": ((12, 0.80), (24, 0.24), (60, 0.12), (1200, 0.08)),
    "height": ((12, 0.50), (24, 0.16), (60, 0.06), (96, 0.04), (216, 0.08), (1200, 0.04)),
}


class Spread(NamedTuple):
    """The 1st percentile, the median and the 99th percentile of plausible growth."""

    low: float
    likely: float
    high: float


class Point(NamedTuple):
    """One measurement: age in months, kg or mm."""

    age: float
    value: float


def spread_of_z(measure: Measure, start: float, end: float) -> float:
    """The standard deviation of the change of z between two ages in months."""
    total, at = 0.0, max(0.0, start)
    for until, variance in _VARIANCE[measure]:
        if end <= at:
            break
        step = min(end, until) - at
        if step > 0:
            total += variance * step / 12
            at += step
    return float(total**0.5)


@frozen
class Channel:
    """Where one measure of one child goes, by one chart of one sex.

    ``latest`` is the last measurement and ``z`` its score, ``level`` and ``drift`` (a month) those of the channel, and
    ``flat`` the level if there is no drift.
    """

    measure: Measure
    sex: Sex
    latest: Point
    z: float
    level: float
    drift: float
    drift_months: float
    flat: float                       # the median of the z-scores as they are
    unseen: float = 0.0               # standard deviation of z at the start: 1 for a child that nobody measured yet
    chart: Chart = "cdc"

    def at(self, age: float) -> Spread:
        """What is plausible at an age in months, from the latest measurement on.

        The range runs from the 1st percentile below to the 99th above every reading of the measurements: with and
        without drift, from the level of the channel and from the latest measurement alone.
        """
        since = max(0.0, age - self.latest.age)
        moved = self.level + self.drift * min(since, self.drift_months)
        ways = (self.z, self.level, self.flat, moved)
        wide = Z_END * hypot(self.unseen, spread_of_z(self.measure, self.latest.age, age))
        return Spread(*self._values((min(ways) - wide, moved, max(ways) + wide), age))

    def _values(self, zs: Sequence[float], age: float) -> list[float]:
        """Measurements at each z at an age; these are of the chart on which the child was measured."""
        here = _row(self.measure, self.sex, self.latest.age, self.chart)
        there = lms_at(self.measure, self.sex, age, chart=self.chart)
        values = [_carried(here, self.latest.value, self.z, there, z) for z in zs]
        if self.chart == "cdc" or age <= INFANT_UNTIL:
            return values
        # those were the sizes at 24 months: from there on along CDC's chart
        seam, later = _seam(self.measure, self.sex), lms_at(self.measure, self.sex, age)
        by_cdc = [z_of(seam, value) for value in values]
        return [_carried(seam, value, z, later, z) for value, z in zip(values, by_cdc, strict=True)]


@lru_cache(maxsize=256)
def _row(measure: Measure, sex: Sex, age: float, chart: Chart) -> LMS:
    """The row of an age at which somebody was measured, which is asked for every day from then on."""
    return lms_at(measure, sex, age, chart=chart)


@lru_cache(maxsize=4)
def _seam(measure: Measure, sex: Sex) -> LMS:
    """The infants' row at 24 months."""
    return lms_at(measure, sex, INFANT_UNTIL, infant=True)


def _carried(here: LMS, value: float, at_z: float, there: LMS, z: float) -> float:
    """What ``value``, at ``at_z`` of one age, is at ``z`` of another. Someone outside the tables keeps the share of the
    median."""
    if abs(at_z) <= FARTHEST_Z:
        if -_CURVED_Z <= z <= _CURVED_Z:         # as most are
            return value_at(there, z)
        return _far(there, max(-FARTHEST_Z, min(FARTHEST_Z, z)))
    return value * there.m / here.m * (1 + there.s * (z - at_z))


def _far(lms: LMS, z: float) -> float:
    """A measurement at a z-score, also where the curve of the tables runs away and ends, as that of masses at 17 does:
    from 3 on towards that end, each further one is as wide as that from 2 to 3, as WHO's growth standards take weights
    (from memory)."""
    side = 1 if z > 0 else -1
    if abs(z) <= _CURVED_Z or 1 + lms.l * lms.s * side * FARTHEST_Z > _ENDS:
        return value_at(lms, z)
    last = value_at(lms, side * _CURVED_Z)
    return last + (abs(z) - _CURVED_Z) * (last - value_at(lms, side * (_CURVED_Z - 1)))


def channel(measure: Measure, sex: Sex, points: Sequence[Point], chart: Chart = "cdc") -> Channel:
    """The channel of one child on a chart. ``points``: one or more, by age."""
    scores = [(p.age, z_of(lms_at(measure, sex, p.age, chart=chart), p.value)) for p in points]
    latest, z = points[-1], scores[-1][1]
    span = latest.age - points[0].age
    if len(points) < LEAST_POINTS or span < LEAST_SPAN or any(abs(s) > FARTHEST_Z for _, s in scores):
        return Channel(measure, sex, latest, z, z, 0.0, 0.0, z, chart=chart)
    drift = median((b - a) / (q - p) for (p, a), (q, b) in combinations(scores, 2))
    level = median(s + drift * (latest.age - age) for age, s in scores)
    return Channel(measure, sex, latest, z, level, drift, min(span, LONGEST_DRIFT),
                   median(score for _, score in scores), chart=chart)


def channels(measure: Measure, sex: Sex | None, points: Sequence[Point]) -> tuple[Channel, ...]:
    """The channels by every chart of the child's age, and of the child's sex, or of both where nobody wrote it
    down."""
    return tuple(channel(measure, s, points, chart)
                 for s in ((sex,) if sex else SEXES) for chart in charts(points[-1].age))


def newborn(measure: Measure, sex: Sex | None) -> tuple[Channel, ...]:
    """The channels of a child about to be born: the medians at birth, by one sex or both."""
    return tuple(
        Channel(measure, s, Point(0.0, lms_at(measure, s, 0.0, chart=chart).m), 0.0, 0.0, 0.0, 0.0, 0.0, 1.0, chart)
        for s in ((sex,) if sex else SEXES) for chart in charts(0.0)
    )


def never_less(now: Spread, before: Spread) -> Spread:
    """What is plausible where it was no less already."""
    if now.low >= before.low and now.likely >= before.likely and now.high >= before.high:
        return now
    return Spread(*map(max, now, before))


def widest(spreads: Sequence[Spread]) -> Spread:
    """From the lowest to the highest of several, with the mean of what is likely."""
    if len(spreads) == 1:
        return spreads[0]
    return Spread(min(s.low for s in spreads), sum(s.likely for s in spreads) / len(spreads),
                  max(s.high for s in spreads))
