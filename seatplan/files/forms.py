"""Files to fill in: short ones for what a person can say in minutes, and full ones that keep what is known already.

A form is a template under ``data/templates``: keys, most of them empty, and comments that say how to take each answer.
"""

from __future__ import annotations

import re
import textwrap
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from typing import Any, Literal

from seatplan.model import Restraint, Vehicle
from seatplan.model.kinds import HARNESS, KINDS, has_modes_of_kind, ways_of
from seatplan.model.restraint import Kind

from .library import PACKAGE
from .reading import parse

#: comments stand behind this column where there is room
_ASIDE = 38
#: no line of a form is longer
_WIDTH = 120
_KEY_LINE = re.compile(r"(?P<indent> *)(?P<dash>- )?(?P<key>\w+):(?P<value>(?: [^#]*?)?)(?P<note>\s*#.*)?$")
_WAYS = ("rear_facing", "forward_facing", "booster")


def template(name: str) -> str:
    """The text of a template by the stem of its file."""
    return (PACKAGE / "data" / "templates" / f"{name}.yaml").read_text(encoding="utf-8")


def restraint_form(kind: Kind) -> str:
    """The short form of one kind of restraint: only what is asked of that kind, and how to tell it."""
    ways, modes = ways_of(kind), [mode for mode, _ in KINDS[kind].modes]
    leave: set[tuple[str, ...]] = {("limits", way) for way in _WAYS if way not in ways}
    leave |= {("limits", name) for name in ("mass", "height") if ways}
    if not any(mode in HARNESS for mode in modes):
        leave |= {("limits", "on_lower_anchors"), ("support_leg",)}
    if "rear-facing-harness" not in modes:
        leave.add(("level_adjusts",))
    lines = []
    for path, line in _paths(template("short-restraint")):
        if any(path[:len(gone)] == gone for gone in leave):
            continue
        alone = len(ways) == 1 and path[:2] == ("limits", ways[0])
        if alone and len(path) == 2:
            continue                                     # limits of its only way stand by themselves
        lines += _kind_lines(kind) if path == ("kind",) else [line[2:].replace("#", "  #", 1) if alone else line]
    return "\n".join(lines) + "\n"


def _kind_lines(kind: Kind) -> list[str]:
    lead = f"kind: {kind}".ljust(_ASIDE)
    return textwrap.wrap(f"# {KINDS[kind].tell}", _WIDTH, initial_indent=lead, subsequent_indent=f"{' ' * _ASIDE}# ",
                         break_on_hyphens=False)


def _paths(text: str) -> Iterator[tuple[tuple[str, ...], str]]:
    """Each line with the keys that it stands under; a comment aside goes with the key above it, one on a line of its
    own with nothing."""
    path: list[tuple[int, str]] = []
    for line in text.splitlines():
        found = _KEY_LINE.match(line)
        if found and not line.lstrip().startswith("#"):
            indent = len(found["indent"])
            path = [*(part for part in path if part[0] < indent), (indent, found["key"])]
        aside = line.startswith(" " * _ASIDE)
        yield tuple(key for _, key in path) if found or aside else (), line


# --- a full form with what is known

@dataclass(slots=True)
class _Key:
    """One key of a template: the comment lines ``above`` it, what stands behind it, and what stands below: keys, or
    items with keys; ``flow``: items that a line holds whole."""

    key: str
    above: list[str] = field(default_factory=list)
    value: str = ""
    note: list[str] = field(default_factory=list)
    keys: list[_Key] = field(default_factory=list)
    items: list[list[_Key]] = field(default_factory=list)
    flow: list[str] = field(default_factory=list)


def grown(record: Vehicle | Restraint) -> str:
    """The full form of a vehicle or a restraint with all that its file says, each answer where it belongs."""
    kind: Literal["vehicle", "restraint"] = "vehicle" if isinstance(record, Vehicle) else "restraint"
    head, keys, foot = _tree(template(kind))
    data = _of_vehicle(record) if isinstance(record, Vehicle) else _of_restraint(record)
    text = "\n".join([*head, *_filled(keys, data, 0), *foot]) + "\n"
    parse(text, "")                                      # what is written can be read
    return text


def _of_vehicle(vehicle: Vehicle) -> dict[str, Any]:
    """The data of a vehicle in which every seat says itself what was said once for all."""
    data = vehicle.data()
    every = vehicle.every_seat
    data["every_seat"] = {key: value for key, value in (
        ("facing", every.facing), ("tip_up", every.tip_up), ("slides", every.slides)) if value is not None}
    for row, told in zip(vehicle.rows, data["rows"], strict=True):
        _none_where_empty(told, "lower_anchors", "tethers")
        for position, seat in zip(row.positions, told["positions"], strict=True):
            _none_where_empty(seat, "lower_anchors", "borrow", "fixtures")
            ahead = position.ahead
            if ahead is not None and ahead.free is not None:
                seat["ahead"] = {key: value for key, value in seat["ahead"].items() if key != "free"} | {
                    "gap": [list(pair) for pair in ahead.gap], "travel": ahead.travel}
    return data


def _none_where_empty(told: dict[str, Any], *keys: str) -> None:
    """What was looked for and is not there as the files say it."""
    for key in keys:
        if key in told and told[key] in ([], ()):
            told[key] = "none"


def _of_restraint(restraint: Restraint) -> dict[str, Any]:
    """The data of a restraint with its modes, those of its kind too."""
    data = restraint.data()
    if has_modes_of_kind(restraint):
        data = {key: value for key, value in data.items() if key not in ("width", "limits", "support_leg")}
        data["modes"] = [mode.data() for mode in restraint.modes]
    return data


def _tree(text: str) -> tuple[list[str], list[_Key], list[str]]:
    """A template as keys; the comment that it begins with, and the lines behind the last key."""
    top: list[_Key] = []
    #: indentation -> the keys that stand there
    open_at: dict[int, list[_Key]] = {0: top}
    last, above, head = _Key(""), list[str](), list[str]()
    for line in text.splitlines():
        found, bare = _KEY_LINE.match(line), line.strip()
        if bare.startswith("#") or not bare:
            if bare and line.startswith(" " * _ASIDE):
                last.note.append(bare)
            else:
                above.append(bare)
        elif found is None or bare.startswith("- {"):
            last.flow.append(bare)
        else:
            indent = len(found["indent"]) + len(found["dash"] or "")
            new = _Key(found["key"], above, found["value"].strip(), [found["note"].strip()] if found["note"] else [])
            open_at = {at: keys for at, keys in open_at.items() if at <= indent}
            if found["dash"]:
                holder = open_at[max(at for at in open_at if at < indent)][-1]
                holder.items.append([])
                open_at[indent] = holder.items[-1]
            elif indent not in open_at:
                open_at[indent] = open_at[max(open_at)][-1].keys
            if not head and not top:
                head, new.above = above, []
            open_at[indent].append(new)
            last, above = new, []
    return head, top, above


def _filled(keys: Sequence[_Key], data: Mapping[str, Any], indent: int) -> Iterator[str]:
    """The lines of some keys with their answers, and what else is known before the first list of things."""
    more = [(key, value) for key, value in data.items() if key not in {known.key for known in keys}]
    for known in keys:
        if known.items and more:
            yield from (_line(indent, key, _written(value)) for key, value in more)
            more = []
        yield from (" " * indent + above if above else "" for above in known.above)
        yield from _with_answer(known, data.get(known.key), indent)
    yield from (_line(indent, key, _written(value)) for key, value in more)


def _with_answer(known: _Key, value: Any, indent: int) -> Iterator[str]:
    if known.items:
        yield _line(indent, known.key, "", known.note)
        entries = value if isinstance(value, list) and value else [{} for _ in known.items]
        for k, entry in enumerate(entries):
            like = known.items[k] if not entry else _like(known.items, entry)
            begun = False
            for line in _filled(like, entry or _names(like), indent + 4):
                first = not begun and not line.lstrip().startswith("#") and bool(line)
                yield f"{line[:indent + 2]}- {line[indent + 4:]}" if first else line
                begun = begun or first
    elif known.keys:
        yield _line(indent, known.key, "" if isinstance(value, dict) or value is None else _written(value), known.note)
        if value is None or isinstance(value, dict):
            yield from _filled(known.keys, value or {}, indent + 2)
    elif known.flow:
        yield _line(indent, known.key, "", known.note)
        yield from (" " * (indent + 2) + line for line in (
            [f"- {_written(one)}" for one in value] if isinstance(value, list) and value
            else [f"# {line}" for line in known.flow]))        # a part without a size is no part
    else:
        yield _line(indent, known.key, known.value if value is None else _written(value), known.note)


def _like(items: Sequence[list[_Key]], entry: Mapping[str, Any]) -> list[_Key]:
    """The item of the template that an entry is named like; else the longest, which has all that is asked."""
    for item in items:
        if str(entry.get(item[0].key)) == item[0].value:
            return item
    return max(items, key=len)


def _names(item: Sequence[_Key]) -> dict[str, Any]:
    return {item[0].key: item[0].value}


def _line(indent: int, key: str, value: str, note: Sequence[str] = ()) -> str:
    start = f"{' ' * indent}{key}:{' ' + value if value else ''}"
    if not note:
        return start
    first, *rest = note
    return "\n".join([f"{start.ljust(_ASIDE)}{'' if len(start) < _ASIDE else ' '}{first}",
                      *(" " * _ASIDE + more for more in rest)])


def _written(value: Any) -> str:
    """A value in one line of YAML."""
    if isinstance(value, Mapping):
        return "{" + ", ".join(f"{key}: {_written(inner)}" for key, inner in value.items()) + "}"
    if isinstance(value, (list, tuple)):
        return "[" + ", ".join(map(_written, value)) + "]" if value else "[]"
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, str):
        return _text(value)
    return str(value)


def _text(value: str) -> str:
    """A text without quotes where it reads as the same, or as the day that it names."""
    if re.fullmatch(r"[\w][\w .()/+-]*", value):
        read = parse(f"{{v: {value}}}", "").data["v"]
        if read == value or isinstance(read, date):
            return value
    escaped = value.replace("\\", "\\\\").replace('"', '\\"').replace("\n", "\\n")
    return f'"{escaped}"'


def leaves(data: Any, path: tuple[str | int, ...] = ()) -> Iterable[tuple[tuple[str | int, ...], Any]]:
    """Every single value in the data of a file, with its place; what stands empty is none."""
    if isinstance(data, Mapping):
        for key, value in data.items():
            yield from leaves(value, (*path, key))
    elif isinstance(data, (list, tuple)):
        for k, value in enumerate(data):
            yield from leaves(value, (*path, k))
    elif data is not None:
        yield path, data
