"""The unranked enumeration on bitmasks, against every product of choices."""

from __future__ import annotations

from itertools import combinations, product
from random import Random
from types import SimpleNamespace
from typing import Any

import pytest

from seatplan.solver.placements import Assignment
from seatplan.solver.resources import Resources
from seatplan.solver.rowplans import CONTESTED, FITS, TOO_TIGHT, UNSURE, RowAssignment
from seatplan.solver.seatings import every_seating, forbidden_threes, seatings


@pytest.mark.parametrize("seed", range(60))
def test_all_that_sit_beside_each_other_and_no_forbidden_three(seed: int) -> None:
    rng = Random(seed)
    sizes = [rng.randrange(1, 5) for _ in range(rng.randrange(1, 5))]
    numbers = list(range(sum(sizes)))
    domains = [[numbers.pop(0) for _ in range(size)] for size in sizes]
    total = sum(sizes)
    pairs = {pair for pair in combinations(range(total), 2) if rng.random() < 0.8}
    beside = [sum(1 << j for j in range(total) if (min(i, j), max(i, j)) in pairs) for i in range(total)]
    threes = {three for three in combinations(range(total), 3) if rng.random() < 0.15}
    slow = [chosen for chosen in product(*domains)
            if all(pair in pairs for pair in combinations(sorted(chosen), 2))
            and not any(three in threes for three in combinations(sorted(chosen), 3))]
    assert sorted(seatings(domains, beside, forbidden_threes(threes))) == slow


def test_nobody_to_seat() -> None:
    assert list(seatings([], [], {})) == []
    assert list(seatings([[0, 1]], [0, 0], {})) == [(0,), (1,)]
    assert list(seatings([[], [0]], [0], {})) == []


def test_forbidden_threes_by_each_pair() -> None:
    assert forbidden_threes([]) == {}
    assert forbidden_threes([(0, 1, 2), (0, 1, 4)]) == {
        0: {1: 0b10100, 2: 0b10, 4: 0b10}, 1: {0: 0b10100, 2: 0b1, 4: 0b1}, 2: {0: 0b10, 1: 0b1}, 4: {0: 0b10, 1: 0b1}}


class Lanes:
    """Ways as sets of bits; one that holds both of the lowest two bits is too long for the car."""

    nothing = 0

    def asks(self, way: int) -> bool:
        return bool(way)

    def join(self, one: int, other: int) -> int:
        return one | other

    def level(self, way: int) -> int:
        return TOO_TIGHT if way & 3 == 3 else UNSURE


def made_up(rows: list[list[RowAssignment]], riders: int, row_at: list[int], bites: bool, resources: Resources) -> Any:
    """A solve that knows its rows, turns down rider 0 at position 0 by a rule of the whole trip, if any bites."""
    return SimpleNamespace(
        rows=rows, trip=SimpleNamespace(riders=[SimpleNamespace(adult=True)] * riders), row_at=row_at, lanes=Lanes(),
        resources=resources,
        runner=SimpleNamespace(trip_rules_bite=lambda: bites), world=None, trip_findings=lambda seated: seated,
        blocks=lambda seated: 0 in seated.placements)


def choice(rider: int, position: int, restraint: int | None = None) -> Assignment:
    cell: Any = SimpleNamespace(placement=(10 * rider + position) or 0)
    return Assignment(rider, position, restraint, "mode", (cell,), (cell,))


@pytest.mark.parametrize("seed", range(60))
@pytest.mark.parametrize("bites", [False, True])
def test_as_many_seatings_as_row_plans_make(seed: int, bites: bool) -> None:
    """Two rows of three and two positions, three riders; what fits side by side is drawn, parts before the whole."""
    rng = Random(seed)
    row_at = [0, 0, 0, 1, 1]
    choices = [[choice(rider, position, rng.choice((None, None, 0, 1))) for rider in range(3) if rng.random() < 0.9]
               for position in range(5)]
    copies = {0: rng.choice((1, 2)), 1: rng.choice((1, 2))}
    resources = Resources((c for own in choices for c in own), copies)
    rows: list[list[RowAssignment]] = []
    lengthwise = rng.random() < 0.5
    for row in (0, 1):
        fitting: set[tuple[int, ...]] = {()}
        plans = []
        seats = [own for own, at in zip(choices, row_at, strict=True) if at == row]
        for chosen in sorted(product(*[(None, *own) for own in seats]), key=lambda c: sum(x is not None for x in c)):
            own = [c for c in chosen if c is not None]
            held = [c.restraint for c in own if c.restraint is not None]
            if len({c.rider for c in own}) < len(own) or any(held.count(r) > copies[r] for r in held):
                continue
            parts = [tuple(id(c) for c in own if c is not left) for left in own]
            likely = 0.97 if len(own) < 2 else 0.75
            fits = not own or (all(part in fitting for part in parts) and rng.random() < likely)
            if fits:
                fitting.add(tuple(id(c) for c in own))
            way = rng.choice((0, 0, 1, 2, 4)) if lengthwise and own else 0
            level = rng.choice((FITS, UNSURE)) if fits else rng.choice((TOO_TIGHT, CONTESTED))
            plans.append(RowAssignment(tuple(own), sum(1 << c.rider for c in own), sum(map(resources.of, own)),
                                 level, 0, (), way))
        rows.append(plans)
    slow = set()
    for first, second in product(*rows):
        own = [*first.choices, *second.choices]
        if max(first.level, second.level) >= TOO_TIGHT or first.riders | second.riders != 7 or len(own) != 3:
            continue
        held = [c.restraint for c in own if c.restraint is not None]
        if any(held.count(r) > copies[r] for r in held) or (first.way | second.way) & 3 == 3:
            continue
        if bites and any(c.rider == 0 == c.position for c in own):
            continue
        slow.add(tuple(id(c) for c in sorted(own, key=lambda c: c.rider)))
    found = [tuple(id(c) for c in seating) for seating in every_seating(made_up(rows, 3, row_at, bites, resources))]
    assert len(found) == len(set(found))
    assert set(found) == slow
