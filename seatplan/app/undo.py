"""Take back what was written last into a trip or a file of it, by whatever command."""

from __future__ import annotations

from difflib import unified_diff
from typing import ClassVar

from seatplan.files.setting import Undone, would_undo
from seatplan.files.setting import undo as taken_back
from seatplan.frozen import frozen
from seatplan.rules.load import load_profile
from seatplan.solver.plan import plan
from seatplan.solver.results import Plan
from seatplan.solver.under_way import State, state_of

from .days import today
from .outcome import Outcome
from .question import Question, argument
from .verdict import verdict_of


@frozen(kw_only=True)
class Undo(Question):
    """The trip, which is a file, and the file of another vehicle that was written in beside it."""

    COMMAND: ClassVar[str] = "undo"

    trip: str = argument()
    vehicle: str | None = None


@frozen
class TakenBack:
    """What was taken back, the plan as it is now, and how far the arrangement under way is."""

    undone: Undone
    now: Plan
    state: State | None


def undo(request: Undo) -> Outcome[TakenBack]:
    """Give the files of a trip the bytes that they had before the last write.

    Raises InputError where nothing was written or a file was changed since, Unwritten where one cannot be written;
    then none is touched.
    """
    day = today()
    done = taken_back(request.trip, request.vehicle, day)
    profile, on = load_profile(done.after.rules), done.after.on or day
    now = plan(done.after, profile, on, top=1)
    return Outcome(request, TakenBack(done, now, state_of(now.trip, profile, now.day)), verdict_of(now))


@frozen
class WouldTakeBack:
    """What the last step wrote, by its names, and the lines that would change: of each file those that go, with ``-``
    before them, and those that come again, with ``+``."""

    names: tuple[str, ...]
    lines: tuple[str, ...]


def would_take_back(request: Undo) -> WouldTakeBack | None:
    """What ``undo`` would take back, with nothing touched; None where there is nothing, or where a file was changed by
    hand since. Raises InputError where the trip cannot be read."""
    last = would_undo(request.trip, request.vehicle, today())
    if last is None:
        return None
    lines = [line for _, before, now in last.texts
             for line in list(unified_diff(now.splitlines(), before.splitlines(), lineterm="", n=0))[2:]
             if not line.startswith("@@")]
    return WouldTakeBack(last.names, tuple(lines))
