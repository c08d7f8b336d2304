"""Every smallest conflict and correction of a refusal with about 40 occasions: our sweep, and MARCO over CP-SAT.

``ratios.py`` prints the ratio.
"""

from __future__ import annotations

from functools import lru_cache
from math import prod

import pytest
from pytest_benchmark.fixture import BenchmarkFixture
from refusal import Refusal, marco, ours


@lru_cache(maxsize=1)
def _refusal() -> Refusal:
    return Refusal()


@pytest.mark.benchmark(group="about 40 reasons, every smallest set")
def test_ours(benchmark: BenchmarkFixture) -> None:
    """By hand: with two restraints for three children, one of them takes one of five others in two modes, or the
    seat belt; a conflict has one of the two limits of one mode for each child, and everything else."""
    conflicts, corrections = benchmark(ours, _refusal())
    assert len(corrections) == 3 * (5 * 2 + 1)
    assert len(conflicts) == prod([2, 2, 2])
    assert 35 <= len(_refusal().occasions) <= 45


@pytest.mark.benchmark(group="about 40 reasons, every smallest set")
def test_marco(benchmark: BenchmarkFixture) -> None:
    pytest.importorskip("cpmpy")
    # it takes some seconds, and runs every time: that both name the same sets is a check, whatever the time
    found = benchmark.pedantic(marco, args=(_refusal(),), rounds=1)
    assert found == ours(_refusal())
