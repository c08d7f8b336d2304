"""Does a child sit well on a booster or on the vehicle's cushion: thigh, knees, shoulder belt, head."""

from __future__ import annotations

from typing import TYPE_CHECKING

from seatplan.fields import field

from .finding import Result, at_least, at_most, lacks
from .rule import rule

if TYPE_CHECKING:
    from seatplan.geometry.anthropometry import Estimate

    from .subjects import Placement, RuleContext


def _thigh(p: Placement) -> Estimate | None:
    from seatplan.geometry.anthropometry import thigh_length

    return thigh_length(p.rider)


def _pan(p: Placement) -> int | None:
    """Length of the sitting surface: the part ``pan``; the whole base of a booster without a back."""
    if p.mode is None or not p.booster:
        return None
    names = ("pan", "base") if p.mode_name == "backless-booster" else ("pan",)
    for name in names:
        for part in p.mode.parts:
            if part.part == name and part.along is not None:
                return part.along[1] - part.along[0]
    return None


@rule(
    "thigh-shorter-than-booster",
    title="The booster's seat is longer than the child's thigh",
    strength="good practice",
    source="common guidance: knees bend at the edge of the seat; from memory",
    depends=("rider", "mode"),
    reads=("rider.height", "mode.parts"),
    remedy="a booster with a shorter seat; look whether the knees bend with the back against the seat",
    when=lambda p, w: _pan(p) is not None and _thigh(p) is not None,
    weight="grave",
    why_weight="a child who slides forward to bend the knees has the lap belt on the belly, where it "
    "cuts into organs; common practice, no source",
    says={
        "caution": "the thigh is {measured}{estimate} and the booster's seat {limit} long: knees do not bend at its "
                   "edge",
        "block": "knees must bend at the edge: the thigh is {measured}{estimate} and the booster's seat {limit} long",
        "pass": "the thigh is {measured}{estimate} and the booster's seat {limit} long",
    },
)
def thigh_shorter_than_booster(p: Placement, w: RuleContext) -> Result | None:
    """The child's knees do not bend at the front edge of the booster.

    Checks: the thigh, estimated from stature, against the length of the booster's seat: its part `pan`, or
        its base where it has no back.
    Why: a child whose legs do not bend slides forward, and the lap belt rises onto the belly.
    Limits: the middle of the estimate counts; other children of that stature have up to 25 mm more or less.
        A booster with a back and no part `pan` is not checked.
    Blocks: nothing by itself; a seat of 360 mm gives a caution for a child of 1,300 mm.
    """
    pan = _pan(p)
    assert pan is not None
    return _reaches(_thigh(p), pan)


@rule(
    "head-above-vehicle-back",
    title="Nothing is behind the head",
    strength="good practice",
    source="common guidance: the vehicle's seatback or head restraint reaches the tops of the ears; from memory",
    depends=("rider", "mode", "position"),
    reads=("position.head_restraint", "row.seatback.height", "mode.seat_up", "rider.ear_height", "rider.height"),
    remedy="a booster with a back; a seat with a taller back; the head restraint pulled up and measured",
    when=lambda p, w: p.mode_name in ("backless-booster", "harness-vest", "seat-belt")
    and (not p.rider.adult or _known_back(p)),
    weight="grave",
    why_weight="with nothing behind the head the neck bends back over the seat when the car is hit from "
    "behind; common practice, no source",
    says={
        "caution": "the ears come up to {limit} above the cushion and the vehicle's seatback or head restraint to "
                   "{measured}: it should reach the ears",
        "block": "the vehicle's seatback or head restraint must reach the ears: they come up to {limit}, it to "
                 "{measured}",
        "pass": "the ears come up to {limit} and the vehicle's seatback or head restraint to {measured}",
    },
)
def head_above_vehicle_back(p: Placement, w: RuleContext) -> Result:
    """Where nothing but the vehicle's seat is behind the head, the ears are above its back and head restraint.

    Checks: the tops of the ears, seat of the booster included, against the seatback or, where it was measured,
        the head restraint pulled up, whichever is higher: on a booster without a back, in a vest, on the seat belt.
    Why: above it nothing holds the head back when the car is hit from behind.
    Limits: the upper end of an estimated ear height counts. A seatback that is too low settles it only where no
        head restraint is fitted. Of an adult nothing is asked for: only a seat whose head restraint was measured (then
        the lower end of an estimate counts), or is known not to be there, is held against what is known of the adult.
    Blocks: nothing by itself; ears at 690 mm and a seatback of 620 give a caution.
    """
    from seatplan.geometry.anthropometry import ear_height

    ears, lift = ear_height(p.rider), p.mode.seat_up if p.mode is not None and p.booster else 0
    head = p.position.head_restraint
    back, top = p.seatback.height, head.top if head is not None and head.there else None
    if ears is None:
        return lacks(field("rider.ear_height", rider=p.rider.rider))
    if lift is None:
        return lacks(field("mode.seat_up"))
    fitted = head is not None and head.there
    up, here = (ears.low if p.rider.adult and fitted else ears.high) + lift, p.position.position
    if top is None and (head is None or head.there is not False) and (back is None or back < up):
        return lacks(field("position.head_restraint.top", position=here), up, "least")
    if top is None and back is None:
        return lacks(field("row.seatback.height", row=p.row.row), up, "least")
    return at_least(max(known for known in (back, top) if known is not None), up, "mm")


@rule(
    "knees-do-not-bend",
    title="The cushion is longer than the child's thigh",
    strength="good practice",
    source="widely repeated belt-fit test: knees bend at the edge of the cushion, back against the seat; "
    "from memory",
    depends=("rider", "mode", "position"),
    reads=("rider.height", "rider.belt_fit", "row.cushion.length"),
    limits=("knee_room",),
    remedy="a booster; or sit the child back, look at the knees and record the belt-fit test",
    when=lambda p, w: (
        p.mode is None
        and not p.rider.adult
        and p.cushion.length is not None
        and _thigh(p) is not None
        and not _tested(p)
    ),
    weight="grave",
    why_weight="a child who slides forward to bend the knees has the lap belt on the belly, where it "
    "cuts into organs; common practice, no source",
    says={
        "caution": "the thigh is {measured}{estimate} and the cushion takes {limit}: knees do not bend at its edge",
        "block": "knees must bend at the edge: the thigh is {measured}{estimate} and the cushion takes {limit}",
        "pass": "the thigh is {measured}{estimate} and the cushion takes {limit}",
    },
)
def knees_do_not_bend(p: Placement, w: RuleContext) -> Result | None:
    """On the seat belt, the child's knees do not bend at the edge of the cushion.

    Checks: the thigh, estimated from stature, against the cushion length; not where a belt-fit test at that
        seat is on record.
    Why: a child who slides forward to bend the knees lies under the lap belt.
    Limits: the middle of the estimate counts; other children of that stature have up to 28 mm more or less.
    Blocks: nothing by itself; a cushion of 480 mm gives a caution for a child of 1,500 mm.
    """
    cushion = p.cushion.length
    assert cushion is not None
    return _reaches(_thigh(p), cushion + w.limit("knee_room"))


@rule(
    "shoulder-belt-ahead-of-shoulder",
    title="The shoulder belt comes from ahead of the shoulder",
    strength="good practice",
    source="common practice, no source",
    depends=("rider", "mode", "position"),
    reads=(
        "position.belt.shoulder_exit",
        "row.seatback.angle",
        "mode.seat_up",
        "rider.shoulder_height",
        "rider.height",
    ),
    remedy="another seat",
    when=lambda p, w: p.booster and _shoulder(p) is not None and _exit(p) is not None,
    weight="grave",
    why_weight="a belt that does not lie on the shoulder lets the head swing far forward; common "
    "practice, no source",
    says={
        "caution": "the shoulder belt at {position} starts {shortfall} ahead of the shoulder{estimate}",
        "block": "the shoulder belt must not start ahead of the shoulder: {shortfall} at {position}{estimate}",
        "pass": "the shoulder belt at {position} does not start ahead of the shoulder{estimate}",
    },
)
def shoulder_belt_ahead_of_shoulder(p: Placement, w: RuleContext) -> Result:
    """The shoulder belt of a child on a booster leaves the car ahead of the shoulder.

    Checks: where the belt comes from, along the car, against the shoulder of the child that leans on the
        seatback.
    Why: from ahead the belt does not lie on the shoulder, and the child falls into a loose loop.
    Limits: the place of the shoulder is estimated from seatback, booster and shoulder height; the
        booster's own back, which moves the child forward, is left out.
    Blocks: nothing by itself; an exit 40 mm ahead of the shoulder gives a caution.
    """
    exit_along, shoulder = _exit(p), _shoulder(p)
    assert exit_along is not None
    assert shoulder is not None
    return at_most(exit_along, shoulder, "mm", estimated=True)


def _known_back(p: Placement) -> bool:
    """Whether the height of all that is behind a head was measured, and so was the size of the rider."""
    head, rider = p.position.head_restraint, p.rider
    if head is None or (rider.ear_height or rider.sitting_height or rider.height) is None:
        return False
    return head.top is not None if head.there else head.there is False and p.seatback.height is not None


def _reaches(thigh: Estimate | None, length: float) -> Result | None:
    if thigh is None:
        return None
    return at_least(thigh.middle, length, "mm", estimated=not thigh.measured, low=thigh.low, high=thigh.high)


def _tested(p: Placement) -> bool:
    test = p.rider.belt_fit
    return test is not None and test.position == p.position.position


def _exit(p: Placement) -> int | None:
    belt = p.position.belt
    return None if belt is None or belt.shoulder_exit is None else belt.shoulder_exit[0]


def _shoulder(p: Placement) -> int | None:
    from seatplan.geometry.shoulder import shoulder_along

    angle, seat_up = p.seatback.angle, p.mode.seat_up if p.mode else None
    return None if angle is None or seat_up is None else shoulder_along(p.rider, angle, seat_up)
