"""The minutes from every place to every other, as a matrix in CSV: row from, column to.

Nothing is filled in: a way back may take another time, and every pair is said, a place to itself too; ``-`` stands
where nothing drives.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import ceil

from seatplan.message import Name, said
from seatplan.written import as_name

from .errors import InputError, Problem, brief
from .tables import Line, lines_of

#: more minutes are a slip
MOST_MINUTES = 1440
MOST_PLACES = 2000
#: so many problems are told of one file
_MOST_TOLD = 20


def load_travel(path: str) -> dict[tuple[str, str], int]:
    """Minutes by from and to, begun ones as whole ones; a pair that nothing drives is not there. Raises InputError with
    its problems, each with line and column of the table: the first twenty or so."""
    lines = lines_of(path)
    header = next(lines, None)
    if header is None:
        raise InputError([Problem(path, 0, 0, said("this file is empty; expected a travel matrix in CSV"))])
    if header.wrong:
        raise InputError([Problem(path, header.number, 1, header.wrong)])
    problems: list[Problem] = []
    goals = header.cells[1:]
    problems += _names(path, header, goals)
    if not goals:
        problems.append(Problem(path, header.number, 1, said(
            "expected the places in the first line, and in the first cell of each line below")))
    minutes: dict[tuple[str, str], int] = {}
    origins: dict[str, int] = {}
    for line in () if problems else lines:
        for one in _row(path, line, goals, minutes, origins):
            problems.append(one)
        if len(problems) >= _MOST_TOLD:
            break
    problems += [] if problems else _same_places(path, header.number, goals, origins)
    if problems:
        raise InputError(problems)
    return minutes


def _names(path: str, header: Line, goals: Sequence[str]) -> Iterator[Problem]:
    if len(goals) > MOST_PLACES:
        yield Problem(path, header.number, 1, said("{n} places; expected at most {most}", n=len(goals),
                                                   most=MOST_PLACES))
        return
    seen: dict[str, int] = {}
    for n, name in enumerate(goals, 2):
        if as_name(name) is None:
            yield Problem(path, header.number, n, said("column {n} has no name; expected that of a place", n=n))
        elif seen.setdefault(name.casefold(), n) != n:
            yield Problem(path, header.number, n, said('place "{name}" stands here twice, in columns {first} and {n}',
                                                       name=Name(name), first=seen[name.casefold()], n=n))


def _row(path: str, line: Line, goals: Sequence[str], minutes: dict[tuple[str, str], int],
         origins: dict[str, int]) -> Iterator[Problem]:
    if line.wrong:
        yield Problem(path, line.number, 1, line.wrong)
        return
    origin = line.cells[0]
    if origin not in goals:
        yield Problem(path, line.number, 1, said('place "{name}" is not in the first line; {near}',
                                                 name=brief(origin), near=_near(origin, goals)))
        return
    if origins.setdefault(origin, line.number) != line.number:
        yield Problem(path, line.number, 1, said('place "{name}" stands here twice; first in line {line}',
                                                 name=Name(origin), line=origins[origin]))
        return
    if len(line.cells) > len(goals) + 1:
        yield Problem(path, line.number, len(goals) + 2, said("{n} cells; expected {most}, as in the first line",
                                                              n=len(line.cells), most=len(goals) + 1))
        return
    for k, goal in enumerate(goals, 1):
        told = line.cells[k] if k < len(line.cells) else ""
        if told in ("-", "–"):
            continue
        found = _minutes(told)
        if found is None:
            yield Problem(path, line.number, k + 1, _wrong(told, origin, goal), found=told)
        else:
            minutes[origin, goal] = found


def _near(name: str, goals: Sequence[str]) -> str:
    from difflib import get_close_matches

    near = [one for one in goals if one.casefold() == name.casefold()] or get_close_matches(name[:60], goals, 1, 0.6)
    return said('did you mean "{near}"?', near=near[0]) if near else said("expected one of those")


def _minutes(told: str) -> int | None:
    """Whole minutes, begun ones counted; None where it is no number of minutes."""
    whole, _, part = told.partition(".")
    if not (whole.isascii() and whole.isdecimal() and len(whole) <= 4) or (
            part and not (part.isascii() and part.isdecimal())) or told.endswith("."):
        return None
    found = ceil(float(told))
    return found if found <= MOST_MINUTES else None


def _wrong(told: str, origin: str, goal: str) -> str:
    if not told:
        return said('no minutes from "{origin}" to "{goal}"; expected 0 to {most}, or - where nothing drives',
                    origin=Name(origin), goal=Name(goal), most=MOST_MINUTES)
    return said('minutes from "{origin}" to "{goal}" are "{told}"; expected 0 to {most}, or - where nothing drives',
                origin=Name(origin), goal=Name(goal), told=brief(told, 30), most=MOST_MINUTES)


def _same_places(path: str, header: int, goals: Sequence[str], origins: dict[str, int]) -> Iterator[Problem]:
    for n, goal in enumerate(goals, 2):
        if goal not in origins:
            yield Problem(path, header, n, said('place "{name}" has a column and no line; expected the minutes from it',
                                                name=Name(goal)))
