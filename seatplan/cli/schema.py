"""seatplan schema"""

from __future__ import annotations

import click

from seatplan.views.schemas import ANSWERS, answer_schema, text_of

from .asking import Asking
from .output import say, say_json


@click.command("schema", cls=Asking, short_help="Print the JSON Schema of a file or an answer.")
@click.argument("kind", type=click.Choice(["vehicle", "restraint", "trip", "fleet", *ANSWERS, "changes"]))
def command(kind: str) -> int:
    """Print the JSON Schema of a vehicle, restraint, trip or fleet file, or of what a command prints with --json:
    `arrange` (plan), `why`, `why --not` or `--against` (contrast), `room`, `compare`, `outlook`, `outlook --stock`
    (stock), `measure`, `check`, `record`, `undo`, `checkup`, `list checkups` (checkups), `list`, `rules`, `fleet match`
    (fleet-match) and the like; or `changes`: what changed in these answers.

    \b
      seatplan schema vehicle > vehicle.schema.json
      seatplan schema plan
      seatplan schema changes
    """
    if kind == "changes":
        say(text_of("CHANGES.md"))
        return 0
    if kind in ANSWERS:
        say_json(answer_schema(kind))
        return 0
    from seatplan.app.new import file_schema

    say_json(file_schema(kind))
    return 0
