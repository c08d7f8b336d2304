"""The main job: one trip, one vehicle, every arrangement that is allowed and fits side by side."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from datetime import date
from functools import partial
from itertools import islice

from seatplan.files.door import checked, checked_top
from seatplan.model import Trip
from seatplan.rules.profile import Profile
from seatplan.store import COMMON, Store

from .assemble import assemble
from .budget import Budget, TooMuch, Work
from .certificates import contests_of, shortage_of
from .combine import rest_is_within
from .first import costs_of, said_first
from .grid import Seat, Square, grid
from .placements import open_choices
from .ranking import about, decided_by
from .results import Arrangement, Plan, SaidFirst, SqueezeShown, Verdict
from .rowplans import CONTESTED, LEVELS
from .solve import BUDGET, MOST_RANKED, Progress, Ranked, Solve
from .squeezes import near_misses
from .tally import tally
from .whole import Whole, judge_whole


def plan(trip: Trip, profile: Profile, today: date, *, top: int | None = 5, strict: bool = False,
         worst_case: bool = False, budget: Budget = BUDGET, progress: Progress | None = None,
         each_copy: bool = False, store: Store = COMMON) -> Plan:
    """Solve a trip.

    ``top``: how many arrangements to work out, None for all. ``strict``: what was not measured counts as a block.
    ``worst_case``: what several lengths may be off is added up plainly, not as the root of the sum of squares.
    ``each_copy``: restraints that are alike are told apart.
    ``today`` stands in where the trip names no day. The tally is exact whatever ``top`` is, unless the ``budget`` comes
    to an end first. Raises InputError where something of the trip cannot be true, however it was made.
    """
    checked_top(top)
    return planned(checked(trip, today), profile, today, top=top, strict=strict, worst_case=worst_case, budget=budget,
                   progress=progress, each_copy=each_copy, store=store)


def planned(trip: Trip, profile: Profile, today: date, *, top: int | None = 5, strict: bool = False,
            worst_case: bool = False, budget: Budget = BUDGET, progress: Progress | None = None,
            each_copy: bool = False, store: Store = COMMON) -> Plan:
    """``plan`` for a trip of our own making, which no person wrote so; ``top`` 0 only counts."""
    solve = Solve(trip, profile, today, strict=strict, worst_case=worst_case, budget=budget, progress=progress,
                  each_copy=each_copy, store=store)
    try:
        return _planned(solve, top)
    except TooMuch:
        solve.ways = solve.narrow()
        return _planned(solve, top)


def best_of(trip: Trip, profile: Profile, today: date, *, top: int = 1, strict: bool = False,
            worst_case: bool = False, budget: Budget = BUDGET, store: Store = COMMON) -> tuple[Arrangement, ...]:
    """The best few arrangements of ``planned`` without a count of the others, and without a word on what is turned
    down; none where nothing fits. What an answer after each small change costs least by."""
    solve = Solve(trip, profile, today, strict=strict, worst_case=worst_case, budget=budget, store=store,
                  choices_of=open_choices, counted=False)
    found: list[Arrangement] = []
    for one in islice(solve.ranked(MOST_RANKED), top):
        found.append(_assembled(solve, one, found))
    if solve.complete and solve.all_ranked:
        return tuple(found)
    # too many to tell which are best without a count of them
    return planned(trip, profile, today, top=top, strict=strict, worst_case=worst_case, budget=budget,
                   store=store).arrangements


def _planned(solve: Solve, top: int | None) -> Plan:
    trip, lanes = solve.trip, solve.lanes
    levels = [0] * (CONTESTED + 1)
    for way, n in solve.ways.items():
        levels[lanes.level(way)] += n
    whole = judge_whole(solve)
    counted = tally(solve.choices.per_rider, levels, whole.blocked, whole.doubted, solve.complete, solve.resources)
    squares = _squares(solve, whole)
    arrangements: list[Arrangement] = []
    best_level = next((level for level, n in counted.sure.items() if n), None)
    ranked = _first(solve, top, whole, best_level)
    for one in ranked:
        arrangements.append(_assembled(solve, one, arrangements))
    first = said_first(solve, ranked[0], arrangements[0]) if ranked else SaidFirst()
    verdict: Verdict = arrangements[0].verdict if arrangements else "rejected"
    return Plan(
        trip, solve.world.profile, solve.world.day, solve.strict, verdict, tuple(arrangements), counted,
        solve.choices, squares,
        None if arrangements else shortage_of(solve), contests_of(solve, counted),
        partial(_near_misses, solve) if counted.squeeze else tuple, solve.worst_case, solve.all_ranked, solve.work,
        first,
    )


def _squares(solve: Solve, whole: Whole) -> Callable[[], Mapping[Seat, Square]]:
    """The grid, for whoever reads it; at once where it may be too much. Raises TooMuch."""
    allowed = {(c.rider, c.position) for choices in solve.choices.per_rider for c in choices if c.cells}
    joins = solve.budget.joins
    squares = partial(grid, solve.rows, solve.lanes, solve.resources.shared, len(solve.trip.riders),
                      len(solve.choices.positions), allowed, whole.squares, Work(joins))
    if rest_is_within(solve.counts, joins):
        return squares
    found = squares()
    return lambda: found


def _near_misses(solve: Solve) -> tuple[SqueezeShown, ...]:
    return tuple(near_misses(solve))


def _assembled(solve: Solve, found: Ranked, before: Sequence[Arrangement]) -> Arrangement:
    """The next arrangement of a list, with what put it behind the one before it."""
    decided = decided_by(before[-1].cost, found.cost) if before else None
    arrangement = assemble(solve, len(before) + 1, found, decided)
    if decided is None:
        return arrangement
    return arrangement._replace(decided_about=about(decided, costs_of(solve, before[-1]), costs_of(solve, arrangement)))


def _first(solve: Solve, top: int | None, whole: Whole, best_level: str | None) -> list[Ranked]:
    """The best few. Where too many seatings would have to be put in order, the best of those looked at, if the first
    is as sure as any that was counted."""
    if top is not None:
        found = list(islice(solve.ranked(MOST_RANKED, whole.owed, whole.least), top))
        if solve.all_ranked or (found and LEVELS[found[0].level] == best_level):
            return found
    return list(islice(solve.ranked(owed=whole.owed, least=whole.least), top))
