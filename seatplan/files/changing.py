"""Set one value in the text of a file, or take one out, leaving every other character: comments, order and layout stay.

The value is put between two characters, where the parser's events say that what it takes the place of stands, or where
its record ends. What came out is read again and held against the old data before anybody gets to see it.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Sequence
from typing import Any

from .errors import InputError
from .reading import copied, parse, plain
from .yaml_text import (
    CannotPlace,
    Node,
    break_near,
    into_block,
    into_flow,
    line_at,
    line_start,
    next_line,
    tree,
)

#: keys of mappings and places in lists; one past the end of a list adds to it
DataPath = tuple[str | int, ...]


def as_typed(value: str) -> tuple[str, Any]:
    """A value as a person types it: its text in a file, in quotes where it needs them, and what is read of that."""
    value = value.strip()
    quoted = json.dumps(value, ensure_ascii=False)
    try:
        found = parse(f"{{v: {value}, w: 0}}", "").data
    except InputError:
        return quoted, value
    if not value or found.keys() != {"v", "w"} or "#" in value:
        return quoted, value
    return value, found["v"]


def with_value_at(text: str, path: DataPath, written: str, before: int | None = None) -> str:
    """The text with a value, as it is written in a file, at a path. What is not there on the way is made. ``before``:
    the item of the list at ``path`` before which the value is put in. Raises CannotPlace."""
    wanted = _wanted(plain(text), path, parse(f"{{v: {written}}}", "").data["v"], before)
    return _first_that_reads_as(wanted, _placings(text, path, written, before))


def without_value_at(text: str, path: DataPath) -> str:
    """The text without a key of a mapping and its value, or without an item of a list; without the mapping that holds
    a key, where that was its only one. Raises CannotPlace."""
    old = plain(text)
    while len(path) > 1 and isinstance(path[-1], str) and isinstance(path[-2], str) and (
            len(_standing(old, path[:-1]) or {}) == 1):
        path = path[:-1]
    wanted = copied(old)
    del _standing(wanted, path[:-1])[path[-1]]
    return _first_that_reads_as(wanted, _takings(text, path))


def _first_that_reads_as(wanted: Any, texts: Iterable[str]) -> str:
    """The first of some texts that holds just the data that is meant. Raises CannotPlace."""
    for text in texts:
        try:
            if plain(text) == wanted:
                return text
        except InputError:
            continue
    raise CannotPlace


def value_at(data: Any, path: Sequence[str | int]) -> Any:
    """What stands at a path of plain data; None where nothing does."""
    for step in path:
        if isinstance(data, dict):
            data = data.get(str(step))
        elif isinstance(data, list) and isinstance(step, int) and step < len(data):
            data = data[step]
        else:
            return None
    return data


def _standing(data: Any, path: DataPath) -> Any:
    for step in path:
        data = data[step]
    return data


def _takings(text: str, path: DataPath) -> Iterator[str]:
    """The text without a key, its value and the comment behind it, in each way that it could stand there."""
    node, _ = tree(text)
    for step in path[:-1]:
        inner = _inner(node, step, text)
        if inner is None:
            return
        node = inner
    if node.kind == "list":
        yield from _without_item(text, node, int(path[-1]))
        return
    keys, values = node.items[::2], node.items[1::2]
    k = next((k for k, key in enumerate(keys) if text[key.start:key.end].strip("\"'") == path[-1]), None)
    if k is None:
        return
    if not node.flow:
        end = values[k].end
        below = end if end and text[end - 1] in "\r\n" else next_line(text, end)
        start = line_start(text, keys[k].start)
        yield text[:start] + text[below:]
        if below == len(text) and text[start - 1:start] in ("\r", "\n"):
            cut = start - (2 if text[:start].endswith("\r\n") else 1)
            yield text[:cut]
    elif k + 1 < len(keys):
        yield text[:keys[k].start] + text[keys[k + 1].start:]
    else:
        yield text[:values[k - 1].end] + text[values[k].end:]


def _without_item(text: str, node: Node, number: int) -> Iterator[str]:
    """The text without an item of a list; one without items is written as such."""
    items = node.items
    if number >= len(items):
        return
    if len(items) == 1:
        start = node.start if node.flow else line_start(text, items[0].start)
        yield f"{text[:node.start]}[]{text[node.end:]}"
        above = text[:start].rstrip()
        yield f"{above} []{text[len(text[:start].rstrip()):start]}{text[node.end:]}"
    elif node.flow:
        first = number + 1 < len(items)
        yield (text[:items[number].start] + text[items[number + 1].start:] if first else
               text[:items[number - 1].end] + text[items[number].end:])
    else:
        start = line_start(text, items[number].start)
        end = items[number].end
        below = end if end and text[end - 1] in "\r\n" else next_line(text, end)
        yield text[:start] + text[below:]
        if number + 1 < len(items):
            yield text[:start] + text[line_start(text, items[number + 1].start):]


def _wanted(data: Any, path: DataPath, value: Any, before: int | None) -> Any:
    """The data with the value in it."""
    data = copied(data)
    if before is not None:
        held = data
        for step in path:
            held = held[step]
        held.insert(before, value)
        return data
    holder: Any = {"": data}
    key: Any = ""
    for step in path:
        held = holder[key]
        if held is None or (isinstance(held, str) and isinstance(step, str)):
            held = holder[key] = [] if isinstance(step, int) else {} if held is None else {"use": held}
        if isinstance(held, list) and step == len(held):
            held.append(None)
        elif isinstance(held, dict):
            held.setdefault(step, None)
        holder, key = held, step
    holder[key] = value
    return data


def _placings(text: str, path: DataPath, written: str, before: int | None) -> Iterator[str]:
    """The text with the value in each place that comes into question, the best first."""
    node, _ = tree(text)
    rest = path
    while rest and (inner := _inner(node, rest[0], text)) is not None:
        node, rest = inner, rest[1:]
    if before is not None:
        if not rest:
            yield from _before(text, node, before, written)
        return
    value = _nested(rest, written)
    if not rest or node.kind == "scalar":
        yield from _in_place(text, node, rest, value, written)
    elif node.flow:
        item = written if isinstance(rest[0], int) else f"{_key(rest[0], text, node)}: {_nested(rest[1:], written)}"
        yield into_flow(text, node, _last_start(node), item)
    elif node.kind == "list":
        yield into_block(text, node, _nested(rest[1:], written))
    else:
        yield from _into_mapping(text, node, f"{_key(rest[0])}: {_nested(rest[1:], written)}")


def _inner(node: Node, step: str | int, text: str) -> Node | None:
    if node.kind == "list":
        return node.items[step] if isinstance(step, int) and step < len(node.items) else None
    if node.kind != "mapping":
        return None
    for key, value in zip(node.items[::2], node.items[1::2], strict=True):
        if text[key.start:key.end].strip("\"'") == step:
            return value
    return None


def _last_start(node: Node) -> int:
    """Where the last item begins; of a mapping its key."""
    if not node.items:
        return node.start
    return node.items[-2 if node.kind == "mapping" else -1].start


def _in_place(text: str, node: Node, rest: DataPath, value: str, written: str) -> Iterator[str]:
    """In place of what stands there. A word that more is said of becomes what that is a copy of."""
    old = text[node.start:node.end]
    if rest and old:
        value = f"{{use: {old}, {_key(rest[0])}: {_nested(rest[1:], written)}}}"
    if "\n" in old and not node.flow:
        raise CannotPlace                           # it would take comments with it
    after = "" if text[node.end:node.end + 1] in ("", " ", "\n", "\r", ",", "}", "]", ":") else " "
    if node.start and text[node.start - 1] == ":":
        yield f"{text[:node.start]} {value}{_closer(text[node.end:], len(value) + 1) or after + text[node.end:]}"
    yield f"{text[:node.start]}{value}{after}{text[node.end:]}"


def _closer(rest: str, by: int) -> str:
    """What follows an empty value, its comment left in its column; empty where no comment stands so far off."""
    free = len(rest) - len(rest.lstrip(" "))
    return rest[min(by, free - 1):] if rest[free:free + 1] == "#" and free > 1 else ""


def _into_mapping(text: str, node: Node, line: str) -> Iterator[str]:
    """A line of its own after the last key, at the indentation of the first."""
    first = node.items[0].start
    indent = " " * (first - line_start(text, first))
    last = node.items[-1]
    at = last.end if last.end and text[last.end - 1] in "\r\n" else next_line(text, last.end)
    yield line_at(text, at, indent + line)
    at = line_start(text, node.items[-2].start)
    if len(node.items) > 2:
        yield line_at(text, at, indent + line)


def _before(text: str, node: Node, number: int, written: str) -> Iterator[str]:
    item = node.items[number]
    if node.flow:
        yield f"{text[:item.start]}{written}, {text[item.start:]}"
    else:
        at = line_start(text, item.start)
        dash = text[at:].index("-")
        yield f"{text[:at]}{' ' * dash}- {written}{break_near(text, at)}{text[at:]}"


def _nested(rest: DataPath, written: str) -> str:
    """A value in the records and lists that are not there yet."""
    for step in reversed(rest):
        written = f"[{written}]" if isinstance(step, int) else f"{{{_key(step)}: {written}}}"
    return written


def _key(step: str | int, within: str = "", beside: Node | None = None) -> str:
    """A key as it is written: in quotes where it needs them, or where the first one beside it has them."""
    text = str(step)
    if beside is not None and beside.items and within[beside.items[0].start] == '"':
        return json.dumps(text, ensure_ascii=False)
    return text if text.replace("_", "").replace("-", "").isalnum() and text[0].isalpha() else json.dumps(
        text, ensure_ascii=False)
