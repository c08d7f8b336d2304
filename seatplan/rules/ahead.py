"""Along the car: does the restraint lean as it may in this car, and is there room to the seat ahead."""

from __future__ import annotations

from math import hypot
from typing import TYPE_CHECKING

from seatplan.fields import Missing, field, named
from seatplan.message import Figure, in_mm, said

from .both_places import at_both
from .finding import Result, cautions, fails, lacks, passes
from .rule import rule

if TYPE_CHECKING:
    from seatplan.geometry.ahead import Need
    from seatplan.geometry.shapes import Shapes
    from seatplan.model import Recline, Row
    from seatplan.model.vehicle import Ahead
    from seatplan.units import Number

    from .subjects import Placement, RuleContext


def _leans(placement: Placement, world: RuleContext) -> bool:
    return not placement.built_in and (
        placement.harness or (placement.mode is not None and placement.mode.recline is not None))


@rule(
    "recline-out-of-range",
    title="No setting leans as it should in this car",
    source="the restraint's instructions; how cushion and setting add up: seatplan.geometry.recline",
    depends=("rider", "mode", "installation", "position", "recline"),
    world=("age",),
    reads=("row.cushion.angle", "mode.recline", "rider.born", "rider.mass"),
    remedy="packing where the instructions allow it, another position, or another restraint",
    when=_leans,
    weight="grave",
    why_weight="too upright, a baby's head falls forward and closes the airway; common practice, no "
    "source",
    says={
        "block": "no setting leans as it should at {position}: the nearest comes to {measured} from upright, {limit} "
                 "is asked for: {shortfall} too {too} in this car",
        "caution": "setting {setting}{packed} leans {measured} from upright at {position}; {limit} is asked "
                   "for{near}{newborn}",
        "pass": "setting {setting}{packed} leans {measured} from upright at {position}; {limit} is asked for{near}",
    },
)
def recline_out_of_range(placement: Placement, world: RuleContext) -> Result:
    """On this cushion, none of the restraint's settings comes into the range that the instructions give.

    Checks: each setting, less or plus the cushion's difference from a bench of 15 degrees, with packing as far as it
        is allowed, against the range for a child of this age and mass.
    Why: too upright, a baby's head falls forward and closes the airway; too flat, the shell does not hold it.
    Limits: the indicator on the restraint, read on level ground, has the last word. An angle taken with a phone may
        be 2 degrees off: nearer to the range's end than that, on either side, is close. A baby too young to sit
        (under 6 months) is given the most reclined setting that is allowed and has room; where the instructions name
        no range for newborns, that is a caution. A mode that faces forward may have no range; that its instructions
        name none is written down, too.
    Blocks: a setting of 38 degrees on a cushion of 19 where 36 to 48 are asked for: 34, that is 2 too upright.
    """
    from seatplan.geometry.recline import (
        PHONE_OFF_DEG,
        allowed_range,
        at_its_limit,
        cushions_that_do,
        has_newborn_range,
        nearest_miss,
        settings_in_car,
        too_young_to_sit,
        unknown_of_child,
    )

    mode, angle = placement.mode, placement.cushion.angle
    assert mode is not None
    age, mass = _age_and_mass(placement, world)
    if mode.recline is None or (allowed := allowed_range(mode, age, mass)) is None:
        if mode.recline is not None and mode.recline.allowed == () and not placement.rear_facing:
            return passes(said("as its instructions say"), said("none"), "degrees", setting=mode.recline.reference,
                          packing=0, packed="")
        return lacks(field("mode.recline"))
    if angle is None:
        return lacks(field("row.cushion.angle", row=placement.row.row), cushions_that_do(mode, age, mass))
    told = said("{allowed} to {allowed_2}", allowed=Figure(allowed[0]), allowed_2=Figure(allowed[1]))
    baby = said(", and nothing for a baby that cannot sit yet: look for it in the instructions, recline as far as they "
                "allow, and watch that the head does not fall forward") if (
        placement.rear_facing and too_young_to_sit(age, mass) and not has_newborn_range(mode, age, mass)) else ""
    passing = settings_in_car(mode, angle, age, mass)
    if passing:
        # of several, the one that the placement stands at
        taken = placement.recline if placement.recline in passing else passing[0]
        packed = said(" with {packing} degrees packed under it", packing=taken.packing) if taken.packing else ""
        close = at_its_limit(taken.angle, allowed)
        near = said(": a phone can be {phone_off} degrees off, read the level indicator",
                    phone_off=PHONE_OFF_DEG) if close else ""
        result = (cautions if baby else passes)(
            taken.angle, told, "degrees", setting=taken.setting, packing=taken.packing, packed=packed, near=near,
            newborn=baby)
        return result._replace(close=close)
    unknown = unknown_of_child(mode, age, mass)
    if unknown:
        return lacks(Missing(
            named("rider.born" if unknown[0] == "age" else "rider.mass",
                  said("{unknown} of {rider}", unknown=unknown[0], rider=placement.rider.rider)),
            said("the instructions ask some children to lie flatter"),
        ))
    miss = nearest_miss(mode, angle, age, mass)
    assert miss is not None
    if miss.short < PHONE_OFF_DEG:           # whatever may be packed under it besides
        packing = miss.setting.packing
        packed = said(" with {packing} degrees packed under it", packing=packing) if packing else ""
        near = said(": {shortfall} degrees too {too}, and a phone can be {phone_off} degrees off, read the level "
                    "indicator", shortfall=Figure(miss.short), phone_off=PHONE_OFF_DEG,
                    too=said("upright") if miss.too == "upright" else said("flat"))
        result = cautions(miss.setting.angle, told, "degrees", miss.short, too=miss.too,
                          setting=miss.setting.setting, packing=packing, packed=packed, near=near, newborn=baby)
        return result._replace(close=True)
    if placement.rear_facing and miss.too == "upright" and _packing_unknown(mode.recline):
        return lacks(field("mode.recline.packing"), miss.short)
    return fails(miss.setting.angle, told, "degrees", miss.short, too=miss.too, setting=miss.setting.setting)


def _age_and_mass(placement: Placement, world: RuleContext) -> tuple[int | None, Number | None]:
    """Those of the child where a range hangs on them, or a baby must lie; else nobody looks at the child."""
    mode = placement.mode
    if not placement.rear_facing and (mode is None or mode.recline is None or not mode.recline.ranges):
        return None, None
    return world.age_months(placement.rider), placement.rider.mass


def _packing_unknown(recline: Recline) -> bool:
    """Nobody looked up whether, or how far, something may be packed under the base."""
    return recline.packing is None or (recline.packing != "none" and recline.packing_limit is None)


def shapes_of(world: RuleContext) -> Shapes:
    """The shapes that rules and search share."""
    from seatplan.geometry.shapes import Shapes

    return Shapes(world.store)


def need_key(placement: Placement) -> tuple[object, ...]:
    """What the need depends on: legs are their owner's, a shell leans as it is set. Its names are in the numbers."""
    from seatplan.geometry.anthropometry import buttock_knee

    restraint, mode, installation = placement.restraint, placement.mode, placement.installation
    if _has_legs(placement) or mode is None or restraint is None:
        rider = placement.rider
        return placement.row.frame, placement.position.content, rider.rider, rider.adult, buttock_knee(rider)
    return (placement.row.frame, placement.position.content, restraint.restraint, restraint.tolerance, mode.content,
            installation and installation.content, placement.recline)


def _has_legs(placement: Placement) -> bool:
    return placement.mode is None or placement.booster


def need_ahead(placement: Placement, world: RuleContext) -> Need | None:
    """How far forward of rearmost the seat ahead must stand; None where the file names nothing ahead."""
    ahead = placement.position.ahead
    if ahead is None:
        return None
    key = (int(world.limit("clear_of_seat_ahead")), *need_key(placement))
    need: Need = world.store.shelf("ahead", weight=4).ask(
        key, lambda: _need_ahead(placement, world, ahead, _has_legs(placement)))
    return need


def _need_ahead(placement: Placement, world: RuleContext, ahead: Ahead, legs: bool) -> Need:
    from seatplan.geometry.ahead import Profile, leg_need, room_needed

    profile, mode, restraint = Profile.of(ahead), placement.mode, placement.restraint
    if legs or mode is None or restraint is None:
        return leg_need(placement.rider, profile, placement.cushion.above_floor)
    shapes = shapes_of(world)
    shape = shapes.posed(
        shapes.of(placement.rider, restraint.restraint, mode, placement.installation, restraint.tolerance),
        mode, placement.recline, placement.cushion.angle)
    return room_needed(shape, profile, _clear_mm(placement, world))


def _clear_mm(placement: Placement, world: RuleContext) -> int:
    """How far a restraint stays clear of the seat ahead: not at all where it may or must touch."""
    mode = placement.mode
    if mode is None or placement.booster or mode.touch_ahead in ("may", "must"):
        return 0
    return int(world.limit("clear_of_seat_ahead"))


def _looks_ahead(placement: Placement, world: RuleContext) -> bool:
    """Wherever it must be known; others where the file knows of something ahead."""
    if _must_be_known(placement, world):
        return True
    return placement.position.ahead is not None and (placement.restraint is not None or not placement.rider.adult)


def _must_be_known(placement: Placement, world: RuleContext) -> bool:
    """Whether a missing length is no pass: for every shell behind a row, and for anybody whose legs can keep a row
    that slides, or may slide, theirs or the one ahead, from where others need it."""
    if placement.rear_facing:
        return True
    from seatplan.model.own_seat import may_slide

    rows = _with_the_one_ahead(placement, world)
    if len(rows) < 2:
        return False
    shell = placement.mode is not None and not placement.booster
    return shell or any(may_slide(row) for row in rows)


def _with_the_one_ahead(placement: Placement, world: RuleContext) -> list[Row]:
    """The row of a placement behind the one ahead of it; alone where it is the first."""
    rows = world.vehicle.rows
    at = next(i for i, row in enumerate(rows) if row.row == placement.row.row)
    return rows[max(0, at - 1):at + 1]


@rule(
    "no-room-ahead",
    title="There is no room to the seat ahead",
    limits=("clear_of_seat_ahead",),
    source="the restraint's instructions on contact; measured shapes: DEVELOPERS.md, along the car",
    depends=("rider", "restraint", "mode", "installation", "position", "recline"),
    world=("rows", "tolerance", "drives"),
    not_in_harness=True,
    reads=("position.ahead", "mode.parts", "mode.touch_ahead", "row.slides", "row.parts", "vehicle.every_seat",
           "trip.drives"),
    remedy="the other side of the car, a more upright setting where it is allowed, or a shorter restraint",
    when=_looks_ahead,
    weight="slight",
    why_weight="short by less than measuring can be off, which a try at the car shows before anybody "
    "rides; common practice, no source",
    says={
        "block": "{part} needs {reach}{clear} at {height} above the cushion and {free} are free at {position}: the "
                 "seat ahead would have to come forward {measured} and can come {limit}: {shortfall} short",
        "caution": "{part} needs {reach}{clear} at {height} above the cushion and {free} are free at {position}: "
                   "{shortfall} short with the seat ahead foremost, less than the lengths may be off",
        "block_whole_car": "along the car {limit} are needed for {position} with what is ahead as far forward as it "
                           "may be, and {measured} are there: {shortfall} short",
        "caution_whole_car": "along the car {limit} are needed for {position} with what is ahead as far forward as it "
                             "may be, and {measured} are there: {shortfall} short, less than the lengths may be off",
        "pass": "{part} at {position} {room}",
    },
)
@at_both
def no_room_ahead(placement: Placement, world: RuleContext) -> Result | None:
    """Even with the seat ahead as far forward as it goes, the restraint does not have the room it needs.

    Checks: side view, leaning as in the car, against the back of the seat ahead at every measured height; the seat
        ahead can come forward by its travel, and where the handbook says so further with nobody in it (`beyond_use`:
        UN R16 Annex 17 App. 2, 3.3). Whoever sits there is looked at with the whole car.
    Why: a shell that the seat ahead presses on turns, and its child's head is thrown against it.
    Limits: for shells, and for anybody in or behind a row that slides or may slide, a length that was not measured
        leaves it open, and so does a rear-facing shell of which nobody looked up whether it may touch; for boosters
        and legs behind seats that move one by one it is left out. Short by less than tape or estimate can be off is
        a caution, and close.
    Blocks: a shell that reaches 760 mm where 700 are free and the seat ahead comes forward by 40.
    """
    ahead, here = placement.position.ahead, placement.position.position
    if ahead is None:
        return lacks(field("position.ahead", position=here))
    clear = _clear_mm(placement, world)
    need = need_ahead(placement, world)
    assert need is not None
    most = _comes_forward(ahead, world)
    if need.mm is not None and need.mm > 0 and most is None:
        return lacks(field("position.ahead.travel", position=ahead.seat), need.mm, "least")
    facts = {"part": need.part, "height": in_mm(need.height), "free": in_mm(need.free, "down"),
             "reach": in_mm(need.reach, "up"),
             "clear": said(" and {clear} of gap", clear=in_mm(clear, "up")) if clear else ""}
    short = (need.mm or 0) - (most or 0)
    # the reach, the free length and, where the seat comes forward, its travel
    tape = world.vehicle.measured.tolerance
    offs = (need.off, tape, tape if most else 0)
    off = sum(offs) if world.options.worst_case else hypot(*offs)
    if short > 0 and short >= off and not (_contact_unknown(placement) and short - need.clearance < off):
        return fails(need.mm, most, "mm", short, **facts)
    if _must_be_known(placement, world) and (need.mm is None or need.missing):
        return lacks(need.missing or field("position.ahead", position=here))
    unsaid = _unsaid(placement, world)
    if unsaid is not None:
        return unsaid
    if need.mm is None:
        return None
    if short > 0:
        return cautions(need.mm, most, "mm", short, **facts)
    return passes(max(0, need.mm), most, "mm", **facts, room=_room_there(need.mm, most or 0, ahead, world))


def _room_there(mm: int, most: int, ahead: Ahead, world: RuleContext) -> str:
    """Where the seat ahead stands so that there is room; ``most``: as far as it can come."""
    if mm <= 0:
        return said("has the room with the seat ahead rearmost")
    use = most - beyond_use(ahead, world)
    if mm > use:
        return said("has the room once {seat} is pushed {mm} forward, and it can come {most}: beyond {use} nobody may "
                    "sit in it", seat=ahead.seat or "", mm=in_mm(mm, "up"), most=in_mm(most, "down"),
                    use=in_mm(use, "down"))
    return said("has the room once the seat ahead stands {mm} forward, and it can come {most}", mm=in_mm(mm, "up"),
                most=in_mm(use, "down"))


def _contact_unknown(placement: Placement) -> bool:
    """Nobody looked up whether a rear-facing shell may, must or must not touch the seat ahead."""
    return placement.rear_facing and placement.mode is not None and placement.mode.touch_ahead is None


def _unsaid(placement: Placement, world: RuleContext) -> Result | None:
    """What nobody said and the room along the car hangs on: contact with the seat ahead, and rows that slide."""
    if _contact_unknown(placement):
        return lacks(field("mode.touch_ahead"))
    rows = _with_the_one_ahead(placement, world)
    if len(rows) > 1:
        for row in rows:
            if any(part.slides is None for part in row.parts):
                return lacks(field("row.parts.slides", row=row.row), 0)
            if not row.parts and row.slides is None:
                return lacks(field("row.slides", row=row.row), 0)
    return None


def _comes_forward(ahead: Ahead, world: RuleContext) -> int | None:
    """How far what is ahead can come forward, mm: a row, or its part, that slides takes its seats along; None: not
    measured."""
    from seatplan.model.own_seat import slides_at

    if ahead.seat is None:
        return 0
    slides = slides_at(world.vehicle.row_of(ahead.seat), ahead.seat)
    return slides or (None if ahead.travel is None else ahead.travel + beyond_use(ahead, world))


def beyond_use(ahead: Ahead, world: RuleContext) -> int:
    """How much further than anybody may sit in it the seat ahead can be pushed, mm: never the driver's, nor one that
    slides with its row or a part of it."""
    from seatplan.model.own_seat import slides_at

    if ahead.seat is None or ahead.travel is None or ahead.seat == world.trip.drives or (
            slides_at(world.vehicle.row_of(ahead.seat), ahead.seat)):
        return 0
    return ahead.beyond_use or 0


@rule(
    "sensors-ahead",
    title="It may touch a seat whose handbook warns of it",
    strength="good practice",
    source="the vehicle handbook on sensors in the seat",
    depends=("mode", "position"),
    fact=("position",),
    reads=("position.ahead.contact", "mode.touch_ahead"),
    remedy="leave a gap to the seat ahead",
    when=lambda p, w: p.mode is not None and p.mode.touch_ahead in ("may", "must") and p.position.ahead is not None
    and p.position.ahead.contact is not None,
    weight="slight",
    why_weight="a gap to the seat ahead settles it before the ride; common practice, no source",
    says={
        "caution": "it may touch the seat ahead of {position}, and the vehicle handbook warns of that: leave a gap",
        "block": "it may touch the seat ahead of {position}, and the vehicle handbook warns of that",
        "pass": "the vehicle handbook allows it to touch the seat ahead of {position}",
    },
)
def sensors_ahead(placement: Placement, world: RuleContext) -> Result:
    """The restraint may or must touch the seat ahead, and the vehicle handbook warns of contact.

    Checks: what the handbook says of touching the seat ahead.
    Why: sensors in that seat can misread who sits there, and with it when the airbag opens.
    Limits: only where the handbook was read.
    Blocks: nothing; a caution for a braced shell behind a seat with sensors.
    """
    contact = placement.position.ahead.contact if placement.position.ahead else None
    return cautions("contact", said("a gap")) if contact == "caution" else passes(contact, "allowed")
