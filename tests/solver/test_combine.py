"""Rows put together: counts and seatings against every product of plans, and the order of the best."""

from __future__ import annotations

from itertools import permutations, product
from random import Random

import pytest

from seatplan.solver.combine import best_first, count_plans, count_seatings, every, join, rest_of
from seatplan.solver.resources import Shared
from seatplan.solver.rowplans import CONTESTED, FITS, RowAssignment

EVERYBODY, START = 0b111, 0
#: three restraints, one of each
ONE_OF_EACH = Shared(0, 0b101010)
Rows = list[list[RowAssignment]]


def plan(riders: int = 0, restraints: int = 0, cost: int = 0, way: int = 0, level: int = FITS) -> RowAssignment:
    return RowAssignment((), riders, uses(restraints), level, cost, (), way)


def uses(restraints: int) -> int:
    """A set of restraints as a counter each."""
    return sum(1 << 2 * i for i in range(3) if restraints >> i & 1)


def ways(one: int, other: int) -> int:
    """A stand-in for lanes: a set of bits, so that joining in any order comes to the same."""
    return one | other


def random_rows(rng: Random, rows: int = 3) -> Rows:
    return [[plan(), *(plan(rng.randrange(1, 8), rng.choice((0, 1, 2, 4, 3)), rng.randrange(6),
                            rng.choice((0, 1, 2)), rng.choice((0, 0, 1, 4))) for _ in range(rng.randrange(1, 9)))]
            for _ in range(rows)]


def whole(rows: Rows) -> list[tuple[RowAssignment, ...]]:
    """The slow, obvious way: one plan a row, everybody once, no restraint twice."""
    found = []
    for chosen in product(*rows):
        riders, used = [p.riders for p in chosen], [p.resources for p in chosen]
        if sum(riders) == EVERYBODY == riders[0] | riders[1] | riders[2] and (
                sum(used) == used[0] | used[1] | used[2]):
            found.append(chosen)
    return found


SEEDS = pytest.mark.parametrize("seed", range(40))


@SEEDS
def test_counts_by_way(seed: int) -> None:
    rows = random_rows(Random(seed))
    slow: dict[int, int] = {}
    for chosen in whole(rows):
        way = ways(ways(chosen[0].way, chosen[1].way), chosen[2].way)
        slow[way] = slow.get(way, 0) + 1
    assert count_seatings([count_plans(row) for row in rows], EVERYBODY, START, ways, ONE_OF_EACH) == slow


@SEEDS
def test_the_rest_of_each_row(seed: int) -> None:
    """What the other rows hold, joined with the row itself, is everything."""
    rows = random_rows(Random(seed))
    counts = [count_plans(row) for row in rows]
    rest = rest_of(counts, START, ways, ONE_OF_EACH)
    assert len(rest) == 3
    for at, (own, others) in enumerate(zip(counts, rest, strict=True)):
        first, second = (counts[i] for i in range(3) if i != at)
        assert others == join(first, second, ways, ONE_OF_EACH)
        total: dict[int, int] = {}
        for (_, way), n in join(own, others, ways, ONE_OF_EACH).get(EVERYBODY, {}).items():
            total[way] = total.get(way, 0) + n
        assert total == count_seatings(counts, EVERYBODY, START, ways, ONE_OF_EACH)


@SEEDS
def test_best_first_is_all_of_them_in_order(seed: int) -> None:
    rows = random_rows(Random(seed))
    wanted = [chosen for chosen in whole(rows) if all(p.level != CONTESTED for p in chosen)]
    found = list(best_first(rows, EVERYBODY, ONE_OF_EACH))
    assert sorted(found_ids(c for _, c in found)) == sorted(found_ids(wanted))
    assert [total for total, _ in found] == sorted(sum(p.cost for p in chosen) for chosen in wanted)
    assert all(total == sum(p.cost for p in chosen) for total, chosen in found)


@SEEDS
def test_every_is_all_of_them_once(seed: int) -> None:
    rows = random_rows(Random(seed))
    assert sorted(found_ids(every(rows, EVERYBODY, ONE_OF_EACH))) == sorted(found_ids(whole(rows)))


def found_ids(chosen):
    return [tuple(id(p) for p in plans) for plans in chosen]


def test_one_row_alone() -> None:
    rows = [[plan(), plan(0b111, 1, 7), plan(0b011)]]
    counts = [count_plans(row) for row in rows]
    assert count_seatings(counts, EVERYBODY, START, ways, ONE_OF_EACH) == {0: 1}
    assert rest_of(counts, START, ways, ONE_OF_EACH) == [{0: {(0, START): 1}}]
    assert list(best_first(rows, EVERYBODY, ONE_OF_EACH)) == [(7, (rows[0][1],))]
    assert list(every(rows, EVERYBODY, ONE_OF_EACH)) == [(rows[0][1],)]


def test_plans_alike_are_counted_together() -> None:
    rows = [plan(1, 1), plan(1, 1, cost=5), plan(1, 2), plan(1, 1, way=2), plan(2, 1)]
    assert count_plans(rows) == {1: {(1, 0): 2, (4, 0): 1, (1, 2): 1}, 2: {(1, 0): 1}}


def test_counts_multiply_and_clashes_are_left_out() -> None:
    one = {0b01: {(1, 1): 3}}
    other = {0b10: {(1, 0): 10, (4, 2): 5, (16, 2): 2}, 0b01: {(4, 0): 100}}
    assert join(one, other, ways, ONE_OF_EACH) == {0b11: {(5, 3): 15, (17, 3): 6}}


def test_as_many_as_there_are_copies() -> None:
    """Two of one kind: bias 1 and guard 4 let a counter go up to 2."""
    one, other = {0b01: {(1, 0): 3, (2, 0): 5}}, {0b10: {(0, 0): 1, (1, 0): 7, (2, 0): 11}}
    assert join(one, other, ways, Shared(1, 4)) == {0b11: {(1, 0): 3, (2, 0): 5 + 21}}


def test_equal_counts_meet() -> None:
    """Two pairs of plans that come to the same riders, restraints and way are one count."""
    one = {0b01: {(1, 0): 2}, 0b10: {(4, 0): 3}}
    other = {0b10: {(4, 0): 5}, 0b01: {(1, 0): 7}}
    assert join(one, other, ways, ONE_OF_EACH) == {0b11: {(5, 0): 2 * 5 + 3 * 7}}


def test_equal_costs_come_in_the_order_of_the_plans() -> None:
    """Nearest to the front of the lists first, and among ways to share the riders out, in the order of the bits."""
    rows = [[plan(), plan(1, cost=2), plan(1, cost=2), plan(2, cost=3)], [plan(), plan(6, cost=3), plan(5, cost=2)]]
    assert [(total, chosen[0] is rows[0][1], chosen[0] is rows[0][2]) for total, chosen in
            best_first(rows, EVERYBODY, ONE_OF_EACH)] == [(5, True, False), (5, False, True), (5, False, False)]


def test_the_next_best_of_either_row() -> None:
    rows = [[plan(1, cost=c) for c in (0, 1, 10)], [plan(6, cost=c) for c in (0, 5, 6)]]
    assert [total for total, _ in best_first(rows, EVERYBODY, ONE_OF_EACH)] == [0, 1, 5, 6, 6, 7, 10, 15, 16]


def test_a_restraint_in_two_rows_is_passed_over_but_not_what_follows() -> None:
    rows = [[plan(1, 1), plan(1, 2, cost=1)], [plan(6, 1), plan(6, 4, cost=5)]]
    assert [(total, chosen[0].resources, chosen[1].resources)
            for total, chosen in best_first(rows, EVERYBODY, ONE_OF_EACH)] == [(1, 4, 1), (5, 1, 16), (6, 4, 16)]


def test_three_rows_with_one_rider_each() -> None:
    rows = [[plan(), plan(1), plan(2), plan(4)] for _ in range(3)]
    counts = [count_plans(row) for row in rows]
    orders = list(permutations((1, 2, 4)))
    assert count_seatings(counts, EVERYBODY, START, ways, ONE_OF_EACH) == {0: len(orders)}
    assert [tuple(p.riders for p in chosen) for _, chosen in best_first(rows, EVERYBODY, ONE_OF_EACH)] == orders
    assert sorted(tuple(p.riders for p in chosen) for chosen in every(rows, EVERYBODY, ONE_OF_EACH)) == orders


def test_nobody_left_over_means_none() -> None:
    rows = [[plan(), plan(1)], [plan(), plan(2)]]
    counts = [count_plans(row) for row in rows]
    assert count_seatings(counts, EVERYBODY, START, ways, ONE_OF_EACH) == {}
    assert list(best_first(rows, EVERYBODY, ONE_OF_EACH)) == []
    assert list(every(rows, EVERYBODY, ONE_OF_EACH)) == []


@SEEDS
def test_equal_costs_come_in_order_of_shares_and_plans(seed: int) -> None:
    """Beside the slow way: every pick of every share of the riders, sorted."""
    rows = random_rows(Random(seed))
    groups: list[dict[int, list[RowAssignment]]] = []
    for row in rows:
        own: dict[int, list[RowAssignment]] = {}
        for one in row:
            if one.level != CONTESTED:
                own.setdefault(one.riders, []).append(one)
        groups.append({riders: sorted(plans, key=lambda p: p.cost) for riders, plans in own.items()})
    shares = [share for share in product(*map(sorted, groups))
              if sum(share) == EVERYBODY == share[0] | share[1] | share[2]]
    slow = []
    for which, share in enumerate(shares):
        lists = [group[riders] for group, riders in zip(groups, share, strict=True)]
        for at in product(*(range(len(plans)) for plans in lists)):
            chosen = tuple(plans[i] for plans, i in zip(lists, at, strict=True))
            used = [p.resources for p in chosen]
            if sum(used) == used[0] | used[1] | used[2]:
                slow.append((sum(p.cost for p in chosen), which, at, chosen))
    slow.sort(key=lambda item: item[:3])
    assert [(total, chosen) for total, _, _, chosen in slow] == list(best_first(rows, EVERYBODY, ONE_OF_EACH))
