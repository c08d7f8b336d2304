"""Bookings from a CSV file, one after the other: whatever is wrong with one is told, and the rest goes on.

A row that cannot be used comes back as ``Reject``: its line, the column and the reason. Nothing of what the row holds
is in it, so that rejects may lie about; who has the file finds the row by its line. An id is made a key at once, and
no other column than those named here is looked at.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from datetime import date, datetime, timedelta
from functools import lru_cache
from typing import NamedTuple

from seatplan.frozen import frozen
from seatplan.message import said

from .errors import InputError, Problem
from .riders_cell import MOST_RIDERS, CellError, RiderTold, adults_in, riders_in
from .salt import key_of
from .tables import Line, lines_of

#: the columns that every file of bookings has, and one that it may have
COLUMNS = ("id", "start", "end", "from", "to", "riders", "adults")
OPTIONAL = ("own",)
#: a booking takes so long at most
LONGEST = timedelta(hours=24)
#: nobody books for later
_AHEAD = timedelta(days=730)
_MOST_ID = 200
_MOMENT = re.compile(r"\d{4}-\d\d-\d\d[ T]\d\d:\d\d(:00)?", re.ASCII)
#: stands behind a restraint that a party brings, once somebody looked at it
IN_ORDER = "in order"


class BookingRow(NamedTuple):
    """One booking as it was written. ``key``: its salted id; ``own``: kinds of restraint that the party brings and that
    somebody looked at; ``unsure``: those of which nobody said that they are in order."""

    line: int
    key: str
    start: datetime
    end: datetime
    origin: str
    goal: str
    riders: tuple[RiderTold, ...]
    adults: tuple[RiderTold, ...]
    own: tuple[str, ...]
    unsure: tuple[str, ...] = ()


class Reject(NamedTuple):
    """A row that was not taken: the line, the column, and why; nothing of what stands there."""

    line: int
    field: str
    reason: str


@frozen
class Known:
    """What a booking may name. ``places`` and ``kinds``: as they are written without regard to capitals -> as they are
    called; ``today`` bounds days; ``keep_days``: bookings that ended longer ago are not taken any more."""

    salt: bytes
    places: Mapping[str, str]
    kinds: Mapping[str, str]
    today: date
    keep_days: int | None = None


def folded(names: Sequence[str]) -> dict[str, str]:
    """Names by how they may be written."""
    return {" ".join(name.split()).casefold(): name for name in names}


def read_bookings(path: str, known: Known) -> Iterator[BookingRow | Reject]:
    """Every booking of a file in order, and every row that is none. Raises InputError where the file has no header with
    the columns of bookings."""
    lines = lines_of(path)
    header = next(lines, None)
    if header is None:
        raise InputError([Problem(path, 0, 0, said("this file is empty; expected bookings in CSV"))])
    at = _columns(path, header)
    n_columns = len(header.cells)
    keys: set[bytes] = set()
    for line in lines:
        try:
            row = _row(line, at, n_columns, known)
        except _Wrong as wrong:
            yield Reject(line.number, wrong.field, wrong.reason)
            continue
        short = bytes.fromhex(row.key)
        if short in keys:
            yield Reject(line.number, "id", said("this id stands above in the file; expected each booking once"))
            continue
        keys.add(short)
        yield row


def gone_by(end: datetime, today: date, keep_days: int | None) -> bool:
    """Whether a booking that ended then is to be kept no longer."""
    return keep_days is not None and (today - end.date()).days > keep_days


class _Wrong(Exception):
    def __init__(self, field: str, reason: str) -> None:
        self.field, self.reason = field, reason
        super().__init__(field)


def _columns(path: str, header: Line) -> dict[str, int]:
    """The place of each column. What stands in the header is not told: where there is none it is a booking."""
    names = [name.casefold() for name in header.cells]
    problems = [Problem(path, header.number, 1, header.wrong)] if header.wrong else []
    for name in COLUMNS if not problems else ():
        if name not in names:
            problems.append(Problem(path, header.number, 1, _no_column(name, names)))
    for name in (*COLUMNS, *OPTIONAL):
        if names.count(name) > 1:
            problems.append(Problem(path, header.number, 1, said("column `{name}` stands here twice", name=name)))
    if problems:
        raise InputError(problems)
    return {name: names.index(name) for name in (*COLUMNS, *OPTIONAL) if name in names}


def _no_column(name: str, names: Sequence[str]) -> str:
    from difflib import get_close_matches

    near = get_close_matches(name, [one for one in names if one not in (*COLUMNS, *OPTIONAL)], 1, 0.6)
    if near:
        return said("no column is called `{name}`; did you mean column {n}?", name=name, n=names.index(near[0]) + 1)
    return said("no column is called `{name}`; expected {columns} in the first line, and `own` where parties bring "
                "restraints", name=name, columns=", ".join(COLUMNS))


def _row(line: Line, at: Mapping[str, int], n_columns: int, known: Known) -> BookingRow:
    if line.wrong:
        raise _Wrong("", line.wrong)
    cells = line.cells
    if len(cells) != n_columns:
        raise _Wrong("", said("{n} cells; expected {n_columns}, as in the first line", n=len(cells),
                              n_columns=n_columns))
    booking = cells[at["id"]]
    if not 0 < len(booking) <= _MOST_ID:
        raise _Wrong("id", said("expected an id of 1 to {most} letters", most=_MOST_ID))
    start, end = _times(cells[at["start"]], cells[at["end"]], known)
    origin, goal = _place("from", cells[at["from"]], known), _place("to", cells[at["to"]], known)
    riders, adults = _told("riders", riders_in, cells, at), _told("adults", adults_in, cells, at)
    if not 0 < len(riders) + len(adults) <= MOST_RIDERS:
        raise _Wrong("adults", said("expected 1 to {most} riders, adults among them", most=MOST_RIDERS))
    own, unsure = _own(cells[at["own"]], known) if "own" in at and cells[at["own"]] else ((), ())
    if len(own) + len(unsure) > len(riders):
        raise _Wrong("own", said("more restraints than children; expected at most one for each"))
    return BookingRow(line.number, key_of(booking, known.salt), start, end, origin, goal, riders, adults, own, unsure)


def _times(start: str, end: str, known: Known) -> tuple[datetime, datetime]:
    first, last = _moment("start", start), _moment("end", end)
    if last <= first:
        raise _Wrong("end", said("it ends before it begins, or at once; expected a later end"))
    if last - first > LONGEST:
        raise _Wrong("end", said("it takes more than a day; expected an earlier end"))
    if first.date() - known.today > _AHEAD:
        raise _Wrong("start", said("more than two years ahead; expected an earlier day"))
    if gone_by(last, known.today, known.keep_days):
        raise _Wrong("end", said("it ended longer ago than bookings are kept"))
    return first, last


@lru_cache(maxsize=16_384)
def _moment_of(told: str) -> datetime | None:
    """A day and a time on the clock of the place; None where it is none."""
    if not _MOMENT.fullmatch(told):
        return None
    try:
        return datetime.fromisoformat(told.replace(" ", "T"))
    except ValueError:
        return None


def _moment(field: str, told: str) -> datetime:
    found = _moment_of(told)
    if found is None:
        raise _Wrong(field, said("expected a day and a time on the clock there, such as 2026-11-30 08:15"))
    return found


def _place(field: str, told: str, known: Known) -> str:
    found = known.places.get(told.casefold())
    if found is None:
        raise _Wrong(field, said("no such place in the travel matrix; expected one of its names"))
    return found


def _told(field: str, read: Callable[[str], tuple[RiderTold, ...]], cells: Sequence[str],
          at: Mapping[str, int]) -> tuple[RiderTold, ...]:
    try:
        return read(cells[at[field]])
    except CellError as wrong:
        raise _Wrong(field, wrong.args[0]) from None


def _own(told: str, known: Known) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """The kinds that a party brings: those that somebody looked at, and those that nobody did."""
    sure, unsure = list[str](), list[str]()
    for one in told.split("/"):
        word = " ".join(one.split()).casefold()
        looked_at = word.endswith(f" {IN_ORDER}")
        kind = known.kinds.get(word.removesuffix(IN_ORDER).strip() if looked_at else word)
        if kind is None:
            raise _Wrong("own", said('no such kind in the fleet\'s file; expected its kinds, with "{in_order}" behind '
                                     "each that is in date and undamaged, and / between two", in_order=IN_ORDER))
        (sure if looked_at else unsure).append(kind)
    return tuple(sorted(sure)), tuple(sorted(unsure))
