"""Whether what a rule says of a placement can be another thing on another day: found by noting what it looks at.

Of all that a rule is given, a day changes its date, the rider and the setting that is chosen for the rider. Whoever
looked at none of them when asked once says the same on every day, and who looked at the setting alone says the same at
the same setting.
"""

from __future__ import annotations

from contextlib import suppress
from typing import Any, Literal

from seatplan.rules.corners import is_estimated
from seatplan.rules.finding import Result
from seatplan.rules.reckoned import ask
from seatplan.rules.rule import Rule
from seatplan.rules.subjects import Placement, RuleContext

#: nothing; the setting alone; the rider or the day itself
Moves = Literal["nothing", "setting", "day"]


class _NotedPlacement(Placement):
    """A placement that notes whether its rider or its setting was looked at; a copy of it, for which both were, notes
    nothing more."""

    __slots__ = ("_moved",)

    def __getattribute__(self, name: str) -> Any:
        if name in ("rider", "recline"):
            with suppress(AttributeError):
                object.__getattribute__(self, "_moved").add(name)
        return object.__getattribute__(self, name)


class _NotedWorld(RuleContext):
    """A world that notes whether its day was looked at, as whoever copies it does."""

    __slots__ = ("_moved",)

    def __getattribute__(self, name: str) -> Any:
        if name == "day":
            with suppress(AttributeError):
                object.__getattribute__(self, "_moved").add(name)
        return object.__getattribute__(self, name)


def _noted(of: Placement, world: RuleContext, moved: set[str]) -> tuple[Placement, RuleContext]:
    """The same, noting in ``moved`` what is looked at."""
    placement = _NotedPlacement(of.rider, of.position, of.row, of.restraint, of.mode, of.installation, of.bars,
                                of.borrowed, of.tether, of.recline, of.second)
    there = _NotedWorld(world.trip, world.vehicle, world.profile, world.day, world.options, world.store, world.kept)
    for one in (placement, there):
        object.__setattr__(one, "_moved", moved)
    return placement, there


def hangs_on(rule: Rule, placement: Placement, world: RuleContext) -> tuple[Moves, Result | None]:
    """What a rule hangs on of all that a day changes, when it is asked about a placement, and what it says. What is
    open because of an estimate is told at its corners, which nobody looks into here."""
    moved: set[str] = set()
    told = ask(rule, *_noted(placement, world, moved))
    if told is not None and told.outcome == "unmeasured" and is_estimated(placement):
        return "day", told
    return "nothing" if not moved else "setting" if moved == {"recline"} else "day", told
