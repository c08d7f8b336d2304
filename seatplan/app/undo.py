"""Take back what was written last into a trip or a file of it, by whatever command."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from seatplan.files.setting import Undone
from seatplan.files.setting import undo as taken_back
from seatplan.rules.load import load_profile
from seatplan.solver.plan import plan
from seatplan.solver.results import Plan
from seatplan.solver.under_way import State, state_of

from .days import today
from .outcome import Outcome
from .question import Question, argument
from .verdict import verdict_of


@dataclass(frozen=True, kw_only=True)
class Undo(Question):
    """The trip, which is a file, and the file of another vehicle that was written in beside it."""

    COMMAND: ClassVar[str] = "undo"

    trip: str = argument()
    vehicle: str | None = None


@dataclass(frozen=True, slots=True)
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
