"""seatplan schema"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import click

from .asking import Asking
from .output import say, say_json

#: what commands print with --json, each described by a schema of that name
ANSWERS = ("plan", "why", "contrast", "room", "compare", "outlook", "stock", "measure", "check", "record", "undo",
           "checkup", "checkups", "list", "rules")


@click.command("schema", cls=Asking, short_help="Print the JSON Schema of a file or an answer.")
@click.argument("kind", type=click.Choice(["vehicle", "restraint", "trip", *ANSWERS, "changes"]))
def command(kind: str) -> int:
    """Print the JSON Schema of a vehicle, restraint or trip file, or of what a command prints with --json: `arrange`
    (plan), `why`, `why --not` or `--against` (contrast), `room`, `compare`, `outlook`, `outlook --stock` (stock),
    `measure`, `check`, `record`, `undo`, `checkup`, `list checkups` (checkups), `list`, `rules`; or `changes`: what
    changed in these answers.

    \b
      seatplan schema vehicle > vehicle.schema.json
      seatplan schema plan
      seatplan schema changes
    """
    if kind == "changes":
        say(_text("CHANGES.md"))
        return 0
    if kind in ANSWERS:
        say_json(answer_schema(kind))
        return 0
    from seatplan.app.new import file_schema

    say_json(file_schema(kind))
    return 0


def answer_schema(kind: str) -> dict[str, Any]:
    """The schema of an answer, with those of the parts that it needs."""
    import json

    whole: dict[str, Any] = json.loads(_text(f"{kind}.json"))
    parts: dict[str, Any] = json.loads(_text("parts.json"))["$defs"]
    defs: dict[str, Any] = {}
    todo = list(_refs(whole))
    while todo:
        name = todo.pop(0)
        if name not in defs:
            defs[name] = whole["$defs"].get(name) or parts[name]
            todo += _refs(defs[name])
    return {**whole, "$defs": defs}


def _text(file: str) -> str:
    from importlib.resources import files

    return files("seatplan").joinpath("data/schemas", file).read_text(encoding="utf-8")


def _refs(schema: Any) -> Iterator[str]:
    """The names of the parts that a schema refers to."""
    if isinstance(schema, dict):
        if isinstance(schema.get("$ref"), str):
            yield schema["$ref"].removeprefix("#/$defs/")
        for value in schema.values():
            yield from _refs(value)
    elif isinstance(schema, list):
        for value in schema:
            yield from _refs(value)
