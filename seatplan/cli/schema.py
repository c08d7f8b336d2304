"""seatplan schema"""

from __future__ import annotations

from typing import Any

import click

from .output import say_json

#: what commands print with --json; all but the first share the parts of a plan
ANSWERS = ("plan", "room", "contrast", "compare")


@click.command("schema", short_help="Print the JSON Schema of a file.")
@click.argument("kind", type=click.Choice(["vehicle", "restraint", "trip", *ANSWERS]))
def command(kind: str) -> int:
    """Print the JSON Schema of a vehicle, restraint or trip file, or of what commands print with --json: `arrange`
    (plan), `room`, `compare`, and `why --not` or `--against` (contrast).

    \b
      seatplan schema vehicle > vehicle.schema.json
    """
    if kind in ANSWERS:
        say_json(answer_schema(kind))
        return 0
    from seatplan.app.new import file_schema

    say_json(file_schema(kind))
    return 0


def answer_schema(kind: str) -> dict[str, Any]:
    """The schema of an answer, with the parts that it shares with a plan."""
    import json
    from importlib.resources import files

    own = files("seatplan").joinpath("data/schemas")
    plan: dict[str, Any] = json.loads(own.joinpath("plan.json").read_text(encoding="utf-8"))
    if kind == "plan":
        return plan
    whole: dict[str, Any] = json.loads(own.joinpath(f"{kind}.json").read_text(encoding="utf-8"))
    return {**whole, "$defs": {**{name: part for name, part in plan["$defs"].items() if name != "answer"},
                               **whole["$defs"]}}
