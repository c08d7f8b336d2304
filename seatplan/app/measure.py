"""What to measure next; setting what was measured, and asking again."""

from __future__ import annotations

from collections.abc import Iterator
from typing import ClassVar

from seatplan.doubt import believed, believed_anew
from seatplan.doubt.telling import unlikely
from seatplan.files.fieldnames import target
from seatplan.files.fieldvalues import Value as Value
from seatplan.files.fieldvalues import value_of
from seatplan.files.setting import Changed, Undone, set_values
from seatplan.files.setting import undo as taken_back
from seatplan.frozen import frozen
from seatplan.message import FieldName, said
from seatplan.model import Trip
from seatplan.rules.load import load_profile
from seatplan.solver import measure as measuring
from seatplan.solver.measure import Measure

from .days import today
from .misasked import Misasked
from .notices import QUIET, Listener, Notice
from .outcome import Outcome
from .question import option
from .reading import read, travelling
from .request import Request
from .verdict import Verdict


@frozen(kw_only=True)
class AskMeasure(Request):
    """What to measure of a trip."""

    COMMAND: ClassVar[str] = "measure"


def measure(request: AskMeasure, listener: Listener = QUIET) -> Outcome[Measure]:
    """The readings that settle the best arrangement, those that could open a better one, and the rest. Raises
    InputError."""
    found = read(request, listener)
    with listener.progress("fields") as progress:
        answer = measuring.measure(found.trip, found.profile, found.day,
                                   None if progress is None else lambda n: progress("", n))
    return Outcome(request, answer, Verdict.ANSWERED, found.notices)


def value_of_field(trip: Trip, name: str) -> Value:
    """What a field takes that is named as ``SetFields`` names it. Raises InputError where there is no such field."""
    return value_of(target(name, trip))


@frozen(kw_only=True)
class SetFields(Request):
    """Fields of a trip to set, each as ``OWNER.field=value``, in the file that it stands in. ``copy_to``: where a
    bundled file is copied to; ``sure``: an unlikely value is so; ``dry_run``: only say what would be written; ``undo``:
    take back what was set last, and nothing else is given."""

    COMMAND: ClassVar[str] = "measure"

    fields: tuple[str, ...] = option("--set", default=())
    copy_to: str | None = None
    sure: bool = False
    dry_run: bool = False
    undo: bool = False


@frozen
class SetAgain:
    """What was set or taken back, and what was to be measured before and is now. ``written``: it stands in the files;
    ``asks``: the trip as it is asked about from now on."""

    done: Changed | Undone
    before: Measure
    now: Measure
    written: bool
    asks: Request


def set_fields(request: SetFields, listener: Listener = QUIET) -> Outcome[SetAgain]:
    """Set fields, or take that back, and ask again.

    Raises Misasked where too much is given, InputError for what is wrong, Unwritten where a file cannot be written;
    then nothing is.
    """
    trip, vehicle = _files(request)
    _fits_together(request)
    done: Changed | Undone
    if request.undo:
        done = taken_back(trip, vehicle, today())
    else:
        done = set_values(trip, request.fields, vehicle=vehicle, copy_to=request.copy_to, sure=request.sure,
                          write_it=not request.dry_run, today=today(), unlikely=_unlikely)
    before, notices = _measured(done.before, request, listener)
    now = measuring.measured_again(before, _travelling(done.after, request, listener)[0])
    asks = AskMeasure(trip=_asked_as(done, trip), vehicle=done.vehicle if isinstance(done, Changed) else vehicle,
                      rules=request.rules, on=request.on)
    return Outcome(request, SetAgain(done, before, now, not request.dry_run, asks), Verdict.ANSWERED, notices)


def _asked_as(done: Changed | Undone, trip: str) -> str:
    """The trip itself, or the copy that was made of it."""
    return done.trip or trip if isinstance(done, Changed) else trip


def _measured(trip: Trip, request: SetFields, listener: Listener) -> tuple[Measure, tuple[Notice, ...]]:
    grown, notices = _travelling(trip, request, listener)
    day = request.on or trip.on or today()
    with listener.progress("fields") as progress:
        found = measuring.measure(grown, load_profile(request.rules or trip.rules), day,
                                  None if progress is None else lambda n: progress("", n))
    return found, notices


def _travelling(trip: Trip, request: SetFields, listener: Listener) -> tuple[Trip, tuple[Notice, ...]]:
    """The trip on its day of travel."""
    taken = trip.on or today()
    return travelling(believed_anew(trip, taken), request.on or taken)


def _unlikely(before: Trip, after: Trip) -> Iterator[str]:
    """What is unlikely of the trip after that was not before: a zero too many reads like this."""
    known = believed(before, before.on or today()).doubted
    for doubt in believed(after, after.on or today()).doubted:
        if doubt not in known:
            yield said("{unlikely}; nothing was written: measure it again, or add `{sure}` if it is so",
                       unlikely=unlikely(doubt), sure=FieldName("sure"))


def _files(request: SetFields) -> tuple[str, str | None]:
    """The files that are named. Raises Misasked for what is no file."""
    if not isinstance(request.trip, str) or not isinstance(request.vehicle, str | None):
        raise Misasked("trip", said("what no file holds cannot be set in a file"), said("expected the path of a trip"))
    return request.trip, request.vehicle


def _fits_together(request: SetFields) -> None:
    given = [name for name, value in (("set", request.fields), ("copy_to", request.copy_to), ("sure", request.sure),
                                      ("dry_run", request.dry_run)) if value]
    if request.undo and given:
        raise Misasked("undo", said("{asked} takes back what was set last and goes with nothing else; found {told}",
                                    asked=FieldName("undo"), told=FieldName(*given)),
                       said("leave the rest out, or leave {asked} out", asked=FieldName("undo")))
    if not request.undo and not request.fields:
        raise Misasked(given[0] if given else "set", said("nothing is set"), said(
            "add `{set}` with an owner, a field and its value, such as 2C.belt.length=2400", set=FieldName("set")))
