"""Set fields in the files of a trip, each in the one that it stands in, and take that back.

Nothing is written before all that changes reads well: the files by themselves and the trip with them. ``undo`` takes
back what was written last, by whatever command.
"""

from __future__ import annotations

import contextlib
import json
import os
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from difflib import unified_diff
from pathlib import Path
from typing import Any

from seatplan import units
from seatplan.frozen import frozen
from seatplan.message import FieldName, Name, said
from seatplan.model import Trip
from seatplan.model.trip import Copy

from .changing import as_typed, value_at, with_value_at
from .errors import InputError, Problem
from .fieldnames import Target, named
from .library import Kind, find, is_bundled, is_path
from .load import document_of, restraint_from, trip_from, vehicle_from
from .reading import decoded, ours, refuse_endless
from .undo import Change, Last, files_of, last_step, take_back, write_together
from .writer import alone_at, place_of, write
from .yaml_text import CannotPlace

_BOM = b"\xef\xbb\xbf"
#: what a copy of a restraint in a trip says itself
_OF_COPY = tuple(name for name in Copy.model_fields if name not in ("use", "as_", "sure"))


@frozen
class Set:
    """One field that was set: its name as it was given, in which file and line it stands, what it was (None: nothing)
    and is, as the file has it."""

    name: str
    file: str
    line: int
    was: Any
    now: Any


@frozen
class Changed:
    """The trip before and after. ``diff``: what changes in which file, line by line. ``copies``: files that were made
    of bundled ones; ``vehicle``: that of them which the trip does not name itself, to be given beside it; ``trip``:
    that which takes the place of the trip."""

    before: Trip
    after: Trip
    fields: tuple[Set, ...]
    diff: str
    copies: tuple[str, ...] = ()
    vehicle: str | None = None
    trip: str | None = None


@dataclass(slots=True)
class _File:
    """One file that something is set in. ``source``: where it is read; ``into``: where it is written, another place for
    a copy; ``at``: where the vehicle or restraint stands in it."""

    kind: Kind
    source: str
    into: str
    raw: bytes
    text: str
    fields: list[tuple[Target, tuple[str | int, ...], Any, Any]] = field(default_factory=list)

    @property
    def new(self) -> bytes:
        return (_BOM if self.raw.startswith(_BOM) else b"") + self.text.encode()


def set_values(trip: str, wanted: Sequence[str], *, vehicle: str | None = None, copy_to: str | None = None,
               sure: bool = False, write_it: bool = True, today: date | None = None,
               unlikely: Callable[[Trip, Trip], Iterable[str]] = lambda before, after: ()) -> Changed:
    """Set the fields that ``wanted`` names (``OWNER.field=value``) in the files of a trip.

    ``vehicle`` is the file of another vehicle, whose fields are set then. ``copy_to``: where a bundled file is copied
    to, which is never written itself. ``sure``: an unlikely value is so, and stands under ``sure`` as well;
    ``unlikely`` tells what is unlikely about the trip after that was not before. Without ``write_it`` nothing is.
    Raises InputError with everything that is wrong, Unwritten where a file cannot be written, and then none is.
    """
    with _alone(trip, vehicle, today):
        return _set(_Work(trip, vehicle, copy_to, today), wanted, sure, write_it, unlikely)


@contextlib.contextmanager
def _alone(trip: str, vehicle: str | None, today: date | None) -> Iterator[None]:
    """Nobody else of us writes in the folders of a trip's files while they are read, changed and written. Raises
    InputError where the trip cannot be read, Unwritten."""
    named = files_of(trip, _Work(trip, vehicle, None, today).document.data, vehicle) if is_path(trip) else (
        [vehicle] if vehicle and is_path(vehicle) else [])
    with alone_at(file for file in named if os.path.exists(file)):
        yield


def _set(work: _Work, wanted: Sequence[str], sure: bool, write_it: bool,
         unlikely: Callable[[Trip, Trip], Iterable[str]]) -> Changed:
    problems: list[Problem] = []
    for text in wanted:
        try:
            target, value = named(text, work.before)
            work.put(target, value, sure)
        except InputError as error:
            problems += error.problems
    if problems:
        raise InputError(problems)
    after = work.read_again()
    doubts = [] if sure else list(unlikely(work.before, after))
    if doubts:
        raise InputError([Problem("", 0, 0, text, ("set",)) for text in doubts])
    if write_it:
        work.write()
    return work.changed(after)


class _Work:
    """The files of a trip while something is set in them."""

    def __init__(self, trip: str, vehicle: str | None, copy_to: str | None, today: date | None) -> None:
        if trip == "-":
            raise InputError([Problem("stdin", 0, 0, said("standard input cannot be written to; expected the path of a "
                                                          "trip"))])
        self.trip, self.vehicle, self.copy_to, self.today = trip, vehicle, copy_to, today
        self.document = document_of("trip", trip, today)
        self.other = None if vehicle is None else vehicle_from(document_of("vehicle", vehicle, today))
        self.before = trip_from(self.document, self.other, today=today)
        self.files: dict[tuple[Kind, str], _File] = {}
        self.copied: list[tuple[_File, Target]] = []

    def put(self, target: Target, value: str, sure: bool) -> None:
        """Set one field in the text of its file; of a set of keys each by itself, where there is one already."""
        written, typed = as_typed(value)
        file, at = self._file(target)
        if target.of == "restraint" and target.path[0] == "modes" and (
                self.before.restraints[target.number].kind is not None):
            self._over_kind(file, at, target, typed)
            return
        path = (*at, *target.path)
        here = value_at(ours(file.text, file.source, "").data, path)
        if isinstance(typed, dict) and isinstance(here, dict):
            for key, one in typed.items():
                self._put(file, target, (*path, key), _written(one), one)
            return
        if target.height is not None:
            self._at_height(file, target, path, written, typed)
            return
        if target.item is not None:
            key, called = target.item
            inside = target.path[-1]
            number = next(k for k in range(len(path) - 1, -1, -1) if isinstance(path[k], int))
            made = {key: called, str(inside): typed} if number < len(path) - 1 else typed
            self._put(file, target, path[:number + 1], _written(made), made)
            return
        self._put(file, target, path, written, typed)
        if sure and isinstance(path[-1], str):
            self._put(file, target, (*path[:-1], "sure", path[-1]), written, typed)

    def _over_kind(self, file: _File, at: tuple[str | int, ...], target: Target, typed: Any) -> None:
        """Set a field of a mode of a kind: what the file says of it, by its names, stands over what the kind has."""
        record: Any = self.before.restraints[target.number]
        path, steps = list(at), list(target.path)
        while steps:
            step = steps.pop(0)
            here = value_at(ours(file.text, file.source, "").data, path)
            if isinstance(step, str):
                path.append(step)
                record = getattr(record, step, None)
                continue
            record = record[step] if isinstance(record, list) and step < len(record) else None
            own = _own_names(record, target)
            items = here if isinstance(here, list) else []
            k = next((k for k, item in enumerate(items)
                      if isinstance(item, dict) and own.items() <= item.items()), None)
            if k is None:
                inside = _nested(record, steps, typed, target)
                made = {**own, **inside} if isinstance(inside, dict) else inside
                where = (*path, len(items)) if items else tuple(path)
                self._put(file, target, where, _written(made if items else [made]), made if items else [made])
                return
            path.append(k)
        if isinstance(typed, dict):
            for key, one in typed.items():
                self._put(file, target, (*path, key), _written(one), one)
        else:
            self._put(file, target, tuple(path), _written(typed), typed)

    def _put(self, file: _File, target: Target, path: tuple[str | int, ...], written: str, typed: Any,
             before: int | None = None) -> None:
        was = None if before is not None else value_at(ours(file.text, file.source, "").data, path)
        try:
            file.text = with_value_at(file.text, path, written, before)
        except CannotPlace:
            raise InputError([ours(file.text, file.source, "").problem(path, said(
                "nothing was written: {name} cannot be set here without changing the rest; write it by hand: "
                "{key}: {value}", name=Name(target.name), key=Name(str(path[-1])), value=Name(written)))]) from None
        shown = (*path, before) if before is not None else path
        if "sure" not in path:
            file.fields.append((target, shown, was, typed))

    def _at_height(self, file: _File, target: Target, path: tuple[str | int, ...], written: str, typed: Any) -> None:
        """The free length at a height: that of the pair which stands there, or a new pair in the order of heights."""
        pairs = value_at(ours(file.text, file.source, "").data, path) or []
        heights = [_mm(pair[0]) if isinstance(pair, list) and pair else None for pair in pairs]
        if target.height in heights:
            self._put(file, target, (*path, heights.index(target.height), 1), written, typed)
            return
        above = next((k for k, height in enumerate(heights) if height is not None and height > (target.height or 0)),
                     None)
        pair = f"[{target.height}, {written}]"
        if above is None:
            self._put(file, target, (*path, len(pairs)), pair, [target.height, typed])
        else:
            self._put(file, target, path, pair, [target.height, typed], above)

    def _file(self, target: Target) -> tuple[_File, tuple[str | int, ...]]:
        """The file that a field stands in, and where in it its vehicle or restraint does."""
        data = self.document.data
        if target.of == "trip":
            return self._open("trip", self.trip, target), ()
        if target.of == "vehicle":
            ref = self.vehicle or data["vehicle"]
            if isinstance(ref, dict):
                return self._open("trip", self.trip, target), ("vehicle",)
            return self._open("vehicle", ref if self.vehicle else self._beside(ref), target), ()
        item = data["restraints"][target.number]
        at: tuple[str | int, ...] = ("restraints", target.number)
        of_copy = target.path[0] in _OF_COPY
        if of_copy or (isinstance(item, dict) and "use" not in item):
            return self._open("trip", self.trip, target), at
        ref = item["use"] if isinstance(item, dict) else item
        if isinstance(ref, dict):
            return self._open("trip", self.trip, target), (*at, "use")
        return self._open("restraint", self._beside(ref), target), ()

    def _beside(self, ref: str) -> str:
        """A path in the trip is meant from its folder."""
        return str(Path(self.document.name).parent / ref) if is_path(ref) and not os.path.isabs(ref) else ref

    def _open(self, kind: Kind, ref: str, target: Target) -> _File:
        known = self.files.get((kind, ref))
        if known is not None:
            return known
        if is_path(ref) and os.path.exists(ref) and not os.path.isdir(ref):
            refuse_endless(ref, os.stat(ref))
        source = ref if is_path(ref) else str(find(kind, ref))
        bundled = not is_path(ref) or is_bundled(source, kind)
        into = source
        if bundled:
            into = self._copy(kind, Path(source).stem)
        raw = Path(source).read_bytes()
        file = self.files[kind, ref] = _File(kind, source, into, raw, decoded(raw, source))
        if bundled:
            self.copied.append((file, target))
        return file

    def _copy(self, kind: Kind, stem: str) -> str:
        """Where a bundled file goes: it belongs to everybody, and is never written."""
        own = f"my-{stem}.yaml"
        if self.copy_to is None:
            raise InputError([Problem("", 0, 0, said(
                "{stem} is a bundled {kind}, not yours to write in; `{option} {own}` makes a copy with the value in it",
                stem=Name(stem), kind=Name(kind), option=FieldName("copy-to"), own=Name(own)), ("copy_to",))])
        if self.copied:
            raise InputError([Problem("", 0, 0, said(
                "{first} and {stem} are bundled, and one copy holds one file; set the fields of one of them at a time",
                first=Name(Path(self.copied[0][0].source).stem), stem=Name(stem)), ("copy_to",))])
        if kind == "restraint" and not self._own_trip():
            raise InputError([Problem("", 0, 0, said(
                "{stem} is a bundled restraint of a bundled trip, which cannot name a copy of it; copy the trip first",
                stem=Name(stem)), ("copy_to",))])
        if os.path.lexists(self.copy_to):
            raise InputError([Problem(self.copy_to, 0, 0, said("this file is there already; expected a new one"),
                                      ("copy_to",))])
        return self.copy_to

    def _own_trip(self) -> bool:
        return is_path(self.trip) and not is_bundled(self.trip, "trip")

    def read_again(self) -> Trip:
        """The trip with all that was set, checked as if the files had it already. Raises InputError."""
        self._name_copies()
        documents = {key: ours(file.text, file.into, file.kind, self.today) for key, file in self.files.items()}
        problems: list[Problem] = []
        vehicle = self.other
        for (kind, _), document in documents.items():
            try:
                if kind == "vehicle":
                    changed = vehicle_from(document)
                    vehicle = None if self.other is None else changed
                elif kind == "restraint":
                    restraint_from(document)
            except InputError as error:
                problems += error.problems
        if problems:
            raise InputError(problems)
        own = next((document for (kind, _), document in documents.items() if kind == "trip"), self.document)
        instead = {os.path.realpath(path): documents[key] for key, file in self.files.items() if file.kind != "trip"
                   for path in (file.into, file.source)}
        return trip_from(replace(own, name=self.document.name, instead=instead), vehicle, today=self.today)

    def _name_copies(self) -> None:
        """Have the trip name the copies, where it is a file of one's own."""
        for file, target in self.copied:
            if file.kind == "trip" or not self._own_trip() or (file.kind == "vehicle" and self.vehicle):
                continue
            trip = self._open("trip", self.trip, target)
            path: tuple[str | int, ...] = ("vehicle",) if file.kind == "vehicle" else (
                *("restraints", target.number), *(("use",) if isinstance(
                    self.document.data["restraints"][target.number], dict) else ()))
            trip.text = with_value_at(trip.text, path, _written(self._named_from_trip(file)))

    def _named_from_trip(self, file: _File) -> str:
        there = os.path.relpath(file.into, os.path.dirname(os.path.abspath(self.document.name)))
        return there if is_path(there) else f"./{there}"

    def write(self) -> None:
        """Write every file that changes; where one of them cannot be, none is changed."""
        copies = [file for file in self.files.values() if file.into != file.source]
        for file in copies:
            write(place_of(file.into), file.new.decode(), new=True)
        try:
            kept = [file for file in self.files.values() if file.into == file.source and file.new != file.raw]
            write_together([Change(file.into, file.raw, file.new) for file in kept],
                           list(dict.fromkeys(target.name for file in kept for target, *_ in file.fields)),
                           files_of(self.trip, self.document.data, self.vehicle))
        except BaseException:
            for file in copies:
                Path(file.into).unlink(missing_ok=True)
            raise

    def changed(self, after: Trip) -> Changed:
        fields = []
        diff: list[str] = []
        for file in self.files.values():
            document = ours(file.text, file.into, file.kind, self.today)
            fields += [Set(target.name, file.into, document.place(path)[0], was, now)
                       for target, path, was, now in file.fields]
            diff += unified_diff(file.raw.decode("utf-8-sig").splitlines(), file.text.splitlines(), file.source,
                                 file.into, lineterm="", n=1)
        copied = [file for file, _ in self.copied]
        vehicle = next((file.into for file in copied if file.kind == "vehicle" and (
            self.vehicle is not None or not self._own_trip())), self.vehicle)
        trip = next((file.into for file in copied if file.kind == "trip"), None)
        return Changed(self.before, after, tuple(fields), "\n".join(diff), tuple(file.into for file in copied), vehicle,
                       trip)


#: what modes, parts and installations are told apart by
_NAMES = ("mode", "part", "by", "base")


def _own_names(record: Any, target: Target) -> dict[str, Any]:
    """What an item of a list is told apart by; of one that the list lacks, what it is to be called."""
    if record is None:
        return dict([target.item] if target.item is not None else [])
    return {key: value for key in _NAMES if (value := getattr(record, key, None)) is not None}


def _nested(record: Any, steps: Sequence[str | int], typed: Any, target: Target) -> Any:
    """A value below some keys of a record, with the names of the items on the way."""
    if not steps:
        return typed
    step, rest = steps[0], steps[1:]
    if isinstance(step, str):
        return {step: _nested(getattr(record, step, None), rest, typed, target)}
    item = record[step] if isinstance(record, list) and step < len(record) else None
    own = _own_names(item, target)
    inside = _nested(item, rest, typed, target)
    return [{**own, **inside} if isinstance(inside, dict) else inside]


def _mm(value: Any) -> int | None:
    try:
        return units.length_mm(value)
    except units.UnitError:
        return None


def _written(value: Any) -> str:
    """A value as one line of a file."""
    if isinstance(value, dict):
        return "{" + ", ".join(f"{key}: {_written(one)}" for key, one in value.items()) + "}"
    if isinstance(value, list):
        return "[" + ", ".join(map(_written, value)) + "]"
    if isinstance(value, bool):
        return "true" if value else "false"
    if value is None or isinstance(value, (int, float, date)):
        return "null" if value is None else str(value)
    return as_typed(value)[0] if as_typed(value)[1] == value else json.dumps(value, ensure_ascii=False)


# --- taking it back

@frozen
class Undone:
    """The trip before and after the last step was taken back, the files that are as they were, what had been
    written."""

    before: Trip
    after: Trip
    files: tuple[str, ...]
    names: tuple[str, ...]


def undo(trip: str, vehicle: str | None = None, today: date | None = None) -> Undone:
    """Give every file of a trip the bytes that it had before something was written into it last, by whatever command.

    Raises InputError where nothing was, also since it is a bundled trip, or where a file was changed since; then none
    is touched.
    """
    if trip != "-" and (not is_path(trip) or is_bundled(trip, "trip")):
        bundled = Path(os.path.realpath(trip)) if is_path(trip) else find("trip", trip)
        raise InputError([Problem("", 0, 0, said(
            "{stem} is a bundled trip, and nothing is ever written in it: there is nothing to take back; expected the "
            "path of a trip of your own, such as my-{stem}.yaml", stem=Name(bundled.stem)), ("trip",), trip)])
    with _alone(trip, vehicle, today):
        work = _Work(trip, vehicle, None, today)
        back = take_back(trip, files_of(trip, work.document.data, vehicle))
        again = _Work(trip, vehicle, None, today)
    return Undone(work.before, again.before, back.files, back.names)


def would_undo(trip: str, vehicle: str | None = None, today: date | None = None) -> Last | None:
    """What ``undo`` would take back; None where it would refuse. Raises InputError where the trip cannot be read."""
    work = _Work(trip, vehicle, None, today)
    return last_step(files_of(trip, work.document.data, vehicle))
