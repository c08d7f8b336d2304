"""Smallest sets against brute force: every subset of a small universe is tried."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from math import log2
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from seatplan.solver.minimal import (
    bits,
    hitting_sets,
    minimal_conflict,
    smallest_hitting_set,
    without_supersets,
)

_PARTS = 7
_few = settings(max_examples=200, derandomize=True)
#: sets over a few parts, as bitmasks; the empty set only where a test asks for it
_families = st.lists(st.integers(1, 2**_PARTS - 1), max_size=7)


def _minimal(masks: Iterable[int]) -> set[int]:
    """Those that hold no other one, by looking at every pair."""
    all_of_them = set(masks)
    return {m for m in all_of_them if not any(other != m and m & other == other for other in all_of_them)}


def _hitting(masks: Sequence[int]) -> set[int]:
    """All smallest hitting sets, by trying every subset."""
    return _minimal(s for s in range(2**_PARTS) if all(s & m for m in masks))


@_few
@given(st.lists(st.integers(0, 2**_PARTS - 1), max_size=12))
def test_without_supersets(masks: list[int]) -> None:
    kept = without_supersets(masks)
    assert set(kept) == _minimal(masks)
    assert len(kept) == len(set(kept))
    assert [m.bit_count() for m in kept] == sorted(m.bit_count() for m in kept)
    assert kept == without_supersets(reversed(masks))


@_few
@given(_families)
def test_hitting_sets(masks: list[int]) -> None:
    found = hitting_sets(masks)
    assert set(found) == _hitting(masks)
    assert len(found) == len(set(found))


@_few
@given(_families)
def test_twice_over_gives_the_smallest_of_the_first(masks: list[int]) -> None:
    """Berge's duality: what hits all that hits a family are its smallest members."""
    assert hitting_sets(hitting_sets(masks)) == without_supersets(masks)


@_few
@given(_families)
def test_smallest_hitting_set(masks: list[int]) -> None:
    found = smallest_hitting_set(masks)
    assert all(found & mask for mask in masks)
    assert found.bit_count() == min(s.bit_count() for s in _hitting(masks))
    assert found == smallest_hitting_set(masks)


def test_a_smallest_hitting_set_where_taking_the_commonest_goes_wrong() -> None:
    """A is in the most sets, and with it three are needed; B and C do by themselves. Then some larger families."""
    a, b, c = 1, 2, 4
    masks = [a | b | 8, a | b | 16, a | c | 32, a | c | 64, b | 8 | 16, c | 32 | 64]
    assert smallest_hitting_set(masks) == b | c
    rng = Random(1)
    larger = [[sum(1 << i for i in rng.sample(range(14), 3)) for _ in range(18)] for _ in range(40)]
    for family in larger:
        best = min((s for s in range(2**14) if all(s & m for m in family)), key=int.bit_count)
        assert smallest_hitting_set(family).bit_count() == best.bit_count()


def test_an_empty_set_is_hit_by_nothing() -> None:
    assert hitting_sets([3, 0]) == []
    with pytest.raises(ValueError, match="empty set"):
        smallest_hitting_set([3, 0])


def test_no_sets_are_hit_by_nothing_at_all() -> None:
    assert hitting_sets([]) == [0]
    assert smallest_hitting_set([]) == 0


def _never_all(family: Sequence[int]) -> Callable[[int], bool]:
    """Possible as long as no set of the family is wholly there."""
    return lambda mask: not any(mask & bad == bad for bad in family)


@_few
@given(_families.filter(bool), st.permutations(range(_PARTS)))
def test_minimal_conflict(family: list[int], order: list[int]) -> None:
    possible = _never_all(family)
    parts = [1 << i for i in order]
    found = minimal_conflict(parts, possible)
    whole = sum(found)
    assert whole in _minimal(family)
    assert not possible(whole)
    assert all(possible(whole & ~bit) for bit in found)
    assert found == [part for part in parts if part & whole]


@_few
@given(_families.filter(bool), st.permutations(range(_PARTS)))
def test_earlier_parts_are_preferred(family: list[int], order: list[int]) -> None:
    """Of all conflicts it is the one whose last part comes soonest, then the last but one, and so on."""
    parts = [1 << i for i in order]
    place = {part: n for n, part in enumerate(parts)}
    best = min(_minimal(family), key=lambda m: sorted((place[bit] for bit in bits(m)), reverse=True))
    assert sum(minimal_conflict(parts, _never_all(family))) == best


@_few
@given(st.integers(1, 60), st.data())
def test_a_conflict_takes_few_questions(n: int, data: st.DataObject) -> None:
    """Junker 2004, theorem 3: for a conflict of k out of n parts at most 2k log2(n / k) + 2k questions."""
    bad = data.draw(st.sets(st.integers(0, n - 1), min_size=1, max_size=5))
    family = [sum(1 << i for i in bad)]
    asked = 0

    def possible(mask: int) -> bool:
        nonlocal asked
        asked += 1
        return _never_all(family)(mask)

    found = minimal_conflict([1 << i for i in range(n)], possible)
    assert sum(found) == family[0]
    k = len(found)
    # two questions more make sure that there is a conflict and that it is among the parts
    assert asked - 2 <= 2 * k * max(log2(n / k), 1) + 2 * k


def test_errors() -> None:
    with pytest.raises(ValueError, match="no conflict"):
        minimal_conflict([1, 2], lambda mask: True)
    with pytest.raises(ValueError, match="elsewhere"):
        minimal_conflict([1, 2], lambda mask: False)
    with pytest.raises(ValueError, match="no conflict"):
        minimal_conflict([], lambda mask: True)


def test_bits() -> None:
    assert list(bits(0)) == []
    assert list(bits(0b101001)) == [1, 8, 32]
