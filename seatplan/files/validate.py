"""From plain data to records: every error of a file at once, in our own words, with its place."""

from __future__ import annotations

import types
import typing
from collections.abc import Iterator
from datetime import date
from typing import Any, TypeVar

from pydantic import BaseModel, ValidationError

from seatplan.frozen import frozen
from seatplan.message import Name, Word, joined, said
from seatplan.model.sure import sure_fields
from seatplan.units import Quantity

from .errors import InputError, Problem, brief, near_word
from .places import Loc, Places
from .syntax import run_together, space_missing

M = TypeVar("M", bound=BaseModel)
#: what an item of a list is called, and the key that holds its own name
_ITEMS = {
    "riders": ("rider", "rider"),
    "restraints": ("restraint", "restraint"),
    "rows": ("row", "row"),
    "positions": ("position", "position"),
    "trim": ("trim", "name"),
    "lower_anchors": ("bar", "bar"),
    "tethers": ("tether", "tether"),
    "modes": ("mode", "mode"),
    "parts": ("part", "part"),
    "installations": ("installation", "by"),
    "wishes": ("wish", ""),
    "tried": ("tried", ""),
    "depots": ("depot", "depot"),
    "types": ("type", "type"),
    "vehicles": ("vehicle", "vehicle"),
    "drivers": ("driver", "driver"),
    "kinds": ("kind", "kind"),
    "copies": ("copy", "serial"),
    "quarantine": ("quarantine", ""),
}
#: fields that may be written under another key too
_BANDS = {"ages": "age"}
#: mappings whose keys are names
_BY_NAME = {"front": "front seat {name}", "installed": "what is installed for {name}",
            "arrived": "what was installed for {name} on arrival",
            "under_way": "what is under way for {name}",
            "changeover": "changeover of {name}"}
#: names that are known without their row, trip or vehicle
_KNOWN_ALONE = ("rider", "restraint", "position", "copy")
#: what the key is called that holds the own name of an item
_NAMED = {
    "rider": "name",
    "restraint": "name",
    "position": "name",
    "bar": "name",
    "tether": "name",
    "part": "name",
    "row": "number",
    "depot": "name",
    "type": "name",
    "vehicle": "name",
    "driver": "name",
    "kind": "name",
    "copy": "serial number",
}
_ORDINALS = (said("first"), said("second"), said("third"))
MAX_SHOWN = 60


def validate(model: type[M], data: Any, places: Places, at: Loc = ()) -> M:
    """Make a record of ``data``, which stands at ``at`` in what ``places`` knows. Raises InputError."""
    try:
        return model.model_validate(data, context={"today": places.today})
    except ValidationError as error:
        raise InputError(_problems(model, data, places, at, error)) from None


def _problems(
    model: type[BaseModel], data: Any, places: Places, at: Loc, error: ValidationError
) -> list[Problem]:
    found: dict[Loc, Problem] = {}
    whole = places.data if at else data
    # a value that is keys of its own says of which it speaks
    wrongs = [(item, _in_file(data, (*item["loc"], *item.get("ctx", {}).get("within", ()))))
              for item in error.errors(include_url=False, include_context=True)]
    # a key that lacks the space behind its colon is there, and not missing
    there = {(*loc[:-1], run_together(loc[-1])) for item, loc in wrongs if item["type"] == "extra_forbidden" and loc}
    for item, loc in wrongs:
        if loc in found or (item["type"] == "missing" and loc in there):
            continue  # one value, one problem, even where several readings of it failed
        wrong = _Found(model, whole, at, loc, item["type"], item.get("ctx") or {}, item["loc"][-1:] == ("[key]",))
        text, at_key = _text(wrong)
        found[loc] = places.problem((*at, *loc), text, at_key, allowed=_allowed_here(wrong))
    return list(found.values())


def _in_file(data: Any, loc: Loc) -> Loc:
    """The part of a pydantic location that is in the file: names of types and branches are left out."""
    kept: list[str | int] = []
    for i, step in enumerate(loc):
        if step == "[key]":
            break
        if isinstance(data, dict) and step in _BANDS and step not in data and _BANDS[str(step)] in data:
            step = _BANDS[str(step)]
        if isinstance(data, dict) and (step in data or i == len(loc) - 1):
            kept.append(step)
            data = data.get(step) if isinstance(step, str) else None
        elif isinstance(data, (list, tuple)) and isinstance(step, int):
            kept.append(step)
            data = data[step] if step < len(data) else None
    return tuple(kept)


@frozen
class _Found:
    """One pydantic error: the record stands at ``at`` in ``whole``, ``loc`` is the place in the record."""

    model: type[BaseModel]
    whole: Any
    at: Loc
    loc: Loc
    kind: str
    context: dict[str, Any]
    in_key: bool

    def name(self, loc: Loc) -> str:
        return name_of(self.whole, (*self.at, *loc))


def _text(found: _Found) -> tuple[str, bool]:
    """What to say, and whether it is the key that is wrong rather than its value."""
    kind, loc = found.kind, found.loc
    last = loc[-1] if loc else ""
    if kind == "extra_forbidden":
        where = found.name(loc[:-1])
        renamed = getattr(found.model, "RENAMED", {}).get(last) if len(loc) == 1 else None
        near: str
        if renamed:
            near = said("it is called `{key}` now", key=renamed)
        elif run_together(last):
            near = space_missing(run_together(last))
        else:
            near = near_word(str(last), _fields(found.model, loc[:-1]))
        return said("unknown key {shown}{where}; {near_word}", shown=shown(last), where=_in(where),
                    near_word=near), True
    if kind == "missing":
        return _missing(found), False
    if loc == ("riders",) and kind == "too_short":
        return said("nobody to seat: `riders` is empty; expected at least one rider"), False
    allowed = _allowed(kind, found.context)
    if found.in_key:
        return said("unknown name {shown}{where}; {allowed}", shown=shown(last), where=_in(found.name(loc[:-1])),
                    allowed=allowed), True
    value = _value(found.whole, (*found.at, *loc))
    if kind.startswith("model_") and run_together(value):
        allowed = space_missing(run_together(value))
    elif kind.startswith("model_"):
        allowed = said("expected keys such as {fields}", fields=', '.join(_fields(found.model, loc)[:4]))
    return (
        said("{some} is {shown}; {allowed}", some=found.name(loc) or said('the file'),
             shown=shown(value), allowed=allowed),
        False,
    )


def _missing(found: _Found) -> str:
    """``rider 2 has no name: expected key "rider"``."""
    key, where = found.loc[-1], (*found.at, *found.loc[:-1])
    holder = where[-2] if len(where) >= 2 and isinstance(where[-1], int) else ""
    own = _ITEMS.get(str(holder), ("", ""))[1]
    what = _NAMED[own] if key == own and own in _NAMED else str(key)
    return said('{some} has no {what}: expected key "{wanted}"', some=found.name(found.loc[:-1]) or said("the file"),
                what=Word(what), wanted=key)


def _allowed_here(found: _Found) -> dict[str, Any] | None:
    """What may stand there, for programs; None where it is not known."""
    kind, context = found.kind, found.context
    if "allowed" in context:
        return context.get("limits") or None
    if kind == "extra_forbidden":
        return {"one_of": _fields(found.model, found.loc[:-1])}
    if kind == "literal_error" and not found.in_key:
        words = _words(found.model, found.loc)
        return {"one_of": words} if words else None
    if kind in ("too_short", "too_long"):
        ends = (("at_least", "min_length"), ("at_most", "max_length"))
        return {"type": "list", "count": {end: context[key] for end, key in ends if context.get(key) is not None}}
    if kind in _TYPES:
        return {"type": _TYPES[kind]}
    if kind.startswith("date"):
        return {"type": "day"}
    limits = (("at_least", "ge"), ("at_most", "le"), ("more_than", "gt"), ("less_than", "lt"))
    return {end: context[key] for end, key in limits if key in context} or None


#: kind of error -> what may stand there
_TYPES = {
    "list_type": "list", "dict_type": "keys", "string_type": "text", "tuple_type": "list", "int_type": "whole number",
    "int_parsing": "whole number", "int_from_float": "whole number", "float_type": "number",
}


def _words(model: type[BaseModel], loc: Loc) -> list[str]:
    """The words that a field may hold."""
    current: type[BaseModel] | None = model
    annotation: Any = None
    for step in loc:
        if isinstance(step, str) and current is not None:
            info = next((field for name, field in current.model_fields.items() if step in (name, field.alias)), None)
            annotation = None if info is None else info.annotation
            current = None if info is None else _model_in(annotation)
    return list(dict.fromkeys(_literals(annotation)))


def _literals(annotation: Any) -> Iterator[str]:
    """The words inside lists, unions and annotations."""
    if typing.get_origin(annotation) is typing.Literal:
        yield from (word for word in typing.get_args(annotation) if isinstance(word, str))
    elif typing.get_origin(annotation) is not None or isinstance(annotation, types.UnionType):
        for argument in typing.get_args(annotation):
            yield from _literals(argument)


def _allowed(kind: str, context: dict[str, Any]) -> str:
    if "allowed" in context:
        return context["allowed"] if isinstance(context["allowed"], str) else str(context["allowed"])
    if kind in ("literal_error", "enum"):
        return said("expected {words}", words=str(context.get("expected", "")).replace("'", ""))
    simple = {
        "list_type": said("expected a list, such as [a, b]"),
        "dict_type": said("expected `key: value` lines"),
        "string_type": said("expected text"),
        "tuple_type": said("expected a list of two values"),
        "int_type": said("expected a whole number"),
        "int_parsing": said("expected a whole number"),
        "int_from_float": said("expected a whole number"),
        "float_type": said("expected a number"),
        "bool_type": said("expected yes or no"),
    }
    if kind in simple:
        return simple[kind]
    if kind.startswith("date"):
        return said("expected a day such as 2026-11-25")
    if kind in ("too_short", "too_long"):
        low, high = context.get("min_length"), context.get("max_length")
        return (
            said("expected at least {low} of them", low=low)
            if low is not None
            else said("expected at most {high} of them", high=high)
        )
    for key, word in (
        ("ge", said("at least")),
        ("le", said("at most")),
        ("gt", said("more than")),
        ("lt", said("less than")),
    ):
        if key in context:
            return said("expected {word} {context}", word=word, context=context[key])
    return said("expected something else here")


def name_of(data: Any, loc: Loc) -> str:
    """How a person would call a part of the file: ``rider Wren``, ``belt kind of position 2L``. Empty for the
    whole file."""
    owners: list[str] = []
    keys: list[str] = []
    at = 0
    while at < len(loc):
        step, inner = loc[at], loc[at + 1] if at + 1 < len(loc) else None
        data = _value(data, (step,))
        if step in _ITEMS and isinstance(inner, int) and _is_item(_value(data, (inner,)), loc, at):
            noun, own = _ITEMS[str(step)]
            data = _value(data, (inner,))
            of_name = loc[at + 2 :] == (own,)  # the name itself is in question: count instead
            name = "" if of_name else _own_name(data, own)
            if noun in _KNOWN_ALONE and name:
                owners.clear()
            owners.append(said("{noun} {some}", noun=Word(noun), some=name or inner + 1))
            keys.clear()
            at += 2
            if of_name and noun in _NAMED:
                keys.append(_NAMED[noun])
                at += 1
        elif step in _BY_NAME and isinstance(inner, str):
            owners.append(said(_BY_NAME[str(step)], name=Name(inner)))
            data = _value(data, (inner,))
            at += 2
        else:
            keys.append(step if isinstance(step, str) else f"#{step}")
            at += 1
    return joined(" of ", [part for part in (_leaf(keys), joined(", ", owners)) if part])


def _is_item(value: Any, loc: Loc, at: int) -> bool:
    """Whether an item is one with keys of its own: bars of a row are, the bar names of a position are not."""
    return isinstance(value, (dict, BaseModel)) or loc[at] != "lower_anchors" or "positions" not in loc[:at]


def _own_name(item: Any, key: str) -> str:
    if isinstance(item, BaseModel):
        return str(getattr(item, key, ""))
    name = item.get(key) if isinstance(item, dict) else None
    if isinstance(item, dict) and key == "restraint":
        name = item.get("restraint", item.get("as", item.get("use")))
    plain = isinstance(name, (str, int)) and not isinstance(name, bool) and 0 < len(str(name)) <= MAX_SHOWN
    return Name(name) if plain and str(name).isprintable() else ""


def _leaf(keys: list[str]) -> str:
    """``belt kind``; ``second value of limits mass``; ``first value of number 3 of ahead gap``."""
    words = " ".join(key for key in keys if key[:1] != "#")
    numbers = [int(key[1:]) for key in keys if key[:1] == "#" and key[1:].isdigit()]
    for depth, number in enumerate(numbers):
        last = depth == len(numbers) - 1
        ordinal = _ORDINALS[number] if number < len(_ORDINALS) else said("{number}th", number=number + 1)
        words = (
            said("{ordinal} value of {words}", ordinal=ordinal, words=Word(words))
            if last
            else said("number {number} of {words}", number=number + 1, words=Word(words))
        )
    return words


def _value(data: Any, loc: Loc) -> Any:
    for step in loc:
        if isinstance(data, dict):
            data = data.get(step)
        elif isinstance(data, (list, tuple)) and isinstance(step, int) and step < len(data):
            data = data[step]
        elif isinstance(data, BaseModel):
            data = getattr(data, str(step), None)
        else:
            return None
    return data


def shown(value: Any) -> str:
    """A value as a person wrote it, on one line and not longer than MAX_SHOWN characters or so."""
    if value is None:
        return said("empty")
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, Quantity):
        return f'"{value}"'
    if isinstance(value, int) and value.bit_length() > MAX_SHOWN * 4:       # Python writes no number of any length
        return said("a number of very many digits")
    if isinstance(value, (int, float, date)):
        return brief(str(value), MAX_SHOWN)
    if isinstance(value, str):
        return f'"{brief(value, MAX_SHOWN)}"'
    if isinstance(value, (list, tuple)):
        plain = all(not isinstance(item, (list, tuple, dict)) for item in value[:5])
        inner = brief(", ".join(shown(item) for item in value[:5]), MAX_SHOWN)
        return f"[{inner}]" if plain else said("a list of lists or keys")
    if isinstance(value, (dict, BaseModel)):
        return said("a set of keys")
    return said("a value of type {kind}", kind=brief(type(value).__name__))


def _in(where: str) -> str:
    return said(" in {where}", where=where) if where else ""


def _fields(model: type[BaseModel], loc: Loc) -> list[str]:
    """The keys that are allowed at a location; `sure`, which may stand everywhere, is not told each time."""
    current: type[BaseModel] | None = model
    for step in loc:
        if step == "sure" and current is not None:
            return list(sure_fields(current))
        if isinstance(step, str) and current is not None and step in current.model_fields:
            current = _model_in(current.model_fields[step].annotation)
    if current is None:
        return []
    return [field.alias or key for key, field in current.model_fields.items() if key != "sure"]


def _model_in(annotation: Any) -> type[BaseModel] | None:
    """The record type inside lists, unions and annotations."""
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return annotation
    if isinstance(annotation, types.UnionType) or typing.get_origin(annotation) is not None:
        for argument in typing.get_args(annotation):
            inner = _model_in(argument)
            if inner is not None:
                return inner
    return None
