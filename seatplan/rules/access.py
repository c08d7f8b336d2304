"""The way out: who sits behind a seat that can no longer be folded.

The ``when`` of a rule of scope trip looks at the world only: the runner asks it with nobody seated, too.
"""

from __future__ import annotations

import re
from functools import cache
from typing import TYPE_CHECKING

from seatplan.fields import field
from seatplan.message import joined, said

from .finding import Result, fails, lacks, passes
from .rule import rule

if TYPE_CHECKING:
    from seatplan.model import Position

    from .subjects import Placement, RuleContext, Seated

_SEAT = re.compile(r"\b([1-9][LCR])\b")


@cache
def ways_past(way: str | None) -> tuple[tuple[str, ...], ...]:
    """Each written way out as the positions that it leads past: ``past 2R folded``, ``past 2L or 2R folded``.
    Empty where nothing is written or one way leads past none: ``door or past 2R folded``."""
    ways = tuple(tuple(_SEAT.findall(one)) for one in re.split(r"\bor\b|,", way or ""))
    return ways if all(ways) else ()


def _shut_in(seated: Seated) -> list[tuple[Placement, list[Placement]]]:
    """Riders whose every way out leads past a seat with an installed restraint, and who holds those seats."""
    taken = {place: p for p in seated.placements for place in p.places}
    found = []
    for placement in seated.placements:
        ways = ways_past(placement.position.exit)
        held = [[taken[seat] for seat in way if seat in taken and taken[seat].restraint is not None] for way in ways]
        if held and all(held):
            found.append((placement, list(dict.fromkeys(holder for way in held for holder in way))))
    return found


def _says(found: list[tuple[Placement, list[Placement]]]) -> Result:
    shut_in, holders = found[0]
    return fails(
        0, 1, "", 1,
        child=shut_in.rider.rider, seat=shut_in.position.position,
        behind=joined(said(" and "), (said("{rider} at {position}", rider=p.rider.rider, position=p.position.position)
                                for p in holders)),
        keep=said("keeps the seat from folding") if len(holders) == 1 else said("keep the seats from folding"),
        others="" if len(found) == 1 else said(" (and for {n_found} more)", n_found=len(found) - 1),
    )


def _ways_past(seated: Seated, world: RuleContext) -> bool:
    return any(ways_past(position.exit) for position in world.vehicle.positions())


def _unwritten(position: Position) -> bool:
    """Nobody wrote down the way out of the third row or further back."""
    return position.row > 2 and position.exit is None


def _asks_climbers(seated: Seated, world: RuleContext) -> bool:
    return any(rider.climbs is False for rider in world.trip.riders) and any(
        _unwritten(position) or ways_past(position.exit) for position in world.vehicle.positions())


@rule(
    "way-out-blocked",
    title="A rider behind has no way out",
    scope="trip",
    strength="good practice",
    source="common practice, no source",
    depends=("position", "restraint"),
    reads=("position.exit",),
    remedy="leave the seat that folds free, or give it to a rider without a restraint",
    when=_ways_past,
    weight="slight",
    why_weight="a tailgate or climbing over, which are not counted, mostly leave a way; common "
    "practice, no source",
    says={
        "caution": "{child} at {seat} has no way out: {behind} {keep}{others}",
        "block": "{child} at {seat} has no way out: {behind} {keep}{others}",
        "pass": "everybody behind has a way out",
    },
)
def way_out_blocked(seated: Seated, world: RuleContext) -> Result | None:
    """Somebody sits in a row whose only way out leads past a seat that an installed restraint keeps from folding.

    Checks: the way out of each taken position against the restraints on the seats that it leads past.
    Why: in a crash or a fire everybody behind must get out, and children must be reached.
    Limits: a tailgate that opens from inside, and climbing over, are not counted.
    Blocks: nothing; a caution for a rider at 3R whose way leads past 2R with a rear-facing shell on it.
    """
    found = _shut_in(seated)
    if found:
        return _says(found)
    return passes(1, 1) if any(ways_past(p.position.exit) for p in seated.placements) else None


@rule(
    "cannot-climb-out",
    title="A rider behind cannot climb and has no other way out",
    scope="trip",
    source="the rider's own word in the trip: `climbs: no`",
    depends=("rider", "position", "restraint"),
    fact=(),
    reads=("position.exit", "rider.climbs"),
    remedy="another row for this rider, or leave the seat that folds free",
    when=_asks_climbers,
    says={
        "block": "{child} cannot climb and has no way out at {seat}: {behind} {keep}{others}",
        "pass": "everybody who cannot climb has a way out",
    },
)
def cannot_climb_out(seated: Seated, world: RuleContext) -> Result | None:
    """A rider who cannot climb sits behind a seat that an installed restraint keeps from folding.

    Checks: as for a blocked way out, for riders whose file says `climbs: no`.
    Why: you said that this rider cannot climb over.
    Limits: only riders of whom it was written down; a way out that was not written down is asked for from the
        third row on.
    Blocks: a grandmother at 3L whose way leads past 2L with a booster on connectors.
    """
    found = [item for item in _shut_in(seated) if item[0].rider.climbs is False]
    if found:
        return _says(found)
    slow = [p for p in seated.placements if p.rider.climbs is False]
    unwritten = [p.position.position for p in slow if _unwritten(p.position)]
    if unwritten:
        return lacks(field("position.exit", position=unwritten[0]), "door")
    return passes(1, 1) if slow else None
