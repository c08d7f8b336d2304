"""JSON Schema of the files, for editors that complete."""

from __future__ import annotations

from typing import Any, Literal

from seatplan.model import Restraint, Trip, Vehicle

_MODELS = {"vehicle": Vehicle, "restraint": Restraint, "trip": Trip}
DIALECT = "https://json-schema.org/draft/2020-12/schema"


def schema(kind: Literal["vehicle", "restraint", "trip"] | str) -> dict[str, Any]:
    """The schema of one kind of file; KeyError for another word."""
    made = _MODELS[kind].model_json_schema()
    if kind == "trip":
        _refer(made)
    _soften(made)
    return {"$schema": DIALECT, **made}


def _refer(made: dict[str, Any]) -> None:
    """A trip file names its vehicle and restraints, or writes them inline; a restraint may be the family's own copy."""
    properties = made["properties"]
    reference = {"type": "string", "description": "a bundled name or the path of a file"}
    properties["vehicle"] = {"anyOf": [reference, {"$ref": "#/$defs/Vehicle"}]}
    own = {
        "type": "object", "required": ["use"], "additionalProperties": False,
        "properties": {
            "use": reference, "as": {"type": "string"}, "made": {"type": "string", "format": "date"},
            "expires": {"type": "string", "format": "date"}, "notes": {"type": "string"},
            "condition": {"$ref": "#/$defs/Condition"},
        },
    }
    properties["restraints"] = {"type": "array", "items": {"anyOf": [reference, own, {"$ref": "#/$defs/Restraint"}]}}


def _soften(node: Any) -> None:
    """What the loader accepts beyond the records: yes and no as words, none for an empty list, numbers as names."""
    if isinstance(node, list):
        for item in node:
            _soften(item)
        return
    if not isinstance(node, dict):
        return
    for value in node.values():
        _soften(value)
    if node.get("type") == "boolean":
        del node["type"]
        node["enum"] = [True, False, "yes", "no"]
    if node.get("type") == "array" and "default" not in node.get("x", {}):
        node["type"] = ["array", "string"] if node.get("maxItems") != 2 or "prefixItems" not in node else "array"
        if isinstance(node["type"], list):
            node["pattern"] = "^none$"
