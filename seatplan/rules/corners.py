"""A rule about something that is only estimated: asked of what was read and measured first, then at the corners.

What is known decides where it can. Where a number is missing and every corner passes, it holds as far as the ends can
be relied on, and says what it rests on. Where nothing but bodies is estimated and every corner fails, it fails: even
the kindest body of a hundred does. In between it stays open, and asks for the number that is missing.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from itertools import product
from typing import TYPE_CHECKING

from seatplan.model.estimated import EstimatedRestraint, EstimatedRider, EstimatedRow
from seatplan.model.own_seat import cushion_at

from .finding import Result, passes
from .subjects import Placement

if TYPE_CHECKING:
    from seatplan.model import Installation, Mode, Position, Restraint, Rider, Row, Trip

    from .subjects import RuleContext

    Held = tuple[Restraint | None, Mode | None, Installation | None]

_OF_RESTRAINTS = frozenset(("restraint", "mode", "installation"))
_OF_PLACES = frozenset(("position", "bars", "tether", "row", "recline"))


def corners_of(placement: Placement, depends: Sequence[str], world: RuleContext) -> list[Placement]:
    """A placement at every corner of what a rule looks at; nothing where nothing of that is estimated."""
    looks = ("rider" in depends, not _OF_RESTRAINTS.isdisjoint(depends), not _OF_PLACES.isdisjoint(depends))
    kept: tuple[Placement, dict[tuple[bool, bool, bool], list[Placement]]] | None = world.kept.get("corners made")
    if kept is None or kept[0] is not placement:         # rule after rule asks about one placement
        kept = world.kept["corners made"] = placement, {}
    if looks not in kept[1]:
        kept[1][looks] = _corners(placement, *looks, world)
    return kept[1][looks]


def _corners(placement: Placement, rider: bool, restraint: bool, place: bool, world: RuleContext) -> list[Placement]:
    riders = _riders(placement) if rider else (placement.rider,)
    held = _held(placement) if restraint else (_as_is(placement),)
    places = _places(placement) if place else ((placement.row, placement.position),)
    if len(riders) == len(held) == len(places) == 1:
        return []
    return [_made(placement, *corner, world) for corner in product(riders, held, places)]


def unkind(placement: Placement, n: int, world: RuleContext) -> Placement:
    """A placement as it takes most room: the largest body, the largest of its kind, in the row at its corner ``n``,
    which the ``world`` has; made once."""
    made: dict[Placement, Placement] = world.kept.setdefault("unkind", {})
    if placement not in made:
        places = _places(placement)
        made[placement] = _made(placement, _riders(placement)[-1], _held(placement)[0],
                                places[min(n, len(places) - 1)], world)
    return made[placement]


def is_estimated(placement: Placement) -> bool:
    """Whether anything of a placement has corners."""
    return (isinstance(placement.rider, EstimatedRider) or isinstance(placement.restraint, EstimatedRestraint)
            or isinstance(placement.row, EstimatedRow))


def has_corners(trip: Trip) -> bool:
    """Whether anything of a trip is estimated."""
    return (any(isinstance(rider, EstimatedRider) for rider in trip.riders)
            or any(isinstance(one, EstimatedRestraint) for one in trip.restraints)
            or any(isinstance(row, EstimatedRow) for row in trip.vehicle.rows))


def _riders(placement: Placement) -> tuple[Rider, ...]:
    rider = placement.rider
    return rider.corners if isinstance(rider, EstimatedRider) else (rider,)


def _as_is(placement: Placement) -> Held:
    return placement.restraint, placement.mode, placement.installation


def _held(placement: Placement) -> tuple[Held, ...]:
    restraint, mode, way = placement.restraint, placement.mode, placement.installation
    if not isinstance(restraint, EstimatedRestraint) or mode is None or way is None:
        return (_as_is(placement),)
    n = next(i for i, own in enumerate(mode.installations) if own is way)
    found = []
    for corner in restraint.corners:
        filled = corner.mode(mode.mode)
        found.append((corner, filled, filled.installations[n]))
    return tuple(found)


def _places(placement: Placement) -> tuple[tuple[Row, Position], ...]:
    row = placement.row
    if not isinstance(row, EstimatedRow):
        return ((row, placement.position),)
    name = placement.position.position
    return tuple((corner, next(p for p in corner.positions if p.position == name)) for corner in row.corners)


def _made(placement: Placement, rider: Rider, held: Held, place: tuple[Row, Position], world: RuleContext) -> Placement:
    from seatplan.geometry.recline import BENCH_ANGLE_DEG, Setting, settings_in_car

    (restraint, mode, way), (row, position) = held, place
    lean, angle = placement.recline, cushion_at(row, position).angle
    if mode is not None and angle is not None and isinstance(placement.restraint, EstimatedRestraint):
        # the outline of a kind is that in the car, however it stands on the cushion; one that was drawn or measured
        # stands on a bench, and turns with the cushion
        reference = 0.0 if mode.recline is None else mode.recline.reference
        drawn = any(part.outline is not None for part in mode.parts)
        lean = Setting(reference, 0 if drawn else round(angle - BENCH_ANGLE_DEG), reference)
    elif mode is not None and mode.recline is not None and angle is not None and lean is None:
        # a shell that was measured, on a cushion whose angle was not: the flattest setting takes most room
        passing = settings_in_car(mode, angle, world.age_months(rider), rider.mass)
        lean = max(passing, key=lambda setting: setting.angle, default=None)
    return Placement(rider, position, row, restraint, mode, way, placement.bars, placement.borrowed, placement.tether,
                     lean, placement.second and next(
                         p for p in row.positions if p.position == placement.second.position))


def decided(found: Result | None, answers: Iterator[Result | None], bodies_only: bool) -> Result | None:
    """What an open answer comes to by the answers at the corners."""
    assert found is not None
    told: list[Result | None] = []
    for result in answers:
        if result is not None and result.outcome == "unmeasured":
            return result                        # what cannot be estimated is to be read first
        told.append(result)
    if any(result is not None and result.outcome == "fail" for result in told):
        if not bodies_only or any(result is None or result.outcome != "fail" for result in told):
            return found
        kindest = min((result for result in told if result is not None), key=lambda result: result.shortfall or 0)
        return kindest._replace(facts={**kindest.facts, "estimated": True})
    worst = next((result for result in told if result is not None and result.outcome == "caution"),
                 next((result for result in told if result is not None), passes()))
    return worst._replace(close=False, estimates=tuple(dict.fromkeys((*worst.estimates, found.field))))


def judged(found: Result | None, placement: Placement, depends: Sequence[str], world: RuleContext,
           ask: Callable[[Placement], Result | None]) -> Result | None:
    """The answer of a rule that lacks a number about a placement: by the corners, if there are any."""
    corners = corners_of(placement, depends, world)
    if not corners:
        return found
    if "rider" in depends and isinstance(placement.rider, EstimatedRider):
        # what is printed decides with the bodies alone, whatever else of the restraint or the car is estimated
        alone = [ask(corner) for corner in corners_of(placement, ("rider",), world)]
        if all(result is not None and result.outcome == "fail" for result in alone):
            return decided(found, iter(alone), True)
    return decided(found, map(ask, corners), False)
