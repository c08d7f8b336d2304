"""What `seatplan check` found, file by file."""

from __future__ import annotations

from seatplan.app.check import Checked
from seatplan.written import visible

from .not_given_text import not_given_text
from .problem_text import problem_text
from .say import t
from .text import count
from .words import KINDS, VALUES


def wrong_lines(one: Checked) -> list[str]:
    """A line for each thing that is wrong, then for each that is odd."""
    return [*(t("error: {problem}", problem=problem_text(problem)) for problem in one.problems),
            *(t("warning: {notice}", notice=problem_text(notice)) for notice in one.notices)]


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
