"""What is wrong with a file, in the language in force."""

from __future__ import annotations

from seatplan.files.errors import Problem

from .say import tr


def problem_text(problem: Problem) -> str:
    """``my-car.yaml:3:5: what was found; what is allowed``."""
    if not problem.path:
        return tr(problem.text)
    place = f"{problem.path}:{problem.line}:{problem.column}" if problem.line else problem.path
    return f"{place}: {tr(problem.text)}"
