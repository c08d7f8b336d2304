"""The plans of one row, asked of a made-up row whose answers are known, against every pick one could make."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from itertools import combinations, product
from random import Random
from typing import Any

import pytest

from seatplan.solver.placements import Choice
from seatplan.solver.ranking import CLOSE, LIKELY, SQUEEZED, UNMEASURED, certainty, cost
from seatplan.solver.resources import Resources
from seatplan.solver.rowplans import (
    CLOSE_FIT,
    CONTESTED,
    FITS,
    LEVELS,
    LIKELY_FIT,
    TOO_TIGHT,
    UNSURE,
    Fill,
    Room,
    RowPlan,
    RowPlans,
    best_fill,
    fill_cost,
    level_of,
    picked,
    row_plans,
)

#: a cell of these tests: (kind, cost)
Cell = tuple[int, int]


class MadeUp:
    """A row whose answers follow from the numbers of the kinds, and which counts how often it is asked."""

    def __init__(self, seed: int = 0) -> None:
        self._seed = seed
        self._ways: dict[frozenset[tuple[int, int]], int] = {}
        self.rooms_asked = 0

    def _drawn(self, *what: object) -> Random:
        return Random(repr((self._seed, *what)))

    def kind(self, cell: Cell) -> int:
        return cell[0]

    def room(self, cells: Sequence[Cell]) -> Room:
        self.rooms_asked += 1
        rng = self._drawn("room", [kind for kind, _ in cells])
        short = rng.choice((0, 0, 0, 0.5, 7))
        return Room(short, rng.choice((None, 0, 12.5, 250)), rng.random() < 0.2, rng.random() < 0.3,
                    rng.random() < 0.2)

    def rooms(self, before: Sequence[Cell], cells: Sequence[Cell]) -> Callable[[int], Room | None]:
        """Known of some, to be asked of the others."""
        known = self._drawn("known", [kind for kind, _ in before])
        return lambda i: self.room([*before, cells[i]]) if known.random() < 0.5 else None

    def clash(self, left: Cell, right: Cell) -> tuple[bool, int, bool]:
        rng = self._drawn("clash", left[0], right[0])
        unmeasured = rng.random() < 0.2
        return rng.random() < 0.3, cost(certainty=UNMEASURED * unmeasured, cautions=rng.randrange(3)), unmeasured

    def lane(self, cells: Sequence[Cell]) -> int:
        return self._drawn("lane", [kind for kind, _ in cells]).choice((0, 0, 1, 2)) if cells else 0

    def way(self, lanes: frozenset[tuple[int, int]]) -> int:
        return self._ways.setdefault(lanes, len(self._ways))


def choice(rider: int, restraint: int | None, *cells: Cell) -> Choice:
    made: Any = cells                                # the search hands cells on without looking into them
    return Choice(rider, 0, restraint, "mode", made, made)


def plans(seats: list[list[Choice]], row: MadeUp, limit: int, tick: Callable[[int], None] | None = None) -> RowPlans:
    """Of one of each restraint."""
    return row_plans(seats, row, lambda cell: cell[1], limit, tick, resources=one_of_each(seats))


def one_of_each(seats: list[list[Choice]]) -> Resources:
    choices = [c for options in seats for c in options]
    return Resources(choices, {c.restraint: 1 for c in choices if c.restraint is not None})


def random_seats(rng: Random) -> list[list[Choice]]:
    return [[choice(rng.randrange(3), rng.choice((None, 0, 1)),
                    *((rng.randrange(6), cost(cautions=rng.randrange(4))) for _ in range(rng.randrange(1, 4))))
             for _ in range(rng.randrange(4))] for _ in range(3)]


def slowly(seats: list[list[Choice]], row: MadeUp) -> dict[tuple[int, ...], tuple[Any, ...]]:
    """Level, cost, fills and way of every set of choices of different riders and restraints."""
    found: dict[tuple[int, ...], tuple[Any, ...]] = {}
    for chosen in product(*[(None, *options) for options in seats]):
        choices = [c for c in chosen if c is not None]
        restraints = [c.restraint for c in choices if c.restraint is not None]
        if len({c.rider for c in choices}) < len(choices) or len(set(restraints)) < len(restraints):
            continue
        fits, tights = [], []
        for pick in product(*(range(len(c.cells)) for c in choices)):
            cells: list[Any] = [c.cells[i] for c, i in zip(choices, pick, strict=True)]
            pairs = [row.clash(a, b) for a, b in combinations(cells, 2)]
            if any(blocked for blocked, _, _ in pairs):
                continue
            extra, room = sum(extra for _, extra, _ in pairs), row.room(cells)
            if not choices:
                fits.append(Fill((), 0, 0))
            elif room.short_mm:
                tights.append(Fill(pick, extra + cost(certainty=SQUEEZED + int(2 * room.short_mm)), 0))
            else:
                doubt = UNMEASURED if room.unsure or any(u for _, _, u in pairs) else (
                    LIKELY if room.likely else CLOSE * room.close)
                left = 100 - min(100, int(room.spare_mm)) if room.spare_mm is not None else 0
                fits.append(Fill(pick, extra + cost(certainty=doubt, room=left), row.lane(cells)))
        fills = tuple(fits or tights)
        totals = [f.cost + sum(c.cells[i][1] for c, i in zip(choices, f.pick, strict=True)) for f in fills]  # type: ignore[index]
        key = tuple(id(c) for c in choices)
        if not fills:
            found[key] = (CONTESTED, 0, (), row.way(frozenset({(0, CONTESTED)})))
            continue
        levels = [level_of(total) for total in totals]
        lanes = {(0, TOO_TIGHT)} if min(levels) == TOO_TIGHT else {
            (f.lane, level) for f, level in zip(fills, levels, strict=True)}
        found[key] = (min(levels), min(totals), fills, row.way(frozenset(lanes)))
    return found


@pytest.mark.parametrize("seed", range(40))
def test_every_plan_as_worked_out_slowly(seed: int) -> None:
    seats, row = random_seats(Random(seed)), MadeUp(seed)
    found = plans(seats, row, 10_000)
    assert found.complete
    slow = slowly(seats, row)
    told = {tuple(id(c) for c in plan.choices): plan for plan in found.plans}
    assert len(told) == len(found.plans)
    # what contains a part that clashes clashes: the search does not ask again
    assert set(told) == set(slow)
    for key, plan in told.items():
        level, packed, fills, way = slow[key]
        assert (plan.level, plan.cost, plan.fills, plan.way) == (level, packed, fills, way)
        assert plan.riders == sum(1 << c.rider for c in plan.choices)
        assert plan.resources == sum(map(one_of_each(seats).of, plan.choices))


def test_the_empty_plan_comes_first_and_then_from_left_to_right() -> None:
    left, right, other = choice(0, None, (0, 0)), choice(1, None, (1, 0)), choice(0, 3, (2, 0))
    found = plans([[left, other], [right]], MadeUp(), 100)
    assert [plan.choices for plan in found.plans] == [
        (), (left,), (left, right), (other,), (other, right), (right,)]
    empty = found.plans[0]
    assert (empty.riders, empty.resources, empty.level, empty.cost, empty.fills) == (0, 0, FITS, 0, (Fill((), 0, 0),))
    assert [plan.riders for plan in found.plans] == [0, 1, 3, 1, 3, 2]
    assert [plan.resources for plan in found.plans] == [0] * 6          # nobody else could use restraint 3


def test_nobody_sits_twice_and_no_restraint_is_used_twice() -> None:
    seats = [[choice(0, 0, (0, 0))], [choice(0, 1, (1, 0)), choice(1, 0, (2, 0))]]
    assert [len(plan.choices) for plan in plans(seats, MadeUp(), 100).plans] == [0, 1, 1, 1]


@pytest.mark.parametrize(("limit", "complete", "n"), [(4, True, 4), (5, True, 4), (3, False, 3), (1, False, 1)])
def test_a_limit_that_was_hit_is_told(limit: int, complete: bool, n: int) -> None:
    seats = [[choice(0, None, (0, 0))], [choice(1, None, (1, 0))]]
    found = plans(seats, MadeUp(), limit)
    assert (found.complete, len(found.plans)) == (complete, n)
    assert RowPlans() == RowPlans([], True)


def test_progress_is_told_every_4096_plans() -> None:
    seats = [[choice(rider, None, (0, 0)) for rider in riders] for riders in (range(95), range(95, 190))]
    told: list[int] = []
    found = plans(seats, MadeUp(), 100_000, told.append)
    assert len(found.plans) == 1 + 95 + 95 + 95 * 95
    assert told == [4096, 8192]


def test_look_alikes_are_judged_once() -> None:
    """Two riders of one kind at each seat: the row is asked of one alone, and of two, once a kind."""
    seats = [[choice(0, None, (0, 0)), choice(1, None, (0, 5))], [choice(2, None, (1, 0)), choice(3, None, (1, 7))]]
    row = MadeUp(3)
    found = plans(seats, row, 100)
    assert len(found.plans) == 9
    assert row.rooms_asked <= 3
    alone = {plan.choices[0].rider: plan for plan in found.plans if len(plan.choices) == 1}
    assert alone[1].fills is alone[0].fills
    assert (alone[1].cost - alone[0].cost, alone[3].cost - alone[2].cost) == (5, 7)


@pytest.mark.parametrize(("doubt", "level"), [
    (0, FITS), (CLOSE, CLOSE_FIT), (LIKELY - 1, CLOSE_FIT), (LIKELY, LIKELY_FIT),
    (UNMEASURED - 1, LIKELY_FIT), (UNMEASURED, UNSURE), (SQUEEZED - 1, UNSURE),
    (SQUEEZED, TOO_TIGHT), (SQUEEZED + 1, TOO_TIGHT)])
def test_levels_of_doubt(doubt: int, level: int) -> None:
    assert level_of(cost(certainty=doubt, room=100)) == level
    assert certainty(cost(certainty=doubt, cautions=3)) == doubt


def test_levels_have_their_names() -> None:
    assert [LEVELS[level] for level in (FITS, CLOSE_FIT, UNSURE, TOO_TIGHT, CONTESTED)] == [
        "fits", "close", "unmeasured", "squeeze", "contest"]


def test_what_clashes_is_not_asked_again_with_more() -> None:
    """Two of three seats clash, so the three together are contested without another question."""
    class Clashing(MadeUp):
        asked = 0

        def clash(self, left: Cell, right: Cell) -> tuple[bool, int, bool]:
            self.asked += 1
            return (left[0], right[0]) == (0, 1), 0, False

    row = Clashing()
    found = plans([[choice(i, None, (i, 0))] for i in range(3)], row, 100)
    assert [plan.level == CONTESTED for plan in found.plans] == [False, False, True, True, False, False, False, False]
    assert row.asked == 3


def test_a_plan_is_only_itself() -> None:
    """Plans are told apart by identity: two alike are two."""
    one, other = (RowPlan((), 0, 0, FITS, 0, (), 0) for _ in range(2))
    assert one != other
    assert len({one, other}) == 2


def test_the_best_fill_and_its_cells() -> None:
    """5 + 0 + 1 against 0 + 3 + 3: alike, so that the first of the file counts; a dearer one never does."""
    one, other = choice(0, None, (0, 0), (1, 3)), choice(1, None, (2, 1), (3, 3))
    fills = (Fill((1, 1), 0), Fill((0, 0), 5), Fill((0, 1), 9))
    plan = RowPlan((one, other), 3, 0, FITS, 6, fills, 0)
    assert [fill_cost(plan, fill, lambda cell: cell[1]) for fill in fills] == [6, 6, 12]
    assert best_fill(plan, lambda cell: cell[1]) is fills[1]
    assert list(picked(plan, fills[2])) == [(0, 0), (3, 3)]
    assert best_fill(RowPlan((one, other), 3, 0, FITS, 6, fills[2:], 0), lambda cell: cell[1]) is fills[2]
