"""YAML as plain data, with the line and column of every key and value.

The tree is built from parser events, so depth, size and aliases are bounded before anything grows. Only plain
scalars are read as numbers, true, false, null and dates; ``on``, ``no`` and ``2L`` stay words.
"""

from __future__ import annotations

import os
import re
import sys
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date
from pathlib import Path
from stat import S_IFBLK, S_IFCHR, S_IFDIR, S_IFIFO, S_IFMT, S_IFSOCK
from typing import Any

import yaml

from seatplan.message import Figure, Name, Word, said

from .errors import InputError, Problem, brief
from .places import Document, Loc

MAX_BYTES = 1_000_000
MAX_DEPTH = 20
MAX_NODES = 20_000

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
#: kind of file -> the key of its name, then others that only such a file has
KEYS_OF: dict[str, tuple[str, ...]] = {
    "trip": ("trip", "riders"),
    "profile": ("profile", "extends", "thresholds"),
    "restraint": ("restraint", "modes"),
    "vehicle": ("vehicle", "rows"),
}
_ANY_KEY = "|".join(key for keys in KEYS_OF.values() for key in keys)
_OURS = re.compile(rf"""(?:^|[{{,])[ \t]*["']?({_ANY_KEY})["']?[ \t]*:""", re.MULTILINE)
_TOO_DEEP = f"nested deeper than {MAX_DEPTH} levels; expected a flatter file"
_UNREADABLE = "not readable as YAML; expected `key: value` lines"
#: part of a parser's message, and what to say
_SYNTAX = (
    (
        "mapping values are not allowed",
        "a colon cannot stand here; check the indentation, or put the text in quotes",
    ),
    ("expected <block end>", "this line does not line up with the lines above it"),
    ("did not find expected key", "this line does not line up with the lines above it"),
    ("did not find expected '-' indicator", "this line does not line up with the lines above it"),
    ("sequence entries are not allowed", "a list cannot begin here; expected `-` on a line of its own"),
    ("could not find expected ':'", "a key without its colon"),
    ("escape", "this backslash means nothing here; expected text in single quotes"),
    ("document start", "more follows after the end of the document; expected one document"),
    ("incompatible YAML document", "another version of YAML; expected none to be named"),
)


def read(path: str | Path, today: date | None = None, kind: str = "") -> Document:
    """Read a file; ``-`` is standard input. ``today`` bounds the days in it. With a ``kind``, one of KEYS_OF or
    ``any`` of them, nothing of what stands in a file that is none of ours is told. Raises InputError."""
    name = str(path)
    if name == "-":
        raw = sys.stdin.buffer.read(MAX_BYTES + 1) if sys.stdin else b""
        return ours(decoded(raw, "stdin"), "stdin", kind, today)
    try:
        refuse_endless(name, os.stat(path))
        # what the name stands for may have changed since: nothing is waited for, and it is looked at once more
        with open(os.open(path, os.O_RDONLY | _NO_WAIT), "rb") as stream:
            refuse_endless(name, os.fstat(stream.fileno()))
            raw = stream.read(MAX_BYTES + 1) or b""
    except FileNotFoundError:
        raise _whole(name, said("there is no such file")) from None
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or said("not a usable file name")
        raise _whole(name, said("this file cannot be read: {lower}", lower=reason.lower())) from None
    return ours(decoded(raw, name), name, kind, today)


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
        line = raw[: error.start].count(b"\n") + 1
        raise InputError([Problem(name, line, 1, said("this is no text in UTF-8; expected a YAML file"))]) from None
    if "\0" in text:
        raise _whole(name, said("this is no text; expected a YAML file"))
    return text


def ours(text: str, name: str, kind: str, today: date | None = None) -> Document:
    """The document of a text. With a ``kind`` it must hold a key of our files: of any other file nothing is told but
    that it is none, for what it holds is nobody's business. Raises InputError."""
    if kind and text.strip() and not _OURS.search(text):
        raise InputError([no_file_of(kind, name)])
    return parse(text, name, today)


def no_file_of(kind: str, name: str) -> Problem:
    """What to say of a file that is no file of a kind, nor of another of ours."""
    if kind == "any":
        return Problem(name, 1, 1, said('this file does not say what it is; expected key "vehicle", '
                                        '"restraint", "trip" or "profile", with the name'))
    return Problem(name, 0, 0, said('this is no {kind} file; expected one with key "{wanted}"', kind=Word(kind),
                                    wanted=Name(kind)))


def not_text(text: str) -> str:
    """What is wrong with the letters of a text: that one of them is none. Empty where nothing is."""
    odd = _CONTROL.search(text)
    return said("a character that is no text (number {ord}); leave it out", ord=ord(odd[0])) if odd else ""


def parse(text: str, name: str, today: date | None = None) -> Document:
    """Build the tree of one YAML document whose top level is a mapping. Raises InputError."""
    odd = _CONTROL.search(text)
    if odd:
        before = text[: odd.start()].split("\n")
        raise InputError([Problem(name, len(before), len(before[-1]) + 1, not_text(text))])
    try:
        return _Builder(name, today).build(yaml.parse(text, Loader=YAML_LOADER))
    except yaml.MarkedYAMLError as error:
        raise InputError([_syntax(error, text, name)]) from None
    except yaml.YAMLError:
        raise _whole(name, _UNREADABLE) from None


def _syntax(error: yaml.MarkedYAMLError, text: str, name: str) -> Problem:
    """A syntax error in plain words, at the place where a person would mend it."""
    found, context = error.problem or "", error.context or ""
    mark = error.problem_mark or error.context_mark
    opened = error.context_mark
    words = next((words for part, words in _SYNTAX if part in found), _UNREADABLE)
    if "quoted" in context and ("end of stream" in found or "document" in found):
        words, mark = said("a quote is opened here and never closed"), opened or mark
    elif "depth" in found:
        words = _TOO_DEEP
    elif "flow" in context:
        bracket = "[" if "sequence" in context else "{"
        words, mark = (
            said('"{bracket}" is opened here and not closed, or a comma is missing', bracket=bracket),
            opened or mark,
        )
    elif "cannot start any token" in found and mark is not None:
        character = text[mark.index : mark.index + 1]
        words = (
            said("a tab indents this line; expected spaces")
            if character == "\t"
            else said('"{character}" cannot begin a value; expected the text in quotes', character=character)
        )
    line, column = (mark.line + 1, mark.column + 1) if mark is not None else (1, 1)
    return Problem(name, line, column, words)


def _whole(name: str, text: str, found: Any = None, allowed: Mapping[str, Any] | None = None) -> InputError:
    return InputError([Problem(name, 0, 0, text, found=found, allowed=allowed)])


@dataclass(slots=True)
class _Open:
    """A mapping or list being filled."""

    value: dict[str, Any] | list[Any]
    loc: Loc
    anchor: str | None
    key: str | None = None
    key_at: dict[str, tuple[int, int]] = field(default_factory=dict)


class _Builder:
    def __init__(self, name: str, today: date | None) -> None:
        self._name = name
        self._document = Document(name, {}, today=today)
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
                done = stack.pop()
                if done.anchor:
                    self._anchors[done.anchor] = done.value
            elif kind in ("ScalarEvent", "AliasEvent"):
                self._scalar(stack, event, kind)
        if self._root is _NONE:
            raise _whole(self._name, said("this file is empty; expected a YAML file"))
        if not isinstance(self._root, dict):
            raise InputError([Problem(self._name, 1, 1, said("not a set of keys; expected `key: value` lines"))])
        self._document.data = self._root
        return self._document

    def _begin(self, event: Any) -> None:
        self._documents += 1
        if self._documents > 1:
            self._fail(event, said("a second document begins here; expected one"))

    def _open(self, stack: list[_Open], event: Any, value: dict[str, Any] | list[Any]) -> None:
        """A mapping or list begins."""
        self._no_tag(event, ("tag:yaml.org,2002:map", "tag:yaml.org,2002:seq"))
        if len(stack) >= MAX_DEPTH:
            self._fail(event, _TOO_DEEP)
        if stack and isinstance(stack[-1].value, dict) and stack[-1].key is None:
            self._fail(event, said("this key is a list or a set of keys; expected a word"))
        loc = self._enter(stack, event, value)
        if event.anchor:
            self._anchors[event.anchor] = _UNDER_WAY
        stack.append(_Open(value, loc, event.anchor))

    def _scalar(self, stack: list[_Open], event: Any, kind: str) -> None:
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
            line, _ = top.key_at[key]
            self._fail(event, said('key "{key}" stands here twice; first in line {line}', key=brief(key), line=line))
        top.key_at[key] = self._document.keys[(*top.loc, key)] = _mark(event)
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
                self._fail(event, _TOO_DEEP)
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
        if self._nodes > MAX_NODES:
            self._fail(
                event, said("more than {MAX_NODES} values, with aliases written out; expected a smaller file",
                            MAX_NODES=Figure(MAX_NODES))
            )

    def _fail(self, event: Any, text: str) -> None:
        raise InputError([Problem(self._name, *_mark(event), text)])


_NONE, _UNDER_WAY = object(), object()


def _mark(event: Any) -> tuple[int, int]:
    return event.start_mark.line + 1, event.start_mark.column + 1


def _walk(value: Any) -> Iterator[int]:
    """How deep each value lies: the value itself, and all in it."""
    stack = [(value, 0)]
    while stack:
        item, depth = stack.pop()
        yield depth
        if isinstance(item, (dict, list)):
            stack.extend((inner, depth + 1) for inner in (item.values() if isinstance(item, dict) else item))
