"""The grid of riders by positions, against every whole seating."""

from __future__ import annotations

from itertools import product
from random import Random
from typing import Any

import pytest

from seatplan.solver.grid import Square, grid
from seatplan.solver.placements import Assignment
from seatplan.solver.resources import Shared
from seatplan.solver.rowplans import CLOSE_FIT, CONTESTED, FITS, LIKELY_FIT, TOO_TIGHT, UNSURE, RowAssignment

RIDERS, POSITIONS = 3, 4


class Lanes:
    """A way is the worst level that its rows come to together."""

    nothing = 0

    def join(self, one: int, other: int) -> int:
        return max(one, other)

    def level(self, way: int) -> int:
        return way


def choice(rider: int, position: int) -> Assignment:
    return Assignment(rider, position, None, "mode", (), ())


def random_rows(rng: Random) -> list[list[RowAssignment]]:
    rows = []
    for seats in ((0, 1), (2, 3)):
        plans = []
        for _ in range(rng.randrange(1, 12)):
            riders = rng.sample(range(RIDERS), rng.randrange(3))
            choices = tuple(choice(r, p) for r, p in zip(riders, seats, strict=False))
            level = rng.choice((FITS, CLOSE_FIT, LIKELY_FIT, UNSURE, TOO_TIGHT, CONTESTED))
            way = rng.choice((level, level, TOO_TIGHT))          # with the other row the car may be too short
            plans.append(RowAssignment(choices, sum(1 << r for r in riders), rng.choice((0, 0, 1, 4)), level, 0, (),
                                       way))
        rows.append(plans)
    return rows


def solved(rows: list[list[RowAssignment]], allowed: set[tuple[int, int]], changes: dict[tuple[int, int], list[int]],
           riders: int = RIDERS, positions: int = POSITIONS) -> dict[tuple[int, int], Square]:
    lanes: Any = Lanes()
    return grid(rows, lanes, Shared(0, 0b1010), riders, positions, allowed, changes)


@pytest.mark.parametrize("seed", range(60))
def test_as_counted_seating_by_seating(seed: int) -> None:
    rng = Random(seed)
    rows = random_rows(rng)
    counted = {(r, p): [0] * 6 for r in range(RIDERS) for p in range(POSITIONS)}
    for first, second in product(*rows):
        if first.riders & second.riders or first.riders | second.riders != 7 or first.resources & second.resources:
            continue
        for c in (*first.choices, *second.choices):
            counted[c.rider, c.position][max(first.level, first.way, second.level, second.way)] += 1
    allowed = {(0, 0), (2, 3)}
    expected = {}
    for key, levels in counted.items():
        valid = [level for level in (FITS, CLOSE_FIT, LIKELY_FIT, UNSURE) if levels[level]]
        expected[key] = Square(sum(levels[:4]), min(valid, default=None), key in allowed)
    assert solved(rows, allowed, {}) == expected


def test_what_the_rules_of_the_trip_change() -> None:
    """Two riders in two seats, both ways fit; one of them is turned down, the other becomes unmeasured."""
    rows = [[RowAssignment((choice(0, 0), choice(1, 1)), 3, 0, FITS, 0, (), FITS),
             RowAssignment((choice(1, 0), choice(0, 1)), 3, 0, CLOSE_FIT, 0, (), CLOSE_FIT)]]
    changes = {(0, 0): [-1, 0, 0, 0, 0, 0], (1, 1): [-1, 0, 0, 0, 0, 0], (1, 0): [0, -1, 0, 1, 0, 0],
               (0, 1): [0, -1, 0, 1, 0, 0]}
    assert solved(rows, {(0, 1)}, changes, 2, 2) == {
        (0, 0): Square(0, None, False), (1, 1): Square(0, None, False),
        (1, 0): Square(1, UNSURE, False), (0, 1): Square(1, UNSURE, True)}


def test_a_row_with_nobody_in_it_counts_for_the_others() -> None:
    nobody = RowAssignment((), 0, 0, FITS, 0, (), FITS)
    own = RowAssignment((choice(0, 0),), 1, 0, FITS, 0, (), FITS)
    assert solved([[nobody], [nobody, own]], set(), {}, 1, 1) == {(0, 0): Square(1, FITS, False)}


def test_plans_alike_are_taken_together() -> None:
    """Three ways to fill the row, two of which differ in nothing that the other rows see."""
    rows = [[RowAssignment((choice(0, 0),), 1, 0, FITS, 0, (), FITS), RowAssignment((choice(0, 1),), 1, 0, FITS, 0, (),
                                                                                    FITS),
             RowAssignment((choice(0, 1),), 1, 0, FITS, 1, (), FITS)],
            [RowAssignment((choice(1, 2),), 2, 0, FITS, 0, (), FITS), RowAssignment((choice(1, 2),), 2, 0, UNSURE, 0,
                                                                                    (), UNSURE)]]
    assert solved(rows, set(), {}, 2, 3) == {
        (0, 0): Square(2, FITS, False), (0, 1): Square(4, FITS, False), (0, 2): Square(0, None, False),
        (1, 0): Square(0, None, False), (1, 1): Square(0, None, False), (1, 2): Square(6, FITS, False)}
