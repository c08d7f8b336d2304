"""What a seating position itself rules out: the way it faces, airbags, floor, head restraint, who drives."""

from __future__ import annotations

from typing import TYPE_CHECKING

from seatplan.said import said

from .finding import Result, at_most, cautions, fails, lacks, passes
from .rule import rule
from .subjects import i_size_throughout

if TYPE_CHECKING:
    from seatplan.model import Position

    from .subjects import Placement, World


def _child_or_restraint(p: Placement, w: World) -> bool:
    return p.restraint is not None or not p.rider.adult


@rule(
    "position-not-forward-facing",
    title="The vehicle seat does not face forward",
    source="UN R44 (04 series) 1.1: not for side-facing vehicle seats; for all other restraints common "
    "practice, "
    "no source",
    depends=("rider", "restraint", "position"),
    fact=("position",),
    reads=("position.facing", "vehicle.every_seat"),
    remedy="a seat that faces forward",
    when=_child_or_restraint,
)
def position_not_forward_facing(p: Placement, w: World) -> Result:
    """The vehicle seat faces sideways or backwards.

    Checks: which way the position faces, for every restraint and every child.
    Why: restraints are tested on seats that face forward; on another they turn or tip in a crash.
    Limits: a maker that allows such a seat in writing is not known to the program.
    Blocks: any restraint on a side-facing jump seat.
    Instead: a seat that faces forward.
    """
    if p.position.facing is None:
        return lacks(
            said("which way the seat at {position} faces", position=p.position.position),
            said("look; where all seats face forward, write `every_seat: {facing: forward}` once"),
            "forward",
        )
    if p.position.facing == "forward":
        return passes("forward", "forward")
    return fails(p.position.facing, "forward")


def _faces_forward(p: Placement) -> bool:
    return not p.rear_facing and p.mode_name != "lying-flat-bed"


@rule(
    "forbidden-by-handbook",
    title="The vehicle handbook forbids it at this seat",
    source="the vehicle handbook",
    depends=("mode", "position"),
    fact=("position", "mode"),
    reads=("position.manual.forbids", "mode.mode"),
    remedy="a seat that the handbook allows",
    when=lambda p, w: p.mode is not None,
)
def forbidden_by_handbook(p: Placement, w: World) -> Result:
    """The vehicle handbook does not allow this kind of restraint at this position.

    Checks: what the handbook forbids at the position against the way the restraint is used there.
    Why: the maker knows what the seat, belt and floor were not made for.
    Limits: only what was copied from the handbook; forward-facing covers harnesses, vests and boosters.
    Blocks: a booster where the handbook says boosters may not be used.
    Instead: another seat, or another mode of the restraint.
    """
    manual = p.position.manual
    if manual is None or manual.forbids is None:
        return lacks(
            said("what the vehicle handbook forbids at {position}", position=p.position.position),
            said("look it up and write `manual: {forbids: [...]}`, or [] if it forbids nothing"),
        )
    applies = {
        "child-restraint": True,
        "rear-facing": p.rear_facing,
        "forward-facing": _faces_forward(p),
        "booster": p.booster,
    }
    hit = next((word for word in manual.forbids if applies.get(word)), None)
    if hit is None:
        return passes(p.mode_name, ", ".join(manual.forbids) or "nothing")
    return fails(hit, page=manual.page or said("not noted"))


def _before_airbag(p: Placement, w: World) -> bool:
    """Front airbags are before the front row; further back only where the file says so."""
    airbag = p.position.airbag
    return w.vehicle.in_front(p.position) or (airbag is not None and airbag.front in ("active", "switchable"))


def can_fire(position: Position, world: World) -> bool:
    """Whether a front airbag is there that nobody switched off. Where nothing is known of one, the rules ask."""
    front = position.airbag.front if position.airbag else None
    return front == "active" or (front == "switchable" and position.position not in world.trip.airbags_off)


def stays_rearmost(p: Placement, w: World) -> bool:
    """Whether the seat under a placement may not come forward: a child rides in it before an airbag that can fire."""
    if p.rider.adult or not can_fire(p.position, w):
        return False
    age = w.age_months(p.rider)
    return age is None or age < w.limit("front_seat_min_age")


def _airbag(p: Placement, w: World) -> Result:
    front = p.position.airbag.front if p.position.airbag else None
    if front is None:
        return lacks(
            said("front airbag at {position}", position=p.position.position),
            said("look for the word airbag on the dashboard and for a switch that turns it off, and in the "
                 "handbook"),
            "none",
        )
    if front == "none":
        return passes("none", "none")
    if front == "switchable" and p.position.position in w.trip.airbags_off:
        return cautions(said("switched off"), said("switched off"))      # by hand, so it has to be looked at every time
    return fails("active" if front == "active" else said("not switched off"), said("none or switched off"))


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
)
def rear_facing_before_airbag(p: Placement, w: World) -> Result:
    """A rear-facing child sits before a front airbag that can go off.

    Checks: the front airbag of the position, and whether the trip says that it is switched off.
    Why: the airbag hits the back of the shell, right behind the child's head.
    Limits: rows further back have no front airbags unless the file says so.
    Blocks: any rear-facing mode at 1R with an active airbag, or a switchable one that is not switched off; one that
        is switched off by hand is a caution, since its lamp has to be looked at on every trip.
    Instead: the back row.
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
    when=lambda p, w: p.mode_name == "lying-flat-bed" and _before_airbag(p, w),
    weight="grave",
    why_weight="if the airbag is on after all, it strikes the bed at the child's head; common practice, "
    "no source",
)
def bed_before_airbag(p: Placement, w: World) -> Result:
    """A bed lies before a front airbag that can go off.

    Checks: the front airbag of the position, and whether the trip says that it is switched off.
    Why: the airbag throws the bed, and it reaches the child's head.
    Limits: rows further back have no front airbags unless the file says so.
    Blocks: a bed at 1R with an active airbag.
    Instead: the back row.
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
    when=lambda p, w: not p.rider.adult and not p.rear_facing and p.mode_name != "lying-flat-bed"
    and _before_airbag(p, w),
    weight="grave",
    why_weight="an airbag can kill children of 12 and under, so its own warning says; 49 CFR 571.208 "
    "S4.5.1(b), from memory",
)
def child_before_airbag(p: Placement, w: World) -> Result | None:
    """A child under 13 who faces forward sits before a front airbag that can go off.

    Checks: the front airbag of the position, whether the trip says that it is switched off, and the rider's age.
    Why: the airbag is made for an adult further away; it can badly hurt a child who is close to it.
    Limits: how close the child comes is not measured; a rider of unknown age counts as a child. Along the car that
        seat stays rearmost: what would need it further forward does not fit behind it.
    Blocks: nothing; a caution for a child of 4 in a booster at 1R with an active airbag.
    Instead: the back row; else the seat as far back as it goes, and what the handbook says of children there.
    """
    age = w.age_months(p.rider)
    if age is not None and age >= w.limit("front_seat_min_age"):
        return None
    front = p.position.airbag.front if p.position.airbag else None
    if front == "switchable" and p.position.position in w.trip.airbags_off:
        return passes(said("switched off"), said("none or switched off"))
    return _airbag(p, w)


@rule(
    "side-airbag-in-seat",
    title="A child beside an airbag in the side of the seat",
    strength="good practice",
    source="warnings of vehicle handbooks on children who lean on a side airbag; from memory",
    depends=("rider", "restraint", "position"),
    fact=("rider", "position"),
    reads=("position.airbag.side",),
    remedy="look it up in the vehicle handbook; the child does not lean on door or pillar; else another seat",
    when=_child_or_restraint,
    weight="slight",
    why_weight="a child who sits upright in a restraint is out of its way; common practice, no source",
)
def side_airbag_in_seat(p: Placement, w: World) -> Result:
    """A child rides beside an airbag that comes out of the side of the seat, or nobody looked whether there is one.

    Checks: the side airbag of the position.
    Why: it comes out between child and door, where a sleeping child leans.
    Limits: a curtain from the roof is made for all who sit there; what the handbook says of the seat is its own.
    Blocks: nothing; a caution for a booster before a side airbag in the seat.
    Instead: what the vehicle handbook says of children there; the child sits upright; else another seat.
    """
    side = p.position.airbag.side if p.position.airbag else None
    if side is None:
        return cautions(said("nobody looked for a side airbag at {position}", position=p.position.position), "none")
    if side == "seat":
        return fails(said("a side airbag is in the seat at {position}", position=p.position.position), "none")
    return passes(side, "none")


@rule(
    "fold-down-seat",
    title="The vehicle seat is a fold-down one",
    source="UN R44 (04 series) 1.1: not for folding (tip-up) vehicle seats; elsewhere common practice, no "
    "source",
    depends=("restraint", "position"),
    fact=("position",),
    reads=("position.seat", "vehicle.every_seat"),
    remedy="a fixed seat",
    when=lambda p, w: p.restraint is not None,
)
def fold_down_seat(p: Placement, w: World) -> Result:
    """The vehicle seat tips or folds away under the restraint.

    Checks: whether the position is a fixed or a fold-down seat, for every restraint.
    Why: the cushion gives way or folds in a crash and the restraint comes loose.
    Limits: a seat in a split bench that can be folded for luggage counts as fixed.
    Blocks: any restraint on a jump seat.
    Instead: a fixed seat.
    """
    if p.position.seat is None:
        return lacks(
            said("whether the seat at {position} tips up or folds away", position=p.position.position),
            said("look; where no seat of the vehicle does, write `every_seat: {tip_up: no}` once"),
            "fixed",
        )
    return passes("fixed", "fixed") if p.position.seat == "fixed" else fails("fold-down", "fixed")


@rule(
    "support-leg-over-floor-box",
    title="The support leg would stand on a floor that cannot carry it",
    source="UN R129 (02 series) 6.3.5: the leg needs a floor that can carry it; elsewhere common practice,"
    " no source",
    depends=("restraint", "mode", "installation", "position"),
    fact=("position",),
    reads=("installation.support_leg", "position.support_leg", "restraint.approval.category", "position.i_size"),
    remedy="a seat with a firm floor, or an installation without the leg",
    when=lambda p, w: p.installation is not None and (p.installation.support_leg or _may_have_leg(p)),
    weight="slight",
    why_weight="with its filler the floor carries the leg, as the maker has it; common practice, no "
    "source",
)
def support_leg_over_floor_box(p: Placement, w: World) -> Result:
    """The support leg stands on the lid of a box in the floor.

    Checks: what the handbook says of support legs at the position; where nobody wrote down whether a shell or a bed
        has a leg, that. An i-Size shell stands on an i-Size place without being asked.
    Why: the lid breaks in a crash, the leg drops, and the restraint tips forward.
    Limits: length and place of the leg are not checked.
    Blocks: a restraint with a support leg where the handbook says support legs are forbidden.
    Instead: another seat; a filler for the box where the maker sells one.
    """
    if p.installation is not None and p.installation.support_leg is None:
        return lacks(
            said("whether it stands on a support leg"),
            said("look under its front edge for a leg down to the floor, and write `support_leg: yes` or `no`"),
            "no",
        )
    floor = p.position.support_leg
    if floor is None and i_size_throughout(p):
        return passes("allowed", "allowed")
    if floor is None:
        return lacks(
            said("the floor before {position}", position=p.position.position),
            said("look for a box under the carpet, and look up support legs in the vehicle handbook"),
            "allowed",
        )
    if floor == "forbidden":
        return fails("forbidden", "allowed")
    if floor == "with-filler":
        return cautions(said("with filler"), "allowed")
    return passes("allowed", "allowed")


def _may_have_leg(p: Placement) -> bool:
    return p.installation is not None and p.installation.support_leg is None and (
        p.harness or p.mode_name == "lying-flat-bed")


@rule(
    "head-restraint-juts",
    title="The vehicle's head restraint keeps the restraint off the seatback",
    strength="good practice",
    source="common practice, no source",
    depends=("mode", "position"),
    reads=("position.head_restraint.juts", "position.head_restraint.removable"),
    limits=("head_restraint_juts",),
    remedy="another seat; or try whether the back of the restraint still rests on the seatback",
    when=lambda p, w: (
        p.mode_name in ("forward-facing-harness", "high-back-booster")
        and not (p.position.head_restraint is not None and p.position.head_restraint.there is False)
    ),
    weight="slight",
    why_weight="the restraint still holds, and a try shows whether its back rests on the seat; common "
    "practice, no source",
)
def head_restraint_juts(p: Placement, w: World) -> Result:
    """A head restraint that cannot be taken off stands in the way of the shell.

    Checks: how far the head restraint stands forward of the seatback, against the limit, where it is fixed.
    Why: pushed forward at the top, a shell does not rest on the seatback and moves more.
    Limits: a low shell can end below the head restraint; only a try in the car tells.
    Blocks: nothing by itself; a fixed head restraint that juts 45 mm gives a caution with a limit of 20 mm.
    Instead: another seat, or a head restraint that comes off.
    """
    head, limit = p.position.head_restraint, w.limit("head_restraint_juts")
    juts = None if head is None else head.juts
    if head is not None and head.removable:
        how = said("how far it juts is not measured") if juts is None else said("juts {juts} mm", juts=juts)
        return passes(juts, limit, "mm", remove="yes", juts=how)
    if juts is None:
        return lacks(
            said("the head restraint at {position}", position=p.position.position),
            said("measure how far it stands forward of the seatback in its lowest setting"),
            limit,
            "mm",
        )
    if juts > limit and head is not None and head.removable is None:
        return lacks(
            said("whether the head restraint at {position} comes off", position=p.position.position),
            said("try it"),
            "yes",
        )
    return at_most(juts, limit, "mm", remove="no", juts=said("juts {juts} mm", juts=juts))


@rule(
    "driver-seat-taken",
    title="Somebody else sits on the driver's seat",
    source="follows from the trip's `drives`",
    depends=("rider", "position"), world=("drives",),
    fact=("position",),
    reads=("trip.drives", "rider.drives"),
    remedy="any other seat",
    when=lambda p, w: p.position.position == w.trip.drives,
)
def driver_seat_taken(p: Placement, w: World) -> Result:
    """Somebody who does not drive sits on the driver's seat.

    Checks: whether the rider at the position that drives is the one who drives.
    Why: the seat is not free, even where the trip does not list the driver.
    Limits: none.
    Blocks: a child at 1L where the trip says `drives: 1L`.
    Instead: any other seat.
    """
    return passes(p.rider.rider) if p.rider.drives else fails(p.rider.rider)


@rule(
    "driver-elsewhere",
    title="The driver does not sit on the driver's seat",
    source="follows from the trip's `drives`",
    depends=("rider", "position"), world=("drives",),
    fact=("rider",),
    reads=("trip.drives", "rider.drives"),
    remedy="the driver's seat",
    when=lambda p, w: p.rider.drives,
)
def driver_elsewhere(p: Placement, w: World) -> Result:
    """The rider who drives sits somewhere else.

    Checks: whether the one who drives is at the position that the trip names.
    Why: the car has to be driven.
    Limits: none.
    Blocks: the driver at 2C.
    Instead: the driver's seat.
    """
    here, wheel = p.position.position, w.trip.drives
    return passes(here, wheel) if here == wheel else fails(here, wheel)
