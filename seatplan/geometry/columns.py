"""The sums of a row for many bodies at once: some with each of others at their right, worked out side by side.

The same sums as a prefix makes of one body more, as arrays: an axis for each place to which several may come.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

import numpy as np

from seatplan.frozen import frozen

from .prefix import FAR, Beside, Ends, Prefix
from .tolerance import BELIEVED

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Whole = NDArray[np.int64]
    Broken = NDArray[np.float64]


@frozen(eq=False)
class Bodies:
    """Bodies that may come to one place, a column each: their ends, what ends and widths may be off, mm."""

    low_play: Whole
    low: Whole
    high_play: Whole
    high: Whole
    ends_off: Broken
    widths_off: Broken

    @staticmethod
    def of(ends: Sequence[Ends], ends_off: Sequence[float], widths_off: Sequence[float]) -> Bodies:
        low_play, low, high_play, high = np.array(ends, dtype=np.int64).reshape(-1, 4).T
        return Bodies(low_play, low, high_play, high,
                      np.array(ends_off, dtype=float), np.array(widths_off, dtype=float))


@frozen(eq=False)
class LeftOf:
    """One body at the left of each of some bodies, or each of several, a row each; None where it is the same for all:
    nothing."""

    least: Whole | None               # the least distance; where they pass each other, less than any place can make up
    low: Whole | None
    high: Whole | None

    @staticmethod
    def of(pairs: Sequence[Sequence[Beside]]) -> LeftOf:
        """``pairs``: a row for each body at the left; the one of a single body is no axis."""
        rows = pairs[0] if len(pairs) == 1 else pairs
        least, low, high = np.moveaxis(np.array(rows, dtype=np.int64), -1, 0)
        return LeftOf(np.where(least > 0, least, -2 * FAR) if least.any() else None,
                      low if (low > -FAR).any() else None, high if (high < FAR).any() else None)


@frozen(eq=False)
class Sums:
    """As a prefix, of many at once: the last axes of its arrays are the places to which several bodies may come."""

    places: tuple[Whole, ...]                   # the first axis: after how many separations
    highs: tuple[tuple[Any, Any], ...]
    ends_off: Any
    widths: Any                                 # the sum of what widths may be off, mm
    squares: Any                                # that of their squares
    meeting: Any

    @staticmethod
    def of(prefix: Prefix) -> Sums:
        """Those of a prefix, before any axis."""
        return Sums(tuple([np.array(own, dtype=np.int64) for own in prefix.places]),
                    tuple([(np.int64(high_play), np.int64(high)) for high_play, high in prefix.highs]),
                    np.float64(prefix.ends_off), np.float64(sum(prefix.widths_off)),
                    np.float64(sum([one * one for one in prefix.widths_off])), np.int64(prefix.meeting))

    def with_bodies(self, bodies: Bodies, beside: Sequence[LeftOf]) -> Sums:
        """Each of some bodies at the right: one axis more. ``beside``: what they are beside each of the others."""
        lately, many = np.shape(self.meeting), len(bodies.low)
        own_high = np.minimum(bodies.high_play, bodies.high)
        low: Any = bodies.low
        own = np.full((len(self.places) + 2, *lately, many), -FAR, dtype=np.int64)
        own[0] = bodies.low_play
        meeting, highs = np.broadcast_to(self.meeting[..., None], (*lately, many)), []
        for places, (high_play, high), left in zip(self.places, self.highs, beside, strict=True):
            upper = high[..., None]
            if left.low is not None:
                low = np.maximum(low, left.low)
                meeting = np.maximum(meeting, left.low - own_high)
            if left.high is not None:
                meeting = np.maximum(meeting, places.max(axis=0)[..., None] - left.high)
                upper = np.minimum(upper, left.high)
            if left.least is not None:
                to = own[1:len(places) + 1]
                np.maximum(to, left.least + places[..., None], out=to)
            highs.append((high_play[..., None], upper))
        meeting = np.maximum(meeting, own[1:].max(axis=0) - own_high)
        np.maximum(own[1], low, out=own[1])
        return Sums((*[places[..., None] for places in self.places], own),
                    (*highs, (bodies.high_play, bodies.high)), np.maximum(self.ends_off[..., None], bodies.ends_off),
                    self.widths[..., None] + bodies.widths_off,
                    self.squares[..., None] + bodies.widths_off * bodies.widths_off, meeting)

    def shortfall(self) -> Whole:
        """How much room is missing, half-mm; 0 or less: they fit."""
        over: Any = -FAR
        for own, (high_play, high) in zip(self.places, self.highs, strict=True):
            over = np.maximum(over, own.max(axis=0) - np.minimum(high_play, high))
        return self._whole(over)

    def spare_mm(self, cap_mm: int) -> Whole:
        """Whole mm of spare, rounded down, up to a cap. A sum shares its slack out evenly over its separations."""
        spare: Any = cap_mm
        for own, (high_play, high) in zip(self.places, self.highs, strict=True):
            for k, place in enumerate(own):
                spare = np.minimum(spare, (high - place) // (2 * (k + 1)))
                if k:
                    spare = np.minimum(spare, (high_play - place) // (2 * k))
        return self._whole(spare)

    def most_off(self, worst_case: bool) -> Broken:
        """What no sum can be off by more, half-mm."""
        if worst_case:
            return np.asarray(2.0 * (2 * self.ends_off + self.widths))
        return np.asarray(2 * np.sqrt(2 * self.ends_off * self.ends_off + self.squares))

    def most_guessed(self) -> Broken:
        """The same where bodies are only estimated, out to what nobody would believe."""
        return BELIEVED * self.most_off(True)

    def _whole(self, found: Any) -> Whole:
        return np.broadcast_to(found, np.shape(self.meeting))
