"""The tally, by hand and against every product of choices."""

from __future__ import annotations

from itertools import product
from random import Random

import pytest

from seatplan.solver.placements import Assignment, JudgedPlacement
from seatplan.solver.resources import Resources
from seatplan.solver.tally import Tally, tally

#: nobody wants a scarce restraint, or a position beside the own one
NONE = Resources((), {})


def choices(*riders: list[tuple[int, bool]]) -> list[list[Assignment]]:
    cell: JudgedPlacement = None                                # type: ignore[assignment]  # only whether there is one counts
    return [[Assignment(r, position, None, "mode", (cell,) * is_open, (cell,)) for position, is_open in own]
            for r, own in enumerate(riders)]


def test_every_number_by_hand() -> None:
    """Two riders with four and five choices: 20 seatings. One of each is ruled out: 3 x 4 = 12 are left, of which 4
    put both on one seat. Of 8, 7 have a restraint for each: 2 fit, 2 are close, 1 unsure, 1 too tight, 1 contested. A
    rule of the whole trip turns down one that fits, and leaves one close one in doubt."""
    riders = choices([(0, True), (1, True), (1, True), (2, False)],
                     [(0, True), (0, True), (1, True), (2, True), (3, False)])
    assert tally(riders, [2, 2, 0, 1, 1, 1], [1, 0, 0, 0, 0, 0], [0, 1, 0, 0, 0, 0], True, NONE) == Tally(
        seatings=20, valid=4, placement=8, contest=7, squeeze=1,
        contests={"position": 4, "restraint": 1, "together": 2},
        sure={"fits": 1, "close": 1, "likely": 0, "unmeasured": 2}, complete=True)


def test_turned_down_and_in_doubt_at_each_level() -> None:
    riders = choices([(p, True) for p in range(10)], [(p, True) for p in range(10, 20)])
    found = tally(riders, [50, 14, 6, 10, 7, 5], [4, 2, 1, 2, 0, 0], [5, 1, 1, 0, 0, 0], False, NONE)
    assert found == Tally(
        100, 46 + 12 + 5 + 8, 0, 100 - 71 - 7, 7,
        {"position": 0, "restraint": 100 - 92, "together": 5 + 9},
        {"fits": 41, "close": 11, "likely": 4, "unmeasured": 8 + 7}, False)
    assert found.contest == sum(found.contests.values())
    assert found.valid == sum(found.sure.values())
    assert Tally(1, 1, 0, 0, 0) == Tally(1, 1, 0, 0, 0, {}, {}, True)


def test_nobody_rides() -> None:
    assert tally([], [1, 0, 0, 0, 0, 0], [0] * 6, [0] * 6, True, NONE).contests == {
        "position": 0, "restraint": 0, "together": 0}


@pytest.mark.parametrize("seed", range(60))
def test_positions_used_twice_are_counted_exactly(seed: int) -> None:
    rng = Random(seed)
    own = [[(rng.randrange(5), rng.random() < 0.8) for _ in range(rng.randrange(1, 6))]
           for _ in range(rng.randrange(1, 5))]
    open_only = [[position for position, is_open in rider if is_open] for rider in own]
    twice = sum(len(set(seats)) < len(seats) for seats in product(*open_only))
    assert tally(choices(*own), [0] * 6, [0] * 6, [0] * 6, True, NONE).contests["position"] == twice


def test_more_riders_than_seats() -> None:
    found = tally(choices(*[[(0, True), (1, True)]] * 3), [0] * 6, [0] * 6, [0] * 6, True, NONE)
    assert found.contests == {"position": 8, "restraint": 0, "together": 0}
