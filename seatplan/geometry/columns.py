"""The sums of a row for many bodies at once: a prefix with each of some bodies at its right, worked out side by side.

The same sums as a prefix makes of one body more, as columns of numbers: one for each body that may come.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np

from .prefix import FAR, Beside, Ends, Prefix
from .tolerance import BELIEVED

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Whole = NDArray[np.int64]
    Broken = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
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


@dataclass(frozen=True, slots=True, eq=False)
class LeftOf:
    """One body at the left of each of some bodies; None where it is the same for all: nothing."""

    least: Whole | None               # the least distance; where they pass each other, less than any place can make up
    low: Whole | None
    high: Whole | None

    @staticmethod
    def of(pairs: Sequence[Beside]) -> LeftOf:
        least, low, high = np.array(pairs, dtype=np.int64).reshape(-1, 3).T
        return LeftOf(np.where(least > 0, least, -2 * FAR) if least.any() else None,
                      low if (low > -FAR).any() else None, high if (high < FAR).any() else None)


class Columns:
    """A prefix with each of some bodies at its right: ``over``, the room that is missing, half-mm; ``spare``, whole mm
    up to the cap; ``meeting``: the most that a sum overshoots in which bodies meet, half-mm; ``most_off``: what no sum
    can be off by more, half-mm; ``most_guessed``: the same where a body is only estimated."""

    __slots__ = ("meeting", "most_guessed", "most_off", "over", "spare")

    def __init__(self, prefix: Prefix, beside: Sequence[LeftOf], bodies: Bodies, cap_mm: int,
                 worst_case: bool) -> None:
        many, before = len(bodies.low), len(prefix.places)
        low = bodies.low
        places = np.full((before + 2, many), -FAR, dtype=np.int64)
        places[0] = bodies.low_play
        over, spare = np.full(many, -FAR, dtype=np.int64), np.full(many, cap_mm, dtype=np.int64)
        meeting, own_high = np.full(many, prefix.meeting, dtype=np.int64), np.minimum(bodies.high_play, bodies.high)
        for own, (high_play, high), left in zip(prefix.places, prefix.highs, beside, strict=True):
            if left.low is not None:
                low = np.maximum(low, left.low)
                np.maximum(meeting, left.low - own_high, out=meeting)
            if left.high is not None:
                np.maximum(meeting, max(own) - left.high, out=meeting)
            upper: Any = high if left.high is None else np.minimum(high, left.high)
            column = np.array(own, dtype=np.int64)[:, None]
            if left.least is not None:
                to = places[1:len(own) + 1]
                np.maximum(to, left.least + column, out=to)
            np.maximum(over, max(own) - np.minimum(high_play, upper), out=over)
            _share_out(spare, column, high_play, upper)
        np.maximum(meeting, places[1:].max(axis=0) - own_high, out=meeting)
        np.maximum(places[1], low, out=places[1])
        np.maximum(over, places.max(axis=0) - own_high, out=over)
        _share_out(spare, places, bodies.high_play, bodies.high)
        ends, widths = np.maximum(prefix.ends_off, bodies.ends_off), list(prefix.widths_off)
        off = (2.0 * (2 * ends + (sum(widths) + bodies.widths_off)) if worst_case else
               2 * np.sqrt(2 * ends * ends + (sum([one * one for one in widths])
                                               + bodies.widths_off * bodies.widths_off)))
        self.over: list[int] = over.tolist()
        self.meeting: list[int] = meeting.tolist()
        self.most_off: list[float] = off.tolist()
        # out to what nobody would believe, where bodies are only estimated
        self.most_guessed: list[float] = (BELIEVED * 2.0 * (2 * ends + (sum(widths) + bodies.widths_off))).tolist()
        self.spare: list[int] = spare.tolist()


def _share_out(spare: Whole, places: Whole, high_play: Any, high: Any) -> None:
    """The slack of the sums that end at one body, shared out evenly over their separations, where it is the least."""
    parts = 2 * np.arange(1, len(places) + 1)[:, None]
    np.minimum(spare, ((high - places) // parts).min(axis=0), out=spare)
    if len(places) > 1:
        np.minimum(spare, ((high_play - places[1:]) // parts[:-1]).min(axis=0), out=spare)
