"""Why a class is refused: the smallest group of its riders that cannot ride together, and the fewest rules against it.

Groups are asked from the smallest up, and a group that can ride is made as large as few steps allow: no part of it has
to be asked then. Of a party of seven in which every six can ride, that leaves about ten groups of over two hundred.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence, Set
from itertools import combinations
from typing import NamedTuple

from seatplan.solver.conflict import MOST_RIDERS, Group, Stopped, each_group
from seatplan.solver.minimal import bits
from seatplan.solver.placements import Choices, all_choices
from seatplan.solver.seater import RelaxedSearch, trip_masks
from seatplan.solver.solve import Solve
from seatplan.solver.walk import Steps

#: options tried for the conflict of one class: one of many, so it has less than a trip that somebody asks about
_MOST_STEPS = 60_000
#: options tried to make a group that can ride larger by one
_STEPS_LARGER = 100


class Refusal(NamedTuple):
    """``group``: indexes of riders, each of which can ride once any other one of them stays behind; ``rules``: the
    fewest that keep them from it, none where the search for these came to its limit."""

    group: tuple[int, ...]
    rules: tuple[str, ...]


def refusal(solve: Solve) -> Refusal | None:
    """Why nobody finds a way in a solve; None where the search came to its limit, or where there is one after all."""
    steps = Steps(_MOST_STEPS, None)
    try:
        # whoever rides like that breaks nothing: what rules block is not looked at before the group is known
        group = next(_groups(_seater(solve, solve.choices), steps), None)
    except Stopped:
        return None
    if group is None:
        return None
    seater = _seater(solve, all_choices(solve.trip, solve.runner, solve.kinds), group)
    try:
        mask, _ = Group(seater, group, steps).smallest_conflict()
    except Stopped:
        return Refusal(group, ())
    return Refusal(group, tuple(dict.fromkeys(str(seater.occasions.of_bit[bit].rule) for bit in bits(mask))))


def _seater(solve: Solve, choices: Choices, riders: Iterable[int] | None = None) -> RelaxedSearch:
    """A seater with every placement of some choices, of all riders or some of them; rows stay as the verdict has filled
    them."""
    seater = RelaxedSearch(solve)
    for rider in range(len(solve.trip.riders)) if riders is None else riders:
        for choice in choices.per_rider[rider]:
            for cell in choice.all_cells:
                seater.add(cell, rider, choice.position, choice.restraint)
    return seater


def _groups(seater: RelaxedSearch, steps: Steps) -> Iterator[tuple[int, ...]]:
    """The groups that cannot ride though each smaller part of them can, as ``each_group`` has them; of those that hold
    no other one the first alone is sure to be one. Raises Stopped."""
    everybody = range(len(seater.domains))
    # a rule of the whole trip may turn on somebody who is left out; without one, part of a seating is a seating
    if (len(everybody) > MOST_RIDERS or seater.solve.runner.trip_rules_bite()
            or trip_masks(seater.solve, seater.occasions, everybody)([])):
        yield from each_group(seater, steps)
        return
    can: list[Set[int]] = []
    for n in range(1, len(everybody)):
        for group in combinations(everybody, n):
            if any(map(frozenset(group).issubset, can)):
                continue
            if not _can(seater, group, steps):
                yield group
            else:
                can.append(_larger(seater, group))
    yield from each_group(seater, steps)


def _can(seater: RelaxedSearch, group: Sequence[int], steps: Steps) -> bool:
    return _have_seats(seater, group) and Group(seater, group, steps).find(-1) is not None


def _have_seats(seater: RelaxedSearch, group: Sequence[int]) -> bool:
    """Whether there is a seat of its own for each of a group, whatever else there is to say: most large groups have
    none, and counting tells."""
    wanted = sorted(({o.position for o in seater.domains[rider]} for rider in group), key=len)
    return all(len(set().union(*wanted[:n])) >= n for n in range(1, len(wanted) + 1))


def _larger(seater: RelaxedSearch, group: Sequence[int]) -> Set[int]:
    """A group that can ride, with whoever else can ride with it as far as few steps tell; the last ones first, among
    whom is the driver."""
    found = set(group)
    for rider in reversed(range(len(seater.domains))):
        if rider not in found:
            try:
                able = _can(seater, sorted({*found, rider}), Steps(_STEPS_LARGER, None))
            except Stopped:
                continue
            if able:
                found.add(rider)
    return found
