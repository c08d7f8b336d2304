"""The rooms of many cells at once: some cells side by side with each of others at their right."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import reduce
from typing import TYPE_CHECKING, Any

import numpy as np

from seatplan.frozen import frozen
from seatplan.geometry.across import ROUNDING, Alone, RowSpace
from seatplan.geometry.prefix import Prefix
from seatplan.geometry.tolerance import BELIEVED
from seatplan.rules.options import Options

from .place import BodyInRow, Place
from .ranking import ROOM_CAP_MM
from .rowplans import ASK, CLOSE_FIT, FITS, TOO_TIGHT, UNSURE, RoomsBeside

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Flags = NDArray[np.bool_]


@frozen(eq=False)
class _Said:
    """What is said of each body of a place by itself."""

    guessed: Flags
    lacks: Flags
    covers: Flags
    buckle_lacks: Flags

    @staticmethod
    def of(bodies: Sequence[BodyInRow]) -> _Said:
        told = [(body.guessed, body.lacks, body.covers, body.buckle_lacks) for body in bodies]
        return _Said(*np.array(told, dtype=bool).T)


class Beside:
    """The rooms of one row, many at once."""

    def __init__(self, space: RowSpace, alone: Callable[[BodyInRow], Alone], options: Options) -> None:
        self._space, self._alone, self._options = space, alone, options
        self._said: dict[int, _Said] = {}
        self._alones: dict[int, tuple[Flags, Flags]] = {}

    def rooms(self, left: Sequence[BodyInRow], prefix: Prefix, places: Sequence[Place]) -> list[RoomsBeside]:
        """What can be told of the rooms of some bodies, whose sums are ``prefix``, with each that may come to one or
        two places at their right: for each of the last place but one (one where there is none)."""
        sums = self._space.sums_of_many(prefix, [body.seat for body in left],
                                        [tuple([body.seat for body in place.bodies]) for place in places])
        said = [_Said.of([body]) for body in left] + [self._said_of(place) for place in places]
        over, spare = _table(sums.shortfall()), _table(sums.spare_mm(ROOM_CAP_MM))
        guess = _together(np.logical_or, [one.guessed for one in said])
        most = _table(np.where(guess, sums.most_guessed(), sums.most_off(self._options.worst_case))) + ROUNDING
        # beyond the ends of its estimates too, a row is short
        short = over > np.where(guess, most / BELIEVED, most) + ROUNDING
        unsure = _together(np.logical_or, [one.lacks for one in said]) | (
            _together(np.logical_or, [one.covers for one in said])
            & _together(np.logical_or, [one.buckle_lacks for one in said]))
        level = np.where(unsure, int(UNSURE), np.full(over.shape, int(FITS)))
        # what the tape may be off decides, of one by itself; of several together it is to be looked at sum by sum
        hangs = ~short & (-most < over)
        if hangs.any():
            plain, close = self._by_themselves(left, places)
            level[hangs & ~unsure & close] = CLOSE_FIT
            level[hangs & ~(plain & (_table(sums.meeting) <= -most))] = ASK
        tight = short | unsure if self._options.strict else short
        level[tight & (level != ASK)] = TOO_TIGHT
        much = np.where(short, over, np.where(tight, 1, ROOM_CAP_MM - spare))     # points of the room, or half-mm
        columns = places[-1].columns
        return [RoomsBeside(*row) for row in zip(level[:, columns].tolist(), much[:, columns].tolist(), strict=True)]

    def _said_of(self, place: Place) -> _Said:
        kept = self._said.get(place.number)
        if kept is None:
            kept = self._said[place.number] = _Said.of(place.bodies)
        return kept

    def _by_themselves(self, left: Sequence[BodyInRow], places: Sequence[Place]) -> tuple[Any, Any]:
        """Whether all have room between their own limits, and whether one of them is close there."""
        told = [_alones([self._alone(body)]) for body in left]
        for place in places:
            kept = self._alones.get(place.number)
            if kept is None:
                kept = self._alones[place.number] = _alones([self._alone(body) for body in place.bodies])
            told.append(kept)
        return (_together(np.logical_and, [plain for plain, _ in told]),
                _together(np.logical_or, [close for _, close in told]))


def _alones(told: Sequence[Alone]) -> tuple[Flags, Flags]:
    return np.array([one.plain for one in told]), np.array([one.close for one in told])


def _together(put: np.ufunc, said: Sequence[Flags]) -> Any:
    """What is said of all: a row for each body of the last place but one, a column for each of the last."""
    *before, last = said
    return reduce(put, [*[one[:, None] for one in before], last[None]])


def _table(found: Any) -> Any:
    """A row for each body of the last place but one."""
    return np.atleast_2d(found)
