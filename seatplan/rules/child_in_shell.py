"""The child against the shell: strap slots, head and ears, seated, measured or estimated."""

from __future__ import annotations

from typing import TYPE_CHECKING

from seatplan.fields import Missing, field, named
from seatplan.message import in_mm, said

from .finding import Keeps, Result, at_least, fails, lacks, passes
from .limits import head_below_top
from .rule import rule

if TYPE_CHECKING:
    from seatplan.geometry.anthropometry import Estimate

    from .subjects import Placement, RuleContext



@rule(
    "straps-above-shoulder",
    title="Rear-facing, the lowest strap slot is above the shoulder",
    source="guidance: rear-facing, straps at or below the shoulders; common practice",
    depends=("rider", "mode"),
    reads=("rider.shoulder_height", "mode.shoulder_slots"),
    remedy="a newborn insert where the instructions have one, or a restraint with lower slots",
    when=lambda p, w: p.rear_facing,
    says={
        "block": "the lowest strap slot is at {limit} and the shoulder at {measured}{estimate}: {shortfall} too high",
        "pass": "the lowest strap slot is at {limit}, at or below the shoulder at {measured}{estimate}",
    },
)
def straps_above_shoulder(placement: Placement, world: RuleContext) -> Result:
    """Rear-facing, even the lowest strap slot is above the child's shoulder.

    Checks: the lowest strap slot against the seated shoulder height; straps come from at or below the
        shoulder.
    Why: in a crash the child slides up the shell until the straps catch it.
    Limits: an estimated shoulder settles it only if the whole band does.
    Blocks: a lowest slot at 250 mm for a shoulder at 240 mm.
    """
    from seatplan.geometry.anthropometry import shoulder_height

    slots = placement.mode.shoulder_slots if placement.mode else None
    shoulder = shoulder_height(placement.rider)
    if slots is None:
        return lacks(field("mode.shoulder_slots"), shoulder.low if shoulder else None, "most")
    if shoulder is None:
        return lacks(field("rider.shoulder_height", rider=placement.rider.rider), slots[0], "least")
    return _banded(
        shoulder,
        slots[0],
        True,
        field("rider.shoulder_height", rider=placement.rider.rider),
    )


@rule(
    "straps-below-shoulder",
    title="Forward-facing, the highest strap slot is below the shoulder",
    source="guidance: forward-facing, straps at or above the shoulders; common practice",
    depends=("rider", "mode"),
    reads=("rider.shoulder_height", "mode.shoulder_slots"),
    remedy="a restraint with higher slots, or the next mode",
    when=lambda p, w: p.mode is not None and p.mode.mode == "forward-facing-harness",
    says={
        "block": "the highest strap slot is at {limit} and the shoulder at {measured}{estimate}: {shortfall} too low",
        "pass": "the highest strap slot is at {limit}, at or above the shoulder at {measured}{estimate}",
    },
)
def straps_below_shoulder(placement: Placement, world: RuleContext) -> Result:
    """Forward-facing, even the highest strap slot is below the child's shoulder.

    Checks: the highest strap slot against the seated shoulder height; straps come from at or above the
        shoulder.
    Why: straps from below press the spine together when they hold the child back.
    Limits: an estimated shoulder settles it only if the whole band does.
    Blocks: a highest slot at 400 mm for a shoulder at 410 mm.
    """
    from seatplan.geometry.anthropometry import shoulder_height

    slots = placement.mode.shoulder_slots if placement.mode else None
    shoulder = shoulder_height(placement.rider)
    if slots is None:
        return lacks(field("mode.shoulder_slots"), shoulder.high if shoulder else None, "least")
    if shoulder is None:
        return lacks(field("rider.shoulder_height", rider=placement.rider.rider), slots[1], "most")
    return _banded(
        shoulder,
        slots[1],
        False,
        field("rider.shoulder_height", rider=placement.rider.rider),
    )


@rule(
    "belt-guide-below-shoulder",
    title="The belt guide of the booster is below the shoulder",
    source="common practice, no source: outgrown when the shoulders pass the highest belt guide",
    depends=("rider", "mode"),
    reads=("rider.shoulder_height", "mode.shoulder_slots"),
    remedy="a taller booster, or one without a back where its limits allow it",
    when=lambda p, w: p.mode is not None and p.mode.mode == "high-back-booster",
    says={
        "block": "the highest belt guide is at {limit} and the shoulder at {measured}{estimate}: {shortfall} too low",
        "pass": "the highest belt guide is at {limit}, at or above the shoulder at {measured}{estimate}",
    },
)
def belt_guide_below_shoulder(placement: Placement, world: RuleContext) -> Result:
    """Even in its highest setting the belt guide of a booster with a back is below the child's shoulder.

    Checks: the highest belt guide, `shoulder_slots` of the mode, against the seated shoulder height.
    Why: a guide below the shoulder pulls the belt down off it, and the upper body is not held.
    Limits: an estimated shoulder settles it only if the whole band does.
    Blocks: a highest guide at 460 mm for a shoulder at 470 mm.
    """
    from seatplan.geometry.anthropometry import shoulder_height

    guides = placement.mode.shoulder_slots if placement.mode else None
    shoulder = shoulder_height(placement.rider)
    height = field("rider.shoulder_height", rider=placement.rider.rider)
    if guides is None:
        how = said("measure from the seat surface up the back to the guide of the shoulder belt, in its lowest and its "
                   "highest setting, and write `shoulder_slots`")
        return lacks(Missing(named("mode.shoulder_slots", said("the belt guide of the booster"), how), how, "mm"),
                     shoulder.high if shoulder else None, "least")
    if shoulder is None:
        return lacks(height, guides[1], "most")
    return _banded(shoulder, guides[1], False, height)


@rule(
    "head-near-shell-top",
    title="Rear-facing, the head is too near the top of the shell",
    source="the restraint's instructions; otherwise convention, 1 inch (from memory)",
    depends=("rider", "mode", "installation"),
    limits=("rear_head_below_top",),
    reads=("rider.sitting_height", "mode.shell_height", "limits.head_below_top"),
    remedy="a taller shell, or the next mode where limits allow it",
    when=lambda p, w: p.rear_facing,
    says={
        "block": "the head reaches {head}{estimate} in a shell of {top}, which must stand {limit} above it: "
                 "{shortfall} too little",
        "pass": "the head reaches {head}{estimate}, and the shell of {top} stands {measured} above it; it needs "
                "{limit}",
    },
)
def head_near_shell_top(placement: Placement, world: RuleContext) -> Result:
    """Rear-facing, the top of the head is nearer to the top of the shell than it may be.

    Checks: shell height less sitting height against 25 mm, or more where the instructions ask for more.
    Why: the shell protects the head only where it stands above it.
    Limits: an estimated sitting height settles it only if the whole band does.
    Blocks: a head 20 mm below the top where 25 mm are asked for.
    """
    from seatplan.geometry.anthropometry import sitting_height

    need, _ = head_below_top(placement, world)
    top = placement.mode.shell_height if placement.mode else None
    head = sitting_height(placement.rider)
    if top is None:
        return lacks(field("mode.shell_height"), None if head is None else head.high + need, "least")
    if head is None:
        return lacks(field("rider.sitting_height", rider=placement.rider.rider), top - need, "most")
    guess = not head.measured
    if head.high <= top - need:
        return passes(top - head.high, need, "mm", top=in_mm(top, "down"), head=in_mm(head.high, "up"),
                      estimated=guess)._replace(keeps="least")
    if head.low > top - need:
        short = head.low + need - top
        return fails(top - head.low, need, "mm", short, top=in_mm(top, "down"), head=in_mm(head.low, "up"),
                     estimated=guess)
    return lacks(field("rider.sitting_height", rider=placement.rider.rider), top - need, "most", estimated=True)


@rule(
    "ears-above-shell-top",
    title="Facing forward, the ears are above the top of the shell",
    source="convention: ears below the top (from memory)",
    depends=("rider", "mode"),
    limits=("ears_below_top",),
    reads=("rider.ear_height", "rider.sitting_height", "mode.shell_height", "mode.seat_up"),
    remedy="a taller restraint, or the next mode",
    when=lambda p, w: p.mode_name in ("forward-facing-harness", "impact-shield", "high-back-booster"),
    says={
        "block": "the ears are at {measured}{estimate} and the shell ends at {limit}: {shortfall} too high",
        "pass": "the ears are at {measured}{estimate} and the shell ends at {limit}",
    },
)
def ears_above_shell_top(placement: Placement, world: RuleContext) -> Result:
    """Facing forward, the tops of the ears are above the top of the shell or head support.

    Checks: the height of the ear tops against the shell height.
    Why: above it nothing holds the head back when the car is hit from behind.
    Limits: an estimated ear height settles it only if the whole band does.
    Blocks: ears at 610 mm in a shell of 600 mm.
    """
    from seatplan.geometry.anthropometry import ear_height

    top = placement.mode.shell_height if placement.mode else None
    ears = ear_height(placement.rider)
    spare = int(world.limit("ears_below_top"))
    if top is None:
        return lacks(field("mode.shell_height"), None if ears is None else ears.high + spare, "least")
    if ears is None:
        return lacks(field("rider.ear_height", rider=placement.rider.rider), top - spare, "most")
    return _banded(
        ears,
        top - spare,
        False,
        field("rider.ear_height", rider=placement.rider.rider),
    )


@rule(
    "crotch-strap-under-child",
    title="The crotch strap comes up under the child",
    strength="good practice",
    source="instructions of restraints: the crotch buckle in the setting next to the child, never under it; from "
    "memory",
    depends=("rider", "mode"),
    reads=("rider.height", "mode.crotch_strap"),
    remedy="the foremost setting; a restraint whose crotch buckle is further from its back",
    when=lambda p, w: p.harness and p.mode is not None and bool(p.mode.crotch_strap),
    weight="slight",
    why_weight="straps and shell still hold the child, which sits less well; common practice, no source",
    says={
        "caution": "the crotch strap comes up {measured} from the back in its foremost setting, and the child is "
                   "{limit}{estimate} deep there: it must not run under the child",
        "block": "the crotch strap comes up {measured} from the back, and the child is {limit}{estimate} deep there",
        "pass": "the crotch strap comes up {measured} from the back in its foremost setting, and the child is "
                "{limit}{estimate} deep there",
    },
)
def crotch_strap_under_child(placement: Placement, world: RuleContext) -> Result | None:
    """Even in its foremost setting the strap of the crotch buckle comes up under the child.

    Checks: the foremost of the settings of the crotch buckle, measured from the back of the seat, against how deep the
        child is from back to belly.
    Why: a strap that runs under the child pulls on its thighs, and the lap straps come off the hips.
    Limits: the depth is estimated from stature, 750 to 1,250 mm; the thinnest of a hundred counts. Which setting is
        in use is looked at when the child sits in it.
    Blocks: nothing by itself; a strap 110 mm from the back gives a caution for a child of 1,000 mm.
    """
    from seatplan.geometry.anthropometry import abdomen_depth

    depth = abdomen_depth(placement.rider)
    if depth is None or placement.mode is None:
        return None
    return at_least(max(placement.mode.crotch_strap), depth.low, "mm", estimated=True)


def _banded(value: Estimate, limit: int, at_least_limit: bool, height: Missing) -> Result:
    """Hold a measured or estimated length against a limit; a band settles it only as a whole."""
    keeps: Keeps = "least" if at_least_limit else "most"
    good, bad = (
        (value.low >= limit, value.high < limit)
        if at_least_limit
        else (value.high <= limit, value.low > limit)
    )
    if good:
        measured = value.low if at_least_limit else value.high
        return passes(measured, limit, "mm", estimated=not value.measured)._replace(keeps=keeps)
    if bad:
        measured = value.high if at_least_limit else value.low
        return fails(measured, limit, "mm", abs(limit - measured), estimated=not value.measured)._replace(
            keeps=keeps)
    return lacks(height, limit, keeps, estimated=True)
