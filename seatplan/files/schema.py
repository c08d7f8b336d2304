"""JSON Schema of the files, for editors that complete."""

from __future__ import annotations

from typing import Any, Literal

from pydantic import BaseModel

from seatplan.model import Restraint, Trip, Vehicle
from seatplan.model.fleet import Fleet
from seatplan.model.trip import Copy

DIALECT = "https://json-schema.org/draft/2020-12/schema"
#: rises when a file that was right is so no longer: 2 since masses carry their unit
VERSION = 2
#: what stands empty is unknown, and so is a set of keys that all stand empty
_EMPTY = {"anyOf": [{"type": "null"},
                    {"type": "object", "minProperties": 1, "additionalProperties": {"$ref": "#/$defs/Empty"}}]}
#: what names a file
_REFERENCE = {"type": "string", "not": {"const": "-"}, "description": "a bundled name or the path of a file"}
_MODELS: dict[str, type[BaseModel]] = {"vehicle": Vehicle, "restraint": Restraint, "trip": Trip, "fleet": Fleet}


def schema(kind: Literal["vehicle", "restraint", "trip", "fleet"] | str) -> dict[str, Any]:
    """The schema of one kind of file: its keys, and the shape of each value. KeyError for another word.

    What several keys must agree on, and the range of a quantity with a unit, is left to `seatplan check`.
    """
    made = _MODELS[kind].model_json_schema()
    made.pop("description", None)
    definitions = made.get("$defs", {})
    for record in (made if kind == "restraint" else definitions.get("Restraint"),):
        if record is not None:
            record["anyOf"] = [{"required": ["modes"]}, {"required": ["kind"]}]
    _other_words(definitions)
    if kind == "trip":
        _refer(made)
    if kind == "fleet":
        _refer_of_fleet(made)
    for record in (made, *made.get("$defs", {}).values()):
        _may_stand_empty(record)
    if "Belt" in definitions:                 # its kind may be said once for all, under `every_seat`
        definitions["Belt"] |= {"required": [], "minProperties": 1}
    made.setdefault("$defs", {})["Empty"] = _EMPTY
    return {"$schema": DIALECT, "$id": f"seatplan-{kind}-{VERSION}", **made, "title": f"seatplan {kind} file"}


def _other_words(definitions: dict[str, Any]) -> None:
    """What may stand in place of a field's own value."""
    if "Position" in definitions:             # one that only says that it has anchors of its own
        of_seat, yes = definitions["Position"]["properties"], {"enum": ["yes", True]}
        for key in ("lower_anchors", "tether"):
            of_seat[key] = {"anyOf": [of_seat[key], yes]}
    if "Rider" in definitions:                # two ages are a band
        ages = definitions["Rider"]["properties"]
        ages["age"] = {"anyOf": [ages["age"], ages["ages"]]}


def _refer_of_fleet(made: dict[str, Any]) -> None:
    """A fleet file names vehicles and restraints, or writes them inline."""
    for record, key, what in (("VehicleType", "vehicle", "Vehicle"), ("Kind", "restraint", "Restraint")):
        made["$defs"][record]["properties"][key] = {"anyOf": [_REFERENCE, {"$ref": f"#/$defs/{what}"}]}


def _may_stand_empty(record: dict[str, Any]) -> None:
    """Let every key of a record that may be left out stand empty."""
    for key, value in record.get("properties", {}).items():
        if key not in record.get("required", ()):
            record["properties"][key] = {"anyOf": [value, {"$ref": "#/$defs/Empty"}]}


def _refer(made: dict[str, Any]) -> None:
    """A trip file names its vehicle and restraints, or writes them inline; a restraint may be the family's
    own copy of a model."""
    copy = Copy.model_json_schema(ref_template="#/$defs/{model}")
    made["$defs"] |= copy.pop("$defs", {})
    made["$defs"]["Copy"] = copy
    properties = made["properties"]
    properties["front"]["additionalProperties"] = False
    properties["vehicle"] = {"anyOf": [_REFERENCE, {"$ref": "#/$defs/Vehicle"}]}
    properties["restraints"]["items"] = {
        "anyOf": [_REFERENCE, {"$ref": "#/$defs/Copy"}, {"$ref": "#/$defs/Restraint"}]
    }
