"""Put one entry at the end of ``tried`` in the text of a trip, leaving every other character.

The text is never written anew from data: the entry is put between two characters of it, where the parser's events say
that the list ends. What came out is read again and held against the old data before anybody gets to see it.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Mapping
from datetime import date
from typing import Any

from .errors import InputError
from .reading import parse
from .yaml_text import (
    COMMENT,
    CannotPlace,
    Node,
    break_near,
    into_block,
    into_flow,
    line_above,
    line_at,
    line_start,
    tree,
    value_of,
)

#: an entry as it is written: words, numbers, True for yes and False for no, and readings with keys of their own
Entry = Mapping[str, Any]

_PLAIN = re.compile(r"\w([\w ./'()+-]*[\w.')])?")
_KEY = "tried"
#: keys whose value is yes or no
_YES_NO = ("level", "failed", "recorded", "tether", "belt_fits")


def with_entry(text: str, entry: Entry) -> str:
    """The text with the entry as the last of ``tried``. Raises CannotPlace."""
    old = parse(text, "").data
    for changed in _placings(text, entry):
        try:
            new = parse(changed, "").data
        except InputError:
            continue
        if _is_old_and_entry(old, new, entry):
            return changed
    raise CannotPlace


def as_written(data: Mapping[str, Any]) -> dict[str, Any]:
    """An entry as the file has it, with every yes and no, and every day, as this module writes them."""
    entry: dict[str, Any] = {}
    for key, value in data.items():
        if isinstance(value, date):
            value = value.isoformat()
        elif isinstance(value, dict):
            value = as_written(value)
        if key in _YES_NO and isinstance(value, str) and value in ("yes", "no"):
            value = value == "yes"
        entry[key] = value
    return entry


def entry_text(entry: Entry, quoted: bool = False) -> str:
    """``{restraint: Nook, position: 2C, moved: 38}``; ``quoted`` as JSON has it."""
    if quoted:
        return json.dumps(dict(entry), ensure_ascii=False)
    return "{" + ", ".join(f"{_key_text(key)}: {_value_text(key, value)}" for key, value in entry.items()) + "}"


def _key_text(key: str) -> str:
    return key if _reads_as_written(key) else json.dumps(key, ensure_ascii=False)


def _value_text(key: str, value: Any) -> str:
    if isinstance(value, dict):
        return entry_text(value)
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, (int, float)):
        return str(value)
    return value if key == "on" or _reads_as_written(value) else json.dumps(value, ensure_ascii=False)


def _reads_as_written(value: str) -> bool:
    """Whether a text needs no quotes."""
    try:
        return bool(_PLAIN.fullmatch(value)) and bool(parse(f"{{v: {value}}}", "").data["v"] == value)
    except InputError:
        return False


def _is_old_and_entry(old: dict[str, Any], new: dict[str, Any], entry: Entry) -> bool:
    tried = new.get(_KEY)
    if not isinstance(tried, list) or not tried or not isinstance(tried[-1], dict):
        return False
    rest = {key: value for key, value in new.items() if key != _KEY}
    return (tried[:-1] == (old.get(_KEY) or [])
            and as_written(tried[-1]) == dict(entry)
            and rest == {key: value for key, value in old.items() if key != _KEY})


# --- where it goes

def _placings(text: str, entry: Entry) -> Iterator[str]:
    """The text with the entry in each place that comes into question, the best first."""
    root, end = tree(text)
    tried = value_of(root, _KEY, text)
    quoted = root.flow and text[root.items[-2].start] == '"'
    if tried is None and root.flow:
        key = f'"{_KEY}"' if quoted else _KEY
        yield into_flow(text, root, root.items[-2].start, f"{key}: [ {entry_text(entry, quoted)} ]")
    elif tried is None:
        yield from _new_key(text, root, end, entry_text(entry))
    elif tried.kind == "list" and tried.flow:
        start = tried.items[-1].start if tried.items else tried.start
        yield into_flow(text, tried, start, entry_text(entry, quoted))
    elif tried.kind == "list":
        yield into_block(text, tried, entry_text(entry))


def _new_key(text: str, root: Node, end: int, written: str) -> Iterator[str]:
    """At the end of the file; or before its last key, where the text of that one goes on to the end."""
    indent = text[line_start(text, root.start):root.start]
    if indent.strip(" "):
        return
    lines = f"{indent}{_KEY}:{break_near(text, end)}{indent}  - {written}"
    yield line_at(text, end, lines)
    at = line_start(text, root.items[-2].start)
    while at and COMMENT.match(text, line_above(text, at)):
        at = line_above(text, at)
    yield line_at(text, at, lines)
