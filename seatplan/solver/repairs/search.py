"""Which changes open a refused trip: all smallest sets of them, found in one search over seatings.

What a change makes possible becomes more options of the seater, each with the bit of its change; what a rule blocks
stays blocked. A seating's mask is then the changes it needs, and masks that hold no other one are the smallest sets.
"""

from __future__ import annotations

from collections.abc import Callable, Container, Iterable, Iterator, Sequence, Set
from dataclasses import replace
from itertools import combinations, islice
from typing import TYPE_CHECKING

from seatplan.frozen import frozen
from seatplan.message import said
from seatplan.rules import footprints
from seatplan.rules.run import Runner
from seatplan.rules.subjects import Placement

from ..lanes import Lanes
from ..minimal import bits, without_supersets
from ..occasions import WISHES
from ..placements import JudgedPlacement, belted
from ..rowplans import TOO_TIGHT
from ..seater import RelaxedSearch, trip_masks
from ..taken import ELSEWHERE, Option
from ..walk import Found, Steps, TripMask
from ..ways import placements_in, setting_for
from .catalogue import KIND, applied, offers
from .change import Change, Shelf

if TYPE_CHECKING:
    from seatplan.model import Mode, Position, Restraint, Rider, Row

    from ..solve import Progress, Solve

#: so many options are tried for one number of changes; then the list may lack some. Each weighs more with each rider
#: more than so many
MOST_STEPS, LIGHT_RIDERS = 300_000, 8
#: so many are tried for one width of a restraint, or for how far forward a seat must come
MOST_STEPS_SIZED = 50_000
#: so many are tried to see all that one set of changes opens
MOST_STEPS_OPENED = 4_000
#: so many changes of one position are looked at together
MOST_AT_ONE_SEAT = 3
#: so many seatings of one opening are asked how far forward a seat has to come
LANES_FROM = 2_000


#: ways to ride: rider, position, restraint (None: the vehicle belt) and mode, by name
Wanted = Set[tuple[str, str, str | None, str]]


@frozen
class Opening:
    """A smallest set of changes, and a seating that it opens."""

    changes: tuple[Change, ...]
    found: Found


class RepairSeater(RelaxedSearch):
    """Everybody of a refused trip, with the options that changes would give."""

    def __init__(self, solve: Solve, shelf: Shelf, keep: tuple[str, ...] = ()) -> None:
        super().__init__(solve)
        self.change_of: dict[int, Change] = {}
        self.complete = True
        self._fronts: dict[int, Lanes] = {}
        self._front_bits: list[int] = []
        self._trip_masks: dict[tuple[str, ...], TripMask] = {}
        self._seat_changes: list[tuple[int, Change]] = []
        self._models: list[tuple[int, Restraint, int]] = []
        self._nowhere: set[tuple[int, int, int]] = set()
        self._opened: dict[tuple[object, ...], list[int]] = {}
        self._indexes = {rider.rider: r for r, rider in enumerate(solve.trip.riders)}
        spots = [(row, position) for row in solve.trip.vehicle.rows for position in row.positions]
        self._spots = [(p, row, position) for p, (row, position) in enumerate(spots)]
        changes = [change for change in offers(solve.trip, shelf)
                   if not (KIND[change.kind].touches in ("wish", "rider") and set(keep) & set(change.riders))]
        wishes = [change for change in changes if KIND[change.kind].touches == "wish"]
        for change in wishes:
            self._wish(change)
        self._open_at_hand()
        self._closed = _closed(solve, {change.thing for change in wishes})
        self._next_new = len(solve.trip.restraints)
        for change in changes:
            self._offer(change)
        for p, row, position in self._spots:
            self._changed_seat(p, row, position)

    def _open_at_hand(self) -> None:
        """What the trip has as it is."""
        for r, choices in enumerate(self.solve.choices.per_rider):
            for choice in choices:
                for cell in choice.all_cells:
                    self._open(cell, r, choice.position, choice.restraint, 0)

    def _offer(self, change: Change) -> None:
        """A change with the bit that stands for it; wishes have theirs already."""
        touches = KIND[change.kind].touches
        if touches == "restraint":
            self._restraint(change)
        elif touches == "position":
            bit = self._bit(change)
            self._seat_changes.append((bit, change))
            if _frees_seat(change):
                self._front_bits.append(bit)
        elif touches == "rider":
            r = self._indexes[change.riders[0]]
            self.domains[r].append(Option(r, ELSEWHERE, -1, -1, -1, self._bit(change), None))
        elif touches == "front":
            self._front_bits.append(self._bit(change))

    def _bit(self, change: Change) -> int:
        bit = self.occasions.spare()
        self.change_of[bit] = change
        if KIND[change.kind].touches in ("restraint", "rider"):
            self.own_bits |= bit
        return bit

    def _wish(self, change: Change) -> None:
        """A wish that is given up: its occasion stands for the change."""
        for bit in self.occasions.of_wish(change.thing, change.riders):
            self.change_of[bit] = change

    def _open(self, cell: JudgedPlacement, rider: int, position: int, restraint: int | None, extra: int) -> None:
        """An option where nothing but wishes speaks against a placement."""
        if not cell.blocked:
            against = 0
        else:
            against = self.occasions.of_findings(cell.findings, (cell.placement,), self.solve.world.options)
            if any(bit not in self.change_of for bit in bits(against)):
                return
        placement, mask = cell.placement, against | extra
        key = (rider, position, placement.restraint and placement.restraint.content,
               placement.mode and placement.mode.content,
               placement.installation and placement.installation.content, placement.bars, placement.tether,
               placement.recline)
        known = self._opened.setdefault(key, [])
        if any(mask & fewer == fewer for fewer in known):
            return
        known.append(mask)
        row = self.solve.row_at[position]
        self.domains[rider].append(Option(
            rider, position, -1 if restraint is None else restraint, row, self.solve.cars[row].kind(cell), mask, cell))

    def _restraint(self, change: Change) -> None:
        """The placements of a new restraint, or of a narrower one in the place of its model."""
        solve, bit = self.solve, self._bit(change)
        after = applied(solve.trip, (change,))
        if change.new is not None:
            restraint, index = after.restraints[-1], self._next_new
            self._next_new += 1
        else:
            index = next(i for i, r in enumerate(after.restraints) if r.restraint == change.restraint)
            restraint = after.restraints[index]
        self._models.append((bit, restraint, index))
        for r, rider in enumerate(solve.trip.riders):
            if rider.adult:
                continue
            for mode in restraint.modes:
                if nowhere(solve, rider, restraint, mode):
                    self._nowhere.add((r, restraint.content, mode.content))
                    continue
                for p, row, position in self._spots:
                    for cell in () if (r, p) in self._closed else _standing(solve.runner, rider, row, position,
                                                                            restraint, mode):
                        self._open(cell, r, p, index, bit)

    def _changed_seat(self, p: int, row: Row, position: Position) -> None:
        """The placements at one position as changes would make it, alone and together, of what is at hand and of what
        could be had."""
        solve = self.solve
        ways = [way for way in self._seat_changes if _matters(way[1], row, position)]
        for n in range(1, min(len(ways), MOST_AT_ONE_SEAT) + 1):
            for some in combinations(ways, n):
                extra = sum(bit for bit, _ in some)
                after = applied(solve.trip, tuple(change for _, change in some))
                runner = Runner(solve.world.about(after))
                there = after.vehicle.row_of(position.position), after.vehicle.position(position.position)
                for r, rider in enumerate(solve.trip.riders):
                    for cell, index in self._everything(runner, rider, *there):
                        self._open(cell, r, p, index, extra)
                    for bit, restraint, index in () if rider.adult else self._models:
                        for mode in restraint.modes:
                            if (r, restraint.content, mode.content) not in self._nowhere:
                                for cell in _standing(runner, rider, *there, restraint, mode):
                                    self._open(cell, r, p, index, extra | bit)

    def _everything(self, runner: Runner, rider: Rider, row: Row,
                    position: Position) -> Iterable[tuple[JudgedPlacement, int | None]]:
        if not rider.adult:
            for s in self.solve.kinds.kinds():
                restraint = self.solve.trip.restraints[s]
                for mode in restraint.modes if footprints.offered_at(restraint, position.position) else ():
                    for cell in _standing(runner, rider, row, position, restraint, mode):
                        yield cell, s
        yield belted(runner, rider, row, position), None

    def _along(self, placements: Sequence[Placement]) -> tuple[int, ...]:
        """Nothing, or the seats in front that would have to come further."""
        if self.solve.lanes.judge(self.solve.lanes.lane_of(placements)).level < TOO_TIGHT:
            return (0,)
        masks = []
        for n in range(1, len(self._front_bits) + 1):
            for some in combinations(self._front_bits, n):
                mask = sum(some)
                lanes = self._lanes(mask)
                if lanes.judge(lanes.lane_of(placements)).level < TOO_TIGHT:
                    masks.append(mask)
        return tuple(without_supersets(masks)) or (self.along_bit,)

    def _lanes(self, mask: int) -> Lanes:
        kept = self._fronts.get(mask)
        if kept is None:
            kept = self._fronts[mask] = self.lanes_with([self.change_of[bit] for bit in bits(mask)])
        return kept

    def lanes_with(self, changes: Sequence[Change]) -> Lanes:
        """The car lengthwise with some changes made."""
        solve = self.solve
        after = applied(solve.trip, tuple(changes))
        return Lanes(solve.world.about(after))

    def _trip_mask(self, placements: Sequence[Placement]) -> int:
        """The rules of the whole trip for those who are in the car."""
        names = tuple(p.rider.rider for p in placements)
        group = tuple(sorted(self._indexes[name] for name in names))
        key = tuple(map(str, group))
        if key not in self._trip_masks:
            self._trip_masks[key] = trip_masks(self.solve, self.occasions, group)
        return self._trip_masks[key](placements)

    def openings(self, most: int, progress: Progress | None = None) -> list[Opening]:
        """All smallest sets of up to ``most`` changes. Sets of one and two are always looked for, larger ones only as
        long as none is known that keeps everybody in this car."""
        leaves = sum(bit for bit, change in self.change_of.items() if change.kind == "ride-elsewhere")
        found: dict[int, Found] = {}
        for size in range(1, most + 1):
            self._of_size(size, found, progress)
            if not self.complete or (size > 1 and any(not mask & leaves for mask in found)):
                break
        return [Opening(tuple(self.change_of[bit] for bit in bits(mask)), seating)
                for mask, seating in sorted(found.items(), key=lambda item: (item[0].bit_count(), item[0]))]

    def _of_size(self, size: int, found: dict[int, Found], progress: Progress | None) -> None:
        """Add the smallest sets of up to ``size`` changes that hold none of those found before."""
        countable = sum(self.change_of)
        most = MOST_STEPS // max(1, len(self.domains) - LIGHT_RIDERS)
        steps = Steps(most, None if progress is None else lambda n: progress(said("looking for changes"), n))

        def keep(mask: int) -> bool:
            return not mask & ~countable and mask.bit_count() <= size and not _holds_one(mask, found)

        def may_lack(mask: int, n: int) -> bool:
            return mask.bit_count() + n <= size          # who rides elsewhere is a change each, and each new restraint

        everybody = tuple(range(len(self.domains)))
        for seating in self.walk(everybody, keep, self._trip_mask, may_lack, steps, ahead=True):
            if seating.mask and any(not p.rider.drives for p in seating.placements):
                for larger in [mask for mask in found if mask & seating.mask == seating.mask]:
                    del found[larger]
                found[seating.mask] = seating
        self.complete = self.complete and not steps.stopped

    def _mask(self, opening: Opening) -> int:
        return sum(bit for bit, own in self.change_of.items() if own in opening.changes)

    def opened(self, opening: Opening) -> tuple[list[Found], bool]:
        """The seatings that the changes of an opening give, each change as far as it goes; whether these are all."""
        steps = self._steps_to_open(opening)
        return list(self._given(opening, steps, lambda option: True)), not steps.stopped

    def may_give(self, opening: Opening, fine: Callable[[Placement], bool]) -> bool:
        """Whether the changes of an opening may give a seating in which everybody rides so that it is fine."""
        steps = self._steps_to_open(opening)
        given = self._given(opening, steps, lambda option: option.cell is None or fine(option.cell.placement))
        return any(True for _ in given) or steps.stopped

    def _given(self, opening: Opening, steps: Steps, among: Callable[[Option], bool]) -> Iterator[Found]:
        mask, everybody = self._mask(opening), tuple(range(len(self.domains)))
        return self.walk(everybody, lambda m: not m & ~mask, self._trip_mask, lambda m, n: True, steps, ahead=True,
                         among=among)

    @staticmethod
    def _steps_to_open(opening: Opening) -> Steps:
        sized = any(change.kind == "get-narrower" for change in opening.changes)
        return Steps(MOST_STEPS_SIZED if sized else MOST_STEPS_OPENED)

    def ways(self, opened: Iterable[Found]) -> Wanted:
        """The ways to ride in some seatings, a restraint of the trip's own by every copy of it."""
        found: set[tuple[str, str, str | None, str]] = set()
        for option in {option for seating in opened for option in seating.options}:
            if option.cell is not None:
                p = option.cell.placement
                held = None if p.restraint is None else p.restraint.restraint
                found |= {(p.rider.rider, p.position.position, name, p.mode_name)
                          for name in (held, *self.solve.kinds.named(held))}
        return found

    def forwards(self, opening: Opening, made: Sequence[Change], i: int) -> list[int]:
        """How far forward the seat of change ``i`` could be made to stand, in rising order: for each seating that the
        opening gives, the least mm that is as sure along the car as some further one."""
        change = made[i]
        most, least = change.mm or 0, change.was_mm or 0
        asked: dict[int, tuple[Placement, ...]] = {}
        mask, everybody = self._mask(opening), tuple(range(len(self.domains)))
        for found in islice(self.walk(everybody, lambda m: not m & ~mask, self._trip_mask, lambda m, n: True,
                                      Steps(MOST_STEPS_SIZED)), LANES_FROM):
            asked.setdefault(self.solve.lanes.lane_of(found.placements), found.placements)
        lanes: dict[int, Lanes] = {}

        def level(mm: int, placements: Sequence[Placement]) -> int:
            if mm not in lanes:
                tried = [*made[:i], replace(change, mm=mm), *made[i + 1:]]
                lanes[mm] = self.lanes_with([c for c in tried if KIND[c.kind].touches == "front" or _frees_seat(c)])
            return lanes[mm].judge(lanes[mm].lane_of(placements)).level

        values = set()
        for placements in asked.values():
            for aim in range(level(most, placements), min(level(least, placements), TOO_TIGHT)):
                low, high = least, most
                while high - low > 1:
                    middle = (low + high) // 2
                    low, high = (low, middle) if level(middle, placements) <= aim else (middle, high)
                values.add(high)
        return sorted(values) or [most]


def _standing(runner: Runner, rider: Rider, row: Row, position: Position, restraint: Restraint,
              mode: Mode) -> Iterator[JudgedPlacement]:
    """The placements of one rider at one position in one mode that nothing but what is wished speaks against."""
    lean = setting_for(runner.world, rider, row, position, restraint, mode)
    for placement in placements_in(rider, row, position, restraint, mode, lean):
        answers = runner.answers_if_open(placement, WISHES)
        if answers is not None:
            yield JudgedPlacement(placement, runner, answers)


def nowhere(solve: Solve, rider: Rider, restraint: Restraint, mode: Mode) -> bool:
    """Whether a rider can ride in a mode of a restraint at no position, whatever it is like."""
    row = solve.trip.vehicle.rows[0]
    return all(map(solve.runner.blocked_anywhere,
                   placements_in(rider, row, row.positions[0], restraint, mode, None)))


def _closed(solve: Solve, given_up: Container[str]) -> frozenset[tuple[int, int]]:
    """Riders and positions that a rule forbids which looks at nothing else: there they can ride in nothing. Rules about
    wishes that may be given up do not count."""
    rules = {rule.id for rule in solve.runner.placement_rules()
             if {"rider", "row", "position"} >= set(rule.depends) and rule.id not in given_up}
    return frozenset((r, choice.position) for r, choices in enumerate(solve.choices.per_rider) for choice in choices
                     if choice.restraint is None and any(
                         outcome == "block" and rule.id in rules
                         for cell in choice.all_cells for some in cell.answers for _, rule, outcome, _ in some.told))


def _frees_seat(change: Change) -> bool:
    """Whether the seat may come forward with it although a child rides there."""
    return change.kind == "switch-airbag-off"


def _holds_one(mask: int, sets: Container[int]) -> bool:
    """Whether a mask, of a few bits, holds one of some sets."""
    part = mask
    while part:
        if part in sets:
            return True
        part = (part - 1) & mask
    return False


def _matters(change: Change, row: Row, position: Position) -> bool:
    """Whether what a change does at one position changes the placements at another: a tether anchor that both would
    share, or a loop on the way to it, may be left alone."""
    if change.position == position.position:
        return True
    if not change.thing or all(other.position != change.position for other in row.positions):
        return False
    wanted = row.strap_uses(change.thing)
    return any(wanted & row.strap_uses(name) for name in (position.tether, position.retrofit_tether)
               if name is not None)
