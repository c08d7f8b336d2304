"""What every request about a trip says: which trip, and how to look at it."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from typing import Any, ClassVar

from seatplan.frozen import frozen
from seatplan.message import Name
from seatplan.model import Trip, Vehicle
from seatplan.written import quoted

from .question import Question, argument, words_of

#: a name, a path, a record or its plain data
TripAsked = str | Trip | Mapping[str, Any]
VehicleAsked = str | Vehicle | Mapping[str, Any]


@frozen(kw_only=True)
class Request(Question):
    """A trip and how to look at it.

    ``trip``: a bundled name, a path, ``-`` for standard input, a record, or the plain data of one. ``vehicle`` and
    ``rules`` take the place of the trip's own, as does ``on``, the day of travel. ``strict``: what was not measured
    counts as a no. ``worst_case``: what lengths may be off is added up plainly.
    """

    COMMAND: ClassVar[str] = "arrange"
    #: the fields that tell one trip, and how it is looked at, from another
    OF_TRIP: ClassVar[tuple[str, ...]] = ("trip", "vehicle", "rules", "on", "strict", "worst_case")

    #: those of them that say what the trip is, and not how a verdict comes of it
    OF_DATA: ClassVar[tuple[str, ...]] = ("trip", "vehicle", "rules", "on")

    trip: TripAsked = argument()
    vehicle: VehicleAsked | None = None
    rules: str | None = None
    on: date | None = None
    strict: bool = False
    worst_case: bool = False

    @property
    def words(self) -> str:
        """The trip and how to look at it, as a shell takes it behind any command."""
        return Name(" ".join(map(quoted, words_of(self, self.OF_TRIP))))

    @property
    def data_words(self) -> str:
        """The same without how a verdict is come to, for commands that have no options for that."""
        return Name(" ".join(map(quoted, words_of(self, self.OF_DATA))))

    @property
    def file(self) -> str | None:
        """The trip as it was named; None where no name was given."""
        return self.trip if isinstance(self.trip, str) else None
