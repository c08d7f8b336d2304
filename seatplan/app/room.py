"""How large a restraint may be for one rider."""

from __future__ import annotations

from typing import ClassVar

from seatplan.files.load import shelf
from seatplan.frozen import frozen
from seatplan.message import said
from seatplan.solver.room import tables
from seatplan.solver.room.tables import Room

from .misasked import Misasked
from .notices import QUIET, Listener
from .outcome import Outcome
from .reading import read
from .request import Request
from .verdict import Verdict
from .why import position_called, rider_called


@frozen(kw_only=True)
class AskRoom(Request):
    """``position``: only there."""

    COMMAND: ClassVar[str] = "room"

    rider: str
    position: str | None = None


def room(request: AskRoom, listener: Listener = QUIET) -> Outcome[Room]:
    """How wide and how long a restraint may be at each seat, and which bundled ones would do. Raises InputError,
    Misasked: also for an adult."""
    found = read(request, listener)
    rider = rider_called(request.rider, found.trip)
    if next(r for r in found.trip.riders if r.rider == rider).adult:
        raise Misasked("rider", said("{chosen} is an adult", chosen=rider),
                       said("expected a rider who needs a child restraint"))
    spot = request.position and position_called(request.position, found.trip)
    answer = tables.room(found.trip, found.profile, found.day, rider, shelf(), spot, strict=request.strict,
                         worst_case=request.worst_case)
    return Outcome(request, answer, _of(answer), found.notices)


def _of(answer: Room) -> Verdict:
    """Whether there is room somewhere."""
    widths = [one.width for one in answer.rooms if one.width]
    if any(width.fits for width in widths):
        return Verdict.FITS
    if any(width.close for width in widths):
        return Verdict.CLOSE
    if any(width.likely for width in widths):
        return Verdict.LIKELY
    return Verdict.REJECTED if answer.complete else Verdict.UNDECIDED
