"""Which parties each type of vehicle carries with the kinds of restraint that the fleet has."""

from __future__ import annotations

from typing import ClassVar

from seatplan.app.days import today
from seatplan.app.misasked import Misasked
from seatplan.app.notices import QUIET, Listener
from seatplan.app.outcome import Outcome
from seatplan.app.verdict import Verdict
from seatplan.fleet.coverage import Coverage, coverage
from seatplan.fleet.reading import world_of
from seatplan.frozen import frozen
from seatplan.message import FieldName, said

from .files import FleetRead, read_fleet
from .solving import Workers, matching

#: more children than that are no party
MOST = 6


@frozen(kw_only=True)
class Cover(Workers):
    """``children``: of up to so many; ``any_size``: of whom nothing but the age group is known, else of a middle age
    and size."""

    COMMAND: ClassVar[str] = "fleet coverage"

    children: int = 3
    any_size: bool = False


@frozen
class Covered:
    """What was found, by type of the fleet's file."""

    read: FleetRead
    day: str
    coverage: Coverage


def cover(request: Cover, version: str, listener: Listener = QUIET) -> Outcome[Covered]:
    """The grid. ``version``: of the program. Raises InputError, Misasked, Unwritten."""
    if not 1 <= request.children <= MOST:
        raise Misasked("children", said("{asked} is {n}", asked=FieldName("children"), n=request.children),
                       said("expected 1 to {most}", most=MOST))
    read = read_fleet(request)
    day = request.on or today()
    world = world_of(read.fleet, read.profile, day)
    with matching(request, version, world, listener) as (asked, told):
        found = coverage(lambda classes: asked.answers(classes, told), tuple(world.types), request.children,
                         usual=not request.any_size)
    return Outcome(request, Covered(read, day.isoformat(), found), Verdict.ANSWERED)
