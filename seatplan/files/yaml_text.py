"""The text of a YAML file and its parts, each with the characters that it stands between, so that something can be put
into it without writing the rest anew."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any, Literal

import yaml

from .reading import YAML_LOADER

_BREAK = re.compile(r"\r\n|\n|\r")
COMMENT = re.compile(r"([ \t]*)#[^\r\n]*")
_DASH = re.compile(r"([ \t]*)-(?=[ \t\r\n]|$)")


class CannotPlace(ValueError):
    """The layout of the text leaves no place for the entry that this module is sure of."""


@dataclass(slots=True)
class Node:
    """A part of the text: from the character ``start`` up to the one before ``end``. Items of a mapping are its keys
    and values in turn; a list or mapping in block style ends where its last item does."""

    kind: Literal["scalar", "alias", "list", "mapping"]
    flow: bool
    start: int
    end: int
    items: list[Node] = field(default_factory=list)


def tree(text: str) -> tuple[Node, int]:
    """The top level of the document, and where a line after its last one begins."""
    root: Node | None = None
    end = len(text)
    open_: list[Node] = []
    events: Iterator[Any] = yaml.parse(text, Loader=YAML_LOADER)
    for event in events:
        kind = type(event).__name__
        start, stop = event.start_mark.index, event.end_mark.index
        if kind == "DocumentEndEvent" and event.explicit:
            end = line_start(text, start)
        if kind in ("MappingEndEvent", "SequenceEndEvent"):
            done = open_.pop()
            done.end = stop if done.flow or not done.items else done.items[-1].end
            continue
        if kind in ("MappingStartEvent", "SequenceStartEvent"):
            node = Node("mapping" if kind.startswith("M") else "list", bool(event.flow_style), start, stop)
        elif kind in ("ScalarEvent", "AliasEvent"):
            node = Node("scalar" if kind.startswith("S") else "alias", False, start, stop)
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


def value_of(root: Node, name: str, text: str) -> Node | None:
    for key, value in zip(root.items[::2], root.items[1::2], strict=True):
        if text[key.start:key.end].strip("\"'") == name:
            return value
    return None


def indent_of(text: str, item: Node) -> str:
    """What stands before the dash of an item: on its own line, or above it where only a comment follows the dash."""
    at = item.start
    while True:
        at = line_start(text, at)
        dash = _DASH.match(text, at, max(item.start, at + 1))
        if dash:
            return dash[1]
        if not at:
            raise CannotPlace
        at = line_above(text, at)


def line_start(text: str, at: int) -> int:
    """Where the line of a character begins."""
    return max(text.rfind("\n", 0, at), text.rfind("\r", 0, at)) + 1


def line_above(text: str, at: int) -> int:
    """Where the line above begins, for a line that begins ``at``."""
    return line_start(text, at - 2 if text[:at].endswith("\r\n") else at - 1)


def line_end(text: str, at: int) -> int:
    """Where the line of a character ends: at its line break, or at the end of the text."""
    found = _BREAK.search(text, at)
    return found.start() if found else len(text)


def next_line(text: str, at: int) -> int:
    """Where the next line begins; the end of the text where there is none."""
    found = _BREAK.search(text, at)
    return found.end() if found else len(text)


def break_near(text: str, at: int) -> str:
    """The line break in use around a character."""
    at_start = at and text[at - 1] in "\r\n"
    found = _BREAK.search(text, line_above(text, at) if at_start else at) or _BREAK.search(text)
    return found[0] if found else "\n"


def into_block(text: str, tried: Node, written: str) -> str:
    """A line of its own after the last item, and after the comments below it that are indented as far."""
    last = tried.items[-1]
    indent = indent_of(text, last)
    at = last.end if text[last.end - 1] in "\r\n" else next_line(text, last.end)
    while indent and (comment := COMMENT.match(text, at)) and len(comment[1]) >= len(indent):
        at = next_line(text, at)
    return line_at(text, at, f"{indent}- {written}")


def into_flow(text: str, holder: Node, last_start: int, new: str) -> str:
    """Between brackets: on a line of its own where the last item has one, and then below that item's comment."""
    close = holder.end - 1
    if not holder.items:
        return text[:close] + new + text[close:]
    last_end = holder.items[-1].end
    line = line_start(text, last_start)
    indent = text[line:last_start]
    if indent.strip(" \t") or not line:
        return f"{text[:last_end]}, {new}{text[last_end:]}"
    rest = text[last_end:line_end(text, last_end)]
    below = next_line(text, last_end)
    bare = rest.lstrip(" \t")
    if below <= close and bare[:1] == ",":
        return text[:below] + f"{indent}{new},{break_near(text, last_end)}" + text[below:]
    if below <= close and bare[:1] == "#":
        return (text[:last_end] + "," + text[last_end:below] + f"{indent}{new}{break_near(text, last_end)}"
                + text[below:])
    return f"{text[:last_end]},{break_near(text, last_end)}{indent}{new}{text[last_end:]}"


def line_at(text: str, at: int, line: str) -> str:
    """A line put in at the beginning of another one; after a last line without its line break, without one too."""
    if at and text[at - 1] not in "\r\n":
        return text[:at] + break_near(text, at) + line + text[at:]
    return text[:at] + line + break_near(text, at) + text[at:]
