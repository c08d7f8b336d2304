"""Names of a trip: each once, and there wherever it is used."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from seatplan.message import Word, said
from seatplan.model import Trip

from .errors import near_word
from .places import Found, Loc


def positions_of(trip: Trip) -> list[str]:
    """The positions of its vehicle, front row first."""
    return [position.position for position in trip.vehicle.positions()]


def riders_of(trip: Trip) -> list[str]:
    return [rider.rider for rider in trip.riders]


def restraints_of(trip: Trip) -> list[str]:
    """Those that it brings, and those that are built into its vehicle."""
    brought = [restraint.restraint for restraint in trip.restraints if restraint.built_into is None]
    return [*brought, *(restraint.restraint for restraint in trip.vehicle.built_in())]


def known(loc: Loc, name: str, names: Iterable[str], what: str) -> Found:
    """That a name is one of those there are; ``what`` it is the name of."""
    there = list(names)
    if name not in there:
        yield loc, said('no {what} of this trip is called "{name}"; {near_word}', what=Word(what), name=name,
                        near_word=near_word(name, there))


def twice(key: str, names: Sequence[str], what: str, hint: str) -> Found:
    """Each name of a list ``key`` that stands there before; ``hint``: what to do about it."""
    for i, name in enumerate(names):
        if name in names[:i]:
            yield (key, i), said('{what} "{name}" is named twice; {hint}', what=Word(what), name=name, hint=hint)
