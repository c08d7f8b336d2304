"""One arrangement against another: who would ride otherwise, and what exactly is lost or gained."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from seatplan.frozen import frozen
from seatplan.model import Trip, Wish
from seatplan.rules.finding import Finding
from seatplan.rules.profile import Profile
from seatplan.rules.subjects import Placement

from .explain import Explanation, explain_solve
from .kinds import Kinds
from .plan import plan, planned
from .ranking import CRITERIA, NO_COUNTS, unpack
from .repairs.change import Shelf
from .results import Arrangement, Plan
from .solve import Solve


@frozen
class Criterion:
    """One criterion of the ranking, the number of points that speak against each of the two; fewer are better. Of what
    is no count the better has 0 and the worse 1."""

    name: str
    one: int
    other: int


@frozen
class Contrast:
    """``one`` seen against ``other``: the riders who ride otherwise, every criterion in which they differ, the most
    important first, and the cautions and open measurements that only one of them has."""

    one: Arrangement
    other: Arrangement
    moved: tuple[tuple[Placement, Placement], ...]
    criteria: tuple[Criterion, ...]
    only_one: tuple[Finding, ...]
    only_other: tuple[Finding, ...]


def contrast(one: Arrangement, other: Arrangement, kinds: Kinds) -> Contrast:
    """Hold two arrangements of one trip against each other; who has which copy of a kind is no difference."""
    there = {seat.placement.rider.rider: seat.placement for seat in other.seats}
    pairs = [(seat.placement, there[seat.placement.rider.rider]) for seat in one.seats]
    costs, others = unpack(one.cost), unpack(other.cost)
    criteria = tuple(_held_against(c.name, costs[c.name], others[c.name]) for c in CRITERIA
                     if costs[c.name] != others[c.name])
    return Contrast(
        one, other, tuple((a, b) for a, b in pairs if _told(a, kinds) != _told(b, kinds)), criteria,
        tuple(_missing(one, other, kinds)), tuple(_missing(other, one, kinds)))


def _held_against(name: str, one: int, other: int) -> Criterion:
    """What is no count is only better (0) or worse (1)."""
    return Criterion(name, int(one > other), int(other > one)) if name in NO_COUNTS else Criterion(name, one, other)


def _told(placement: Placement, kinds: Kinds) -> tuple[object, ...]:
    held = kinds.named(placement.restraint.restraint) if placement.restraint else None
    return (placement.position.position, held, placement.mode_name, placement.by, placement.bars, placement.tether,
            placement.recline)


def _missing(here: Arrangement, there: Arrangement, kinds: Kinds) -> list[Finding]:
    """What is less than a pass here and not found there."""
    known = {_said(finding, kinds) for finding in _worse(there)}
    return [finding for finding in _worse(here) if _said(finding, kinds) not in known]


def _worse(arrangement: Arrangement) -> Sequence[Finding]:
    every = [f for seat in arrangement.seats for f in seat.cell.findings] + list(arrangement.findings)
    return [finding for finding in every if finding.outcome in ("caution", "unmeasured")]


def _said(finding: Finding, kinds: Kinds) -> tuple[object, ...]:
    return finding.rule, finding.outcome, finding.riders, finding.positions, kinds.named(finding.restraint)


@frozen
class Asked:
    """Why not ``wish``: the best arrangement with it against the best of all; or, where there is none with it, what
    stands in the way and what would change that; ``best`` None: nothing fits without it either."""

    plan: Plan
    wish: Wish
    contrast: Contrast | None
    same: bool                        # the best of all already is so
    best: Arrangement | None
    explanation: Explanation | None


def why_not(trip: Trip, profile: Profile, today: date, wish: Wish, shelf: Shelf, *, strict: bool = False,
            worst_case: bool = False) -> Asked:
    """Why the best arrangement does not have what ``wish`` asks for; the wish is taken as a must."""
    asked = wish.model_copy(update={"must": True})
    plain = plan(trip, profile, today, top=1, strict=strict, worst_case=worst_case)
    day = plain.day
    held = trip.model_copy(update={"wishes": [*trip.wishes, asked], "on": day})
    with_it = planned(held, profile, day, top=1, strict=strict, worst_case=worst_case)
    best = plain.arrangements[0] if plain.arrangements else None
    if with_it.arrangements:
        one = with_it.arrangements[0]
        same = best is not None and one.cost == best.cost and not contrast(one, best, with_it.choices.kinds).moved
        held_against = None if best is None else contrast(one, best, with_it.choices.kinds)
        return Asked(with_it, asked, held_against, same, best, None)
    explained = None
    if with_it.tally.complete:
        solve = Solve(held, profile, day, strict=strict, worst_case=worst_case)
        explained = explain_solve(solve, shelf, keep=(asked.rider or "",))
    return Asked(with_it, asked, None, False, best, explained)
