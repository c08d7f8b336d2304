"""A rider before a front airbag, or beside one in the seat."""

from __future__ import annotations

from typing import TYPE_CHECKING

from seatplan.fields import field
from seatplan.message import said

from .both_places import at_both
from .finding import Result, cautions, fails, lacks, passes
from .rule import rule

if TYPE_CHECKING:
    from seatplan.model import Position

    from .subjects import Placement, RuleContext


#: from this age on nobody counts as a child before an airbag: 49 CFR 571.208 S4.5.1(b), from memory
_NO_CHILD_FROM_MONTHS = 13 * 12


def _before_airbag(p: Placement, w: RuleContext) -> bool:
    """Front airbags are before the front row; further back only where the file says so."""
    airbag = p.position.airbag
    return w.vehicle.in_front(p.position) or (airbag is not None and airbag.front not in (None, "none"))


def can_fire(position: Position, world: RuleContext) -> bool:
    """Whether a front airbag is there that nobody switched off; one that a sensor switches may come on again. Where
    nothing is known of one, the rules ask."""
    front = position.airbag.front if position.airbag else None
    return front in ("active", "automatic") or (front == "switchable" and not switched_off(position, world))


def switched_off(position: Position, world: RuleContext) -> bool:
    """Whether a front airbag counts as off: by its switch, which the trip says; or by a sensor in the seat, where the
    trip says that its lamp shows it and the rules let that count."""
    front = position.airbag.front if position.airbag else None
    told = position.position in world.trip.airbags_off
    by_itself = front == "automatic" and (world.profile.flags or {}).get("automatic_airbag_counts", False)
    return told and (front == "switchable" or by_itself)


def stays_rearmost(p: Placement, w: RuleContext) -> bool:
    """Whether the seat under a placement may not come forward: a child rides in it before an airbag that can fire."""
    if p.rider.adult or not can_fire(p.position, w):
        return False
    age = w.age_months(p.rider)
    return age is None or age < w.limit("front_seat_min_age")


def _airbag(p: Placement, w: RuleContext) -> Result:
    front = p.position.airbag.front if p.position.airbag else None
    if front is None:
        return lacks(field("position.airbag.front", position=p.position.position), "none")
    if front == "none":
        return passes("none", "none")
    if switched_off(p.position, w):
        return cautions(said("switched off"), said("switched off"))      # so its lamp has to be looked at every time
    return fails(_state(front), said("none or switched off"))


def _state(front: str) -> str:
    if front == "automatic":
        return said("switched by a sensor in the seat")
    return "active" if front == "active" else said("not switched off")


@rule(
    "rear-facing-before-airbag",
    title="A rear-facing child before a front airbag",
    source="Directive 91/671/EEC Art. 2(1)(b); UN R44 15.2.9; 49 CFR 571.213 S5.5.2(k)(3)",
    depends=("mode", "position"), world=("airbag_off", "front"),
    fact=("position",),
    reads=("position.airbag.front", "trip.airbags_off"),
    remedy="a seat in another row; or switch the airbag off, where it has a switch",
    when=lambda p, w: p.rear_facing and _before_airbag(p, w),
    weight="grave",
    why_weight="if the airbag is on after all, it strikes the shell at the child's head; 49 CFR 571.208 "
    "S4.5.1(b), from memory",
    says={
        "block": "the front airbag at {position} is {measured}; it would strike the back of the shell",
        "caution": "the front airbag at {position} must be off: look at its lamp on every trip",
        "pass": "the front airbag at {position}: {measured}",
    },
)
def rear_facing_before_airbag(p: Placement, w: RuleContext) -> Result:
    """A rear-facing child sits before a front airbag that can go off.

    Checks: the front airbag of the position, and whether the trip says that it is switched off. One that a sensor in
        the seat switches counts as off only under un, where the trip says that its lamp shows it.
    Why: the airbag hits the back of the shell, right behind the child's head.
    Limits: rows further back have no front airbags unless the file says so.
    Blocks: any rear-facing mode at 1R with an active airbag, or a switchable one that is not switched off; one that
        is switched off by hand is a caution, since its lamp has to be looked at on every trip.
    """
    return _airbag(p, w)


@rule(
    "bed-before-airbag",
    title="A lying-flat bed before a front airbag",
    source="common practice, no source; follows from the same danger as rear-facing",
    depends=("mode", "position"), world=("airbag_off", "front"),
    fact=("position",),
    reads=("position.airbag.front", "trip.airbags_off"),
    remedy="a seat in another row; or switch the airbag off, where it has a switch",
    when=lambda p, w: p.mode_name == "lying-flat-bed" and any(
        _before_airbag(side, w) for side in (p, p.from_second()) if side is not None),
    weight="grave",
    why_weight="if the airbag is on after all, it strikes the bed at the child's head; common practice, "
    "no source",
    says={
        "block": "the front airbag at {position} is {measured}; it would strike the bed",
        "caution": "the front airbag at {position} must be off: look at its lamp on every trip",
        "pass": "the front airbag at {position}: {measured}",
    },
)
@at_both
def bed_before_airbag(p: Placement, w: RuleContext) -> Result:
    """A bed lies before a front airbag that can go off.

    Checks: the front airbag of the position, and whether the trip says that it is switched off.
    Why: the airbag throws the bed, and it reaches the child's head.
    Limits: rows further back have no front airbags unless the file says so.
    Blocks: a bed at 1R with an active airbag.
    """
    return _airbag(p, w)


@rule(
    "child-before-airbag",
    title="A child who faces forward before a front airbag",
    strength="good practice",
    source="49 CFR 571.208 S4.5.1(b): warning of the sun visor, children of 12 and under; from memory",
    depends=("rider", "mode", "position"), world=("age", "airbag_off", "front"),
    fact=("rider", "position"),
    reads=("position.airbag.front", "trip.airbags_off", "rider.born", "rider.age"),
    limits=("front_seat_min_age",),
    remedy="a seat in another row; else that seat as far back as it goes, and what the handbook says of children there",
    one_way=True,
    when=lambda p, w: not p.rider.adult and not p.rear_facing and p.mode_name != "lying-flat-bed"
    and _before_airbag(p, w),
    weight="grave",
    why_weight="an airbag can kill children of 12 and under, so its own warning says; 49 CFR 571.208 "
    "S4.5.1(b), from memory",
    says={
        "caution": "the front airbag at {position} is {measured}: have that seat as far back as it goes, and do what "
                   "the handbook says of children there",
        "block": "the front airbag at {position} is {measured}; a child belongs in another row",
        "pass": "the front airbag at {position}: {measured}",
    },
)
def child_before_airbag(p: Placement, w: RuleContext) -> Result | None:
    """A child under 13 who faces forward sits before a front airbag that can go off.

    Checks: the front airbag of the position, whether the trip says that it is switched off by hand, and the rider's
        age.
    Why: the airbag is made for an adult further away; it can badly hurt a child who is close to it.
    Limits: how close the child comes is not measured; a rider of unknown age counts as a child. Along the car that
        seat stays rearmost: what would need it further forward does not fit behind it.
    Blocks: nothing; a caution for a child of 4 in a booster at 1R with an active airbag.
    """
    age = w.age_months(p.rider)
    if age is not None and age >= w.limit("front_seat_min_age"):
        return None
    front = p.position.airbag.front if p.position.airbag else None
    if front == "automatic":
        return fails(_state(front), said("none or switched off"))
    if switched_off(p.position, w):
        return passes(said("switched off"), said("none or switched off"))
    return _airbag(p, w)


def _watched_by_a_sensor(p: Placement, w: RuleContext) -> bool:
    """Somebody of whom no other rule of this file speaks sits where a sensor switches the front airbag."""
    airbag = p.position.airbag
    if airbag is None or airbag.front != "automatic" or p.rear_facing or p.mode_name == "lying-flat-bed":
        return False
    age = w.age_months(p.rider)
    return p.rider.adult or (age is not None and age >= _NO_CHILD_FROM_MONTHS)


@rule(
    "airbag-by-sensor",
    title="A sensor in the seat decides whether the front airbag comes out",
    strength="good practice",
    source="vehicle handbooks on occupant sensors and their lamp; from memory",
    depends=("rider", "mode", "position"), world=("age",),
    fact=("position",),
    reads=("position.airbag.front", "rider.born", "rider.age"),
    remedy="sit upright, nothing heavy on or under the seat, and look at the lamp again",
    when=_watched_by_a_sensor,
    weight="slight",
    why_weight="the belt holds whoever sits there, and a look at the lamp settles it; common practice, no source",
    says={
        "caution": "{measured} switches the front airbag at {position}: once everybody sits, its lamp must show that "
                   "the airbag is on",
        "block": "{measured} switches the front airbag at {position}",
        "pass": "no sensor switches the front airbag at {position}",
    },
)
def airbag_by_sensor(p: Placement, w: RuleContext) -> Result:
    """Somebody of adult age sits where a sensor in the seat switches the front airbag.

    Checks: whether the file says that the front airbag of the position is `automatic`.
    Why: a sensor that takes a light or leaning person for a child leaves the airbag off.
    Limits: whether the lamp was looked at is not known. Of children before such an airbag other rules speak.
    Blocks: nothing; a caution for an adult at 1R with `airbag: {front: automatic}`.
    """
    return fails(said("a sensor in the seat"), said("the lamp shows it"))


@rule(
    "side-airbag-in-seat",
    title="A child beside an airbag in the side of the seat",
    strength="good practice",
    source="warnings of vehicle handbooks on children who lean on a side airbag; from memory",
    depends=("rider", "restraint", "position"),
    fact=("rider", "position"),
    reads=("position.airbag.side",),
    remedy="look it up in the vehicle handbook; the child does not lean on door or pillar; else another seat",
    one_way=True,
    when=lambda p, w: p.restraint is not None or not p.rider.adult,
    weight="slight",
    why_weight="a child who sits upright in a restraint is out of its way; common practice, no source",
    says={
        "caution": "{measured}: do what the vehicle handbook says of children there, and the child does not lean on "
                   "the door",
        "block": "{measured}; a child belongs on another seat",
        "pass": "the side airbag at {position}: {measured}",
    },
)
@at_both
def side_airbag_in_seat(p: Placement, w: RuleContext) -> Result:
    """A child rides beside an airbag that comes out of the side of the seat, or nobody looked whether there is one.

    Checks: the side airbag of the position.
    Why: it comes out between child and door, where a sleeping child leans.
    Limits: a curtain from the roof is made for all who sit there; what the handbook says of the seat is its own.
    Blocks: nothing; a caution for a booster before a side airbag in the seat.
    """
    side = p.position.airbag.side if p.position.airbag else None
    if side is None:
        return cautions(said("nobody looked for a side airbag at {position}", position=p.position.position), "none")
    if side == "seat":
        return fails(said("a side airbag is in the seat at {position}", position=p.position.position), "none")
    return passes(side, "none")
