"""Which way round a child rides: forward, rearward while it can, or lying flat."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from seatplan.fields import Missing, field, named
from seatplan.message import said

from .finding import Result, at_least, fails, lacks, passes
from .readiness import NEW_FLOORS_FROM
from .restraint_condition import known_unfit
from .rule import rule

if TYPE_CHECKING:
    from seatplan.model import Installation, Mode, Rider

    from .subjects import Placement, RuleContext



def _faces_forward(placement: Placement, world: RuleContext) -> bool:
    """In a harness or behind a shield; boosters have floors of their own."""
    return placement.mode_name in ("forward-facing-harness", "harness-vest", "impact-shield")


def _so_old(placement: Placement, world: RuleContext, least: float) -> Result:
    """Whether the child is so many months old; one whose age nobody wrote down is not shown to be."""
    age = world.age_months(placement.rider)
    if age is None:
        return lacks(field("rider.born", rider=placement.rider.rider), least)
    return at_least(age, least, "months")


@rule(
    "forward-facing-too-young",
    title="Too young to face forward",
    profiles=("us",),
    limits=("forward_min_age",),
    source="NHTSA consumer advice: under 12 months always rear-facing; from memory",
    depends=("rider", "mode"),
    world=("age",),
    fact=("rider",),
    reads=("rider.born", "rider.age"),
    remedy="rear-facing, to the limits of the restraint",
    one_way=True,
    when=_faces_forward,
    says={
        "block": "is {measured} old; nobody faces forward before {limit}",
        "pass": "is {measured} old; nobody faces forward before {limit}",
    },
)
def forward_facing_too_young(placement: Placement, world: RuleContext) -> Result:
    """A baby under one year faces forward.

    Checks: the age on the day of travel.
    Why: the neck of a baby does not hold the head in a frontal crash.
    Limits: the least that anybody accepts; staying rear-facing longer ranks higher.
    Blocks: a child of 11 months in a forward-facing harness.
    """
    return _so_old(placement, world, world.limit("forward_min_age"))


@rule(
    "forward-facing-before-two",
    title="Facing forward before the second birthday",
    strength="good practice",
    limits=("rear_facing_good_age",),
    source="AAP 2018, Pediatrics 142(5) e20182460: rear-facing as long as the restraint's limits last; two years is "
    "what guidance before it asked for at least, from memory",
    depends=("rider", "mode"),
    world=("age",),
    fact=("rider",),
    reads=("rider.born", "rider.age"),
    remedy="rear-facing, to the limits of the restraint",
    one_way=True,
    when=_faces_forward,
    weight="grave",
    why_weight="in a frontal crash the neck of so small a child does not hold the head back; AAP 2018, Pediatrics "
    "142(5) e20182460",
    says={
        "caution": "is {measured} old and faces forward: rear-facing is safer, at least until {limit}",
        "block": "is {measured} old and faces forward; rear-facing is asked for until {limit}",
        "pass": "is {measured} old; rear-facing is safer, at least until {limit}",
    },
)
def forward_facing_before_two(placement: Placement, world: RuleContext) -> Result:
    """A child under two years faces forward in a harness.

    Checks: the age on the day of travel; a child whose age nobody wrote down is not shown to be two.
    Why: the head is heavy for the neck, and rear-facing the shell carries both.
    Limits: good practice; what the rules themselves ask for at least is a rule of its own.
    Blocks: nothing; a caution for a child of 23 months in a forward-facing harness.
    """
    return _so_old(placement, world, world.limit("rear_facing_good_age"))


def _could_face_the_rear(placement: Placement, world: RuleContext) -> bool:
    """A child under four, or of unknown age, who faces forward on a trip with a mode that does not."""
    if placement.mode is None or placement.rear_facing or placement.mode_name == "lying-flat-bed":
        return False
    age = world.age_months(placement.rider)
    return (age is None or age < world.limit("rear_facing_long_age")) and any(
        mode.rear_facing for restraint in world.trip.restraints for mode in restraint.modes)


@rule(
    "still-fits-rear-facing",
    title="Facing forward although a restraint still takes the child rear-facing",
    strength="good practice",
    limits=("rear_facing_long_age",),
    source="AAP 2018, Pediatrics 142(5) e20182460: rear-facing as long as the restraint's limits last",
    depends=("rider", "mode"),
    world=("age", "day", "rear_facing_modes"),
    fact=("rider",),
    reads=("rider.born", "rider.age", "rider.mass", "rider.height", "limits.mass", "limits.height"),
    remedy="rear-facing, to the limits of the restraint",
    when=_could_face_the_rear,
    weight="slight",
    why_weight="the restraint holds the child within its limits, and the order of arrangements puts rear-facing first "
    "where it has room; common practice, no source",
    own_step=True,
    says={
        "caution": "faces forward, and {measured} still takes {rider} rear-facing, which is safer as long as its "
                   "limits last",
        "block": "faces forward, and {measured} still takes {rider} rear-facing",
        "pass": "no restraint of this trip takes {rider} rear-facing any more",
    },
)
def still_fits_rear_facing(placement: Placement, world: RuleContext) -> Result:
    """A child under four faces forward while a restraint of the trip still takes it rear-facing.

    Checks: mass, stature and age of the child against the limits of every rear-facing mode of the trip.
    Why: each step from one stage to the next loses some protection, and this one loses most.
    Limits: labels alone: whether that restraint has room in this car, or another child needs it, is not looked at.
        One that has expired, was in a crash, has an open recall, no labels or no history is none that takes a child.
        Where a size of the child or every limit of a mode is missing, nobody can say that it is outgrown.
    Blocks: nothing; a caution for a child of 30 months and 13 kg where a shell goes to 18 kg rear-facing.
    """
    unknown: list[str] = []
    for restraint in world.trip.restraints:
        if known_unfit(restraint, world.day):
            continue                  # nobody is to be sent to a shell with an open recall
        for mode in restraint.modes:
            for way in mode.installations if mode.rear_facing else ():
                missing = _unknown_to_outgrow(placement.rider, world, mode, way)
                if missing == "":
                    return fails(restraint.restraint, said("outgrown"))
                unknown += [missing] if missing else []
    if not unknown:
        return passes(said("outgrown"), said("outgrown"))
    if "limits" in unknown:
        return lacks(Missing(named("limits", said("limits of a rear-facing mode")),
                             said("read them on the restraint's label")))
    name = placement.rider.rider
    return {"mass": lacks(field("rider.mass", rider=name)),
            "height": lacks(field("rider.height", rider=name)),
            "age": lacks(field("rider.born", rider=name))}[unknown[0]]


def _unknown_to_outgrow(rider: Rider, world: RuleContext, mode: Mode, way: Installation) -> str | None:
    """None: a child is beyond a limit; "": within all that the instructions give; else what is not known of the
    child, or ``limits`` where the instructions give none."""
    given = [limits for limits in (mode.limits, way.limits) if limits is not None]
    if all(limits.mass is None and limits.height is None for limits in given):
        return "limits"
    missing = ""
    for name, value in (("mass", rider.mass), ("height", rider.height), ("age", world.age_months(rider))):
        for low, high in (getattr(limits, name) for limits in given if getattr(limits, name) is not None):
            if value is None:
                missing = missing or name
            elif not low <= value <= high:
                return None
    return missing


@rule(
    "must-lie-sits",
    title="A child who must lie flat does not",
    strength="good practice",
    source="AAP 2009, Pediatrics 123:1424 (read in excerpts): lying-flat beds are for babies who cannot sit "
    "semi-reclined; the trip's own word, `lies: yes`",
    depends=("rider", "mode"),
    fact=("rider",),
    reads=("rider.lies",),
    remedy="a lying-flat bed, or the advice of whoever said that the child must lie",
    one_way=True,
    when=lambda p, w: p.rider.lies is True,
    weight="grave",
    why_weight="a baby who cannot breathe semi-reclined is in danger on every ride, crash or not; AAP 2009, Pediatrics "
    "123:1424, read in excerpts",
    says={
        "caution": "must lie flat, and this is not a lying-flat bed: ask whoever said so before you drive",
        "block": "must lie flat, and this is not a lying-flat bed",
        "pass": "must lie flat, and does",
    },
)
def must_lie_sits(placement: Placement, world: RuleContext) -> Result:
    """A child who must lie flat by medical advice rides in something else than a lying-flat bed.

    Checks: for a rider with `lies: yes`, whether the mode is a lying-flat bed.
    Why: sitting semi-reclined, some babies who were born early or are ill do not breathe well.
    Limits: only where the trip says so; what a doctor allows besides is not known.
    Blocks: nothing; a caution for such a baby in a rear-facing harness.
    """
    mode = placement.mode_name
    return passes(mode, "lying-flat-bed") if mode == "lying-flat-bed" else fails(mode, "lying-flat-bed")


@rule(
    "forward-facing-too-light",
    title="Too light to face forward",
    profiles=("us",),
    limits=("forward_min_mass", "forward_min_mass_before"),
    source="FMVSS 213 as amended by 88 FR 84514; before: 49 CFR 571.213 S5.5.2(k)(2)",
    depends=("rider", "restraint", "mode"),
    reads=("rider.mass", "restraint.made"),
    remedy="rear-facing",
    one_way=True,
    when=_faces_forward,
    says={
        "block": "weighs {measured}; facing forward begins at {limit}: {shortfall} under",
        "pass": "weighs {measured}; facing forward begins at {limit}",
    },
)
def forward_facing_too_light(placement: Placement, world: RuleContext) -> Result:
    """The child is lighter than any label may allow facing forward.

    Checks: the mass against 12 kg (26.5 lb) for restraints made from 5 December 2024, 9 kg (20 lb) before.
    Why: lighter children are better protected rear-facing.
    Limits: a restraint without a date is held to the newer value.
    Blocks: a child of 11.0 kg facing forward in a restraint made in 2025.
    """
    least = _floor(placement, world, "forward_min_mass")
    if placement.rider.mass is None:
        return lacks(field("rider.mass", rider=placement.rider.rider), least, "least")
    return at_least(placement.rider.mass, least, "kg")


def _floor(placement: Placement, world: RuleContext, name: str) -> Any:
    """The label floor in force when the restraint was made; unknown counts as new."""
    made = placement.restraint.made if placement.restraint else None
    return world.limit(f"{name}_before" if made is not None and made < NEW_FLOORS_FROM else name)
