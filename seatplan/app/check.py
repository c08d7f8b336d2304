"""Whether files are right, and what they leave out."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import field
from pathlib import Path
from typing import Any, ClassVar

from seatplan.doubt import check as checking
from seatplan.doubt.check import Report
from seatplan.files.errors import InputError, Problem
from seatplan.files.library import PACKAGE
from seatplan.frozen import frozen
from seatplan.message import said
from seatplan.model import Restraint, Trip, Vehicle
from seatplan.model.fleet import Fleet
from seatplan.model.restraint import Kind
from seatplan.rules.load import BUNDLED, bundled_profile, load_profile, named_rules_problems
from seatplan.rules.not_given import NotGiven, not_given

from .days import today
from .outcome import Outcome
from .question import Question, argument
from .verdict import Verdict


@frozen(kw_only=True)
class Check(Question):
    """Paths, or ``-`` for standard input, or records, or the plain data of files."""

    COMMAND: ClassVar[str] = "check"

    files: tuple[str | Trip | Vehicle | Restraint | Mapping[str, Any], ...] = argument()


@frozen
class Checked:
    """One file: its kind (empty if unknown), what is wrong, what is odd, and what it leaves out that rules ask for;
    ``restraint_kind``: of a restraint whose kind it says."""

    path: str
    kind: str
    problems: Sequence[Problem]
    notices: Sequence[Problem]
    lacking: Sequence[NotGiven] = field(default=())
    restraint_kind: Kind | None = None


def check(request: Check) -> Outcome[tuple[Checked, ...]]:
    """Look at every file, and say everything that is wrong with each."""
    found = tuple(map(_checked, checking.check(request.files, today())))
    return Outcome(request, found, Verdict.WRONG if any(one.problems for one in found) else Verdict.ANSWERED)


def _checked(report: Report) -> Checked:
    problems: Sequence[Problem] = report.problems
    if report.kind == "profile" and not problems:
        problems = _profile_problems(report.path)
    elif report.document is not None and report.rules:
        problems = [*problems, *named_rules_problems(report.rules, report.document)]
    lacking = () if problems or report.record is None or isinstance(report.record, Fleet) else tuple(
        not_given(report.record))
    kind = report.record.kind if isinstance(report.record, Restraint) else None
    return Checked(report.path, report.kind, tuple(problems), tuple(report.notices), lacking, kind)


def _profile_problems(path: str) -> Sequence[Problem]:
    """What is wrong with a rules file. The bundled ones extend nothing, so they are read as they are."""
    if path == "stdin":
        return [Problem(path, 0, 0, said("this is a rules file; expected it by its path"))]
    file = Path(path).resolve()
    try:
        if file.parent == PACKAGE / "data" / "profiles" and file.stem in BUNDLED:
            bundled_profile(file.stem)
        else:
            load_profile(str(file) if "/" not in path and not path.endswith((".yaml", ".yml")) else path)
    except InputError as error:
        return error.problems
    return []
