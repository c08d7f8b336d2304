"""What rules read of the world beside the parts of a placement, by name, each with a key that is equal when that is.

A rule that looks at the trip, the day or the rest of the vehicle says so (``world=`` in its decorator): its answers are
kept by these keys too.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable
from typing import TYPE_CHECKING, Any

from seatplan.content import content

from .tries import same_kind

if TYPE_CHECKING:
    from seatplan.model import Rider

    from .subjects import Placement, RuleContext


def _age(p: Placement, w: RuleContext) -> Hashable:
    return w.age_months(p.rider)


def _day(_: object, w: RuleContext) -> Hashable:
    return w.day


def _drives(_: object, w: RuleContext) -> Hashable:
    return w.trip.drives


def _front(p: Placement, w: RuleContext) -> Hashable:
    return w.vehicle.in_front(p.position)


def _airbag_off(p: Placement, w: RuleContext) -> Hashable:
    return tuple(place in w.trip.airbags_off for place in p.places)


def _tolerance(_: object, w: RuleContext) -> Hashable:
    return w.vehicle.measured.tolerance


def _car_name(_: object, w: RuleContext) -> Hashable:
    return w.vehicle.vehicle


def _rear_facing_modes(_: object, w: RuleContext) -> Hashable:
    """Which restraints of the trip have one, and whom it takes."""
    return tuple((restraint.restraint, restraint.condition.content, restraint.made, restraint.expires,
                  restraint.expires_after, mode.limits.content, way.limits and way.limits.content)
                 for restraint in w.trip.restraints for mode in restraint.modes if mode.rear_facing
                 for way in mode.installations)


def _rows(_: object, w: RuleContext) -> Hashable:
    """Which rows there are, and how far each or its parts slide."""
    return tuple((row.row, row.slides, tuple(part.content for part in row.parts),
                  tuple(position.position for position in row.positions))
                 for row in w.vehicle.rows)


def _heights(p: Placement, _: object) -> Hashable:
    """How high each cushion of the row lies, and from where to where, where they differ."""
    if not any(other.cushion is not None and other.cushion.up for other in p.row.positions):
        return ()
    return tuple((other.position, other.centre, other.width, other.cushion and other.cushion.up)
                 for other in p.row.positions)


def _tries(p: Placement, w: RuleContext) -> Hashable:
    """What was tried with the restraint or another of its kind at the position, and which of it before the day; of the
    belt alone what was noted of its rider."""
    if not w.trip.tried:
        return ()
    if p.restraint is None:
        return tuple((tried.content, tried.on is None or tried.on <= w.day) for tried in w.trip.tried
                     if tried.restraint is None and tried.position == p.position.position
                     and tried.rider == p.rider.rider)
    names = {p.restraint.restraint, *same_kind(p.restraint, w)}
    return tuple((tried.restraint == p.restraint.restraint, tried.content, tried.on is None or tried.on <= w.day)
                 for tried in w.trip.tried if tried.restraint in names and tried.position == p.position.position)


def _musts(p: Placement, w: RuleContext) -> Hashable:
    return tuple(wish.content for wish in w.trip.wishes if wish.must and wish.rider == p.rider.rider)


def _doubted(p: Placement, w: RuleContext) -> Hashable:
    """Doubts are few, and each can be about anything."""
    return w.trip.content if getattr(w.trip, "doubted", ()) else 0


#: by name: the key, and which attributes of the world (``day``), the trip or the vehicle may be read with it
READS: dict[str, tuple[Callable[[Any, RuleContext], Hashable], frozenset[str]]] = {
    "age": (_age, frozenset({"age_months"})),
    "airbag_off": (_airbag_off, frozenset({"trip.airbags_off"})),
    "car_name": (_car_name, frozenset({"vehicle.vehicle"})),
    "day": (_day, frozenset({"day"})),
    "doubted": (_doubted, frozenset({"trip", "vehicle"})),
    "drives": (_drives, frozenset({"trip.drives"})),
    "front": (_front, frozenset({"vehicle.in_front"})),
    "heights": (_heights, frozenset()),
    "musts": (_musts, frozenset({"trip.wishes"})),
    "rear_facing_modes": (_rear_facing_modes, frozenset({"trip.restraints"})),
    "rows": (_rows, frozenset({"vehicle.rows", "vehicle.row_of"})),
    "tolerance": (_tolerance, frozenset({"vehicle.measured"})),
    "tries": (_tries, frozenset({"trip.tried", "trip.restraints", "day"})),
}

#: those that are the same for every placement of a world
SAME_FOR_ALL = frozenset(("car_name", "day", "drives", "rear_facing_modes", "rows", "tolerance"))


def of_rider(rider: Rider, w: RuleContext) -> Hashable:
    """What those keys that hang on the rider of a placement are made of beside the rider itself."""
    return w.age_months(rider), tuple([one.content for one in w.trip.wishes if one.must and one.rider == rider.rider])


def around(w: RuleContext) -> Hashable:
    """What the others are made of that differ between placements, beside rider, row and restraint; and what a setting
    is chosen by: in two worlds in which this is equal and all that is ``SAME_FOR_ALL``, a placement has the same keys.
    """
    trip = w.trip
    tried = trip.tried and ([one.content for one in trip.tried], [one.content for one in trip.restraints])
    return content((trip.front, trip.airbags_off, tried or (), trip.content if getattr(trip, "doubted", ()) else 0))
