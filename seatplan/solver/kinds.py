"""Restraints that are alike: one kind with a count.

Restraints are alike when their content is equal but for the copy's own name, day made and expiry and what is unlikely
about them included, and nothing in the trip names one of them. Which child has which copy then changes nothing, so the
search takes them as one kind, which goes by its first copy; names are given out when an arrangement is worked out.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from seatplan.frozen import frozen
from seatplan.model import Believed

if TYPE_CHECKING:
    from seatplan.model import Restraint, Trip
    from seatplan.rules.subjects import Placement


@frozen(eq=False)
class Kinds:
    """``first[i]``: the first restraint that restraint i is alike with, itself where there is none before it; all
    are indexes of ``restraints``, which are the trip's."""

    restraints: tuple[Restraint, ...]
    first: tuple[int, ...]

    def copies(self, restraint: int) -> tuple[int, ...]:
        """All restraints alike with one, in the order of the file; only itself where it is none of the trip's."""
        if not 0 <= restraint < len(self.first):
            return (restraint,)
        return tuple(i for i, first in enumerate(self.first) if first == self.first[restraint])

    def kinds(self) -> tuple[int, ...]:
        """The first copy of each kind."""
        return tuple(i for i, first in enumerate(self.first) if i == first)

    def names(self, restraint: int) -> tuple[str, ...]:
        """The names of all its copies."""
        return tuple(self.restraints[i].restraint for i in self.copies(restraint))

    def index(self, name: str | None) -> int | None:
        """The kind of the restraint of that name; None if there is none."""
        return next((self.first[i] for i, r in enumerate(self.restraints) if r.restraint == name), None)

    def named(self, name: str | None) -> tuple[str, ...]:
        """The names of all restraints alike with the one of that name, in the order of the file; nothing for a name
        that the trip does not have."""
        kind = self.index(name)
        return () if kind is None else self.names(kind)

    def alike(self) -> tuple[tuple[str, ...], ...]:
        """The names of those that have copies, kind by kind."""
        return tuple(names for names in map(self.names, self.kinds()) if len(names) > 1)

    def handed(self, kinds: Iterable[int | None]) -> list[Restraint | None]:
        """A copy for everybody who uses one of these kinds: the first copy of a kind to the first who does, and so
        on, from the first again where there are too few; None for None."""
        used: Counter[int | None] = Counter()
        handed: list[Restraint | None] = []
        for kind in kinds:
            copies = () if kind is None else self.copies(kind)
            handed.append(self.restraints[copies[used[kind] % len(copies)]] if copies else None)
            used[kind] += 1
        return handed

    def given_out(self, placements: Sequence[Placement]) -> list[Placement]:
        """The placements of one seating, left to right, each with a copy of its own."""
        kinds = (None if p.restraint is None else self.index(p.restraint.restraint) for p in placements)
        return [p if copy is None else in_copy(p, copy)
                for p, copy in zip(placements, self.handed(kinds), strict=True)]


def alike(trip: Trip) -> Kinds:
    """The kinds of a trip's restraints."""
    named = named_by(trip)
    doubts = trip.doubted if isinstance(trip, Believed) else ()
    content = [(restraint.model_copy(update={"restraint": ""}),
                [replace(doubt, name="") for doubt in doubts
                 if (doubt.of, doubt.name) == ("restraint", restraint.restraint)]) for restraint in trip.restraints]
    first: list[int] = []
    for i, restraint in enumerate(trip.restraints):
        like = () if restraint.restraint in named else (
            j for j in range(i) if first[j] == j and trip.restraints[j].restraint not in named
            and content[j] == content[i])
        first.append(next(iter(like), i))
    return Kinds(tuple(trip.restraints), tuple(first))


def apart(trip: Trip) -> Kinds:
    """Every restraint as a kind of its own: for who follows each through time."""
    return Kinds(tuple(trip.restraints), tuple(range(len(trip.restraints))))


def named_by(trip: Trip) -> frozenset[str]:
    """The restraints that a trip names somewhere: in wishes, in what is installed, under way or was tried."""
    wished = (name for wish in trip.wishes for name in wish.uses or ())
    now = (here.restraint for here in trip.installed.values() if here.restraint is not None)
    under_way = (here.restraint for here in trip.under_way.values() if here.restraint is not None)
    return frozenset((*wished, *now, *under_way, *(tried.restraint for tried in trip.tried
                                                  if tried.restraint is not None)))


def in_copy(placement: Placement, copy: Restraint) -> Placement:
    """The same placement in another copy of its restraint."""
    own, mode = placement.restraint, placement.mode
    if own is None or mode is None or own is copy:
        return placement
    after = copy.modes[next(i for i, one in enumerate(own.modes) if one is mode)]
    held = next((i for i, one in enumerate(mode.installations) if one is placement.installation), None)
    return replace(placement, restraint=copy, mode=after,
                   installation=None if held is None else after.installations[held])
