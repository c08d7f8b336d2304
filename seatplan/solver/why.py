"""Why, or why not: the placements of one rider with every finding, and whether whole seatings have them."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from seatplan.model import Trip
from seatplan.rules.profile import Profile

from .combine import best_first
from .placements import Cell, Choice
from .plan import Solve
from .results import SqueezeShown
from .rowplans import TOO_TIGHT, RowPlan, level_of


@dataclass(frozen=True, slots=True)
class Mode:
    """One restraint mode of the rider at one position: its placements, and what becomes of it in whole seatings.

    ``level`` is the best level of a whole seating with it: 0 fits, 1 close, 2 unmeasured, 3 squeezed; None when
    nobody else can be seated around it. ``squeeze`` is the sum of the nearest miss.
    """

    position: str
    restraint: str | None
    mode: str
    cells: tuple[Cell, ...]
    level: int | None
    squeeze: SqueezeShown | None


@dataclass(frozen=True, slots=True)
class Why:
    trip: Trip
    profile: Profile
    day: date
    rider: str
    modes: tuple[Mode, ...]

    @property
    def seatings(self) -> bool:
        """Whether any of it is part of an arrangement."""
        return any(mode.level is not None and mode.level < TOO_TIGHT for mode in self.modes)


def why(trip: Trip, profile: Profile, today: date, rider: str, restraint: str | None = None,
        position: str | None = None, *, strict: bool = False) -> Why:
    """Every placement of ``rider``, narrowed to a restraint and a position if given. KeyError: no such rider."""
    names = [r.rider for r in trip.riders]
    if rider not in names:
        raise KeyError(rider)
    solve = Solve(trip, profile, today, strict=strict)
    modes = []
    for choice in solve.choices.per_rider[names.index(rider)]:
        at = solve.choices.positions[choice.position].position
        held = None if choice.restraint is None else trip.restraints[choice.restraint].restraint
        if (position is None or at == position) and (restraint is None or held == restraint):
            level, squeeze = _with(solve, choice)
            modes.append(Mode(at, held, choice.mode, choice.all_cells, level, squeeze))
    return Why(trip, profile, solve.world.day, rider, tuple(modes))


def _with(solve: Solve, choice: Choice) -> tuple[int | None, SqueezeShown | None]:
    """The best whole seating that has the choice, and for a squeezed one its sum."""
    if not choice.cells:
        return None, None
    rows: list[list[RowPlan]] = []
    for row in solve.rows:
        having = [plan for plan in row if any(c is choice for c in plan.choices)]
        free = [plan for plan in row if not plan.riders >> choice.rider & 1]
        rows.append(having or free)
    for cost, plans in best_first(rows, solve.everybody):
        level = max(level_of(cost), solve.pick(plans).along.level)
        if level < TOO_TIGHT and solve.blocks(solve.trip_findings(solve.seated(plans))):
            continue
        return level, solve.squeeze_in(plans) if level == TOO_TIGHT else None
    return None, None
