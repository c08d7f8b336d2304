"""Delete all that the library holds of a family: its files, what they were before, conflict copies, checkups, and the
documents of its trips that lie in the folder."""

from __future__ import annotations

import os
import re
from collections.abc import Iterable, Iterator
from datetime import date
from pathlib import Path

from seatplan.files.checkups import opened
from seatplan.files.errors import InputError
from seatplan.files.reading import parse
from seatplan.files.undo import files_of
from seatplan.frozen import frozen

from .checking_day import take_off, the_day
from .filed_checkups import filed_of
from .folder_documents import documents_of
from .misasked import Misasked
from .own_folder import delete_file
from .shelf import Changed, Held, Shelf, shelf

#: what is kept beside a file of a name: what it was before, the text of whoever came second, and what a write that
#: was stopped left over
_BESIDE = ("seatplan-[a-z]+", "conflict", "tmp")


@frozen
class ToErase:
    """What goes with a family: ``numbers`` of its trips, ``own``: numbers of cars and restraints that no other trip of
    the library names; ``shared``: those that another one does, which stay; ``checkups``: how many saved ones;
    ``documents``: of its trips, by their names in the folder; ``others``: files there that stay, for nobody can tell
    whose they are."""

    numbers: tuple[str, ...]
    own: tuple[str, ...]
    shared: tuple[str, ...]
    checkups: int
    documents: tuple[str, ...] = ()
    others: tuple[str, ...] = ()


def to_erase(library: Path, number: str) -> ToErase:
    """What deleting a family would delete. Raises Misasked where there is no such trip."""
    numbers = _numbers(library, number)
    box = shelf(library)
    named, elsewhere = _named(box, numbers), _named(box, _others(box, numbers))
    parts = [one.number for kind in ("vehicle", "restraint") for one in box.listing(kind)]
    used = [part for part in parts if _real(box.held(part).path) in named]
    own = tuple(part for part in used if _real(box.held(part).path) not in elsewhere)
    filed = {page for one in numbers for page in filed_of(library, one)}
    found = documents_of(box.folder, map(box.held, numbers), map(box.held, _others(box, numbers)))
    going = {one for number in (*numbers, *own) for one in beside(Path(_real(box.held(number).path)))}
    return ToErase(numbers, own, tuple(part for part in used if part not in own), len(filed),
                   *(tuple(str(path.relative_to(box.folder)) for path in paths if path not in going | filed)
                     for paths in (found.documents, found.others)))


def erase(library: Path, number: str) -> ToErase:
    """Delete a family, at once and for good. Raises Misasked where there is no such trip, Unwritten where something
    cannot be deleted; then what is left can be deleted again by the same."""
    found = to_erase(library, number)
    box = shelf(library)
    shared = [_real(box.held(one).path) for one in found.shared]
    written = [box.folder / name for name in found.documents]
    hashes = {one: _hashes([*filed_of(library, one), *(written if one == number else ())]) for one in found.numbers}
    for page in (*(page for one in found.numbers for page in filed_of(library, one)), *written):
        delete_file(page)             # first: the trips say which they are
    for one in (*found.numbers, *found.own):          # no file goes that a trip still names
        _remove(box, one)
    for path in shared:
        _forget_beside(path)          # what it was before tells whose trip was written with it
    if the_day(library) is not None:
        for one in found.numbers:
            take_off(library, one, hashes[one])
    return found


def erase_due(library: Path, on: date) -> tuple[str, ...]:
    """Delete the families whose time is over by the rule of the day; their numbers."""
    day = the_day(library)
    erased: list[str] = []
    for number in () if day is None else day.due(on):
        if number in erased:
            continue
        try:
            erased += erase(library, number).numbers
        except Misasked:                   # somebody deleted the file by hand
            take_off(library, number, ())
            erased.append(number)
    return tuple(erased)


def _numbers(library: Path, number: str) -> tuple[str, ...]:
    """The trips of a family that the library still has, the one that was asked for among them."""
    box = shelf(library)
    box.held(number)
    day = the_day(library)
    there = {one.number for one in box.listing("trip")}
    linked = [one.number for one in day.family(number)] if day is not None else []
    return tuple(one for one in dict.fromkeys((number, *linked)) if one in there or one == number)


def _others(box: Shelf, numbers: Iterable[str]) -> list[str]:
    return [one.number for one in box.listing("trip") if one.number not in numbers]


def _named(box: Shelf, numbers: Iterable[str]) -> set[str]:
    """The files that trips name, as real paths, their own left out."""
    found: set[str] = set()
    for number in numbers:
        held = box.held(number)
        found |= set(_files(held)) - {_real(held.path)}
    return found


def _files(held: Held) -> list[str]:
    try:
        data = parse(held.text, held.path).data
        return files_of(held.path, data if isinstance(data, dict) else {})
    except InputError:
        return [held.path]


def _remove(box: Shelf, number: str) -> None:
    for last in (False, True):
        held = box.held(number)
        path = _real(held.path)
        try:
            box.remove(number, held.version)
        except Changed:                    # somebody wrote at this moment: it goes all the same
            if last:
                raise
        else:
            break
    _forget_beside(path)


def _forget_beside(path: str) -> None:
    for one in beside(Path(path)):
        delete_file(one)


def beside(path: Path) -> Iterator[Path]:
    """What is kept beside a file: ``.NAME.seatplan-undo``, ``STEM.conflict-1a2b3c.yaml`` and the like."""
    stem, name = re.escape(path.stem), re.escape(path.name)
    kinds = "|".join(_BESIDE)
    pattern = re.compile(rf"\.?(?:{stem}|{name})[.~](?:.*[.-])?(?:{kinds})(?:[.-].*)?")
    for one in path.parent.iterdir():
        if one.name != path.name and pattern.fullmatch(one.name) and one.is_file():
            yield one


def _hashes(pages: Iterable[Path]) -> tuple[str, ...]:
    """The hashes of those pages that are checkups; of one that is damaged nothing is known any more."""
    found = []
    for page in pages:
        try:
            found.append(opened(str(page))[1])
        except InputError:
            continue
    return tuple(found)


def _real(path: str) -> str:
    return os.path.realpath(path)
