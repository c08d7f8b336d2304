"""From plain data to records: every error of a file at once, in our own words, with its place."""

from __future__ import annotations

import types
import typing
from datetime import date
from typing import Any, TypeVar

from pydantic import BaseModel, ValidationError

from .errors import InputError, Problem, near_word
from .reading import Document, Loc

M = TypeVar("M", bound=BaseModel)
#: a list item is called by the value of one of these keys
_OWN_NAMES = ("rider", "restraint", "position", "bar", "tether", "part", "mode", "name", "by", "row", "use", "trip",
              "vehicle")
_SINGULAR = {"riders": "rider", "restraints": "restraint", "positions": "position", "lower_anchors": "bar",
             "tethers": "tether", "parts": "part", "modes": "mode", "installations": "installation", "rows": "row",
             "trim": "trim", "wishes": "wish", "tried": "tried", "settings": "setting", "gap": "gap"}


def validate(model: type[M], data: Any, document: Document, at: Loc = ()) -> M:
    """Make a record of ``data``, which stands at ``at`` in the document. Raises InputError with all problems."""
    try:
        return model.model_validate(data)
    except ValidationError as error:
        raise InputError(_problems(model, data, document, at, error)) from None


def _problems(model: type[BaseModel], data: Any, document: Document, at: Loc, error: ValidationError) -> list[Problem]:
    found: dict[Loc, Problem] = {}
    for item in error.errors(include_url=False, include_context=True):
        loc = _in_file(data, item["loc"])
        # several branches of one field may fail; the most telling comes from our own types
        if loc in found and item["type"] not in ("quantity", "range", "pair"):
            continue
        text, at_key = _text(model, data, loc, dict(item))
        found[loc] = document.problem((*at, *loc), text, at_key)
    return list(found.values())


def _in_file(data: Any, loc: Loc) -> Loc:
    """The part of a pydantic location that is in the file: names of types and branches are left out."""
    kept: list[str | int] = []
    for i, step in enumerate(loc):
        if isinstance(data, dict) and (step in data or i == len(loc) - 1):
            kept.append(step)
            data = data.get(step) if isinstance(step, str) else None
        elif isinstance(data, (list, tuple)) and isinstance(step, int):
            kept.append(step)
            data = data[step] if step < len(data) else None
    return tuple(kept)


def _text(model: type[BaseModel], data: Any, loc: Loc, item: dict[str, Any]) -> tuple[str, bool]:
    kind, context = item["type"], item.get("ctx") or {}
    where = name_of(data, loc[:-1])
    last = loc[-1] if loc else ""
    if kind == "extra_forbidden":
        allowed = _fields(model, loc[:-1])
        return f'unknown key "{last}"{_in(where)}; {near_word(str(last), allowed)}', True
    if kind == "missing":
        return f'{where or "the file"} lacks the key "{last}"', True
    found = _shown(_value(data, loc))
    what = name_of(data, loc) if isinstance(last, int) else f"{last}{_of(where)}"
    return f"{what} is {found}; {_allowed(kind, context, item)}", False


def _allowed(kind: str, context: dict[str, Any], item: dict[str, Any]) -> str:
    if "allowed" in context:
        return str(context["allowed"])
    if kind in ("literal_error", "enum"):
        return "expected " + str(context.get("expected", "")).replace("'", "")
    simple = {
        "list_type": "expected a list, such as [a, b]", "dict_type": "expected `key: value` lines",
        "model_type": "expected `key: value` lines", "model_attributes_type": "expected `key: value` lines",
        "string_type": "expected text", "tuple_type": "expected a list of two values",
        "int_type": "expected a whole number", "int_parsing": "expected a whole number",
        "int_from_float": "expected a whole number", "float_type": "expected a number",
        "bool_type": "expected yes or no",
    }
    if kind in simple:
        return simple[kind]
    if kind.startswith("date"):
        return "expected a day such as 2026-11-25"
    if kind in ("too_short", "too_long"):
        low, high = context.get("min_length"), context.get("max_length")
        bound = f"at least {low}" if low is not None else f"at most {high}"
        return f"expected {bound} of them"
    for key, word in (("ge", "at least"), ("le", "at most"), ("gt", "more than"), ("lt", "less than")):
        if key in context:
            return f"expected {word} {context[key]}"
    return "expected something else here"


def name_of(data: Any, loc: Loc) -> str:
    """How a person would call a part of the file: ``rider Wren``, ``belt of position 2L``."""
    names: list[str] = []
    for i, step in enumerate(loc):
        data = _value(data, (step,))
        if isinstance(step, int):
            holder = loc[i - 1] if i else ""
            kind = _SINGULAR.get(str(holder), str(holder))
            own = next((data[key] for key in _OWN_NAMES if isinstance(data, dict) and isinstance(data.get(key), (str, int))),
                       None)
            if names and names[-1] == str(holder):
                names.pop()
            names.append(f"{kind} {own if own is not None else step + 1}")
        else:
            names.append(str(step))
    return " of ".join(reversed(names[-2:]))


def _value(data: Any, loc: Loc) -> Any:
    for step in loc:
        if isinstance(data, dict):
            data = data.get(step)
        elif isinstance(data, (list, tuple)) and isinstance(step, int) and step < len(data):
            data = data[step]
        else:
            return None
    return data


def _shown(value: Any) -> str:
    if value is None:
        return "empty"
    if isinstance(value, (bool, int, float, date)):
        return str(value).lower() if isinstance(value, bool) else str(value)
    if isinstance(value, str):
        text = value if len(value) <= 60 else value[:57] + "..."
        return '"' + "".join(c if c.isprintable() else "?" for c in text) + '"'
    if isinstance(value, (list, tuple)):
        inner = ", ".join(_shown(v) for v in value[:4])
        return f"[{inner}{', ...' if len(value) > 4 else ''}]"
    return "a set of keys"


def _of(where: str) -> str:
    return f" of {where}" if where else ""


def _in(where: str) -> str:
    return f" in {where}" if where else ""


def _fields(model: type[BaseModel], loc: Loc) -> list[str]:
    """The keys that are allowed at a location."""
    current: type[BaseModel] | None = model
    annotation: Any = None
    for step in loc:
        if isinstance(step, str) and current is not None and step in current.model_fields:
            annotation = current.model_fields[step].annotation
        current = _model_in(annotation)
    return list(current.model_fields) if current is not None else []


def _model_in(annotation: Any) -> type[BaseModel] | None:
    """The record type inside lists, unions and annotations."""
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return annotation
    if isinstance(annotation, types.GenericAlias | types.UnionType) or typing.get_origin(annotation) is not None:
        for argument in typing.get_args(annotation):
            inner = _model_in(argument)
            if inner is not None:
                return inner
    return None


