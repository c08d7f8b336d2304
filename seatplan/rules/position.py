"""What a seating position itself rules out: the way it faces, floor, head restraint, who drives."""

from __future__ import annotations

from typing import TYPE_CHECKING

from seatplan.fields import field
from seatplan.message import Name, in_mm, said

from .both_places import at_both
from .finding import Result, at_most, cautions, fails, lacks, passes
from .head_restraint import asked_of_it
from .rule import rule
from .subjects import i_size_throughout

if TYPE_CHECKING:
    from .subjects import Placement, RuleContext


def _child_or_restraint(p: Placement, w: RuleContext) -> bool:
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
    one_way=True,
    when=_child_or_restraint,
    weight="slight",
    why_weight="such seats are made for people who sit on them with the belt alone, UN R16 (07 series) Annex 16; that "
    "a handbook can say otherwise of children is common practice, no source",
    says={
        "block": "{position} faces the {measured}; a child needs a seat that faces forward",
        "caution": "{position} faces the {measured}: look up in the vehicle handbook whether children may sit there",
        "pass": "{position} faces forward",
    },
)
@at_both
def position_not_forward_facing(p: Placement, w: RuleContext) -> Result:
    """The vehicle seat faces sideways or backwards.

    Checks: which way the position faces, for every restraint and every child.
    Why: restraints are tested on seats that face forward; on another they turn or tip in a crash.
    Limits: a maker that allows such a seat in writing is not known to the program. Whoever needs no restraint may sit
        on a seat that faces the rear, with a caution; on one that faces sideways no child may.
    Blocks: any restraint on a side-facing jump seat.
    """
    if p.position.facing is None:
        return lacks(field("position.facing", position=p.position.position), "forward")
    if p.position.facing == "forward":
        return passes("forward", "forward")
    backwards_on_the_belt = p.restraint is None and p.position.facing == "rear"
    return cautions("rear", "forward") if backwards_on_the_belt else fails(p.position.facing, "forward")


def _faces_forward(p: Placement) -> bool:
    return not p.rear_facing and p.mode_name != "lying-flat-bed"


@rule(
    "forbidden-by-handbook",
    title="The vehicle handbook forbids it at this seat",
    source="the vehicle handbook",
    depends=("mode", "installation", "position"),
    fact=("position", "mode"),
    reads=("position.manual.forbids", "mode.mode"),
    remedy="another seat, or another mode of the restraint",
    when=lambda p, w: p.mode is not None and not p.built_in,
    says={
        "block": "the vehicle handbook forbids it at {position}: {measured} (page: {page})",
        "pass": "the vehicle handbook forbids at {position}: {limit}",
    },
)
@at_both
def forbidden_by_handbook(p: Placement, w: RuleContext) -> Result:
    """The vehicle handbook does not allow this kind of restraint at this position.

    Checks: what the handbook forbids at the position against the way the restraint is used there.
    Why: the maker knows what the seat, belt and floor were not made for.
    Limits: only what was copied from the handbook; forward-facing covers harnesses, vests and boosters.
    Blocks: a booster where the handbook says boosters may not be used.
    """
    manual = p.position.manual
    if manual is None or manual.forbids is None:
        return lacks(field("position.manual.forbids", position=p.position.position))
    applies = {
        "child-restraint": True,
        "rear-facing": p.rear_facing,
        "forward-facing": _faces_forward(p),
        "booster": p.booster,
    }
    hit = next((word for word in manual.forbids if applies.get(word)), None)
    if hit is None:
        return passes(p.mode_name, ", ".join(manual.forbids) or "nothing")
    return fails(hit, page=Name(manual.page) or said("not noted"))


@rule(
    "fold-down-seat",
    title="The vehicle seat is a fold-down one",
    source="UN R44 (04 series) 1.1: not for folding (tip-up) vehicle seats; elsewhere common practice, no "
    "source",
    depends=("restraint", "position"),
    fact=("position",),
    reads=("position.seat", "vehicle.every_seat"),
    remedy="a fixed seat",
    when=lambda p, w: p.restraint is not None and p.restraint.built_into is None,
    says={
        "block": "{position} is a fold-down seat; a child needs a fixed one",
        "pass": "{position} is a fixed seat",
    },
)
@at_both
def fold_down_seat(p: Placement, w: RuleContext) -> Result:
    """The vehicle seat tips or folds away under the restraint.

    Checks: whether the position is a fixed or a fold-down seat, for every restraint.
    Why: the cushion gives way or folds in a crash and the restraint comes loose.
    Limits: a seat in a split bench that can be folded for luggage counts as fixed.
    Blocks: any restraint on a jump seat.
    """
    if p.position.seat is None:
        return lacks(field("position.seat", position=p.position.position), "fixed")
    return passes("fixed", "fixed") if p.position.seat == "fixed" else fails("fold-down", "fixed")


@rule(
    "support-leg-over-floor-box",
    title="The support leg would stand on a floor that cannot carry it",
    source="UN R129 (02 series) 6.3.5: the leg needs a floor that can carry it; elsewhere common practice,"
    " no source",
    depends=("restraint", "mode", "installation", "position"),
    fact=("position",),
    reads=("installation.support_leg", "position.support_leg", "restraint.approval.category", "position.i_size"),
    remedy="another seat; a filler for the box where the maker sells one",
    when=lambda p, w: p.installation is not None and (p.installation.support_leg or _may_have_leg(p)),
    weight="slight",
    why_weight="with its filler the floor carries the leg, as the maker has it; common practice, no "
    "source",
    says={
        "block": "no support leg may stand before {position}: there is a box in the floor",
        "caution": "the support leg needs the maker's filler in the floor box before {position}",
        "pass": "a support leg may stand before {position}",
    },
)
def support_leg_over_floor_box(p: Placement, w: RuleContext) -> Result:
    """The support leg stands on the lid of a box in the floor.

    Checks: what the handbook says of support legs at the position; where nobody wrote down whether a shell or a bed
        has a leg, that. An i-Size shell stands on an i-Size place without being asked.
    Why: the lid breaks in a crash, the leg drops, and the restraint tips forward.
    Limits: length and place of the leg are not checked.
    Blocks: a restraint with a support leg where the handbook says support legs are forbidden.
    """
    if p.installation is not None and p.installation.support_leg is None:
        return lacks(field("installation.support_leg"), "no")
    floor = p.position.support_leg
    if floor is None and i_size_throughout(p):
        return passes("allowed", "allowed")
    if floor is None:
        return lacks(field("position.support_leg", position=p.position.position), "allowed")
    if floor == "forbidden":
        return fails("forbidden", "allowed")
    if floor == "with-filler":
        return cautions(said("with filler"), "allowed")
    return passes("allowed", "allowed")


def _may_have_leg(p: Placement) -> bool:
    return p.installation is not None and not p.built_in and p.installation.support_leg is None and (
        p.harness or p.mode_name in ("lying-flat-bed", "impact-shield"))


@rule(
    "over-a-built-in-restraint",
    title="The seat has a restraint built in, and the handbook allows no other on it",
    source="the vehicle handbook",
    depends=("restraint", "position"),
    fact=("position",),
    reads=("position.over_built_in",),
    remedy="the restraint that is built in; another seat",
    when=lambda p, w: p.restraint is not None and p.restraint.built_into is None and any(
        place is not None and place.built_in is not None for place in (p.position, p.second)),
    says={
        "block": "{position} has a restraint built in, and the vehicle handbook allows no other restraint there",
        "pass": "the vehicle handbook allows a restraint on {position}, with the one that is built in folded away",
    },
)
@at_both
def over_a_built_in_restraint(p: Placement, w: RuleContext) -> Result:
    """A restraint stands on a seat whose own restraint is folded away under it, and the handbook does not allow that.

    Checks: what the handbook says of restraints on a seat with one built in, for every restraint that is installed.
    Why: a cushion or back that folds out is softer and differently shaped, and can move under what stands on it.
    Limits: whoever rides on the seat belt alone is not asked about.
    Blocks: a shell at 2C with a booster built in, where the handbook says no.
    """
    word = p.position.over_built_in
    if p.position.built_in is None:      # of a bed across two places the other one has it
        return passes("none", "allowed")
    if word is None:
        return lacks(field("position.over_built_in", position=p.position.position), "allowed")
    return passes("allowed", "allowed") if word == "allowed" else fails("forbidden", "allowed")


@rule(
    "head-restraint-juts",
    title="The vehicle's head restraint keeps the restraint off the seatback",
    strength="good practice",
    source="common practice, no source; likely to interfere in about one third of pairs (Bing et al. 2015)",
    depends=("mode", "installation", "position"),
    reads=("position.head_restraint.juts", "position.head_restraint.removable",
           "position.head_restraint.tilts", "installation.vehicle_head_restraint"),
    limits=("head_restraint_juts",),
    remedy="another seat; or try whether the back of the restraint still rests on the seatback",
    when=lambda p, w: (
        p.mode_name in ("forward-facing-harness", "impact-shield", "high-back-booster") and not p.built_in
        and not (p.position.head_restraint is not None and p.position.head_restraint.there is False)
        and asked_of_it(p) not in ("taken-out", "left-in")
    ),
    weight="slight",
    why_weight="the restraint still holds, and a try shows whether its back rests on the seat; common "
    "practice, no source",
    says={
        "caution": "the fixed head restraint at {position} juts {measured}, allowed {limit}; try whether the back of "
                   "{restraint} still rests on the seatback",
        "block": "the fixed head restraint at {position} juts {measured}, allowed {limit}: {shortfall} too much",
        "pass": "the head restraint at {position} is no obstacle ({juts}; comes off: {remove})",
    },
)
def head_restraint_juts(p: Placement, w: RuleContext) -> Result:
    """A head restraint that neither comes off nor tilts back stands in the way of the shell.

    Checks: how far the head restraint stands forward of the seatback, against the limit, where it is fixed.
    Why: pushed forward at the top, a shell does not rest on the seatback and moves more.
    Limits: a low shell can end below the head restraint; only a try in the car tells. Where the instructions say
        whether it comes out or stays, they are a rule of their own.
    Blocks: nothing by itself; a fixed head restraint that juts 45 mm gives a caution with a limit of 20 mm.
    """
    head, limit = p.position.head_restraint, w.limit("head_restraint_juts")
    juts = None if head is None else head.juts
    if head is not None and (head.removable or head.tilts):
        how = said("how far it juts is not measured") if juts is None else said("juts {juts}", juts=in_mm(juts, "up"))
        remove = "yes" if head.removable else said("no, but it tilts back")
        return passes(juts, limit, "mm", remove=remove, juts=how)
    if juts is None:
        return lacks(field("position.head_restraint.juts", position=p.position.position), limit, "most")
    if juts > limit and head is not None and head.removable is None:
        return lacks(field("position.head_restraint.removable", position=p.position.position), "yes")
    return at_most(juts, limit, "mm", remove="no", juts=said("juts {juts}", juts=in_mm(juts, "up")))


@rule(
    "driver-seat-taken",
    title="Somebody else sits on the driver's seat",
    source="follows from the trip's `drives`",
    depends=("rider", "position"), world=("drives",),
    fact=("position",),
    reads=("trip.drives", "rider.drives"),
    remedy="any other seat",
    one_way=True,
    when=lambda p, w: w.trip.drives in p.places,
    says={
        "block": "{position} is the driver's seat",
        "pass": "drives, and this is the driver's seat",
    },
)
def driver_seat_taken(p: Placement, w: RuleContext) -> Result:
    """Somebody who does not drive sits on the driver's seat.

    Checks: whether the rider at the position that drives is the one who drives.
    Why: the seat is not free, even where the trip does not list the driver.
    Limits: none.
    Blocks: a child at 1L where the trip says `drives: 1L`.
    """
    if p.rider.drives:
        return passes(p.rider.rider)
    wheel = w.trip.drives
    return fails(p.rider.rider) if wheel == p.position.position else fails(p.rider.rider, at=wheel)


@rule(
    "driver-elsewhere",
    title="The driver does not sit on the driver's seat",
    source="follows from the trip's `drives`",
    depends=("rider", "position"), world=("drives",),
    fact=("rider",),
    reads=("trip.drives", "rider.drives"),
    remedy="the driver's seat",
    one_way=True,
    when=lambda p, w: p.rider.drives,
    says={
        "block": "drives, so must sit at {limit}",
        "pass": "drives, at {limit}",
    },
)
def driver_elsewhere(p: Placement, w: RuleContext) -> Result:
    """The rider who drives sits somewhere else.

    Checks: whether the one who drives is at the position that the trip names.
    Why: the car has to be driven.
    Limits: none.
    Blocks: the driver at 2C.
    """
    here, wheel = p.position.position, w.trip.drives
    return passes(here, wheel) if here == wheel else fails(here, wheel)
