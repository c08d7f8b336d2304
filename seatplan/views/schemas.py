"""What describes the JSON answers: their schemas, with the parts that they share."""

from __future__ import annotations

import json
from collections.abc import Iterator
from typing import Any

#: every kind of answer, each described by a schema of that name
ANSWERS = ("plan", "why", "contrast", "room", "compare", "outlook", "stock", "measure", "check", "record", "undo",
           "checkup", "checkups", "list", "rules", "fleet-match", "fleet-plan", "fleet-inventory", "fleet-coverage")


def answer_schema(kind: str) -> dict[str, Any]:
    """The schema of an answer, with those of the parts that it needs."""
    whole: dict[str, Any] = json.loads(text_of(f"{kind}.json"))
    parts: dict[str, Any] = json.loads(text_of("parts.json"))["$defs"]
    defs: dict[str, Any] = {}
    todo = list(_refs(whole))
    while todo:
        name = todo.pop(0)
        if name not in defs:
            defs[name] = whole["$defs"].get(name) or parts[name]
            todo += _refs(defs[name])
    return {**whole, "$defs": defs}


def text_of(file: str) -> str:
    """A file of the folder of schemas."""
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
