"""One change that a person could make, as data."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import field
from typing import Literal

from seatplan.frozen import frozen
from seatplan.model import Restraint, Trip

#: bundled word -> restraint: what could be bought
Shelf = Mapping[str, Restraint]
#: what the search has to look at again: the new restraint's placements, those at one position, the car lengthwise,
#: what was asked for, or whether the rider comes along at all
Touches = Literal["restraint", "position", "front", "wish", "rider"]


@frozen
class Change:
    """What to change; which of the fields are used depends on the kind.

    ``thing`` is a tether anchor, or the rule of a wish; ``asked`` what was wished. ``mm`` is the new limit where there
    is one: how far forward a seat stands, how wide a restraint may be at most; ``was_mm`` what it is now. ``word`` is
    how the file names a bundled restraint, ``restraint`` what it is called then, ``renamed`` whether that is not its
    own name.
    """

    kind: str
    riders: tuple[str, ...] = ()
    restraint: str = ""
    position: str = ""
    thing: str = ""
    asked: str = ""
    word: str = ""
    renamed: bool = False
    mm: int | None = None
    was_mm: int | None = None
    new: Restraint | None = field(default=None, compare=False, repr=False)


@frozen
class ChangeKind:
    """An entry of the catalogue. ``effort`` ranks: the less, the sooner it is told. ``offers`` yields every change of
    this kind that the trip's files allow; ``apply`` makes it."""

    name: str
    title: str
    effort: int
    touches: Touches
    offers: Callable[[Trip, Shelf], Iterator[Change]]
    apply: Callable[[Trip, Change], Trip]


Offers = Callable[[Trip, Shelf], Iterator[Change]]
Apply = Callable[[Trip, Change], Trip]


def change(name: str, *, title: str, effort: int, touches: Touches, apply: Apply) -> Callable[[Offers], ChangeKind]:
    """Make an entry of the catalogue of the function that offers its changes."""

    def make(offers: Offers) -> ChangeKind:
        return ChangeKind(name, title, effort, touches, offers, apply)

    return make
