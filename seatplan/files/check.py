"""Check files of any kind and report everything, as `seatplan check` prints it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import date

from .errors import InputError, Notice, Problem
from .load import restraint_from, trip_from, vehicle_from
from .notices import restraint_notices, vehicle_notices
from .reading import KEYS_OF, Document, no_file_of, read


@dataclass(slots=True)
class Report:
    """One file: its kind (empty if unknown), what is wrong, what is odd; of a trip also the rules it names, and what
    it was read from."""

    path: str
    kind: str = ""
    problems: list[Problem] = field(default_factory=list)
    notices: list[Notice] = field(default_factory=list)
    rules: str = ""
    document: Document | None = None


def kind_of(document: Document) -> str:
    """vehicle, restraint, trip or profile, by its own key or one that only it has; empty if none does."""
    for own in (True, False):
        for kind, (name, *others) in KEYS_OF.items():
            if any(key in document.data for key in ((name,) if own else others)):
                return kind
    return ""


def check(paths: Iterable[str], today: date | None = None) -> list[Report]:
    """Check each file by itself; a trip with the files it names. ``today`` bounds the days in them. The rules of a
    trip, and files of rules, are for `seatplan.rules` to check."""
    return [_check(path, today) for path in paths]


def _check(path: str, today: date | None) -> Report:
    report = Report("stdin" if path == "-" else path)
    try:
        document = read(path, today, "any")
        report.kind = kind_of(document)
        if report.kind == "trip":
            _check_trip(document, report)
        elif report.kind == "vehicle":
            report.notices = vehicle_notices(vehicle_from(document), document)
        elif report.kind == "restraint":
            report.notices = restraint_notices(restraint_from(document), document)
        elif report.kind == "":
            raise InputError([no_file_of("any", document.name)])
    except InputError as error:
        report.problems = error.problems
    return report


def _check_trip(document: Document, report: Report) -> None:
    """A trip, and what is odd in what it writes inline; what it names is checked for itself."""
    notices: list[Notice] = []
    trip = trip_from(document, notices=notices)
    if isinstance(document.data["vehicle"], dict):
        notices += vehicle_notices(trip.vehicle, document, ("vehicle",))
    for i, (item, restraint) in enumerate(
        zip(document.data.get("restraints", ()), trip.restraints, strict=True)
    ):
        if isinstance(item, dict) and "use" not in item:
            notices += restraint_notices(restraint, document, ("restraints", i))
    report.notices = sorted(notices)
    report.rules, report.document = trip.rules, document
