"""What every JSON answer begins with, and bad input as JSON: an object for each problem. Imports nothing heavy.

What changed from one number of the shapes to the next stands in ``data/schemas/CHANGES.md``.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date
from typing import TYPE_CHECKING, Any

from seatplan.message import Message
from seatplan.written import visible

from .caution import CAUTION

if TYPE_CHECKING:
    from seatplan.files.errors import Problem

#: the number of the JSON shapes; with one number, keys are only ever added to them
SCHEMA = 2


def head_json(kind: str) -> dict[str, Any]:
    """What stands first in every answer: ``kind`` names the schema that describes it."""
    return {"schema": SCHEMA, "kind": kind, "caution": CAUTION}


def failure_json(errors: Sequence[Mapping[str, Any]]) -> dict[str, Any]:
    """``verdict`` is error; ``errors`` holds what ``problem_json`` or ``mistake_json`` made."""
    return {**head_json("failure"), "verdict": "error", "errors": list(errors)}


def problem_json(problem: Problem) -> dict[str, Any]:
    """A problem of a file, with its place; null where something is not known, or does not apply."""
    return {
        "path": visible(problem.path) or None,
        "line": problem.line or None,
        "column": problem.column if problem.line else None,
        "field": ".".join(map(str, problem.loc)) or None,
        "found": _plain(problem.found),
        "allowed": None if problem.allowed is None else _plain(dict(problem.allowed)),
        "text": visible(problem.text),
        "hint": None,
    }


def mistake_json(text: str, hint: str | None = None, field: str | None = None, found: Any = None,
                 allowed: Mapping[str, Any] | None = None) -> dict[str, Any]:
    """What is wrong elsewhere: on the command line (``field`` is the option), or with the program."""
    return {"path": None, "line": None, "column": None, "field": field, "found": _plain(found),
            "allowed": None if allowed is None else _plain(dict(allowed)), "text": text, "hint": hint}


def _plain(value: Any) -> Any:
    """What a file holds, as JSON has it; null for what is no value of JSON and no day."""
    if isinstance(value, Message):
        return str(value)
    if isinstance(value, str):
        return visible(value)
    if isinstance(value, (bool, int, float)) or value is None:
        return value
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, (list, tuple)):
        return [_plain(item) for item in value]
    if isinstance(value, Mapping):
        return {str(key): _plain(item) for key, item in value.items()}
    return str(value)
