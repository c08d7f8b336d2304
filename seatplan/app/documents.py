"""What drawings, sheets and reports are made of."""

from __future__ import annotations

from collections.abc import Mapping
from typing import ClassVar, Literal

from seatplan.files.errors import Problem
from seatplan.frozen import frozen
from seatplan.growth.lasting import Lasting, lasting
from seatplan.growth.outlook import Outlook
from seatplan.solver.compare import Comparison
from seatplan.solver.explain import Explanation
from seatplan.solver.installing import Card, cards
from seatplan.solver.measure import Measure, measure_of, settle_of
from seatplan.solver.picture import Picture, picture, varied
from seatplan.solver.results import Arrangement, Plan
from seatplan.solver.settle import Settle

from .arrange import explanation, picked, solve
from .compare import Compare, compared, read_each
from .days import day_within
from .notices import QUIET, LeftOut, Listener
from .outcome import Outcome
from .outlook import look_ahead
from .question import option
from .reading import read
from .request import Request
from .verdict import Verdict, of_several, verdict_of

#: arrangements that get a line each, and of these the most that are drawn; of each of several vehicles fewer
LISTED, DRAWN, DRAWN_EACH = 200, 12, 6
#: among so many further arrangements the one to try next is looked for
_NEXT = 40


@frozen(kw_only=True)
class Draw(Request):
    """``rank``: which arrangement, by its number in ``arrange``."""

    COMMAND: ClassVar[str] = "draw"

    rank: int = option("--arrangement", default=1)
    shown_on: Literal["phone", "paper"] = option("--for", default="phone")


@frozen
class Drawn:
    """``picture`` and ``arrangement`` are None where nothing fits."""

    plan: Plan
    arrangement: Arrangement | None
    picture: Picture | None


def draw(request: Draw, listener: Listener = QUIET) -> Outcome[Drawn]:
    """One arrangement in plain numbers to be drawn. Raises InputError, Misasked for a rank that there is not."""
    found = read(request, listener)
    plan, arrangement = picked(found, request, request.rank, listener)
    seen = None if arrangement is None else picture(plan, arrangement)
    return Outcome(request, Drawn(plan, arrangement, seen), _of(plan, arrangement), found.notices)


@frozen(kw_only=True)
class Sheet(Request):
    """``until``: say how long each restraint lasts, up to then."""

    COMMAND: ClassVar[str] = "sheet"

    rank: int = option("--arrangement", default=1)
    paper: Literal["a4", "letter"] = "a4"
    until: str | None = None


@frozen
class ForTheCar:
    """``left_out``: what of the trip does not apply in its vehicle. ``cards``: one for each restraint, in the order of
    installing. ``lasting``: by rider, how long each stays as it
    is; None where nobody asked. ``settle``: the readings that settle it. ``arrangement`` is None where nothing fits,
    and then there is nothing else either."""

    plan: Plan
    arrangement: Arrangement | None
    picture: Picture | None
    cards: tuple[Card, ...]
    lasting: Mapping[str, Lasting] | None
    settle: Settle | None = None
    left_out: tuple[Problem, ...] = ()


def sheet(request: Sheet, listener: Listener = QUIET) -> Outcome[ForTheCar]:
    """What goes to the car. Raises InputError, Misasked for a rank or an ``until`` that cannot be."""
    found = read(request, listener)
    end = None if request.until is None else day_within(request.until, max(found.taken, found.day))
    plan, arrangement = picked(found, request, request.rank, listener, _NEXT)
    if arrangement is None:
        return Outcome(request, ForTheCar(plan, None, None, (), None), _of(plan, None), found.notices)
    seen = picture(plan, arrangement)
    lasts = None if end is None else lasting(found.written, found.profile, found.taken, end, found.day,
                                             [seat.placement for seat in arrangement.seats])
    settle = settle_of(plan, arrangement) if arrangement.verdict == "unmeasured" else None
    left_out = tuple(notice.problem for notice in found.notices if isinstance(notice, LeftOut))
    return Outcome(request, ForTheCar(plan, arrangement, seen, tuple(cards(plan, arrangement, seen)), lasts, settle,
                                      left_out),
                   _of(plan, arrangement), found.notices)


@frozen(kw_only=True)
class Report(Compare):
    """``vehicles``: none, or one in place of the trip's own; of several, each is reported. ``until``: say how long it
    lasts, up to then."""

    COMMAND: ClassVar[str] = "report"

    until: str | None = None


@frozen
class InReport:
    """One vehicle of a report: ``words`` asks for it again; ``left_out``: what of the trip does not apply in it;
    ``measure``: what to measure next."""

    plan: Plan
    pictures: Mapping[int, Picture]
    explanation: Explanation | None
    words: str
    ahead: Outlook | None
    left_out: tuple[Problem, ...] = ()
    measure: Measure | None = None


@frozen
class Reported:
    """``comparison`` is None where there is one vehicle."""

    each: tuple[InReport, ...]
    comparison: Comparison | None = None


def report(request: Report, listener: Listener = QUIET) -> Outcome[Reported]:
    """Everything about a trip in one vehicle, or in several. Raises InputError, Misasked."""
    return _several(request, listener) if len(request.vehicles) > 1 else _one(request, listener)


def _one(request: Report, listener: Listener) -> Outcome[Reported]:
    asked = request.in_vehicle(next(iter(request.vehicles), None))
    found = read(asked, listener)
    ahead = look_ahead(found.written, found.profile, found.taken, request.until, listener)
    with listener.progress("ways") as progress:
        plan = solve(found, asked, LISTED, progress)
    shown = InReport(plan, _drawn(plan, DRAWN), explanation(plan), asked.words, ahead, measure=measure_of(plan))
    return Outcome(request, Reported((shown,)), verdict_of(plan), found.notices)


def _several(request: Report, listener: Listener) -> Outcome[Reported]:
    found = read_each(request, listener)
    looks = [look_ahead(one.written, found.profile, found.taken, request.until, listener) for one in found.each]
    held = compared(found, request)
    each = tuple(InReport(one.plan, _drawn(one.plan, DRAWN_EACH), explanation(one.plan), asked.words, look,
                          read_one.left_out, measure_of(one.plan))
                 for one, read_one, asked, look in zip(held.vehicles, found.each, found.requests, looks, strict=True))
    return Outcome(request, Reported(each, held), of_several(one.plan for one in held.vehicles), found.notices)


def _drawn(plan: Plan, most: int) -> dict[int, Picture]:
    return {arrangement.rank: picture(plan, arrangement) for arrangement in varied(plan, most)}


def _of(plan: Plan, arrangement: Arrangement | None) -> Verdict:
    """The verdict on one arrangement; where nothing fits there is nothing to draw, whatever the search has left."""
    return Verdict.REJECTED if arrangement is None else Verdict(arrangement.verdict)
