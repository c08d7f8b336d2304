"""Every valid seating of a bundled trip: our search, CP-SAT and python-constraint2 from the same tables.

Without ``--benchmark-enable`` each runs once, and the peers leave out the nine-seater, which takes CP-SAT half a
minute. ``ratios.py`` prints the ratios.
"""

from __future__ import annotations

from functools import lru_cache

import pytest
from pytest_benchmark.fixture import BenchmarkFixture
from tables import CONTENDERS, Tables, tables_of

from seatplan import arrange, load_trip

THREE_ACROSS, NINE_SEATER = "three-across-school-run", "nine-seat-shuttle"


@lru_cache(maxsize=2)
def _tables(name: str) -> Tables:
    return tables_of(name)


@lru_cache(maxsize=2)
def _valid(name: str) -> int:
    return arrange(load_trip(name), top=1).tally.valid


@pytest.mark.parametrize("who", list(CONTENDERS))
@pytest.mark.benchmark(group="three across, every seating")
def test_three_across(benchmark: BenchmarkFixture, who: str) -> None:
    found = benchmark(CONTENDERS[who], _tables(THREE_ACROSS))
    assert len(found) == len({frozenset(seating) for seating in found}) == _valid(THREE_ACROSS)


@pytest.mark.parametrize("who", list(CONTENDERS))
@pytest.mark.benchmark(group="nine-seater, every seating", disable_gc=True)
def test_nine_seater(benchmark: BenchmarkFixture, who: str) -> None:
    if benchmark.disabled and who != "ours":
        pytest.skip("a peer at this size: only with --benchmark-enable")
    found = benchmark.pedantic(CONTENDERS[who], args=(_tables(NINE_SEATER),), rounds=1 if who == "cp-sat" else 3)
    assert len(found) == len({frozenset(seating) for seating in found}) == _valid(NINE_SEATER)


def test_all_find_the_same() -> None:
    """Not only as many: the very same seatings."""
    one, other, third = ({frozenset(seating) for seating in enumerate_all(_tables(THREE_ACROSS))}
                         for enumerate_all in CONTENDERS.values())
    assert one == other == third
