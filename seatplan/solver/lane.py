"""What the bodies of some rows ask of the seats ahead and what they take, and what becomes of it."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from typing import NamedTuple, Protocol, TypeVar

from seatplan.fields import Missing
from seatplan.geometry.chain import Solution, Squeeze
from seatplan.geometry.lengthwise import FRONT, mover_of

from .rowplans import Level


class Ask(NamedTuple):
    """A body at ``position`` needs ``seat_ahead`` so far forward of rearmost; ``off_mm``: its reach and the free
    length together may be off by so much; ``estimated`` names what in it is, and ``guess_mm`` is how
    much of that; ``assumed``: what of it nobody measured, and that was taken as it needs most room."""

    position: str
    seat_ahead: str
    need_mm: int
    braced: bool
    off_mm: float
    estimated: str = ""
    guess_mm: float = 0.0
    assumed: str = ""


class LengthwiseDemand(NamedTuple):
    """``asks`` of the seats ahead, the movable seats that somebody ``takes``, and those that stay ``rearmost`` because
    a child rides in them before an airbag that can fire."""

    asks: tuple[Ask, ...] = ()
    takes: tuple[str, ...] = ()
    rearmost: tuple[str, ...] = ()


class Along(NamedTuple):
    """What becomes of a lane: its level, the chain's answer (None where nothing is asked), what its tight sum may
    be off, the seat whose occupant's limit nobody gave although it counts, and what counts although it is only
    estimated. ``lacking``: what is to be measured, where it hangs on an outline or a length that was only assumed;
    ``of`` the seats whose bodies each of those is about."""

    level: Level
    answer: Solution | Squeeze | None
    off_mm: float = 0.0
    unknown: str = ""
    estimates: tuple[str, ...] = ()
    lacking: Missing | None = None
    of: tuple[tuple[str, str], ...] = ()


class Asking(Protocol):
    """Whoever asks something of a seat ahead."""

    @property
    def position(self) -> str: ...

    @property
    def seat_ahead(self) -> str: ...


Asks = TypeVar("Asks", bound=Asking)


def apart(asks: Sequence[Asks], movers: Collection[str]) -> list[tuple[Asks, ...]]:
    """Those who ask, in groups that meet in no seat or row that moves. No sum runs through two of them."""
    groups: list[tuple[set[str], tuple[Asks, ...]]] = []
    for ask in asks:
        own = {mover_of(seat, movers) for seat in (ask.position, ask.seat_ahead)} - {FRONT}
        met: tuple[Asks, ...] = ()
        others = []
        for keys, group in groups:
            if keys & own:
                own |= keys
                met += group
            else:
                others.append((keys, group))
        groups = [*others, (own, (*met, ask))]
    return [group for _, group in groups]
