"""Check files of any kind and report everything, as `seatplan check` prints it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import date

from seatplan.files.errors import InputError, Notice, Problem
from seatplan.files.load import restraint_from, trip_from, vehicle_from
from seatplan.files.notices import vehicle_notices
from seatplan.files.reading import Document, Loc, read
from seatplan.model import Vehicle
from seatplan.model.doubt import Doubt
from seatplan.said import said

from .doubting import believed, doubts_of_restraint, doubts_of_rider, doubts_of_vehicle
from .telling import unlikely


@dataclass(slots=True)
class Report:
    """One file: its kind (empty if unknown), what is wrong, what is odd."""

    path: str
    kind: str = ""
    problems: list[Problem] = field(default_factory=list)
    notices: list[Notice] = field(default_factory=list)


def kind_of(document: Document) -> str:
    """vehicle, restraint, trip or profile, by its own key or one that only it has; empty if none does."""
    for keys in (("trip", "profile", "restraint", "vehicle"), ("riders", "thresholds", "modes", "rows")):
        for kind, key in zip(("trip", "profile", "restraint", "vehicle"), keys, strict=True):
            if key in document.data:
                return kind
    return ""


def check(paths: Iterable[str]) -> list[Report]:
    """Check each file by itself; a trip with the files it names. Profiles the rules check."""
    return [_check(path) for path in paths]


def _check(path: str) -> Report:
    report = Report("stdin" if path == "-" else path)
    try:
        document = read(path)
        report.kind = kind_of(document)
        if report.kind == "trip":
            _check_trip(document, report)
        elif report.kind == "vehicle":
            report.notices = _of_vehicle(vehicle_from(document), document)
        elif report.kind == "restraint":
            report.notices = _told(doubts_of_restraint(restraint_from(document)), document)
        elif report.kind == "":
            raise InputError(
                [
                    document.problem(
                        (),
                        said('this file does not say what it is; expected key "vehicle", '
                             '"restraint", "trip" or "profile", with the name'),
                    )
                ]
            )
    except InputError as error:
        report.problems = error.problems
    return report


def _check_trip(document: Document, report: Report) -> None:
    """A trip, and what is odd in what it writes itself; what it names is checked for itself."""
    notices: list[Notice] = []
    trip = trip_from(document, notices=notices)
    us = trip.rules != "un"
    if isinstance(document.data["vehicle"], dict):
        notices += _of_vehicle(trip.vehicle, document, ("vehicle",), us)
    for i, (item, restraint) in enumerate(
        zip(document.data.get("restraints", ()), trip.restraints, strict=True)
    ):
        if isinstance(item, dict) and "use" not in item:
            notices += _told(doubts_of_restraint(restraint, us), document, ("restraints", i))
    today = date.today()
    for i, rider in enumerate(trip.riders):
        notices += _told(doubts_of_rider(rider, trip.on or today), document, ("riders", i))
    for doubt in believed(trip, today).doubted:
        if doubt.of in ("front", "tried"):
            at: Loc = (doubt.of, int(doubt.name) if doubt.of == "tried" else doubt.name)
            notices += _told([doubt], document, at)
    report.notices = sorted(set(notices))


def _of_vehicle(vehicle: Vehicle, document: Document, at: Loc = (), us: bool = True) -> list[Notice]:
    """What is odd about a vehicle, and what is unlikely."""
    return [*vehicle_notices(vehicle, document, at), *_told(doubts_of_vehicle(vehicle, us), document, at)]


def _told(doubts: Iterable[Doubt], document: Document, at: Loc = ()) -> list[Notice]:
    """Each unlikely number with its place."""
    return [document.problem((*at, *doubt.path), unlikely(doubt)) for doubt in doubts]
