"""Two copies of one trip that were each written in at the car, as one file: what was tried in either, and what is
installed by the later fact of each rider.

A copy that noted what the other one shows, and shows something else by now, is the later one for that rider: it knew,
by how the car arrived or by a try. Where neither knew, days decide; where they do not, that is an error with both
places, and nothing is guessed. What is under way is settled by whoever can tell what fits. The text of the first copy
is kept, and what the second one has beside it is put into it, as `record` does.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import date
from functools import partial
from typing import Any

from seatplan.frozen import frozen
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


@frozen
class Joined:
    """What happened at the car, as both copies have it. ``facts``: the trip, with nothing under way; ``first`` and
    ``second``: the trip of each; ``tries``: how many came from the second."""

    facts: Trip
    first: Trip
    second: Trip
    tries: int
    _one: _Copy

    def written(self, under_way: Mapping[str, UnderWay], into: str, today: date) -> tuple[str, Trip]:
        """The text of both as one, to be the file ``into``, with that under way, and its trip. Raises InputError."""
        wanted = self.facts.model_copy(update={"under_way": dict(under_way)})
        text = _written(self._one, wanted)
        _, after = trip_in(text.encode(), into, today)
        if not _same(after, wanted):
            raise InputError([Problem(into, 0, 0, said(
                "the two would not read as they were meant from there: write beside {first}", first=self._one.name))])
        return text, after


def joined(first: str, second: str, today: date) -> Joined:
    """Both as one. Raises InputError with every conflict, each with both places."""
    one, other = _Copy(first, today), _Copy(second, today)
    problems = [*_differing(one, other), *_same_day(one, other)]
    installed = _state("installed", one, other, problems)
    arrived = _state("arrived", one, other, problems)
    if problems:
        raise InputError(problems)
    beside = [tried for _, tried in _tried_beside(other, one)]
    facts = one.trip.model_copy(update={
        "tried": [*one.trip.tried, *beside], "installed": installed, "under_way": {},
        "arrived": None if one.trip.arrived is None and other.trip.arrived is None else arrived})
    return Joined(facts, one.trip, other.trip, len(beside), one)


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
        if state == getattr(was, key):
            continue
        if state or key == "arrived":
            entries = {rider: plain(noted) for rider, noted in (state or {}).items()}
            text = _put(one, partial(with_value_at, text, (key,), by_line(entries, text)), key)
        else:
            text = _put(one, partial(without_value_at, text, (key,)), key)
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
                restraint=mine[0][1].restraint, position=mine[0][1].position)
                if mine[0][1].restraint is not None else said(
                    "how the seat belt alone lies on {rider} at {position} was noted in both copies on one day, and "
                    "differs", rider=mine[0][1].rider or "", position=mine[0][1].position))


def _by_way(copy: _Copy) -> Iterator[tuple[tuple[object, ...], list[tuple[int, Tried]]]]:
    """The tries of each way on each day, in the order of the file, with their places in it."""
    ways: dict[tuple[object, ...], list[tuple[int, Tried]]] = {}
    for n, tried in enumerate(copy.trip.tried):
        ways.setdefault(_way(tried), []).append((n, tried))
    yield from ways.items()


def _tried_beside(copy: _Copy, other: _Copy) -> list[tuple[int, Tried]]:
    """The tries that one copy has beside those of the other, with their places. The same words again in one copy are
    another try: what would not hold, held and then would not hold again does not hold. The same words once in each are
    one try that both noted: where every field agrees nothing hangs on which of the two is kept."""
    there = dict(_by_way(other))
    beside = [one for way, tries in _by_way(copy) for one in tries[len(there.get(way, [])):]]
    return sorted(beside, key=lambda one: one[0])


def _way(tried: Tried) -> tuple[object, ...]:
    return tried.restraint, tried.position, tried.by, tried.on, tried.rider if tried.restraint is None else None


def _state(key: str, one: _Copy, other: _Copy, problems: list[Problem]) -> dict[str, Installed]:
    """``installed`` or ``arrived`` of every rider as both have it; what cannot be told goes to ``problems``."""
    state: dict[str, Installed] = {}
    for rider in dict.fromkeys((*_noted(one, key), *_noted(other, key))):
        mine, theirs = _noted(one, key).get(rider), _noted(other, key).get(rider)
        later = _later(key, rider, (one, mine), (other, theirs))
        if later is None:
            problems.append(_clash(one, (key, rider), other, (key, rider), said(
                "what is installed for {rider} differs, and both are of one day", rider=rider)
                if key == "installed" else said("how {rider} arrived is noted in both", rider=rider)))
        elif (here := mine if later is one else theirs) is not None:
            state[rider] = here
    return _each_taken_once(key, state, one, other, problems)


def _noted(copy: _Copy, key: str) -> Mapping[str, Installed]:
    found: Mapping[str, Installed] | None = getattr(copy.trip, key)
    return found or {}


def _later(key: str, rider: str, mine: tuple[_Copy, Installed | None],
           theirs: tuple[_Copy, Installed | None]) -> _Copy | None:
    """The copy that shows the later fact of a rider, either where they show the same; None where that cannot be
    told."""
    (one, here), (other, there) = mine, theirs
    if here == there:
        return one
    knew = there is not None and key == "installed" and _knew(one, rider, there)
    was_known = here is not None and key == "installed" and _knew(other, rider, here)
    if knew != was_known:
        return one if knew else other
    if here is None or there is None:
        held, lacking = (mine, other) if there is None else (theirs, one)
        assert held[1] is not None
        # nothing was there before in the other copy; but it may have failed there later
        return lacking if key == "installed" and _failed_later(lacking, held[0], rider, held[1]) else held[0]
    if _day(here) == _day(there):
        return None
    return one if _day(here) > _day(there) else other


def _knew(copy: _Copy, rider: str, here: Installed) -> bool:
    """Whether a copy had noted that a rider was installed so: when the car arrived, or by a try."""
    if _noted(copy, "arrived").get(rider) == here:
        return True
    return any(all(getattr(tried, key) == getattr(here, key) for key in ("restraint", "position", "by", "on"))
               and tried.rider in (None, rider) and _read(tried) == _read(here) for tried in copy.trip.tried)


def _read(one: Installed | Tried) -> dict[str, Any]:
    """Every reading, wherever in the entry it stands."""
    own = {} if one.readings is None else one.readings.data()
    own |= {key: value for key in ("moved", "level") if (value := getattr(one, key, None)) is not None}
    return {key: "yes" if value is True else "no" if value is False else value for key, value in own.items()
            if key != "sure" and value != ""}


def _failed_later(copy: _Copy, other: _Copy, rider: str, here: Installed) -> bool:
    """Whether what the other copy shows was tried in this one on a later day, and is not in since."""
    return any((tried.restraint, tried.position) == (here.restraint, here.position)
               and (tried.restraint is not None or tried.rider == rider)
               and (tried.on or date.min) > _day(here) for _, tried in _tried_beside(copy, other))


def _day(here: Installed) -> date:
    """What has no day was there before anything of this day."""
    return here.on or date.min


def _each_taken_once(key: str, state: Mapping[str, Installed], one: _Copy, other: _Copy,
                     problems: list[Problem]) -> dict[str, Installed]:
    """A seat or a restraint that the copies give to two riders is that of the later day."""
    kept: dict[str, Installed] = {}
    for rider in sorted(state, key=lambda name: (_day(state[name]), name), reverse=True):
        here = state[rider]
        clash = next((name for name, there in kept.items() if _share(here, there)
                      and not any({name: there, rider: here}.items() <= _noted(copy, key).items()
                                  for copy in (one, other))), None)
        if clash is None:
            kept[rider] = here
        elif _day(kept[clash]) == _day(here):
            first, second = (clash, rider) if _noted(one, key).get(clash) == kept[clash] else (rider, clash)
            thing = here.position if here.position == kept[clash].position else here.restraint
            problems.append(_clash(one, (key, first), other, (key, second), said(
                "{thing} is installed for {rider}", thing=thing, rider=first)))
    return {rider: here for rider, here in state.items() if rider in kept}


def _share(here: Installed, there: Installed) -> bool:
    return here.position == there.position or (here.restraint is not None and here.restraint == there.restraint)
