"""Two copies of one trip that were each written in at the car, as one file: what was tried in either, what is installed
by the later one.

The text of the first copy is kept, and what the second one has beside it is put into it, as `record` does. What cannot
be told from the two alone is an error with both places, and nothing is guessed.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import date
from functools import partial
from typing import Any

from seatplan.message import said
from seatplan.model import Installed, Tried, Trip, UnderWay

from .appending import as_written, entry_text, with_entry
from .changing import with_value_at, without_value_at
from .errors import InputError, Problem
from .load import trip_in
from .places import Document, Loc
from .reading import decoded
from .recording import by_line, in_quotes, plain, with_place
from .writer import held
from .yaml_text import CannotPlace

#: what is joined; all else must be the same in both
_JOINED = ("tried", "installed", "arrived", "under_way")


class _Copy:
    """One of the two: its text, the places of its parts, the trip."""

    def __init__(self, name: str, today: date) -> None:
        with held(name) as file:
            raw = file.raw
        self.name, self.text = name, decoded(raw, name)
        self.document: Document
        self.document, self.trip = trip_in(raw, name, today)

    def place(self, *loc: str | int) -> str:
        """Where something stands: ``a.yaml:12``."""
        line = self.document.place(loc)[0]
        return f"{self.name}:{line}"


def merged(first: str, second: str, into: str, today: date) -> tuple[str, Trip, int]:
    """The text of both as one, to be the file ``into``; its trip; how many tries came from the second.

    Raises InputError with every conflict, each with both places.
    """
    one, other = _Copy(first, today), _Copy(second, today)
    wanted = _as_one(one, other)
    text = _written(one, wanted)
    _, after = trip_in(text.encode(), into, today)
    if not _same(after, wanted):
        raise InputError([Problem(into, 0, 0, said(
            "the two would not read as they were meant from there: write beside {first}", first=first))])
    return text, after, len(wanted.tried) - len(one.trip.tried)


def _as_one(one: _Copy, other: _Copy) -> Trip:
    """What both come to. Raises InputError with every conflict."""
    problems = [*_differing(one, other), *_same_day(one, other), *_arrivals(one, other), *_aims(one, other)]
    installed: dict[str, Installed] = {}
    for rider in dict.fromkeys((*one.trip.installed, *other.trip.installed)):
        here = _installed(rider, one, other, problems)
        if here is not None:
            installed[rider] = here
    problems += list(_taken_twice(installed, one, other))
    if problems:
        raise InputError(problems)
    return one.trip.model_copy(update={
        "tried": [*one.trip.tried, *(tried for _, tried in _tried_beside(other, one))],
        "installed": installed,
        "arrived": one.trip.arrived if one.trip.arrived is not None else other.trip.arrived,
        "under_way": one.trip.under_way or other.trip.under_way})


def _written(one: _Copy, wanted: Trip) -> str:
    """The text of the first copy, changed to what both come to."""
    text, was = one.text, one.trip
    for tried in wanted.tried[len(was.tried):]:
        text = _put(one, partial(with_entry, text, as_written(tried.data())), "tried")
    for rider, here in was.installed.items():
        if wanted.installed.get(rider) != here:
            text = _put(one, partial(without_value_at, text, ("installed", rider)), "installed")
    for rider, here in wanted.installed.items():
        if was.installed.get(rider) != here:
            text = _put(one, partial(with_place, text, rider, entry_text(plain(here), in_quotes(text))), "installed")
    for key in ("arrived", "under_way"):
        state: Mapping[str, Installed | UnderWay] | None = getattr(wanted, key)
        if state and state != getattr(was, key):
            entries = {rider: plain(noted) for rider, noted in state.items()}
            text = _put(one, partial(with_value_at, text, (key,), by_line(entries, text)), key)
    return text


def _same(after: Trip, wanted: Trip) -> bool:
    return all(getattr(after, name) == getattr(wanted, name) for name in Trip.model_fields)


def _put(one: _Copy, changed: Any, key: str) -> str:
    try:
        text: str = changed()
    except CannotPlace:
        raise InputError([one.document.problem((key,), said(
            "what the other copy has cannot be put in here without changing the rest"), True)]) from None
    return text


def _clash(one: _Copy, loc: Loc, other: _Copy, there: Loc, what: str) -> Problem:
    """Something that cannot be both, with both places."""
    return one.document.problem(loc, said("{what}; in {place} it is otherwise: settle it in one of them", what=what,
                                          place=other.place(*there)))


def _differing(one: _Copy, other: _Copy) -> Iterator[Problem]:
    """Copies of one trip say the same of everybody, every restraint and the car."""
    for key in Trip.model_fields:
        if key not in _JOINED and getattr(one.trip, key) != getattr(other.trip, key):
            mine = one.trip.riders if key == "riders" else one.trip.restraints if key == "restraints" else None
            theirs = getattr(other.trip, key) if mine is not None else None
            if mine is not None and theirs is not None and len(mine) == len(theirs):
                for n, pair in enumerate(zip(mine, theirs, strict=True)):
                    if pair[0] != pair[1]:
                        yield _clash(one, (key, n), other, (key, n), said("the copies differ here"))
            else:
                yield _clash(one, (key,), other, (key,), said("the copies differ here"))


def _same_day(one: _Copy, other: _Copy) -> Iterator[Problem]:
    """Of two tries of one way on one day, each in one copy alone, nobody knows which came last."""
    in_other = dict(_by_way(other))
    for way, mine in _by_way(one):
        theirs = in_other.get(way, [])
        pairs = zip(mine, theirs, strict=False)
        first = next(((k, n) for (k, a), (n, b) in pairs if a != b), None)
        if first is not None:
            yield _clash(one, ("tried", first[0]), other, ("tried", first[1]), said(
                "{restraint} at {position} was tried in both copies on one day, and how it went differs",
                restraint=mine[0][1].restraint, position=mine[0][1].position))


def _by_way(copy: _Copy) -> Iterator[tuple[tuple[object, ...], list[tuple[int, Tried]]]]:
    """The tries of each way on each day, in the order of the file, with their places in it."""
    ways: dict[tuple[object, ...], list[tuple[int, Tried]]] = {}
    for n, tried in enumerate(copy.trip.tried):
        ways.setdefault(_way(tried), []).append((n, tried))
    yield from ways.items()


def _tried_beside(copy: _Copy, other: _Copy) -> list[tuple[int, Tried]]:
    """The tries that one copy has beside those of the other, with their places. The same words again are another try:
    what would not hold, held and then would not hold again does not hold."""
    there = dict(_by_way(other))
    beside = [one for way, tries in _by_way(copy) for one in tries[len(there.get(way, [])):]]
    return sorted(beside, key=lambda one: one[0])


def _way(tried: Tried) -> tuple[object, ...]:
    return tried.restraint, tried.position, tried.by, tried.on


def _arrivals(one: _Copy, other: _Copy) -> Iterator[Problem]:
    if one.trip.arrived is not None and other.trip.arrived is not None and one.trip.arrived != other.trip.arrived:
        yield _clash(one, ("arrived",), other, ("arrived",), said("how the car arrived is noted in both"))


def _aims(one: _Copy, other: _Copy) -> Iterator[Problem]:
    mine, theirs = one.trip.under_way, other.trip.under_way
    if mine and theirs and mine != theirs:
        yield _clash(one, ("under_way",), other, ("under_way",), said("another arrangement is under way"))


def _installed(rider: str, one: _Copy, other: _Copy, problems: list[Problem]) -> Installed | None:
    """What is installed for a rider by the later copy; None where it was taken out later."""
    mine, theirs = one.trip.installed.get(rider), other.trip.installed.get(rider)
    if mine == theirs:
        return mine
    if mine is not None and theirs is not None:
        # what has no day was there before anything of this day
        days = (mine.on or date.min, theirs.on or date.min)
        if days[0] == days[1]:
            problems.append(_clash(one, ("installed", rider), other, ("installed", rider), said(
                "what is installed for {rider} differs, and both are of one day", rider=rider)))
            return mine
        return mine if days[0] > days[1] else theirs
    here, holder, lacking = (mine, one, other) if mine is not None else (theirs, other, one)
    assert here is not None
    gone = [(n, tried) for n, tried in _tried_beside(lacking, holder)
            if tried.restraint == here.restraint or tried.position == here.position or tried.rider == rider]
    if not gone:
        return here
    n, last = gone[-1]
    if (last.on or date.min) == (here.on or date.min):
        problems.append(_clash(holder, ("installed", rider), lacking, ("tried", n), said(
            "{rider} is installed here, and was moved by a try of the same day there", rider=rider)))
        return here
    return None if (last.on or date.min) > (here.on or date.min) else here


def _taken_twice(installed: Mapping[str, Installed], one: _Copy, other: _Copy) -> Iterator[Problem]:
    """A seat or a restraint that the one copy gives to one rider and the other to another."""
    taken: dict[tuple[str, str], str] = {}
    for rider, here in installed.items():
        for key in (("position", here.position), ("restraint", here.restraint or "")):
            first = taken.setdefault(key, rider) if key[1] else rider
            if first != rider:
                owners = [one if name in one.trip.installed and one.trip.installed[name] == installed[name] else other
                          for name in (first, rider)]
                yield _clash(owners[0], ("installed", first), owners[1], ("installed", rider), said(
                    "{thing} is installed for {rider}", thing=key[1], rider=first))
