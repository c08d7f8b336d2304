"""Is the child ready for a booster, for the seat belt."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING, Any

from seatplan.fields import field
from seatplan.message import said
from seatplan.units import Quantity

from .finding import Result, at_least, cautions, fails, lacks, passes
from .limits import limit_of
from .rule import rule

if TYPE_CHECKING:
    from .subjects import Placement, RuleContext

_UPRIGHT = said("upright for the whole ride")

#: FMVSS 213 as amended by 88 FR 84514: weight floors on labels of restraints made from this day. Of FMVSS 213a, 213b
#: and the changes of 2025 to FMVSS 225 the days were put off or are disputed: nothing here hangs on one of those
NEW_FLOORS_FROM = date(2024, 12, 5)
#: below it stature decides, whatever a rider is called: the directive and the guidance speak of children
GROWN_UP_FROM_MONTHS = 18 * 12


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
    says={
        "block": "is not ready for a booster: {measured}, needed: {limit}",
        "pass": "is ready for a booster: {measured}, needed: {limit}",
    },
)
def not_ready_for_booster(placement: Placement, world: RuleContext) -> Result:
    """The child is too light for a booster, or does not sit upright for a whole ride.

    Checks: what was noted of sitting; and under us that the label does not begin below 18.4 kg (40 lb) on boosters
        made from 5 December 2024, 13.6 kg (30 lb) before, in the label's own unit. Where it does, or where neither
        label nor day of making is known, the child must have that mass; else the label's own limit is enough.
    Why: a booster works only while the child sits so that the belt lies where it should.
    Limits: under un stature is a rule of its own; where nothing is noted of sitting, it stays open.
    Blocks: a child of 17.0 kg on a booster made in 2025 whose label begins at 13.6 kg; a child who leans out of the
        belt.
    """
    rider = placement.rider
    if rider.sits_upright is False:
        return fails(said("does not sit upright"), _UPRIGHT, upright="no")
    heavy = _heavy_enough(placement, world) if world.profile.base == "us" else None
    if heavy is not None and heavy.outcome != "pass":
        return heavy
    if rider.sits_upright is None:
        return lacks(field("rider.sits_upright", rider=rider.rider), "yes")
    return heavy or passes(said("sits upright"), _UPRIGHT)


def _heavy_enough(placement: Placement, world: RuleContext) -> Result | None:
    """The child against the floor of labels; None where the label's own limit is enough."""
    rider, made = placement.rider, _made(placement)
    new, old = (_booster_floor(placement, world, name) for name in ("booster_min_mass", "booster_min_mass_before"))
    least = new if made is None or made >= NEW_FLOORS_FROM else old
    if least is None:
        return None
    if rider.mass is None:
        return lacks(field("rider.mass", rider=rider.rider), least, "least")
    limits = limit_of(placement, "mass")
    if made is None and limits and limits[0] > 0 and (old or 0) <= rider.mass < least:
        return lacks(field("restraint.made"), said("before 5 December 2024"))
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
    one_way=True,
    when=lambda p, w: p.booster,
    weight="slight",
    why_weight="the limits of the booster hold, and the order of arrangements puts a harness first "
    "anyway; common practice, no source",
    says={
        "caution": "is {measured} old; a harness is better until {limit}",
        "block": "is {measured} old; a harness is asked for until {limit}",
        "pass": "is {measured} old; a harness is better until {limit}",
    },
)
def booster_before_five(placement: Placement, world: RuleContext) -> Result:
    """A child rides on a booster before the fifth birthday.

    Checks: the age on the day of travel.
    Why: a harness holds a restless child better, and each step up loses some protection.
    Limits: good practice; the restraint's own limits are rules of their own.
    Blocks: nothing; a caution for a child of 58 months.
    """
    age, least = world.age_months(placement.rider), world.limit("booster_good_age")
    if age is None:
        return lacks(field("rider.born", rider=placement.rider.rider), least)
    return at_least(age, least, "months")


@rule(
    "adult-belt-does-not-fit",
    title="The seat belt does not fit the child",
    limits=("adult_belt_min_height", "belt_fit_min_age"),
    source="us: AAP 2018, about 4 ft 9 in, unless a belt-fit test was passed; "
    "un: Directive 91/671/EEC Art. 2(1)(a): 150 cm, or from 135 cm on where the law of a state says so",
    depends=("rider", "mode", "position"),
    world=("age", "day"),
    fact=("rider",),
    reads=("rider.height", "rider.belt_fit", "rider.born", "rider.age"),
    remedy="a booster; or sit the child back, look at knees, hips and shoulder, and record the test",
    when=lambda p, w: p.mode is None and not _grown_up(p, w),
    weight="grave",
    why_weight="a lap belt on the belly or a shoulder belt at the neck harms the child it should hold; "
    "AAP 2018, Pediatrics 142(5) e20182460",
    says={
        "block": "the seat belt does not fit by {by}: {measured}, needed: {limit}",
        "caution": "is tall enough for the seat belt, {measured} from {limit} on, and nobody tested it here: sit "
                   "back, knees bent over the edge, lap part low on the hips, shoulder part on the middle of the "
                   "shoulder, for a whole ride; then write `belt_fit`",
        "pass": "the seat belt fits by {by}: {measured}, needed: {limit}",
    },
)
def adult_belt_does_not_fit(placement: Placement, world: RuleContext) -> Result:
    """The seat belt is not known to fit the child.

    Checks: the stature, 1,448 mm (57 in) under us, 1,500 mm under un, and the belt-fit test that was done at this seat.
    Why: a lap belt across the belly and a shoulder belt at the neck do harm in a crash.
    Limits: under us a test that was passed at this seat from the age of 8 on stands in for stature (belts fit
        typically between 8 and 12); under un the law asks for stature, and a local file may have the 1,350 mm or more
        of its state under `law`. A failed test counts at every stature. Tall
        enough and not tested here is a caution. `adult: yes` changes nothing for whoever is known to be under 18, or
        too short and of an age that nobody wrote down.
    Blocks: a child of 1,400 mm without a test.
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
        return lacks(field("rider.height", rider=rider.rider), least, "least")
    if tall and not passed_here and not rider.adult:
        return cautions(rider.height, least, "mm", by="stature")
    return at_least(rider.height, least, "mm", by="stature")


def _lifted(placement: Placement, world: RuleContext) -> Result | None:
    """What a passed test says in place of stature; None where it was passed elsewhere, or too young."""
    rider, here = placement.rider, placement.position.position
    assert rider.belt_fit is not None
    age, least = world.age_months(rider), world.limit("belt_fit_min_age")
    if rider.belt_fit.position not in (None, here) or (age is not None and age < least):
        return None
    if rider.belt_fit.position is None:
        return lacks(field("rider.belt_fit"), here)
    if age is None:
        return lacks(field("rider.born", rider=rider.rider), least)
    return passes("passed", "passed", by=said("belt-fit test"))


def _in_unit_of(printed: Quantity, floor: Any) -> Any:
    """A floor that the rules print in both units, as a label in one of them must print it."""
    return next((reading for reading in getattr(floor, "both", ()) if reading.metric == printed.metric), floor)


def _booster_floor(placement: Placement, world: RuleContext, name: str) -> Any:
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


def _grown_up(placement: Placement, world: RuleContext) -> bool:
    """Written down as an adult, and not known to be under 18; where no age is given, only a driver or whoever is tall
    enough for the belt anyway."""
    rider, age = placement.rider, world.age_months(placement.rider)
    if not rider.adult or age is not None:
        return rider.adult and age is not None and age >= GROWN_UP_FROM_MONTHS
    return rider.drives or (rider.height is not None and rider.height >= world.limit("adult_belt_min_height"))
