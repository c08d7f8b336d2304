"""An invented city to try a fleet on."""

from __future__ import annotations

from datetime import date, timedelta
from typing import ClassVar

from seatplan.app.days import today
from seatplan.app.misasked import Misasked
from seatplan.app.outcome import Outcome
from seatplan.app.question import Question
from seatplan.app.verdict import Verdict
from seatplan.fleet.city import City, CityKind, city
from seatplan.frozen import frozen
from seatplan.message import FieldName, said

#: more bookings than that are no city
MOST = 2_000_000


@frozen(kw_only=True)
class InventCity(Question):
    """``kind``: roomy, tight or infeasible; ``on``: the day of the bookings, else tomorrow."""

    COMMAND: ClassVar[str] = "fleet city"

    kind: CityKind = "roomy"
    seed: int = 1
    bookings: int = 24
    on: date | None = None


def invented_city(request: InventCity) -> Outcome[City]:
    """The files of a city. Raises Misasked."""
    if not 2 <= request.bookings <= MOST:
        raise Misasked("bookings", said("{asked} is {n}", asked=FieldName("bookings"), n=request.bookings),
                       said("expected 2 to {most}", most=MOST))
    day = request.on or today() + timedelta(days=1)
    return Outcome(request, city(request.kind, request.seed, day, request.bookings), Verdict.ANSWERED)
