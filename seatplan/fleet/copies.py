"""Whether one copy of a restraint may stand for its kind while a booking is carried: asked of each copy and booking.

Dates and condition are judged by the same rules as in a trip of one family, and nothing but a plain pass is enough:
what is not known, and what a family would be cautioned of, keeps a copy in the store. A class never hangs on the
answer.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta
from typing import NamedTuple

from seatplan.model import Position, Restraint, Rider, Row, Trip, Vehicle
from seatplan.model.fleet import Fleet, OneCopy, Quarantine
from seatplan.model.restraint import Condition
from seatplan.rules.finding import Finding
from seatplan.rules.profile import Profile
from seatplan.rules.registry import rule_by_id
from seatplan.rules.restraint_condition import use_until
from seatplan.rules.subjects import Placement, RuleContext

from .records import CopyUnit

#: the rules about a restraint itself, which a class leaves out
RULES = ("restraint-expired", "restraint-crashed", "restraint-recalled", "restraint-labels-missing",
         "restraint-history-unknown")
_NOBODY = Rider(rider="nobody")
_NOWHERE = Position(position="1L", centre=400)


class Refused(NamedTuple):
    """Why a copy may not stand for its kind: a rule and what it finds, or the quarantine that it is in. ``key`` names
    it: the rule, or ``quarantine-`` and its word."""

    key: str
    finding: Finding | None = None
    quarantine: Quarantine | None = None


@dataclass(slots=True)
class Copies:
    """The copies of a fleet as restraints of their own, under one profile."""

    fleet: Fleet
    profile: Profile
    _kept: dict[str, Restraint] = field(default_factory=dict)
    _worlds: dict[date, RuleContext] = field(default_factory=dict)

    def restraint(self, copy: OneCopy) -> Restraint:
        """A copy as a restraint: all that its kind is, and its own dates and condition."""
        kept = self._kept.get(copy.serial)
        if kept is None:
            kind = self.fleet.kind(copy.kind).restraint
            made = kind.model_copy(update={
                "restraint": copy.serial, "made": copy.made, "expires": copy.expires, "in_order": copy.in_order,
                "condition": copy.condition or Condition()})
            told = copy.condition is not None and copy.condition.faults()
            made = made.model_copy(update={"in_order": None} if told else {"condition": made.condition_told()})
            kept = self._kept[copy.serial] = made
        return kept

    def refused(self, copy: OneCopy, start: datetime, end: datetime) -> tuple[Refused, ...]:
        """Why a copy may not stand for its kind from ``start`` to ``end``; empty where it may."""
        return (*self._by_rules(copy, end.date()), *_by_quarantine(copy, start, end))

    def _by_rules(self, copy: OneCopy, last: date) -> Iterator[Refused]:
        placement = Placement(_NOBODY, _NOWHERE, Row(row=1, positions=[_NOWHERE]), self.restraint(copy))
        world = self._worlds.get(last)
        if world is None:
            world = self._worlds[last] = _world(self.profile, last)
        for name in RULES:
            rule = rule_by_id(name)
            result = rule.check(placement, world) if rule.when(placement, world) else None
            if result is not None and result.outcome != "pass":
                outcome = "block" if result.outcome == "fail" else result.outcome
                yield Refused(name, Finding(name, outcome, (), (), result, rule.source, copy.serial))

    def unit(self, copy: OneCopy, day: date, depots: Mapping[str, str], latest: int = 0) -> CopyUnit:
        """A copy as a plan of a day knows it; ``depots``: of each vehicle; ``latest``: as in ``copies_of``. One that
        goes into quarantine in the course of the plan does not count at all, one that comes out of it from then on."""
        midnight = datetime.combine(day, datetime.min.time())
        evening = midnight + timedelta(minutes=max(24 * 60, latest))
        of_rules = tuple(self._by_rules(copy, day))
        since = None
        held = [one for one in copy.quarantine if _meets(one, midnight, evening)]
        out = [one for one in held if one.until is None or datetime.fromisoformat(one.until) >= evening
               or datetime.fromisoformat(one.from_) > midnight]
        if held and not out:
            ends = max(datetime.fromisoformat(one.until) for one in held if one.until is not None)
            since = int((ends - midnight).total_seconds() // 60)
        why = [one.key for one in of_rules] + [_key(one) for one in out]
        last = use_until(self.restraint(copy))
        here = copy.installed
        return CopyUnit(
            key=copy.serial, kind=self.fleet.kind(copy.kind).restraint.key(),
            depot=depots[here.vehicle] if here is not None else copy.depot or "",
            vehicle="" if here is None else here.vehicle, last="" if last is None else last.isoformat(),
            usable=not why, why_not=", ".join(why), position="" if here is None else here.position, since=since)


def _by_quarantine(copy: OneCopy, start: datetime, end: datetime) -> Iterator[Refused]:
    for one in copy.quarantine:
        if _meets(one, start, end):
            yield Refused(_key(one), quarantine=one)


def _key(one: Quarantine) -> str:
    return f"quarantine-{one.why}"


def _meets(one: Quarantine, start: datetime, end: datetime) -> bool:
    """Whether a quarantine and a stretch of time have a moment in common."""
    return datetime.fromisoformat(one.from_) < end and (one.until is None or datetime.fromisoformat(one.until) > start)


def _world(profile: Profile, day: date) -> RuleContext:
    """What the rules about a restraint read: the day alone."""
    vehicle = Vehicle(vehicle="none", rows=[Row(row=1, positions=[_NOWHERE])])
    trip = Trip.model_validate({"trip": "none", "vehicle": vehicle, "on": day, "drives": "1L", "riders": [_NOBODY]})
    return RuleContext(trip, vehicle, profile, day)
