"""Smallest sets, on bitmasks: conflicts and corrections of any yes-or-no question about a set of parts.

A *conflict* is a set of parts that cannot all hold, and can once any one of them is dropped. A *correction* is a set
of parts without which the rest can hold, and no smaller part of it does. Each conflict meets each correction: the
smallest sets that hit all of one kind are exactly all of the other (Reiter 1987, "A theory of diagnosis from first
principles", Artificial Intelligence 32). Nothing here knows what a part is.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence

Possible = Callable[[int], bool]


def bits(mask: int) -> Iterator[int]:
    """The single bits of a mask, lowest first."""
    while mask:
        low = mask & -mask
        yield low
        mask ^= low


def minimal_conflict(parts: Sequence[int], possible: Possible) -> list[int]:
    """One conflict among ``parts`` (single bits); earlier parts are preferred. ``possible(mask)`` says whether all
    parts of a mask can hold together, and never turns from no to yes when parts are added.

    Junker 2004, "QuickXplain: preferred explanations and relaxations for over-constrained problems", AAAI.
    ValueError if all of them can hold, or if not even none of them can.
    """
    if possible(sum(parts)):
        raise ValueError("all of it can hold: there is no conflict")
    if not possible(0):
        raise ValueError("it cannot hold with none of the parts: the conflict is elsewhere")

    def split(kept: int, added: bool, rest: Sequence[int]) -> list[int]:
        if added and not possible(kept):
            return []
        if len(rest) == 1:
            return list(rest)
        left, right = rest[:len(rest) // 2], rest[len(rest) // 2:]
        from_right = split(kept | sum(left), True, right)
        return split(kept | sum(from_right), bool(from_right), left) + from_right

    return split(0, False, list(parts))


def without_supersets(masks: Iterable[int]) -> list[int]:
    """The masks that hold no other one, each once; fewest bits first, then by value."""
    kept: list[int] = []
    for mask in sorted(set(masks), key=lambda m: (m.bit_count(), m)):
        if not any(mask & small == small for small in kept):
            kept.append(mask)
    return kept


def hitting_sets(masks: Iterable[int]) -> list[int]:
    """All smallest sets (none holds another) that share a bit with every mask; fewest bits first.

    Berge's method, one mask after another: a set that already hits is kept, one that does not grows by each bit of
    the mask, and stays only if it keeps a mask of its own for every bit (then it holds no other one).
    """
    done: list[int] = []
    sets: list[int] = [0]
    for mask in without_supersets(masks):
        if not mask:
            return []
        grown: list[int] = []
        done.append(mask)
        for chosen in sets:
            if chosen & mask:
                grown.append(chosen)
                continue
            # a bit that misses is needed only for the masks that it alone hits
            grown.extend(chosen | bit for bit in bits(mask) if _needs_each(chosen | bit, done))
        sets = grown
    return sorted(set(sets), key=lambda m: (m.bit_count(), m))


def _needs_each(chosen: int, masks: Sequence[int]) -> bool:
    """Whether every bit of a set is the only one of it that hits some mask."""
    alone = 0
    for mask in masks:
        hit = chosen & mask
        if not hit & (hit - 1):
            alone |= hit
    return alone == chosen


def smallest_hitting_set(masks: Sequence[int]) -> int:
    """A set with the fewest bits that shares a bit with every mask; the same one for the same masks.

    Branch and bound: the bits of a mask with the fewest of them are tried in turn; masks that share nothing with each
    other need a bit each, which bounds from below. ValueError for an empty mask: nothing hits it.
    """
    todo = without_supersets(masks)
    if 0 in todo:
        raise ValueError("nothing hits an empty set")
    best = _greedy(todo)

    def extend(chosen: int, banned: int, left: Sequence[int]) -> None:
        nonlocal best
        if chosen.bit_count() + _apart(left) >= best.bit_count():
            return
        if not left:
            best = chosen
            return
        mask = min(left, key=lambda m: (m & ~banned).bit_count()) & ~banned
        for bit in bits(mask):
            extend(chosen | bit, banned, [m for m in left if not m & bit])
            banned |= bit
            if any(not m & ~banned for m in left):
                return

    extend(0, 0, todo)
    return best


def _greedy(masks: Sequence[int]) -> int:
    """A hitting set by always taking the bit that hits most of what is left."""
    chosen, left = 0, list(masks)
    while left:
        counts: dict[int, int] = {}
        for mask in left:
            for bit in bits(mask):
                counts[bit] = counts.get(bit, 0) + 1
        most = max(counts, key=lambda bit: (counts[bit], -bit))
        chosen |= most
        left = [mask for mask in left if not mask & most]
    return chosen


def _apart(masks: Sequence[int]) -> int:
    """How many of the masks share nothing with one another, found by taking small ones first."""
    used = n = 0
    for mask in masks:
        if not mask & used:
            used |= mask
            n += 1
    return n
