"""What the riders of one seating share, as one whole number: how many of each kind of restraint they use.

Each kind that could run out has a counter in the number, one bit wider than its copies need. Two numbers add up to what
both use together; with ``bias`` added as well, a counter that goes past its copies sets its ``guard`` bit, so that one
sum and one mask ask about all of them (packed fields: Lamport 1975, "Multiple byte processing with full-word
instructions", CACM 18(8)). A kind with as many copies as riders who could use it never runs out and has none.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import NamedTuple

from .placements import Choice, Choices


class Shared(NamedTuple):
    """``(a + b + bias) & guard`` says whether two plans use together more than there is of anything. Neither may do so
    by itself."""

    bias: int
    guard: int


class Resources:
    """The counters of one trip. ``of`` says what a choice uses. ``by_pairs``: where a seating uses too much of
    something, two of its choices do."""

    def __init__(self, choices: Iterable[Choice], copies: Mapping[int, int]) -> None:
        """``copies``: how many there are of each kind of restraint."""
        users: dict[int, set[int]] = {}
        for choice in choices:
            if choice.cells and choice.restraint is not None:
                users.setdefault(choice.restraint, set()).add(choice.rider)
        self._at = self._bias = self._guard = 0
        scarce = [kind for kind in sorted(users) if len(users[kind]) > copies[kind]]
        self._one: dict[int | None, int] = {kind: self._counter(copies[kind]) for kind in scarce}
        self.by_pairs = all(copies[kind] == 1 for kind in scarce)
        self.shared = Shared(self._bias, self._guard)

    def _counter(self, most: int) -> int:
        """One of a new counter that goes up to ``most``."""
        one, guard = 1 << self._at, 1 << self._at + most.bit_length()
        self._bias |= guard - (most + 1) * one
        self._guard |= guard
        self._at += most.bit_length() + 1
        return one

    def of(self, choice: Choice) -> int:
        """What a choice uses."""
        return self._one.get(choice.restraint, 0)

    def clash(self, one: Choice, other: Choice) -> bool:
        """Whether two choices use together more than there is of something."""
        return bool((self.of(one) + self.of(other) + self.shared.bias) & self.shared.guard)


def resources_of(choices: Choices) -> Resources:
    """Those of a whole trip."""
    kinds = choices.kinds
    return Resources((choice for own in choices.per_rider for choice in own),
                     {kind: len(kinds.copies(kind)) for kind in kinds.kinds()})
