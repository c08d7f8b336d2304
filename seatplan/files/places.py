"""Where the parts of what was read stand: in the lines of a file, or in records."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from typing import Any, NamedTuple, Protocol

from .errors import Problem

Loc = tuple[str | int, ...]
#: a longer list is not repeated where something is wrong with it
MOST_SHOWN = 20
#: where, and what is wrong there
Found = Iterator[tuple[Loc, str]]


def below(at: Loc, found: Found) -> Found:
    """What was found in the part that stands at ``at``."""
    for loc, text in found:
        yield (*at, *loc), text


class Place(NamedTuple):
    """Line and column, from 1, and how many letters of the line a key or a value takes: 1 where it goes on in others,
    and where it is a set of keys or a list with a line for each."""

    line: int
    column: int
    length: int = 1


_START = Place(1, 1)


class Places(Protocol):
    """Plain data, and where its parts stand: in a file, or in records; ``today`` bounds the days in it."""

    data: dict[str, Any]
    today: date | None

    def problem(self, loc: Loc, text: str, at_key: bool = False, found: Any = None,
                allowed: Mapping[str, Any] | None = None) -> Problem:
        """What is wrong with the part at ``loc``, with its place. Without ``found``, that is the value there (its key
        where that is wrong), unless it is a set of keys."""


@dataclass(slots=True)
class Document:
    """One file: ``data`` is a mapping; ``place`` and ``key_place`` know where its parts stand; ``lines`` are those of
    the file, to be shown, ``text`` the whole of it. ``today``, where it is known, bounds the days that the file may
    name. ``instead``: what stands in place of other files that this one names, by their real paths."""

    name: str
    data: dict[str, Any]
    values: dict[Loc, Place] = field(default_factory=dict)
    keys: dict[Loc, Place] = field(default_factory=dict)
    today: date | None = None
    lines: Sequence[str] = ()
    text: str = ""
    instead: Mapping[str, Document] = field(default_factory=dict)

    def place(self, loc: Loc) -> Place:
        """The place of the value at ``loc``, or of the nearest part above it that is in the file."""
        while loc and loc not in self.values:
            loc = loc[:-1]
        return self.values.get(loc, _START)

    def key_place(self, loc: Loc) -> Place:
        """The place of the key at ``loc``; of the value where there is no key."""
        return self.keys.get(loc) or self.place(loc)

    def problem(self, loc: Loc, text: str, at_key: bool = False, found: Any = None,
                allowed: Mapping[str, Any] | None = None) -> Problem:
        line, column, length = self.key_place(loc) if at_key else self.place(loc)
        return Problem(self.name, line, column, text, loc, standing(self.data, loc, at_key) if found is None else found,
                       allowed, line_of(self.lines, line), length)


def line_of(lines: Sequence[str], line: int) -> str:
    """A line by its number, from 1; empty where there is none."""
    return lines[line - 1] if 0 < line <= len(lines) else ""


def standing(data: Any, loc: Loc, at_key: bool = False) -> Any:
    """What stands at ``loc``, a word, a number, a day or a list of such; None where nothing does, or a set of keys."""
    if at_key:
        return loc[-1] if loc else None
    for step in loc:
        if isinstance(data, dict):
            data = data.get(step)
        elif isinstance(data, (list, tuple)) and isinstance(step, int) and step < len(data):
            data = data[step]
        else:
            return None
    flat = isinstance(data, (list, tuple)) and len(data) <= MOST_SHOWN and not any(
        isinstance(one, (dict, list, tuple)) for one in data)
    return data if flat or isinstance(data, (str, int, float, date)) else None
