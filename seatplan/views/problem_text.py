"""What is wrong with a file, in the language in force."""

from __future__ import annotations

from seatplan.files.errors import Problem
from seatplan.written import visible

from .say import tr


def problem_text(problem: Problem) -> str:
    """``my-car.yaml:3:5: what was found; what is allowed``."""
    if not problem.path:
        return visible(tr(problem.text))
    return f"{problem.place}: {visible(tr(problem.text))}"
