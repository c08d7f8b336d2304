"""seatplan schema"""

from __future__ import annotations

from typing import Any

import click

from .output import say, say_json


@click.command("schema", short_help="Print the JSON Schema of a file.")
@click.argument("kind", type=click.Choice(["vehicle", "restraint", "trip", "plan", "compare"]))
def command(kind: str) -> int:
    """Print the JSON Schema of a vehicle, restraint or trip file, or of what `arrange --json` (plan) and
    `compare --json` print.

    \b
      seatplan schema vehicle > vehicle.schema.json
    """
    if kind in ("plan", "compare"):
        from importlib.resources import files

        own = files("seatplan").joinpath("data/schemas")
        if kind == "plan":
            say(own.joinpath("plan.json").read_text(encoding="utf-8"))
        else:
            say_json(_with_plan(own.joinpath("compare.json").read_text(encoding="utf-8"),
                                own.joinpath("plan.json").read_text(encoding="utf-8")))
        return 0
    from seatplan.files.schema import schema

    say_json(schema(kind))
    return 0


def _with_plan(compare: str, plan: str) -> dict[str, Any]:
    """The schema of a comparison with the parts that it shares with a plan."""
    import json

    whole: dict[str, Any] = json.loads(compare)
    shared = {name: part for name, part in json.loads(plan)["$defs"].items() if name != "answer"}
    return {**whole, "$defs": {**whole["$defs"], **shared}}
