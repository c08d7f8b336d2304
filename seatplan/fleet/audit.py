"""The record of a plan: what it was made of, by hashes; the plan itself; and what a person overrode, and why.

Each plan is a file of its own, numbered within its day, and nothing is written over: a plan made again is the next one
and says which it follows. There is one exception. Whoever may no longer be known is deleted: all that a plan says of
that booking goes out of it, and its salted id, the reason and the day stay, with the hash of what the file was before.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import field, replace
from pathlib import Path
from typing import Any

from seatplan.files.errors import InputError, Problem, Unwritten
from seatplan.files.writer import place_of, write
from seatplan.frozen import frozen
from seatplan.message import said

from .overnight import StillOut
from .plain import plain, read
from .records import DayPlan

#: the form of these files
FORM = 1
#: begins the name of the input that stands for one booking; its key follows
BOOKING = "booking "


@frozen
class Override:
    """What a person decided in place of the program: an offer that was accepted (``what`` names its level), news that
    the plan was made again for; of a booking or of none."""

    what: str
    why: str
    booking: str = ""


@frozen
class Deleted:
    """A booking that was deleted: its salted id, the reason, the day (ISO), and the hash of the record before.
    ``carried``: a vehicle was on the road for it, so that the record says no longer where that one is."""

    booking: str
    why: str
    on: str
    was: str
    carried: bool = True


@frozen
class Recorded:
    """One record. ``date``: the day planned for (ISO); ``inputs``: name -> sha256 of what was read; ``rules``: hash of
    the profile with its local rules; ``version``: of the program; ``follows``: the number of the plan that it replaces;
    ``night``: the vehicles that were still out when the day began."""

    date: str
    number: int
    inputs: Mapping[str, str]
    rules: str
    version: str
    plan: DayPlan
    overrides: tuple[Override, ...] = ()
    follows: int | None = None
    deleted: tuple[Deleted, ...] = ()
    night: tuple[StillOut, ...] = ()
    form: int = field(default=FORM)


def hash_of(raw: bytes) -> str:
    """What an input is known by."""
    return hashlib.sha256(raw).hexdigest()


def text_of(record: Recorded) -> str:
    """A record as JSON: the same bytes for the same record. It ends with the hash of all before."""
    told = plain(record)
    return json.dumps({**told, "hash": _hash(told)}, indent=1, ensure_ascii=False, sort_keys=True) + "\n"


def record_of(text: str, name: str) -> Recorded:
    """A record read back. InputError where it is none, or is not as it was written."""
    try:
        told = json.loads(text)
        was = told.pop("hash")
        record: Recorded = read(Recorded, _filled(told))
    except (ValueError, KeyError, AttributeError, TypeError, RecursionError):
        raise InputError([Problem(name, 0, 0, said("this is no record of a plan"))]) from None
    if was != _hash(told):
        raise InputError([Problem(name, 0, 0, said("this record of a plan was changed after it was written"))])
    return record


def _filled(told: dict[str, Any]) -> dict[str, Any]:
    """A record of an older version as it is written now: it told one reading of a booking at most, not whether a
    deleted one was carried, and not who was out at midnight."""
    plan = told["plan"]
    unserved = {key: why if "readings" in why else {
        **why, "readings": [] if why["reading"] is None else [why["reading"]]} for key, why in plan["unserved"].items()}
    deleted = [{"carried": True, **one} for one in told["deleted"]]
    return {"night": [], **told, "plan": {**plan, "unserved": unserved}, "deleted": deleted}


def keep(folder: Path, record: Recorded) -> tuple[Path, Recorded]:
    """Write a record under the next number of its day; ``number`` is set. Nothing is written over: where somebody else
    takes the number meanwhile, the next one is tried. Unwritten where it cannot be written."""
    number = max((_number(file) for file in _files(folder, record.date)), default=0)
    while True:
        number += 1
        numbered = replace(record, number=number)
        file = folder / f"plan-{record.date}-{number:04}.json"
        try:
            write(place_of(str(file)), text_of(numbered), new=True)
        except Unwritten:
            if not file.exists():
                raise
            continue
        return file, numbered


def kept(folder: Path, date: str) -> list[tuple[Path, Recorded]]:
    """The records of a day, in the order in which they were made."""
    return [(file, record_of(file.read_text(encoding="utf-8"), str(file))) for file in _files(folder, date)]


def forget(folder: Path, bookings: Iterable[str], why: str, on: str) -> list[Path]:
    """Take bookings out of every record in a folder; those that hold none of them stay as they are. Stopped midway, the
    same call goes on: each file is the old one or the new one. Returns what was written."""
    gone, written = set(bookings), []
    for file in _files(folder, "*"):
        record = record_of(file.read_text(encoding="utf-8"), str(file))
        there = gone & _named(record)
        if there:
            write(place_of(str(file)), text_of(_forgetting(record, there, why, on)))
            written.append(file)
    return written


def _forgetting(record: Recorded, gone: set[str], why: str, on: str) -> Recorded:
    """A record without some bookings. What was said of news that name one of them may be about its family: the reason
    for the deletion stands in its place. The mark of a booking goes, too: who has the salt could try guesses on it."""
    was, before = _hash(plain(record)), {one.booking for one in record.deleted}
    carried = {leg.booking for legs in record.plan.routes.values() for leg in legs}
    told = tuple(Deleted(key, why, on, was, key in carried) for key in sorted(gone - before))
    overrides = tuple(replace(one, why=why) if any(key in one.what for key in gone) else one
                      for one in record.overrides if one.booking not in gone)
    inputs = {name: mark for name, mark in record.inputs.items() if name.removeprefix(BOOKING) not in gone}
    return replace(record, inputs=inputs, plan=_without(record.plan, gone), deleted=(*record.deleted, *told),
                   overrides=overrides)


def bookings_in(record: Recorded) -> set[str]:
    """The keys of the bookings that a plan was made of."""
    return {name.removeprefix(BOOKING) for name in record.inputs if name.startswith(BOOKING)}


def _named(record: Recorded) -> set[str]:
    """Bookings of which a record holds anything."""
    plan = record.plan
    return {*(leg.booking for legs in plan.routes.values() for leg in legs), *plan.unserved, *plan.offers,
            *(one.booking for one in record.overrides if one.booking), *bookings_in(record)}


def _without(plan: DayPlan, gone: set[str]) -> DayPlan:
    """A plan without some bookings. Its counts stay: they say nothing of anybody."""
    routes = {key: tuple(leg for leg in legs if leg.booking not in gone) for key, legs in plan.routes.items()}
    return replace(plan, routes={key: legs for key, legs in routes.items() if legs},
                   unserved={key: why for key, why in plan.unserved.items() if key not in gone},
                   offers={key: told for key, told in plan.offers.items() if key not in gone})


def _files(folder: Path, date: str) -> Sequence[Path]:
    return sorted(folder.glob(f"plan-{date}-[0-9][0-9][0-9][0-9].json"))


def _number(file: Path) -> int:
    return int(file.stem[-4:])


def _hash(told: Any) -> str:
    return hash_of(json.dumps(told, ensure_ascii=False, sort_keys=True, separators=(",", ":")).encode())
