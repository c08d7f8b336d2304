"""What a try at the car changes: what becomes of that placement, how many seatings are left, what to try next."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import Literal

from seatplan.model import Tried, Trip
from seatplan.rules.finding import Finding
from seatplan.rules.profile import Profile
from seatplan.rules.tries import ways_meant

from .changes import Change, Rides, as_current, changes, rides_of, rides_today
from .placements import Cell
from .plan import plan
from .ranking import unpack
from .results import Arrangement, Plan

#: blocked: it cannot stay like that; confirmed: it holds; held: it held, and something is still to be noted;
#: open: how far it moved is not known; unused: nobody of the trip could ride like that
Outcome = Literal["blocked", "confirmed", "held", "open", "unused"]
#: how many of the best arrangements are looked through for the one that was being installed
LOOKED_THROUGH = 100


@dataclass(frozen=True, slots=True)
class AfterTry:
    """``finding`` is what the rule on tries says of the placement. ``missing`` names what keeps a try that held from
    confirming it: level, mode, or how it was installed; ``modes`` are those it could have been. ``installing`` says
    what ``changes`` are held against: how they ride today, or the plan. ``next`` differs least from that among the
    best; None where nothing is left."""

    tried: Tried
    outcome: Outcome
    finding: Finding | None
    missing: tuple[Literal["level", "mode", "way"], ...]
    modes: tuple[str, ...]
    was: Plan
    now: Plan
    installing: Literal["today", "plan", "nothing"]
    next: Arrangement | None
    changes: tuple[Change, ...]


def after_try(before: Trip, after: Trip, tried: Tried, profile: Profile, today: date) -> AfterTry:
    """Solve the trip without and with what was tried. ``after`` without the entry again tells of one taken back."""
    known = any(here.restraint == tried.restraint and here.position == tried.position
                for here in after.current.values())
    was = plan(before, profile, today, top=1 if known else LOOKED_THROUGH)
    installing, rides = _installing(was, after, tried)
    now = plan(after.model_copy(update={"current": as_current(rides)}), profile, today,
               top=1 if _did_not_hold(tried, profile) else LOOKED_THROUGH)
    cells = [cell for cell in now.choices.cells() if _is_tried(cell, tried)]
    found = [f for cell in cells for f in cell.findings if f.rule == "moved-when-tried"]
    outcome = _outcome(cells, found)
    finding = min(found, key=lambda f: f.outcome != "block", default=None)
    missing = tuple(_missing(cells, tried)) if outcome == "held" else ()
    modes = tuple(dict.fromkeys(cell.placement.mode_name for cell in cells if not cell.placement.booster))
    best = _best(now, tried if outcome in ("confirmed", "held") else None)
    return AfterTry(tried, outcome, finding, missing, modes, was, now, installing, best,
                    changes(rides, best) if best else ())


def _did_not_hold(tried: Tried, profile: Profile) -> bool:
    return tried.failed or tried.level is False or (tried.moved or 0) > profile.limit("movement_at_belt_path")


def _best(now: Plan, held: Tried | None) -> Arrangement | None:
    """The best arrangement; where something held, the best with it among those that are as sure and protect as well."""
    if not now.arrangements:
        return None
    first = now.arrangements[0]
    if held is None:
        return first
    for arrangement in now.arrangements:
        if _rank(arrangement) != _rank(first):
            break
        if any(_is_tried(seat.cell, held) for seat in arrangement.seats):
            return arrangement
    return first


def _rank(arrangement: Arrangement) -> tuple[object, ...]:
    points = unpack(arrangement.cost)
    return arrangement.verdict, points["protection"], points["cautions"]


def _is_tried(cell: Cell, tried: Tried) -> bool:
    p = cell.placement
    return (p.restraint is not None and p.restraint.restraint == tried.restraint and p.by == tried.by
            and p.position.position == tried.position and tried.mode in (None, p.mode_name))


def _outcome(cells: list[Cell], found: list[Finding]) -> Outcome:
    if not found:
        return "unused"
    outcomes = {f.outcome for f in found}
    if outcomes & {"block", "caution"}:
        return "blocked"
    if "unmeasured" in outcomes:
        return "open"
    return "confirmed" if any(cell.confirmed for cell in cells) else "held"


def _missing(cells: list[Cell], tried: Tried) -> list[Literal["level", "mode", "way"]]:
    """What a try that held would have to say as well."""
    lacks: list[Literal["level", "mode", "way"]] = []
    placements = [cell.placement for cell in cells if not cell.placement.booster]
    if any(p.mode is not None and p.mode.recline is not None for p in placements) and tried.level is None:
        lacks.append("level")
    if tried.mode is None and len({p.mode_name for p in placements}) > 1:
        lacks.append("mode")
    if any(p.restraint is not None and ways_meant(p.restraint, tried.model_copy(update={"mode": p.mode_name}), p) > 1
           for p in placements):
        lacks.append("way")
    return lacks


def _installing(was: Plan, trip: Trip, tried: Tried) -> tuple[Literal["today", "plan", "nothing"], Mapping[str, Rides]]:
    """What was being installed: how they ride today where that has the restraint there; else the best arrangement that
    has it there in this way; else how they ride today; else the best arrangement."""
    today = rides_today(trip)
    if any(r.restraint == tried.restraint and r.position == tried.position for r in today.values()):
        return "today", today
    for arrangement in was.arrangements:
        if any(_is_tried(seat.cell, tried) for seat in arrangement.seats):
            return "plan", rides_of(arrangement)
    if today:
        return "today", today
    return ("plan", rides_of(was.arrangements[0])) if was.arrangements else ("nothing", {})
