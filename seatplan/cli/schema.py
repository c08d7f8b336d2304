"""seatplan schema"""

from __future__ import annotations

import click

from .output import say, say_json


@click.command("schema", short_help="Print the JSON Schema of a file.")
@click.argument("kind", type=click.Choice(["vehicle", "restraint", "trip", "plan", "room", "contrast"]))
def command(kind: str) -> int:
    """Print the JSON Schema of a vehicle, restraint or trip file, or of what `arrange`, `room` and `why --not` or
    `--against` print with --json (plan, room, contrast).

    \b
      seatplan schema vehicle > vehicle.schema.json
    """
    if kind in ("plan", "room", "contrast"):
        from importlib.resources import files

        say(files("seatplan").joinpath(f"data/schemas/{kind}.json").read_text(encoding="utf-8"))
        return 0
    from seatplan.files.schema import schema

    say_json(schema(kind))
    return 0
