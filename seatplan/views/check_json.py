"""What is wrong with files, or odd, as JSON."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from seatplan.doubt.check import Report
from seatplan.files.errors import Problem
from seatplan.rules.not_given import not_given
from seatplan.written import visible

from .failure_json import head_json, problem_json


def check_json(judged: Sequence[tuple[Report, Sequence[Problem]]]) -> dict[str, Any]:
    """Each file with all of its problems, those of its rules too."""
    wrong = any(problems for _, problems in judged)
    return {**head_json("check"), "verdict": "error" if wrong else "good",
            "files": [_file(report, problems) for report, problems in judged]}


def _file(report: Report, problems: Sequence[Problem]) -> dict[str, Any]:
    lacking = () if problems or report.record is None else not_given(report.record)
    return {
        "path": visible(report.path),
        "holds": {"profile": "rules"}.get(report.kind, report.kind) or None,
        "good": not problems,
        "errors": [problem_json(problem) for problem in problems],
        "warnings": [problem_json(notice) for notice in report.notices],
        "not_given": [{"of": one.of, "name": one.name or None, "fields": list(one.fields)} for one in lacking],
    }
