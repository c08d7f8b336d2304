"""Seat some riders while reasons are counted, not obeyed: the search behind conflicts and repairs.

Every way for a rider to ride is an option with the mask of what speaks against it; pairs, rows, the car lengthwise and
the rules of the whole trip add their bits. What a caller will not have in a mask prunes the search, so that the same
walk says whether something is possible, what the least is that stands in the way, and how little has to change.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, NamedTuple

from seatplan.rules.pair import looked_at
from seatplan.rules.subjects import Pair, Placement, Seated

from .occasions import ALONG, ROW, Occasion, Occasions
from .placements import JudgedPlacement
from .rowplans import TOO_TIGHT
from .shortage import too_few
from .taken import ELSEWHERE, Held, Option, Taken

if TYPE_CHECKING:
    from seatplan.rules.run import Runner

    from .rowjudge import BodyInRow
    from .solve import Solve

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


@dataclass(frozen=True, slots=True)
class Found:
    """A whole seating and everything that it breaks or costs."""

    mask: int
    options: tuple[Option, ...]

    @property
    def placements(self) -> tuple[Placement, ...]:
        """In order of position."""
        return _placed(sorted(self.options, key=lambda o: o.position))


def _short_of_seats(domains: Sequence[Sequence[Option]], copies: Callable[[int], Sequence[int]]) -> bool:
    """Whether those who must ride have too few seats, or those who need a restraint too few of them."""
    seats = {r: {o.position for o in domain} for r, domain in enumerate(domains)}
    held = {r: {copy for o in domain for copy in copies(o.restraint)} for r, domain in enumerate(domains)}
    return any(too_few({r: own for r, own in wants.items() if none not in own})
               for wants, none in ((seats, ELSEWHERE), (held, -1)))


def _placed(options: Sequence[Option]) -> tuple[Placement, ...]:
    return tuple(o.cell.placement for o in options if o.cell is not None)


class _Traits(NamedTuple):
    """What the others meet of somebody who rides: its body in the row; the number of what rules about two riders look
    at; its lane; and the bit of its position where that is in front."""

    body: BodyInRow
    look: int
    lane: int
    front: int


class RelaxedSearch:
    """Options of all riders of a solve. Every answer about pairs, rows and the car lengthwise is kept."""

    def __init__(self, solve: Solve, occasions: Occasions | None = None) -> None:
        self.solve = solve
        self.occasions = occasions or Occasions()
        self.domains: list[list[Option]] = [[] for _ in solve.trip.riders]
        self.row_bits = [self.occasions.bit(Occasion(ROW, row=row.row)) for row in solve.trip.vehicle.rows]
        self.along_bit = self.occasions.bit(Occasion(ALONG))
        self._pairs: dict[tuple[int, int], int] = {}
        self._rooms: dict[tuple[int, ...], bool] = {}
        self._alongs: dict[tuple[int, int], tuple[int, ...]] = {}
        self._traits: dict[Option, _Traits] = {}
        self._looks: dict[tuple[object, ...], int] = {}
        #: bits of changes that serve one rider only: what several riders lack of these adds up
        self.own_bits = 0

    def add(self, cell: JudgedPlacement, rider: int, position: int, restraint: int | None, extra: int = 0) -> None:
        """One more option; ``extra`` bits stand for what it costs beside what speaks against it."""
        row = self.solve.row_at[position]
        against = self.occasions.of_findings(cell.findings, (cell.placement,), self.solve.world.options)
        self.domains[rider].append(Option(
            rider, position, -1 if restraint is None else restraint, row, self.solve.cars[row].kind(cell),
            against | extra, cell))

    def along(self, lane: int, front: int, options: Sequence[Option]) -> tuple[int, ...]:
        """What room along the car costs some options, with their lane and the bits of those in front: one mask, or
        several to choose from."""
        kept = self._alongs.get((lane, front))
        if kept is None:
            kept = self._alongs[lane, front] = self._along(_placed(options))
        return kept

    def _along(self, placements: Sequence[Placement]) -> tuple[int, ...]:
        lanes = self.solve.lanes
        return (self.along_bit,) if lanes.judge(lanes.lane_of(placements)).level >= TOO_TIGHT else (0,)

    def walk(self, riders: Sequence[int], keep: Keep, trip_mask: TripMask,
             may_lack: MayLack = lambda mask, n: False, steps: Steps | None = None,
             ahead: bool = False) -> Iterator[Found]:
        """Every seating of ``riders`` whose mask ``keep`` lets pass, no seat and no restraint used twice; the riders
        with the fewest options first, their options with the fewest bits first. ``may_lack(mask, n)`` says whether
        ``n`` more of them may be left without a seat, or a restraint, of the trip's own: with fewer than riders
        nothing is tried in vain. The walk ends after so many ``steps``. ``ahead`` drops options as soon as ``keep``
        will not have them: worth it where few masks are met."""
        domains = [sorted((o for o in self.domains[r] if keep(o.mask)), key=lambda o: o.mask.bit_count())
                   for r in riders]
        domains.sort(key=len)
        if not all(domains) or _short_of_seats(domains, self.solve.kinds.copies):
            return
        options = [o for domain in domains for o in domain]
        like: dict[int, int] = {}
        held, taken = Held(options, self.solve.kinds), Taken(options, self.solve.world)
        for i, o in enumerate(options):
            like[o.mask] = like.get(o.mask, 0) | 1 << i
        seats = taken.seats
        spans, start = [], 0
        for domain in domains:
            spans.append((start, ((1 << len(domain)) - 1) << start))
            start += len(domain)
        later = [-1 << span for span, _ in spans[1:]] + [0]
        # riders whom no seat will do without a restraint: how many come later
        bound = [all(o.restraint >= 0 or o.position == ELSEWHERE for o in domain) for domain in domains]
        to_hold = [sum(bound[i + 1:]) for i in range(len(domains))]
        open_with: dict[int, int] = {}
        plain = sum(1 << i for i, o in enumerate(options) if not o.mask & self.own_bits)

        rows: dict[int, int] = {}
        bodies: dict[int, int] = {}
        body_at = [0] * len(options)
        for i, o in enumerate(options):
            if ahead and o.cell is not None:
                rows[o.row] = rows.get(o.row, 0) | 1 << i
                body_at[i] = body = self._traits_of(o).body.key
                bodies[body] = bodies.get(body, 0) | 1 << i
        asked: dict[int, tuple[int, int]] = {}

        def apart(at: int, free: int) -> int:
            """Options that have no room beside one of the same row: all of other riders that are free, and more."""
            option, body = options[at], body_at[at]
            known, narrow = asked.get(body, (bodies[body], 0))
            todo = free & rows[option.row] & ~known
            if todo and not keep(option.mask | self.row_bits[option.row]):
                while todo:
                    other = todo.bit_length() - 1
                    beside = body_at[other]
                    same = bodies[beside]
                    fit = self._rooms.get((body, beside) if body < beside else (beside, body))
                    if fit is False or (fit is None and not self._room([option, options[other]])):
                        narrow |= same
                    known |= same
                    todo &= ~same
                asked[body] = known, narrow
            return narrow

        def opened(mask: int) -> int:
            """The options that a mask leaves open: one that is dropped here is never open again."""
            kept = open_with.get(mask)
            if kept is None:
                kept = open_with[mask] = sum(same for cost, same in like.items() if keep(mask | cost))
            return kept

        def lacking(free: int, i: int, held_left: int) -> int:
            """How many from the ``i``-th on will find no seat, no restraint of the trip's own, or nothing at all
            without a change of their own."""
            return max(len(domains) - i - sum([1 for seat in seats if free & seat]),
                       held_left - sum([copies for mask, copies in held.own if free & mask]),
                       sum([1 for _, span in spans[i:] if not free & span & plain]))

        def extend(i: int, live: int, chosen: tuple[Option, ...], mask: int, lane: int, front: int) -> Iterator[Found]:
            if i == len(domains):
                yield from self._whole(chosen, mask | trip_mask(Found(0, chosen).placements), lane, front, keep)
                return
            todo = live & spans[i][1]
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
                lane_with, front_with = lane, front
                if option.cell is not None:
                    beside = self._beside(chosen, option, grown)
                    if beside != grown and not keep(beside):
                        continue
                    grown = beside
                    traits = self._traits_of(option)
                    lane_with, front_with = lanes.pair(lane, traits.lane), front | traits.front
                    if lane_with != lanes.empty:
                        costs = self.along(lane_with, front_with, (*chosen, option))
                        if costs != (0,) and not any(keep(grown | cost) for cost in costs):
                            continue
                rest = live & ~taken.out[at] & ~held.out(option, chosen)
                if ahead:
                    rest &= opened(grown)
                    if option.cell is not None:
                        rest &= ~apart(at, rest & later[i])
                if not all(rest & span for _, span in spans[i + 1:]):
                    continue
                lack = lacking(rest & later[i], i + 1, to_hold[i])
                if lack <= 0 or may_lack(grown, lack):
                    yield from extend(i + 1, rest, (*chosen, option), grown, lane_with, front_with)

        lanes = self.solve.lanes
        everything = (1 << len(options)) - 1 & ~taken.never
        lack = lacking(everything, 0, sum(bound))
        if lack <= 0 or may_lack(0, lack):
            yield from extend(0, everything, (), 0, lanes.empty, 0)

    def given_out(self, found: Found) -> Found:
        """The same seating with the copies of like restraints given out, as it is told."""
        by_seat = sorted((o for o in found.options if o.cell is not None), key=lambda o: o.position)
        told = {o: replace(o, cell=JudgedPlacement(p, self.solve.runner, o.cell.answers))
                for o, p in zip(by_seat, self.solve.kinds.given_out(_placed(by_seat)), strict=True) if o.cell}
        return Found(found.mask, tuple(told.get(o, o) for o in found.options))

    def body(self, option: Option) -> BodyInRow:
        """What an option of somebody who rides puts into its row."""
        return self._traits_of(option).body

    def bodies(self, found: Found) -> tuple[int, ...]:
        """What a seating puts into the rows: the same for all whose bodies have the same room."""
        return tuple(sorted([self._traits_of(o).body.key for o in found.options if o.cell is not None]))

    def _whole(self, chosen: tuple[Option, ...], mask: int, lane: int, front: int, keep: Keep) -> Iterator[Found]:
        for cost in self.along(lane, front, chosen):
            if keep(mask | cost):
                yield Found(mask | cost, chosen)

    def _beside(self, chosen: Sequence[Option], option: Option, mask: int) -> int:
        """The mask with what the option's neighbours in its row and the row's room add."""
        own, row = self._traits_of(option), [option]
        for other in chosen:
            if other.row == option.row and other.cell is not None:
                look = self._traits_of(other).look
                against = self._pairs.get((look, own.look) if other.position < option.position else (own.look, look))
                mask |= self._pair(other, option) if against is None else against
                row.append(other)
        bit = self.row_bits[option.row]
        if not mask & bit and not self._room(row):
            mask |= bit
        return mask

    def _pair(self, one: Option, other: Option) -> int:
        left, right = (one, other) if one.position < other.position else (other, one)
        pair = _placed((left, right))
        against = self.occasions.of_findings(
            self.solve.runner.pair(Pair(pair[0], pair[1])), pair, self.solve.world.options)
        self._pairs[self._traits_of(left).look, self._traits_of(right).look] = against
        return against

    def _room(self, options: list[Option]) -> bool:
        """Whether some options of one row have room side by side."""
        traits = [self._traits_of(o) for o in options]
        key = tuple(sorted([own.body.key for own in traits]))        # of a place and a row, like the bodies
        kept = self._rooms.get(key)
        if kept is None:
            in_order = sorted(zip(options, traits, strict=True), key=lambda one: one[0].position)
            kept = self._rooms[key] = not self.solve.cars[options[0].row].tight([own.body for _, own in in_order])
        return kept

    def _traits_of(self, option: Option) -> _Traits:
        kept = self._traits.get(option)
        if kept is None:
            assert option.cell is not None
            solve, placement = self.solve, option.cell.placement
            car = solve.cars[option.row]
            kept = self._traits[option] = _Traits(
                car.body(placement),
                self._looks.setdefault(looked_at(placement), len(self._looks)), solve.lanes.lane_of((placement,)),
                1 << option.position if solve.trip.vehicle.in_front(placement.position) else 0)
        return kept


def solve_seater(solve: Solve) -> RelaxedSearch:
    """A seater with every placement of a solve, those that rules block too."""
    seater = RelaxedSearch(solve)
    for r, choices in enumerate(solve.choices.per_rider):
        for choice in choices:
            for cell in choice.all_cells:
                seater.add(cell, r, choice.position, choice.restraint)
    return seater


def no_trip_mask(_: Sequence[Placement]) -> int:
    """No rule of the whole trip is asked."""
    return 0


def trip_masks(solve: Solve, occasions: Occasions, riders: Sequence[int]) -> TripMask:
    """The rules of the whole trip for a group of its riders: wishes that name somebody else are left out."""
    runner = trip_runner(solve, riders)
    if runner is None:
        return no_trip_mask

    def mask(placements: Sequence[Placement]) -> int:
        return occasions.of_findings(runner.trip(Seated(tuple(placements))), placements, solve.world.options)

    return mask


def trip_runner(solve: Solve, riders: Sequence[int]) -> Runner | None:
    """The rules as the group by itself meets them; None where no rule of the whole trip can matter."""
    from seatplan.rules.run import Runner

    from .whole import may_matter

    if not may_matter(solve):
        return None
    trip = solve.trip
    names = {trip.riders[r].rider for r in riders}
    wishes = [wish for wish in trip.wishes
              if names >= {*([wish.rider] if wish.rider else ()), *(wish.apart or ()), *(wish.together or ())}]
    group = trip.model_copy(update={
        "riders": [rider for r, rider in enumerate(trip.riders) if r in riders], "wishes": wishes})
    return Runner(solve.world.about(group))
