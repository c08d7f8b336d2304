"""The cheapest stock against every stock there is, on small days; and what stays true where a limit cuts it off."""

from __future__ import annotations

from dataclasses import replace
from itertools import product

import pytest
from invented_days import invented

from seatplan.fleet.flow import net_of, nodes_of, stock_of
from seatplan.fleet.inventory import curve
from seatplan.fleet.optimum import Question, best
from seatplan.fleet.planning import Work, work_of
from seatplan.fleet.records import CopyUnit, Day

PRICES = {"shell": 260, "booster": 90}


def bought(day: Day, stock: dict[tuple[str, str], int]) -> Day:
    """The day with empty vehicles and this stock."""
    copies = tuple(CopyUnit(f"{depot} {kind} {n}", kind, depot)
                   for (depot, kind), number in sorted(stock.items()) for n in range(number))
    return replace(day, copies=copies, vehicles=tuple(one._replace(installed=()) for one in day.vehicles),
                   nobody_installs=frozenset())


def served(work: Work, day: Day) -> int:
    """How many bookings a day's own stock serves, with the choices of a day that was made ready."""
    nodes = list(nodes_of(day, work.groups, work.entries, work.choices))
    if not nodes:
        return 0
    net = net_of(day, work.groups, work.entries, nodes)
    return -best(Question(net, stock_of(day), work.vehicles, {}), goals=1).values[0]


def by_hand(day: Day, most: int) -> dict[int, int]:
    """By bookings served the least price, of every stock of up to so many pieces of a kind at a depot: each of them
    is planned, the cheapest first, until one serves as many as the largest does; whatever costs more than that one
    changes nothing. Nobody rides below the floor that all kinds give."""
    keys = list(product(sorted({one.depot for one in day.vehicles}), sorted(PRICES)))
    largest = bought(day, dict.fromkeys(keys, most))
    ample = work_of(largest)
    all_of_them = served(ample, largest)
    cheapest: dict[int, int] = {}
    for price, numbers in sorted((sum(PRICES[kind] * n for (_, kind), n in zip(keys, numbers, strict=True)), numbers)
                                 for numbers in product(range(most + 1), repeat=len(keys))):
        if all_of_them in cheapest or not all_of_them:
            break
        for level in range(1, served(ample, bought(day, dict(zip(keys, numbers, strict=True)))) + 1):
            cheapest.setdefault(level, price)
    return cheapest


@pytest.mark.parametrize("seed", range(24))
def test_no_stock_is_cheaper(seed: int):
    day = invented(seed, bookings=5, vehicles=2, depots=1 + seed % 4 // 3, kinds=2, parties=4, span=150,
                   levels=1 + seed % 2)
    known = by_hand(day, 2 if seed % 4 == 3 else 4)
    told = curve(day, PRICES, range(1, 6))
    assert told.most == told.bound == max(known, default=0)
    assert {one.served: one.price for one in told.points} == known
    assert all(one.proven for one in told.points)


@pytest.mark.parametrize(("bookings", "seed"), [
    (9, 41), (9, 45), (8, 46), (8, 47), (8, 49),          # on each of them a limit costs something
    *(pytest.param(9, seed, marks=pytest.mark.whole) for seed in (40, 42, 43, 44))])
def test_what_a_limit_cuts_off_still_serves_and_is_bounded(bookings: int, seed: int):
    day = invented(seed, bookings=bookings, vehicles=3, depots=2, kinds=2, parties=6, span=200)
    whole, cut = curve(day, PRICES, range(1, 10)), curve(day, PRICES, range(1, 10), nodes=0)
    for one, other in zip(whole.points, cut.points, strict=True):
        assert one.served == other.served
        assert other.bound <= one.price <= other.price
        assert {key for key, n in other.stock.items() if n} == set(other.stock)
        work = work_of(bought(day, dict.fromkeys(product(["depot 0", "depot 1"], PRICES), 9)))
        assert served(work, bought(day, dict(other.stock))) >= other.served
