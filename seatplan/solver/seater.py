"""Seat some riders while reasons are counted, not obeyed: the search behind conflicts and repairs.

Every way for a rider to ride is an option with the mask of what speaks against it; pairs, rows, the car lengthwise and
the rules of the whole trip add their bits. What a caller will not have in a mask prunes the search, so that the same
walk says whether something is possible, what the least is that stands in the way, and how little has to change.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING, NamedTuple

from seatplan.rules.pair import looked_at
from seatplan.rules.subjects import Pair, Placement, Seated

from .occasions import ALONG, ROW, Occasion, Occasions
from .placements import JudgedPlacement
from .rowplans import TOO_TIGHT
from .taken import Option
from .walk import Found, Keep, MayLack, Steps, TripMask, Walk, placed, short_of_seats

if TYPE_CHECKING:
    from seatplan.rules.run import Runner

    from .place import BodyInRow
    from .solve import Solve


class Traits(NamedTuple):
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
        self._traits: dict[Option, Traits] = {}
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
            kept = self._alongs[lane, front] = self._along(placed(options))
        return kept

    def _along(self, placements: Sequence[Placement]) -> tuple[int, ...]:
        lanes = self.solve.lanes
        return (self.along_bit,) if lanes.judge(lanes.lane_of(placements)).level >= TOO_TIGHT else (0,)

    def walk(self, riders: Sequence[int], keep: Keep, trip_mask: TripMask,
             may_lack: MayLack = lambda mask, n: False, steps: Steps | None = None,
             ahead: bool = False, among: Callable[[Option], bool] = lambda option: True) -> Iterator[Found]:
        """Every seating of ``riders`` whose mask ``keep`` lets pass, no seat and no restraint used twice; the riders
        with the fewest options first, their options with the fewest bits first. ``may_lack(mask, n)`` says whether
        ``n`` more of them may be left without a seat, or a restraint, of the trip's own: with fewer than riders
        nothing is tried in vain. The walk ends after so many ``steps``. ``ahead`` drops options as soon as ``keep``
        will not have them: worth it where few masks are met. ``among``: which options are looked at."""
        domains = [sorted((o for o in self.domains[r] if keep(o.mask) and among(o)), key=lambda o: o.mask.bit_count())
                   for r in riders]
        domains.sort(key=len)
        if not all(domains) or short_of_seats(domains, self.solve.kinds.copies):
            return iter(())
        return Walk(self, domains, keep, trip_mask, may_lack, steps, ahead).found()

    def given_out(self, found: Found) -> Found:
        """The same seating with the copies of like restraints given out, as it is told."""
        by_seat = sorted((o for o in found.options if o.cell is not None), key=lambda o: o.position)
        told = {o: replace(o, cell=JudgedPlacement(p, self.solve.runner, o.cell.answers))
                for o, p in zip(by_seat, self.solve.kinds.given_out(placed(by_seat)), strict=True) if o.cell}
        return Found(found.mask, tuple(told.get(o, o) for o in found.options))

    def body(self, option: Option) -> BodyInRow:
        """What an option of somebody who rides puts into its row."""
        return self.traits_of(option).body

    def bodies(self, found: Found) -> tuple[int, ...]:
        """What a seating puts into the rows: the same for all whose bodies have the same room."""
        return tuple(sorted([self.traits_of(o).body.key for o in found.options if o.cell is not None]))

    def beside(self, chosen: Sequence[Option], option: Option, mask: int) -> int:
        """The mask with what the option's neighbours in its row and the row's room add."""
        traits = self._traits
        own, row = traits.get(option) or self.traits_of(option), [option]
        bodies = [own.body]
        for other in chosen:
            if other.row == option.row and other.cell is not None:
                theirs = traits.get(other) or self.traits_of(other)
                against = self._pairs.get((theirs.look, own.look) if other.position < option.position else
                                          (own.look, theirs.look))
                mask |= self._pair(other, option) if against is None else against
                row.append(other)
                bodies.append(theirs.body)
        bit = self.row_bits[option.row]
        if not mask & bit and not self.has_room(row, bodies):
            mask |= bit
        return mask

    def _pair(self, one: Option, other: Option) -> int:
        left, right = (one, other) if one.position < other.position else (other, one)
        pair = placed((left, right))
        against = self.occasions.of_findings(
            self.solve.runner.pair(Pair(pair[0], pair[1])), pair, self.solve.world.options)
        self._pairs[self.traits_of(left).look, self.traits_of(right).look] = against
        return against

    def has_room(self, options: Sequence[Option], bodies: Sequence[BodyInRow]) -> bool:
        """Whether some options of one row, with the body of each, have room side by side."""
        key: tuple[int, ...]                                         # of a place and a row, like the bodies
        if len(bodies) == 2:                                         # as most are
            one, other = bodies[0].key, bodies[1].key
            key = (one, other) if one < other else (other, one)
        else:
            key = tuple(sorted([body.key for body in bodies]))
        kept = self._rooms.get(key)
        if kept is None:
            in_order = sorted(zip(options, bodies, strict=True), key=lambda one: one[0].position)
            kept = self._rooms[key] = not self.solve.cars[options[0].row].tight([body for _, body in in_order])
        return kept

    def traits_of(self, option: Option) -> Traits:
        kept = self._traits.get(option)
        if kept is None:
            assert option.cell is not None
            solve, placement = self.solve, option.cell.placement
            car = solve.cars[option.row]
            kept = self._traits[option] = Traits(
                car.body(placement),
                self._looks.setdefault((placement.rider.rider, looked_at(placement)), len(self._looks)),
                solve.lanes.lane_of((placement,)),
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


def trip_masks(solve: Solve, occasions: Occasions, riders: Sequence[int]) -> TripMask:
    """The rules of the whole trip for a group of its riders: wishes that name somebody else are left out. They are made
    ready when the first whole seating is there: most groups have none."""
    runner: list[Runner | None] = []

    def mask(placements: Sequence[Placement]) -> int:
        if not runner:
            runner.append(trip_runner(solve, riders))
        rules = runner[0]
        return 0 if rules is None else occasions.of_findings(
            rules.trip(Seated(tuple(placements))), placements, solve.world.options)

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
