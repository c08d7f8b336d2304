"""seatplan schema"""

from __future__ import annotations

import click


@click.command("schema", short_help="Print the JSON Schema of a file.")
@click.argument("kind", type=click.Choice(["vehicle", "restraint", "trip", "plan"]))
def command(kind: str) -> int:
    """Print the JSON Schema of a vehicle, restraint or trip file, or of what `arrange --json` prints (plan).

    \b
      seatplan schema vehicle > vehicle.schema.json
    """
    import json

    if kind == "plan":
        from importlib.resources import files

        print(files("seatplan").joinpath("data/schemas/plan.json").read_text(encoding="utf-8"), end="")
        return 0
    from seatplan.files.schema import schema

    print(json.dumps(schema(kind), indent=1))
    return 0
