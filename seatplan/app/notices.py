"""What has to be known beside an answer, and whoever listens while it is worked out."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import date
from typing import Literal, NamedTuple

from seatplan.files.errors import Problem
from seatplan.model import Reckoned, Rider, Trip

Progress = Callable[[str, int], None]
#: what is counted while somebody waits
Stage = Literal["ways", "fields", "days", "classes"]


class LeftOut(NamedTuple):
    """What does not apply to another vehicle, and where it stands."""

    problem: Problem


class NotThere(NamedTuple):
    """A rider who is not born yet on the day of travel."""

    rider: Rider


class SizesReckoned(NamedTuple):
    """A rider whose sizes are reckoned for the day of travel."""

    rider: Reckoned
    day: date


class LooksAhead(NamedTuple):
    """Every day up to ``end`` is looked at, in the vehicle of that name; it takes its time."""

    end: date
    vehicle: str


class TooLarge(NamedTuple):
    """A trip of so many riders, restraints and seats cannot be looked at day by day."""

    riders: int
    restraints: int
    seats: int


class RulesOfThen(NamedTuple):
    """A trip read back from a checkup names a local file of rules that is not there, or says something else by now
    (``changed``)."""

    name: str
    changed: bool


Notice = RulesOfThen | LeftOut | NotThere | SizesReckoned | LooksAhead | TooLarge


class Listener:
    """Hears of notices at once, and how far the work is; this one does nothing with either."""

    def notice(self, notice: Notice) -> None:
        """Something that has to be known."""

    def read(self, trip: Trip) -> None:
        """The trip on its day of travel, before anything is worked out; what this raises ends the request."""

    @contextmanager
    def progress(self, stage: Stage) -> Iterator[Progress | None]:
        """Around a long piece of work; what is handed out is told of the stage and of how many were looked at."""
        yield None


QUIET = Listener()
