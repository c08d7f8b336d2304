"""What the files of a library folder are called: each by its library number, such as ``trip-7``, and nothing else.

The name of the file is its number. So a number says no name of anybody, stays when the folder is copied, synchronised
or restored, needs no list beside the files that could be wrong about them, and every other program sees it. Numbers are
given one after the other within a kind; which were ever given is noted when a file is removed, so that an address that
somebody kept never leads to another family.
"""

from __future__ import annotations

import os
import re
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path
from typing import Literal, get_args

from seatplan.message import said

from .errors import InputError, Problem, brief
from .reading import read
from .writer import place_of, write

LibraryKind = Literal["vehicle", "restraint", "trip", "rules", "checkup"]
LIBRARY_KINDS: tuple[LibraryKind, ...] = get_args(LibraryKind)
#: notes the highest numbers that were ever given; only removing reads more from it than the files themselves say
NOTED = ".seatplan-library.yaml"
#: letters of the hash in the name of a conflict copy
SHORT = 8

_KIND = "|".join(LIBRARY_KINDS)
_NUMBER = re.compile(rf"({_KIND})-([1-9][0-9]{{0,5}})")
_FILE = re.compile(rf"({_KIND})-([1-9][0-9]{{0,5}})\.(yaml|html)")
_CONFLICT = re.compile(rf"({_KIND})-([1-9][0-9]{{0,5}})\.conflict-([0-9a-f]{{{SHORT}}})\.yaml")
#: whatever lies beside a file and belongs to it: what it was before, what a run that was cut off left behind
_BELONGS = re.compile(rf"\.*({_KIND})-([1-9][0-9]{{0,5}})\..*", re.DOTALL)


@dataclass(frozen=True, slots=True, order=True)
class Number:
    """A library number: its kind, and which of that kind."""

    kind: LibraryKind
    count: int

    def __str__(self) -> str:
        return f"{self.kind}-{self.count}"

    @property
    def file(self) -> str:
        """The name of its file. A checkup is a page."""
        return f"{self}.html" if self.kind == "checkup" else f"{self}.yaml"

    def conflict(self, short: str) -> str:
        """The name of a conflict copy, by the beginning of the hash of its text."""
        return f"{self}.conflict-{short}.yaml"


def number_of(text: str) -> Number | None:
    """A library number as it is written, ``trip-7``; None for anything else, whatever it is."""
    found = _NUMBER.fullmatch(text)
    return _number(found) if found else None


def numbered(text: str) -> Number:
    """The same. Raises InputError for what is no library number."""
    found = number_of(text)
    if found is None:
        raise InputError([Problem("", 0, 0, said('"{text}" is no library number; expected one such as trip-7',
                                                 text=brief(text)), found=text)])
    return found


def number_of_file(name: str) -> Number | None:
    """The number of a file by its name; None for any other file."""
    found = _FILE.fullmatch(name)
    number = _number(found) if found else None
    return number if number is not None and number.file == name else None


def conflict_of_file(name: str) -> tuple[Number, str] | None:
    """Whose conflict copy a file is, and the beginning of its hash; None for any other file."""
    found = _CONFLICT.fullmatch(name)
    return (_number(found), found[3]) if found else None


def belonging(names: Iterable[str], number: Number) -> list[str]:
    """Of the names of a folder, those of files that belong to a number, its own one left out."""
    return sorted(name for name in names if name != number.file
                  and (found := _BELONGS.fullmatch(name)) and _number(found) == number)


def next_number(folder: Path, kind: LibraryKind) -> Number:
    """The first number of a kind that was never given, as far as the folder shows. Raises OSError."""
    given = [found.count for name in os.listdir(folder)
             if (match := _BELONGS.fullmatch(name)) and (found := _number(match)).kind == kind]
    return Number(kind, 1 + max([*given, _noted(folder).get(kind, 0)], default=0))


def note_given(folder: Path, number: Number) -> None:
    """Note that a number was given, before its file goes. Raises Unwritten."""
    noted = _noted(folder)
    if number.count <= noted.get(number.kind, 0):
        return
    noted[number.kind] = number.count
    lines = [f"{kind}: {noted[kind]}\n" for kind in LIBRARY_KINDS if kind in noted]
    write(place_of(str(folder / NOTED)), "".join(["# The highest number that was ever given here, of each kind. "
                                                  "None is given twice.\n", *lines]), private=True)


def _noted(folder: Path) -> dict[str, int]:
    """What was noted; nothing where it cannot be read."""
    path = folder / NOTED
    try:
        data = read(path).data if not path.is_symlink() else {}
    except InputError:
        return {}
    return {kind: count for kind in LIBRARY_KINDS if isinstance(count := data.get(kind), int) and 0 < count < 10 ** 6}


def _number(match: re.Match[str]) -> Number:
    return Number(next(kind for kind in LIBRARY_KINDS if kind == match[1]), int(match[2]))
