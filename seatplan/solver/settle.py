"""The smallest set of readings after which one arrangement is sure: no rule asks for anything of it any more.

What the rules ask is answered with values that would do (``would_do.py``), the arrangement judged again, and so on
until nothing is asked; one arrangement is judged each time, never the trip solved. That set is then held against every
smaller one, of its own fields and of others that these rules read: a field is needed where the arrangement is still
open with all the others given, and of what is left every set is tried out, the smallest first.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import reduce
from itertools import combinations
from math import comb
from typing import TYPE_CHECKING, Any, Literal

from seatplan.doubt import believed_anew
from seatplan.frozen import frozen
from seatplan.model import Trip
from seatplan.model.doubt import steps
from seatplan.rules.finding import Finding, sense
from seatplan.rules.registry import rule_by_id
from seatplan.rules.subjects import Placement

from .asked import Asked, about, asked_by, asked_together, estimated_in, read_by, thing_asked
from .judge import Judge, Judged, Pick
from .would_do import Settled, at_length, tips, turns, with_field, would_do

if TYPE_CHECKING:
    from .results import Arrangement, Verdict
    from .solve import Solve

#: rounds of questions and answers until an arrangement counts as one that nobody can settle
_ROUNDS = 40
#: arrangements judged to show that no smaller set of readings does
MOST_JUDGED = 400
#: fields beside those that are asked for that are tried in place of several of them
_OTHERS = 16
#: halvings on the way to the number at which an arrangement tips
_HALVINGS = 8

How = Literal["proven", "greedy", "open"]


@frozen
class Reading:
    """One reading of a set. ``settles``: the values at which rules change their answer; ``would_do``: a value, as a
    file has it, with which the arrangement is what was promised; None where there is no saying."""

    asked: Asked
    settles: tuple[Settled, ...]
    would_do: Any = None
    asked_by: tuple[str, ...] = ()


@frozen
class Settle:
    """The readings that settle an arrangement, in the order in which they are asked for. ``verdict``: what it is with
    the values that would do, None where a reading has none. ``smallest``: ``proven`` where no smaller set does,
    ``greedy`` where there may be one, ``open`` where more may be asked once these are taken. ``estimates``: readings
    that only make it surer, in place of what is estimated now."""

    arrangement: Arrangement
    readings: tuple[Reading, ...]
    verdict: Verdict | None
    smallest: How
    estimates: tuple[Reading, ...] = ()


@dataclass(slots=True)
class _Found:
    """What was asked so far: by field the values at which rules change their answer, and the rules."""

    asked: dict[object, Asked] = field(default_factory=dict)
    settles: dict[object, dict[Settled, None]] = field(default_factory=dict)
    rules: dict[object, dict[str, None]] = field(default_factory=dict)
    values: dict[object, Any] = field(default_factory=dict)
    turns: dict[object, int] = field(default_factory=dict)
    again: set[object] = field(default_factory=set)

    def add(self, asked: Asked, finding: Finding) -> None:
        key = asked.same
        self.asked.setdefault(key, asked)
        self.rules.setdefault(key, {})[finding.rule] = None
        told = self.settles.setdefault(key, {})
        at = finding.result.settles_at
        if at is not None:
            told[Settled(at, finding.result.unit, finding.result.keeps)] = None

    def reading(self, key: object) -> Reading:
        return Reading(self.asked[key], tuple(self.settles[key]), self.values.get(key), tuple(self.rules[key]))


class Settling:
    """Settles arrangements of one solved trip. ``judged`` counts the arrangements that were judged for it."""

    def __init__(self, solve: Solve) -> None:
        self.solve, self.trip, self.judged = solve, solve.trip, 0

    def settle(self, arrangement: Arrangement, thoroughly: bool = True) -> Settle:
        """The readings that settle an arrangement; ``thoroughly``: no fewer do, as far as that can be shown."""
        picks = open_picks(arrangement)
        found, last = self._asked(picks)
        keys = list(found.asked)
        done = last is not None and last.verdict not in ("unmeasured", "rejected") and self._believed(found)
        smallest: How = "open"
        if done and all(key in found.values for key in keys):
            keys, smallest = self._smallest(picks, found, thoroughly) if keys else ([], "proven")
            last = self._judge(picks, found, keys)
        else:
            done = False
        if done:
            self._tip(picks, found, keys)
        first = self._first_asked(arrangement)
        readings = tuple(found.reading(key) for key in sorted(keys, key=lambda key: first.get(key, len(first))))
        surer = self._surer(picks, found, keys, last) if done else ()
        return Settle(arrangement, readings, last.verdict if done and last is not None else None, smallest, surer)

    def _first_asked(self, arrangement: Arrangement) -> dict[object, int]:
        """The fields that an arrangement asks for as it is, in the order in which they are to be found out."""
        placements = [seat.placement for seat in arrangement.seats]
        findings = [*(f for seat in arrangement.seats for f in seat.cell.findings), *arrangement.findings]
        asked = [asked.same for found in asked_together(findings, thing_asked) for finding in found
                 for asked in asked_by(finding, about(finding, placements), self.trip)]
        return {key: n for n, key in enumerate(dict.fromkeys(asked))}

    def settle_again(self, arrangement: Arrangement, known: Settle, was: Trip) -> Settle:
        """The same for an arrangement that was settled before something was filled in; ``was``: the trip as it was
        then. What was asked then and still is not known, where that still does, else all anew."""
        return self.still(arrangement, known, was) or self.settle(arrangement, False)

    def still(self, arrangement: Arrangement, known: Settle, was: Trip) -> Settle | None:
        """What was asked then and still is not known; None where that does not settle the arrangement any more."""
        left = self.left(known, was)
        if known.verdict is not None:
            try:
                trip = with_values(self.trip, {one.asked.path: one.would_do for one in left})
            except ValueError:
                return None
            judged = self.judge(trip, open_picks(arrangement))
            if judged is not None and judged.verdict not in ("unmeasured", "rejected"):
                return Settle(arrangement, tuple(left), judged.verdict, known.smallest, known.estimates)
        return None

    def left(self, known: Settle, was: Trip) -> list[Reading]:
        """The readings of a set that nobody took since."""
        return [one for one in known.readings if _at(was, one.asked.path) == _at(self.trip, one.asked.path)]

    def _asked(self, picks: Sequence[Pick]) -> tuple[_Found, Judged | None]:
        """What is asked until nothing is, each answered by a value that would do; and what the last judge said."""
        found = _Found()
        judged = None
        for _ in range(_ROUNDS):
            judged = self._judge(picks, found, list(found.values))
            if judged is None:
                return found, None
            new = self._note(found, judged)
            if judged.verdict == "rejected":
                new = self._bounded(found, judged) or self._next_turn(found) or new
            if not new and not self._likelier(found):
                return found, judged
        return found, None

    def _note(self, found: _Found, judged: Judged) -> bool:
        """Write down what is asked for, and find a value for each; whether there is a new one."""
        placements = [cell.placement for cell in judged.cells]
        keys: dict[object, None] = {}
        for finding in judged.findings:
            if finding.outcome == "unmeasured":
                for asked in asked_by(finding, about(finding, placements), self.trip):
                    found.add(asked, finding)
                    keys[asked.same] = None
        return bool([key for key in keys if self._value(found, key)])

    def _bounded(self, found: _Found, judged: Judged) -> bool:
        """Where a value that was put in is past the limit of a rule, take that limit as well."""
        new = False
        for finding in judged.refused_by:
            limit, keeps = finding.result.limit, sense(finding.result)
            if limit is None or isinstance(limit, str) or not keeps:
                continue
            reads = rule_by_id(finding.rule).reads
            for key in found.values:
                told = Settled(limit, finding.result.unit, keeps)
                if found.asked[key].key in reads and told not in found.settles[key]:
                    found.settles[key][told] = None
                    new |= self._value(found, key)
        return new

    def _next_turn(self, found: _Found) -> bool:
        """Try the next value of each field that has several; whether there is one."""
        left = [key for key in found.values if found.turns.get(key, 0) + 1 < turns(found.asked[key])]
        found.turns |= {key: found.turns.get(key, 0) + 1 for key in left}
        return bool([key for key in left if self._value(found, key)])

    def _likelier(self, found: _Found) -> bool:
        """Where more is known of a rider by now than when a size was chosen, choose it anew; whether one is another."""
        sizes = [key for key in found.values if found.asked[key].path[0] == "riders" and key not in found.again]
        found.again.update(sizes)
        return bool([key for key in sizes if self._value(found, key)])

    def _value(self, found: _Found, key: object) -> bool:
        """Find a value that would do for a field; whether it is another one than before."""
        asked = found.asked[key]
        if not asked.path:
            return False
        value = would_do(asked, list(found.settles[key]), self._with(found, [k for k in found.values if k != key]),
                         self.solve.world.day, found.turns.get(key, 0))
        if value is None or found.values.get(key) == value:
            return False
        try:
            with_field(self._with(found, [k for k in found.values if k != key]), asked.path, value)
        except (ValueError, LookupError, AttributeError, TypeError):
            return False
        found.values[key] = value
        return True

    def _with(self, found: _Found, keys: Iterable[object]) -> Trip:
        """The trip with the values of some fields, what holds another one first."""
        return with_values(self.trip, {found.asked[key].path: found.values[key] for key in keys})

    def _judge(self, picks: Sequence[Pick], found: _Found, keys: Iterable[object]) -> Judged | None:
        """What becomes of an arrangement with the values of some fields."""
        try:
            trip = self._with(found, keys)
        except ValueError:
            return None                            # a part is not known to be there of which something is
        return self.judge(trip, picks)

    def judge(self, trip: Trip, picks: Sequence[Pick]) -> Judged | None:
        """What becomes of an arrangement in a trip with the same names, under the options of the solve."""
        self.judged += 1
        world = self.solve.world
        return Judge(trip, world.profile, world.day, world.options, world.store).best(picks)

    def _believed(self, found: _Found) -> bool:
        """Whether none of the values would count as unlikely in a file."""
        day = self.solve.world.day
        known = believed_anew(self.trip, day, self.solve.world.store).doubted
        changed = believed_anew(self._with(found, found.values), day, self.solve.world.store)
        return all(doubt in known for doubt in changed.doubted)

    def _smallest(self, picks: Sequence[Pick], found: _Found, thoroughly: bool) -> tuple[list[object], How]:
        """The fewest of the fields that do; whether it is shown that no fewer do."""
        every = list(found.values)
        if not thoroughly:
            return self._fewer(picks, found, (), every), "greedy"
        others = self._others(picks, found)
        needed = [key for key in every if not self._does(picks, found, [k for k in (*every, *others) if k != key])]
        rest = [key for key in every if key not in needed]
        if self._does(picks, found, needed):
            return needed, "proven"
        tried = 0
        for n in range(1, len(rest)):
            tried += comb(len(rest) + len(others), n)
            if tried > MOST_JUDGED:
                return self._fewer(picks, found, needed, rest), "greedy"
            for some in combinations((*rest, *others), n):
                if self._does(picks, found, [*needed, *some]):
                    return [key for key in (*every, *others) if key in needed or key in some], "proven"
        return every, "proven"

    def _others(self, picks: Sequence[Pick], found: _Found) -> list[object]:
        """Further fields that the rules read which ask for something, with usual values that turn nothing down: one of
        them could do in place of several."""
        every = list(found.values)
        judged = self._judge(picks, found, ())
        placements = [] if judged is None else [cell.placement for cell in judged.cells]
        others: list[object] = []
        for asked in read_by({rule: None for rules in found.rules.values() for rule in rules}, placements, self.trip):
            if len(others) < _OTHERS and not any(
                    _overlap(asked.path, found.asked[key].path) for key in (*every, *others)):
                found.asked[asked.same] = asked
                found.settles[asked.same], found.rules[asked.same] = {}, {}
                if self._value(found, asked.same) and self._does(picks, found, [*every, asked.same]):
                    others.append(asked.same)
        return others

    def _fewer(self, picks: Sequence[Pick], found: _Found, needed: Sequence[object],
               rest: Sequence[object]) -> list[object]:
        """Without each field that can be left out, one after the other."""
        kept = [*needed, *rest]
        for key in reversed(rest):
            fewer = [k for k in kept if k != key]
            if self._does(picks, found, fewer):
                kept = fewer
        return kept

    def _does(self, picks: Sequence[Pick], found: _Found, keys: Sequence[object]) -> bool:
        judged = self._judge(picks, found, keys)
        return judged is not None and judged.verdict not in ("unmeasured", "rejected")

    def _tip(self, picks: Sequence[Pick], found: _Found, keys: Sequence[object]) -> None:
        """Where no rule says at which length it changes its answer, halve what lies between, with the others as they
        would do."""
        world = self.solve.world
        for key in keys:
            asked = found.asked[key]
            between = None if found.settles[key] else tips(asked)
            if between is None:
                continue
            bad, good, keeps = between
            others = self._with(found, [k for k in keys if k != key])

            def does(mm: int, asked: Asked = asked, others: Trip = others) -> bool:
                judged = self.judge(with_field(others, asked.path, at_length(asked, mm, others, world.day)), picks)
                return judged is not None and judged.verdict not in ("unmeasured", "rejected")

            if does(good) and not does(bad):
                for _ in range(_HALVINGS):
                    middle = (bad + good) // 2
                    bad, good = (bad, middle) if does(middle) else (middle, good)
                found.settles[key][Settled(good, "mm", keeps)] = None

    def _surer(self, picks: Sequence[Pick], found: _Found, keys: Sequence[object],
               judged: Judged | None) -> tuple[Reading, ...]:
        """What is only estimated of an arrangement that nothing is asked of."""
        if judged is None or judged.verdict != "likely":
            return ()
        placements = [cell.placement for cell in judged.cells]
        return tuple(Reading(asked, ()) for asked in estimated_in(judged.guesses, placements, self.trip))


def _overlap(one: tuple[str | int, ...], other: tuple[str | int, ...]) -> bool:
    """Whether one field is the other, or holds it."""
    n = min(len(one), len(other))
    return one[:n] == other[:n]


def _at(trip: Trip, path: tuple[str | int, ...]) -> Any:
    """What stands at a path; None where nothing does."""
    way = list(steps(trip, path))
    return way[-1] if len(way) == len(path) + 1 else None


def with_values(trip: Trip, values: Mapping[tuple[str | int, ...], Any]) -> Trip:
    """A trip with several fields set, what holds another one first."""
    return reduce(lambda made, item: with_field(made, item[0], item[1]),
                  sorted(values.items(), key=lambda item: len(item[0])), trip)


def open_picks(arrangement: Arrangement) -> list[Pick]:
    """Who rides how in an arrangement, with bars, anchors and settings left open."""
    return [_open(seat.placement) for seat in arrangement.seats]


def _open(placement: Placement) -> Pick:
    """How somebody rides, with bars, anchor and setting left open, as the search leaves them."""
    if placement.restraint is None or placement.mode is None:
        return Pick(placement.rider.rider, placement.position.position)
    way = next(k for k, one in enumerate(placement.mode.installations) if one is placement.installation)
    return Pick(placement.rider.rider, placement.position.position, placement.restraint.restraint,
                placement.mode_name, way, placement.by)
