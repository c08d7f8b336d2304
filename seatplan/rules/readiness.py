"""Is the child ready to sit, to face forward, for a booster, for the adult belt."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING, Any

from seatplan.said import said
from seatplan.units import Quantity

from .finding import Result, at_least, cautions, fails, lacks, passes
from .limits import limit_of
from .rule import rule

if TYPE_CHECKING:
    from seatplan.model import Installation, Mode, Rider

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
    world=("age",),
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
    remedy="rear-facing",
    when=_faces_forward,
    weight="grave",
    why_weight="in a frontal crash the neck of so small a child does not hold the head back; AAP 2018, Pediatrics "
    "142(5) e20182460",
)
def forward_facing_before_two(placement: Placement, world: World) -> Result:
    """A child under two years faces forward in a harness.

    Checks: the age on the day of travel; a child whose age nobody wrote down is not shown to be two.
    Why: the head is heavy for the neck, and rear-facing the shell carries both.
    Limits: good practice; what the rules themselves ask for at least is a rule of its own.
    Blocks: nothing; a caution for a child of 23 months in a forward-facing harness.
    Instead: rear-facing, to the limits of the restraint.
    """
    age, least = world.age_months(placement.rider), world.limit("rear_facing_good_age")
    if age is None:
        return lacks(said("age of {rider}", rider=placement.rider.rider), _BIRTHDAY, least, "months")
    return at_least(age, least, "months")


def _could_face_the_rear(placement: Placement, world: World) -> bool:
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
    world=("age", "rear_facing_modes"),
    fact=("rider",),
    reads=("rider.born", "rider.age", "rider.mass", "rider.height", "limits.mass", "limits.height"),
    remedy="rear-facing",
    when=_could_face_the_rear,
    weight="slight",
    why_weight="the restraint holds the child within its limits, and the order of arrangements puts rear-facing first "
    "where it has room; common practice, no source",
)
def still_fits_rear_facing(placement: Placement, world: World) -> Result:
    """A child under four faces forward while a restraint of the trip still takes it rear-facing.

    Checks: mass, stature and age of the child against the limits of every rear-facing mode of the trip.
    Why: each step from one stage to the next loses some protection, and this one loses most.
    Limits: labels alone: whether that restraint has room in this car, or another child needs it, is not looked at.
        Where a size of the child or every limit of a mode is missing, nobody can say that it is outgrown.
    Blocks: nothing; a caution for a child of 30 months and 13 kg where a shell goes to 18 kg rear-facing.
    Instead: rear-facing, to the limits of the restraint.
    """
    unknown: list[str] = []
    for restraint in world.trip.restraints:
        for mode in restraint.modes:
            for way in mode.installations if mode.rear_facing else ():
                missing = _unknown_to_outgrow(placement.rider, world, mode, way)
                if missing == "":
                    return fails(restraint.restraint, said("outgrown"))
                unknown += [missing] if missing else []
    if not unknown:
        return passes(said("outgrown"), said("outgrown"))
    if "limits" in unknown:
        return lacks(said("limits of a rear-facing mode"), said("read them on the restraint's label"))
    name = placement.rider.rider
    return {"mass": lacks(said("mass of {rider}", rider=name), _WEIGH),
            "height": lacks(said("height of {rider}", rider=name), _STAND),
            "age": lacks(said("age of {rider}", rider=name), _BIRTHDAY)}[unknown[0]]


def _unknown_to_outgrow(rider: Rider, world: World, mode: Mode, way: Installation) -> str | None:
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
    remedy="a lying-flat bed; ask whoever said that the child must lie",
    when=lambda p, w: p.rider.lies is True,
    weight="grave",
    why_weight="a baby who cannot breathe semi-reclined is in danger on every ride, crash or not; AAP 2009, Pediatrics "
    "123:1424, read in excerpts",
)
def must_lie_sits(placement: Placement, world: World) -> Result:
    """A child who must lie flat by medical advice rides in something else than a lying-flat bed.

    Checks: for a rider with `lies: yes`, whether the mode is a lying-flat bed.
    Why: sitting semi-reclined, some babies who were born early or are ill do not breathe well.
    Limits: only where the trip says so; what a doctor allows besides is not known.
    Blocks: nothing; a caution for such a baby in a rear-facing harness.
    Instead: a lying-flat bed, or the advice of whoever said that the child must lie.
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
    depends=("rider", "restraint", "mode", "installation"),
    fact=("rider",),
    reads=("rider.mass", "rider.sits_upright", "restraint.made", "limits.mass"),
    remedy="a forward-facing harness",
    when=lambda p, w: p.booster,
)
def not_ready_for_booster(placement: Placement, world: World) -> Result:
    """The child is too light for a booster, or does not sit upright for a whole ride.

    Checks: what was noted of sitting; and under us that the label does not begin below 18.4 kg (40 lb) on boosters
        made from 5 December 2024, 13.6 kg (30 lb) before, in the label's own unit. Where it does, or where neither
        label nor day of making is known, the child must have that mass; else the label's own limit is enough.
    Why: a booster works only while the child sits so that the belt lies where it should.
    Limits: under un stature is a rule of its own; where nothing is noted of sitting, it stays open.
    Blocks: a child of 17.0 kg on a booster made in 2025 whose label begins at 13.6 kg; a child who leans out of the
        belt.
    Instead: a forward-facing harness.
    """
    rider = placement.rider
    if rider.sits_upright is False:
        return fails(said("does not sit upright"), _UPRIGHT, upright="no")
    heavy = _heavy_enough(placement, world) if world.profile.base == "us" else None
    if heavy is not None and heavy.outcome != "pass":
        return heavy
    if rider.sits_upright is None:
        return lacks(
            said("whether {rider} sits upright", rider=rider.rider),
            said("watch the child sit through a whole ride, then write `sits_upright: yes` or `no`"),
            "yes",
        )
    return heavy or passes(said("sits upright"), _UPRIGHT)


def _heavy_enough(placement: Placement, world: World) -> Result | None:
    """The child against the floor of labels; None where the label's own limit is enough."""
    rider, made = placement.rider, _made(placement)
    new, old = (_booster_floor(placement, world, name) for name in ("booster_min_mass", "booster_min_mass_before"))
    least = new if made is None or made >= NEW_FLOORS_FROM else old
    if least is None:
        return None
    if rider.mass is None:
        return lacks(said("mass of {rider}", rider=rider.rider), _WEIGH, least, "kg")
    limits = limit_of(placement, "mass")
    if made is None and limits and limits[0] > 0 and (old or 0) <= rider.mass < least:
        return lacks(said("the day of making of the booster"), said("read it on the label and write `made: ...`"),
                     said("before 5 December 2024"))
    return at_least(rider.mass, least, "kg")


@rule(
    "booster-before-five",
    title="On a booster before the fifth birthday",
    strength="good practice",
    profiles=("us",),
    limits=("booster_good_age",),
    source="AAP 2018, Pediatrics 142(5) e20182460: harness for most children through at least age 4",
    depends=("rider", "mode"),
    world=("age",),
    fact=("rider",),
    reads=("rider.born", "rider.age"),
    remedy="a forward-facing harness",
    when=lambda p, w: p.booster,
    weight="slight",
    why_weight="the limits of the booster hold, and the order of arrangements puts a harness first "
    "anyway; common practice, no source",
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
    source="us: AAP 2018, about 4 ft 9 in, unless a belt-fit test was passed; "
    "un: Directive 91/671/EEC Art. 2(1)(a)",
    depends=("rider", "mode", "position"),
    world=("age", "day"),
    fact=("rider",),
    reads=("rider.height", "rider.belt_fit", "rider.born", "rider.age"),
    remedy="a booster, or a belt-fit test at that seat (us)",
    when=lambda p, w: p.mode is None and not _grown_up(p, w),
    weight="grave",
    why_weight="a lap belt on the belly or a shoulder belt at the neck harms the child it should hold; "
    "AAP 2018, Pediatrics 142(5) e20182460",
)
def adult_belt_does_not_fit(placement: Placement, world: World) -> Result:
    """The adult belt is not known to fit the child.

    Checks: the stature, 1,448 mm (57 in) under us, 1,500 mm under un, and the belt-fit test that was done at this seat.
    Why: a lap belt across the belly and a shoulder belt at the neck do harm in a crash.
    Limits: under us a test that was passed at this seat from the age of 8 on stands in for stature (belts fit
        typically between 8 and 12); under un the law asks for stature. A failed test counts at every stature. Tall
        enough and not tested here is a caution. `adult: yes` changes nothing for whoever is known to be under 18, or
        too short and of an age that nobody wrote down.
    Blocks: a child of 1,400 mm without a test.
    Instead: a booster; or sit the child back, look at knees, hips and shoulder, and record the test.
    """
    rider, test, here = placement.rider, placement.rider.belt_fit, placement.position.position
    if test is not None and not test.passed and test.position in (None, here):
        return fails("failed", "passed", by=said("belt-fit test"))
    least, passed = world.limit("adult_belt_min_height"), test is not None and test.passed and (
        test.on is None or test.on <= world.day)
    passed_here = passed and test is not None and test.position == here
    tall = rider.height is not None and rider.height >= least
    if not tall and passed and (world.profile.flags or {}).get("belt_fit_test_lifts_height"):
        lifted = _lifted(placement, world)
        if lifted is not None:
            return lifted
    if rider.height is None:
        return lacks(said("height of {rider}", rider=rider.rider), _STAND, least, "mm")
    if tall and not passed_here and not rider.adult:
        return cautions(rider.height, least, "mm", by="stature")
    return at_least(rider.height, least, "mm", by="stature")


def _lifted(placement: Placement, world: World) -> Result | None:
    """What a passed test says in place of stature; None where it was passed elsewhere, or too young."""
    rider, here = placement.rider, placement.position.position
    assert rider.belt_fit is not None
    age, least = world.age_months(rider), world.limit("belt_fit_min_age")
    if rider.belt_fit.position not in (None, here) or (age is not None and age < least):
        return None
    if rider.belt_fit.position is None:
        return lacks(said("at which seat the belt-fit test was passed"),
                     said("do it at this seat, and write its name under `belt_fit: position`"), here)
    if age is None:
        return lacks(said("age of {rider}", rider=rider.rider), _BIRTHDAY, least, "months")
    return passes("passed", "passed", by=said("belt-fit test"))


def _floor(placement: Placement, world: World, name: str) -> Any:
    """The label floor in force when the restraint was made; unknown counts as new."""
    made = placement.restraint.made if placement.restraint else None
    return world.limit(f"{name}_before" if made is not None and made < NEW_FLOORS_FROM else name)


def _in_unit_of(printed: Quantity, floor: Any) -> Any:
    """A floor that the rules print in both units, as a label in one of them must print it."""
    return next((reading for reading in getattr(floor, "both", ()) if reading.metric == printed.metric), floor)


def _booster_floor(placement: Placement, world: World, name: str) -> Any:
    """The mass that a child must have because the label prints less than the rules let it, kg: in the label's own
    unit. None where the label prints as much, so that its own limit is enough."""
    floor, limits = world.limit(name), limit_of(placement, "mass")
    label = limits[0] if limits else None
    if not isinstance(label, Quantity):
        return min(getattr(floor, "both", ()) or (floor,)) if _made(placement) is not None else floor
    readings = label.both or (label,)
    if any(reading >= _in_unit_of(reading, floor) for reading in readings):
        return None
    return _in_unit_of(label, floor)


def _made(placement: Placement) -> date | None:
    return placement.restraint.made if placement.restraint else None


def _grown_up(placement: Placement, world: World) -> bool:
    """Written down as an adult, and not known to be under 18; where no age is given, only a driver or whoever is tall
    enough for the belt anyway."""
    rider, age = placement.rider, world.age_months(placement.rider)
    if not rider.adult or age is not None:
        return rider.adult and age is not None and age >= GROWN_UP_FROM_MONTHS
    return rider.drives or (rider.height is not None and rider.height >= world.limit("adult_belt_min_height"))
