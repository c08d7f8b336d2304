"""seatplan check"""

from __future__ import annotations

import sys
from datetime import date
from typing import TYPE_CHECKING

import click

from seatplan.said import said
from seatplan.views.say import t
from seatplan.views.text import count
from seatplan.views.words import VALUES
from seatplan.written import visible

from .options import as_json
from .output import say, say_json

if TYPE_CHECKING:
    from collections.abc import Sequence

    from seatplan.doubt.check import Report
    from seatplan.files.errors import Problem


@click.command("check", short_help="Check vehicle, restraint, trip and rules files.")
@click.argument("files", nargs=-1, required=True)
@as_json
def command(files: tuple[str, ...], json_out: bool) -> int:
    """Check FILES and say everything that is wrong, with file, line, what was found and what is allowed.

    A warning is odd but allowed. What a file leaves out and a rule asks for is named as not given: it counts as
    unknown. `-` reads a vehicle, restraint or trip from standard input.

    \b
      seatplan check my-car.yaml my-trip.yaml
    """
    from seatplan.doubt.check import check
    from seatplan.rules.not_given import not_given
    from seatplan.views.not_given_text import not_given_text
    from seatplan.views.problem_text import problem_text

    judged = [(report, _problems(report)) for report in check(files, date.today())]
    wrong = any(problems for _, problems in judged)
    for report, problems in judged:
        for problem in problems:
            print(t("error: {problem}", problem=problem_text(problem)), file=sys.stderr)
        for notice in report.notices:
            print(t("warning: {notice}", notice=problem_text(notice)), file=sys.stderr)
        if not problems and not json_out:
            kind = t("rules") if report.kind == "profile" else VALUES[report.kind]
            n = len(report.notices)
            odd = f", {count(n, 'warning')}" if n else ""
            say(t("{path}: {kind}, good{odd}", path=visible(report.path), kind=kind, odd=odd) + "\n")
            lacking = not_given_text(not_given(report.record)) if report.record is not None else ""
            say(lacking and lacking + "\n")
    if json_out:
        from seatplan.views.check_json import check_json

        say_json(check_json(judged))
    return 2 if wrong else 0


def _problems(report: Report) -> Sequence[Problem]:
    """What is wrong with a file, its rules too."""
    from seatplan.rules.load import named_rules_problems

    if report.kind == "profile" and not report.problems:
        return _profile_problems(report.path)
    if report.document is not None and report.rules:
        return [*report.problems, *named_rules_problems(report.rules, report.document)]
    return report.problems


def _profile_problems(path: str) -> Sequence[Problem]:
    """What is wrong with a rules file. The bundled ones extend nothing, so they are read as they are."""
    from pathlib import Path

    from seatplan.files.errors import InputError, Problem
    from seatplan.rules.load import BUNDLED, bundled_profile, load_profile

    if path == "stdin":
        return [Problem(path, 0, 0, said("this is a rules file; expected it by its path"))]
    file = Path(path).resolve()
    own = Path(__file__).resolve().parent.parent / "data" / "profiles"
    try:
        if file.parent == own and file.stem in BUNDLED:
            bundled_profile(file.stem)
        else:
            load_profile(str(file) if "/" not in path and not path.endswith((".yaml", ".yml")) else path)
    except InputError as error:
        return error.problems
    return []
