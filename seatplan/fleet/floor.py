"""The floor: how well a party has to be carried, whatever else the day would gain by less.

It is the best level that any type of vehicle could give the party alone, with any kind of which a copy may be used to
the end of the booking; how many copies there are, and what other bookings need, lowers it never. A band counts by what
holds at both ends. Where nothing does, modes that stand aboard anyway may cover it between them, each at the floor of
its end. What is below the floor is an offer, and nobody is served so unless a person accepted it.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date
from typing import NamedTuple

from .records import (
    BEFORE,
    Accept,
    Booking,
    ClassAnswer,
    CopyUnit,
    Cover,
    Day,
    GivenUp,
    Level,
    Load,
    Offer,
    Unserved,
    Way,
    serves,
)

DAY_MINUTES = 24 * 60
#: so many offers are told of one booking
MOST_OFFERS = 3


class Choice(NamedTuple):
    """One way in which a booking may be carried; ``cover``: it holds for a part of the band, and this for the rest;
    ``below``: an offer that somebody accepted."""

    way: Way
    cover: Cover | None = None
    below: bool = False


class Floor(NamedTuple):
    """``level``: the floor, None where nothing serves or modes cover a band between them. ``choices``: by type, what
    may carry the booking, best first. ``why``: where there is no choice."""

    level: Level | None
    choices: Mapping[str, tuple[Choice, ...]]
    offers: tuple[Offer, ...]
    why: Unserved | None


def last_minute(copy: CopyUnit, day: str) -> int | None:
    """The minute of the day from which a copy may not be used any more; None: no limit is known."""
    if not copy.last:
        return None
    return (date.fromisoformat(copy.last) - date.fromisoformat(day)).days * DAY_MINUTES + DAY_MINUTES


def may_be_used(copy: CopyUnit, start: int, end: int, day: str) -> bool:
    """Whether a copy may stand for its kind from one minute to another."""
    last = last_minute(copy, day)
    return copy.usable and (copy.since is None or copy.since <= start) and (last is None or end <= last)


def floors(day: Day) -> tuple[Floor, ...]:
    """The floor of each booking, in their order."""
    types = sorted({vehicle.vehicle_type for vehicle in day.vehicles})
    accepted = {one.booking: one for one in day.accepted}
    known: dict[tuple[object, ...], Floor] = {}
    told = []
    for booking in day.bookings:
        kinds = frozenset(copy.kind for copy in day.copies if may_be_used(copy, booking.start, booking.end, day.date))
        accept = accepted.get(booking.key)
        key = booking.party, kinds, accept.level if accept else None
        if key not in known:
            known[key] = floor_of(booking, {one: day.answers.get((one, booking.party)) for one in types}, kinds, accept)
        told.append(known[key])
    return tuple(told)


def floor_of(booking: Booking, answers: Mapping[str, ClassAnswer | None], kinds: frozenset[str],
             accept: Accept | None = None) -> Floor:
    """The floor of one booking. ``answers``: by type, None where it was not asked; ``kinds``: of which a copy may be
    used for it."""
    asked = {one: answer for one, answer in answers.items() if answer is not None}
    serving = {one: _serving(answer.ways, kinds) for one, answer in asked.items()}
    level = min((way.level for ways in serving.values() for way in ways), default=None)
    if level is None:
        choices = _covered(asked, kinds)
        return Floor(None, choices, (), None if choices else _why(booking, asked))
    least = level if accept is None else max(level, accept.level)
    found = {one: tuple(Choice(way, None, way.level > level) for way in ways if way.level <= least)
             for one, ways in serving.items()}
    return Floor(level, {one: ways for one, ways in found.items() if ways}, _offers(serving, level), None)


def pieces(way: Way) -> Load:
    """What a way puts where, and how it is held."""
    return tuple(sorted((seat.kind, seat.position, seat.by or "") for seat in way.seats if seat.kind is not None))


def _serving(ways: Iterable[Way], kinds: frozenset[str]) -> list[Way]:
    """Those that serve and need no kind that may not be used; best first."""
    return sorted((way for way in ways if _possible(way, kinds)), key=lambda way: (way.level, way.rank))


def _possible(way: Way, kinds: frozenset[str]) -> bool:
    return serves(way) and all(kind in kinds for kind, _ in way.kit)


def _covered(asked: Mapping[str, ClassAnswer], kinds: frozenset[str]) -> dict[str, tuple[Choice, ...]]:
    """Pairs of ways that cover a band between them, each at the floor of its end, with the same pieces held the same
    way: whoever drives changes a mode at the door, and installs nothing."""
    ends: list[Level] = []
    for end in (0, 1):
        there = [way.level for answer in asked.values() if answer.by_end is not None
                 for way in _serving(answer.by_end[end], kinds)]
        if not there:
            return {}
        ends.append(min(there))
    found = {one: tuple(Choice(cover.below, cover) for cover in answer.covers
                        if _possible(cover.below, kinds) and _possible(cover.above, kinds)
                        and cover.below.level <= ends[0] and cover.above.level <= ends[1]
                        and pieces(cover.below) == pieces(cover.above)) for one, answer in asked.items()}
    return {one: choices for one, choices in found.items() if choices}


def _offers(serving: Mapping[str, list[Way]], level: Level) -> tuple[Offer, ...]:
    """The best ways below the floor, one a level, with what each child gives up."""
    best = min((way for ways in serving.values() for way in ways), key=lambda way: (way.level, way.rank))
    graded = {seat.member: seat.grade for seat in best.seats}
    told: dict[Level, Offer] = {}
    for kind, way in sorted(((kind, way) for kind, ways in serving.items() for way in ways),
                            key=lambda one: (one[1].level, one[1].rank, one[0])):
        if way.level > level and way.level not in told:
            worse = tuple(GivenUp(seat.member, graded[seat.member], seat.grade) for seat in way.seats
                          if seat.grade > graded.get(seat.member, seat.grade))
            told[way.level] = Offer(kind, way, worse, way.level[:BEFORE] > level[:BEFORE])
    return tuple(told.values())[:MOST_OFFERS]


def _band_of(booking: Booking, answer: ClassAnswer) -> tuple[str, int, str] | None:
    """What to ask where something holds at each end of a band, and nothing at both: the age of the youngest of whom
    only a band is known."""
    if answer.by_end is None or not all(any(serves(way) for way in ways) for ways in answer.by_end):
        return None
    return next((("rider.age", n, "") for n, member in enumerate(booking.party.members)
                 if member.months is not None and member.months[0] != member.months[1]), None)


def _why(booking: Booking, asked: Mapping[str, ClassAnswer]) -> Unserved:
    """Why nothing serves a party, whatever the day: the nearest to being served first."""
    if any(serves(way) for answer in asked.values() for way in answer.ways):
        return Unserved("no usable copies")
    for kind, answer in sorted(asked.items()):
        reading = answer.reading or _band_of(booking, answer)
        if reading is not None:
            return Unserved("reading", reading, kind, readings=(reading,))
    close = [(way.level, way.rank, kind, way) for kind, answer in sorted(asked.items()) for way in answer.ways
             if way.verdict == "close"]
    if close:
        _, _, kind, way = min(close, key=lambda one: one[:3])
        return Unserved("try", vehicle_type=kind, way=way)
    several = min(((len(answer.readings), kind) for kind, answer in asked.items() if answer.readings), default=None)
    if several is not None:
        return Unserved("reading", vehicle_type=several[1], readings=asked[several[1]].readings)
    conflict = next((answer.conflict for _, answer in sorted(asked.items()) if answer.conflict is not None), None)
    return Unserved("no type", conflict=conflict)
