"""A library folder of one's own files, for a face that shows and changes them: each call is whole in itself.

A face keeps a shelf open as long as it likes: it holds no file, no lock and no state beside the name of the folder.
Everything on it goes by its library number, which says no name of anybody; files that carry other names are left alone
until somebody takes them in.
"""

from __future__ import annotations

import os
from contextlib import suppress
from pathlib import Path

from seatplan.files.changing import with_value_at
from seatplan.files.errors import InputError, Problem
from seatplan.files.library import is_path
from seatplan.files.library_names import LIBRARY_KINDS, LibraryKind, number_of, number_of_file, numbered
from seatplan.files.library_text import document_in, references
from seatplan.files.own_library import OwnLibrary, State
from seatplan.files.reading import kind_of, read
from seatplan.files.versions import Changed, version_of
from seatplan.frozen import frozen
from seatplan.message import said

from .days import today
from .misasked import Misasked

__all__ = ["LIBRARY_KINDS", "Changed", "Entry", "Held", "LibraryKind", "Shelf", "State", "shelf"]

#: what the keys of a file say it is, where that is called otherwise in a library
_KINDS: dict[str, LibraryKind] = {"vehicle": "vehicle", "restraint": "restraint", "trip": "trip", "profile": "rules"}


@frozen
class Entry:
    """One file of the library. ``title``: what it calls itself; ``version``: empty where it cannot be read; ``state``:
    whether its text reads; ``conflicts``: its conflict copies, by the beginning of their hashes."""

    number: str
    kind: LibraryKind
    title: str
    version: str
    state: State
    conflicts: tuple[str, ...] = ()


@frozen
class Held:
    """A file that was read: where it lies, its text, and the version that this is."""

    number: str
    kind: LibraryKind
    path: str
    text: str
    version: str


def shelf(folder: Path | str) -> Shelf:
    """The library in a folder. Raises InputError where there is no such folder."""
    return Shelf(OwnLibrary(str(folder)))


class Shelf:
    """A library as a face has it."""

    def __init__(self, library: OwnLibrary) -> None:
        self._library = library
        self.folder = library.folder

    def listing(self, kind: LibraryKind | None = None) -> tuple[Entry, ...]:
        """All that it holds, or that of one kind, by number. Raises InputError where the folder cannot be read."""
        return tuple(Entry(one.number, one.kind, one.title, one.version, one.state, one.conflicts)
                     for one in self._library.listing(LIBRARY_KINDS if kind is None else (kind,)).kept)

    def held(self, number: str, kind: LibraryKind | None = None) -> Held:
        """A file by its number. Raises Misasked for a number that there is not, or is not of the ``kind``; InputError
        where it cannot be read, or is a trip that names a file outside of the folder."""
        own = number_of(number)
        if own is None or kind not in (None, own.kind):
            raise Misasked("number", said("there is nothing of that number here"), found=number[:40])
        path = str(self._library.folder / own.file)
        found = self._library.read(number)
        self._library.asked(number)
        return Held(number, own.kind, path, found.text, found.version)

    def create(self, kind: LibraryKind, text: str) -> Held:
        """Keep a new text under the next number of its kind; only its owner may read the file. Raises InputError,
        Unwritten."""
        made = self._library.create(kind, text)
        return Held(made.number, kind, str(self._library.folder / numbered(made.number).file), made.text, made.version)

    def save(self, number: str, text: str, expected: str, *, keep_conflict: bool = False) -> Held:
        """Replace a text of which a version was read. Raises Changed with both texts, InputError, Unwritten; then
        nothing was written but, with ``keep_conflict``, a conflict copy."""
        own = numbered(number)
        version = self._library.save(number, text, expected, keep_conflict=keep_conflict)
        return Held(number, own.kind, str(self._library.folder / own.file), text, version)

    def remove(self, number: str, expected: str | None = None) -> None:
        """Remove a file with its undo, its conflict copies and what the index knows; of any version where none is
        ``expected``. Raises Changed, InputError, Unwritten."""
        self._library.remove(number, expected or self._library.read(number).version)

    def reference(self, number: str) -> str:
        """How a trip of this folder names a file of it."""
        return numbered(number).file

    def named(self, reference: str, kind: LibraryKind) -> Held | None:
        """The file that a trip of this folder names so; None where that is none of the library's of that kind. Raises
        InputError where it cannot be read."""
        own = number_of_file(reference)
        if own is None or own.kind != kind or not os.path.lexists(self.folder / own.file):
            return None
        return self.held(str(own))

    def conflict(self, number: str, short: str) -> Held:
        """The text of a conflict copy. Raises InputError."""
        own, found = numbered(number), self._library.conflict(number, short)
        return Held(number, own.kind, str(self._library.folder / own.conflict(short)), found.text, found.version)

    def drop_conflict(self, number: str, short: str) -> None:
        """Remove a conflict copy. Raises InputError, Unwritten."""
        self._library.drop_conflict(number, short)

    def others(self) -> int:
        """How many YAML files of the folder carry other names than numbers."""
        return len(self._library.listing(()).others)

    def take_in(self) -> tuple[str, ...]:
        """Copy the files of other names that are ours under numbers, with the references of trips to each other's
        copies; the files themselves stay as they are. The new numbers: what the library holds word for word is not
        copied again. Raises InputError, Unwritten."""
        texts = self._without_number()
        there = {(one.kind, one.version): one.number for one in self.listing() if one.version}
        made: dict[str, str] = {}
        new: list[str] = []
        problems: list[Problem] = []
        for name in sorted(texts, key=lambda name: (texts[name][0] == "trip", name)):
            kind, text = texts[name][0], self._with_copies(*texts[name], name, made)
            known = there.get((kind, version_of(text.encode())))
            try:
                made[name] = known or self.create(kind, text).number
            except InputError as error:
                problems += error.problems
            else:
                new += [] if known else [made[name]]
        if problems and not new:
            raise InputError(problems)
        return tuple(new)

    def _without_number(self) -> dict[str, tuple[LibraryKind, str]]:
        """The files of other names that are ours, by name: kind and text."""
        texts: dict[str, tuple[LibraryKind, str]] = {}
        for name in self._library.listing(()).others:
            with suppress(InputError):
                kind = _KINDS.get(kind_of(read(self.folder / name, today(), "any")))
                if kind is not None:
                    texts[name] = kind, (self.folder / name).read_text(encoding="utf-8-sig")
        return texts

    def _with_copies(self, kind: LibraryKind, text: str, name: str, made: dict[str, str]) -> str:
        """The text of a file with the copies that were ``made`` in place of the files that it names."""
        if kind != "trip":
            return text
        for loc, _, ref in references(document_in("trip", text, name).data):
            if is_path(ref) and Path(ref).name in made and Path(ref).parent == Path():
                text = with_value_at(text, loc, self.reference(made[Path(ref).name]))
        return text
