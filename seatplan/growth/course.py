"""Which arrangement when: of all ways to go through the stretches, the one with the fewest moves, and the one that
begins with what is recommended for the first day and then keeps each child longest in the most protective mode.

Both are exact over the seatings that were looked at: stretch by stretch, the best way to each seating from each seating
of the stretch before. A move is one rider who changes seat, restraint or mode.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import date
from itertools import combinations
from typing import Literal

from seatplan.frozen import frozen
from seatplan.model import Installed
from seatplan.solver.ranking import stage

from .solved import Place, Rated, Seating
from .stretches import Stretch

Aim = Literal["protection", "moves"]

#: seatings times subsets of riders that one stretch may take; beyond it the best of each kind are kept
_MOST_WORK = 40_000

_Cost = tuple[int, ...]


@frozen
class Leg:
    """One arrangement and the days it is for, both included; seating None: nothing at hand works."""

    first: date
    last: date
    seating: Seating | None
    moves: int                        # to get here from the leg before, or from how they ride now

    @property
    def days(self) -> int:
        return (self.last - self.first).days + 1


@frozen
class Course:
    """Legs from the first day to the last. ``complete`` is False where not every seating was looked at."""

    aim: Aim
    legs: tuple[Leg, ...]
    complete: bool

    @property
    def moves(self) -> int:
        return sum(leg.moves for leg in self.legs)

    def on(self, day: date) -> Leg:
        return next(leg for leg in self.legs if leg.first <= day <= leg.last)


def course(stretches: Sequence[Stretch], current: Mapping[str, Installed], aim: Aim) -> Course:
    """The best way through. ``current``: how they ride now, by rider."""
    complete = all(stretch.solved.complete for stretch in stretches)
    now = riding_now(stretches[0], current) if stretches else {}
    best: dict[Seating, _Cost] = {}
    back: list[dict[Seating, Seating | None]] = []
    subsets = _Subsets()
    for stretch in stretches:
        states, whole = _kept(stretch)
        complete = complete and whole
        if not states:
            back.append({})
            continue
        arrived: dict[Seating, _Cost] = {}
        came: dict[Seating, Seating | None] = {}
        ways = _Ways(best, subsets) if best else None
        for seating, rated in states.items():
            today = rated.rank if stretch is stretches[0] else 0
            moved, before, so_far = ways.to(seating) if ways else (_from_now(seating, now), None, None)
            arrived[seating] = _sum(so_far, _step(aim, moved, rated, stretch.days, today))
            came[seating] = before
        best = arrived
        back.append(came)
    return Course(aim, _legs(stretches, _walk(best, back), now), complete)


class _Ways:
    """The cheapest way on from the seatings of one stretch, by which riders stay where they are."""

    def __init__(self, best: Mapping[Seating, _Cost], subsets: _Subsets) -> None:
        self._subsets = subsets
        # with what comes before the moves in a cost: it is compared most
        self._by_kept: dict[int, tuple[_Cost, Seating, _Cost]] = {}
        for seating, cost in best.items():
            first = cost[:cost[-1]]
            for kept in subsets.of(seating):
                told = self._by_kept.get(kept)
                if told is None or cost < told[0]:
                    self._by_kept[kept] = cost, seating, first

    def to(self, seating: Seating) -> tuple[int, Seating, _Cost]:
        """Moves, the seating before, and its cost so far.

        The last is compared first: only moves made on the way count after it, and those are bounded by the riders.
        """
        found: tuple[_Cost, int, Seating] | None = None
        least: tuple[_Cost, int] | None = None
        least_first: _Cost = ()
        there = 0
        for kept in self._subsets.of(seating):
            told = self._by_kept.get(kept)
            if told is None:
                continue
            cost, before, first = told
            if found is None:
                riders = {place.rider for place in before}
                there = self._subsets.mask(place for place in seating if place.rider in riders)
            elif first > least_first:                # whatever is moved comes after that
                continue
            moved = (there & ~kept).bit_count()
            so_far = _plus(cost, moved)
            if least is None or so_far < least:
                found, least, least_first = (cost, moved, before), so_far, first
        if found is None:
            raise RuntimeError("no way on: the empty set of riders is kept by every way")
        return found[1], found[2], found[0]


def _plus(cost: _Cost, moved: int) -> tuple[_Cost, int]:
    """The cost with the moves of this step in their place, for comparing ways to one seating."""
    at = cost[-1]                     # the index of the moves within a cost
    return (*cost[:at], cost[at] + moved, *cost[at + 1:]), moved


def _step(aim: Aim, moves: int, rated: Rated, days: int, today: int) -> _Cost:
    """What a stretch adds, most important first; the last number says where the moves stand. ``today`` is the rank of
    the first day's: what comes first is what is recommended for today, and the rest follows from there. What may be
    outgrown on some day to come is measured by then: that never turns a child forward beforehand."""
    protection, unsure = rated.protection * days, days if rated.unsure else 0
    if aim == "moves":
        return moves, unsure, protection, rated.cautions * days, rated.wishes * days, rated.rank, 0
    return today, protection, unsure, rated.cautions * days, moves, rated.wishes * days, rated.rank, 4


def _sum(before: _Cost | None, step: _Cost) -> _Cost:
    if before is None:
        return step
    return (*(a + b for a, b in zip(before[:-1], step[:-1], strict=True)), step[-1])


class _Subsets:
    """Sets of places as whole numbers with a bit for each place."""

    def __init__(self) -> None:
        self._bits: dict[Place, int] = {}
        self._kept: dict[Seating, tuple[int, ...]] = {}

    def mask(self, places: Iterable[Place]) -> int:
        """Some places, each once."""
        return sum([self._bits.setdefault(place, 1 << len(self._bits)) for place in places])

    def of(self, seating: Seating) -> tuple[int, ...]:
        """Every subset of a seating, the largest first."""
        kept = self._kept.get(seating)
        if kept is None:
            bits = [self.mask((place,)) for place in seating]
            kept = self._kept[seating] = tuple(
                [sum(some) for n in range(len(bits), -1, -1) for some in combinations(bits, n)])
        return kept


def _kept(stretch: Stretch) -> tuple[dict[Seating, Rated], bool]:
    """The seatings to choose from: all, or the best by protection and the best by rank."""
    seatings = stretch.solved.seatings
    riders = len(next(iter(seatings), ()))
    most = max(20, _MOST_WORK >> riders)
    if len(seatings) <= most:
        return seatings, True
    by_protection = sorted(seatings.items(), key=lambda item: (item[1].protection, item[1]))[:most // 2]
    by_rank = sorted(seatings.items(), key=lambda item: item[1].rank)[:most - most // 2]
    return dict(sorted([*by_protection, *by_rank], key=lambda item: item[1].rank)), False


def moves_between(before: Seating, after: Seating) -> int:
    """How many riders of both change seat, restraint or mode."""
    was = {place.rider: place for place in before}
    return sum(place.rider in was and was[place.rider] != place for place in after)


def riding_now(first: Stretch, current: Mapping[str, Installed]) -> dict[str, Place]:
    """How they ride now. The file names seat and restraint: the mode is taken to be the most protective one that is
    valid there, so that turning a child early is a move and never saves one."""
    found: dict[str, tuple[int, Place]] = {}
    for seating in first.solved.seatings:
        for place in seating:
            here = current.get(place.rider)
            if here is None or (here.position, here.restraint) != (place.position, place.restraint):
                continue
            way = stage(place.mode), place
            found[place.rider] = min(found.get(place.rider, way), way, key=lambda item: item[0])
    # where nothing is valid there, whatever comes is a move
    gone = {name: Place(name, here.position, here.restraint, "") for name, here in current.items()}
    return gone | {name: place for name, (_, place) in found.items()}


def _from_now(seating: Seating, now: Mapping[str, Place]) -> int:
    return sum(place.rider in now and now[place.rider] != place for place in seating)


def _walk(best: Mapping[Seating, _Cost], back: Sequence[Mapping[Seating, Seating | None]]) -> list[Seating | None]:
    """The seating of each stretch on the best way, None where there is none."""
    at = min(best, key=lambda seating: best[seating], default=None)
    chosen: list[Seating | None] = []
    for came in reversed(back):
        if not came or at is None:
            chosen.append(None)
            continue
        chosen.append(at)
        at = came[at]
    return chosen[::-1]


def _legs(stretches: Sequence[Stretch], chosen: Sequence[Seating | None],
          now: Mapping[str, Place]) -> tuple[Leg, ...]:
    legs: list[Leg] = []
    before: Seating | None = None
    for stretch, seating in zip(stretches, chosen, strict=True):
        if legs and legs[-1].seating == seating:
            legs[-1] = Leg(legs[-1].first, stretch.last, seating, legs[-1].moves)
            continue
        moves = 0
        if seating is not None:
            moves = _from_now(seating, now) if before is None else moves_between(before, seating)
            before = seating
        legs.append(Leg(stretch.first, stretch.last, seating, moves))
    return tuple(legs)
