"""The API described (OpenAPI 3.1): made of the table, of the requests, and of the schemas of the answers."""

from __future__ import annotations

from functools import cache
from typing import Any

from seatplan import __version__
from seatplan.views.caution import CAUTION
from seatplan.views.schemas import ANSWERS, answer_schema

from .answers import STATUSES
from .files import KINDS, MOST
from .given import schema_of
from .table import OPERATIONS, Operation

_VERDICTS = ["fits", "close", "likely", "answered", "unmeasured", "undecided", "rejected", "wrong"]
_FULL = {"full": {"type": "boolean", "default": False, "description": "all of it, as with --full"}}
_HEAD: dict[str, Any] = {"schema": {"type": "integer"}, "kind": {"type": "string"}, "caution": {"type": "string"}}
_HELD = {"number": {"type": "string"}, "holds": {"type": ["string", "null"]},
         "version": {"type": ["string", "null"], "description": "the SHA-256 of the bytes of the file"}}
#: a file of little more than its names
_EXAMPLE = ("trip: To the lake\nvehicle: skiff-two\ndrives: 1L\nriders:\n  - {rider: Beck, age: 4y}\nrestraints: []\n"
            "rules: us\n")
#: refusals that each operation can come to
_ALWAYS = (403, 404, 413, 415, 421, 422)


@cache
def description() -> dict[str, Any]:
    """The whole of it."""
    return {
        "openapi": "3.1.0",
        "info": {"title": "seatplan", "version": __version__, "description": (
            f"{CAUTION} Open the link that `seatplan serve` prints: it opens once and sets a cookie. What changes "
            "something has to say in `Origin` that it comes from here.")},
        "security": [{"session": []}],
        "paths": {**{f"/api/{one.path}": {"post": _question(one)} for one in OPERATIONS}, **_files(),
                  "/api/openapi.json": {"get": _get("this description", {"type": "object"})}},
        "components": {
            "securitySchemes": {"session": {"type": "apiKey", "in": "cookie", "name": "seatplan-session"}},
            "schemas": {**{kind: _placed(kind) for kind in ANSWERS}, "file": _shape(
                {**_HELD, "text": {"type": "string"}}), "files": _shape({"files": {
                    "type": "array", "items": {"type": "object", "properties": _HELD, "required": list(_HELD)}}}),
                "failure": _failure()}}}


def _question(one: Operation) -> dict[str, Any]:
    media = {"schema": {"$ref": f"#/components/schemas/{one.schema}"}} if one.schema else {}    # of a text: whatever
    return {
        "operationId": one.path, "summary": one.says,
        "requestBody": {"required": True, "content": {"application/json": {
            "schema": schema_of(one.request, one.fixed, _FULL if one.full else {}), "example": dict(one.example)}}},
        "responses": {"200": {"description": STATUSES[200], "content": {one.kind: media}, "headers": {
            "seatplan-verdict": {"required": True, "schema": {"type": "string", "enum": _VERDICTS}}}},
            **_refusals(*_ALWAYS, *((507,) if one.writes else ()))}}


def _files() -> dict[str, Any]:
    text = {"text": {"type": "string", "maxLength": MOST, "description": "the whole file, in YAML",
                     "examples": [_EXAMPLE]}}
    kind = {"kind": {"type": "string", "enum": list(KINDS), "examples": ["trip"]}}
    number = {"name": "number", "in": "path", "required": True, "schema": {"type": "string", "pattern": "^[a-z0-9-]+$"},
              "example": "trip-1"}
    seen = {"name": "If-Match", "in": "header", "required": True, "schema": {"type": "string", "maxLength": 100},
            "description": "the version that was seen, in quotes"}
    file = {"$ref": "#/components/schemas/file"}
    return {
        "/api/files": {
            "get": _get("The files of the library, by number.", {"$ref": "#/components/schemas/files"}),
            "post": {"summary": "A new file.", "requestBody": _body({**kind, **text}),
                     "responses": {"201": _answer(201, file), **_refusals(*_ALWAYS, 507)}}},
        "/api/files/{number}": {
            "parameters": [number],
            "get": _get("One file.", file),
            "put": {"summary": "Another text in place of the one that was seen.", "parameters": [seen],
                    "requestBody": _body(text),
                    "responses": {"200": _answer(200, file), **_refusals(*_ALWAYS, 409, 428, 507)}},
            "delete": {"summary": "Delete a file and all that belongs to it.", "parameters": [seen],
                       "responses": {"204": {"description": STATUSES[204]}, **_refusals(*_ALWAYS, 409, 428, 507)}}}}


def _get(says: str, schema: dict[str, Any]) -> dict[str, Any]:
    return {"summary": says, "responses": {"200": _answer(200, schema), **_refusals(403, 404, 413, 421, 422)}}


def _answer(status: int, schema: dict[str, Any]) -> dict[str, Any]:
    return {"description": STATUSES[status], "content": {"application/json": {"schema": schema}}}


def _refusals(*statuses: int) -> dict[str, Any]:
    return {str(status): _answer(status, {"$ref": "#/components/schemas/failure"}) for status in statuses}


def _body(properties: dict[str, Any]) -> dict[str, Any]:
    return {"required": True, "content": {"application/json": {"schema": {
        "type": "object", "additionalProperties": False, "required": list(properties), "properties": properties},
        "example": {name: one["examples"][0] for name, one in properties.items()}}}}


def _shape(properties: dict[str, Any]) -> dict[str, Any]:
    whole = {**_HEAD, **properties}
    return {"type": "object", "properties": whole, "required": list(whole), "additionalProperties": False}


def _placed(kind: str) -> dict[str, Any]:
    """A schema of an answer, its references led to where it stands here."""
    made: dict[str, Any] = _led(answer_schema(kind), f"#/components/schemas/{kind}/$defs/")
    return {key: value for key, value in made.items() if key not in ("$schema", "$id")}


def _failure() -> dict[str, Any]:
    """Of any answer: all have the same."""
    parts = answer_schema(ANSWERS[0])["$defs"]
    made: dict[str, Any] = _led(parts["failure"], f"#/components/schemas/{ANSWERS[0]}/$defs/")
    return made


def _led(value: Any, to: str) -> Any:
    if isinstance(value, dict):
        return {key: one.replace("#/$defs/", to) if key == "$ref" else _led(one, to) for key, one in value.items()}
    return [_led(one, to) for one in value] if isinstance(value, list) else value
