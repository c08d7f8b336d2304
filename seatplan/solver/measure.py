"""Which measurements would settle most: each one tried at both ends of what it plausibly is, by solving again."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from typing import Any, NamedTuple

from seatplan.doubt import believed
from seatplan.model import Trip
from seatplan.model.trip import FrontLimit
from seatplan.rules.finding import Keeps
from seatplan.rules.profile import Profile
from seatplan.units import Number

from .budget import Budget
from .measurable import Path, Unknown, unknowns
from .plan import plan, planned
from .results import Plan
from .solve import BUDGET


class Settled(NamedTuple):
    """A value at which a rule changes its answer, its unit, and whether it is a most or a least."""

    value: Number | str
    unit: str
    keeps: Keeps
#: what a field belongs to, and its name: a rider, a position or a restraint
Owner = tuple[str, str]


@dataclass(frozen=True, slots=True)
class End:
    """What one end of a field would make of the trip: its tally of seatings that surely fit, are open, or ruled out."""

    word: str
    sure: int
    open: int


@dataclass(frozen=True, slots=True)
class Measurement:
    """One field worth filling in. ``ends`` is None where it was not tried; ``decides``: how many seatings that are open
    now would no longer be, at the two ends together. ``settles``: the values at which rules change their
    mind, each with its unit."""

    unknown: Unknown
    ends: tuple[End, End] | None
    decides: int
    asked_by: int
    settles: tuple[Settled, ...]


@dataclass(frozen=True, slots=True)
class Measure:
    """``complete`` is False where not every field was tried: with seatings left out there is nothing to count, and the
    solves end with the budget."""

    trip: Trip
    profile: Profile
    day: date
    now: Plan
    measurements: tuple[Measurement, ...]
    complete: bool = True


def measure(trip: Trip, profile: Profile, today: date,
            progress: Callable[[int], None] | None = None, budget: Budget = BUDGET) -> Measure:
    """The fields that the trip's files leave open and that matter, those that decide most first."""
    trip = believed(trip, today)
    now = plan(trip, profile, today, top=1)
    day = now.day
    open_now = now.tally.sure["unmeasured"]
    found = []
    asked = _asked(now)
    left, complete = budget.solves, now.tally.complete
    for n, unknown in enumerate(unknowns(trip, day)):
        if progress:
            progress(n)
        hits = asked.get(unknown.read_as, ())
        if not hits and unknown.read_as not in _ASKED_BY_ROWS:
            continue
        ends: list[End] = []
        for k in (0, 1) if complete else ():
            tried = planned(with_value(trip, unknown.path, unknown.ends[k]), profile, today, top=0)
            left -= tried.work
            complete = tried.tally.complete and left >= 0
            if complete:
                ends.append(_end(tried, unknown.words[k]))
        decides = sum(max(0, open_now - end.open) for end in ends)
        mine = [settles for where, settles in hits if where == owner(trip, unknown.path)]
        if decides or mine or len(ends) < 2:
            both = (ends[0], ends[1]) if len(ends) == 2 else None
            found.append(Measurement(unknown, both, decides, len(mine),
                                     tuple(dict.fromkeys(s for s in mine if s))))
    found.sort(key=lambda m: (-m.decides, -m.asked_by))
    return Measure(trip, profile, day, now, tuple(found), complete)


#: fields that no rule of one placement asks for: geometry of rows and seats ahead does
_ASKED_BY_ROWS = ("mode.parts", "row.trim", "position.belt.buckle", "trip.front")


def _asked(now: Plan) -> dict[str, list[tuple[Owner, Settled | None]]]:
    """By field: whose it was where it was missed, and the value that settles it."""
    from seatplan.rules.registry import rule_by_id

    asked: dict[str, list[tuple[Owner, Settled | None]]] = {}
    for cell in now.choices.cells():
        if cell.blocked:
            continue
        for finding in cell.findings:
            if finding.outcome != "unmeasured":
                continue
            settles = finding.result.settles_at
            told = None if settles is None else Settled(settles, finding.result.unit, finding.result.keeps)
            for read in rule_by_id(finding.rule).reads:
                whose = [*(("rider", name) for name in finding.riders),
                         *(("position", name) for name in finding.positions),
                         *(("restraint", name) for name in now.choices.kinds.named(finding.restraint))]
                for where in whose:
                    asked.setdefault(read, []).append((where, told))
    return asked


def owner(trip: Trip, path: Path) -> Owner | None:
    """Whose field stands at a path of the trip's record; None for one of a whole row."""
    match path:
        case ("riders", int(i), *_):
            return "rider", trip.riders[i].rider
        case ("restraints", int(i), *_):
            return "restraint", trip.restraints[i].restraint
        case ("vehicle", "rows", int(i), "positions", int(k), *_):
            return "position", trip.vehicle.rows[i].positions[k].position
        case ("front", str(seat)):
            return "position", seat
    return None


def _end(tried: Plan, word: str) -> End:
    sure = tried.tally.sure
    return End(word, sum(sure.values()) - sure["unmeasured"], sure["unmeasured"])


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
