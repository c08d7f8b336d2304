"""What to measure next: the readings that settle the best arrangement, those that could open a better one, the rest.

The rules name what they lack, so nothing is solved again to find out what hangs on a field: the best few arrangements
are judged with values that would do (``settle.py``), and of the rest it is told who could ride where if it were known.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from typing import Any

from seatplan.doubt import believed
from seatplan.frozen import frozen
from seatplan.model import Trip
from seatplan.model.trip import FrontLimit
from seatplan.rules.profile import Profile
from seatplan.store import COMMON, Store

from .asked import Asked, Path, open_in
from .assemble import assemble
from .better import openings
from .budget import Budget
from .measurable import unknowns
from .placements import open_choices
from .plan import planned
from .results import Arrangement, Plan, Verdict
from .settle import Settle, Settling, open_picks
from .solve import BUDGET, MOST_RANKED, Solve
from .tally import Tally
from .would_do import Settled

#: what a field belongs to, and its name: a rider, a position or a restraint
Owner = tuple[str, str]
#: arrangements among which one is looked for that fewer readings settle
_AMONG = 5
#: fields that no rule of one placement asks for: geometry of rows and seats ahead does
_ASKED_BY_ROWS = ("mode.parts", "row.trim", "position.belt.buckle", "trip.front")


@frozen
class Decides:
    """Who could ride where, in what, if a field were known: ``seats`` in the order of the car; ``restraint`` is empty
    for the seat belt."""

    rider: str
    restraint: str
    seats: tuple[str, ...]


@frozen
class Measurement:
    """One more field worth filling in. ``settles``: the values at which rules change their answer; ``decides``: the
    ways to ride that hang on it, none where it only decides about room."""

    asked: Asked
    settles: tuple[Settled, ...]
    decides: tuple[Decides, ...]
    asked_by: int

    @property
    def ways(self) -> int:
        """How many ways to ride hang on it: a rider at a seat in a restraint."""
        return sum(len(one.seats) for one in self.decides)


@frozen
class Measure:
    """What to measure of a trip.

    ``best``: what settles the best arrangement; None where nothing fits. ``sooner``: another arrangement that fewer
    readings settle. ``opens``: arrangements that would come before the best one. ``rest``: all other fields that a rule
    asks for, those that decide most first. ``tally`` is None where nobody counted. ``complete`` is False where the
    search stopped at its limit: there may be more.
    """

    trip: Trip
    profile: Profile
    day: date
    verdict: Verdict
    best: Settle | None
    sooner: Settle | None
    opens: tuple[Settle, ...]
    rest: tuple[Measurement, ...]
    tally: Tally | None
    complete: bool = True
    settled: tuple[Settle, ...] = ()          # the best few, as far as they were looked at


def measure(trip: Trip, profile: Profile, today: date, progress: Callable[[int], None] | None = None,
            budget: Budget = BUDGET, store: Store = COMMON) -> Measure:
    """The fields that the trip's files leave open and that matter."""
    now = planned(believed(trip, today), profile, today, top=_AMONG, budget=budget, store=store)
    return measure_of(now, progress, budget, store)


def measure_of(now: Plan, progress: Callable[[int], None] | None = None, budget: Budget = BUDGET,
               store: Store = COMMON) -> Measure:
    """The same of a trip that is solved already."""
    solve = Solve(now.trip, now.profile, now.day, strict=now.strict, worst_case=now.worst_case, budget=budget,
                  store=store, counted=False, choices_of=open_choices)
    found = _measured(solve, now.arrangements[:_AMONG], now.verdict, progress)
    return replace(found, tally=now.tally, complete=now.tally.complete)


def settle_of(now: Plan, arrangement: Arrangement, store: Store = COMMON) -> Settle:
    """The readings that settle one arrangement of a trip that is solved already."""
    solve = Solve(now.trip, now.profile, now.day, strict=now.strict, worst_case=now.worst_case, store=store,
                  counted=False, choices_of=open_choices)
    return Settling(solve).settle(arrangement)


def measured_again(before: Measure, trip: Trip, store: Store = COMMON) -> Measure:
    """The same of a trip in which a field was filled in since: arrangements are not counted, and what was answered for
    the trip as it was is not reckoned again."""
    trip = believed(trip, before.day)
    solve = Solve(trip, before.profile, before.day, store=store, counted=False, choices_of=open_choices)
    found = next(solve.ranked(MOST_RANKED), None)
    first = () if found is None else (assemble(solve, 1, found, None),)
    settling = Settling(solve)
    known = {tuple(open_picks(one.arrangement)): one for one in (*before.settled, *before.opens)}

    def settle(arrangement: Arrangement) -> Settle:
        was = known.get(tuple(open_picks(arrangement)))
        return settling.settle(arrangement, False) if was is None else settling.settle_again(
            arrangement, was, before.trip)

    settled = [settle(one) for one in first]
    if settled and settled[0].arrangement.verdict == "unmeasured":
        settled += _others_again(settling, settled[0], before)
    return _told(solve, first, settled, [settle(one) for one in openings(solve)],
                 first[0].verdict if first else "rejected")


def _others_again(settling: Settling, best: Settle, before: Measure) -> Iterator[Settle]:
    """Other arrangements that were settled before and that fewer readings settle now than the best one."""
    most = len(best.readings) if best.verdict is not None else None
    for one in before.settled:
        if open_picks(one.arrangement) == open_picks(best.arrangement) or one.verdict is None:
            continue
        if most is None or len(settling.left(one, before.trip)) < most:
            again = settling.still(one.arrangement, one, before.trip)
            if again is not None:
                yield again


def _measured(solve: Solve, arrangements: Sequence[Arrangement], verdict: Verdict,
              progress: Callable[[int], None] | None = None) -> Measure:
    settling = Settling(solve)
    settled = _settled(settling, arrangements, progress)
    return _told(solve, arrangements, settled, [settling.settle(one) for one in openings(solve)], verdict)


def _told(solve: Solve, arrangements: Sequence[Arrangement], settled: Sequence[Settle], opens: Sequence[Settle],
          verdict: Verdict) -> Measure:
    best = settled[0] if settled else None
    sooner = None if best is None else _sooner(best, settled[1:])
    told = {reading.asked.same for one in (best, sooner, *opens) if one is not None
            for reading in (*one.readings, *one.estimates)}
    return Measure(solve.trip, solve.world.profile, solve.world.day, verdict, best, sooner, tuple(opens),
                   tuple(one for one in _rest(solve, arrangements) if one.asked.same not in told), None,
                   settled=tuple(settled))


def _settled(settling: Settling, arrangements: Sequence[Arrangement],
             progress: Callable[[int], None] | None) -> list[Settle]:
    """The best few settled; the first alone where that is sure already."""
    found: list[Settle] = []
    for n, arrangement in enumerate(arrangements):
        if progress:
            progress(n)
        found.append(settling.settle(arrangement, not found))
        if arrangement.verdict != "unmeasured":
            break
    return found


def _sooner(best: Settle, others: Sequence[Settle]) -> Settle | None:
    """The arrangement that the fewest readings settle, where these are fewer than those of the best one, or where it
    cannot be told what settles that."""
    settled = [one for one in others if one.verdict is not None]
    found = min(settled, key=lambda one: len(one.readings), default=None)
    if found is None or (best.verdict is not None and len(found.readings) >= len(best.readings)):
        return None
    return found


@dataclass(slots=True)
class _Asking:
    """What asks for one field: rules, values that settle it, and who could ride where."""

    asked: Asked
    settles: dict[Settled, None] = field(default_factory=dict)
    ways: dict[tuple[str, str], dict[str, None]] = field(default_factory=dict)
    by: int = 0


def _rest(solve: Solve, arrangements: Sequence[Arrangement]) -> list[Measurement]:
    """Every field that a rule asks for, those that most ways to ride hang on first."""
    found: dict[object, _Asking] = {}
    cells = [cell for choices in solve.choices.per_rider for choice in choices for cell in choice.cells
             if cell.unmeasured]
    for cell in cells:
        held = cell.placement.restraint
        way = cell.placement.rider.rider, "" if held is None else held.restraint
        for asked, finding in open_in(cell.findings, [cell.placement], solve.trip):
            _note(found, asked, finding).ways.setdefault(way, {})[cell.placement.position.position] = None
    for arrangement in arrangements:
        placements = [seat.placement for seat in arrangement.seats]
        for asked, finding in open_in(arrangement.findings, placements, solve.trip):
            _note(found, asked, finding)
    for unknown in unknowns(solve.trip, solve.world.day):
        if unknown.read_as in _ASKED_BY_ROWS and arrangements and arrangements[0].verdict == "unmeasured":
            path = (*unknown.path, "forward_at_most") if unknown.path[0] == "front" else unknown.path
            asked = Asked(unknown.read_as, path, unknown.name, unknown.how, "")
            found.setdefault(asked.same, _Asking(asked))
    order = [p.position for p in solve.choices.positions]
    told = [Measurement(one.asked, tuple(one.settles), tuple(
        Decides(rider, restraint, tuple(sorted(seats, key=order.index))) for (rider, restraint), seats
        in one.ways.items()), one.by) for one in found.values()]
    return sorted(told, key=lambda one: (-one.ways, -one.asked_by))


def _note(found: dict[object, _Asking], asked: Asked, finding: Any) -> _Asking:
    asking = found.setdefault(asked.same, _Asking(asked))
    asking.by += 1
    result = finding.result
    if result.settles_at is not None:
        asking.settles[Settled(result.settles_at, result.unit, result.keeps)] = None
    return asking


def owner(trip: Trip, path: Path) -> Owner | None:
    """Whose field stands at a path of the trip's record; None for one of a whole row."""
    match path:
        case ("riders", int(i), *_):
            return "rider", trip.riders[i].rider
        case ("restraints", int(i), *_):
            return "restraint", trip.restraints[i].restraint
        case ("vehicle", "rows", int(i), "positions", int(k), *_):
            return "position", trip.vehicle.rows[i].positions[k].position
        case ("front", str(seat), *_):
            return "position", seat
    return None


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
