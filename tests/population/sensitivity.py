"""Print which assumed range moves which share of failing pairs, by how many points, beside the published shares.

    python tests/population/sensitivity.py [PAIRS]

Each range in turn is held near its lower and near its upper end (`population_ranges.ENDS`), all others drawn as before
and the same for both, so that what a share changes by is that range's doing. A share that no published number stands
beside, or that differs from it, fails nothing: the ranges are assumed.
"""

from __future__ import annotations

import sys
from collections.abc import Iterator
from dataclasses import dataclass, replace

from population import CAUSES, PUBLISHED, failings, held, pairs, shares
from population_ranges import ENDS, NAMES, Even, Ranges

#: a move of less is left out, points
_LEAST = 1.0
#: as many as Hu, Manary, Klinich, Reed 2015 held the envelopes to
_VEHICLES = 26


@dataclass(frozen=True)
class Move:
    """What a share is with one range held near its lower and near its upper end."""

    name: str
    low: float
    high: float

    @property
    def points(self) -> float:
        return self.high - self.low


def moves(n: int) -> dict[str, list[Move]]:
    """By cause, every range that moves it, most first."""
    at_ends = {name: [shares(pairs(n, held(name, end))) for end in ENDS] for name in NAMES}
    return {cause: sorted((Move(name, low[cause], high[cause]) for name, (low, high) in at_ends.items()
                           if abs(high[cause] - low[cause]) >= _LEAST), key=lambda move: -abs(move.points))
            for cause in CAUSES}


def report(n: int) -> Iterator[str]:
    """The lines."""
    drawn, moved = shares(pairs(n)), moves(n)
    yield f"{n} made-up pairs; per cent that fail, and what moves it: a range held at {ENDS[0]:.0%} and {ENDS[1]:.0%}"
    yield f"{'cause':<30}{'ours':>6}  {'published':<10} {'range':<22}{'low':>6}{'high':>7}{'points':>8}"
    for cause in CAUSES:
        head = f"{cause:<30}{drawn[cause]:>6.1f}  {PUBLISHED[cause]:<10}"
        if not moved[cause]:
            yield f"{head} nothing by {_LEAST:g} or more"
        for move in moved[cause]:
            yield f"{head} {move.name:<22}{move.low:>6.1f}{move.high:>7.1f}{move.points:>+8.1f}"
            head = " " * len(head)
    yield from fixtures()


def fixtures() -> Iterator[str]:
    """How many of 26 second rows take the largest forward-facing fixtures behind a front seat at mid-track: as drawn,
    and with what UN R16 tests with."""
    # Annex 17 App. 2 para. 2.2: the seat ahead no further forward than mid-track, its back no more upright than 15
    # degrees
    rearmost = replace(Ranges(), mid_track_forward=Even(110, 110))
    ways = {"as drawn": Ranges(), "distance taken with the front seat rearmost": rearmost,
            "back of the front seat at 15 degrees (UN R16)": replace(Ranges(), front_back_leans=Even(15, 15)),
            "both": replace(rearmost, front_back_leans=Even(15, 15))}
    yield f"of {_VEHICLES} second rows that take the fixture behind the driver (published: 26, of the largest)"
    for way, ranges in ways.items():
        refused = [failings(pair) for pair in pairs(_VEHICLES, ranges)]
        counts = [sum(f"FF {name} room ahead" not in found for found in refused) for name in ("F3", "F2X")]
        yield f"  {way:<46}F3 {counts[0]:>3}  F2X {counts[1]:>3}"


if __name__ == "__main__":
    for line in report(int(sys.argv[1]) if len(sys.argv) > 1 else 150):
        print(line)
