"""What a text must be to be kept in a library folder, and what its file says of itself.

A text that comes from a page is held to more than a file of one's own: it is no longer than a file may be, has no
aliases, and names no file but those of the folder, so that it can make nobody read anything else.
"""

from __future__ import annotations

import os
import stat
from collections.abc import Iterator
from pathlib import Path
from typing import Any, Literal

import yaml

from seatplan.message import Figure, Name, said

from .checkups import MOST_BYTES, opened_text
from .errors import InputError, Problem, brief
from .library import is_path
from .library_names import LibraryKind, number_of_file
from .load import restraint_from, vehicle_from
from .places import Document, Loc
from .reading import MAX_BYTES, YAML_LOADER, decoded, kind_of, no_file_of, not_text, ours

#: what a text comes to by itself: it reads, or something is wrong with it
TextState = Literal["reads", "wrong"]
#: kind in the library -> what its files are called elsewhere
_READ_AS = {"vehicle": "vehicle", "restraint": "restraint", "trip": "trip", "rules": "profile"}


def most_bytes(kind: LibraryKind) -> int:
    """How long a file may be."""
    return MOST_BYTES if kind == "checkup" else MAX_BYTES


def refuse_unfit(kind: LibraryKind, text: str, name: str, folder: Path) -> None:
    """Raises InputError where a text is not to be kept as a file of a kind: it is too long, is no such file, has
    aliases, or names a file outside of the folder. Whether what it says is right is for ``check`` to say."""
    size = len(text.encode(errors="replace"))
    if size > most_bytes(kind):
        raise InputError([Problem(name, 0, 0, said("{size} bytes long; expected at most {most}", size=Figure(size),
                                                   most=Figure(most_bytes(kind))))])
    if kind == "checkup":
        odd = not_text(text)
        if odd:
            raise InputError([Problem(name, 0, 0, odd)])
        opened_text(text, name)
        return
    document = document_in(kind, text, name)
    _refuse_aliases(text, document)
    refuse_outside(document, folder)


def document_in(kind: LibraryKind, text: str, name: str) -> Document:
    """The document of a text that is a file of a kind by its keys. Raises InputError."""
    wanted = _READ_AS[kind]
    document = ours(text, name, wanted)
    if kind_of(document) != wanted:
        raise InputError([no_file_of(wanted, name)])
    return document


def refuse_outside(document: Document, folder: Path) -> None:
    """Raises InputError where a trip names a file that is none of the folder's own, of the right kind: by a path, by a
    link, or one that is not there."""
    if kind_of(document) != "trip":                 # of a vehicle that word is its own name
        return
    problems = [document.problem(loc, text) for loc, kind, ref in references(document.data)
                if is_path(ref) and (text := _wrong(kind, ref, folder))]
    if problems:
        raise InputError(problems)


def references(data: dict[str, Any]) -> Iterator[tuple[Loc, LibraryKind, str]]:
    """Whatever a trip names by a word, a bundled one or a file: where, what it is, the word."""
    restraints = data.get("restraints")
    named: list[tuple[Loc, LibraryKind, Any]] = [(("vehicle",), "vehicle", data.get("vehicle")),
                                                 (("rules",), "rules", data.get("rules"))]
    for i, item in enumerate(restraints if isinstance(restraints, list) else ()):
        of_copy = isinstance(item, dict) and "use" in item
        named.append((("restraints", i, *(("use",) if of_copy else ())), "restraint", item["use"] if of_copy else item))
    for loc, kind, ref in named:
        if isinstance(ref, str):
            yield loc, kind, ref


def _wrong(kind: LibraryKind, ref: str, folder: Path) -> str:
    """What is wrong with a file that a trip of the library names; empty where nothing is."""
    number = number_of_file(ref)
    if number is None or number.kind != kind:
        return said("{ref} is no file of this library; expected one such as {kind}-3.yaml, or a bundled name",
                    ref=brief(ref), kind=Name(kind))
    try:
        there = os.lstat(folder / ref).st_mode
    except OSError:
        return said("{name} is not in this library", name=Name(ref))
    return "" if stat.S_ISREG(there) else said("{ref} is no file; what it leads to is not read", ref=Name(ref))


def _refuse_aliases(text: str, document: Document) -> None:
    for event in yaml.parse(text, Loader=YAML_LOADER) if "*" in text else ():
        if isinstance(event, yaml.AliasEvent):
            line, column = (event.start_mark.line, event.start_mark.column) if event.start_mark else (0, 0)
            raise InputError([Problem(document.name, line + 1, column + 1, said(
                "`*{anchor}` is not read here; write out what it stands for", anchor=brief(event.anchor or "")),
                source=document.lines[line])])


def state_of(kind: LibraryKind, raw: bytes) -> TextState:
    """What the bytes of a file come to by themselves, whatever else there is: the same on any day."""
    try:
        if kind == "checkup":
            opened_text(raw.decode(errors="replace"), "")
            return "reads"
        document = document_in(kind, decoded(raw, ""), "")
        if kind == "vehicle":
            vehicle_from(document)
        elif kind == "restraint":
            restraint_from(document)
    except InputError:
        return "wrong"
    return "reads"


def title_of(kind: LibraryKind, raw: bytes) -> str:
    """What a file calls itself; empty where it does not, or cannot be read that far."""
    try:
        if kind == "checkup":
            title = opened_text(raw.decode(errors="replace"), "")[0]["file"].get("trip")
        else:
            title = _first_value(decoded(raw, ""), _READ_AS[kind])
    except (InputError, yaml.YAMLError):
        return ""
    return brief(" ".join(title.split())) if isinstance(title, str) else ""


def _first_value(text: str, key: str) -> str:
    """The word that stands at a key of the top level; what comes after it is not looked at."""
    depth, is_key, wanted = 0, True, False
    for event in yaml.parse(text, Loader=YAML_LOADER):
        if isinstance(event, yaml.CollectionEndEvent):
            depth -= 1
        elif isinstance(event, yaml.CollectionStartEvent):
            is_key = is_key or depth == 1
            depth += 1
        elif depth == 1 and isinstance(event, yaml.NodeEvent):
            value = getattr(event, "value", "")
            if wanted and not is_key:
                return str(value)
            wanted, is_key = is_key and value == key, not is_key
    return ""
