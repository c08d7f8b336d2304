"""Copies handed out: each stay of a piece in a vehicle gets one copy, the first free by its serial.

Stays are looked at in the order in which they begin. Where no more of them overlap than there are copies whose time has
come, one of those is free: all others that are in use began earlier (interval graphs are perfect; colouring by the left
end is optimal, Golumbic 1980, "Algorithmic graph theory and perfect graphs"). What a vehicle keeps from before the day
keeps its copy.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from heapq import heappop, heappush
from typing import NamedTuple


class Stay(NamedTuple):
    """One piece in a vehicle, from when it is taken at the depot until it is free again; ``end`` None: to the end.
    ``copy``: the one that is in the vehicle already, else empty."""

    start: int
    vehicle: int
    position: str
    end: int | None
    copy: str = ""


class Free(NamedTuple):
    """A copy and the minute from which it may be used."""

    key: str
    since: int


def handed_out(stays: Sequence[Stay], copies: Sequence[Free]) -> dict[Stay, str]:
    """The copy of each stay of one kind at one depot. AssertionError where none is free: whoever made the stays has
    counted wrong."""
    given: dict[Stay, str] = {stay: stay.copy for stay in stays if stay.copy}
    taken = set(given.values())
    back: list[tuple[int, str]] = [(stay.end, stay.copy) for stay in given if stay.end is not None]
    back.sort()
    free: list[str] = []
    coming = sorted((copy.since, copy.key) for copy in copies if copy.key not in taken)
    for key in coming:
        heappush(back, key)
    for stay in sorted(stay for stay in stays if not stay.copy):
        while back and back[0][0] <= stay.start:
            heappush(free, heappop(back)[1])
        if not free:
            raise AssertionError(f"no copy is free at minute {stay.start}")
        given[stay] = heappop(free)
        if stay.end is not None:
            heappush(back, (stay.end, given[stay]))
    return given


def handed_out_by_kind(stays: Mapping[tuple[str, str], Sequence[Stay]],
                       copies: Mapping[tuple[str, str], Sequence[Free]]) -> dict[tuple[int, str, int], str]:
    """By vehicle, position and start of the stay, the copy; ``stays`` and ``copies`` by depot and kind."""
    told: defaultdict[tuple[int, str, int], str] = defaultdict(str)
    for key, of_kind in sorted(stays.items()):
        for stay, copy in handed_out(of_kind, copies.get(key, ())).items():
            told[stay.vehicle, stay.position, stay.start] = copy
    return dict(told)
