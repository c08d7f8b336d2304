"""Rules asked on one day when they were asked on another: only about what may have changed since."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Mapping

from seatplan.rules.run import Answers, Runner
from seatplan.rules.subjects import Placement, World

#: what these say can come to lie within what measuring can be off of its limit while it stays allowed
_CAN_BE_CLOSE = frozenset(("no-room-ahead", "recline-out-of-range"))


def placement_key(p: Placement) -> Hashable:
    """What tells a placement apart from all others of its trip, but for the setting."""
    return (p.rider.rider, p.position.position, p.restraint and p.restraint.restraint, p.mode_name,
            p.installation and p.installation.content, p.bars, p.borrowed, p.tether)


class Remembering(Runner):
    """Takes answers of another day where nothing that a placement hangs on turned in between. What they come to is
    what a search wants to know of them; their numbers are those of the other day."""

    def __init__(self, world: World, before: Mapping[Hashable, tuple[Answers, ...]],
                 stays: Callable[[Hashable], bool]) -> None:
        super().__init__(world)
        self._before, self._stays = before, stays
        self._again = [(n, rule.id) for n, group in enumerate(self._groups) for _, rule in group.rules
                       if rule.id in _CAN_BE_CLOSE]
        self.asked: dict[Hashable, tuple[Answers, ...]] = {}

    def answers(self, placement: Placement) -> tuple[Answers, ...]:
        """What all rules say of one placement, as far as anybody asks what it comes to."""
        key = placement_key(placement)
        known = self._before.get((key, placement.recline)) if self._stays(key) else None
        if known is None:
            found = super().answers(placement)
        else:
            told = list(known)
            for n, rule in self._again:
                if rule in _close_by_age(placement):
                    told[n] = self.answer(placement, n)
            found = tuple(told)
        self.asked[key, placement.recline] = found
        return found


def _close_by_age(placement: Placement) -> tuple[str, ...]:
    """The rules that may come to be close, or no longer, as a child grows, while what they say stays the same: legs
    reach further, and a range of reclining is for some ages only."""
    if placement.mode is None or placement.booster:
        return ("no-room-ahead",)
    return ("recline-out-of-range",) if placement.rear_facing else ()
