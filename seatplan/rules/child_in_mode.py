"""Does the child belong in this mode of this restraint: mass, stature, age, straps, head, and readiness."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

from .finding import Result, at_least, at_most, fails, lacks, passes
from .limits import limit_of
from .rule import rule

if TYPE_CHECKING:
    from collections.abc import Callable

    from seatplan.geometry.anthropometry import Estimate

    from .subjects import Placement, World

_WEIGH = "weigh the child in light clothes on a household scale"
_STAND = "stand the child against a wall without shoes and measure to the top of the head"
_UPRIGHT = "upright for the whole ride"
_BIRTHDAY = "write the day of birth"
_SIT = "sit the child upright on a flat bench against a wall and measure from the bench"
_SLOT = "measure from the seat surface up the back of the shell"
_LABEL = "read it on the restraint's label"

#: FMVSS 213 as amended by 88 FR 84514: weight floors on labels of restraints made from this day
NEW_FLOORS_FROM = date(2024, 12, 5)

_IN_MODE = ("rider", "mode", "installation")


def _has(name: str, end: int) -> Callable[[Placement, World], bool]:
    def when(placement: Placement, world: World) -> bool:
        limits = limit_of(placement, name)
        return limits is not None and (end == 1 or limits[0] > 0)

    return when


def _faces_forward(placement: Placement, world: World) -> bool:
    """In a harness; boosters have floors of their own."""
    return placement.mode_name in ("forward-facing-harness", "harness-vest")


@rule(
    "child-too-heavy",
    title="The child is heavier than the mode allows",
    source="the restraint's instructions",
    depends=_IN_MODE,
    reads=("rider.mass", "limits.mass"),
    remedy="the next mode, or a restraint with a higher limit",
    when=_has("mass", 1),
)
def child_too_heavy(placement: Placement, world: World) -> Result:
    """The child is heavier than the restraint's instructions allow in this mode.

    Checks: the rider's mass against the upper mass limit of the mode, and of the installation where it
        differs.
    Why: harness and shell were tested up to that mass.
    Limits: the mass is that of the day it was taken; weigh again before a long trip.
    Blocks: a child of 16.0 kg in a mode that ends at 15.9 kg.
    Instead: the next mode, or a restraint with a higher limit.
    """
    _, high = limit_of(placement, "mass") or (0, 0)
    if placement.rider.mass is None:
        return lacks(f"mass of {placement.rider.rider}", _WEIGH, high, "kg")
    return at_most(placement.rider.mass, high, "kg")


@rule(
    "child-too-light",
    title="The child is lighter than the mode allows",
    source="the restraint's instructions",
    depends=_IN_MODE,
    reads=("rider.mass", "limits.mass"),
    remedy="stay in the mode before",
    when=_has("mass", 0),
)
def child_too_light(placement: Placement, world: World) -> Result:
    """The child is lighter than the restraint's instructions allow in this mode.

    Checks: the rider's mass against the lower mass limit of the mode, and of the installation where it
        differs.
    Why: a small child is held and padded differently; facing forward too early strains the neck.
    Limits: the mass is that of the day it was taken.
    Blocks: a child of 9.0 kg in a forward-facing mode that begins at 10.0 kg.
    Instead: stay in the mode before.
    """
    low, _ = limit_of(placement, "mass") or (0, 0)
    if placement.rider.mass is None:
        return lacks(f"mass of {placement.rider.rider}", _WEIGH, low, "kg")
    return at_least(placement.rider.mass, low, "kg")


@rule(
    "child-too-tall",
    title="The child is taller than the mode allows",
    source="the restraint's instructions",
    depends=_IN_MODE,
    reads=("rider.height", "limits.height"),
    remedy="the next mode, or a taller restraint",
    when=_has("height", 1),
)
def child_too_tall(placement: Placement, world: World) -> Result:
    """The child is taller than the restraint's instructions allow in this mode.

    Checks: the rider's stature against the upper limit of the mode, and of the installation where it differs.
    Why: above it, head or shoulders stand beyond the shell or the straps.
    Limits: stature alone; straps and head have rules of their own.
    Blocks: a child of 820 mm in a mode that ends at 813 mm.
    Instead: the next mode, or a taller restraint.
    """
    _, high = limit_of(placement, "height") or (0, 0)
    if placement.rider.height is None:
        return lacks(f"height of {placement.rider.rider}", _STAND, high, "mm")
    return at_most(placement.rider.height, high, "mm")


@rule(
    "child-too-short",
    title="The child is shorter than the mode allows",
    source="the restraint's instructions",
    depends=_IN_MODE,
    reads=("rider.height", "limits.height"),
    remedy="stay in the mode before",
    when=_has("height", 0),
)
def child_too_short(placement: Placement, world: World) -> Result:
    """The child is shorter than the restraint's instructions allow in this mode.

    Checks: the rider's stature against the lower limit of the mode, and of the installation where it differs.
    Why: straps, belt path and head support are placed for taller children.
    Limits: stature alone.
    Blocks: a child of 990 mm in a booster that begins at 1,000 mm.
    Instead: stay in the mode before.
    """
    low, _ = limit_of(placement, "height") or (0, 0)
    if placement.rider.height is None:
        return lacks(f"height of {placement.rider.rider}", _STAND, low, "mm")
    return at_least(placement.rider.height, low, "mm")


@rule(
    "child-too-young",
    title="The child is younger than the mode allows",
    source="the restraint's instructions",
    depends=_IN_MODE,
    reads=("rider.born", "rider.age", "limits.age"),
    remedy="stay in the mode before",
    when=_has("age", 0),
)
def child_too_young(placement: Placement, world: World) -> Result:
    """The child is younger than the restraint's instructions allow in this mode.

    Checks: the rider's age in whole months on the day of travel against the lower age limit.
    Why: bones and neck grow with age, not only with size.
    Limits: only where the instructions name an age.
    Blocks: a child of 23 months in a mode that begins at 24 months.
    Instead: stay in the mode before.
    """
    low, _ = limit_of(placement, "age") or (0, 0)
    age = world.age_months(placement.rider)
    if age is None:
        return lacks(f"age of {placement.rider.rider}", _BIRTHDAY, low, "months")
    return at_least(age, low, "months")


@rule(
    "child-too-old",
    title="The child is older than the mode allows",
    source="the restraint's instructions",
    depends=_IN_MODE,
    reads=("rider.born", "rider.age", "limits.age"),
    remedy="the next mode",
    when=_has("age", 1),
)
def child_too_old(placement: Placement, world: World) -> Result:
    """The child is older than the restraint's instructions allow in this mode.

    Checks: the rider's age in whole months on the day of travel against the upper age limit.
    Why: the mode is made for children who cannot yet sit, or not yet walk.
    Limits: only where the instructions name an age.
    Blocks: a child of 7 months in a bed that ends at 6 months.
    Instead: the next mode.
    """
    _, high = limit_of(placement, "age") or (0, 0)
    age = world.age_months(placement.rider)
    if age is None:
        return lacks(f"age of {placement.rider.rider}", _BIRTHDAY, high, "months")
    return at_most(age, high, "months")


@rule(
    "child-limits-unknown",
    title="Nobody wrote down whom the mode is for",
    source="the restraint's instructions",
    depends=("mode", "installation"),
    reads=("limits",),
    remedy="read the label and write the limits down",
    when=lambda p, w: p.mode is not None and not (limit_of(p, "mass") or limit_of(p, "height")),
)
def child_limits_unknown(placement: Placement, world: World) -> Result:
    """The file gives the mode neither a mass nor a height limit, and every restraint has one.

    Checks: that the mode or the installation has a mass or a height limit.
    Why: without one nothing tells whether the child belongs in it.
    Limits: one of the two is enough; some labels have only one.
    Blocks: nothing by itself: the arrangement stays unmeasured until the label is read.
    Instead: read the label and write the limits down.
    """
    return lacks("mass and height limits", _LABEL)


@rule(
    "straps-above-shoulder",
    title="Rear-facing, the lowest strap slot is above the shoulder",
    source="guidance: rear-facing, straps at or below the shoulders; common practice",
    depends=("rider", "mode"),
    reads=("rider.shoulder_height", "mode.shoulder_slots"),
    remedy="a newborn insert where the instructions have one, or a restraint with lower slots",
    when=lambda p, w: p.rear_facing,
)
def straps_above_shoulder(placement: Placement, world: World) -> Result:
    """Rear-facing, even the lowest strap slot is above the child's shoulder.

    Checks: the lowest strap slot against the seated shoulder height; straps come from at or below the
        shoulder.
    Why: in a crash the child slides up the shell until the straps catch it.
    Limits: an estimated shoulder settles it only if the whole band does.
    Blocks: a lowest slot at 250 mm for a shoulder at 240 mm.
    Instead: a newborn insert where the instructions have one, or a restraint with lower slots.
    """
    from seatplan.geometry.anthropometry import shoulder_height

    slots = placement.mode.shoulder_slots if placement.mode else None
    shoulder = shoulder_height(placement.rider)
    if slots is None:
        return lacks(
            "strap slots", f"{_SLOT} to the lowest strap exit", shoulder.low if shoulder else None, "mm"
        )
    if shoulder is None:
        return lacks(f"shoulder height of {placement.rider.rider}", f"{_SIT} to the shoulder", slots[0], "mm")
    return _banded(
        shoulder, slots[0], True, f"shoulder height of {placement.rider.rider}", f"{_SIT} to the shoulder"
    )


@rule(
    "straps-below-shoulder",
    title="Forward-facing, the highest strap slot is below the shoulder",
    source="guidance: forward-facing, straps at or above the shoulders; common practice",
    depends=("rider", "mode"),
    reads=("rider.shoulder_height", "mode.shoulder_slots"),
    remedy="a restraint with higher slots, or the next mode",
    when=lambda p, w: p.mode is not None and p.mode.mode == "forward-facing-harness",
)
def straps_below_shoulder(placement: Placement, world: World) -> Result:
    """Forward-facing, even the highest strap slot is below the child's shoulder.

    Checks: the highest strap slot against the seated shoulder height; straps come from at or above the
        shoulder.
    Why: straps from below press the spine together when they hold the child back.
    Limits: an estimated shoulder settles it only if the whole band does.
    Blocks: a highest slot at 400 mm for a shoulder at 410 mm.
    Instead: a restraint with higher slots, or the next mode.
    """
    from seatplan.geometry.anthropometry import shoulder_height

    slots = placement.mode.shoulder_slots if placement.mode else None
    shoulder = shoulder_height(placement.rider)
    if slots is None:
        return lacks(
            "strap slots", f"{_SLOT} to the highest strap exit", shoulder.high if shoulder else None, "mm"
        )
    if shoulder is None:
        return lacks(f"shoulder height of {placement.rider.rider}", f"{_SIT} to the shoulder", slots[1], "mm")
    return _banded(
        shoulder, slots[1], False, f"shoulder height of {placement.rider.rider}", f"{_SIT} to the shoulder"
    )


@rule(
    "head-near-shell-top",
    title="Rear-facing, the head is too near the top of the shell",
    source="the restraint's instructions; otherwise convention, 1 inch (from memory)",
    depends=("rider", "mode", "installation"),
    limits=("rear_head_below_top",),
    reads=("rider.sitting_height", "mode.shell_height", "limits.head_below_top"),
    remedy="a taller shell, or the next mode where limits allow it",
    when=lambda p, w: p.rear_facing,
)
def head_near_shell_top(placement: Placement, world: World) -> Result:
    """Rear-facing, the top of the head is nearer to the top of the shell than it may be.

    Checks: shell height less sitting height against the distance in the instructions, or else 25 mm.
    Why: the shell protects the head only where it stands above it.
    Limits: an estimated sitting height settles it only if the whole band does.
    Blocks: a head 20 mm below the top where 25 mm are asked for.
    Instead: a taller shell, or the next mode where limits allow it.
    """
    from seatplan.geometry.anthropometry import sitting_height

    mode, installation = placement.mode, placement.installation
    limits = (mode.limits if mode else None, installation.limits if installation else None)
    own = [part.head_below_top for part in limits if part is not None and part.head_below_top is not None]
    need = max(own) if own else int(world.limit("rear_head_below_top"))
    top = mode.shell_height if mode else None
    head = sitting_height(placement.rider)
    if top is None:
        return lacks(
            "shell height",
            "measure from the seat surface to the top of the shell along its back",
            None if head is None else head.high + need,
            "mm",
        )
    if head is None:
        return lacks(
            f"sitting height of {placement.rider.rider}", f"{_SIT} to the top of the head", top - need, "mm"
        )
    guess = not head.measured
    if head.high <= top - need:
        return passes(top - head.high, need, "mm", top=top, head=head.high, estimated=guess)
    if head.low > top - need:
        short = head.low + need - top
        return fails(top - head.low, need, "mm", short, top=top, head=head.low, estimated=guess)
    return lacks(
        f"sitting height of {placement.rider.rider}",
        f"{_SIT} to the top of the head",
        top - need,
        "mm",
        estimated=True,
    )


@rule(
    "ears-above-shell-top",
    title="Facing forward, the ears are above the top of the shell",
    source="convention: ears below the top (from memory)",
    depends=("rider", "mode"),
    limits=("ears_below_top",),
    reads=("rider.ear_height", "rider.sitting_height", "mode.shell_height", "mode.seat_up"),
    remedy="a taller restraint, or the next mode",
    when=lambda p, w: p.mode is not None and p.mode.mode in ("forward-facing-harness", "high-back-booster"),
)
def ears_above_shell_top(placement: Placement, world: World) -> Result:
    """Facing forward, the tops of the ears are above the top of the shell or head support.

    Checks: the height of the ear tops against the shell height.
    Why: above it nothing holds the head back when the car is hit from behind.
    Limits: an estimated ear height settles it only if the whole band does.
    Blocks: ears at 610 mm in a shell of 600 mm.
    Instead: a taller restraint, or the next mode.
    """
    from seatplan.geometry.anthropometry import ear_height

    top = placement.mode.shell_height if placement.mode else None
    ears = ear_height(placement.rider)
    spare = int(world.limit("ears_below_top"))
    if top is None:
        return lacks(
            "shell height",
            "measure from the seat surface to the top of the shell along its back",
            None if ears is None else ears.high + spare,
            "mm",
        )
    if ears is None:
        return lacks(
            f"ear height of {placement.rider.rider}", f"{_SIT} to the top of the ears", top - spare, "mm"
        )
    return _banded(
        ears, top - spare, False, f"ear height of {placement.rider.rider}", f"{_SIT} to the top of the ears"
    )


@rule(
    "forward-facing-too-young",
    title="Too young to face forward",
    profiles=("us",),
    limits=("forward_min_age",),
    source="NHTSA consumer advice: under 12 months always rear-facing; from memory",
    depends=("rider", "mode"),
    reads=("rider.born", "rider.age"),
    remedy="rear-facing",
    when=_faces_forward,
)
def forward_facing_too_young(placement: Placement, world: World) -> Result:
    """A baby under one year faces forward.

    Checks: the age on the day of travel.
    Why: the neck of a baby does not hold the head in a frontal crash.
    Limits: the least that anybody accepts; staying rear-facing longer ranks higher.
    Blocks: a child of 11 months in a forward-facing harness.
    Instead: rear-facing, to the limits of the restraint.
    """
    age, least = world.age_months(placement.rider), world.limit("forward_min_age")
    if age is None:
        return lacks(f"age of {placement.rider.rider}", _BIRTHDAY, least, "months")
    return at_least(age, least, "months")


@rule(
    "forward-facing-too-light",
    title="Too light to face forward",
    profiles=("us",),
    limits=("forward_min_mass", "forward_min_mass_before"),
    source="FMVSS 213 as amended by 88 FR 84514; before: 49 CFR 571.213 S5.5.2(k)(2)",
    depends=("rider", "restraint", "mode"),
    reads=("rider.mass", "restraint.made"),
    remedy="rear-facing",
    when=_faces_forward,
)
def forward_facing_too_light(placement: Placement, world: World) -> Result:
    """The child is lighter than any label may allow facing forward.

    Checks: the mass against 12 kg (26.5 lb) for restraints made from 5 December 2024, 9 kg (20 lb) before.
    Why: lighter children are better protected rear-facing.
    Limits: a restraint without a date is held to the newer value.
    Blocks: a child of 11.0 kg facing forward in a restraint made in 2025.
    Instead: rear-facing.
    """
    least = _floor(placement, world, "forward_min_mass")
    if placement.rider.mass is None:
        return lacks(f"mass of {placement.rider.rider}", _WEIGH, least, "kg")
    return at_least(placement.rider.mass, least, "kg")


@rule(
    "not-ready-for-booster",
    title="Not ready for a booster",
    limits=("booster_min_mass", "booster_min_mass_before"),
    source="us: FMVSS 213 as amended by 88 FR 84514, 40 lb; before: 59 FR, 21 July 1994, 30 lb; "
    "sitting upright: common practice, no source",
    depends=("rider", "restraint", "mode"),
    reads=("rider.mass", "rider.sits_upright", "restraint.made"),
    remedy="a forward-facing harness",
    when=lambda p, w: p.booster,
)
def not_ready_for_booster(placement: Placement, world: World) -> Result:
    """The child is too light for a booster, or does not sit upright for a whole ride.

    Checks: the mass against 40 lb for boosters made from 5 December 2024, 30 lb before; and what was noted
        of sitting.
    Why: a booster works only while the child sits so that the belt lies where it should.
    Limits: under us a booster without a date is held to the newer value, under un stature is a rule of its
        own; where nothing is noted of sitting, it stays open.
    Blocks: a child of 17.0 kg on a booster made in 2025; a child who leans out of the belt.
    Instead: a forward-facing harness.
    """
    rider = placement.rider
    if rider.sits_upright is False:
        return fails("does not sit upright", _UPRIGHT, upright="no")
    least = _floor(placement, world, "booster_min_mass") if world.profile.base == "us" else None
    if least is not None and rider.mass is None:
        return lacks(f"mass of {rider.rider}", _WEIGH, least, "kg")
    if least is not None and rider.mass is not None and rider.mass < least:
        return at_least(rider.mass, least, "kg")
    if rider.sits_upright is None:
        return lacks(
            f"whether {rider.rider} sits upright",
            "watch the child sit through a whole ride, then write `sits_upright: yes` or `no`",
            "yes",
        )
    if least is None or rider.mass is None:
        return passes("sits upright", _UPRIGHT)
    return passes(rider.mass, least, "kg")


@rule(
    "booster-before-five",
    title="On a booster before the fifth birthday",
    strength="good practice",
    profiles=("us",),
    limits=("booster_good_age",),
    source="AAP 2018, Pediatrics 142(5) e20182460: harness for most children through at least age 4",
    depends=("rider", "mode"),
    reads=("rider.born", "rider.age"),
    remedy="a forward-facing harness",
    when=lambda p, w: p.booster,
)
def booster_before_five(placement: Placement, world: World) -> Result:
    """A child rides on a booster before the fifth birthday.

    Checks: the age on the day of travel.
    Why: a harness holds a restless child better, and each step up loses some protection.
    Limits: good practice; the restraint's own limits are rules of their own.
    Blocks: nothing; a caution for a child of 58 months.
    Instead: a forward-facing harness.
    """
    age, least = world.age_months(placement.rider), world.limit("booster_good_age")
    if age is None:
        return lacks(f"age of {placement.rider.rider}", _BIRTHDAY, least, "months")
    return at_least(age, least, "months")


@rule(
    "adult-belt-does-not-fit",
    title="The adult belt does not fit the child",
    limits=("adult_belt_min_height",),
    source="us: AAP 2018, about 4 ft 9 in, unless a belt-fit test was done; "
    "un: Directive 91/671/EEC Art. 2(1)(a)",
    depends=("rider", "mode", "position"),
    reads=("rider.height", "rider.belt_fit"),
    remedy="a booster, or a belt-fit test at that seat (us)",
    when=lambda p, w: p.mode is None and not p.rider.adult,
)
def adult_belt_does_not_fit(placement: Placement, world: World) -> Result:
    """The adult belt is not known to fit the child.

    Checks: a recorded belt-fit test; without one the stature, 1,448 mm (57 in) under us, 1,500 mm under un.
    Why: a lap belt across the belly and a shoulder belt at the neck do harm in a crash.
    Limits: under us a passed test stands in for stature; under un the law asks for stature.
    Blocks: a child of 1,400 mm without a test.
    Instead: a booster; or sit the child back, look at knees, hips and shoulder, and record the test.
    """
    rider, test = placement.rider, placement.rider.belt_fit
    here = test is not None and test.position in (None, placement.position.position)
    if test is not None and here and not test.passed:
        return fails("failed", "passed", by="belt-fit test")
    lifts = bool((world.profile.flags or {}).get("belt_fit_test_lifts_height"))
    if test is not None and here and test.passed and lifts:
        return passes("passed", "passed", by="belt-fit test")
    least = world.limit("adult_belt_min_height")
    if rider.height is None:
        return lacks(f"height of {rider.rider}", _STAND, least, "mm")
    return at_least(rider.height, least, "mm", by="stature")


def _banded(value: Estimate, limit: int, at_least_limit: bool, field: str, how: str) -> Result:
    """Hold a measured or estimated length against a limit; a band settles it only as a whole."""
    good, bad = (
        (value.low >= limit, value.high < limit)
        if at_least_limit
        else (value.high <= limit, value.low > limit)
    )
    if good:
        return passes(value.low if at_least_limit else value.high, limit, "mm", estimated=not value.measured)
    if bad:
        measured = value.high if at_least_limit else value.low
        return fails(measured, limit, "mm", abs(limit - measured), estimated=not value.measured)
    return lacks(field, how, limit, "mm", estimated=True)


def _floor(placement: Placement, world: World, name: str) -> float:
    """The label floor in force when the restraint was made; unknown counts as new."""
    made = placement.restraint.made if placement.restraint else None
    return world.limit(f"{name}_before" if made is not None and made < NEW_FLOORS_FROM else name)
