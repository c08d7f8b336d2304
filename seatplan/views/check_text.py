"""What `seatplan check` found, file by file."""

from __future__ import annotations

from seatplan.app.check import Checked
from seatplan.written import visible

from .not_given_text import not_given_text
from .problem_text import problem_text, source_lines
from .say import N, t
from .text import count
from .words import KINDS, VALUES


def wrong_lines(one: Checked) -> list[str]:
    """Each thing that is wrong, then each that is odd, with the line of the file below it."""
    return [line for told, problems in ((N("error: {problem}"), one.problems), (N("warning: {problem}"), one.notices))
            for problem in problems for line in (t(told, problem=problem_text(problem)), *source_lines(problem))]


def check_text(one: Checked) -> str:
    """What a good file is, and what it leaves out; empty for one that is wrong."""
    if one.problems:
        return ""
    kind = t("rules") if one.kind == "profile" else VALUES[one.kind]
    if one.restraint_kind is not None:
        kind = t("{restraint} ({kind})", restraint=kind, kind=KINDS[one.restraint_kind])
    n = len(one.notices)
    odd = f", {count(n, 'warning')}" if n else ""
    lacking = not_given_text(one.lacking)
    return t("{path}: {kind}, good{odd}", path=visible(one.path), kind=kind, odd=odd) + "\n" + (
        f"{lacking}\n" if lacking else "")
