"""The whole trip, what the family asked for, and what was tried at the car.

The ``when`` of a rule of scope trip looks at the world only: the runner asks it with nobody seated, too.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from seatplan.fields import field
from seatplan.message import Amount, Day, Figure, Message, joined, said

from .finding import Result, fails, lacks, passes
from .limits import head_below_top
from .rule import rule
from .subjects import adjacent
from .tries import (
    confirmed_by,
    lacks_movement,
    lies_on_the_child,
    moved_most,
    not_level,
    pulled,
    reading,
    tries_of,
    wrong_angle,
)

if TYPE_CHECKING:
    from seatplan.model import Tried, Wish

    from .subjects import Placement, RuleContext, Seated


@rule(
    "front-seat-under-13",
    title="A child rides in front while a rear seat is free or holds somebody older",
    scope="trip",
    strength="good practice",
    limits=("front_seat_min_age",),
    source="AAP 2018, Pediatrics 142(5) e20182460",
    depends=("rider", "position"),
    reads=("rider.born", "rider.age"),
    remedy="let an adult or an older child move to the front",
    when=lambda seated, w: len(w.vehicle.rows) > 1,
    weight="slight",
    why_weight="the order of arrangements counts children in front in steps of its own, and the airbag "
    "has a caution of its own; common practice, no source",
    own_step=True,
    says={
        "caution": "{child}, aged {years}, rides in front while {behind} is free or holds somebody older; under 13 "
                   "the rear is better",
        "block": "{child}, aged {years}, rides in front while {behind} is free or holds somebody older",
        "pass": "{child} rides in front; no rear seat is left",
    },
)
def front_seat_under_13(seated: Seated, world: RuleContext) -> Result | None:
    """A child under 13 rides in the front row while a rear position is free or holds somebody older.

    Checks: the age of everybody in the front row, and who sits behind.
    Why: the rear seats protect children better; for adults it makes little difference.
    Limits: whether the child's restraint would fit behind is another question.
    Blocks: nothing; a caution for a child of 9 in front with 2C free.
    """
    least = world.limit("front_seat_min_age")
    ahead = [p for p in seated.placements if not p.rider.adult and world.vehicle.in_front(p.position)]
    ages = [(world.age_months(p.rider), p) for p in ahead]
    unknown = next((p for age, p in ages if age is None), None)
    if unknown is not None:
        return lacks(field("rider.born", rider=unknown.rider.rider), least, child=unknown.rider.rider)
    young = [(age, p) for age, p in ages if age is not None and age < least]
    if not young:
        return None
    taken = {p.position.position: p for p in seated.placements}
    behind = [
        position.position
        for position in world.vehicle.positions()
        if (position.position not in taken or _older(taken[position.position], world, least))
        and not world.vehicle.in_front(position)
        and position.facing == "forward"
        and position.seat == "fixed"
    ]
    age, child = min(young, key=lambda item: item[0])
    if not behind:
        return passes(age, least, "months", child=child.rider.rider)
    return fails(
        age,
        least,
        "months",
        least - age,
        child=child.rider.rider,
        years=age // 12,
        behind=joined(said(" or "), behind),
    )


def _older(placement: Placement, world: RuleContext, least: float) -> bool:
    age = world.age_months(placement.rider)
    return placement.rider.adult or (age is not None and age >= least)


@rule(
    "wish-to-be-together-not-met",
    title="You asked for them to sit together",
    scope="trip",
    source="a wish of the trip with `must`",
    depends=("rider", "position"),
    reads=("trip.wishes",),
    remedy="drop the wish, or its `must`",
    when=lambda seated, w: any(wish.must and wish.together for wish in w.trip.wishes),
    says={
        "block": "you asked for {measured} side by side",
        "pass": "they sit side by side, as you asked",
    },
)
def wish_to_be_together_not_met(seated: Seated, world: RuleContext) -> Result:
    """Riders whom the trip wants side by side, as a must, do not sit so.

    Checks: that each rider of the wish sits next to the following one, in one row with no position between.
    Why: you asked for it.
    Limits: a wish without must only ranks.
    Blocks: Wren at 2L and Ines at 2R with 2C between them.
    """
    by_name = {p.rider.rider: p for p in seated.placements}
    for wish in world.trip.wishes:
        if wish.must and wish.together:
            for one, other in zip(wish.together, wish.together[1:], strict=False):
                a, b = by_name.get(one), by_name.get(other)
                if a is None or b is None or not adjacent(a, b):
                    return fails(said("{one} and {other}", one=one, other=other), said("side by side"))
    return passes(said("side by side"), said("side by side"))


@rule(
    "rider-without-place",
    title="A rider has no place",
    scope="trip",
    source="everybody named in the trip rides",
    depends=("rider",),
    reads=("trip.riders",),
    remedy="another vehicle, another restraint, or a second trip",
    says={
        "block": "{left_out} has no place",
        "pass": "everybody has a place",
    },
)
def rider_without_place(seated: Seated, world: RuleContext) -> Result:
    """A rider of the trip is left without a placement.

    Checks: that every rider of the trip has one.
    Why: everybody named in the trip rides.
    Limits: none.
    Blocks: six riders in a car with five seats.
    """
    placed = {p.rider.rider for p in seated.placements}
    left = [rider.rider for rider in world.trip.riders if rider.rider not in placed]
    if left:
        return fails(len(placed), len(world.trip.riders), shortfall=len(left), left_out=joined(", ", left))
    return passes(len(placed), len(world.trip.riders))


def _musts(p: Placement, w: RuleContext) -> list[Wish]:
    return [wish for wish in w.trip.wishes if wish.must and wish.rider == p.rider.rider]


@rule(
    "wish-for-seat-not-met",
    title="You asked for another seat or restraint",
    source="a wish of the trip with `must`",
    depends=("rider", "restraint", "position"),
    world=("musts",),
    fact=("rider",),
    reads=("trip.wishes",),
    remedy="drop the wish, or its `must`",
    when=lambda p, w: bool(_musts(p, w)),
    says={
        "block": "you asked for {limit}; it would be {measured}",
        "pass": "this is where you asked for",
    },
)
def wish_for_seat_not_met(p: Placement, w: RuleContext) -> Result:
    """The trip wants another seat or restraint for this rider, as a must.

    Checks: the position against `at` and `not_at`, the restraint against `uses`.
    Why: you asked for it.
    Limits: a wish without must only ranks.
    Blocks: Wren at 2C under `at: [2L, 2R]`.
    """
    here, used = p.position.position, p.restraint.restraint if p.restraint else said("the seat belt")
    asked: list[str] = []
    wanted: str
    for wish in _musts(p, w):
        if wish.at is not None:
            wanted, met, found = joined(said(" or "), wish.at), bool({*p.places} & {*wish.at}), here
        elif wish.not_at is not None:
            wanted, met, found = (
                said("anything but {not_at}", not_at=joined(said(" or "), wish.not_at)),
                not {*p.places} & {*wish.not_at},
                here,
            )
        else:
            uses = wish.uses or []
            wanted, met, found = joined(said(" or "), uses), used in uses, used
        if not met:
            return fails(found, wanted)
        asked.append(wanted)
    return passes(joined(", ", (here, used)), joined("; ", asked))


@rule(
    "moved-when-tried",
    title="When tried in the car, it would not hold",
    source="widely repeated guidance of NHTSA, 1 inch at the belt path",
    depends=("restraint", "mode", "installation", "position"),
    world=("tries",),
    reads=("trip.tried",),
    limits=("movement_at_belt_path",),
    remedy="tighten and try again; if it will not hold, another seat or another way of installing",
    when=lambda p, w: bool(pulled(p, w)),
    says={
        "block": "tried on {on}: {tried}",
        "pass": "tried on {on}: moved {measured}, {level}; allowed {limit}",
    },
)
def moved_when_tried(p: Placement, w: RuleContext) -> Result:
    """Somebody tried this restraint here in this way, and it moved too much or stood crooked.

    Checks: the latest `tried` entry for restraint, seat and way of installing: failed, level, movement at
        the belt path.
    Why: what happened at the car counts for more than any sum.
    Limits: an entry that names no mode counts for every mode of the restraint; where one has no day, all count.
        On one day all count, but for what `seatplan record` wrote: that came after what stands above it. A try
        that held confirms the way it was installed, and nothing else: neighbours and numbers are judged as before.
        What would not hold speaks of others of its kind, too, until they are tried themselves.
    Blocks: 38 mm of movement, 25 mm allowed.
    """
    tries, limit = pulled(p, w), w.limit("movement_at_belt_path")
    moves = [moved for t in tries if (moved := moved_most(t)) is not None]
    on = max((Day(t.on) for t in tries if t.on is not None), default=said("a day not noted"))
    if any(t.failed for t in tries):
        return fails(said("would not hold"), limit, "mm", on=on)
    if any(map(not_level, tries)):
        return fails(said("not level"), limit, "mm", on=on)
    if moves and max(moves) > limit:
        return fails(max(moves), limit, "mm", max(moves) - limit, on=on)
    if any(map(lacks_movement, tries)):
        return lacks(field("trip.tried", position=p.position.position), limit, "most")
    return passes(max(moves), limit, "mm", on=on, confirmed=confirmed_by(p, w) is not None,
                  level=_level(tries))


def _level(tries: list[Tried]) -> Message | str:
    """How it stood, in words."""
    if all(reading(t, "level") for t in tries):
        return "level"
    angles = [reading(t, "angle") for t in tries]
    if all(angle is not None for angle in angles):
        return said("{angle} degrees from upright", angle=Figure(max(angles)))
    return said("level not noted")


def _not_installed_so(p: Placement, w: RuleContext, tries: list[Tried], on: Any) -> Result | None:
    """What an entry says of the tether or the gap ahead that is not as this placement has it."""
    if p.tether is not None and any(t.tether is False for t in tries):
        return fails(said("not hooked"), on=on, what=said("the tether was"), asked=said("and this plan hooks it"))
    least = int(w.limit("clear_of_seat_ahead"))
    for t in tries if p.mode is not None and p.mode.touch_ahead == "gap" else ():
        gap = reading(t, "gap_ahead")
        if gap is not None and gap < least:
            return fails(gap, least, "mm", least - gap, on=on, what=said("the gap to what is ahead is"), asked=said(
                "and at least {least} is needed", least=Amount(least, "mm", "up")))
    return None


@rule(
    "read-at-the-car",
    title="What was read at the car is not what this child needs",
    source="the restraint's instructions; guidance: straps and head in the shell; common practice",
    depends=("rider", "restraint", "mode", "installation", "position", "tether"),
    world=("age", "tries"),
    reads=("trip.tried", "mode.recline.ranges", "mode.touch_ahead", "rider.shoulder_height"),
    any_size=True,
    limits=("rear_head_below_top", "clear_of_seat_ahead"),
    remedy="set it as the instructions say and read it again; if that cannot be, another restraint or seat",
    when=lambda p, w: any(
        t.readings is not None or t.tether is not None for t in tries_of(p, w)),
    says={
        "block": "read on {on}: {what} {measured}, {asked}",
        "pass": "read on {on}: nothing speaks against it",
    },
)
def read_at_the_car(p: Placement, w: RuleContext) -> Result:
    """What somebody read at the car is not what this child needs: angle, gap, tether, straps, head, belt.

    Checks: of the `tried` entries that count here the angle against the range for this child, the gap to what is ahead
        where the instructions want one, and whether the tether was hooked; straps, head and, where it lies on the
        child or is all that holds it, the belt, where the entry was taken with this child in it.
    Why: the sums of a plan come from what was measured on a bench; this is how it came to stand.
    Limits: straps are held against a shoulder height only where that was measured. An angle counts nowhere where the
        instructions name no range.
    Blocks: 52 degrees from upright where 30 to 45 are allowed.
    """
    tries = tries_of(p, w)
    on = max((Day(t.on) for t in tries if t.on is not None), default=said("a day not noted"))
    for t in tries:
        if (allowed := wrong_angle(t, p, w)) is not None:
            angle = reading(t, "angle")
            end = allowed[0] if angle < allowed[0] else allowed[1]
            return fails(angle, end, "degrees", abs(angle - end), on=on, what=said("it leans"), asked=said(
                "and {low} to {high} degrees are allowed", low=Figure(allowed[0]), high=Figure(allowed[1])))
    wrong = _not_installed_so(p, w, tries, on)
    if wrong is not None:
        return wrong
    if (p.mode is None or lies_on_the_child(p.mode, p.by)) and any(
            reading(t, "belt_fits") is False for t in tries if t.rider in (None, p.rider.rider)):
        return fails(said("does not lie as it should"), on=on, what=said("the vehicle belt"), asked=said(
            "low on the hips and on the middle of the shoulder"))
    for t in (t for t in tries if t.rider == p.rider.rider):
        head, straps, shoulder = reading(t, "head_below_top"), reading(t, "straps"), p.rider.shoulder_height
        least = head_below_top(p, w)[0]
        if p.rear_facing and head is not None and head < least:
            return fails(head, least, "mm", least - head, on=on, what=said("the head is below the top by"),
                         asked=said("and at least {least} is needed", least=Amount(least, "mm", "up")))
        if p.harness and straps is not None and shoulder is not None and (
                straps > shoulder if p.rear_facing else straps < shoulder):
            side = said("at or below") if p.rear_facing else said("at or above")
            return fails(straps, shoulder, "mm", abs(straps - shoulder), on=on, what=said("the straps are at"),
                         asked=said("and belong {side} the shoulder at {shoulder}", side=side,
                                    shoulder=Amount(shoulder, "mm", "near")))
    return passes(None, None, on=on)
