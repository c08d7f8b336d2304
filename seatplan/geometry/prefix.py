"""What is known of some bodies of a row, left to right, when one more comes to sit at their right.

Every sum across a row runs from a lower limit through bodies further and further right to an upper one. A prefix holds
where each body stands at least, by how many separations it took to get there; one body more only adds its own. All
numbers are whole half-millimetres.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import sqrt
from typing import NamedTuple

from seatplan.frozen import frozen

from .tolerance import BELIEVED

#: further than anything in a car, half-mm: stands for no limit
FAR = 1 << 40


class Ends(NamedTuple):
    """Where the middle of a body may stand: by its own play, which does not stretch, and by all else, which does."""

    low_play: int
    low: int
    high_play: int
    high: int


class Beside(NamedTuple):
    """Two bodies: their least distance (0: they pass each other), the lowest place of the right one beside the left
    one's buckle, the highest of the left one beside the right one's."""

    least: int
    low: int
    high: int


@frozen
class Prefix:
    """``places[j][k]``: where body j stands at least, after k separations, and ``tops[j]`` however many; ``highs``:
    where each may stand at most, by its play and by all else. ``ends_off`` and ``widths_off``: what limits and widths
    may be off, mm. ``over``: the most that a sum overshoots; ``meeting``: the same of sums in which bodies meet: all
    but those of one body between its own limits."""

    places: tuple[tuple[int, ...], ...] = ()
    highs: tuple[tuple[int, int], ...] = ()
    ends_off: float = 0.0
    widths_off: tuple[float, ...] = ()
    meeting: int = -FAR
    tops: tuple[int, ...] = ()
    over: int = -FAR

    def with_body(self, ends: Ends, beside: tuple[Beside, ...], ends_off: float, width_off: float) -> Prefix:
        """One more body at the right, with what it is beside each of the others."""
        own = [-FAR] * (len(self.places) + 2)
        own[0] = ends.low_play
        highs = list(self.highs)
        over, meeting, pushed = self.over, self.meeting, -FAR
        for i, (least, beside_low, beside_high) in enumerate(beside):
            pushed = max(pushed, beside_low)
            if beside_high < FAR:
                met = self.tops[i] - beside_high
                meeting = max(meeting, met)
                if beside_high < highs[i][1]:
                    highs[i] = highs[i][0], beside_high
                    over = max(over, met)
            if least:
                for k, place in enumerate(self.places[i], start=1):
                    if place + least > own[k]:
                        own[k] = place + least
        high = min(ends.high_play, ends.high)
        meeting = max(meeting, pushed - high, max(own[1:]) - high)
        own[1] = max(own[1], ends.low, pushed)
        top = max(own)
        return Prefix((*self.places, tuple(own)), (*highs, (ends.high_play, ends.high)),
                      max(self.ends_off, ends_off), (*self.widths_off, width_off), meeting, (*self.tops, top),
                      max(over, top - high))

    def shortfall(self, extra: int = 0) -> int:
        """How much room is missing; 0 or less: they fit. ``extra`` is put on top of every separation."""
        if not extra:
            return self.over
        return max([place + k * extra - min(high_play, high - extra)
                    for own, (high_play, high) in zip(self.places, self.highs, strict=True)
                    for k, place in enumerate(own)], default=-FAR)

    def shortfall_with(self, ends: Ends, beside: Sequence[Beside]) -> int:
        """The shortfall once one more body comes at the right, without its sums."""
        over, low = self.over, ends.low if ends.low > ends.low_play else ends.low_play
        for top, (least, beside_low, beside_high) in zip(self.tops, beside, strict=True):
            if beside_low > low:
                low = beside_low
            if least and top + least > low:
                low = top + least
            if top - beside_high > over:
                over = top - beside_high
        return max(over, low - min(ends.high_play, ends.high))

    def spare_mm(self, cap_mm: int) -> int | None:
        """Whole mm of spare, rounded down, for bodies that fit; None when it reaches the cap. A sum shares its slack
        out evenly over its separations."""
        least = cap_mm
        for own, (high_play, high) in zip(self.places, self.highs, strict=True):
            for k, place in enumerate(own):
                slack = high - place
                if slack < 2 * least * (k + 1):
                    least = slack // (2 * (k + 1))
                if k:
                    slack = high_play - place
                    if slack < 2 * least * k:
                        least = slack // (2 * k)
        return None if least >= cap_mm else least


def most_off(ends_off: float, widths_off: Sequence[float], worst_case: bool) -> float:
    """No sum can be off by more, half-mm: two ends at walls, bars, belt or buckle, and a width a body."""
    if worst_case:
        return 2.0 * (2 * ends_off + sum(widths_off))
    return 2 * sqrt(2 * ends_off * ends_off + sum([off * off for off in widths_off]))


def most_guessed(ends_off: float, widths_off: Sequence[float]) -> float:
    """The same where bodies are only estimated, out to what nobody would believe."""
    return BELIEVED * most_off(ends_off, widths_off, True)
