"""The bounds of a day on bookings served: never below the best, whichever is short, and as near as can be."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace

import pytest
from invented_days import invented

from seatplan.fleet import capacity, splitting
from seatplan.fleet.bound import most_served
from seatplan.fleet.floor import pieces
from seatplan.fleet.flow import kinds_in, nodes_of
from seatplan.fleet.planning import planned, work_of
from seatplan.fleet.records import Day


def bounds(day: Day) -> tuple[int, int]:
    """By what follows what, and by what there is at each minute."""
    work = work_of(day)
    nodes = list(nodes_of(day, work.groups, work.entries, work.choices))
    vehicles = Counter(entry.group for entry in work.entries for _ in entry.vehicles)
    ways = [capacity.Able(node.booking, node.group, tuple(sorted(kinds_in(pieces(node.choice.way)).items())))
            for node in nodes]
    return (most_served(day, work.groups, vehicles.total(), splitting._able(nodes)),
            capacity.most_at_once(day, work.groups, vehicles, work.stock, ways))


@pytest.mark.parametrize("seed", range(60))
def test_no_bound_is_below_the_best(seed: int):
    day = invented(seed, bookings=9, vehicles=2 + seed % 3, types=1 + seed % 3, kinds=1 + seed % 3, copies=seed % 5,
                   span=(120, 240)[seed % 2], installed=(0, 0.4)[seed % 4 // 2])
    plan = planned(day)
    assert plan.proven
    by_paths, by_minutes = bounds(day)
    assert plan.served <= by_paths
    assert plan.served <= by_minutes
    assert min(by_paths, by_minutes) == planned(day, whole=False).bound


@pytest.mark.parametrize("seed", range(12))
def test_no_price_makes_it_less_than_the_best(seed: int, monkeypatch: pytest.MonkeyPatch):
    day = invented(seed, bookings=9, vehicles=3, copies=2, span=120)
    prices = [0, 1, capacity._PARTS // 3, capacity._PARTS]
    monkeypatch.setattr(capacity, "_prices", lambda ways, rows: [prices[(seed + n) % 4] for n in range(len(rows))])
    assert planned(day).served <= bounds(day)[1]


def test_a_type_and_a_stock_that_are_short_are_seen():
    """Ten vehicles, and one copy of the only kind that anybody can ride in: paths know of vehicles alone."""
    for seed in range(40):
        day = invented(seed, bookings=16, vehicles=10, depots=1, types=1, kinds=1, parties=3, copies=2, span=60,
                       installed=0)
        day = replace(day, copies=tuple(replace_since(copy) for copy in day.copies))
        by_paths, by_minutes = bounds(day)
        if by_minutes < by_paths:
            assert planned(day).served <= by_minutes
            return
    pytest.fail("of no day the stock is seen")


def replace_since(copy):
    return copy._replace(since=None)
