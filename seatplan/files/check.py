"""Check files of any kind and report everything, as `seatplan check` prints it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

from .errors import InputError, Problem
from .load import restraint_from, trip_from, vehicle_from
from .notices import restraint_notices, vehicle_notices
from .reading import Document, read


@dataclass(slots=True)
class Report:
    """One file: its kind (empty if unknown), what is wrong, what is odd."""

    path: str
    kind: str = ""
    problems: list[Problem] = field(default_factory=list)
    notices: list[Problem] = field(default_factory=list)


def kind_of(document: Document) -> str:
    """vehicle, restraint, trip or profile, by the first key that says so; empty if none does."""
    return next((kind for kind in ("trip", "profile", "restraint", "vehicle") if kind in document.data), "")


def check(paths: Iterable[str]) -> list[Report]:
    """Check each file by itself; a trip with the files it names. Profiles are known but checked by the rules."""
    return [_check(path) for path in paths]


def _check(path: str) -> Report:
    report = Report("stdin" if path == "-" else path)
    try:
        document = read(path)
        report.kind = kind_of(document)
        if report.kind == "trip":
            trip_from(document)
        elif report.kind == "vehicle":
            report.notices = vehicle_notices(vehicle_from(document), document)
        elif report.kind == "restraint":
            report.notices = restraint_notices(restraint_from(document), document)
        elif report.kind == "":
            raise InputError([document.problem((), "no key `vehicle`, `restraint`, `trip` or `profile` at the top; "
                                                   "expected one, with the name")])
    except InputError as error:
        report.problems = error.problems
    return report
