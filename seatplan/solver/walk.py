"""One walk over the options of some riders: depth first, on bitmasks of what is still free.

A number is an option's place in the order of the walk, a mask without further name the occasions or changes that a
seating meets so far. Whoever walks says by ``keep`` which of these masks may go on.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from typing import TYPE_CHECKING

from seatplan.frozen import frozen
from seatplan.rules.subjects import Placement

from .shortage import too_few
from .taken import ELSEWHERE, Held, Option, Taken

if TYPE_CHECKING:
    from .seater import RelaxedSearch

#: whether a search may go on with a mask; never turns from no to yes when bits are added
Keep = Callable[[int], bool]
#: whether with a mask so many more may lack a seat and ride elsewhere, or lack a restraint and get a new one
MayLack = Callable[[int, int], bool]
#: the rules of the whole trip, asked of a whole seating
TripMask = Callable[[Sequence[Placement]], int]


class Steps:
    """How many options a walk may still try. ``left`` below 0: it was stopped. ``tick`` is told now and then how many
    it tried."""

    def __init__(self, left: int, tick: Callable[[int], None] | None = None) -> None:
        self.left, self._most, self._tick = left, left, tick

    def go(self) -> bool:
        """One more; False when there is none left."""
        self.left -= 1
        if self._tick and not self.left & 0x3FF:
            self._tick(self._most - self.left)
        return self.left >= 0

    @property
    def stopped(self) -> bool:
        """Whether the walk did not see everything."""
        return self.left < 0


@frozen
class Found:
    """A whole seating and everything that it breaks or costs."""

    mask: int
    options: tuple[Option, ...]

    @property
    def placements(self) -> tuple[Placement, ...]:
        """In order of position."""
        return placed(sorted(self.options, key=lambda o: o.position))


def placed(options: Sequence[Option]) -> tuple[Placement, ...]:
    """The placements of those who ride in this vehicle."""
    return tuple(o.cell.placement for o in options if o.cell is not None)


class Walk:
    """Seats one rider after another: ``domains`` are the options of each, in the order in which they are tried, none of
    them empty. The rest as ``RelaxedSearch.walk`` takes it."""

    def __init__(self, search: RelaxedSearch, domains: Sequence[Sequence[Option]], keep: Keep, trip_mask: TripMask,
                 may_lack: MayLack, steps: Steps | None, ahead: bool) -> None:
        self._search, self._keep, self._trip_mask = search, keep, trip_mask
        self._may_lack, self._steps, self._lanes = may_lack, steps, search.solve.lanes
        self._options = options = [o for domain in domains for o in domain]
        self._spans: list[int] = []
        start = 0
        for domain in domains:
            self._spans.append(((1 << len(domain)) - 1) << start)
            start += len(domain)
        #: by rider, the options of those who come later
        self._later = [-1 << span.bit_length() for span in self._spans[:-1]] + [0]
        self._held, self._taken = Held(options, search.solve.kinds), Taken(options, search.solve.world)
        # riders whom no seat will do without a restraint: how many come later
        bound = [all(o.restraint >= 0 or o.position == ELSEWHERE for o in domain) for domain in domains]
        self._to_hold = [sum(bound[i:]) for i in range(len(domains) + 1)]
        self._plain = sum(1 << i for i, o in enumerate(options) if not o.mask & search.own_bits)
        self._ahead = _Ahead(search, options, keep) if ahead else None

    def found(self) -> Iterator[Found]:
        """Every seating whose mask may go on, no seat and no restraint used twice."""
        everything = (1 << len(self._options)) - 1 & ~self._taken.never
        lack = self._lacking(everything, 0)
        if lack <= 0 or self._may_lack(0, lack):
            yield from self._extend(0, everything, (), 0, self._lanes.empty, 0)

    def _extend(self, i: int, live: int, chosen: tuple[Option, ...], mask: int, lane: int,
                front: int) -> Iterator[Found]:
        """Seat the ``i``-th rider and all that come later, in options that are ``live``."""
        if i == len(self._spans):
            yield from self._whole(chosen, mask | self._trip_mask(Found(0, chosen).placements), lane, front)
            return
        options, keep, steps = self._options, self._keep, self._steps
        todo = live & self._spans[i]
        while todo:
            low = todo & -todo
            todo ^= low
            at = low.bit_length() - 1
            option = options[at]
            grown = mask | option.mask
            if grown != mask and not keep(grown):
                continue
            if steps is not None and not steps.go():
                return
            met = (grown, lane, front) if option.cell is None else self._met(option, chosen, grown, lane, front)
            if met is None:
                continue
            rest = self._left(i, at, live, chosen, met[0])
            if rest is not None:
                yield from self._extend(i + 1, rest, (*chosen, option), *met)

    def _whole(self, chosen: tuple[Option, ...], mask: int, lane: int, front: int) -> Iterator[Found]:
        for cost in self._search.along(lane, front, chosen):
            if self._keep(mask | cost):
                yield Found(mask | cost, chosen)

    def _met(self, option: Option, chosen: tuple[Option, ...], mask: int, lane: int,
             front: int) -> tuple[int, int, int] | None:
        """The mask, the lane and the bits in front once somebody rides so beside those who are seated; None where that
        may not go on."""
        search, keep = self._search, self._keep
        beside = search.beside(chosen, option, mask)
        if beside != mask and not keep(beside):
            return None
        traits = search.traits_of(option)
        lane, front = self._lanes.pair(lane, traits.lane), front | traits.front
        if lane != self._lanes.empty:
            costs = search.along(lane, front, (*chosen, option))
            if costs != (0,) and not any(keep(beside | cost) for cost in costs):
                return None
        return beside, lane, front

    def _left(self, i: int, at: int, live: int, chosen: tuple[Option, ...], mask: int) -> int | None:
        """What is live once the ``i``-th rider takes an option; None where somebody who comes later finds nothing, or
        more lack something than may."""
        rest = live & ~self._taken.out[at] & ~self._held.out(self._options[at], chosen)
        if self._ahead is not None:
            rest &= self._ahead.opened(mask)
            if not self._enough(i, rest, mask):      # most end here, and nobody need ask about their room
                return None
            apart = self._ahead.apart(at, rest & self._later[i]) if self._options[at].cell is not None else 0
            if not rest & apart:
                return rest
            rest &= ~apart
        return rest if self._enough(i, rest, mask) else None

    def _enough(self, i: int, rest: int, mask: int) -> bool:
        """Whether of what is live everybody after the ``i``-th finds something, and no more lack something than may."""
        for span in self._spans[i + 1:]:
            if not rest & span:
                return False
        lack = self._lacking(rest & self._later[i], i + 1)
        return lack <= 0 or self._may_lack(mask, lack)

    def _lacking(self, free: int, i: int) -> int:
        """How many from the ``i``-th on will find no seat, no restraint of the trip's own, or nothing at all without a
        change of their own."""
        plain = free & self._plain
        return max(len(self._spans) - i - sum([1 for seat in self._taken.seats if free & seat]),
                   self._to_hold[i] - sum([copies for mask, copies in self._held.own if free & mask]),
                   sum([1 for span in self._spans[i:] if not span & plain]))


class _Ahead:
    """Which options of later riders cannot go on with what is chosen, found before their turn comes: worth it where
    few masks are met."""

    def __init__(self, search: RelaxedSearch, options: Sequence[Option], keep: Keep) -> None:
        self._search, self._options, self._keep = search, options, keep
        #: by their own mask, the options
        self._like: dict[int, int] = {}
        self._open_with: dict[int, int] = {}
        self._rows: dict[int, int] = {}
        #: by the number of what they put into a row, the options
        self._like_body: dict[int, int] = {}
        self._bodies = [None if o.cell is None else search.body(o) for o in options]
        #: by body, the options that were asked about, and those among them that have no room beside it
        self._asked: dict[int, tuple[int, int]] = {}
        for i, (o, body) in enumerate(zip(options, self._bodies, strict=True)):
            self._like[o.mask] = self._like.get(o.mask, 0) | 1 << i
            if body is not None:
                self._rows[o.row] = self._rows.get(o.row, 0) | 1 << i
                self._like_body[body.key] = self._like_body.get(body.key, 0) | 1 << i

    def opened(self, mask: int) -> int:
        """The options that a mask leaves open: one that is dropped here is never open again."""
        kept = self._open_with.get(mask)
        if kept is None:
            keep = self._keep
            kept = self._open_with[mask] = sum(same for cost, same in self._like.items() if keep(mask | cost))
        return kept

    def apart(self, at: int, free: int) -> int:
        """Options that have no room beside one of the same row: all of other riders that are free, and more."""
        option, body = self._options[at], self._bodies[at]
        assert body is not None
        known, narrow = self._asked.get(body.key, (self._like_body[body.key], 0))
        todo = free & self._rows[option.row] & ~known
        if todo and not self._keep(option.mask | self._search.row_bits[option.row]):
            while todo:
                i = todo.bit_length() - 1
                other = self._bodies[i]
                assert other is not None
                same = self._like_body[other.key]
                if not self._search.has_room((option, self._options[i]), (body, other)):
                    narrow |= same
                known |= same
                todo &= ~same
            self._asked[body.key] = known, narrow
        return narrow


def short_of_seats(domains: Sequence[Sequence[Option]], copies: Callable[[int], Sequence[int]]) -> bool:
    """Whether those who must ride have too few seats, or those who need a restraint too few of them."""
    seats = {r: {o.position for o in domain} for r, domain in enumerate(domains)}
    held = {r: {copy for restraint in {o.restraint for o in domain} for copy in copies(restraint)}
            for r, domain in enumerate(domains)}
    return any(too_few({r: own for r, own in wants.items() if none not in own})
               for wants, none in ((seats, ELSEWHERE), (held, -1)))
