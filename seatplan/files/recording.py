"""Write down in a trip's file what happened at the car: what was tried, what is installed, what is under way."""

from __future__ import annotations

import os
import re
import shlex
from collections.abc import Callable, Iterable, Mapping
from dataclasses import replace
from datetime import date
from functools import partial
from typing import Any

from seatplan.frozen import frozen
from seatplan.message import FieldName, joined, said
from seatplan.model import Installed, Readings, Tried, Trip, UnderWay
from seatplan.readings import READINGS

from .appending import as_written, entry_text, with_entry
from .changing import with_value_at, without_value_at
from .crosscheck_dates import dated_too_early
from .crosscheck_names import restraints_of
from .crosscheck_trip import tried_wrong
from .errors import InputError, Problem, near_word
from .library import find, is_bundled, is_path
from .load import trip_in
from .places import Document, Place
from .reading import decoded, refuse_endless
from .undo import Change, files_of, write_together
from .validate import shown, validate
from .writer import alone_at, found, held
from .yaml_text import CannotPlace

_BOM = b"\xef\xbb\xbf"
#: the keys of an entry that name something, in the order in which they are written
_NAMES = ("restraint", "position", "by", "mode", "rider")
#: readings that an entry has had since before it had a set of them
_OLD = ("moved", "level")
_WHOLE = re.compile(r"[+-]?[0-9]+")
_DECIMAL = re.compile(r"[0-9]+\.[0-9]+")


@frozen
class Recorded:
    """What was written: the trip before and after, the entry of ``tried`` and the line where it stands; both None
    where only what is installed or under way was."""

    before: Trip
    after: Trip
    tried: Tried | None
    line: int | None


@frozen
class Draft:
    """A trip file that something is to be written in: what it holds, and the trip of it."""

    name: str
    raw: bytes
    document: Document
    trip: Trip
    today: date

    def refuse_unknown(self, given: Mapping[str, Any]) -> None:
        """Raises InputError with every name of an entry that the trip does not have, whatever else is missing."""
        wrong = _unknown({key: given[key] for key in _NAMES if given.get(key)}, self.trip)[1]
        if wrong:
            raise InputError([_wrong(text, key) for key, text in wrong])

    def entry(self, given: Mapping[str, Any],
              unlikely: Callable[[Tried], Iterable[str]] = lambda _: ()) -> tuple[dict[str, Any], Tried]:
        """An entry of ``tried`` as it will be written, and as a record. Raises InputError with all that is wrong."""
        entry = _entry(given, self.today)
        tried = _checked(entry, self.trip, self.document)
        doubts = [_wrong(text) for text in unlikely(tried)]
        if doubts:
            raise InputError(doubts)
        return entry | {key: getattr(tried, key) for key in _NAMES if getattr(tried, key) is not None}, tried

    def write(self, tried: tuple[dict[str, Any], Tried] | None, installed: Mapping[str, Installed | None],
              under_way: Mapping[str, UnderWay] | None, names: Iterable[str], *, found: bool = False) -> Recorded:
        """Put an entry at the end of ``tried``, what is ``installed`` for some riders in its place (None: nothing is
        any more), and what is ``under_way`` (None: as it was); everything else keeps its bytes.

        Before the first entry is written, what was installed by then is kept under ``arrived``; so is what is
        ``found`` in the car as long as nothing was tried.

        ``names`` says what is written, for who takes it back. Raises InputError where that cannot be, Unwritten where
        the file cannot be written, and then nothing is.
        """
        text = decoded(self.raw, self.name)
        there = dict(self.trip.installed)
        if tried is not None:
            text = self._put(partial(with_entry, text, tried[0]), "tried", entry_text(tried[0]))
        for rider, here in installed.items():
            if here is None and there.pop(rider, None) is not None:
                text = self._put(partial(without_value_at, text, ("installed", rider)), "installed", "")
            elif here is not None:
                there[rider] = here
                value = entry_text(plain(here), in_quotes(text))
                text = self._put(partial(with_place, text, rider, value), "installed", value)
        arrived = self._arrived(there, tried is not None, found)
        if arrived is not None and arrived != self.trip.arrived:
            value = by_line({rider: plain(here) for rider, here in arrived.items()}, text)
            text = self._put(partial(with_value_at, text, ("arrived",), value), "arrived", value)
        aims = dict(self.trip.under_way if under_way is None else under_way)
        if aims != self.trip.under_way or list(aims) != list(self.trip.under_way):
            value = by_line({rider: plain(aim) for rider, aim in aims.items()}, text)
            text = self._put(partial(with_value_at, text, ("under_way",), value) if aims else
                             partial(without_value_at, text, ("under_way",)), "under_way", value)
        raw = (_BOM if self.raw.startswith(_BOM) else b"") + text.encode()
        entries = [*self.trip.tried, *([tried[1]] if tried else [])]
        document, after = trip_in(raw, self.name, self.today)
        if after != self.trip.model_copy(update={"tried": entries, "installed": there, "arrived": arrived,
                                                     "under_way": aims}):
            raise InputError([Problem(self.name, 0, 0, said(
                "nothing was written: the entry would not read as it was meant; change it by hand"))])
        write_together([Change(self.name, self.raw, raw)], list(names), files_of(self.name, document.data))
        return Recorded(self.trip, after, tried[1] if tried else None,
                        document.place(("tried", len(entries) - 1))[0] if tried else None)

    def _arrived(self, there: Mapping[str, Installed], tries: bool, found: bool) -> dict[str, Installed] | None:
        """How the car arrived, as it is known after a write; ``there`` is what is installed by then."""
        if any(tried.recorded for tried in self.trip.tried):
            return self.trip.arrived
        if found:
            return dict(there)
        return dict(self.trip.installed) if tries and self.trip.installed else self.trip.arrived

    def _put(self, changed: Callable[[], str], key: str, written: str) -> str:
        try:
            return changed()
        except CannotPlace:
            raise InputError([self.document.problem((key,), said(
                "nothing was written: an entry cannot be added here without changing the rest; add it by hand: "
                "{entry_text}", entry_text=written), True)]) from None


def draft(name: str, today: date) -> Draft:
    """The trip file ``name``, to be written in. Raises InputError where it cannot be read or is not one's own."""
    _refuse_others_files(name)
    with held(name) as file:
        raw = file.raw
    document, trip = trip_in(raw, name, today)
    return Draft(name, raw, document, trip, today)


def record(name: str, given: Mapping[str, Any], today: date,
           unlikely: Callable[[Tried], Iterable[str]] = lambda _: ()) -> Recorded:
    """Put an entry at the end of ``tried`` in the trip file ``name``; everything else keeps its bytes.

    ``given`` holds the keys of ``Tried`` and of ``Readings`` as a person would write them; ``on`` is ``today`` where it
    is missing, and ``sure`` says that an unlikely number is so. ``unlikely`` tells what is unlikely about an entry.
    Raises InputError with everything that is wrong, Unwritten where the file cannot be written, and then nothing is.
    """
    _refuse_others_files(name)
    with alone_at([name]):
        own = draft(name, today)
        entry, tried = own.entry(given, unlikely)
        return own.write((entry, tried), {}, None, [f"{tried.restraint or tried.rider} {tried.position}"])


def with_place(text: str, rider: str, value: str) -> str:
    """What is installed for a rider, in place of what is noted there, whatever its layout. Raises CannotPlace."""
    try:
        return with_value_at(text, ("installed", rider), value)
    except CannotPlace:
        return with_value_at(without_value_at(text, ("installed", rider)), ("installed", rider), value)


def in_quotes(text: str) -> bool:
    """Whether the file is JSON, whose words stand in quotes."""
    return re.match(r'\ufeff?\s*\{\s*"', text) is not None


def by_line(entries: Mapping[str, Any], text: str) -> str:
    """A mapping with a line for each entry, as the lines of ``text`` end."""
    line = "\r\n" if "\r\n" in text else "\n"
    if in_quotes(text):
        return entry_text(entries, True)
    return "{" + f",{line}            ".join(entry_text({key: value})[1:-1] for key, value in entries.items()) + "}"


def plain(here: Installed | UnderWay) -> dict[str, Any]:
    """As a file has it, without what nobody said."""
    return as_written({key: value for key, value in here.data().items() if value not in (None, "", {})})


def _refuse_others_files(name: str) -> None:
    """Standard input keeps nothing, a pipe or device has no end, and a bundled trip belongs to everybody."""
    if name == "-":
        raise InputError(
            [Problem("stdin", 0, 0, said("standard input cannot be written to; expected the path of a trip"))]
        )
    if is_path(name) and os.path.exists(name) and not os.path.isdir(name):
        refuse_endless(name, os.stat(name))
    bundled = found(name) if is_path(name) else find("trip", name)
    if is_bundled(bundled, "trip") or not is_path(name):
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
    readings = {key: _as_number(given[key], READINGS[key].kind) for key in READINGS
                if given.get(key) not in (None, "")}
    alone = not readings.keys() - set(_OLD)
    said |= {key: readings.pop(key) for key in _OLD if key in readings and alone}
    said |= {"readings": readings or None, "tether": given.get("tether"), "failed": given.get("failed") or None}
    said |= {"on": given.get("on") or today, "who": given.get("who") or None, "note": given.get("note") or None,
             "recorded": True}
    tidy = {key: " ".join(value.split()) if isinstance(value, str) else value for key, value in said.items()}
    entry = as_written({key: value for key, value in tidy.items() if value is not None})
    if given.get("sure") and "moved" in entry:
        entry["sure"] = {"moved": entry["moved"]}
    numbers = {key: value for key, value in readings.items() if not isinstance(value, bool) and READINGS[key].unit}
    if given.get("sure") and numbers:
        entry["readings"]["sure"] = numbers
    return entry


def _as_number(value: Any, kind: str) -> Any:
    """A plain number that somebody typed as one; with a unit, or as a word, it stays text."""
    if not isinstance(value, str):
        return value
    tidy = " ".join(value.split())
    if _WHOLE.fullmatch(tidy):
        return int(tidy)
    return float(tidy) if kind == "angle" and _DECIMAL.fullmatch(tidy) else tidy


def _checked(entry: Mapping[str, Any], trip: Trip, document: Document) -> Tried:
    """The entry as a record, its names spelled as the trip has them. Raises InputError with all that is wrong: each
    names the option that holds it, for nothing of the trip's file is at fault."""
    names, unknown = _unknown({key: entry[key] for key in _NAMES if key in entry}, trip)
    problems = [_wrong(text, key) for key, text in unknown]
    wrong = {key for key, _ in unknown}
    # a name that is not there has been told; the rest is still looked at
    fine: dict[str, Any] = {"restraint": "any", "position": "1L", "by": "lap-belt", "mode": None,
                            "rider": None}
    unsaid = {"by": fine["by"]} if "restraint" in wrong else {}
    typed = {**unsaid, **entry, **{key: fine[key] if key in wrong else name for key, name in names.items()}}
    tried = None
    for record, data in ((Readings, typed.get("readings") or {}), (Tried, typed)):
        try:
            found = validate(record, data, Document("", data, {(): Place(0, 0)}, today=document.today))
        except InputError as error:
            problems += [_wrong(problem.text, of=problem) for problem in error.problems]
            typed.pop("readings", None)                 # what is wrong with them has been told
            continue
        tried = found if isinstance(found, Tried) else None
    if tried is not None and tried.on is not None and trip.on is not None and tried.on > trip.on:
        problems.append(document.problem(
            ("on",), said("the day of travel is {on} and the try was on {on_2}, after it; expected a new day of "
                 "travel here, or the right day of the try (`--on`)", on=trip.on, on_2=tried.on)))
    if tried is not None and not tried.note.isprintable():
        problems.append(_wrong(said("note is {shown}; expected text without control characters",
                                          shown=shown(tried.note))))
    if tried is not None:
        problems += [_wrong(text, of=Problem("", 0, 0, "", loc)) for loc, text in
                     dated_too_early(tried, tried.rider, trip, document.today)]
    if problems or tried is None:
        raise InputError(problems)
    return tried


def _unknown(given: Mapping[str, Any], trip: Trip) -> tuple[dict[str, Any], list[tuple[str, str]]]:
    """The names of an entry as the trip spells them, and what is wrong with which of them: (key, text)."""
    known: dict[str, list[str]] = {
        "restraint": restraints_of(trip),
        "position": [p.position for p in trip.vehicle.positions()],
        "mode": [m.mode for r in (*trip.restraints, *trip.vehicle.built_in()) for m in r.modes],
        "by": [k.by for r in trip.restraints for m in r.modes for k in m.installations],
        "rider": [r.rider for r in trip.riders],
    }
    names: dict[str, Any] = {
        key: next((name for name in known[key] if name.casefold() == str(word).casefold()), word)
        for key, word in given.items()}
    meant = Tried.model_construct(**{"restraint": "", "position": "", "by": None, **names})
    wrong = [(str(loc[0]), text) for loc, text in tried_wrong(meant, trip) if loc[0] in names]
    if "restraint" not in names and "mode" in names and names["mode"] not in known["mode"]:
        wrong.append(("mode", said("no restraint of this trip has a mode {mode}; {near}", mode=names["mode"],
                                   near=near_word(str(names["mode"]), known["mode"]))))
    return names, wrong


def _wrong(text: str, key: str = "", of: Problem | None = None) -> Problem:
    """What is wrong with what was asked; ``key``: with which, where the text does not begin with it; ``of``: as it was
    told of the entry."""
    told = Problem("", 0, 0, joined("", (FieldName(key), ": ", text) if key else (FieldName(""), text)))
    if of is None:
        return replace(told, loc=(key,) if key else ())
    return replace(told, loc=of.loc, found=of.found, allowed=of.allowed)
