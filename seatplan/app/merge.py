"""Two copies of a trip that were written in at the car, as one."""

from __future__ import annotations

from collections.abc import Mapping
from typing import ClassVar

from seatplan.files.merging import joined
from seatplan.frozen import frozen
from seatplan.model import UnderWay
from seatplan.rules.load import load_profile
from seatplan.solver.joined_under_way import Settled, joined_under_way
from seatplan.solver.plan import plan
from seatplan.solver.results import Plan
from seatplan.solver.under_way import State, state_of

from .days import today
from .outcome import Outcome
from .question import Question, argument
from .verdict import verdict_of


@frozen(kw_only=True)
class Merge(Question):
    """Two files of one trip, and the new file that they become."""

    COMMAND: ClassVar[str] = "merge"

    first: str = argument()
    second: str = argument()
    output: str


@frozen
class Merged:
    """``text`` of the new file; ``tries`` that came from the second; the plan as it is now, and how far the
    arrangement under way is; what was under way in the ``first`` and the ``second``, and how that was ``settled``."""

    text: str
    tries: int
    now: Plan
    state: State | None
    first: Mapping[str, UnderWay]
    second: Mapping[str, UnderWay]
    settled: Settled


def merge(request: Merge) -> Outcome[Merged]:
    """Both as one; nothing is written. Raises InputError with every conflict and both of its places."""
    day = today()
    both = joined(request.first, request.second, day)
    profile, on = load_profile(both.facts.rules), both.facts.on or day
    settled = joined_under_way(both.facts, profile, on, both.first, both.second)
    text, trip = both.written(settled.under_way, request.output, day)
    now = plan(trip, profile, on, top=1)
    return Outcome(request, Merged(text, both.tries, now, state_of(now.trip, profile, now.day),
                                   both.first.under_way, both.second.under_way, settled.settled), verdict_of(now))
