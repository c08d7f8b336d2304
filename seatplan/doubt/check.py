"""Check files of any kind and report everything, as `seatplan check` prints it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date
from typing import Any

from seatplan.files.crosscheck_family import family_problems
from seatplan.files.crosscheck_restraint import made_later
from seatplan.files.errors import InputError, Notice, Problem
from seatplan.files.fleet_file import fleet_from
from seatplan.files.load import restraint_from, trip_from, vehicle_from
from seatplan.files.notices import restraint_notices, vehicle_notices
from seatplan.files.places import Document, Loc
from seatplan.files.plain import Plain, data_of, name_of
from seatplan.files.reading import kind_of, no_file_of, read
from seatplan.model import Restraint, Trip, Vehicle
from seatplan.model.doubt import Doubt
from seatplan.model.fleet import Fleet

from .doubting import believed, doubts_of_restraint, doubts_of_rider, doubts_of_vehicle
from .telling import unlikely


@dataclass(slots=True)
class Report:
    """One file: its kind (empty if unknown), what is wrong, what is odd, and the record it was read into; of a trip
    and of a fleet also the rules it names, and what it was read from."""

    path: str
    kind: str = ""
    problems: list[Problem] = field(default_factory=list)
    notices: list[Notice] = field(default_factory=list)
    rules: str = ""
    document: Document | None = None
    record: Vehicle | Restraint | Trip | Fleet | None = None


def check(things: Iterable[str | Trip | Vehicle | Restraint | Mapping[str, Any]],
          today: date | None = None) -> list[Report]:
    """Check each file, record or plain data of a file by itself, a trip with the files it names; and trips together, as
    those of one family. ``today`` bounds the days in them, and stands in where a trip names none. The rules of a trip,
    and files of rules, are for `seatplan.rules` to check."""
    reports, trips = [], []
    for thing in things:
        report = Report("stdin" if thing == "-" else thing if isinstance(thing, str) else name_of(thing))
        reports.append(report)
        try:
            document = read(thing, today, "any") if isinstance(thing, str) else Plain(
                report.path, data_of(thing), today=today)
            trip = _check(document, report, today)
            if trip is not None:
                trips.append((document.name, trip, document))
        except InputError as error:
            report.problems = error.problems
    apart = family_problems(trips)
    for report in reports:
        report.problems += [problem for problem in apart if problem.path == report.path]
    return reports


def _check(document: Document, report: Report, today: date | None) -> Trip | None:
    """Put kind and notices of a document into its report; the trip, if it is one. Raises InputError."""
    report.kind = kind_of(document)
    if report.kind == "trip":
        return _check_trip(document, report, today)
    if report.kind == "vehicle":
        report.record = vehicle = vehicle_from(document)
        report.notices = _of_vehicle(vehicle, document)
    elif report.kind == "restraint":
        report.record = restraint = restraint_from(document)
        if today is not None and restraint.made is not None and restraint.made > today:
            raise InputError([document.problem(("made",), made_later(restraint, today))])
        report.notices = _of_restraint(restraint, document)
    elif report.kind == "fleet":
        report.record = fleet = fleet_from(document, report.notices)
        report.rules, report.document = fleet.rules, document
    elif report.kind == "":
        raise InputError([no_file_of("any", document.name)])
    return None


def _check_trip(document: Document, report: Report, today: date | None) -> Trip:
    """A trip, and what is odd in what it writes itself; what it names is checked for itself."""
    notices: list[Notice] = []
    report.record = trip = trip_from(document, notices=notices, today=today)
    us = trip.rules != "un"
    if isinstance(document.data["vehicle"], dict):
        notices += _of_vehicle(trip.vehicle, document, ("vehicle",), us)
    for i, (item, restraint) in enumerate(
        zip(document.data.get("restraints") or (), trip.restraints, strict=True)
    ):
        if isinstance(item, dict) and "use" not in item:
            notices += _of_restraint(restraint, document, ("restraints", i), us)
    day = trip.on or today
    if day is not None:
        for i, rider in enumerate(trip.riders):
            notices += _told(doubts_of_rider(rider, day), document, ("riders", i))
        for doubt in believed(trip, day).doubted:
            if doubt.of in ("front", "tried", "installed"):
                at: Loc = (doubt.of, int(doubt.name) if doubt.of == "tried" else doubt.name)
                notices += _told([doubt], document, at)
    report.notices = sorted(set(notices))
    report.rules, report.document = trip.rules, document
    return trip


def _of_vehicle(vehicle: Vehicle, document: Document, at: Loc = (), us: bool = True) -> list[Notice]:
    """What is odd about a vehicle, and what is unlikely."""
    return [*vehicle_notices(vehicle, document, at), *_told(doubts_of_vehicle(vehicle, us), document, at)]


def _of_restraint(restraint: Restraint, document: Document, at: Loc = (), us: bool = True) -> list[Notice]:
    """What is odd about a restraint, and what is unlikely."""
    return [*restraint_notices(restraint, document, at), *_told(doubts_of_restraint(restraint, us), document, at)]


def _told(doubts: Iterable[Doubt], document: Document, at: Loc = ()) -> list[Notice]:
    """Each unlikely number with its place."""
    return [document.problem((*at, *doubt.path), unlikely(doubt)) for doubt in doubts]
