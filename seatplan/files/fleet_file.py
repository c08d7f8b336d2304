"""A fleet from its file: what it names of vehicles and restraints is found as in a trip."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from pathlib import Path
from typing import Any

from seatplan.model import Restraint
from seatplan.model.fleet import Fleet

from .crosscheck_fleet import fleet_notices, fleet_problems
from .errors import InputError, Notice, Problem
from .library import is_path
from .load import NO_VEHICLE, beside, of_kind, referred, restraint_from, vehicle_from
from .places import Document
from .reading import read
from .validate import validate

#: stands in for a restraint that could not be read, so that the rest of the file is still checked
_NO_RESTRAINT = {"restraint": "unread", "kind": "backless"}


def load_fleet(path: str, today: date | None = None, notices: list[Notice] | None = None) -> Fleet:
    """A fleet by its path; ``today`` bounds the days in it; ``notices`` is told of what is odd. Raises InputError."""
    document = of_kind("fleet", read(path, today, "fleet"))
    return fleet_from(document, notices)


def fleet_from(document: Document, notices: list[Notice] | None = None) -> Fleet:
    """The fleet of a document, with everything it names found; every problem of all files at once. Raises
    InputError."""
    data, problems = dict(document.data), list[Problem]()
    base = Path(document.name).parent
    data["types"], wrong = _found(data.get("types"), "types", document, base)
    data["kinds"], more = _found(data.get("kinds"), "kinds", document, base)
    data = {key: value for key, value in data.items() if value is not None or key in document.data}
    problems += [*wrong, *more]
    if isinstance(data.get("rules"), str) and is_path(data["rules"]):
        data["rules"] = str(beside(base, data["rules"]))
    try:
        fleet = validate(Fleet, data, document)
    except InputError as error:
        raise InputError([*problems, *error.problems]) from None
    if not problems:
        problems = fleet_problems(fleet, document)
    if problems:
        raise InputError(problems)
    if notices is not None:
        notices += [document.problem(loc, text) for loc, text in fleet_notices(fleet)]
    return fleet


def travel_file(fleet: Fleet, path: str) -> str | None:
    """The path of the travel matrix of a fleet whose file lies at ``path``; None where the fleet names none."""
    return None if fleet.travel is None else str(beside(Path(path).parent, fleet.travel))


def _found(items: Any, key: str, document: Document, base: Path) -> tuple[Any, Sequence[Problem]]:
    """The items of a list, each with the record that it names in place of the name."""
    if not isinstance(items, list):
        return items, ()
    made, problems = [], list[Problem]()
    for i, item in enumerate(items):
        named = "vehicle" if key == "types" else "restraint"
        if not isinstance(item, dict) or item.get(named) is None:
            made.append(item)
            continue
        try:
            record: Any = (
                referred("vehicle", item[named], document, (key, i, named), base, vehicle_from)
                if key == "types" else
                referred("restraint", item[named], document, (key, i, named), base, restraint_from))
        except InputError as error:
            problems += error.problems
            record = NO_VEHICLE if key == "types" else Restraint.model_validate(_NO_RESTRAINT)
        made.append({**item, named: record})
    return made, problems
