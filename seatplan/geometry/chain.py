"""The one engine for both directions: systems of difference constraints, solved exactly.

Choose numbers x so that ``x[end] - x[start] >= need`` for every step. Numbers are whole half-millimetres,
since half of an odd width ends in .5. Feasible: a witness and the spare. Not feasible: the squeeze, a cycle
of steps whose sum cannot come out. Bellman-Ford finds cycles; the spare is a least cycle ratio, approached
from above one cycle at a time (Newton's method on ratios, exact in fractions). At most some twenty points:
no need to be clever.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction
from math import floor
from typing import NamedTuple

from seatplan.message import Message, said

_HALF = "half of {label}"
_BUCKLE = "buckle of {position}"


class Addend(NamedTuple):
    """One line of a sum in mm: a length that is needed (positive) or room that is there (negative). ``length`` tells
    which length it is where the label does not; ``estimated`` names what nobody measured in it, so that the
    tolerance is the spread of people."""

    label: str
    mm: float
    tolerance: float = 0.0            # how far the length may be off, mm
    length: str = ""
    estimated: str = ""


def half_of(label: str) -> Message:
    """How a body's own share of a length is told."""
    return said(_HALF, label=label)


def buckle_of(position: str) -> Message:
    """How the place of a buckle is told."""
    return said(_BUCKLE, position=position)


def is_buckle(label: str) -> bool:
    """Whether a length is the place of a buckle."""
    return isinstance(label, Message) and label.template == _BUCKLE


def whole_of(label: str) -> str:
    """What a length ends at: the part itself, where the length is half of its width."""
    if isinstance(label, Message) and label.template == _HALF:
        whole: str = label.fields["label"]
        return whole
    return label


class Step(NamedTuple):
    """``x[end] - x[start] >= need`` in half-mm. The spare is added to ``stretch`` steps only: separations
    stretch, the bounds of a body's play do not. ``addends`` add up to need, in mm."""

    start: str
    end: str
    need: int
    stretch: bool
    addends: tuple[Addend, ...]


class Solution(NamedTuple):
    """A witness in half-mm with x[anchor] = 0; the spare in mm, the most that every stretch step could need
    on top (None: no limit); and the cycle of steps that limits it. The witness gives every stretch step
    the spare, rounded down to half a mm, so that room is shared out."""

    at: Mapping[str, int]
    spare: Fraction | None
    tight: tuple[Step, ...]


class Squeeze(NamedTuple):
    """A simple cycle of steps whose needs add up to more than nothing: it can hold for no x.

    ``need`` is the sum of its positive addends, ``have`` of its negative ones, ``short`` the difference; in
    mm.
    """

    steps: tuple[Step, ...]
    need: float
    have: float
    short: float


def solve(steps: Sequence[Step], anchor: str, *, overlap: bool = False) -> Solution | Squeeze:
    """Solve a system; ``anchor`` is the point that stands at 0.

    With ``overlap`` a system that lacks room is solved with the least overlap shared out over its stretch steps:
    the spare is negative then. It is for sums that lie within what a tape may be off.
    """
    points = sorted({anchor, *(s.start for s in steps), *(s.end for s in steps)})
    cycle = _cycle(points, steps, Fraction(0))
    if cycle is not None and not overlap:
        return squeeze_of(cycle)
    spare, tight = _spare(points, steps)
    if tight and not any(s.stretch for s in tight):
        return squeeze_of(tight)
    extra = 0 if spare is None else floor(spare * 2)
    witness = _longest(points, steps, extra)
    shift = witness[anchor]
    at = _comfortable(points, steps, extra, {p: x - shift for p, x in witness.items()}, anchor)
    return Solution(at, spare, tight)


def _spare(points: Sequence[str], steps: Sequence[Step]) -> tuple[Fraction | None, tuple[Step, ...]]:
    """The least of -need / (number of stretch steps) over all cycles with a stretch step, in mm."""
    tight: tuple[Step, ...] = ()
    room = sum(abs(s.need) for s in steps) + 1      # more than any cycle could give: finds a limit, if any
    spare = Fraction(room)
    while True:
        cycle = _cycle(points, steps, spare)
        if cycle is None:
            return (spare / 2, tight) if tight else (None, ())
        stretched = sum(s.stretch for s in cycle)
        if not stretched:
            return None, tuple(cycle)               # it cannot hold, whatever the spare
        spare, tight = Fraction(-sum(s.need for s in cycle), stretched), tuple(cycle)


def _longest(points: Sequence[str], steps: Sequence[Step], extra: int) -> dict[str, int]:
    """Longest paths from everywhere: the leftmost x that satisfies all steps, for a feasible system."""
    x = dict.fromkeys(points, 0)
    for _ in points:
        moved = False
        for s in steps:
            least = x[s.start] + s.need + (extra if s.stretch else 0)
            if least > x[s.end]:
                x[s.end], moved = least, True
        if not moved:
            break
    return x


def _comfortable(
    points: Sequence[str], steps: Sequence[Step], extra: int, at: dict[str, int], anchor: str,
) -> dict[str, int]:
    """Move each point to the middle of the room that its neighbours leave it, a few times over: a witness
    that a person would choose rather than one pushed to the left. ``extra`` stays on every stretch step."""
    needs = [(s.start, s.end, s.need + (extra if s.stretch else 0)) for s in steps if s.start != s.end]
    for _ in range(4):
        for p in points:
            if p == anchor:
                continue
            low = max((at[start] + need for start, end, need in needs if end == p), default=None)
            high = min((at[end] - need for start, end, need in needs if start == p), default=None)
            if low is not None and high is not None:
                at[p] = (low + high) // 2
    return at


def _cycle(points: Sequence[str], steps: Sequence[Step], extra: Fraction) -> list[Step] | None:
    """A simple cycle whose needs, with ``extra`` half-mm on every stretch step, add up to more than 0."""
    x = dict.fromkeys(points, 0)                    # in parts of a half-mm, so that whole numbers do
    needs = [(s.start, s.end, s.need * extra.denominator + (extra.numerator if s.stretch else 0), s) for s in steps]
    came: dict[str, Step] = {}
    last = None
    for _ in range(len(points)):
        last = None
        for start, end, need, s in needs:
            least = x[start] + need
            if least > x[end]:
                x[end], came[end], last = least, s, end
        if last is None:
            return None
    point = last
    for _ in points:                                # walk back until surely on the cycle
        point = came[point].start  # type: ignore[index]  # a point that still moves has a predecessor
    cycle, at = [], point
    while True:
        step = came[at]  # type: ignore[index]
        cycle.append(step)
        at = step.start
        if at == point:
            return cycle[::-1]


def squeeze_of(cycle: Sequence[Step]) -> Squeeze:
    """The sum of a cycle of steps."""
    addends = [addend.mm for s in cycle for addend in s.addends]
    need = sum(mm for mm in addends if mm > 0)
    have = -sum(mm for mm in addends if mm < 0)
    return Squeeze(tuple(cycle), need, have, need - have)
