"""Files to fill in, and the schemas of files."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, ClassVar, Literal

from seatplan.files.errors import Problem
from seatplan.frozen import frozen
from seatplan.message import FieldName, Name, said
from seatplan.model import Installed, Vehicle

from .misasked import Misasked, one_of
from .notices import RulesOfThen
from .outcome import Outcome
from .question import Question, argument, option
from .verdict import Verdict


@frozen(kw_only=True)
class New(Question):
    """Which kind of file. ``of_kind``: the short form of a restraint of that kind; ``short``: that of a vehicle or a
    trip; ``grown_from``: a vehicle or a restraint by name or path, of which the full form keeps what is known; of a
    trip the path of a checkup that holds it, or with ``vehicle`` a trip by name or path, for that other car."""

    COMMAND: ClassVar[str] = "new"

    kind: Literal["vehicle", "restraint", "trip", "fleet"] = argument()
    of_kind: str | None = option("--kind", default=None)
    short: bool = False
    grown_from: str | None = option("--from", default=None)
    vehicle: str | None = option("--vehicle", default=None)


@frozen
class SecondCar:
    """``text`` of the new trip file; what is ``installed`` in the ``first`` car, by rider; ``left_out``: what the trip
    says that holds for that car alone."""

    text: str
    first: Vehicle
    installed: Mapping[str, Installed]
    left_out: tuple[Problem, ...]


def new(request: New) -> Outcome[str]:
    """A commented file that `check` accepts as it is. Raises Misasked, InputError."""
    from seatplan.files.forms import template

    _asked_once(request)
    if request.of_kind is not None:
        text = _restraint_of(request.of_kind)
    elif request.grown_from is not None and request.kind == "trip":
        return _read_back(request)
    elif request.grown_from is not None:
        text = _grown(request.kind, request.grown_from)
    else:
        text = template(f"short-{request.kind}" if request.short else request.kind)
    return Outcome(request, text, Verdict.ANSWERED)


def second_car(request: New) -> Outcome[SecondCar]:
    """A trip's riders, restraints and wishes as a trip in another car, in which nothing is installed yet.

    Nothing that was done in the first car comes along: no try, no belt that fits, no airbag that was switched off.
    Raises Misasked, InputError.
    """
    from seatplan.files.checkups import refuse_unreadable, trip_text
    from seatplan.files.plain import trip_of

    from .days import today

    _asked_once(request)
    name, left_out = request.grown_from or "", list[Problem]()
    first = trip_of(name, None, None, today())
    second = trip_of(name, request.vehicle, left_out, today())
    if second.vehicle == first.vehicle:
        raise Misasked("vehicle", said("{asked} is the car of this trip", asked=FieldName("vehicle")),
                       said("expected another car"))
    second = second.model_copy(update={"installed": {}, "airbags_off": [], "front": {}})
    text = trip_text({"file": second.data()})
    refuse_unreadable(text, name, today())
    return Outcome(request, SecondCar(text, first.vehicle, first.installed, tuple(left_out)), Verdict.ANSWERED)


def kinds_of_restraint(request: New) -> Outcome[dict[str, str]]:
    """Each kind of restraint, with the sentence how to tell it: for whoever asks with ``help`` in place of a kind."""
    from seatplan.model.kinds import KINDS

    return Outcome(request, {name: kind.tell for name, kind in KINDS.items()}, Verdict.ANSWERED)


def _asked_once(request: New) -> None:
    """What is asked goes with the kind of file, and with nothing that asks for another form of it."""
    given = [name for name, value in (("kind", request.of_kind), ("short", request.short or None),
                                      ("from", request.grown_from)) if value is not None]
    if len(given) > 1:
        raise Misasked(given[1], said("{one} and {other} ask for two forms", one=FieldName(given[0]),
                                      other=FieldName(given[1])), said("expected one of them"))
    if request.vehicle is not None and (request.kind != "trip" or request.grown_from is None):
        raise Misasked("vehicle", said("{asked} goes with a trip and {other}", asked=FieldName("vehicle"),
                                       other=FieldName("from")), said("`seatplan new trip --from TRIP` has both"))
    if request.of_kind is not None and request.kind != "restraint":
        raise Misasked("kind", said("{asked} is of restraints", asked=FieldName("kind")),
                       said("`seatplan new {kind} --short` is the short form here", kind=Name(request.kind)))
    if request.kind == "fleet" and (request.short or request.grown_from is not None):
        raise Misasked("short" if request.short else "from", said("a fleet has one form"),
                       said("expected `seatplan new fleet`"))
    if request.short and request.kind == "restraint":
        raise Misasked("short", said("a restraint has a short form for each kind"),
                       said("`seatplan new restraint --kind help` tells them apart"))


def _restraint_of(word: str) -> str:
    from seatplan.files.forms import restraint_form
    from seatplan.model.kinds import KINDS

    name = one_of(word, list(KINDS), "kind", said("there is no kind of restraint {word}", word=Name(word)),
                  said("`seatplan new restraint --kind help` tells them apart"))
    return restraint_form(next(kind for kind in KINDS if kind == name))


def _grown(kind: str, ref: str) -> str:
    from seatplan.files.forms import grown
    from seatplan.files.load import load_restraint, load_vehicle

    from .days import today

    return grown(load_vehicle(ref, today()) if kind == "vehicle" else load_restraint(ref))


def _read_back(request: New) -> Outcome[str]:
    """The trip in a checkup, and whether its local rules still are what they were."""
    from seatplan.files.checkups import read_back
    from seatplan.files.errors import InputError
    from seatplan.rules.load import load_profile

    from .days import today

    back = read_back(request.grown_from or "", today())
    if back.rules_text is None:
        return Outcome(request, back.text, Verdict.ANSWERED)
    try:
        file = load_profile(back.rules).file
    except InputError:
        file = None
    if file is not None and file.text == back.rules_text:
        return Outcome(request, back.text, Verdict.ANSWERED)
    return Outcome(request, back.text, Verdict.ANSWERED, (RulesOfThen(back.rules, file is not None),))


def file_schema(kind: str) -> dict[str, Any]:
    """The JSON Schema of a vehicle, restraint, trip or fleet file."""
    from seatplan.files.schema import schema

    return schema(kind)
