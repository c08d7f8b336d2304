"""Is the child ready to face forward, for a booster, for the adult belt."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING, Any

from seatplan.said import said

from .finding import Result, at_least, fails, lacks, passes
from .rule import rule

if TYPE_CHECKING:
    from .subjects import Placement, World

_WEIGH = said("weigh the child in light clothes on a household scale")
_STAND = said("stand the child against a wall without shoes and measure to the top of the head")
_BIRTHDAY = said("write the day of birth")
_UPRIGHT = said("upright for the whole ride")

#: FMVSS 213 as amended by 88 FR 84514: weight floors on labels of restraints made from this day
NEW_FLOORS_FROM = date(2024, 12, 5)
#: below it stature decides, whatever a rider is called: the directive and the guidance speak of children
GROWN_UP_FROM_MONTHS = 18 * 12


def _faces_forward(placement: Placement, world: World) -> bool:
    """In a harness; boosters have floors of their own."""
    return placement.mode_name in ("forward-facing-harness", "harness-vest")


@rule(
    "forward-facing-too-young",
    title="Too young to face forward",
    profiles=("us",),
    limits=("forward_min_age",),
    source="NHTSA consumer advice: under 12 months always rear-facing; from memory",
    depends=("rider", "mode"),
    fact=("rider",),
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
        return lacks(said("age of {rider}", rider=placement.rider.rider), _BIRTHDAY, least, "months")
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
        return lacks(said("mass of {rider}", rider=placement.rider.rider), _WEIGH, least, "kg")
    return at_least(placement.rider.mass, least, "kg")


@rule(
    "not-ready-for-booster",
    title="Not ready for a booster",
    limits=("booster_min_mass", "booster_min_mass_before"),
    source="us: FMVSS 213 as amended by 88 FR 84514, 40 lb; before: 59 FR, 21 July 1994, 30 lb; "
    "sitting upright: common practice, no source",
    depends=("rider", "restraint", "mode"),
    fact=("rider",),
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
        return fails(said("does not sit upright"), _UPRIGHT, upright="no")
    least = _floor(placement, world, "booster_min_mass") if world.profile.base == "us" else None
    if least is not None and rider.mass is None:
        return lacks(said("mass of {rider}", rider=rider.rider), _WEIGH, least, "kg")
    if least is not None and rider.mass is not None and rider.mass < least:
        return at_least(rider.mass, least, "kg")
    if rider.sits_upright is None:
        return lacks(
            said("whether {rider} sits upright", rider=rider.rider),
            said("watch the child sit through a whole ride, then write `sits_upright: yes` or `no`"),
            "yes",
        )
    if least is None or rider.mass is None:
        return passes(said("sits upright"), _UPRIGHT)
    return passes(rider.mass, least, "kg")


@rule(
    "booster-before-five",
    title="On a booster before the fifth birthday",
    strength="good practice",
    profiles=("us",),
    limits=("booster_good_age",),
    source="AAP 2018, Pediatrics 142(5) e20182460: harness for most children through at least age 4",
    depends=("rider", "mode"),
    fact=("rider",),
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
        return lacks(said("age of {rider}", rider=placement.rider.rider), _BIRTHDAY, least, "months")
    return at_least(age, least, "months")


@rule(
    "adult-belt-does-not-fit",
    title="The adult belt does not fit the child",
    limits=("adult_belt_min_height", "belt_fit_min_age"),
    source="us: AAP 2018, about 4 ft 9 in, unless a belt-fit test was done; "
    "un: Directive 91/671/EEC Art. 2(1)(a)",
    depends=("rider", "mode", "position"),
    fact=("rider",),
    reads=("rider.height", "rider.belt_fit", "rider.born", "rider.age"),
    remedy="a booster, or a belt-fit test at that seat (us)",
    when=lambda p, w: p.mode is None and not _grown_up(p, w),
)
def adult_belt_does_not_fit(placement: Placement, world: World) -> Result:
    """The adult belt is not known to fit the child.

    Checks: a recorded belt-fit test; without one the stature, 1,448 mm (57 in) under us, 1,500 mm under un.
    Why: a lap belt across the belly and a shoulder belt at the neck do harm in a crash.
    Limits: under us a test that was passed from the age of 8 on stands in for stature (belts fit typically between 8
        and 12); under un the law asks for stature. Under 18, `adult: yes` changes nothing here.
    Blocks: a child of 1,400 mm without a test.
    Instead: a booster; or sit the child back, look at knees, hips and shoulder, and record the test.
    """
    rider, test = placement.rider, placement.rider.belt_fit
    here = test is not None and test.position in (None, placement.position.position)
    if test is not None and here and not test.passed:
        return fails("failed", "passed", by=said("belt-fit test"))
    lifts = bool((world.profile.flags or {}).get("belt_fit_test_lifts_height"))
    if test is not None and here and test.passed and lifts and (test.on is None or test.on <= world.day):
        age = world.age_months(rider)
        if age is None:
            return lacks(
                said("age of {rider}", rider=rider.rider), _BIRTHDAY, world.limit("belt_fit_min_age"), "months"
            )
        if age >= world.limit("belt_fit_min_age"):
            return passes("passed", "passed", by=said("belt-fit test"))
    least = world.limit("adult_belt_min_height")
    if rider.height is None:
        return lacks(said("height of {rider}", rider=rider.rider), _STAND, least, "mm")
    return at_least(rider.height, least, "mm", by="stature")


def _floor(placement: Placement, world: World, name: str) -> Any:
    """The label floor in force when the restraint was made; unknown counts as new."""
    made = placement.restraint.made if placement.restraint else None
    return world.limit(f"{name}_before" if made is not None and made < NEW_FLOORS_FROM else name)


def _grown_up(placement: Placement, world: World) -> bool:
    """Written down as an adult, and not known to be under 18."""
    age = world.age_months(placement.rider)
    return placement.rider.adult and (age is None or age >= GROWN_UP_FROM_MONTHS)
