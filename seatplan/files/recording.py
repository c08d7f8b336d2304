"""Write down in a trip's file what happened at the car, and take the last such entry back."""

from __future__ import annotations

import os
import re
import shlex
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path
from typing import Any

from seatplan.message import FieldName, joined, said
from seatplan.model import Tried, Trip

from .appending import as_written, entry_text, with_entry, without_entry
from .crosscheck_trip import tried_wrong
from .errors import InputError, Problem
from .library import find, folder, is_path
from .load import trip_in
from .places import Document, Place
from .reading import decoded, refuse_endless
from .validate import shown, validate
from .writer import Held, found, held
from .yaml_text import CannotPlace

_BOM = b"\xef\xbb\xbf"
#: the keys of an entry that name something, in the order in which they are written
_NAMES = ("restraint", "position", "by", "mode")
_WHOLE = re.compile(r"[+-]?[0-9]+")


@dataclass(frozen=True, slots=True)
class Recorded:
    """One entry that was written, or taken back: the trip before and after, the entry, and the line where it stands
    or stood."""

    before: Trip
    after: Trip
    tried: Tried
    line: int


def record(name: str, given: Mapping[str, Any], today: date,
           unlikely: Callable[[Tried], Iterable[str]] = lambda _: ()) -> Recorded:
    """Put an entry at the end of ``tried`` in the trip file ``name``; everything else keeps its bytes.

    ``given`` holds the keys of ``Tried`` as a person would write them; ``on`` is ``today`` where it is missing, and
    ``sure`` says that an unlikely number is so. ``unlikely`` tells what is unlikely about an entry. Raises InputError
    with everything that is wrong, Unwritten where the file cannot be written, and then nothing is.
    """
    _refuse_others_files(name)
    with held(name) as file:
        document, before = trip_in(file.raw, name, today)
        entry = _entry(given, today)
        tried = _checked(entry, before, document)
        doubts = [_wrong(text) for text in unlikely(tried)]
        if doubts:
            raise InputError(doubts)
        entry |= {key: getattr(tried, key) for key in _NAMES if getattr(tried, key) is not None}
        try:
            text = with_entry(decoded(file.raw, name), entry)
        except CannotPlace:
            raise InputError(
                [
                    document.problem(
                        ("tried",),
                        said(
                            "nothing was written: an entry cannot be added here without changing the rest; add it by "
                            "hand: {entry_text}",
                            entry_text=entry_text(entry),
                        ),
                        True,
                    )
                ]
            ) from None
        after = _replaced(file, text, [*before.tried, tried], before)
        return Recorded(before, after[1], tried, after[0].place(("tried", len(before.tried)))[0])


def undo(name: str, today: date | None = None) -> Recorded:
    """Take back the last entry of ``tried``, where ``record`` wrote it and nobody changed it since.
    ``today`` bounds the days in the file.

    Raises InputError otherwise, Unwritten where the file cannot be written, and then nothing is.
    """
    _refuse_others_files(name)
    with held(name) as file:
        document, before = trip_in(file.raw, name, today)
        if not before.tried:
            raise InputError(
                [document.problem(("tried",), said("nothing to take back: nothing is noted under `tried`"))]
            )
        last = ("tried", len(before.tried) - 1)
        tried = before.tried[-1]
        if not tried.recorded:
            raise InputError([document.problem(
                last, said("the last entry was not written by `seatplan record`; take it out by hand"))])
        try:
            text = without_entry(decoded(file.raw, name))
        except CannotPlace:
            raise InputError([document.problem(
                last, said("the last entry was changed since it was recorded; take it out by hand"))]) from None
        return Recorded(before, _replaced(file, text, before.tried[:-1], before)[1], tried, document.place(last)[0])


def _replaced(file: Held, text: str, tried: list[Tried], before: Trip) -> tuple[Document, Trip]:
    """Write the text, once it reads as the same trip with just these entries."""
    raw = (_BOM if file.raw.startswith(_BOM) else b"") + text.encode()
    document, after = trip_in(raw, file.name)
    if after != before.model_copy(update={"tried": tried}):
        raise InputError(
            [
                Problem(
                    file.name,
                    0,
                    0,
                    said("nothing was written: the entry would not read as it was meant; change `tried` by hand"),
                )
            ]
        )
    file.replace(raw)
    return document, after


def _refuse_others_files(name: str) -> None:
    """Standard input keeps nothing, a pipe or device has no end, and a bundled trip belongs to everybody."""
    if name == "-":
        raise InputError(
            [Problem("stdin", 0, 0, said("standard input cannot be written to; expected the path of a trip"))]
        )
    if is_path(name) and os.path.exists(name) and not os.path.isdir(name):
        refuse_endless(name, os.stat(name))
    bundled = found(name) if is_path(name) else find("trip", name)
    if bundled.parent == Path(os.path.realpath(folder("trip"))) or not is_path(name):
        own = f"my-{bundled.stem}.yaml"
        copy = said("`cp -n {quote} {own}`", quote=shlex.quote(str(bundled)), own=own)
        raise InputError(
            [
                Problem(
                    "",
                    0,
                    0,
                    said(
                        "{stem} is a bundled trip, not yours to write in; {copy} makes it yours, then record in {own}",
                        stem=bundled.stem,
                        copy=copy,
                        own=own,
                    ),
                )
            ]
        )


def _entry(given: Mapping[str, Any], today: date) -> dict[str, Any]:
    """The entry as it will be written, still unchecked."""
    said: dict[str, Any] = {key: given.get(key) for key in _NAMES}
    moved = given.get("moved")
    said["moved"] = int(moved) if isinstance(moved, str) and _WHOLE.fullmatch(moved.strip()) else moved
    said |= {"level": given.get("level"), "failed": given.get("failed") or None}
    said |= {"on": given.get("on") or today, "note": given.get("note") or None, "recorded": True}
    tidy = {key: " ".join(value.split()) if isinstance(value, str) else value for key, value in said.items()}
    entry = as_written({key: value for key, value in tidy.items() if value is not None})
    return entry | ({"sure": {"moved": entry["moved"]}} if given.get("sure") and "moved" in entry else {})


def _checked(entry: Mapping[str, Any], trip: Trip, document: Document) -> Tried:
    """The entry as a record, its names spelled as the trip has them. Raises InputError with all that is wrong: each
    names the option that holds it, for nothing of the trip's file is at fault."""
    restraints = [r.restraint for r in trip.restraints]
    known: dict[str, list[str]] = {
        "restraint": restraints,
        "position": [p.position for p in trip.vehicle.positions()],
        "mode": [m.mode for r in trip.restraints for m in r.modes],
        "by": [k.by for r in trip.restraints for m in r.modes for k in m.installations],
    }
    names: dict[str, Any] = {
        key: next((name for name in known[key] if name.casefold() == str(entry[key]).casefold()), entry[key])
        for key in _NAMES if key in entry
    }
    problems: list[Problem] = []
    wrong: set[str] = set()
    for loc, text in tried_wrong(Tried.model_construct(**names), trip):
        key = str(loc[0])
        wrong.add(key)
        problems.append(_wrong(text, key))
    # a name that is not there has been told; the rest is still looked at
    fine: dict[str, Any] = {"restraint": "any", "position": "1L", "by": "lap-belt", "mode": None}
    typed = {**entry, **{key: fine[key] if key in wrong else name for key, name in names.items()}}
    tried = None
    try:
        tried = validate(Tried, typed, Document("", typed, {(): Place(0, 0)}, today=document.today))
    except InputError as error:
        problems += [_wrong(problem.text, of=problem) for problem in error.problems]
    if tried is not None and tried.on is not None and trip.on is not None and tried.on > trip.on:
        problems.append(document.problem(
            ("on",), said("the day of travel is {on} and the try was on {on_2}, after it; expected a new day of "
                 "travel here, or the right day of the try (`--on`)", on=trip.on, on_2=tried.on)))
    if tried is not None and not tried.note.isprintable():
        problems.append(_wrong(said("note is {shown}; expected text without control characters",
                                          shown=shown(tried.note))))
    if problems or tried is None:
        raise InputError(problems)
    return tried


def _wrong(text: str, key: str = "", of: Problem | None = None) -> Problem:
    """What is wrong with what was asked; ``key``: with which, where the text does not begin with it; ``of``: as it was
    told of the entry."""
    told = Problem("", 0, 0, joined("", (FieldName(key), ": ", text) if key else (FieldName(""), text)))
    if of is None:
        return replace(told, loc=(key,) if key else ())
    return replace(told, loc=of.loc, found=of.found, allowed=of.allowed)
