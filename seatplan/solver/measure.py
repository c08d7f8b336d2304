"""Which measurements would settle most: each one tried at both ends of what it plausibly is, by solving again."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from typing import Any

from seatplan.doubt import believed
from seatplan.model import Trip
from seatplan.model.trip import FrontLimit
from seatplan.rules.profile import Profile
from seatplan.units import Number

from .measurable import Path, Unknown, unknowns
from .plan import plan
from .results import Plan

#: the value at which a rule changes its mind, and its unit; a word of the files has none
Settled = tuple[Number | str, str]


@dataclass(frozen=True, slots=True)
class End:
    """What one end of a field would make of the trip: its tally of seatings that surely fit, are open, or went."""

    word: str
    sure: int
    open: int


@dataclass(frozen=True, slots=True)
class Measurement:
    """One field worth filling in. ``decides``: how many seatings that are open now would no longer be, at the two ends
    together. ``settles``: the values at which rules change their mind, each with its unit."""

    unknown: Unknown
    ends: tuple[End, End]
    decides: int
    asked_by: int
    settles: tuple[Settled, ...]


@dataclass(frozen=True, slots=True)
class Measure:
    trip: Trip
    profile: Profile
    day: date
    now: Plan
    measurements: tuple[Measurement, ...]


def measure(trip: Trip, profile: Profile, today: date,
            progress: Callable[[int], None] | None = None) -> Measure:
    """The fields that the trip's files leave open and that matter, those that decide most first."""
    trip = believed(trip, today)
    now = plan(trip, profile, today, top=1)
    day = now.day
    open_now = now.tally.sure["unmeasured"]
    found = []
    asked = _asked(now)
    for n, unknown in enumerate(unknowns(trip, day)):
        if progress:
            progress(n)
        hits = asked.get(unknown.read_as, ())
        if not hits and unknown.read_as not in _ASKED_BY_ROWS:
            continue
        ends = tuple(_end(trip, profile, today, unknown, k) for k in (0, 1))
        decides = sum(max(0, open_now - end.open) for end in ends)
        mine = [settles for where, settles in hits if where in unknown.name or not where]
        if decides or mine:
            found.append(Measurement(unknown, (ends[0], ends[1]), decides, len(mine),
                                     tuple(dict.fromkeys(s for s in mine if s))))
    found.sort(key=lambda m: (-m.decides, -m.asked_by))
    return Measure(trip, profile, day, now, tuple(found))


#: fields that no rule of one placement asks for: geometry of rows and seats ahead does
_ASKED_BY_ROWS = ("mode.parts", "row.trim", "position.belt.buckle", "trip.front")


def _asked(now: Plan) -> dict[str, list[tuple[str, Settled | None]]]:
    """By field: where it was missed (a rider, position or restraint) and the value that settles it."""
    from seatplan.rules.registry import rule_by_id

    asked: dict[str, list[tuple[str, Settled | None]]] = {}
    for cell in now.choices.cells():
        if cell.blocked:
            continue
        for finding in cell.findings:
            if finding.outcome != "unmeasured":
                continue
            settles = finding.result.settles_at
            told = None if settles is None else (settles, finding.result.unit)
            for read in rule_by_id(finding.rule).reads:
                for where in (*finding.riders, *finding.positions, finding.restraint or ""):
                    if where:
                        asked.setdefault(read, []).append((where, told))
    return asked


def _end(trip: Trip, profile: Profile, today: date, unknown: Unknown, k: int) -> End:
    tried = plan(with_value(trip, unknown.path, unknown.ends[k]), profile, today, top=0)
    sure = tried.tally.sure
    return End(unknown.words[k], sure["fits"] + sure["close"], sure["unmeasured"])


def with_value(record: Any, path: Path, value: Any) -> Any:
    """The same records with one field set."""
    if not path:
        return FrontLimit.model_validate(value) if isinstance(value, dict) else value
    step, rest = path[0], path[1:]
    if isinstance(record, list):
        return [with_value(item, rest, value) if i == step else item for i, item in enumerate(record)]
    if isinstance(record, dict):
        return {**record, step: with_value(record.get(step), rest, value)}
    return record.model_copy(update={str(step): with_value(getattr(record, str(step)), rest, value)})
