"""What is left of seats and restraints while riders are seated one after another, on bitmasks of their options."""

from __future__ import annotations

from collections.abc import Sequence
from functools import reduce
from operator import or_
from typing import TYPE_CHECKING

from seatplan.frozen import frozen
from seatplan.rules import footprints

from .placements import JudgedPlacement

if TYPE_CHECKING:
    from seatplan.rules.subjects import RuleContext

    from .kinds import Kinds

#: the position of a rider who does not ride in this vehicle
ELSEWHERE = -1


@frozen(eq=False)
class Option:
    """One way for a rider to ride. ``position`` and ``restraint`` are indexes of the trip, -1 for none of them, a kind
    of restraint by its first copy; without a ``cell`` the rider does not ride in this vehicle."""

    rider: int
    position: int
    restraint: int
    row: int
    kind: int
    mask: int
    cell: JudgedPlacement | None


class Taken:
    """Which options are out once a position is used. ``seats``: by position the options that sit there; ``out``: by
    option those that want a position that it uses or needs empty, or need one empty that it uses; ``never``: those
    that need the seat of a driver who is none of the riders."""

    def __init__(self, options: Sequence[Option], world: RuleContext) -> None:
        driver = world.unlisted_driver()
        self.never = 0
        sits: dict[str, int] = {}
        uses: dict[str, int] = {}
        empties: dict[str, int] = {}
        needed: list[tuple[set[str], frozenset[str]]] = []
        for i, option in enumerate(options):
            if option.cell is None:
                needed.append((set(), frozenset()))
                continue
            at, beside = option.cell.placement.position.position, footprints.footprint(option.cell.placement)
            needed.append(({at, *beside.takes}, beside.empties))
            sits[at] = sits.get(at, 0) | 1 << i
            if driver is not None and driver.position.position in beside.takes | beside.empties:
                self.never |= 1 << i
            for mask, positions in ((uses, needed[i][0]), (empties, needed[i][1])):
                for position in positions:
                    mask[position] = mask.get(position, 0) | 1 << i
        self.seats = list(sits.values())
        self.out = [
            reduce(or_, (uses[at] | empties.get(at, 0) for at in used), 0)
            | reduce(or_, (uses.get(at, 0) for at in empty), 0) for used, empty in needed]


class Held:
    """Which options are out once restraints are used: those of a kind of which no copy is left. A copy that a change
    has altered is one of its kind, and there is one of it."""

    def __init__(self, options: Sequence[Option], kinds: Kinds) -> None:
        self._first = {held: kinds.copies(held)[0] for held in {o.restraint for o in options}}
        self._copies = {kind: len(kinds.copies(kind)) for kind in self._first.values()}
        self._plain = {restraint.content for restraint in kinds.restraints}
        self._kind: dict[int, int] = {}
        self._altered: dict[int, int] = {}
        for i, o in enumerate(options):
            kind = self._first[o.restraint]
            self._kind[kind] = self._kind.get(kind, 0) | 1 << i
            if self._is_altered(o):
                self._altered[o.restraint] = self._altered.get(o.restraint, 0) | 1 << i
        #: by kind of the trip's own, its options and its copies
        self.own = [(mask, self._copies[kind]) for kind, mask in self._kind.items() if 0 <= kind < len(kinds.first)]

    def _is_altered(self, option: Option) -> bool:
        held = None if option.cell is None else option.cell.placement.restraint
        return self._copies[self._first[option.restraint]] > 1 and held is not None and held.content not in self._plain

    def out(self, option: Option, chosen: Sequence[Option]) -> int:
        """The options that are out when one more is chosen."""
        if option.restraint < 0:
            return 0
        kind = self._first[option.restraint]
        copies = self._copies[kind]
        if copies == 1:
            return self._kind[kind]
        used = 1 + sum([self._first[o.restraint] == kind for o in chosen])
        if used == copies:
            return self._kind[kind]
        return self._altered[option.restraint] if self._is_altered(option) else 0
