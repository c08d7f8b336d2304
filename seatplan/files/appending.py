"""Put one entry at the end of ``tried`` in the text of a trip, and take it out again, leaving every other character.

The text is never written anew from data: the entry is put between two characters of it, where the parser's events say
that the list ends. What came out is read again and held against the old data before anybody gets to see it.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date
from typing import Any, Literal

import yaml

from .errors import InputError
from .reading import YAML_LOADER, parse

#: an entry as it is written: words, whole numbers, and True for yes; False for no
Entry = Mapping[str, str | int | bool]

_BREAK = re.compile(r"\r\n|\n|\r")
_DASH = re.compile(r"([ \t]*)-(?=[ \t\r\n]|$)")
_COMMENT = re.compile(r"([ \t]*)#[^\r\n]*")
_PLAIN = re.compile(r"\w([\w ./'()+-]*[\w.')])?")
_KEY = "tried"
#: keys whose value is yes or no
_YES_NO = ("level", "failed", "recorded")


class CannotPlace(ValueError):
    """The layout of the text leaves no place for the entry that this module is sure of."""


@dataclass(slots=True)
class _Node:
    """A part of the text: from the character ``start`` up to the one before ``end``. Items of a mapping are its keys
    and values in turn; a list or mapping in block style ends where its last item does."""

    kind: Literal["scalar", "alias", "list", "mapping"]
    flow: bool
    start: int
    end: int
    items: list[_Node] = field(default_factory=list)


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
    root, end = _tree(text)
    tried = _value_of(root, _KEY, text)
    quoted = root.flow and text[root.items[-2].start] == '"'
    if tried is None and root.flow:
        key = f'"{_KEY}"' if quoted else _KEY
        yield _into_flow(text, root, root.items[-2].start, f"{key}: [ {entry_text(entry, quoted)} ]")
    elif tried is None:
        yield from _new_key(text, root, end, entry_text(entry))
    elif tried.kind == "list" and tried.flow:
        start = tried.items[-1].start if tried.items else tried.start
        yield _into_flow(text, tried, start, entry_text(entry, quoted))
    elif tried.kind == "list":
        yield _into_block(text, tried, entry_text(entry))


def _into_block(text: str, tried: _Node, written: str) -> str:
    """A line of its own after the last item, and after the comments below it that are indented as far."""
    last = tried.items[-1]
    indent = _indent_of(text, last)
    at = last.end if text[last.end - 1] in "\r\n" else _next_line(text, last.end)
    while indent and (comment := _COMMENT.match(text, at)) and len(comment[1]) >= len(indent):
        at = _next_line(text, at)
    return _line_at(text, at, f"{indent}- {written}")


def _new_key(text: str, root: _Node, end: int, written: str) -> Iterator[str]:
    """At the end of the file; or before its last key, where the text of that one goes on to the end."""
    indent = text[_line_start(text, root.start):root.start]
    if indent.strip(" "):
        return
    lines = f"{indent}{_KEY}:{_break_near(text, end)}{indent}  - {written}"
    yield _line_at(text, end, lines)
    at = _line_start(text, root.items[-2].start)
    while at and _COMMENT.match(text, _line_above(text, at)):
        at = _line_above(text, at)
    yield _line_at(text, at, lines)


def _into_flow(text: str, holder: _Node, last_start: int, new: str) -> str:
    """Between brackets: on a line of its own where the last item has one, and then below that item's comment."""
    close = holder.end - 1
    if not holder.items:
        return text[:close] + new + text[close:]
    last_end = holder.items[-1].end
    line = _line_start(text, last_start)
    indent = text[line:last_start]
    if indent.strip(" \t") or not line:
        return f"{text[:last_end]}, {new}{text[last_end:]}"
    rest = text[last_end:_line_end(text, last_end)]
    below = _next_line(text, last_end)
    bare = rest.lstrip(" \t")
    if below <= close and bare[:1] == ",":
        return text[:below] + f"{indent}{new},{_break_near(text, last_end)}" + text[below:]
    if below <= close and bare[:1] == "#":
        return (text[:last_end] + "," + text[last_end:below] + f"{indent}{new}{_break_near(text, last_end)}"
                + text[below:])
    return f"{text[:last_end]},{_break_near(text, last_end)}{indent}{new}{text[last_end:]}"


def _line_at(text: str, at: int, line: str) -> str:
    """A line put in at the beginning of another one; after a last line without its line break, without one too."""
    if at and text[at - 1] not in "\r\n":
        return text[:at] + _break_near(text, at) + line + text[at:]
    return text[:at] + line + _break_near(text, at) + text[at:]


# --- where it comes out

def _takings(text: str) -> Iterator[str]:
    """The text without the last entry in each way that it could have been put in."""
    root, _ = _tree(text)
    tried = _value_of(root, _KEY, text)
    if tried is None or tried.kind != "list" or not tried.items:
        return
    last = tried.items[-1]
    key = next(key for key, value in zip(root.items[::2], root.items[1::2], strict=True) if value is tried)
    if not tried.flow:
        start = _line_start(text, key.start) if len(tried.items) == 1 else _line_start(text, last.start)
        yield from _without_lines(text, start, _next_line(text, last.end))
        return
    if len(tried.items) > 1:
        yield from _out_of_flow(text, tried.items[-2].end, last)
    else:
        yield text[:last.start] + text[last.end:]
        if root.flow and len(root.items) > 2:
            yield from _out_of_flow(text, root.items[-3].end, _Node("list", True, key.start, tried.end))


def _without_own_lines(text: str, entry: Entry) -> str:
    """Without the lines of an entry that are letter by letter as they were written. Raises CannotPlace."""
    root, _ = _tree(text)
    tried = _value_of(root, _KEY, text)
    if tried is None or tried.flow or tried.kind != "list":
        raise CannotPlace
    last = tried.items[-1]
    end = _next_line(text, last.end)
    lines = [text[_line_start(text, last.start):end].strip("\r\n").lstrip(" ")]
    wanted = [f"- {entry_text(entry)}"]
    start = _line_start(text, last.start)
    if len(tried.items) == 1:
        lines.insert(0, text[_line_above(text, start):start].strip())
        wanted.insert(0, f"{_KEY}:")
        start = _line_above(text, start)
    if lines != wanted:
        raise CannotPlace
    return text[:start] + text[end:]


def _without_lines(text: str, start: int, end: int) -> Iterator[str]:
    yield text[:start] + text[end:]
    for line_break in ("\r\n", "\n", "\r"):
        if text[:start].endswith(line_break):
            yield text[:start - len(line_break)] + text[end:]


def _out_of_flow(text: str, before: int, last: _Node) -> Iterator[str]:
    """Without the last of several items: right after the one before it, or on a line of its own below a comment."""
    yield text[:before] + text[last.end:]
    line, below = _line_start(text, last.start), _next_line(text, last.end)
    yield text[:line] + text[below:]
    if text[before:before + 1] == ",":
        yield text[:before] + text[before + 1:line] + text[below:]


# --- the text and its parts

def _tree(text: str) -> tuple[_Node, int]:
    """The top level of the document, and where a line after its last one begins."""
    root: _Node | None = None
    end = len(text)
    open_: list[_Node] = []
    events: Iterator[Any] = yaml.parse(text, Loader=YAML_LOADER)
    for event in events:
        kind = type(event).__name__
        start, stop = event.start_mark.index, event.end_mark.index
        if kind == "DocumentEndEvent" and event.explicit:
            end = _line_start(text, start)
        if kind in ("MappingEndEvent", "SequenceEndEvent"):
            done = open_.pop()
            done.end = stop if done.flow or not done.items else done.items[-1].end
            continue
        if kind in ("MappingStartEvent", "SequenceStartEvent"):
            node = _Node("mapping" if kind.startswith("M") else "list", bool(event.flow_style), start, stop)
        elif kind in ("ScalarEvent", "AliasEvent"):
            node = _Node("scalar" if kind.startswith("S") else "alias", False, start, stop)
        else:
            continue
        if open_:
            open_[-1].items.append(node)
        if node.kind in ("mapping", "list"):
            open_.append(node)
        root = root or node
    if root is None or root.kind != "mapping" or not root.items:
        raise CannotPlace
    return root, end


def _value_of(root: _Node, name: str, text: str) -> _Node | None:
    for key, value in zip(root.items[::2], root.items[1::2], strict=True):
        if text[key.start:key.end].strip("\"'") == name:
            return value
    return None


def _indent_of(text: str, item: _Node) -> str:
    """What stands before the dash of an item: on its own line, or above it where only a comment follows the dash."""
    at = item.start
    while True:
        at = _line_start(text, at)
        dash = _DASH.match(text, at, max(item.start, at + 1))
        if dash:
            return dash[1]
        if not at:
            raise CannotPlace
        at = _line_above(text, at)


def _line_start(text: str, at: int) -> int:
    """Where the line of a character begins."""
    return max(text.rfind("\n", 0, at), text.rfind("\r", 0, at)) + 1


def _line_above(text: str, at: int) -> int:
    """Where the line above begins, for a line that begins ``at``."""
    return _line_start(text, at - 2 if text[:at].endswith("\r\n") else at - 1)


def _line_end(text: str, at: int) -> int:
    """Where the line of a character ends: at its line break, or at the end of the text."""
    found = _BREAK.search(text, at)
    return found.start() if found else len(text)


def _next_line(text: str, at: int) -> int:
    """Where the next line begins; the end of the text where there is none."""
    found = _BREAK.search(text, at)
    return found.end() if found else len(text)


def _break_near(text: str, at: int) -> str:
    """The line break in use around a character."""
    at_start = at and text[at - 1] in "\r\n"
    found = _BREAK.search(text, _line_above(text, at) if at_start else at) or _BREAK.search(text)
    return found[0] if found else "\n"
