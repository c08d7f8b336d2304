"""Shortages against Hall's condition over every group of riders."""

from __future__ import annotations

from itertools import combinations
from random import Random
from types import SimpleNamespace
from typing import Any

import pytest

from seatplan.solver.kinds import Kinds
from seatplan.solver.placements import Assignment, Choices, JudgedPlacement
from seatplan.solver.shortage import Shortage, find_shortage, plainly_short, too_few

Wanted = list[tuple[int, int | None, bool]]          # position, restraint, open


def choices(*riders: Wanted, first: tuple[int, ...] = ()) -> Choices:
    """``first``: by restraint the first that it is alike with."""
    trip: Any = None
    # only whether there is one counts, and that it hangs on no anchor
    cell: JudgedPlacement = SimpleNamespace(placement=SimpleNamespace(tether=None, bars=()))  # type: ignore[assignment]
    per_rider = [[Assignment(r, position, restraint, "mode", (cell,) * is_open, (cell,))
                  for position, restraint, is_open in own] for r, own in enumerate(riders)]
    return Choices(trip, (), tuple(map(tuple, per_rider)), Kinds((), first))


def short_groups(wants: dict[int, set[int]]) -> list[tuple[int, ...]]:
    """Every group that shares fewer things than it has members, smallest first."""
    return [group for n in range(1, len(wants) + 1) for group in combinations(sorted(wants), n)
            if len(set().union(*(wants[r] for r in group))) < n]


@pytest.mark.parametrize("seed", range(300))
def test_too_few_is_whether_any_group_is_short(seed: int) -> None:
    rng = Random(seed)
    wants = {r: {rng.randrange(4) for _ in range(rng.randrange(4))} for r in range(rng.randrange(1, 5))}
    assert too_few(wants) == bool(short_groups(wants))


@pytest.mark.parametrize("seed", range(300))
def test_as_hall_says(seed: int) -> None:
    rng = Random(seed)
    riders: list[Wanted] = [[(rng.randrange(4), rng.choice((None, 0, 1, 2)), rng.random() < 0.6)
                             for _ in range(rng.randrange(6))] for _ in range(rng.randrange(1, 5))]
    positions = {r: {p for p, _, is_open in own if is_open} for r, own in enumerate(riders)}
    bound = {r: {s for _, s, is_open in own if is_open and s is not None} for r, own in enumerate(riders)
             if not any(is_open and s is None for _, s, is_open in own)}
    found = find_shortage(choices(*riders))
    for thing, wants in (("position", positions), ("restraint", bound)):
        groups = short_groups(wants)
        if groups:
            assert found is not None
            assert found.thing == thing
            assert found.riders in groups
            # one rider fewer, and it is no shortage any more
            assert not [group for group in groups if set(group) < set(found.riders)]
            assert found.have == tuple(sorted(set().union(*(wants[r] for r in found.riders))))
            break
    else:
        assert found is None
        assert not plainly_short(choices(*riders))


def test_more_riders_than_positions() -> None:
    riders = choices([(0, None, True)], [(0, None, True)], [(1, None, True)])
    assert plainly_short(riders)
    assert find_shortage(riders) == Shortage("position", (0, 1), (0,))


def test_as_many_positions_as_riders() -> None:
    riders = choices([(0, None, True)], [(1, None, True)])
    assert not plainly_short(riders)
    assert find_shortage(riders) is None


def test_a_rider_without_any_open_choice() -> None:
    riders = choices([(0, None, False)], [(1, None, True), (2, None, True)])
    assert plainly_short(riders)
    assert find_shortage(riders) == Shortage("position", (0,), ())


def test_two_riders_and_one_restraint() -> None:
    riders = choices([(0, 5, True), (1, 5, True)], [(0, 5, True), (1, 5, True), (1, 6, False)])
    assert plainly_short(riders)
    assert find_shortage(riders) == Shortage("restraint", (0, 1), (5,))


def test_the_adult_belt_needs_no_restraint() -> None:
    riders = choices([(0, 5, True), (1, 5, True)], [(0, 5, True), (1, None, True)])
    assert not plainly_short(riders)
    assert find_shortage(riders) is None


def test_an_adult_belt_that_is_ruled_out_does_not_count() -> None:
    riders = choices([(0, 5, True), (1, 5, True)], [(0, 5, True), (1, 5, True), (1, None, False)])
    assert plainly_short(riders)
    assert find_shortage(riders) == Shortage("restraint", (0, 1), (5,))


def test_a_shortage_that_counting_alone_does_not_show() -> None:
    """Three riders, three seats, but two of them fit one only."""
    riders = choices([(0, None, True)], [(0, None, True)], [(1, None, True), (2, None, True)])
    assert not plainly_short(riders)
    assert find_shortage(riders) == Shortage("position", (0, 1), (0,))


def test_copies_count() -> None:
    """Two of one kind carry two children; three share only the two, and all copies are named."""
    wanted: list[Wanted] = [[(r, 0, True)] for r in range(3)]
    assert find_shortage(choices(*wanted[:2], first=(0, 0))) is None
    riders = choices(*wanted, first=(0, 0))
    assert plainly_short(riders)
    assert find_shortage(riders) == Shortage("restraint", (0, 1, 2), (0, 1))
