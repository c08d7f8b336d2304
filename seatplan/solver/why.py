"""Why, or why not: the placements of one rider with every finding, and whether whole seatings have them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date
from functools import reduce
from itertools import islice

from seatplan.doubt import believed
from seatplan.frozen import frozen
from seatplan.geometry.chain import Addend
from seatplan.model import Trip
from seatplan.rules.options import USUAL, Options
from seatplan.rules.profile import Profile

from .aboard import aboard
from .budget import Budget
from .combine import count_plans, count_seatings
from .placements import Assignment, JudgedPlacement, cells_in_copy
from .results import SqueezeShown
from .rowplans import TOO_TIGHT, Level, RowAssignment
from .solve import BUDGET, Solve
from .squeezes import LOOKED_AT, squeeze_in


@frozen
class Mode:
    """One restraint mode of the rider at one position: its placements, and what becomes of it in whole seatings.
    ``copies``: the names of all restraints that it speaks of, alike with this one; nothing for the seat belt.

    ``level`` is the best level of a whole seating with it: 0 fits, 1 close, 2 unmeasured, 3 squeezed; None when
    nobody else can be seated around it. ``squeeze`` is the sum of the nearest miss.
    """

    position: str
    restraint: str | None
    mode: str
    cells: tuple[JudgedPlacement, ...]
    level: Level | None
    squeeze: SqueezeShown | None
    copies: tuple[str, ...] = ()


@frozen
class Why:
    trip: Trip
    profile: Profile
    day: date
    rider: str
    modes: tuple[Mode, ...]
    limits: Mapping[str, Addend]      # how far forward each movable seat or row can come with somebody in it
    complete: bool                    # False: the search stopped; a mode without seatings may have some
    options: Options = USUAL

    @property
    def seatings(self) -> bool:
        """Whether any of it is part of an arrangement."""
        return any(mode.level is not None and mode.level < TOO_TIGHT for mode in self.modes)


def nearest(cells: Sequence[JudgedPlacement]) -> JudgedPlacement:
    """The placement with the least against it: the fewest blocks, then the least that is not measured."""
    return min(cells, key=lambda cell: (sum(f.outcome == "block" for f in cell.findings), cell.unmeasured,
                                        cell.cautions))


def why(trip: Trip, profile: Profile, today: date, rider: str, restraint: str | None = None,
        position: str | None = None, *, strict: bool = False, worst_case: bool = False,
        budget: Budget = BUDGET) -> Why:
    """Every placement of ``rider``, narrowed to a restraint and a position if given. KeyError: no such rider."""
    trip = aboard(believed(trip, today), trip.on or today)
    names = [r.rider for r in trip.riders]
    if rider not in names:
        raise KeyError(rider)
    solve = Solve(trip, profile, today, strict=strict, worst_case=worst_case, budget=budget)
    modes = []
    for choice in solve.choices.per_rider[names.index(rider)]:
        at = solve.choices.positions[choice.position].position
        copies = () if choice.restraint is None else solve.kinds.names(choice.restraint)
        if (position is None or at == position) and (restraint is None or restraint in copies):
            level, squeeze = best_with(solve, choice)
            held = restraint or next(iter(copies), None)
            cells = choice.all_cells if held is None else tuple(
                cells_in_copy(solve.runner, choice.all_cells, trip.restraint(held)))
            modes.append(Mode(at, held, choice.mode, cells, level, squeeze,
                              (restraint,) if restraint else copies))
    limits = solve.lanes.limits([p.position for p in solve.choices.positions])
    return Why(trip, profile, solve.world.day, rider, tuple(modes), limits, solve.complete,
               Options(strict, worst_case))


def best_with(solve: Solve, choice: Assignment) -> tuple[Level | None, SqueezeShown | None]:
    """The best whole seating that has the choice, and for a squeezed one its sum."""
    if not choice.cells:
        return None, None
    rows: list[list[RowAssignment]] = []
    for row in solve.rows:
        having = [plan for plan in row if any(c is choice for c in plan.choices)]
        free = [plan for plan in row if not plan.riders >> choice.rider & 1]
        rows.append(having or free)
    ways = count_seatings([count_plans(row) for row in rows], solve.everybody, solve.lanes.nothing, solve.lanes.join,
                          solve.resources.shared)
    levels = {solve.lanes.level(way) for way in ways}
    found: Level | None = None
    for _, plans in solve.surest_first(rows):
        if found is not None and max(plan.level for plan in plans) >= found:
            break
        level = solve.lanes.level(reduce(solve.lanes.join, (plan.way for plan in plans)))
        if level >= TOO_TIGHT or (found is not None and level >= found):
            continue
        if not solve.blocks(solve.trip_findings(solve.seated(plans))):
            found = level
            if found == min(levels):
                break
    if found is None and TOO_TIGHT in levels:
        return TOO_TIGHT, _nearest_miss(solve, rows)
    return found, None


def _nearest_miss(solve: Solve, rows: Sequence[list[RowAssignment]]) -> SqueezeShown | None:
    """The sum that is short by least, among the seatings that come first."""
    squeezes = [squeeze_in(solve, plans) for _, plans in islice(solve.best_first(rows), LOOKED_AT)]
    return min((s for s in squeezes if s is not None), key=lambda s: s.squeeze.short, default=None)
