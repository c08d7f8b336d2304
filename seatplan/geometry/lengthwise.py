"""Along the car: how far each movable seat stands forward of rearmost, so that all behind it have their room.

The points of the chain are the movers, seats or whole sliding rows, and ``FRONT``, where everything stands
rearmost. For a body at a position behind a seat: ``x[seat ahead] - x[own seat] >= need``, since its own row
takes it along when it slides. What does not move stands at ``FRONT``.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from functools import lru_cache
from typing import TYPE_CHECKING, NamedTuple

from seatplan.frozen import frozen
from seatplan.message import Message, in_mm, said

from .chain import Addend, Solution, Squeeze, Step, solve, squeeze_of
from .tolerance import estimates_in, of_steps

if TYPE_CHECKING:
    from collections.abc import Iterator

    from .ahead import Need

#: the point that stands for "rearmost"
FRONT = "front"
#: two seats of a row that slide together, apart from the rest of it
_TOGETHER = "{left} with {right}"


class Mover(NamedTuple):
    """A seat (``key``: its position), a sliding row (``row 2``) or a part of one (``together``) that may stand up to
    ``travel_mm`` forward of rearmost; ``limit_mm``: as far as its occupant can live with, ``why`` says who: ``driver
    forward at most``. ``off_mm``: what the one that counts may be off; ``estimated``: the limit is only reckoned from
    stature. ``beyond_mm``: what of the travel lies beyond where anybody may sit in it."""

    key: str
    travel_mm: int
    limit_mm: int | None = None
    why: str = ""
    off_mm: float = 0.0
    estimated: bool = False
    beyond_mm: int = 0

    @property
    def most(self) -> Addend:
        """The bound that counts, as room that is there."""
        if self.limit_mm is not None and self.limit_mm <= self.travel_mm:
            return Addend(self.why or said("{key} forward at most", key=self.key), -self.limit_mm, self.off_mm,
                          estimated=self.why if self.estimated else "")
        if self.beyond_mm:
            return Addend(said("{key} comes forward, with nobody in it, at most", key=self.key), -self.travel_mm,
                          self.off_mm)
        return Addend(said("{key} slides at most", key=self.key), -self.travel_mm, self.off_mm)


@frozen
class Behind:
    """A body that needs the seat ahead ``need_mm`` forward of rearmost; braced, exactly there. ``seat_ahead`` is
    ``FRONT`` where what is ahead cannot move. ``addends`` add up to the need; ValueError if they do not."""

    rider: str
    position: str
    seat_ahead: str
    need_mm: int
    braced: bool
    addends: tuple[Addend, ...]

    def __post_init__(self) -> None:
        if sum(addend.mm for addend in self.addends) != self.need_mm:
            raise ValueError(f"the addends of {self.rider} at {self.position} do not come to {self.need_mm}")


class Sum(NamedTuple):
    """A way round through the seats: what its bodies need less what is there, mm, and what that may be off."""

    over: float
    off: float
    steps: tuple[Step, ...]
    guess: float = 0.0                # what of ``off`` is only estimated

    @property
    def close(self) -> bool:
        """Whether what it may be off decides."""
        return self.over > -self.off

    @property
    def estimates(self) -> tuple[str, ...]:
        """What in it is only estimated."""
        return estimates_in(self.steps)


def behind(
    rider: str, position: str, seat_ahead: str, need: Need, braced: bool = False, free_off_mm: float = 0.0,
) -> Behind:
    """A body with the need that was found for it; ``free_off_mm``: what the free length may be off. ValueError if
    the need has no number."""
    if need.mm is None:
        raise ValueError(f"nothing is known of the room that {rider} needs at {position}")
    what = said("what stands ahead") if seat_ahead == FRONT else seat_ahead
    addends = [
        Addend(
            said("{part} ({height} up)", part=need.part, height=in_mm(need.height)),
            need.reach,
            need.off,
            said("reach at {position}", position=position),
            need.part if need.estimated else "",
        )
    ]
    if need.clearance:
        addends.append(Addend(said("gap to {what}", what=what), need.clearance))
    addends.append(
        Addend(
            said("free to {what} at rearmost", what=what) if what == seat_ahead else said("free to {what}", what=what),
            -need.free,
            free_off_mm,
            said("free at {position}", position=position),
        )
    )
    return Behind(rider, position, seat_ahead, need.mm, braced, tuple(addends))


def lengthwise_steps(bodies: Sequence[Behind], movers: Sequence[Mover]) -> list[Step]:
    """The system for the chain engine. Only the room of a body that need not touch stretches.

    A seat that moves by itself counts as itself, not as its row.
    """
    keys = {mover.key for mover in movers}
    steps: list[Step] = []
    for mover in movers:
        steps.append(Step(FRONT, mover.key, 0, False, ()))
        steps.append(Step(mover.key, FRONT, round(2 * mover.most.mm), False, (mover.most,)))
    for body in bodies:
        own, ahead = mover_of(body.position, keys), mover_of(body.seat_ahead, keys)
        steps.append(Step(own, ahead, 2 * body.need_mm, not body.braced, body.addends))
        if body.braced:
            steps.append(
                Step(
                    ahead,
                    own,
                    -2 * body.need_mm,
                    False,
                    tuple(
                        Addend(said("to brace: {label}", label=a.label), -a.mm, a.tolerance, a.length or a.label,
                               a.estimated)
                        for a in body.addends
                    ),
                )
            )
    return steps


def solve_lengthwise(bodies: Sequence[Behind], movers: Sequence[Mover]) -> Solution | Squeeze:
    """Where each mover stands (half-mm forward of rearmost): as far back as it may, for the sake of whoever
    sits there. The spare is what every body could need on top. Otherwise the sum that overshoots by most."""
    steps = lengthwise_steps(bodies, movers)
    answer = solve(steps, FRONT)
    if isinstance(answer, Squeeze):
        return max((squeeze_of(cycle) for cycle in _cycles(steps)), key=lambda s: (s.short, -len(s.steps)))
    return answer._replace(at=_rearmost(steps))


def sums(bodies: Sequence[Behind], movers: Sequence[Mover], worst_case: bool = False) -> list[Sum]:
    """Every sum that a body is in, each with what exactly its own lengths may be off: the root of the sum of their
    squares, or ``worst_case`` the plain sum. A braced body and its own brace cancel out and are none."""
    steps = lengthwise_steps(bodies, movers)
    bounds = set(steps[:2 * len(movers)])
    found = []
    for cycle in _cycles(steps):
        if bounds.issuperset(cycle):
            continue
        if len(cycle) == 2 and _cancel(*cycle):
            continue
        off = of_steps(cycle)
        found.append(Sum(sum(step.need for step in cycle) / 2, off.worst if worst_case else off.likely, tuple(cycle),
                         off.guess))
    return found


def _cancel(one: Step, other: Step) -> bool:
    """Whether two steps are a body and its own brace."""
    return {a.length or a.label for a in one.addends} == {a.length or a.label for a in other.addends}


def stands_mm(answer: Solution) -> dict[str, int]:
    """Forward of rearmost in mm, by mover. Needs and travels are whole mm, so nothing is rounded."""
    return {key: half // 2 for key, half in sorted(answer.at.items()) if key != FRONT}


def together(seats: Sequence[str]) -> str:
    """The key of one or two seats that slide together, apart from the rest of their row."""
    return seats[0] if len(seats) == 1 else said(_TOGETHER, left=seats[0], right=seats[1])


def mover_of(position: str, keys: Collection[str]) -> str:
    """What a position moves with: itself, its row, its part of the row, or nothing."""
    if position in keys:
        return position
    row = _row_of(position)
    if row in keys:
        return row
    return next((key for key in keys if isinstance(key, Message) and key.template == _TOGETHER
                 and position in key.fields.values()), FRONT)


@lru_cache(maxsize=256)
def _row_of(position: str) -> str:
    return said("row {position}", position=position[0])


def _rearmost(steps: Sequence[Step]) -> Mapping[str, int]:
    """Longest paths from FRONT: the least x of a system that has a solution. No mover stands below 0, so all
    may start there."""
    at = dict.fromkeys((FRONT, *(point for s in steps for point in (s.start, s.end))), 0)
    moved = True
    while moved:
        moved = False
        for s in steps:
            if at[s.start] + s.need > at[s.end]:
                at[s.end], moved = at[s.start] + s.need, True
    return at


def _cycles(steps: Sequence[Step]) -> Iterator[list[Step]]:
    """Every simple cycle, each from FRONT where it passes there. A car has few movers."""
    points = sorted({p for step in steps for p in (step.start, step.end)}, key=lambda p: (p != FRONT, p))
    for i, first in enumerate(points):
        yield from _closing([], first, first, set(points[i:]), steps)


def _closing(
    path: list[Step], at: str, first: str, free: set[str], steps: Sequence[Step],
) -> Iterator[list[Step]]:
    for step in steps:
        if step.start != at:
            continue
        if step.end == first:
            yield [*path, step]
        elif step.end in free:
            yield from _closing([*path, step], step.end, first, free - {step.end}, steps)
