"""Offers that a person accepted, from a CSV file: ``id``, ``offer`` and ``why``.

The file is the operator's own. No id in it is repeated in what is said of it.
"""

from __future__ import annotations

from typing import NamedTuple

from seatplan.message import said

from .errors import InputError, Problem
from .salt import key_of
from .tables import Line, lines_of

COLUMNS = ("id", "offer", "why")
_MOST_WHY = 500


class Accepted(NamedTuple):
    """``key``: the salted id; ``offer``: its number as the plan tells it, from 1."""

    line: int
    key: str
    offer: int
    why: str


def load_accepted(path: str, salt: bytes) -> tuple[Accepted, ...]:
    """What was accepted. Raises InputError with every row that is wrong."""
    lines = lines_of(path)
    header = next(lines, None)
    names = [] if header is None else [name.casefold() for name in header.cells]
    missing = [name for name in COLUMNS if name not in names]
    if missing:
        raise InputError([Problem(path, 1, 1, said(
            "no column is called `{name}`; expected {columns} in the first line", name=missing[0],
            columns=", ".join(COLUMNS)))])
    at = {name: names.index(name) for name in COLUMNS}
    told: list[Accepted] = []
    problems: list[Problem] = []
    for line in lines:
        row = _row(path, line, at, salt)
        if isinstance(row, Problem):
            problems.append(row)
        elif any(one.key == row.key for one in told):
            problems.append(Problem(path, line.number, at["id"] + 1, said(
                "this id stands above in the file; expected each booking once")))
        else:
            told.append(row)
    if problems:
        raise InputError(problems)
    return tuple(told)


def _row(path: str, line: Line, at: dict[str, int], salt: bytes) -> Accepted | Problem:
    cells = line.cells
    if line.wrong or len(cells) <= max(at.values()):
        return Problem(path, line.number, 1, line.wrong or said(
            "{n} cells; expected {n_columns}, as in the first line", n=len(cells), n_columns=max(at.values()) + 1))
    booking, offer, why = (cells[at[name]] for name in COLUMNS)
    if not booking:
        return Problem(path, line.number, at["id"] + 1, said("expected the id of a booking"))
    if not (offer.isascii() and offer.isdecimal() and 0 < int(offer[:4]) < 1000):
        return Problem(path, line.number, at["offer"] + 1, said(
            "expected the number of an offer, as the plan tells it"), found=offer)
    if not 0 < len(why) <= _MOST_WHY:
        return Problem(path, line.number, at["why"] + 1, said(
            "expected why it was accepted, in 1 to {most} letters", most=_MOST_WHY))
    return Accepted(line.number, key_of(booking, salt), int(offer), why)
