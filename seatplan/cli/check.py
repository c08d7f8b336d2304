"""seatplan check"""

from __future__ import annotations

import sys

import click

from .output import say


@click.command("check", short_help="Check vehicle, restraint, trip and rules files.")
@click.argument("files", nargs=-1, required=True)
def command(files: tuple[str, ...]) -> int:
    """Check FILES and say everything that is wrong, with file, line, what was found and what is allowed.

    A warning is odd but allowed. What a file leaves out and a rule asks for is named as not given: it counts as
    unknown. `-` reads a vehicle, restraint or trip from standard input.

    \b
      seatplan check my-car.yaml my-trip.yaml
    """
    from seatplan.app.check import Check, check
    from seatplan.views.check_text import check_text, wrong_lines

    outcome = check(Check(files=files))
    for one in outcome.answer:
        for line in wrong_lines(one):
            print(line, file=sys.stderr)
        say(check_text(one))
    return outcome.exit_code
