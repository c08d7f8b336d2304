"""Every arrangement of a trip, best first, and why the others are ruled out."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, ClassVar

from seatplan.files.load import shelf
from seatplan.frozen import frozen
from seatplan.message import FieldName, said
from seatplan.solver import plan as planning
from seatplan.solver.results import Arrangement, Plan

from .misasked import Misasked
from .notices import QUIET, Listener, Progress
from .outcome import Outcome
from .question import option
from .reading import Read, read
from .request import Request
from .verdict import verdict_of

if TYPE_CHECKING:
    from seatplan.solver.explain import Explanation


@frozen(kw_only=True)
class Arrange(Request):
    """``top``: how many arrangements to work out; None for all."""

    COMMAND: ClassVar[str] = "arrange"

    top: int | None = option(none="--all", default=3)


@frozen
class Arranged:
    """``explanation`` says why nothing fits, and what would change that; None where something does."""

    plan: Plan
    explanation: Explanation | None


def arrange(request: Arrange, listener: Listener = QUIET) -> Outcome[Arranged]:
    """Solve a trip; where nothing fits, say why and what would change that. Raises InputError."""
    found = read(request, listener)
    with listener.progress("ways") as progress:
        solved = solve(found, request, request.top, progress)
        solved = _beside_the_order(solved)
        explained = explanation(solved, progress)
    return Outcome(request, Arranged(solved, explained), verdict_of(solved), found.notices)


def answered(request: Arrange, listener: Listener = QUIET) -> Outcome[Plan]:
    """The plan alone, for whoever asks anew with each number that is typed: why nothing fits takes longer than all
    else, and is asked for by itself. Raises InputError."""
    found = read(request, listener)
    solved = solve(found, request, request.top)
    solved = _beside_the_order(solved)
    return Outcome(request, solved, verdict_of(solved), found.notices)


def _beside_the_order(plan: Plan) -> Plan:
    """With the best by the order alone, where another one is under way."""
    if not plan.trip.under_way:
        return plan
    from seatplan.solver.under_way import best_by_order  # with the order of installing, which mostly nobody asks

    return replace(plan, by_order=best_by_order(plan))


def solve(found: Read, request: Request, top: int | None, progress: Progress | None = None) -> Plan:
    """The plan of a trip that was read."""
    return planning.plan(found.trip, found.profile, found.day, top=top, strict=request.strict,
                         worst_case=request.worst_case, progress=progress)


def explanation(plan: Plan, progress: Progress | None = None) -> Explanation | None:
    """Why nothing fits; None where something does."""
    if plan.arrangements:
        return None
    from seatplan.solver.explain import explain  # with the repairs it is a third of the solver, and mostly not asked

    return explain(plan, shelf(), progress)


def picked(found: Read, request: Request, rank: int, listener: Listener,
           beyond: int = 0) -> tuple[Plan, Arrangement | None]:
    """A plan and its arrangement of a rank; None where nothing fits. ``beyond``: how many arrangements after that one
    the plan holds as well. Raises Misasked for a rank that there is not."""
    with listener.progress("ways") as progress:
        solved = solve(found, request, rank + beyond, progress)
    there = len(solved.arrangements)
    if not there:
        return solved, None
    if there < rank:
        asked = FieldName("arrangement")
        text = (said("{asked} is {rank}, and there is 1", asked=asked, rank=rank) if there == 1 else
                said("{asked} is {rank}, and there are {there}", asked=asked, rank=rank, there=there))
        raise Misasked("arrangement", text, said("expected 1 to {there}", there=there))
    return solved, solved.arrangements[rank - 1]
