"""seatplan check"""

from __future__ import annotations

import sys

import click

from .asking import Asking
from .options import as_json
from .output import say, say_json


@click.command("check", cls=Asking, short_help="Check vehicle, restraint, trip, fleet and rules files.")
@click.argument("files", nargs=-1, required=True)
@as_json
def command(files: tuple[str, ...], json_out: bool) -> int:
    """Check FILES and say everything that is wrong, with file, line, what was found and what is allowed.

    A warning is odd but allowed. What a file leaves out and a rule asks for is named as not given: it counts as
    unknown. `-` reads a vehicle, restraint, trip or fleet from standard input.

    \b
      seatplan check my-car.yaml my-trip.yaml
    """
    from seatplan.app.check import Check, check
    from seatplan.views.check_text import check_text, wrong_lines

    outcome = check(Check(files=files))
    for one in outcome.answer:
        for line in wrong_lines(one):
            print(line, file=sys.stderr)
        if not json_out:
            say(check_text(one))
    if json_out:
        from seatplan.views.check_json import check_json

        say_json(check_json(outcome.answer))
    return outcome.exit_code
