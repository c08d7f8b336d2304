"""The technician's day: which families it has, by number, and how long what is known of them is kept.

What the day itself needs stands in one YAML file of the library, ``day/day.yaml``: numbers and days, nothing that
anybody is called. The families' files are those of the library, and every other command reads them.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import yaml

from seatplan.files.errors import InputError, Problem
from seatplan.files.writer import alone_at, place_of, write
from seatplan.frozen import frozen
from seatplan.message import Name, said

from .days import today
from .own_folder import own_folder

#: for how many days families may be kept; None: until somebody deletes them
KEPT: tuple[int | None, ...] = (0, 7, 30, 90, 365, None)
_NUMBER = re.compile(r"[A-Za-z0-9][A-Za-z0-9_.-]{0,60}")
_HASH = re.compile(r"[0-9a-f]{64}")
_HEAD = ("# The technician's day: numbers and days, no names. kept_days: so many days after a family's day all of it "
         "is deleted;\n# empty: by hand only. keep_number_and_hash: yes if number and hashes of checkups stay.\n")


@frozen
class Family:
    """A trip of the library that is on the day's list. ``of``: the number of the trip that it was made from, which is
    of the same family; empty where none was."""

    number: str
    since: date
    of: str = ""


@frozen
class Gone:
    """What stays of a deleted family, where whoever runs the day says so: its number and the hashes of checkups."""

    number: str
    on: date
    hashes: tuple[str, ...] = ()


@frozen
class CheckingDay:
    """``kept_days``: None: until somebody deletes them."""

    begun: date
    kept_days: int | None
    keep_number_and_hash: bool
    families: tuple[Family, ...] = ()
    gone: tuple[Gone, ...] = ()

    def family(self, number: str) -> tuple[Family, ...]:
        """All that is of one family: the trip of that number, what it was made from, and what was made from that."""
        found = {number}
        while True:
            more = found | {one.number for one in self.families if one.of in found} | {
                one.of for one in self.families if one.number in found and one.of}
            if more == found:
                return tuple(one for one in self.families if one.number in found)
            found = more

    def deleted_on(self, number: str) -> date | None:
        """The day on which the rule deletes a family: when its latest trip is due; None: by hand only."""
        since = [one.since for one in self.family(number)]
        return None if self.kept_days is None or not since else max(since) + timedelta(days=self.kept_days + 1)

    def due(self, day: date) -> tuple[str, ...]:
        """The numbers that the rule deletes by a day."""
        return tuple(one.number for one in self.families
                     if (on := self.deleted_on(one.number)) is not None and on <= day)


def file_of(library: Path) -> Path:
    """Where the day's file lies."""
    return library / "day" / "day.yaml"


def is_begun(library: Path) -> bool:
    """Whether a library has a day's file, whatever stands in it."""
    return file_of(library).exists()


def the_day(library: Path) -> CheckingDay | None:
    """The day of a library; None where none was begun. Raises InputError for a file that cannot be read as one."""
    path = file_of(library)
    try:
        raw = path.read_text(encoding="utf-8")
    except FileNotFoundError:
        return None
    except (OSError, ValueError):
        raise _unreadable() from None
    try:
        return _read(yaml.safe_load(raw))
    except (yaml.YAMLError, KeyError, TypeError, ValueError, RecursionError):
        raise _unreadable() from None


def begin(library: Path, kept_days: int | None, keep_number_and_hash: bool) -> CheckingDay:
    """Begin a day, or change its rule: families that are on the list stay on it."""
    return _changed(library, lambda there: CheckingDay(today(), kept_days, keep_number_and_hash) if there is None else
                    replace(there, begun=today(), kept_days=kept_days, keep_number_and_hash=keep_number_and_hash))


def add(library: Path, number: str, of: str = "") -> CheckingDay:
    """Put a trip on the list, from today; one that is there already is there from today."""
    def added(there: CheckingDay | None) -> CheckingDay:
        day = _begun(there)
        known = next((one for one in day.families if one.number == number), None)
        family = Family(number, today(), of or (known.of if known else ""))
        return replace(day, families=(*(one for one in day.families if one.number != number), family))

    return _changed(library, added)


def take_off(library: Path, number: str, hashes: tuple[str, ...]) -> CheckingDay:
    """Take a deleted trip off the list; number and hashes stay where the day says so."""
    def taken(there: CheckingDay | None) -> CheckingDay:
        day = _begun(there)
        left = tuple(replace(one, of="") if one.of == number else one
                     for one in day.families if one.number != number)
        gone = (*day.gone, Gone(number, today(), hashes)) if day.keep_number_and_hash else day.gone
        return replace(day, families=left, gone=gone)

    return _changed(library, taken)


def _begun(there: CheckingDay | None) -> CheckingDay:
    if there is None:
        raise InputError([Problem("", 0, 0, said("no day was begun in this library"))])
    return there


def _changed(library: Path, change: Callable[[CheckingDay | None], CheckingDay]) -> CheckingDay:
    """Read, change and write the file with nobody else between. Raises InputError, Unwritten."""
    path = file_of(library)
    own_folder(path.parent)
    with alone_at([str(path.parent)]):
        day = change(the_day(library))
        write(place_of(str(path)), _HEAD + yaml.safe_dump(_plain(day), sort_keys=False))
    return day


def _plain(day: CheckingDay) -> dict[str, Any]:
    return {"begun": day.begun, "kept_days": day.kept_days,
            "keep_number_and_hash": "yes" if day.keep_number_and_hash else "no",
            "families": [{"number": one.number, "since": one.since, **({"of": one.of} if one.of else {})}
                         for one in day.families],
            "gone": [{"number": one.number, "on": one.on, "hashes": list(one.hashes)} for one in day.gone]}


def _read(data: Any) -> CheckingDay:
    kept = data["kept_days"]
    if kept is not None and (type(kept) is not int or not 0 <= kept <= 36_500):
        raise ValueError
    return CheckingDay(_day(data["begun"]), kept, _yes(data["keep_number_and_hash"]),
                       tuple(map(_family, data.get("families") or ())), tuple(map(_gone, data.get("gone") or ())))


def _family(data: Mapping[str, Any]) -> Family:
    of = data.get("of", "")
    return Family(_number(data["number"]), _day(data["since"]), _number(of) if of else "")


def _gone(data: Mapping[str, Any]) -> Gone:
    hashes = tuple(data["hashes"])
    if not all(isinstance(one, str) and _HASH.fullmatch(one) for one in hashes):
        raise ValueError
    return Gone(_number(data["number"]), _day(data["on"]), hashes)


def _number(value: Any) -> str:
    if not _NUMBER.fullmatch(str(value)):
        raise ValueError
    return str(value)


def _day(value: Any) -> date:
    if type(value) is not date:
        raise TypeError
    return value


def _yes(value: Any) -> bool:
    """What stands in quotes, as we write it, or plain, as a person might."""
    if value not in ("yes", "no", True, False):
        raise ValueError
    return value in ("yes", True)


def _unreadable() -> InputError:
    return InputError([Problem("day/day.yaml", 0, 0, said(
        "the file of the day cannot be read: put it right by hand, or move it away to begin anew; nothing was "
        "deleted; expected {keys}", keys=Name("begun, kept_days, keep_number_and_hash, families, gone")))])
