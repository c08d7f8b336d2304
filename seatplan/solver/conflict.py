"""Why nobody finds a way: the smallest groups that cannot travel together, and the fewest reasons that suffice."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import combinations
from typing import TYPE_CHECKING

from seatplan.frozen import frozen
from seatplan.rules.subjects import Pair, Seated

from .combine import count_plans, count_seatings
from .minimal import bits, hitting_sets, minimal_conflict, smallest_hitting_set, without_supersets
from .occasions import Occasion
from .rowplans import TOO_TIGHT
from .seater import RelaxedSearch, trip_masks, trip_runner
from .walk import Found, Steps
from .whole import may_matter

if TYPE_CHECKING:
    from seatplan.rules.finding import Finding
    from seatplan.rules.subjects import Placement

#: all smallest groups are looked for with up to so many riders
MOST_RIDERS = 9
#: after so many seatings tried for one conflict, the fewest reasons are no longer sought, only a set without spare ones
MOST_ROUNDS = 200
#: after so many options tried for all groups and reasons of a trip, the search for them stops
MOST_STEPS = 400_000
#: options tried for large groups, before small ones are asked
_STEPS_OF_LARGE = 2_000


class Stopped(Exception):
    """The search came to its limit before it knew."""


@frozen
class Reason:
    """One part of a conflict: an occasion, a finding that says it in numbers (None for room), and a seating of the
    group that this part alone stands in the way of. ``restraints``: for each one that the occasion names, the names of
    all that are alike, for which it holds as well."""

    occasion: Occasion
    finding: Finding | None
    opens: Found
    restraints: tuple[tuple[str, ...], ...]


@frozen
class Conflict:
    """Riders who cannot travel together, though every smaller group of them can, and what rules it out: drop any one
    reason and a seating opens. ``fewest``: no conflict of this group has fewer reasons."""

    riders: tuple[int, ...]
    reasons: tuple[Reason, ...]
    fewest: bool


class Group:
    """Some riders of a trip by themselves, the others left at home: what is possible for them."""

    def __init__(self, seater: RelaxedSearch, riders: Sequence[int], steps: Steps | None = None) -> None:
        """``steps`` are shared with whoever else has them; Stopped is raised where they come to an end."""
        self.seater, self.riders, self._steps = seater, tuple(riders), steps
        self._trip_mask = trip_masks(seater.solve, seater.occasions, riders)

    def find(self, active: int) -> Found | None:
        """A seating that breaks none of the ``active`` occasions; -1 stands for all there are."""
        walk = self.seater.walk(self.riders, lambda mask: not mask & active, self._trip_mask, steps=self._steps)
        found = next(walk, None)
        if found is None and self._steps is not None and self._steps.stopped:
            raise Stopped
        return found

    def all_breaking(self, broken: int) -> Iterator[Found]:
        """Every seating that breaks nothing but some of these occasions, as far as the steps go."""
        return self.seater.walk(self.riders, lambda mask: not mask & ~broken, self._trip_mask, steps=self._steps)

    def corrections(self) -> list[int]:
        """All smallest sets of occasions without which the group could travel: one sweep over its seatings, in which
        whatever holds a set already found is cut off."""
        found: list[int] = []

        def keep(mask: int) -> bool:
            return not any(mask & small == small for small in found)

        for seating in self.seater.walk(self.riders, keep, self._trip_mask):
            found = without_supersets([*found, seating.mask])
        return found

    def conflicts(self) -> list[int]:
        """All smallest sets of occasions that keep the group from travelling."""
        return hitting_sets(self.corrections())

    def smallest_conflict(self) -> tuple[int, bool]:
        """A conflict with the fewest occasions, and whether that is sure.

        Ignatiev et al. 2015, "Smallest MUS extraction with minimal hitting set dualization", CP 2015: the fewest
        occasions that hit all corrections known so far are tried; as long as a seating obeys them all, what it
        breaks gives one more correction. ValueError if nothing stands in the way.
        """
        corrections: list[int] = []
        tried = 0
        for _ in range(MOST_ROUNDS):
            tried = smallest_hitting_set(corrections)
            seating = self.find(tried)
            if seating is None:
                return tried, True
            if not seating.mask:
                raise ValueError("they can travel together")
            corrections.append(self._shrunk(seating).mask)
        everything = list(bits(_union(corrections)))
        everything.sort(key=lambda bit: (not self.seater.occasions.of_bit[bit].wish, bit))
        if self.find(sum(everything)) is not None:
            return minimal_bits(self), False
        return sum(minimal_conflict(everything, lambda mask: self.find(mask) is not None)), False

    def _shrunk(self, seating: Found) -> Found:
        """A seating that breaks part of what the given one does, and from which nothing can be spared."""
        for bit in bits(seating.mask):
            if seating.mask & bit:
                fewer = self.find(~(seating.mask & ~bit))
                if fewer is not None:
                    seating = fewer
        return seating


def minimal_bits(group: Group) -> int:
    """A conflict without spare occasions, out of all that the group's seatings can meet."""
    known = sorted(group.seater.occasions.of_bit)
    return sum(minimal_conflict(known, lambda mask: group.find(mask) is not None))


def _union(masks: Sequence[int]) -> int:
    union = 0
    for mask in masks:
        union |= mask
    return union


def smallest_groups(seater: RelaxedSearch, steps: Steps | None = None) -> tuple[tuple[int, ...], ...]:
    """The groups of riders that cannot travel together although each smaller part of them can, smallest first. Empty
    where all can. With more than ``MOST_RIDERS`` riders only one is looked for, by leaving riders out one by one.
    Raises Stopped where ``steps`` come to an end."""
    return tuple(each_group(seater, steps))


def each_group(seater: RelaxedSearch, steps: Steps | None = None) -> Iterator[tuple[int, ...]]:
    """The same one by one, so that whoever wants the smallest need not wait for all."""
    everybody = tuple(range(len(seater.domains)))
    if len(everybody) > MOST_RIDERS:
        yield from _one_group(seater, everybody, steps)
        return
    found: list[frozenset[int]] = []
    # a rule of the whole trip may turn on somebody who is left out; without one, part of a seating is a seating
    lasting = trip_masks(seater.solve, seater.occasions, everybody)([]) == 0 and not _trip_rules(seater)
    can = list(_large_ones(seater, everybody)) if lasting else []
    for n in range(1, len(everybody) + 1):
        for group in combinations(everybody, n):
            members = frozenset(group)
            if any(small <= members for small in found) or (lasting and any(members <= big for big in can)):
                continue
            if not _can(seater, group, steps):
                found.append(members)
                yield group
            else:
                can.append(members)


def _large_ones(seater: RelaxedSearch, everybody: Sequence[int]) -> Iterator[frozenset[int]]:
    """Groups of all but one or two riders that can travel together, as far as few steps tell: no part of them need be
    asked."""
    found: list[frozenset[int]] = []
    steps = Steps(_STEPS_OF_LARGE, None)
    for left_out in (1, 2) if len(everybody) > 2 else ():
        for group in combinations(everybody, len(everybody) - left_out):
            members = frozenset(group)
            if any(members <= big for big in found):
                continue
            try:
                able = _can(seater, group, steps)
            except Stopped:
                return
            if able:
                found.append(members)
                yield members


def _trip_rules(seater: RelaxedSearch) -> bool:
    return seater.solve.runner.trip_rules_bite()


def _can(seater: RelaxedSearch, group: Sequence[int], steps: Steps | None) -> bool:
    """Whether a group can travel together. For everybody the rows of the solve have been filled and are counted."""
    solve = seater.solve
    if len(group) == len(solve.trip.riders):
        if solve.short:
            return False
        if solve.complete and not may_matter(solve):
            rows = [count_plans(plan for plan in plans if plan.level < TOO_TIGHT) for plans in solve.rows]
            ways = count_seatings(rows, solve.everybody, solve.lanes.nothing, solve.lanes.join,
                                  solve.resources.shared)
            return any(solve.lanes.level(way) < TOO_TIGHT for way in ways)
    return Group(seater, group, steps).find(-1) is not None


def _one_group(seater: RelaxedSearch, everybody: Sequence[int], steps: Steps | None) -> tuple[tuple[int, ...], ...]:
    if _can(seater, everybody, steps):
        return ()
    group = list(everybody)
    for rider in everybody:
        fewer = [r for r in group if r != rider]
        if fewer and not _can(seater, fewer, steps):
            group = fewer
    return (tuple(group),)


def smallest_conflict(seater: RelaxedSearch, riders: Sequence[int], steps: Steps | None = None) -> Conflict:
    """The reasons of one group, fewest first; each with the seating that opens without it. Raises Stopped where
    ``steps`` come to an end."""
    group = Group(seater, riders, steps)
    mask, fewest = group.smallest_conflict()
    reasons = []
    for bit in bits(mask):
        opens = group.find(mask & ~bit)
        if opens is None:
            raise RuntimeError("a reason of a conflict can be spared")
        occasion = seater.occasions.of_bit[bit]
        alike = tuple(seater.solve.kinds.named(name) for name in occasion.restraints if name)
        reasons.append(Reason(occasion, _said_of(seater, bit, opens), seater.given_out(opens), alike))
    return Conflict(tuple(riders), tuple(reasons), fewest)


def _said_of(seater: RelaxedSearch, bit: int, opens: Found) -> Finding | None:
    """The finding that says an occasion of the seating that it stands in the way of. An occasion told by its position
    alone was perhaps met first with somebody outside the group."""
    solve, everyone = seater.solve, opens.placements
    alone = [((o.cell.placement,), o.cell.findings) for o in opens.options if o.cell is not None]
    pairs = [((a, b), solve.runner.pair(Pair(a, b))) for a, b in combinations(everyone, 2)]
    group = trip_runner(solve, [option.rider for option in opens.options])
    whole = [] if group is None else [(everyone, group.trip(Seated(everyone)))]
    subjects: Sequence[tuple[tuple[Placement, ...], Sequence[Finding]]] = [*alone, *pairs, *whole]
    return next((finding for placements, findings in subjects for finding in findings
                 if seater.occasions.of_findings((finding,), placements, solve.world.options) == bit), None)
