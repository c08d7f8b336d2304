"""Answers of classes as plain data and back: what is kept on disk, and what comes from another process or machine.

Nothing is unpickled. What is read is checked field by field, with the types and the lengths that the records have; what
does not fit is ``Damaged``, and whoever reads asks the class again.
"""

from __future__ import annotations

import json
from collections.abc import Callable
from typing import Any, TypeVar, cast, get_args

from .records import GRADES, ClassAnswer, Cover, Kit, Member, Party, Seat, Verdict, Way

Json = Any
T = TypeVar("T")

#: no seat, rider or piece of a kit has a larger number than that
_MOST = 10_000
_LONGEST = 400
_VERDICTS = frozenset(get_args(Verdict))


class Damaged(Exception):
    """What was read is no answer of ours. ``where``: the part that does not fit."""

    def __init__(self, where: str) -> None:
        super().__init__(f"{where} is not as it was written")
        self.where = where


def canonical_json(value: Json) -> str:
    """One text for equal data: keys sorted, no spaces, letters of every language as they are."""
    return json.dumps(value, sort_keys=True, separators=(",", ":"), ensure_ascii=False, allow_nan=False)


# --- out

def answer_json(answer: ClassAnswer) -> Json:
    """An answer as JSON: objects, lists, text and whole numbers."""
    conflict, by_end = answer.conflict, answer.by_end
    return {
        "verdict": answer.verdict, "ways": list(map(_way_out, answer.ways)),
        "conflict": None if conflict is None else [list(conflict[0]), list(conflict[1])],
        "by_end": None if by_end is None else [list(map(_way_out, ways)) for ways in by_end],
        "covers": [{"below": _way_out(one.below), "above": _way_out(one.above), "reading": list(one.reading)}
                   for one in answer.covers],
        "readings": [list(one) for one in answer.readings], "complete": answer.complete,
    }


def party_json(party: Party) -> Json:
    """A party as JSON."""
    return {"members": [list(member) for member in party.members], "brings": list(party.brings)}


def _way_out(way: Way) -> Json:
    return {**way._asdict(), "kit": [list(one) for one in way.kit], "level": list(way.level),
            "seats": [list(seat) for seat in way.seats], "cautions": list(way.cautions)}


# --- in

def read_answer(text: str) -> ClassAnswer:
    """An answer from its text. Damaged: it is none."""
    try:
        value = json.loads(text)
    except (ValueError, RecursionError) as wrong:
        raise Damaged("the answer") from wrong
    return answer_of(value)


def answer_of(value: Json) -> ClassAnswer:
    """An answer from JSON. Damaged: it is none."""
    told = _object(value, ("verdict", "ways", "conflict", "by_end", "covers", "readings", "complete"), "the answer")
    readings = _list(told["readings"], _reading, "readings")
    return ClassAnswer(
        _verdict(told["verdict"]), _list(told["ways"], _way, "ways"), _conflict(told["conflict"]),
        readings[0] if len(readings) == 1 else None, _by_end(told["by_end"]),
        _list(told["covers"], _cover, "covers"), readings, _bool(told["complete"], "complete"))


def party_of(value: Json) -> Party:
    """A party from JSON. Damaged: it is none."""
    told = _object(value, ("members", "brings"), "the party")
    return Party(_list(told["members"], _member, "members"), _list(told["brings"], _text, "brings"))


def _way(value: Json) -> Way:
    told = _object(value, Way._fields, "a way")
    return Way(_kit(told["kit"]), _list(told["level"], _number, "level"), _verdict(told["verdict"]),
               _bool(told["bodies_only"], "bodies_only"), _list(told["seats"], _seat, "seats"),
               _list(told["cautions"], _text, "cautions"), _number(told["rank"]), _bool(told["held"], "held"))


def _kit(value: Json) -> Kit:
    kit = _list(value, lambda one: (_text(_part(one, 0, 2, "kit")), _number(_part(one, 1, 2, "kit"))), "kit")
    if list(kit) != sorted(kit) or len({kind for kind, _ in kit}) != len(kit) or any(n < 1 for _, n in kit):
        raise Damaged("kit")
    return kit


def _seat(value: Json) -> Seat:
    member, position, kind, mode, by, grade, tether, own = _parts(value, len(Seat._fields), "a seat")
    grade_told = _number(grade, -1)
    if grade_told >= len(GRADES):
        raise Damaged("grade")
    return Seat(_number(member), _text(position), _or_none(kind, _text), _text(mode), _or_none(by, _text), grade_told,
                _bool(tether, "tether"), _number(own, -1))


def _member(value: Json) -> Member:
    adult, months, mass, height, upright = _parts(value, len(Member._fields), "a member")
    ages = _or_none(months, lambda one: (_number(_part(one, 0, 2, "months")), _number(_part(one, 1, 2, "months"))))
    return Member(_bool(adult, "adult"), ages, _or_none(mass, lambda one: _number(one, most=1_000_000)),
                  _or_none(height, _number), _or_none(upright, lambda one: _bool(one, "sits_upright")))


def _cover(value: Json) -> Cover:
    told = _object(value, Cover._fields, "a cover")
    return Cover(_way(told["below"]), _way(told["above"]), _reading(told["reading"]))


def _reading(value: Json) -> tuple[str, int, str]:
    key, member, would_do = _parts(value, 3, "a reading")
    return _text(key), _number(member, -1), _text(would_do)


def _conflict(value: Json) -> tuple[tuple[int, ...], tuple[str, ...]] | None:
    if value is None:
        return None
    members, rules = _parts(value, 2, "conflict")
    return _list(members, _number, "conflict"), _list(rules, _text, "conflict")


def _by_end(value: Json) -> tuple[tuple[Way, ...], tuple[Way, ...]] | None:
    if value is None:
        return None
    low, high = _parts(value, 2, "by_end")
    return _list(low, _way, "by_end"), _list(high, _way, "by_end")


def _object(value: Json, keys: tuple[str, ...], where: str) -> dict[str, Json]:
    if not isinstance(value, dict) or value.keys() != set(keys):
        raise Damaged(where)
    return value


def _list(value: Json, each: Callable[[Json], T], where: str) -> tuple[T, ...]:
    if not isinstance(value, list):
        raise Damaged(where)
    return tuple(map(each, value))


def _parts(value: Json, number: int, where: str) -> list[Json]:
    if not isinstance(value, list) or len(value) != number:
        raise Damaged(where)
    return value


def _part(value: Json, n: int, number: int, where: str) -> Json:
    return _parts(value, number, where)[n]


def _verdict(value: Json) -> Verdict:
    if not isinstance(value, str) or value not in _VERDICTS:
        raise Damaged("verdict")
    return cast(Verdict, value)


def _number(value: Json, least: int = 0, most: int = _MOST) -> int:
    if not isinstance(value, int) or isinstance(value, bool) or not least <= value <= most:
        raise Damaged("a number")
    return value


def _text(value: Json) -> str:
    if not isinstance(value, str) or len(value) > _LONGEST:
        raise Damaged("a text")
    return value


def _bool(value: Json, where: str) -> bool:
    if not isinstance(value, bool):
        raise Damaged(where)
    return value


def _or_none(value: Json, read: Callable[[Json], T]) -> T | None:
    return None if value is None else read(value)
