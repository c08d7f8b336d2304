"""What must hold for every explanation: it is impossible and possible without any part, and neither names, nor mirror,
nor the order of the files change what it comes to."""

from __future__ import annotations

from random import Random
from typing import Any

from changed import mirrored, renamed, shuffled
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st
from refused import refused_data
from solved import DAY
from worlds import Data, trip_of

from seatplan.rules.load import load_profile
from seatplan.solver.conflict import Group, smallest_groups
from seatplan.solver.explain import Explanation, explain
from seatplan.solver.minimal import bits
from seatplan.solver.plan import planned as plan  # drawn trips need not be true
from seatplan.solver.seater import solve_seater
from seatplan.solver.solve import Solve

_few = settings(max_examples=20, derandomize=True,
                suppress_health_check=[HealthCheck.too_slow, HealthCheck.filter_too_much, HealthCheck.data_too_large])


def refused() -> st.SearchStrategy[Data]:
    return st.integers(0, 2**32).map(lambda seed: refused_data(Random(seed), 80))


def _why(data: Data) -> Explanation | None:
    trip = trip_of(data)
    return explain(plan(trip, load_profile(trip.rules), DAY, top=1), {})


def _size(why: Explanation) -> tuple[Any, ...]:
    """What does not hang on names: sizes of the groups, number of reasons, how many sets of changes."""
    return (sorted(map(len, why.groups)), len(why.conflict.reasons), why.repairs.sets,
            sorted(tuple(sorted(change.kind for change in repair.changes)) for repair in why.repairs.repairs))


@_few
@given(refused())
def test_impossible_and_possible_without_any_part(data: Data) -> None:
    trip = trip_of(data)
    seater = solve_seater(Solve(trip, load_profile(trip.rules), DAY))
    groups = smallest_groups(seater)
    assume(groups)
    group = Group(seater, groups[0])
    corrections = group.corrections()
    assume(len(corrections) <= 40)
    for mask in group.conflicts()[:10]:
        assert group.find(mask) is None
        for bit in bits(mask):
            assert group.find(mask & ~bit) is not None
    everything = sum(seater.occasions.of_bit)
    for mask in corrections[:10]:
        assert group.find(everything & ~mask) is not None
        for bit in bits(mask):
            assert group.find(everything & ~mask | bit) is None


@_few
@given(refused())
def test_names_do_not_matter(data: Data) -> None:
    names = [rider["rider"] for rider in data["riders"]]
    others = dict(zip(names, [f"{9 - i} {name}" for i, name in enumerate(names)], strict=True))
    one, other = _why(data), _why(renamed(data, others))
    assert (one is None) == (other is None)
    if one is not None and other is not None:
        assert {frozenset(others[name] for name in group) for group in one.groups} == set(map(frozenset, other.groups))
        assert _size(one) == _size(other)


@_few
@given(refused())
def test_mirror(data: Data) -> None:
    one, other = _why(data), _why(mirrored(data))
    assert (one is None) == (other is None)
    if one is not None and other is not None:
        assert set(one.groups) == set(other.groups)
        assert len(one.conflict.reasons) == len(other.conflict.reasons)
        assert one.repairs.sets == other.repairs.sets


@_few
@given(refused(), st.integers(0, 1000).map(Random))
def test_order_of_the_file_does_not_matter(data: Data, rng: Random) -> None:
    one, other = _why(data), _why(shuffled(data, rng))
    assert (one is None) == (other is None)
    if one is not None and other is not None:
        assert set(map(frozenset, one.groups)) == set(map(frozenset, other.groups))
        assert len(one.conflict.reasons) == len(other.conflict.reasons)
        assert one.repairs.sets == other.repairs.sets
