"""A folder of one's own files, vehicles, restraints, trips, checkups and rules, as the files that all commands read.

The files are the whole truth: whatever writes them, this module, a command or an editor, they are listed as they are.
They are known by their numbers alone (``library_names.py``), no link is followed, and whoever writes says which version
was read.
"""

from __future__ import annotations

import contextlib
import os
import stat
from collections.abc import Sequence
from pathlib import Path
from typing import Literal, get_args

from seatplan.frozen import frozen
from seatplan.message import Figure, Name, said

from .errors import InputError, Problem, brief
from .library import Kind, find, names
from .library_index import Index, Row
from .library_names import (
    LIBRARY_KINDS,
    SHORT,
    LibraryKind,
    Number,
    belonging,
    conflict_of_file,
    next_number,
    note_given,
    number_of,
    number_of_file,
    numbered,
)
from .library_text import document_in, most_bytes, references, refuse_outside, refuse_unfit, state_of, title_of
from .reading import decoded
from .undo import forgotten, replace
from .versions import Changed, version_of
from .writer import alone_in, held, place_of, remove, write

#: ``link``: no file, or a link, which is not followed; ``unreadable``: the system does not let it be read, or it is
#: longer than a file may be
State = Literal["reads", "wrong", "link", "unreadable"]
#: so many files a library holds, and so many conflict copies each
MOST_FILES, MOST_CONFLICTS = 5000, 20


@frozen
class Kept:
    """One file of the library. ``title``: what it calls itself, empty where it does not; ``version``: empty where it
    cannot be read; ``conflicts``: its conflict copies, by the beginning of their hashes."""

    kind: LibraryKind
    number: str
    title: str
    version: str
    state: State
    conflicts: tuple[str, ...]


@frozen
class Listing:
    """What a library holds, by kind and number; ``others``: YAML files that have no number, which are left alone."""

    kept: tuple[Kept, ...]
    others: tuple[str, ...]


@frozen
class Stored:
    """The text of a file and its version. ``own``: it is in the library, and not bundled."""

    kind: LibraryKind
    number: str
    text: str
    version: str
    own: bool


class OwnLibrary:
    """A library folder. Raises InputError where there is no such folder."""

    def __init__(self, folder: str) -> None:
        try:
            there = os.stat(folder).st_mode
            self.folder = Path(os.path.realpath(folder))
        except (OSError, ValueError):
            raise InputError([Problem(folder, 0, 0, said("there is no such folder"))]) from None
        if not stat.S_ISDIR(there):
            raise InputError([Problem(folder, 0, 0, said("this is no folder; expected a folder for a library"))])
        self._index = Index(self.folder)

    def listing(self, kinds: Sequence[LibraryKind] = LIBRARY_KINDS) -> Listing:
        """Everything there is of some kinds; no other file is opened. Raises InputError where the folder cannot be
        looked into."""
        inside = self._names()
        numbers = sorted((one for one in map(number_of_file, inside) if one is not None and one.kind in kinds),
                         key=lambda one: (LIBRARY_KINDS.index(one.kind), one.count))
        known = {key: state for key, state in self._index.known().items() if key[0] in kinds}
        conflicts: dict[Number, list[str]] = {}
        for number, short in filter(None, map(conflict_of_file, inside)):
            conflicts.setdefault(number, []).append(short)
        kept: list[Kept] = []
        rows: list[Row] = []
        for number in numbers:
            raw, state, mtime = self._looked_at(number.kind, number.file)
            digest, title = "", ""
            if raw is None and not os.path.lexists(self.folder / number.file):
                continue                                # it was removed meanwhile
            if raw is not None:
                digest, title = version_of(raw), title_of(number.kind, raw)
                told = known.get((number.kind, digest))
                state = "reads" if told == "reads" else "wrong" if told == "wrong" else state_of(number.kind, raw)
                rows.append(Row(str(number), number.kind, state, digest, mtime))
            kept.append(Kept(number.kind, str(number), title, digest, state, tuple(conflicts.get(number, ()))))
        if {(row.kind, row.hash): row.state for row in rows} != known:
            self._index.keep(rows, kinds)
        return Listing(tuple(kept), tuple(name for name in inside if _is_other(name)))

    def read(self, number: str) -> Stored:
        """A text by its library number, or by a bundled name. Raises InputError where there is none, or it cannot be
        read."""
        own = number_of(number)
        if own is None:
            return _bundled(number)
        raw = self._raw(own)
        return Stored(own.kind, number, self._text(own, raw), version_of(raw), True)

    def asked(self, number: str) -> str:
        """The path of a file for a question to the app, which reads what it names, too. Raises InputError where it
        cannot be read, or names what is not in the library."""
        own = numbered(number)
        raw = self._raw(own)
        path = str(self.folder / own.file)
        if own.kind != "checkup":
            refuse_outside(document_in(own.kind, decoded(raw, path), path), self.folder)
        return path

    def create(self, kind: LibraryKind, text: str) -> Stored:
        """Keep a new text under the next number of its kind; only its owner may read the file. Raises InputError where
        it is not to be kept, Unwritten."""
        text = text.replace("\r\n", "\n")
        with alone_in(str(self.folder)):
            inside = self._names()
            if len(inside) >= MOST_FILES:
                raise InputError([Problem(str(self.folder), 0, 0, said(
                    "{n} files are in this library; expected at most {most}", n=Figure(len(inside)),
                    most=Figure(MOST_FILES)))])
            number = next_number(self.folder, kind)
            path = str(self.folder / number.file)
            refuse_unfit(kind, text, path, self.folder)
            write(place_of(path), text, new=True, private=True)
        return Stored(kind, str(number), text, version_of(text.encode()), True)

    def save(self, number: str, text: str, expected: str, *, keep_conflict: bool = False) -> str:
        """Replace a text of which the version ``expected`` was read; what it was can be taken back. Line ends stay as
        the file has them. The version that it has then.

        Raises Changed where it is another version, with both texts; with ``keep_conflict`` the one that was to be
        written is kept beside it first. Raises InputError where the text is not to be kept, Unwritten; then nothing is
        written.
        """
        own = numbered(number)
        path = str(self.folder / own.file)
        was = self._raw(own)
        if own.kind == "checkup":
            raise InputError([Problem(path, 0, 0, said("a checkup is never written over"))])
        refuse_unfit(own.kind, text, path, self.folder)
        try:
            return replace(path, _as_it_ends(text, was), expected, [said("the text as a whole")])
        except Changed as error:
            if keep_conflict:
                error.kept = self._keep_conflict(own, error.wanted)
            raise

    def remove(self, number: str, expected: str) -> None:
        """Remove a file, what it was before, its conflict copies, and whatever else is known of it.

        Raises Changed where it is another version, InputError where it is not there or a trip names it, Unwritten; then
        the file is as it was.
        """
        own = numbered(number)
        path = str(self.folder / own.file)
        self._raw(own)
        with held(path) as one:
            if version_of(one.raw) != expected:
                raise Changed(path, expected, one.raw, b"")
            self._refuse_named(own)
            place_of(path)
            note_given(self.folder, own)
            forgotten(path)
            remove(path, [self.folder / name for name in belonging(self._names(hidden=True), own)])
        self._index.forget(number)

    def conflict(self, number: str, short: str) -> Stored:
        """The text of a conflict copy. Raises InputError."""
        own = numbered(number)
        raw = self._raw(own, own.conflict(_short(short)))
        return Stored(own.kind, number, decoded(raw, own.conflict(short)), version_of(raw), True)

    def drop_conflict(self, number: str, short: str) -> None:
        """Remove a conflict copy. Raises InputError, Unwritten."""
        own = numbered(number)
        name = own.conflict(_short(short))
        self._raw(own, name)
        remove(str(self.folder / name))

    # --- how it lies there

    def _names(self, *, hidden: bool = False) -> list[str]:
        """The names of the folder, sorted; without those that begin with a dot. Raises InputError."""
        try:
            return sorted(name for name in os.listdir(self.folder) if hidden or not name.startswith("."))
        except OSError as error:
            raise InputError([Problem(str(self.folder), 0, 0, said(
                "this folder cannot be looked into: {reason}", reason=(error.strerror or "").lower()))]) from None

    def _looked_at(self, kind: LibraryKind, name: str) -> tuple[bytes | None, State, int]:
        """The bytes of a file, what is wrong where there are none, when it was changed. No link is followed."""
        flags = os.O_RDONLY | getattr(os, "O_NOFOLLOW", 0) | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0)
        path, most = self.folder / name, most_bytes(kind)
        try:
            if not stat.S_ISREG(os.lstat(path).st_mode):
                return None, "link", 0
            with open(os.open(path, flags), "rb") as file:
                there = os.fstat(file.fileno())
                raw = file.read(most + 1) if stat.S_ISREG(there.st_mode) else None
        except OSError:
            return None, "unreadable", 0
        if raw is None or len(raw) > most:
            return None, "unreadable", 0
        return raw, "reads", there.st_mtime_ns

    def _raw(self, number: Number, name: str = "") -> bytes:
        """The bytes of a file, or of another one that belongs to its number. Raises InputError."""
        name = name or number.file
        path = self.folder / name
        raw, state, _ = self._looked_at(number.kind, name)
        if raw is not None:
            return raw
        if not os.path.lexists(path):
            raise InputError([Problem("", 0, 0, said("{name} is not in this library", name=Name(name)),
                                      found=name)])
        most = Figure(most_bytes(number.kind))
        raise InputError([Problem(str(path), 0, 0, said("this is a link or no file; it is not read")
                                  if state == "link" else said("this file cannot be read, or is longer than {most} "
                                                               "bytes", most=most))])

    def _text(self, number: Number, raw: bytes) -> str:
        if number.kind == "checkup":
            return raw.decode(errors="replace")
        return decoded(raw, str(self.folder / number.file))

    def _refuse_named(self, number: Number) -> None:
        """Raises InputError where a trip of the folder names a file."""
        named_by = []
        for name in self._names() if number.kind not in ("trip", "checkup") else ():
            raw = self._looked_at("trip", name)[0] if name.endswith(_YAML) and conflict_of_file(name) is None else None
            with contextlib.suppress(InputError):
                # a name can be written with escapes, and is only read for certain where it is parsed
                if raw is not None and (number.file.encode() in raw or b"\\" in raw) and any(
                        ref == number.file for _, _, ref in references(
                        document_in("trip", decoded(raw, ""), "").data)):
                    named_by.append(name)
        if named_by:
            raise InputError([Problem(str(self.folder / number.file), 0, 0, said(
                "{trips} would lack it; have them name another one, or remove them first",
                trips=Name(", ".join(named_by))))])

    def _keep_conflict(self, number: Number, text: str) -> str:
        """Keep a text beside the file that it was meant for. Its name. Raises InputError, Unwritten."""
        name = number.conflict(version_of(text.encode())[:SHORT])
        path = str(self.folder / name)
        with alone_in(str(self.folder)):
            if os.path.lexists(path):
                return name                             # by its name it holds this text
            if sum(1 for one in self._names() if (found := conflict_of_file(one)) and found[0] == number) >= (
                    MOST_CONFLICTS):
                raise InputError([Problem(path, 0, 0, said(
                    "{n} conflict copies of this file are kept already; look at them first", n=MOST_CONFLICTS))])
            write(place_of(path), text, new=True, private=True)
        return name


#: how the names of files end that other programs read
_YAML = (".yaml", ".yml")


def _short(text: str) -> str:
    """The beginning of a hash. Raises InputError for anything else."""
    if len(text) != SHORT or not set(text) <= set("0123456789abcdef"):
        raise InputError([Problem("", 0, 0, said('"{text}" is no conflict copy', text=brief(text)), found=text)])
    return text


def _is_other(name: str) -> bool:
    return name.endswith(_YAML) and number_of_file(name) is None and conflict_of_file(name) is None


def _as_it_ends(text: str, was: bytes) -> bytes:
    """A text with the line ends and the mark of the byte order of the file that it goes into: a page sends its own."""
    text = text.replace("\r\n", "\n")
    if b"\r\n" in was:
        text = text.replace("\n", "\r\n")
    return (_BOM if was.startswith(_BOM) else b"") + text.encode()


_BOM = b"\xef\xbb\xbf"


def _bundled(name: str) -> Stored:
    """What is bundled under a name. Raises InputError."""
    kinds: tuple[Kind, ...] = get_args(Kind)
    kind = next((kind for kind in kinds if name in names(kind)), None)
    if kind is None:
        raise InputError([Problem("", 0, 0, said('"{text}" is neither a library number, such as trip-7, nor a bundled '
                                                 'name', text=brief(name)), found=name)])
    raw = find(kind, name).read_bytes()
    return Stored(kind, name, decoded(raw, name), version_of(raw), False)
