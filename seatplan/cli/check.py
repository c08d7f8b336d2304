"""seatplan check"""

from __future__ import annotations

import sys

import click


@click.command("check", short_help="Check vehicle, restraint, trip and rules files.")
@click.argument("files", nargs=-1, required=True)
def command(files: tuple[str, ...]) -> int:
    """Check FILES and say everything that is wrong, with file, line, what was found and what is allowed.

    A warning is odd but allowed. `-` reads standard input.

    \b
      seatplan check vehicles/*.yaml my-trip.yaml
    """
    from seatplan.files.check import check

    wrong = 0
    for report in check(files):
        for problem in report.problems:
            print(f"error: {problem}", file=sys.stderr)
        for notice in report.notices:
            print(f"warning: {notice}", file=sys.stderr)
        wrong += bool(report.problems)
        if not report.problems:
            odd = f", {len(report.notices)} warning{'s' if len(report.notices) > 1 else ''}" if report.notices else ""
            print(f"{report.path}: {report.kind}, good{odd}")
    return 2 if wrong else 0
