"""What a question takes over HTTP, read off the fields of its request: their types, what they are by default, which of
them name a file."""

from __future__ import annotations

import json
import types
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import MISSING, fields
from datetime import date
from typing import Any, Literal, Union, get_args, get_origin, get_type_hints

from seatplan.app.days import day_of
from seatplan.app.errors import InputError
from seatplan.app.misasked import Misasked
from seatplan.app.naming import Kind, kept_inside, meant
from seatplan.app.question import Question
from seatplan.app.shelf import Shelf
from seatplan.frozen import frozen
from seatplan.message import FieldName, Name, said
from seatplan.web.visit import MOST_LETTERS

#: the fields of requests that name a file, and of which kind
NAMED: Mapping[str, Kind] = {"trip": "trip", "first": "trip", "second": "trip", "vehicle": "vehicle",
                             "vehicles": "vehicle", "rules": "rules", "files": "own", "grown_from": "any"}
#: a number of an arrangement, or of how many of them; as large as the command line takes it
MOST = 10_000
#: items of a list, and how deep what is posted may lie: a trip with a car and its restraints in it has 12
MOST_ITEMS, DEEPEST = 200, 24

Way = Literal["text", "flag", "count", "day", "choice"]


@frozen
class Given:
    """One field. ``many``: a list of such; ``null``: nothing may stand there; ``kind``: of the file that it names,
    empty where it names none; ``data``: what such a file holds may stand there, too."""

    name: str
    way: Way
    required: bool
    default: Any
    many: bool = False
    null: bool = False
    kind: Kind | Literal[""] = ""
    data: bool = False
    choices: tuple[str, ...] = ()


def given_of(request: type[Question], fixed: Mapping[str, Any]) -> tuple[Given, ...]:
    """What can be given of a request, but for what the server itself says."""
    hints = get_type_hints(request)
    return tuple(_given(one.name, hints[one.name], one.default) for one in fields(request) if one.name not in fixed)


def _given(name: str, hint: Any, default: Any) -> Given:
    some = list(_parts(hint))
    many = [one for one in some if get_origin(one) is tuple]
    if many:
        some = [part for one in many for part in _parts(get_args(one)[0])]
    required = default is MISSING
    return Given(name, _way(some), required, None if required else default, bool(many),
                 not many and type(None) in some and default is None, NAMED.get(name, ""),
                 any(get_origin(one) is Mapping or get_origin(one) is _MAPPING for one in some),
                 tuple(word for one in some if get_origin(one) is Literal for word in get_args(one)))


_MAPPING = get_origin(Mapping[str, Any])


def _parts(hint: Any) -> Iterator[Any]:
    """The members of a union; of another type itself."""
    if get_origin(hint) in (Union, types.UnionType):
        for one in get_args(hint):
            yield from _parts(one)
    else:
        yield hint


def _way(some: list[Any]) -> Way:
    if any(get_origin(one) is Literal for one in some):
        return "choice"
    for kind, way in ((str, "text"), (bool, "flag"), (int, "count"), (date, "day")):
        if kind in some:
            return way  # type: ignore[return-value]  # one of the words above
    raise TypeError(f"no way to ask for {some}")


class Several(InputError):
    """What is wrong with several fields: ``errors``, each as it was raised."""

    def __init__(self, errors: Sequence[InputError]) -> None:
        self.errors = errors
        super().__init__(problem for error in errors for problem in error.problems)


# --- what was posted

def posted(raw: bytes) -> dict[str, Any]:
    """The object of a body. Raises Misasked for what is none, or is none that a file could hold."""
    try:
        found = json.loads(raw.decode(), object_pairs_hook=_once, parse_constant=_no_number)
        depth = _depth(found, 1)
    except (ValueError, RecursionError):
        raise Misasked("body", said("this is no JSON in UTF-8, or says one key twice"),
                       said("expected one object")) from None
    if not isinstance(found, dict):
        raise Misasked("body", said("this is no object"), said("expected one object, its keys the fields"))
    if depth > DEEPEST:
        raise Misasked("body", said("this lies deeper than {most}", most=DEEPEST), said("expected a trip, or less"))
    return found


def _once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    made = dict(pairs)
    if len(made) != len(pairs):
        raise ValueError
    return made


def _no_number(word: str) -> Any:
    raise ValueError(word)


def _depth(value: Any, at: int) -> int:
    """How deep a value lies. Raises ValueError for text that is none."""
    if isinstance(value, str):
        value.encode()          # half of a surrogate pair is no letter
        return at
    inner = (*value, *value.values()) if isinstance(value, dict) else value if isinstance(value, list) else ()
    return max((_depth(one, at + 1) for one in inner), default=at) if at <= DEEPEST else at


def asked(request: type[Question], body: Mapping[str, Any], fixed: Mapping[str, Any], library: Shelf) -> Any:
    """The request that a body asks. Raises InputError with everything that is wrong with its fields."""
    known = {one.name: one for one in given_of(request, fixed)}
    wrong: list[InputError] = []
    values: dict[str, Any] = dict(fixed)
    for name in body:
        if name not in known:
            wrong.append(Misasked(name[:100], said('there is no field "{field}"', field=Name(name[:100])),
                                  said("expected some of {known}", known=", ".join(known)), name[:100],
                                  {"one_of": list(known)}))
    for name, one in known.items():
        if name not in body:
            if one.required:
                wrong.append(Misasked(name, said("{field} is missing", field=FieldName(name))))
            continue
        try:
            values[name] = _read(one, body[name], library)
        except InputError as error:
            wrong.append(error)
    if wrong:
        raise Several(wrong)
    return request(**values)


def _read(one: Given, value: Any, library: Shelf) -> Any:
    if one.many:
        if not isinstance(value, list) or not one.required <= len(value) <= MOST_ITEMS:
            raise _other(one, said("a list of {least} to {n}", least=int(one.required), n=MOST_ITEMS))
        return tuple(_single(one, item, library) for item in value)
    return None if value is None and one.null else _single(one, value, library)


def _single(one: Given, value: Any, library: Shelf) -> Any:
    if one.data and isinstance(value, dict):
        return kept_inside("trip" if one.kind == "trip" or "riders" in value else "", value, library)
    found = _WAYS[one.way](one, value)
    return meant(one.kind, found, one.name, library) if one.kind else found


def _text(one: Given, value: Any) -> str:
    if not isinstance(value, str) or len(value) > MOST_LETTERS:
        raise _other(one, said("text of at most {n} letters", n=MOST_LETTERS))
    return value


def _flag(one: Given, value: Any) -> bool:
    if not isinstance(value, bool):
        raise _other(one, said("true or false"))
    return value


def _count(one: Given, value: Any) -> int:
    if not isinstance(value, int) or isinstance(value, bool) or not 1 <= value <= MOST:
        raise _other(one, said("a whole number from 1 to {n}", n=MOST))
    return value


def _day(one: Given, value: Any) -> date:
    found = day_of(_text(one, value))
    assert found is not None
    return found


def _choice(one: Given, value: Any) -> str:
    if not isinstance(value, str) or value not in one.choices:
        raise _other(one, said("one of {known}", known=", ".join(one.choices)))
    return value


_WAYS: Mapping[Way, Callable[[Given, Any], Any]] = {"text": _text, "flag": _flag, "count": _count, "day": _day,
                                                    "choice": _choice}


def _other(one: Given, expected: str) -> Misasked:
    return Misasked(one.name, said("{field} is of another kind", field=FieldName(one.name)),
                    said("expected {what}", what=expected))


# --- the same, described

def schema_of(request: type[Question], fixed: Mapping[str, Any], more: Mapping[str, Any]) -> dict[str, Any]:
    """The JSON Schema of a body."""
    known = given_of(request, fixed)
    return {"type": "object", "additionalProperties": False,
            "required": [one.name for one in known if one.required],
            "properties": {**{one.name: _described(one) for one in known}, **more}}


def _described(one: Given) -> dict[str, Any]:
    made = _shape(one)
    if one.many:
        made = {"type": "array", "items": made, "minItems": int(one.required), "maxItems": MOST_ITEMS}
    if one.null:
        made = {"anyOf": [made, {"type": "null"}]}
    if not one.required and one.default not in (None, ()):
        made["default"] = one.default
    return made


def _shape(one: Given) -> dict[str, Any]:
    if one.kind:
        word = {"type": "string", "pattern": "^[A-Za-z0-9][A-Za-z0-9-]*$", "maxLength": 100,
                "description": "a number of the library" if one.kind == "own" else
                f"a bundled name, or a number of the library ({one.kind})"}
        return {"anyOf": [word, {"type": "object", "description": "what such a file holds"}]} if one.data else word
    shapes: Mapping[Way, dict[str, Any]] = {
        "text": {"type": "string", "maxLength": MOST_LETTERS}, "flag": {"type": "boolean"},
        "count": {"type": "integer", "minimum": 1, "maximum": MOST},
        "day": {"type": "string", "format": "date"}, "choice": {"type": "string", "enum": list(one.choices)}}
    return shapes[one.way]
