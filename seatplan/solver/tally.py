"""The exact tally: every seating there is = valid + placement + contest + squeeze.

A seating gives every rider a position and a mode of a kind of restraint (or the seat belt); restraints that are
alike are one kind, so a swap of copies is no other seating. Each is counted once, under the first of these that holds:
some rider's choice is blocked by itself (placement); two riders want one position, or more want a kind of restraint
than there are copies, or two may not sit like that in one row (contest); they do not fit side by side (squeeze); a rule
of the whole trip turns it down (contest); otherwise it is valid.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import field
from math import prod

from seatplan.frozen import frozen

from .placements import Assignment
from .resources import Resources
from .rowplans import CONTESTED, LEVELS, TOO_TIGHT, UNSURE


@frozen
class Tally:
    """Counts of seatings. ``complete`` is False when the search hit its limit: then all counts are lower bounds.

    ``contests`` splits contest by what was wanted twice; ``sure`` splits valid by how sure it is.
    """

    seatings: int
    valid: int
    placement: int
    contest: int
    squeeze: int
    contests: dict[str, int] = field(default_factory=dict)
    sure: dict[str, int] = field(default_factory=dict)
    complete: bool = True


def tally(per_rider: Sequence[Sequence[Assignment]], levels: Sequence[int], blocked_together: Sequence[int],
          doubted: Sequence[int], complete: bool, resources: Resources) -> Tally:
    """Add up. ``levels`` counts the seatings with no position wanted twice and enough of every restraint, by level;
    ``blocked_together`` says how many of each level a rule of the whole trip turns down, ``doubted`` how many it
    makes unmeasured."""
    seatings = prod(len(choices) for choices in per_rider)
    open_choices = [[choice for choice in choices if choice.cells] for choices in per_rider]
    unblocked = prod(len(choices) for choices in open_choices)
    apart = _positions_differ(open_choices, resources)
    kept = [n - b for n, b in zip(levels, blocked_together, strict=True)]
    valid = sum(kept[:TOO_TIGHT])
    squeeze = levels[TOO_TIGHT]
    sure = {LEVELS[level]: kept[level] - doubted[level] for level in range(UNSURE)}
    contests = {
        "position": unblocked - apart,
        "restraint": apart - sum(levels),
        "together": levels[CONTESTED] + sum(blocked_together),
    }
    return Tally(
        seatings, valid, seatings - unblocked, unblocked - valid - squeeze, squeeze,
        contests, {**sure, LEVELS[UNSURE]: valid - sum(sure.values())}, complete,
    )


def _positions_differ(per_rider: Sequence[Sequence[Assignment]], resources: Resources) -> int:
    """How many ways to pick one choice a rider with no position wanted twice: riders seated one position at a time.

    A state is who is seated, a bit a rider, and above that which positions they use beside their own."""
    riders = len(per_rider)
    at: dict[int, dict[tuple[int, int], int]] = {}
    for r, choices in enumerate(per_rider):
        for choice in choices:
            if not resources.never(choice):
                one = r, 1 << r | resources.seats_of(choice) << riders
                counts = at.setdefault(choice.position, {})
                counts[one] = counts.get(one, 0) + 1
    everybody, guard = (1 << riders) - 1, resources.shared.guard << riders
    if len(at) < riders:
        return 0
    seated = {0: 1}
    left = len(at)
    for counts in at.values():
        left -= 1
        following = dict(seated)
        for state, n in seated.items():
            for (r, uses), ways in counts.items():
                grown = state + uses
                if not state >> r & 1 and not grown & guard:
                    following[grown] = following.get(grown, 0) + n * ways
        seated = {state: n for state, n in following.items() if (everybody & ~state).bit_count() <= left}
    return sum(n for state, n in seated.items() if state & everybody == everybody)
