"""What a vehicle may have aboard while it carries a booking: what a way needs, and what is left in beside it.

A piece that nobody uses may stay where it is in a row that is neither one in which somebody of the booking rides nor
next to one, since a restraint may take room from the seat ahead, and a seat from the restraint behind it. A row that
is not known is next to all.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping
from itertools import combinations

from .floor import Choice, pieces
from .records import Load, Piece

#: so many pieces that could stay in beside a booking are looked at in every combination
MOST_BESIDE = 8


def with_load(choices: Iterable[Choice], load: Load, rows: Mapping[str, int]) -> dict[Load, Choice]:
    """The best way to ride with just this load, if there is one. ``choices``: best first."""
    for choice in choices:
        own = set(pieces(choice.way))
        if own <= set(load) and apart(set(load) - own, ridden(choice), rows):
            return {load: choice}
    return {}


def ridden(choice: Choice) -> set[str]:
    """Where somebody sits."""
    return {seat.position for seat in choice.way.seats}


def apart(rest: Iterable[Piece], taken: Iterable[str], rows: Mapping[str, int]) -> bool:
    """Whether pieces that nobody uses stand where they are in nobody's way."""
    pieces_left = list(rest)
    near = {rows.get(position) for position in taken}
    if not pieces_left or None in near:
        return not pieces_left
    return all((row := rows.get(position)) is not None and near.isdisjoint({row - 1, row, row + 1})
               for _, position, _ in pieces_left)


class Beside:
    """The loads of one group of vehicles. ``choices``: by booking, best first; ``installed``: what its vehicles have
    aboard when the day begins; ``kinds``: of which their depot has a copy. A piece that nobody uses is there from the
    beginning, left in after a booking, or put in ahead for one. ``most``: where more pieces could stay in beside a way,
    all of what another way needs or a vehicle has is looked at, and no other combination."""

    def __init__(self, choices: Mapping[int, tuple[Choice, ...]], installed: Collection[Load],
                 rows: Mapping[str, int], kinds: Collection[str], most: int = MOST_BESIDE) -> None:
        self.choices, self.rows, self.most = choices, rows, most
        self.known = {pieces(choice.way) for told in choices.values() for choice in told} | set(installed)
        self.all = sorted({piece for load in self.known for piece in load if piece[0] in kinds})
        #: bookings of which not every load was looked at
        self.cut: set[int] = set()

    def loads(self, number: int) -> dict[Load, Choice]:
        """By load, the best way to carry a booking with it."""
        found: dict[Load, Choice] = {}
        for choice in self.choices[number]:
            own = pieces(choice.way)
            there = [piece for piece in self.all if piece not in own and apart([piece], ridden(choice), self.rows)]
            if len(there) > self.most:
                self.cut.add(number)
            for rest in self._rests(there):
                found.setdefault(tuple(sorted((*own, *rest))), choice)
        return found

    def _rests(self, there: Collection[Piece]) -> Iterator[Load]:
        """What could be left in, nothing first."""
        if len(there) > self.most:
            rests = {tuple(piece for piece in load if piece in there) for load in self.known} | {()}
        else:
            rests = {rest for n in range(len(there) + 1) for rest in combinations(sorted(there), n)}
        yield from (rest for rest in sorted(rests) if _one_each(rest))


def _one_each(rest: Load) -> bool:
    return len({position for _, position, _ in rest}) == len(rest)
