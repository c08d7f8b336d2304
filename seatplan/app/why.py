"""Everything for or against a rider, a restraint, a seat; and one arrangement held against another."""

from __future__ import annotations

from typing import ClassVar

from seatplan.files.load import shelf
from seatplan.frozen import frozen
from seatplan.message import FieldName, Name, said
from seatplan.model import Trip, Wish
from seatplan.solver import why as reasons
from seatplan.solver.aboard import with_built_in
from seatplan.solver.contrast import Asked, Contrast, contrast, why_not
from seatplan.solver.judge import verdict_of as verdict_at
from seatplan.solver.results import Plan
from seatplan.solver.why import Why

from .arrange import solve
from .misasked import Misasked, one_of
from .notices import QUIET, Listener
from .outcome import Outcome
from .question import option
from .reading import read
from .request import Request
from .verdict import Verdict, verdict_of


@frozen(kw_only=True)
class AskWhy(Request):
    """``restraint``, ``position``: only in it, only there."""

    COMMAND: ClassVar[str] = "why"

    rider: str
    restraint: str | None = None
    position: str | None = None


def why(request: AskWhy, listener: Listener = QUIET) -> Outcome[Why]:
    """Every placement of a rider with what speaks for and against it. Raises InputError, Misasked."""
    found = read(request, listener)
    trip = found.trip
    rider = rider_called(request.rider, trip)
    held = request.restraint and one_of(
        request.restraint, [r.restraint for r in with_built_in(trip).restraints], "restraint",
        said('no restraint is called "{word}" in this trip', word=Name(request.restraint)))
    spot = request.position and position_called(request.position, trip)
    answer = reasons.why(trip, found.profile, found.day, rider, held, spot, strict=request.strict,
                         worst_case=request.worst_case)
    levels = [mode.level for mode in answer.modes if mode.level is not None]
    verdict = Verdict(verdict_at(min(levels))) if levels else Verdict.REJECTED
    if verdict is Verdict.REJECTED and not answer.complete:
        verdict = Verdict.UNDECIDED
    return Outcome(request, answer, verdict, found.notices)


@frozen(kw_only=True)
class AskWhyNot(Request):
    """``so``: a rider and a seat or a restraint, such as ``Wren=2C``."""

    COMMAND: ClassVar[str] = "why"

    so: str = option("--not")


def not_so(request: AskWhyNot, listener: Listener = QUIET) -> Outcome[Asked]:
    """What it would cost if a rider sat there or in that, or what stands in the way. Raises InputError, Misasked."""
    who, sign, what = (Name(part.strip()) for part in request.so.partition("="))
    if not (who and sign and what):
        raise Misasked("not", said('{asked} is "{found}"', asked=FieldName("not"), found=Name(request.so)),
                       said("expected a rider and a seat or a restraint, such as Wren=2C"))
    found = read(request, listener)
    trip = found.trip
    rider = rider_called(who, trip)
    seats = [p.position for p in trip.vehicle.positions()]
    chosen = one_of(what, [*seats, *(r.restraint for r in with_built_in(trip).restraints)], "not",
                    said('no seat and no restraint of this trip is called "{word}"', word=what))
    wish = Wish(rider=rider, at=[chosen]) if chosen in seats else Wish(rider=rider, uses=[chosen])
    answer = why_not(trip, found.profile, found.day, wish, shelf(), strict=request.strict,
                     worst_case=request.worst_case)
    return Outcome(request, answer, verdict_of(answer.plan), found.notices)


@frozen(kw_only=True)
class AskAgainst(Request):
    """Two arrangements by their numbers in ``arrange``."""

    COMMAND: ClassVar[str] = "why"

    arrangement: int
    against: int = 1


@frozen
class HeldAgainst:
    """Two arrangements of a plan, and where they differ."""

    plan: Plan
    contrast: Contrast


def against(request: AskAgainst, listener: Listener = QUIET) -> Outcome[HeldAgainst]:
    """One arrangement against another. Raises InputError, Misasked."""
    one, other = request.arrangement, request.against
    if one == other:
        raise Misasked("arrangement", said("{asked} and {other} are both {number}", asked=FieldName("arrangement"),
                                           other=FieldName("against"), number=one), said("expected two different ones"))
    found = read(request, listener)
    plan = solve(found, request, max(one, other))
    n = len(plan.arrangements)
    if max(one, other) > n:
        raise Misasked("arrangement", said("there is no arrangement {number}", number=max(one, other)),
                       said("expected 1 to {n}", n=n) if n else said("none fits"))
    held = contrast(plan.arrangements[one - 1], plan.arrangements[other - 1], plan.choices.kinds)
    return Outcome(request, HeldAgainst(plan, held), Verdict(held.one.verdict), found.notices)


def rider_called(word: str, trip: Trip) -> str:
    """The rider of that name, whatever its capitals. Raises Misasked."""
    return one_of(word, [r.rider for r in trip.riders], "rider",
                  said('no rider is called "{word}" in this trip', word=Name(word)))


def position_called(word: str, trip: Trip) -> str:
    """The seat of that name, whatever its capitals. Raises Misasked."""
    return one_of(word, [p.position for p in trip.vehicle.positions()], "position",
                  said('{vehicle} has no seat "{word}"', vehicle=trip.vehicle.vehicle, word=Name(word)))
