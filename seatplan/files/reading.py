"""YAML as plain data, with the line and column of every key and value.

The tree is built from parser events, so depth, size and aliases are bounded before anything grows. Only plain
scalars are read as numbers, true, false, null and dates; ``on``, ``no`` and ``2L`` stay words.
"""

from __future__ import annotations

import os
import re
import sys
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from datetime import date
from functools import lru_cache
from pathlib import Path
from stat import S_IFBLK, S_IFCHR, S_IFDIR, S_IFIFO, S_IFMT, S_IFSOCK
from typing import Any

import yaml

from seatplan.message import Figure, Name, Word, said

from .errors import InputError, Problem, brief
from .foreign import is_answer, kind_of_bytes, kind_of_text
from .library import nearest_file
from .places import Document, Loc, Place, line_of
from .syntax import MAX_DEPTH, TOO_DEEP, UNREADABLE, lines_in, run_together, space_missing, syntax_problem

MAX_BYTES = 1_000_000
MAX_NODES = 20_000
#: a fleet has more of everything than a family
MAX_FLEET_NODES = 200_000

#: opening a pipe that nobody writes to does not wait, where the system knows that
_NO_WAIT = getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_CLOEXEC", 0) | getattr(os, "O_BINARY", 0)
_NO_FILE = {
    S_IFDIR: said("a directory"),
    S_IFIFO: said("a pipe"),
    S_IFSOCK: said("a socket"),
    S_IFCHR: said("a device"),
    S_IFBLK: said("a device"),
}
YAML_LOADER: Any = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
_INT = re.compile(r"[-+]?(0|[1-9][0-9]*)")
_FLOAT = re.compile(
    r"[-+]?(0|[1-9][0-9]*)?\.[0-9]+([eE][-+]?[0-9]+)?|[-+]?[0-9]+\.|[-+]?[1-9][0-9]*[eE][-+]?[0-9]+"
)
_DATE = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")
_WORDS: dict[str, Any] = {
    "true": True,
    "True": True,
    "false": False,
    "False": False,
    "null": None,
    "Null": None,
    "~": None,
    "": None,
}


#: control characters, lone surrogates, breaks of lines that no editor counts, and marks that turn the direction of
#: writing: they hide what is said
_CONTROL = re.compile(
    "[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x84\x86-\x9f\ud800-\udfff\u061c\u200e\u200f\u2028-\u202e\u2066-\u2069\ufeff\ufffe\uffff]"
)
#: kind of file -> the key of its name, then others that only such a file has; a kind comes before one that it can name
KEYS_OF: dict[str, tuple[str, ...]] = {
    "fleet": ("fleet", "depots"),
    "trip": ("trip", "riders"),
    "profile": ("profile", "extends", "thresholds"),
    "restraint": ("restraint", "modes"),
    "vehicle": ("vehicle", "rows"),
}
_A_FLEET = re.compile(r"^fleet[ \t]*:", re.MULTILINE)
#: so many texts of at most so many letters are kept as they were read last; a car with every field has 20,000
KEPT, KEPT_LENGTH = 128, 40_000
_ANY_KEY = "|".join(key for keys in KEYS_OF.values() for key in keys)
_OURS = re.compile(rf"""(?:^|[{{,])[ \t]*["']?({_ANY_KEY})["']?[ \t]*:""", re.MULTILINE)
#: a line that holds more than a comment
_ANYTHING = re.compile(r"^[ \t]*[^\s#]", re.MULTILINE)


def read(path: str | Path, today: date | None = None, kind: str = "") -> Document:
    """Read a file; ``-`` is standard input. ``today`` bounds the days in it. With a ``kind``, one of KEYS_OF or
    ``any`` of them, nothing of what stands in a file that is none of ours is told. Raises InputError."""
    name = str(path)
    if name == "-":
        raw = sys.stdin.buffer.read(MAX_BYTES + 1) if sys.stdin else b""
        return ours(decoded(raw, "stdin"), "stdin", kind, today)
    return ours(text_of(path, kind), name, kind, today)


def text_of(path: str | Path, kind: str = "") -> str:
    """The text of a file. Raises InputError, told of a file of that ``kind``."""
    name = str(path)
    try:
        refuse_endless(name, os.stat(path))
        # what the name stands for may have changed since: nothing is waited for, and it is looked at once more
        with open(os.open(path, os.O_RDONLY | _NO_WAIT), "rb") as stream:
            refuse_endless(name, os.fstat(stream.fileno()))
            raw = stream.read(MAX_BYTES + 1) or b""
    except FileNotFoundError:
        raise _whole(name, no_file(name, kind)) from None
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or said("not a usable file name")
        raise _whole(name, said("this file cannot be read: {lower}", lower=reason.lower())) from None
    return decoded(raw, name)


def refuse_endless(name: str, stat: os.stat_result) -> None:
    """Raises InputError for whatever is no file with an end, before it is opened: a pipe would be waited for."""
    kind = next((words for mode, words in _NO_FILE.items() if S_IFMT(stat.st_mode) == mode), None)
    if kind is not None:
        raise _whole(name, said("this is {kind}; expected a YAML file", kind=kind))
    if stat.st_size > MAX_BYTES:
        raise _whole(name, said("{size} bytes long; expected at most {MAX_BYTES}", size=Figure(stat.st_size),
                                MAX_BYTES=Figure(MAX_BYTES)), stat.st_size, {"at_most": MAX_BYTES, "unit": "bytes"})


def decoded(raw: bytes, name: str) -> str:
    """The text of a file's bytes, without a mark of the byte order. Raises InputError."""
    if len(raw) > MAX_BYTES:
        raise _whole(name, said("longer than {MAX_BYTES} bytes; expected a YAML file", MAX_BYTES=Figure(MAX_BYTES)))
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise InputError([_undecodable(raw, error.start, name)]) from None
    if "\0" in text:
        raise _whole(name, said("this is no text; expected a YAML file"))
    return text


def _undecodable(raw: bytes, at: int, name: str) -> Problem:
    """What to say of bytes that are no UTF-8; the line is shown of a file of ours only."""
    what = kind_of_bytes(raw)
    if what:
        return Problem(name, 0, 0, said("this is {what}; expected a YAML file, in UTF-8", what=what))
    *above, start = lines_in(raw[:at].decode("utf-8-sig"))
    place = len(above) + 1, len(start) + 1
    lines = lines_in(raw.decode("utf-8-sig", "backslashreplace"))
    if not _OURS.search("\n".join(lines)):
        return Problem(name, *place, said("this is no text in UTF-8; expected a YAML file"))
    return Problem(name, *place, said("a letter that is no UTF-8 (byte {byte}); expected the file to be saved as UTF-8",
                                      byte=f"0x{raw[at]:02x}"), source=line_of(lines, place[0]), length=4)


def ours(text: str, name: str, kind: str, today: date | None = None) -> Document:
    """The document of a text. With a ``kind`` it must hold a key of our files: of any other file nothing is told but
    that it is none, for what it holds is nobody's business. Raises InputError."""
    if kind and _ANYTHING.search(text) and not _OURS.search(text):
        raise InputError([no_file_of(kind, name, kind_of_text(text))])
    document = _kept(text, name, today) if len(text) <= KEPT_LENGTH else parse(text, name, today)
    if kind and is_answer(document.data):
        raise InputError([no_file_of(kind, name, said("an answer that was printed with --json"))])
    return document


def _kept(text: str, name: str, today: date | None) -> Document:
    """A document for a text that may have been read before, since a page asks for each file of a trip several times.
    Its data is a copy: whoever changes that changes it for nobody else."""
    try:
        read = _read_once(text)
    except InputError:                                   # told of the file that it is
        return parse(text, name, today)
    return replace(read, name=name, today=today, data=copied(read.data))


def copied(value: Any) -> Any:
    """Plain data once more, to be changed."""
    if isinstance(value, dict):
        return {key: copied(inner) for key, inner in value.items()}
    return [copied(inner) for inner in value] if isinstance(value, list) else value


@lru_cache(KEPT)
def _read_once(text: str) -> Document:
    """What a text holds whatever it is called, and whatever day it is."""
    return parse(text, "")


def plain(text: str) -> dict[str, Any]:
    """The plain data of a text, not to be changed. Raises InputError."""
    return (_read_once(text) if len(text) <= KEPT_LENGTH else parse(text, "")).data


def no_file(name: str, kind: str) -> str:
    """What to say where there is no file of a name."""
    near = nearest_file(name, kind)
    return said("there is no such file; did you mean `{near}`?", near=brief(near)) if near else said(
        "there is no such file")


def no_file_of(kind: str, name: str, what: str = "") -> Problem:
    """What to say of a file that is no file of a kind, nor of another of ours; ``what`` it is, where that is known."""
    if what and kind == "any":
        return Problem(name, 0, 0, said("this is {what}; expected a vehicle, restraint, trip, fleet or rules file in "
                                        "YAML", what=what))
    if what:
        return Problem(name, 0, 0, said("this is {what}; expected a {kind} file in YAML", what=what, kind=Word(kind)))
    if kind == "any":
        return Problem(name, 1, 1, said('this file does not say what it is; expected key "vehicle", '
                                        '"restraint", "trip", "fleet" or "profile", with the name'))
    return Problem(name, 0, 0, said('this is no {kind} file; expected one with key "{wanted}"', kind=Word(kind),
                                    wanted=Name(kind)))


def kind_of(document: Document) -> str:
    """fleet, vehicle, restraint, trip or profile, by a key that only it has; empty if there is none. A trip names a
    vehicle, and is none."""
    return next((kind for kind, keys in KEYS_OF.items() if any(key in document.data for key in keys)),
                "")


def not_text(text: str) -> str:
    """What is wrong with the letters of a text: that one of them is none. Empty where nothing is."""
    odd = _CONTROL.search(text)
    return said("a character that is no text (number {ord}); leave it out", ord=ord(odd[0])) if odd else ""


def parse(text: str, name: str, today: date | None = None) -> Document:
    """Build the tree of one YAML document whose top level is a mapping. Raises InputError."""
    lines = lines_in(text)
    odd = _CONTROL.search(text)
    if odd:
        before = lines_in(text[: odd.start()])
        raise InputError([Problem(name, len(before), len(before[-1]) + 1, not_text(text),
                                  source=line_of(lines, len(before)))])
    builder = _Builder(name, today, text, lines, MAX_FLEET_NODES if _A_FLEET.search(text) else MAX_NODES)
    try:
        return builder.build(yaml.parse(text, Loader=YAML_LOADER))
    except yaml.MarkedYAMLError as error:
        raise InputError([syntax_problem(error, lines, name, builder.quoted_to(error.problem_mark))]) from None
    except yaml.YAMLError:
        raise _whole(name, UNREADABLE) from None


def _whole(name: str, text: str, found: Any = None, allowed: Mapping[str, Any] | None = None) -> InputError:
    return InputError([Problem(name, 0, 0, text, found=found, allowed=allowed)])


@dataclass(slots=True)
class _Open:
    """A mapping or list being filled."""

    value: dict[str, Any] | list[Any]
    loc: Loc
    anchor: str | None
    key: str | None = None
    key_at: dict[str, int] = field(default_factory=dict)


class _Builder:
    def __init__(self, name: str, today: date | None, text: str, lines: list[str], most: int) -> None:
        self._name, self._most = name, most
        self._document = Document(name, {}, today=today, lines=lines, text=text)
        self._quoted: tuple[Place, int] | None = None
        self._anchors: dict[str, Any] = {}
        self._nodes = self._documents = 0
        self._root: Any = _NONE

    def build(self, events: Iterator[Any]) -> Document:
        stack: list[_Open] = []
        for event in events:
            kind = type(event).__name__
            if kind == "DocumentStartEvent":
                self._begin(event)
            elif kind in ("MappingStartEvent", "SequenceStartEvent"):
                self._open(stack, event, {} if kind.startswith("Mapping") else [])
            elif kind in ("MappingEndEvent", "SequenceEndEvent"):
                self._close(stack.pop(), event)
            elif kind in ("ScalarEvent", "AliasEvent"):
                self._scalar(stack, event, kind)
        if self._root is _NONE:
            raise _whole(self._name, said("this file is empty; expected a YAML file"))
        if not isinstance(self._root, dict):
            key = run_together(self._root)
            told = space_missing(key) if key else said("not a set of keys; expected `key: value` lines")
            raise InputError([Problem(self._name, 1, 1, told,
                                      source=line_of(self._document.lines, 1))])
        self._document.data = self._root
        return self._document

    def quoted_to(self, mark: Any) -> Place | None:
        """Where the last text in quotes began that goes on over several lines, if it ends in the line of ``mark``."""
        if self._quoted is None or mark is None or mark.line != self._quoted[1]:
            return None
        return self._quoted[0]

    def _begin(self, event: Any) -> None:
        self._documents += 1
        if self._documents > 1:
            self._fail(event, said("a second document begins here; expected one"))

    def _open(self, stack: list[_Open], event: Any, value: dict[str, Any] | list[Any]) -> None:
        """A mapping or list begins."""
        self._no_tag(event, ("tag:yaml.org,2002:map", "tag:yaml.org,2002:seq"))
        if len(stack) >= MAX_DEPTH:
            self._fail(event, TOO_DEEP)
        if stack and isinstance(stack[-1].value, dict) and stack[-1].key is None:
            self._fail(event, said("this key is a list or a set of keys; expected a word"))
        loc = self._enter(stack, event, value)
        if event.anchor:
            self._anchors[event.anchor] = _UNDER_WAY
        stack.append(_Open(value, loc, event.anchor))

    def _close(self, done: _Open, event: Any) -> None:
        """A mapping or list ends; one in brackets is as long as it looks."""
        if done.anchor:
            self._anchors[done.anchor] = done.value
        start = self._document.values[done.loc]
        end = event.end_mark
        if end.line + 1 == start.line and self._document.lines[end.line][end.column - 1:end.column] in ("]", "}"):
            self._document.values[done.loc] = start._replace(length=end.column + 1 - start.column)

    def _scalar(self, stack: list[_Open], event: Any, kind: str) -> None:
        if kind == "ScalarEvent" and event.style in ("'", '"') and event.end_mark.line > event.start_mark.line:
            self._quoted = _mark(event), event.end_mark.line
        value = self._alias(event, len(stack)) if kind == "AliasEvent" else self._read(event)
        if kind == "ScalarEvent" and event.anchor:
            self._anchors[event.anchor] = value
        top = stack[-1] if stack else None
        if top is not None and isinstance(top.value, dict) and top.key is None:
            self._key(top, event, event.value if kind == "ScalarEvent" else value)
            return
        self._enter(stack, event, value)

    def _key(self, top: _Open, event: Any, key: Any) -> None:
        if not isinstance(key, str) or not key:
            self._fail(event, said("this key is empty; expected a word"))
        if key == "<<":
            self._fail(event, said("`<<` is not read here; write the keys out"))
        if key in top.key_at:
            self._fail(event, said('key "{key}" stands here twice; first in line {line}', key=brief(key),
                                   line=top.key_at[key]))
        place = self._document.keys[(*top.loc, key)] = _mark(event)
        top.key_at[key] = place.line
        top.key = key

    def _enter(self, stack: list[_Open], event: Any, value: Any) -> Loc:
        """Put a value where it belongs; its location."""
        self._count(event)
        if not stack:
            self._root = value
            self._document.values[()] = _mark(event)
            return ()
        top = stack[-1]
        step: str | int
        if isinstance(top.value, dict):
            step = top.key or ""
            top.value[step] = value
            top.key = None
        else:
            step = len(top.value)
            top.value.append(value)
        loc = (*top.loc, step)
        self._document.values[loc] = _mark(event)
        return loc

    def _alias(self, event: Any, depth: int) -> Any:
        value = self._anchors.get(event.anchor, _NONE)
        if value is _NONE:
            self._fail(event, said("`*{anchor}` names nothing above it", anchor=brief(event.anchor)))
        if value is _UNDER_WAY:
            self._fail(event, said("`*{anchor}` contains itself", anchor=brief(event.anchor)))
        for below in _walk(value):
            self._count(event)
            if depth + below > MAX_DEPTH:
                self._fail(event, TOO_DEEP)
        return value

    def _read(self, event: Any) -> Any:
        self._no_tag(event, ("!", "tag:yaml.org,2002:str"))
        text: str = event.value
        odd = not_text(text)  # from an escape
        if odd:
            self._fail(event, odd)
        if event.style or not event.implicit[0]:
            return text
        if text in _WORDS:
            return _WORDS[text]
        if len(text) <= 40:
            if _INT.fullmatch(text):
                return int(text)
            if _FLOAT.fullmatch(text):
                return float(text)
        if _DATE.fullmatch(text):
            try:
                return date.fromisoformat(text)
            except ValueError:
                self._fail(event, said('"{text}" is no day of the calendar; expected year-month-day',
                                       text=Name(text)))
        return text

    def _no_tag(self, event: Any, allowed: tuple[str, ...]) -> None:
        if event.tag and event.tag not in allowed:
            self._fail(
                event,
                said("tag `{replace}` is not read; leave it out",
                     replace=brief(event.tag.replace('tag:yaml.org,2002:', '!!'))),
            )

    def _count(self, event: Any) -> None:
        self._nodes += 1
        if self._nodes > self._most:
            self._fail(
                event, said("more than {MAX_NODES} values, with aliases written out; expected a smaller file",
                            MAX_NODES=Figure(self._most))
            )

    def _fail(self, event: Any, text: str) -> None:
        place = _mark(event)
        raise InputError([Problem(self._name, place.line, place.column, text,
                                  source=line_of(self._document.lines, place.line), length=place.length)])


_NONE, _UNDER_WAY = object(), object()


def _mark(event: Any) -> Place:
    """Where an event begins; a scalar that ends in its line is as long as it looks."""
    start, end = event.start_mark, event.end_mark
    whole = end.line == start.line and type(event).__name__ in ("ScalarEvent", "AliasEvent")
    return Place(start.line + 1, start.column + 1, max(1, end.column - start.column) if whole else 1)


def _walk(value: Any) -> Iterator[int]:
    """How deep each value lies: the value itself, and all in it."""
    stack = [(value, 0)]
    while stack:
        item, depth = stack.pop()
        yield depth
        if isinstance(item, (dict, list)):
            stack.extend((inner, depth + 1) for inner in (item.values() if isinstance(item, dict) else item))
