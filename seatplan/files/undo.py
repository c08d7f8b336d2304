"""What files of one's own were before something was written into them, so that it can be taken back.

Beside each file lies another one, ``.NAME.seatplan-undo``: for each of the last steps what the file was before, and a
hash of what it was after. It is written before the file is, so whatever stops the program, a step that stands there
and never came to the file is known by the file being what it was before. It names the files of a step as seen from its
own folder, so that in a folder that was moved or copied the files there are the ones that are taken back.

It holds a hash of its steps, so that one that was damaged is never taken for none, written over or given back.
"""

from __future__ import annotations

import json
import os
from collections.abc import Mapping, Sequence
from dataclasses import replace as altered
from hashlib import sha256
from pathlib import Path
from typing import Any

from seatplan.frozen import frozen
from seatplan.message import said

from .errors import InputError, Problem, Unwritten
from .library import is_path
from .versions import Changed, version_of
from .writer import alone_at, held, place_of, write

#: what a step says: how many came before it, what the file was, a hash of what it was after, and of the whole step its
#: files and what it wrote
_STEP = {"step", "before", "after", "files", "names"}
#: steps that can be taken back, one after the other
MOST_STEPS = 20


@frozen
class Change:
    """One file of a step: its path, what it holds, and what it is to hold."""

    file: str
    raw: bytes
    new: bytes


@frozen
class TakenBack:
    """The files that are as they were, and what had been written into them."""

    files: tuple[str, ...]
    names: tuple[str, ...]


def files_of(trip: str, data: Mapping[str, Any], vehicle: str | None = None) -> list[str]:
    """The files of a trip that can have been written, its own one first. ``data``: what it holds; ``vehicle``: the
    file of another vehicle."""
    refs = [vehicle or data.get("vehicle"), *(item.get("use") if isinstance(item, dict) else item
                                              for item in data.get("restraints") or [])]
    beside = Path(trip).parent
    paths = [ref if (vehicle and not k) or os.path.isabs(ref) else str(beside / ref) for k, ref in enumerate(refs)
             if isinstance(ref, str) and is_path(ref)]
    return list(dict.fromkeys(os.path.realpath(path) for path in (trip, *paths)))


def write_together(changes: Sequence[Change], names: Sequence[str], among: Sequence[str]) -> None:
    """Write all files of one step, and what they were before beside them; ``names`` says what the step wrote,
    ``among`` are all files whose steps it comes after.

    Raises Changed where one holds no longer what was read, InputError where what is kept of it is damaged, Unwritten
    where it cannot be written; then each is as it was.
    """
    with alone_at(change.file for change in changes):
        # each is read once, whatever else it is asked for: it holds the file twenty times
        journals = {file: _journal(file) for file in dict.fromkeys((*among, *(change.file for change in changes)))}
        step = 1 + max((entry["step"] for entries in journals.values() for entry in entries), default=0)
        together = [os.path.realpath(change.file) for change in changes]
        begun: list[Change] = []
        try:
            for change in changes:
                with held(change.file) as one:
                    if one.raw != change.raw:
                        raise Changed(change.file, version_of(change.raw), one.raw, change.new)
                    begun.append(change)
                    _note(change, journals[change.file], {"step": step, "files": together, "names": list(names)})
                    one.replace(change.new)
        except BaseException:
            for change in begun:
                if Path(change.file).read_bytes() == change.new:
                    with held(change.file) as one:
                        one.replace(change.raw)
                _forget(change.file, step)
            raise


@frozen
class Last:
    """The step that would be taken back next: what it wrote, and each of its files with its text before and now."""

    names: tuple[str, ...]
    texts: tuple[tuple[str, str, str], ...]


def last_step(files: Sequence[str]) -> Last | None:
    """What ``take_back`` would take back; None where there is nothing, or where a file was changed since."""
    newest = max((entry for file in files for entry in _journal(file)[-1:]), key=lambda entry: entry["step"],
                 default=None)
    if newest is None:
        return None
    mine = {file: next((entry for entry in _journal(file) if entry["step"] == newest["step"]), None)
            for file in newest["files"]}
    texts = []
    for file, entry in mine.items():
        if entry is None or not _is_after(file, entry):
            return None
        texts.append((file, entry["before"], Path(file).read_bytes().decode("utf-8", "replace")))
    return Last(tuple(newest["names"]), tuple(texts))


def replace(file: str, raw: bytes, expected: str, names: Sequence[str]) -> str:
    """Write a whole file of which the version ``expected`` was read; ``names`` says what the step wrote. The version
    that it has then; a file that stays as it is makes no step.

    Raises Changed where it is another version, InputError where it cannot be read, Unwritten; then it is as it was.
    """
    with held(file) as one:
        if version_of(one.raw) != expected:
            raise Changed(file, expected, one.raw, raw)
        if raw != one.raw:
            write_together([Change(file, one.raw, raw)], names, [file])
        return version_of(raw)


def forgotten(file: str) -> None:
    """Forget every step of a file that goes: in its own journal, and in those of the files that were written with it,
    for a step can only be taken back whole. The folders are locked already, or are of other files. Raises Unwritten."""
    for entry in _journal(file):
        for other in entry["files"]:
            if other != os.path.realpath(file):
                with alone_at([other] if os.path.exists(other) else []):
                    _forget(other, entry["step"])
    _journal_of(file).unlink(missing_ok=True)


def take_back(name: str, files: Sequence[str]) -> TakenBack:
    """Give the files of the last step that was written into any of ``files`` the bytes that they had before.

    Raises InputError where nothing was written, told of ``name``, or where a file was changed since or what is kept of
    it is damaged; then none is touched.
    """
    with alone_at(files):
        return _taken_back(name, files)


def _taken_back(name: str, files: Sequence[str]) -> TakenBack:
    while True:
        newest = max((entry for file in files for entry in _journal(file)[-1:]), key=lambda entry: entry["step"],
                     default=None)
        if newest is None:
            raise InputError([Problem(name, 0, 0, said("nothing to take back: nothing was written into it"))])
        step = int(newest["step"])
        mine = {file: next((entry for entry in _journal(file) if entry["step"] == step), None)
                for file in newest["files"]}
        undone = [file for file, entry in mine.items() if _is_before(file, entry)]
        if len(undone) < len(mine):
            break
        for file in mine:                              # the program was stopped before it wrote, or after it took back
            _forget(file, step)
    wrong = [file for file, entry in mine.items() if file not in undone and not _is_after(file, entry)]
    if wrong:
        raise InputError([Problem(file, 0, 0, said("this file was changed since; nothing was taken back, so that no "
                                                   "change is lost: take it out by hand")) for file in wrong])
    for file, entry in mine.items():
        if file not in undone and entry is not None:
            with held(file) as one:
                one.replace(entry["before"].encode())
    for file in mine:
        _forget(file, step)
    return TakenBack(tuple(mine), tuple(newest["names"]))


def texts_before(file: str) -> list[str]:
    """What a file was before each of the steps that are kept of it, the oldest first. Raises InputError where what is
    kept is damaged."""
    return [str(entry["before"]) for entry in _journal(file)]


def _is_after(file: str, entry: dict[str, Any] | None) -> bool:
    """Whether a file is, byte by byte, what it was when the step was written."""
    try:
        return entry is not None and version_of(Path(file).read_bytes()) == entry["after"]
    except OSError:
        return False


def _is_before(file: str, entry: dict[str, Any] | None) -> bool:
    """Whether it is what it was before: the step was never written into it, or is taken back already."""
    try:
        return entry is None or Path(file).read_bytes() == entry["before"].encode()
    except OSError:
        return False


def _journal_of(file: str) -> Path:
    """Where what a file was before is kept."""
    real = Path(os.path.realpath(file))
    return real.with_name(f".{real.name}.seatplan-undo")


def _journal(file: str) -> list[dict[str, Any]]:
    """The steps that were written into a file. Raises InputError where what is kept of them is damaged."""
    try:
        raw = _journal_of(file).read_bytes()
    except FileNotFoundError:
        return []
    except OSError as error:
        raise InputError([Problem(str(_journal_of(file)), 0, 0, said(
            "this file cannot be read: {reason}", reason=(error.strerror or str(error)).lower()))]) from None
    try:
        found = json.loads(raw)
        whole = found["sha256"] == _hash_of(raw, found["steps"]) and set.intersection(
            *map(set, found["steps"])) >= _STEP
    except (ValueError, TypeError, LookupError, RecursionError):
        whole = False
    if not whole:
        raise InputError([Problem(str(_journal_of(file)), 0, 0, said(
            "what is kept here for undo is damaged; nothing was written or taken back; move this file away to go on: "
            "what was written before can then be taken out by hand only"))])
    real = os.path.realpath(file)
    paths = {name: os.path.realpath(os.path.join(os.path.dirname(real), name))
             for one in found["steps"] for name in one["files"]}
    steps = [{**one, "files": [paths[name] for name in one["files"]]} for one in found["steps"]]
    # a step of a file of another name is none of this one
    return [one for one in steps if real in one["files"]]


#: what stands in the file around its steps
_BEFORE_STEPS, _BEHIND_STEPS = '{{"sha256": "{}", "steps": ', "}\n"


def _written(steps: Sequence[Mapping[str, Any]]) -> str:
    """The file that holds these steps."""
    told = json.dumps(steps, sort_keys=True)
    return _BEFORE_STEPS.format(sha256(told.encode()).hexdigest()) + told + _BEHIND_STEPS


def _hash_of(raw: bytes, steps: Sequence[Mapping[str, Any]]) -> str:
    """The hash of the steps of a file: of the very letters where it is as we write it, else of what they say."""
    start, end = len(_BEFORE_STEPS.format("0" * 64)), len(_BEHIND_STEPS)
    own = sha256(raw[start:-end]).hexdigest()
    if raw.startswith(_BEFORE_STEPS.format(own).encode()) and raw.endswith(_BEHIND_STEPS.encode()):
        return own
    return sha256(json.dumps(steps, sort_keys=True).encode()).hexdigest()


def _note(change: Change, before: Sequence[dict[str, Any]], entry: dict[str, Any]) -> None:
    """Keep one more step of a file, behind those that were there ``before``."""
    entries = [*before, {**entry, "after": version_of(change.new), "before": change.raw.decode()}]
    _keep(change.file, entries[-MOST_STEPS:])


def _forget(file: str, step: int) -> None:
    entries = [entry for entry in _journal(file) if entry["step"] != step]
    if entries:
        _keep(file, entries)
    else:
        _journal_of(file).unlink(missing_ok=True)


def _keep(file: str, entries: list[dict[str, Any]]) -> None:
    home = os.path.dirname(os.path.realpath(file))
    seen = {name: os.path.relpath(name, home) for entry in entries for name in entry["files"]}
    told = [{**entry, "files": [seen[name] for name in entry["files"]]} for entry in entries]
    try:
        # its file may be its owner's alone, and what it was is no less so
        write(place_of(str(_journal_of(file))), _written(told), private=True)
    except Unwritten as error:
        raise Unwritten(altered(error.problem, path=file)) from None
