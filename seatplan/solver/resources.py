"""What the riders of one seating share, as one whole number: how many of each kind of restraint they use, and which
positions beside their own.

Each kind that could run out has a counter in the number, one bit wider than its copies need. Two numbers add up to what
both use together; with ``bias`` added as well, a counter that goes past its copies sets its ``guard`` bit, so that one
sum and one mask ask about all of them (packed fields: Lamport 1975, "Multiple byte processing with full-word
instructions", CACM 18(8)). A kind with as many copies as riders who could use it never runs out and has none.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import TYPE_CHECKING, NamedTuple

from .placements import Assignment, Choices

if TYPE_CHECKING:
    from seatplan.rules.subjects import RuleContext


class Shared(NamedTuple):
    """``(a + b + bias) & guard`` says whether two plans use together more than there is of anything. Neither may do so
    by itself."""

    bias: int
    guard: int


class Resources:
    """The counters of one trip. ``of`` says what a choice uses. ``by_pairs``: where a seating uses too much of
    something, two of its choices do."""

    def __init__(self, choices: Iterable[Assignment], copies: Mapping[int, int], positions: Sequence[str] = (),
                 driver: str | None = None) -> None:
        """``copies``: how many there are of each kind of restraint; ``positions`` by the index that choices have;
        ``driver``: the seat of a driver who is none of the riders."""
        users: dict[int, set[int]] = {}
        wanted: dict[tuple[str, int], None] = {}
        for choice in choices:
            if choice.cells and choice.restraint is not None:
                users.setdefault(choice.restraint, set()).add(choice.rider)
            if choice.cells and choice.footprint:
                wanted |= dict.fromkeys((at, choice.rider) for at in choice.footprint.takes | choice.footprint.empties)
        self._positions, self._driver = positions, driver
        self._at = self._bias = self._guard = 0
        scarce = [kind for kind in sorted(users) if len(users[kind]) > copies[kind]]
        self._one: dict[int | None, int] = {kind: self._counter(copies[kind]) for kind in scarce}
        self._kinds = (1 << self._at) - 1
        self._seats: dict[str, dict[int, int]] = {}
        for at, rider in sorted(wanted):
            self._seats.setdefault(at, {})[rider] = self._counter(1)
        self.by_pairs = all(copies[kind] == 1 for kind in scarce)
        self.shared = Shared(self._bias, self._guard)

    def _counter(self, most: int) -> int:
        """One of a new counter that goes up to ``most``."""
        one, guard = 1 << self._at, 1 << self._at + most.bit_length()
        self._bias |= guard - (most + 1) * one
        self._guard |= guard
        self._at += most.bit_length() + 1
        return one

    def of(self, choice: Assignment) -> int:
        """What a choice uses."""
        uses = self._one.get(choice.restraint, 0)
        return uses + self.seats_of(choice) if self._seats else uses

    def seats_of(self, choice: Assignment) -> int:
        """Of what a choice uses the part that stands for positions.

        A position that rider s may take, or need empty, beside its own has a counter for s: s uses it with such a
        choice, and everybody else with each choice that sits there or takes it.
        """
        if not self._seats:
            return 0
        needed = choice.footprint
        own = sum(self._seats[at][choice.rider] for at in needed.takes | needed.empties)
        return own + sum(self._used_up(choice.rider, at) for at in (*needed.takes, self._positions[choice.position]))

    def _used_up(self, rider: int, at: str) -> int:
        """What a rider uses of the counters of others who sits at a position or takes it."""
        return sum(one for other, one in self._seats.get(at, {}).items() if other != rider)

    def sitting(self, rider: int, position: int) -> int:
        """What a rider uses who sits at a position, in whatever restraint."""
        return self._used_up(rider, self._positions[position]) if self._seats else 0

    def never(self, choice: Assignment) -> bool:
        """Whether a choice needs the seat of a driver who is none of the riders."""
        return self._driver in choice.footprint.takes | choice.footprint.empties

    def clash(self, one: Assignment, other: Assignment) -> bool:
        """Whether two choices use together more than there is of something."""
        return bool((self.of(one) + self.of(other) + self.shared.bias) & self.shared.guard)

    def seats_clash(self, one: Assignment, other: Assignment) -> bool:
        """Whether two choices at different positions want one all the same."""
        return bool((self.seats_of(one) + self.seats_of(other)) & self.shared.guard & ~self._kinds)


def resources_of(choices: Choices, world: RuleContext) -> Resources:
    """Those of a whole trip."""
    kinds, driver = choices.kinds, world.unlisted_driver()
    return Resources((choice for own in choices.per_rider for choice in own),
                     {kind: len(kinds.copies(kind)) for kind in kinds.kinds()},
                     [position.position for position in choices.positions],
                     None if driver is None else driver.position.position)
