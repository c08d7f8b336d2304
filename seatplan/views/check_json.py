"""What is wrong with files, or odd, as JSON."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from seatplan.app.check import Checked
from seatplan.written import visible

from .failure_json import head_json, problem_json


def check_json(found: Sequence[Checked]) -> dict[str, Any]:
    """Each file with all of its problems, those of its rules too."""
    wrong = any(one.problems for one in found)
    return {**head_json("check"), "verdict": "error" if wrong else "good", "files": [_file(one) for one in found]}


def _file(one: Checked) -> dict[str, Any]:
    return {
        "path": visible(one.path),
        "holds": {"profile": "rules"}.get(one.kind, one.kind) or None,
        "restraint_kind": one.restraint_kind,
        "good": not one.problems,
        "errors": [problem_json(problem) for problem in one.problems],
        "warnings": [problem_json(notice) for notice in one.notices],
        "not_given": [{"of": lacks.of, "name": lacks.name or None, "fields": list(lacks.fields)}
                      for lacks in one.lacking],
    }
