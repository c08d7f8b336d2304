"""seatplan: which child, in which restraint, on which seating position of one vehicle.

A planning aid: the vehicle handbook, the restraint's instructions and local law come first; have the installation
checked by a certified technician.

>>> from seatplan import arrange, load_trip
>>> plan = arrange(load_trip("three-across-school-run"))
>>> plan
<Plan of 'Three across, school run': fits, 5 of 87 arrangements>
>>> {seat.placement.rider.rider: seat.placement.position.position for seat in plan.arrangements[0].seats}
{'Ines': '1L', 'Oslo': '2L', 'Wren': '2C', 'Tamsin': '2R'}

Whatever takes a trip takes a bundled name, the path of a file, a ``Trip``, or the plain data of a trip file, and the
same options: ``vehicle`` and ``rules`` in place of the trip's own, ``on`` as day of travel, ``strict`` (what was not
measured counts as a no), ``worst_case`` (what lengths may be off is added up plainly), and ``today`` in place of the
clock. What is wrong with a trip, however it was made, raises ``InputError``. Nothing heavy is imported before it is
used.
"""

from __future__ import annotations

TYPE_CHECKING = False            # as a type checker takes it; the import of typing would be the slowest of a start
if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence
    from datetime import date
    from os import PathLike
    from typing import Any, Literal, TypeAlias

    from seatplan.app.check import Checked
    from seatplan.app.record import Noted
    from seatplan.app.records import InputError, Plan, Restraint, Trip, Vehicle
    from seatplan.app.seatings import Seating
    from seatplan.app.undo import TakenBack
    from seatplan.growth.outlook import Outlook
    from seatplan.solver.compare import Comparison
    from seatplan.solver.explain import Explanation
    from seatplan.solver.measure import Measure
    from seatplan.solver.room.tables import Room
    from seatplan.solver.why import Why

    AnyTrip: TypeAlias = str | PathLike[str] | Trip | Mapping[str, Any]
    AnyVehicle: TypeAlias = str | PathLike[str] | Vehicle | Mapping[str, Any]

__version__ = "0.1.0"
__all__ = ["InputError", "Plan", "Restraint", "Trip", "Vehicle", "arrange", "check", "compare", "explain", "load_trip",
           "measure", "new", "outlook", "record", "room", "seatings", "undo", "why"]

_RECORDS = ("InputError", "Plan", "Restraint", "Trip", "Vehicle")


def load_trip(trip: AnyTrip, vehicle: AnyVehicle | None = None, *, today: date | None = None) -> Trip:
    """A trip with everything that it names. ``vehicle`` takes the place of its own, and what does not apply there is
    left out.

    >>> load_trip("three-across-school-run")
    <Trip 'Three across, school run': 4 riders, 5 restraints, in Harrow Estate>
    >>> trip = load_trip({
    ...     "trip": "To the pool", "vehicle": "pipkin-hatch", "on": "2026-12-01", "drives": "1L",
    ...     "riders": [{"rider": "Ann", "adult": True, "drives": True},
    ...                {"rider": "Bo", "born": "2023-01-05", "mass": "15 kg", "height": "98 cm"}],
    ...     "restraints": ["nook-35"]})
    >>> load_trip(trip.data()) == trip
    True

    Raises InputError with every problem of the files.
    """
    from seatplan.app.days import at
    from seatplan.app.reading import trip_asked
    from seatplan.app.request import Request
    from seatplan.model.record import unshared

    with at(today):
        own: Trip = unshared(trip_asked(Request(trip=_given(trip), vehicle=_given(vehicle))))
    return own


def arrange(trip: AnyTrip, *, top: int | None = 5, **options: Any) -> Plan:
    """Every arrangement that is allowed and fits, best first; ``top`` None for all of them.

    >>> plan = arrange("three-too-wide")
    >>> plan.verdict, plan.arrangements
    ('rejected', ())
    """
    from seatplan.app.arrange import Arrange, solve
    from seatplan.app.reading import read
    from seatplan.views.notebook import shown_in_notebooks

    shown_in_notebooks()
    with _asked(options) as of_trip:
        request = Arrange(trip=_given(trip), top=top, **of_trip)
        return solve(read(request), request, top)


def explain(plan: Plan) -> Explanation | None:
    """Why a plan has no arrangement, and what would change that: who cannot travel together, the fewest reasons, and
    changes that were each solved again, bundled restraints among them. None for a plan that has arrangements.

    >>> why_not = explain(arrange("three-too-wide"))
    >>> why_not.groups
    (('Anselm', 'Juno', 'Ludo', 'Edda'),)
    """
    from seatplan.app.arrange import explanation

    return explanation(plan)


def seatings(trip: AnyTrip, **options: Any) -> Iterator[Seating]:
    """Every valid seating as rider -> (position, restraint or None, mode), unranked: for counting and filtering.
    Seatings that differ by a swap of restraints that are alike are one.

    >>> sum(1 for seating in seatings("three-across-school-run"))
    87
    """
    from seatplan.app.request import Request
    from seatplan.app.seatings import seatings as every

    with _asked(options) as of_trip:
        request = Request(trip=_given(trip), **of_trip)
    return every(request)


def why(trip: AnyTrip, rider: str, *, restraint: str | None = None, position: str | None = None,
        **options: Any) -> Why:
    """Every placement of a rider with what speaks for and against it.

    >>> found = why("three-across-school-run", "Wren", position="2C")
    >>> found.seatings
    True
    """
    from seatplan.app.why import AskWhy
    from seatplan.app.why import why as asked

    with _asked(options) as of_trip:
        return asked(AskWhy(trip=_given(trip), rider=rider, restraint=restraint, position=position, **of_trip)).answer


def room(trip: AnyTrip, rider: str, *, position: str | None = None, **options: Any) -> Room:
    """How large a restraint may be for a rider, at every seat or at one.

    >>> [found] = room("two-children-one-tether", "Freya", position="2R").rooms[:1]
    >>> found.position
    '2R'
    """
    from seatplan.app.room import AskRoom
    from seatplan.app.room import room as asked

    with _asked(options) as of_trip:
        return asked(AskRoom(trip=_given(trip), rider=rider, position=position, **of_trip)).answer


def compare(trip: AnyTrip, vehicles: Sequence[AnyVehicle], **options: Any) -> Comparison:
    """One trip in its own vehicle and in others.

    >>> found = compare("twins-small-hatch", ["skiff-two"])
    >>> [vehicle.plan.verdict for vehicle in found.vehicles]
    ['close', 'rejected']
    """
    from seatplan.app.compare import Compare
    from seatplan.app.compare import compare as asked

    with _asked(options) as of_trip:
        return asked(Compare(trip=_given(trip), vehicles=tuple(map(_given, vehicles)), **of_trip)).answer.comparison


def outlook(trip: AnyTrip, until: str | date = "3y", **options: Any) -> Outlook:
    """How long the arrangements last, what comes next and what to buy, up to a day or for a time such as ``18 months``.

    >>> found = outlook("two-seater-airbag-off", "1 month")
    >>> found.works_now
    True

    Raises InputError also where the trip is too large to look at every day.
    """
    from seatplan.app.outlook import LookAhead, ahead

    with _asked(options) as of_trip:
        return ahead(LookAhead(trip=_given(trip), until=until, **of_trip))


def measure(trip: AnyTrip, **options: Any) -> Measure:
    """The readings that settle the best arrangement, those that could open a better one, and what the rest decide.

    >>> found = measure("half-measured-car")
    >>> found.verdict, len(found.best.readings), found.best.verdict
    ('unmeasured', 12, 'fits')
    """
    from seatplan.app.measure import AskMeasure
    from seatplan.app.measure import measure as asked

    with _asked(options) as of_trip:
        return asked(AskMeasure(trip=_given(trip), **of_trip)).answer


def check(*things: AnyTrip | AnyVehicle | Restraint, today: date | None = None) -> tuple[Checked, ...]:
    """What is wrong with files, records or their plain data, what is odd, and what they leave out.

    >>> [found] = check({"restraint": "Nook", "modes": [{"mode": "rear-facing-harness", "shell_height": -3}]})
    >>> print(found.problems[-1])
    modes[0].shell_height: shell_height of mode rear-facing-harness is -3; expected 1 to 3000 mm
    """
    from seatplan.app.check import Check
    from seatplan.app.check import check as asked
    from seatplan.app.days import at

    with at(today):
        return asked(Check(files=tuple(map(_given, things)))).answer


def new(kind: Literal["vehicle", "restraint", "trip", "fleet"], *, of_kind: str | None = None, short: bool = False,
        grown_from: str | PathLike[str] | None = None) -> str:
    """The text of a file to fill in: of a restraint ``of_kind``, a ``short`` one of a vehicle or a trip, or the full
    one with all that another vehicle or restraint file says.

    >>> print(new("restraint", of_kind="high-back").splitlines()[6][:19])
    restraint: Our seat
    """
    from seatplan.app.new import New
    from seatplan.app.new import new as asked

    return asked(New(kind=kind, of_kind=of_kind, short=short,
                     grown_from=None if grown_from is None else str(_given(grown_from)))).answer


def record(file: str | PathLike[str], *, today: date | None = None, **given: Any) -> Noted | TakenBack:
    """Write into a trip file what happened at the car, what is installed, or what is under way; what that leaves, and
    what to try next.

    ``given`` are the options of `seatplan record`, ``rider``, ``sideways`` and so on, each as a person writes it; a
    length is in mm, or text with a unit. With ``undo=True`` it is ``undo``.

    Raises InputError, and Unwritten where the file cannot be written; then nothing is. TypeError for an option that
    there is not.
    """
    from seatplan.app.days import at
    from seatplan.app.record import Record
    from seatplan.app.record import record as asked

    told: dict[str, Any] = {key: str(value) if type(value) in (int, float) and key != "go_on_with" else value
            for key, value in given.items()}
    with at(today):
        return asked(Record(trip=_given(file), **told)).answer


def undo(file: str | PathLike[str], *, vehicle: str | PathLike[str] | None = None,
         today: date | None = None) -> TakenBack:
    """Take back what was written last into a trip file, and into the files that were written with it.

    Raises InputError where nothing was, or a file was changed since, and Unwritten; then none is touched.
    """
    from seatplan.app.days import at
    from seatplan.app.undo import Undo
    from seatplan.app.undo import undo as asked

    with at(today):
        return asked(Undo(trip=_given(file), vehicle=None if vehicle is None else _given(vehicle))).answer


def _asked(options: dict[str, Any]) -> Any:
    """The options that every request has, with the clock that they ask for. TypeError for another one."""
    from seatplan.app.days import asked_on

    if "vehicle" in options:
        options["vehicle"] = _given(options["vehicle"])
    return asked_on(options)


def _given(thing: Any) -> Any:
    """A path as text; anything else as it is."""
    return thing.__fspath__() if hasattr(thing, "__fspath__") else thing


def __getattr__(name: str) -> Any:
    if name in _RECORDS:
        from seatplan.app import records

        return getattr(records, name)
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
