"""What to measure next, and the form for a car that nobody measured."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from seatplan.solver import measure as measuring
from seatplan.solver.measure import Measure

from .notices import QUIET, Listener
from .outcome import Outcome
from .reading import read
from .request import Request
from .verdict import Verdict


@dataclass(frozen=True, kw_only=True)
class AskMeasure(Request):
    """What to measure of a trip."""

    COMMAND: ClassVar[str] = "measure"


def measure(request: AskMeasure, listener: Listener = QUIET) -> Outcome[Measure]:
    """What was not measured and would settle most, most useful first. Raises InputError."""
    found = read(request, listener)
    with listener.progress("fields") as progress:
        answer = measuring.measure(found.trip, found.profile, found.day,
                                   None if progress is None else lambda n: progress("", n))
    return Outcome(request, answer, Verdict.ANSWERED, found.notices)
