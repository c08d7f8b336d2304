"""A checkup as it goes on file: how the car arrived, what was tried, how it leaves."""

from __future__ import annotations

from datetime import date
from typing import ClassVar

from seatplan.files.checkups import refuse_unreadable, trip_text
from seatplan.frozen import frozen
from seatplan.message import FieldName, said
from seatplan.model import Installed, Tried, Trip
from seatplan.rules.profile import Profile
from seatplan.solver.as_found import Arrival, as_arrived
from seatplan.solver.departure import Departure, departure

from .days import today
from .misasked import Misasked
from .notices import QUIET, Listener
from .outcome import Outcome
from .question import option
from .reading import read, trip_asked
from .request import Request
from .verdict import Verdict

#: what the name of somebody who was there may have
_LONGEST = 200


@frozen(kw_only=True)
class Checkup(Request):
    """``who``: who was there, in their own words, beside those whom the trip names."""

    COMMAND: ClassVar[str] = "checkup"

    who: tuple[str, ...] = option("--who", default=())


@frozen
class ForTheFile:
    """``file``: the trip as it is written down; ``trip``: on the day, with what is unlikely left out; ``who`` was
    there; ``made``: the day on which it was made; ``arrival``: None where how it arrived is not noted."""

    file: Trip
    trip: Trip
    profile: Profile
    day: date
    made: date
    who: tuple[str, ...]
    departure: Departure
    arrival: Arrival | None


def checkup(request: Checkup, listener: Listener = QUIET) -> Outcome[ForTheFile]:
    """What goes on file about a trip. Raises InputError, Misasked.

    The verdict is answered where all holds, unmeasured where a point is open, rejected where nothing fits.
    """
    for word in request.who:
        if not word.strip() or not word.isprintable() or len(word) > _LONGEST:
            raise Misasked("who", said("{asked} is no name", asked=FieldName("who")),
                           said("expected up to {n} letters without control characters", n=_LONGEST))
    found = read(request, listener)
    written = trip_asked(request)
    refuse_unreadable(trip_text({"file": written.data()}), request.file or "trip", today())
    left = departure(found.trip, found.profile, found.day)
    noted: list[Tried | Installed] = [*(written.arrived or {}).values(), *written.tried, *written.installed.values()]
    named = [*request.who, *(one.who for one in noted if one.who)]
    verdict = {"held": Verdict.ANSWERED, "open": Verdict.UNMEASURED, "nothing-fits": Verdict.REJECTED}[left.state]
    return Outcome(request, ForTheFile(written, found.trip, found.profile, found.day, today(),
                                       tuple(dict.fromkeys(named)), left,
                                       as_arrived(found.trip, found.profile, found.day)), verdict, found.notices)
