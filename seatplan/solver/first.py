"""What is said of the best arrangement before all else: who sits in front, what is a reading away, what nearly did."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import islice
from typing import TYPE_CHECKING, Literal

from .assemble import assemble
from .least import least
from .placements import Assignment, JudgedPlacement
from .ranking import CRITERIA, OPEN, about, decided_by, safe, seating
from .results import Arrangement, InFront, NearMiss, SaidFirst, WishAgainst
from .rowplans import FITS, TOO_TIGHT, UNSURE, RowAssignment

if TYPE_CHECKING:
    from seatplan.model import Wish
    from seatplan.rules.finding import Finding

    from .solve import Ranked, Solve

#: seatings with something to measure that are looked through for one that lacks a single reading
LOOKED_THROUGH = 200
#: seatings looked through for one with all children in the back, and for one that fits
_MOST = 20_000
#: what a must-wish is told to cost: steps 2 to 7
_SAFETY = frozenset(criterion.name for criterion in CRITERIA if 2 <= criterion.step <= 7)
#: a mode that misses by so much or less is nearly one: mm, degrees
NEAR = {"mm": 25.0, "degrees": 2.0}


def said_first(solve: Solve, best: Ranked, shown: Arrangement) -> SaidFirst:
    """Look around the best arrangement. Nothing of it changes which one that is."""
    return SaidFirst(tuple(_in_front(solve, best, shown)), _that_fits(solve, best), _one_reading(solve, best),
                     tuple(_near_misses(solve, shown)), tuple(_against(solve, best)))


def costs_of(solve: Solve, arrangement: Arrangement) -> dict[str, int]:
    """What the placement of each rider costs by itself."""
    return {seat.placement.rider.rider: solve.cost_of(seat.cell) for seat in arrangement.seats}


def _in_front(solve: Solve, best: Ranked, shown: Arrangement) -> Iterator[InFront]:
    """The children in front, and what speaks against the best arrangement in which none is."""
    limit = solve.cost_of.front_age
    there = [seat.placement for seat in shown.seats
             if solve.world.vehicle.in_front(seat.placement.position) and not seat.placement.rider.adult
             and (solve.world.least_age(seat.placement.rider) or 0) < limit]
    if not there:
        return
    free = [[plan for plan in plans if not _has_child_in_front(solve, plan, limit)] for plans in solve.rows]
    other = next(solve.ranked(_MOST, rows=free), None)
    instead = None if other is None else decided_by(best.cost, other.cost)
    wants = _wants(solve, limit) if other is None else None
    for placement in there:
        yield InFront(placement.rider.rider, placement.position.position, instead, wants)


def _wants(solve: Solve, limit: int) -> Literal["back", "wishes", "way"]:
    """Why there is no arrangement with all children in the back."""
    if all(solve.world.vehicle.in_front(position) for position in solve.choices.positions):
        return "back"
    wished = [wish for wish in solve.trip.wishes if not wish.must]
    if len(wished) < len(solve.trip.wishes):
        again = _again(solve, wished)
        free = [[plan for plan in plans if not _has_child_in_front(again, plan, limit)] for plans in again.rows]
        if next(again.ranked(_MOST, rows=free), None) is not None:
            return "wishes"
    return "way"


def _again(solve: Solve, wishes: Sequence[Wish]) -> Solve:
    """The trip with other wishes."""
    return solve.again(solve.trip.model_copy(update={"wishes": list(wishes)}))


def _has_child_in_front(solve: Solve, plan: RowAssignment, limit: int) -> bool:
    return any(
        solve.world.vehicle.in_front(solve.choices.positions[choice.position])
        and not solve.trip.riders[choice.rider].adult
        and (solve.world.least_age(solve.trip.riders[choice.rider]) or 0) < limit for choice in plan.choices)


def _that_fits(solve: Solve, best: Ranked) -> Arrangement | None:
    """The best arrangement that fits, where the first is only close or likely."""
    if best.level in (FITS, UNSURE) or solve.lanes.least > FITS:
        return None
    rows = [[plan for plan in plans if plan.level == FITS] for plans in solve.rows]
    found = next((one for one in islice(solve.ranked(_MOST, rows=rows), LOOKED_THROUGH) if one.level == FITS), None)
    return None if found is None else assemble(solve, 0, found, decided_by(best.cost, found.cost))


def _one_reading(solve: Solve, best: Ranked) -> Arrangement | None:
    """The best arrangement that would come first by steps 2 to 6 if one thing were measured, and nothing else is
    missing."""
    if best.level >= UNSURE:
        return None
    aim = seating(best.cost)
    lacking: dict[JudgedPlacement, frozenset[object]] = {}
    rows = [[plan for plan in plans if plan.level < UNSURE or _may_lack_one(plan, lacking)] for plans in solve.rows]
    return next((arrangement for arrangement in better_but_open(solve, aim, rows)
                 if len({_reading(finding) for finding in _open(arrangement)}) == 1), None)


def better_but_open(solve: Solve, aim: int, rows: Sequence[Sequence[RowAssignment]]) -> Iterator[Arrangement]:
    """Arrangements of some plans of each row that come before ``aim`` by steps 2 to 6 and lack a reading, in order; as
    far as they are looked through."""
    for base, plans in islice(solve.bounded(rows, OPEN, OPEN), LOOKED_THROUGH):
        if seating(base) >= aim:
            return
        found = solve.whole(plans)
        if found is not None and seating(found.cost) < aim and found.level == UNSURE:
            yield assemble(solve, 0, found, None)


def _reading(finding: Finding) -> object:
    return finding.result.field, finding.restraint, finding.positions


def _may_lack_one(plan: RowAssignment, kept: dict[JudgedPlacement, frozenset[object]]) -> bool:
    """Whether each rider of a plan can ride so that no placement lacks two readings, and all together but one."""
    together: set[object] = set()
    for choice in plan.choices:
        each = []
        for cell in choice.cells:
            if cell not in kept:
                kept[cell] = frozenset(_reading(f) for f in cell.findings if f.outcome == "unmeasured")
            each.append(kept[cell])
        together |= min(each, key=len)
    return len(together) <= 1


def _open(arrangement: Arrangement) -> list[Finding]:
    every = [*(f for seat in arrangement.seats for f in seat.cell.findings), *arrangement.findings]
    return [finding for finding in every if finding.outcome == "unmeasured"]


def _near_misses(solve: Solve, shown: Arrangement) -> Iterator[NearMiss]:
    """For each young child who is turned forward the rear-facing mode that misses by least, if that is little; of a
    restraint that nobody else rides in."""
    names = [rider.rider for rider in solve.trip.riders]
    young = int(solve.world.limit("rear_facing_long_age"))
    for seat in shown.seats:
        rider = seat.placement.rider
        months = solve.world.least_age(rider)
        if rider.adult or seat.placement.rear_facing or (months is not None and months >= young):
            continue
        taken = {other.placement.restraint.restraint for other in shown.seats
                 if other is not seat and other.placement.restraint is not None}
        found = [miss for choice in solve.choices.per_rider[names.index(rider.rider)]
                 if choice.mode == "rear-facing-harness" and choice.restraint is not None
                 and not taken.issuperset(solve.kinds.names(choice.restraint)) for miss in _misses(solve, choice)]
        if found:
            yield min(found, key=lambda miss: (miss.short / NEAR[miss.unit], miss.position, miss.restraint))


def _misses(solve: Solve, choice: Assignment) -> Iterator[NearMiss]:
    """By how little a rear-facing mode misses at one place: by a single finding, or for room beside the others."""
    from .why import best_with

    rider = solve.trip.riders[choice.rider].rider
    position = solve.choices.positions[choice.position].position
    for cell in choice.all_cells:
        held = cell.placement.restraint
        against = [finding for finding in cell.findings if solve.judge.options.refuses(finding.outcome)]
        if held is None or len(against) != 1:
            continue
        short, unit = against[0].result.shortfall, against[0].result.unit
        if short is not None and 0 < short <= NEAR.get(unit, 0):
            yield NearMiss(rider, position, held.restraint, short, unit, against[0])
    if choice.cells:
        level, squeezed = best_with(solve, choice)
        if level == TOO_TIGHT and squeezed is not None and squeezed.squeeze.short <= NEAR["mm"]:
            held = choice.cells[0].placement.restraint
            yield NearMiss(rider, position, held.restraint if held else "", squeezed.squeeze.short, "mm", None)


def _against(solve: Solve, best: Ranked) -> Iterator[WishAgainst]:
    """Must-wishes that cost something of steps 2 to 7: each by itself, else the fewest of them together."""
    musts = [n for n, wish in enumerate(solve.trip.wishes) if wish.must]
    if not musts or safe(best.cost) <= least(solve, solve.choices):
        return
    alone = [found for n in musts if (found := _without(solve, best, (n,)))]
    yield from alone
    if not alone and len(musts) > 1:
        needed = tuple(musts)
        found = _without(solve, best, needed)
        for n in musts if found else ():
            fewer = tuple(other for other in needed if other != n)
            if again := _without(solve, best, fewer):
                needed, found = fewer, again
        if found:
            yield found


def _without(solve: Solve, best: Ranked, numbers: Sequence[int]) -> WishAgainst | None:
    """What some wishes cost together; None where nothing of steps 2 to 7."""
    again = _again(solve, [wish for i, wish in enumerate(solve.trip.wishes) if i not in numbers])
    other = next(again.ranked(_MOST), None)
    if other is None or other.level >= UNSURE > best.level or other.cost >= best.cost:
        return None
    criterion = decided_by(other.cost, best.cost)
    if criterion not in _SAFETY:
        return None
    mine, theirs = (costs_of(one, assemble(one, 0, found, None)) for one, found in ((solve, best), (again, other)))
    return WishAgainst(tuple(solve.trip.wishes[n] for n in numbers), criterion, about(criterion, mine, theirs))
