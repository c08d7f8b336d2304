"""seatplan schema"""

from __future__ import annotations

import click

from .output import say, say_json


@click.command("schema", short_help="Print the JSON Schema of a file.")
@click.argument("kind", type=click.Choice(["vehicle", "restraint", "trip", "plan"]))
def command(kind: str) -> int:
    """Print the JSON Schema of a vehicle, restraint or trip file, or of what `arrange --json` prints (plan).

    \b
      seatplan schema vehicle > vehicle.schema.json
    """
    if kind == "plan":
        from importlib.resources import files

        say(files("seatplan").joinpath("data/schemas/plan.json").read_text(encoding="utf-8"))
        return 0
    from seatplan.files.schema import schema

    say_json(schema(kind))
    return 0
