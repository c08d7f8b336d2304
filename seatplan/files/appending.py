"""Put one entry at the end of ``tried`` in the text of a trip, and take it out again, leaving every other character.

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
    next_line,
    tree,
    value_of,
)

#: an entry as it is written: words, whole numbers, and True for yes; False for no
Entry = Mapping[str, str | int | bool]

_PLAIN = re.compile(r"\w([\w ./'()+-]*[\w.')])?")
_KEY = "tried"
#: keys whose value is yes or no
_YES_NO = ("level", "failed", "recorded")


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


def without_entry(text: str) -> str:
    """The text as it was before ``with_entry`` put in the last entry of ``tried``.

    Raises CannotPlace where putting that entry in again would not give this very text, unless its lines stand there
    just as they were written and only what is around them changed: else somebody wrote it by hand, or changed it.
    """
    tried = parse(text, "").data.get(_KEY)
    if not isinstance(tried, list) or not tried or not isinstance(tried[-1], dict):
        raise CannotPlace
    entry = as_written(tried[-1])
    for before in _takings(text):
        try:
            if with_entry(before, entry) == text:
                return before
        except (CannotPlace, InputError):
            continue
    return _without_own_lines(text, entry)


def as_written(data: Mapping[str, Any]) -> dict[str, str | int | bool]:
    """An entry as the file has it, with every yes and no, and every day, as this module writes them."""
    entry: dict[str, str | int | bool] = {}
    for key, value in data.items():
        if isinstance(value, date):
            value = value.isoformat()
        if key in _YES_NO and isinstance(value, str) and value in ("yes", "no"):
            value = value == "yes"
        entry[key] = value
    return entry


def entry_text(entry: Entry, quoted: bool = False) -> str:
    """``{restraint: Nook, position: 2C, moved: 38}``; ``quoted`` as JSON has it."""
    if quoted:
        return json.dumps(dict(entry), ensure_ascii=False)
    return "{" + ", ".join(f"{key}: {_value_text(key, value)}" for key, value in entry.items()) + "}"


def _value_text(key: str, value: str | int | bool | dict[str, str | int]) -> str:
    if isinstance(value, dict):
        return entry_text(value)
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, int):
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


# --- where it comes out

def _takings(text: str) -> Iterator[str]:
    """The text without the last entry in each way that it could have been put in."""
    root, _ = tree(text)
    tried = value_of(root, _KEY, text)
    if tried is None or tried.kind != "list" or not tried.items:
        return
    last = tried.items[-1]
    key = next(key for key, value in zip(root.items[::2], root.items[1::2], strict=True) if value is tried)
    if not tried.flow:
        start = line_start(text, key.start) if len(tried.items) == 1 else line_start(text, last.start)
        yield from _without_lines(text, start, next_line(text, last.end))
        return
    if len(tried.items) > 1:
        yield from _out_of_flow(text, tried.items[-2].end, last)
    else:
        yield text[:last.start] + text[last.end:]
        if root.flow and len(root.items) > 2:
            yield from _out_of_flow(text, root.items[-3].end, Node("list", True, key.start, tried.end))


def _without_own_lines(text: str, entry: Entry) -> str:
    """Without the lines of an entry that are letter by letter as they were written. Raises CannotPlace."""
    root, _ = tree(text)
    tried = value_of(root, _KEY, text)
    if tried is None or tried.flow or tried.kind != "list":
        raise CannotPlace
    last = tried.items[-1]
    end = next_line(text, last.end)
    lines = [text[line_start(text, last.start):end].strip("\r\n").lstrip(" ")]
    wanted = [f"- {entry_text(entry)}"]
    start = line_start(text, last.start)
    if len(tried.items) == 1:
        lines.insert(0, text[line_above(text, start):start].strip())
        wanted.insert(0, f"{_KEY}:")
        start = line_above(text, start)
    if lines != wanted:
        raise CannotPlace
    return text[:start] + text[end:]


def _without_lines(text: str, start: int, end: int) -> Iterator[str]:
    yield text[:start] + text[end:]
    for line_break in ("\r\n", "\n", "\r"):
        if text[:start].endswith(line_break):
            yield text[:start - len(line_break)] + text[end:]


def _out_of_flow(text: str, before: int, last: Node) -> Iterator[str]:
    """Without the last of several items: right after the one before it, or on a line of its own below a comment."""
    yield text[:before] + text[last.end:]
    line, below = line_start(text, last.start), next_line(text, last.end)
    yield text[:line] + text[below:]
    if text[before:before + 1] == ",":
        yield text[:before] + text[before + 1:line] + text[below:]
