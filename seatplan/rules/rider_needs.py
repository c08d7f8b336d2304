"""What is known of a rider beside age and size: born early, pregnant, opens the buckle."""

from __future__ import annotations

from typing import TYPE_CHECKING

from seatplan.message import in_mm, said

from .finding import Result, cautions, fails, passes
from .rule import rule

if TYPE_CHECKING:
    from .subjects import Placement, RuleContext


def _sits_early(p: Placement, w: RuleContext) -> bool:
    """A baby who was born early, or who failed the screening whenever it was born, sits in a restraint."""
    age = w.age_months(p.rider)
    watched = p.rider.preterm is True or p.rider.seat_screening == "failed"
    return (watched and p.mode is not None and p.mode_name != "lying-flat-bed"
            and (age is None or age < w.limit("preterm_watch_age")))


@rule(
    "born-early-not-screened",
    title="A baby born early whose breathing nobody watched in a restraint",
    strength="good practice",
    limits=("preterm_watch_age",),
    source="AAP on safe transport of preterm infants: a car seat tolerance screening before going home; from memory",
    depends=("rider", "mode"),
    world=("age",),
    fact=("rider",),
    reads=("rider.preterm", "rider.seat_screening", "rider.born", "rider.age"),
    remedy="ask whoever looked after the birth for the screening, in this restraint; until then short rides, somebody "
    "beside the child, and a lying-flat bed where a doctor says so",
    one_way=True,
    when=_sits_early,
    weight="grave",
    why_weight="a baby who does not breathe well semi-reclined is in danger on every ride, crash or not; AAP on "
    "preterm infants, from memory",
    says={
        "caution": "{born}the car seat tolerance screening of its breathing {measured}: {ask} before you drive, and "
                   "lie the child flat if you are told to",
        "block": "{born}the car seat tolerance screening of its breathing {measured}",
        "pass": "{born}the car seat tolerance screening of its breathing {measured}",
    },
)
def born_early_not_screened(p: Placement, w: RuleContext) -> Result:
    """A baby who was born before 37 weeks sits semi-reclined, and nobody watched its breathing so.

    Checks: for a rider with `preterm: yes` under 6 months, or of unknown age, what `seat_screening` says; one that
        was failed counts for every baby.
    Why: sitting semi-reclined, some babies who were born early stop breathing for a while.
    Limits: only where the trip says so; up to which age it counts is common practice, no source.
    Blocks: nothing; a caution for such a baby in a rear-facing harness.
    """
    told = p.rider.seat_screening
    born = said("was born early, and ") if p.rider.preterm else ""
    if told == "passed":
        return passes(said("was passed"), "passed", born=born)
    if told == "failed":
        return fails(said("was not passed"), "passed", born=born, ask=said("ask a doctor"))
    return fails(said("is not known to have been done"), "passed", born=born, ask=said("ask for it"))


@rule(
    "belt-on-pregnant-belly",
    title="Pregnant on the seat belt",
    strength="good practice",
    limits=("pregnant_wheel",),
    source="common guidance on belts in pregnancy: lap part under the belly, 10 inches from the wheel; from memory",
    depends=("rider", "mode"),
    fact=("rider",),
    reads=("rider.pregnant", "rider.drives"),
    remedy="the belt worn like that on every ride; somebody else drives where the wheel stays near",
    one_way=True,
    when=lambda p, w: p.rider.pregnant is True,
    weight="slight",
    why_weight="worn low the belt holds both, and how it is worn is in the rider's own hands; common practice, "
    "no source",
    says={
        "caution": "is pregnant: the lap part lies low under the belly, the shoulder part between the breasts "
                   "and beside the belly{wheel}",
        "block": "is pregnant: the lap part must lie low under the belly",
        "pass": "wears the belt low under the belly",
    },
)
def belt_on_pregnant_belly(p: Placement, w: RuleContext) -> Result:
    """A pregnant rider has to wear the belt under the belly and, driving, to keep away from the wheel.

    Checks: `pregnant: yes`, and whether that rider drives.
    Why: a lap part on the belly, or the wheel near it, harms the child in a crash; without the belt both are worse off.
    Limits: how the belt is worn and how far the wheel is away are not known.
    Blocks: nothing; a caution for whoever is pregnant.
    """
    wheel = said("; sit with {distance} or more between breastbone and wheel",
                 distance=in_mm(w.limit("pregnant_wheel"), "up")) if p.rider.drives else ""
    return cautions("pregnant", wheel=wheel)


@rule(
    "child-opens-buckle",
    title="The child opens the buckle",
    strength="good practice",
    source="common practice, no source",
    depends=("rider", "mode", "installation"),
    fact=("rider",),
    reads=("rider.opens_buckle",),
    remedy="stop until it is closed, every time; somebody beside the child; a harness, where the belt is what is "
    "opened; a cover only from the maker of the restraint",
    one_way=True,
    when=lambda p, w: p.rider.opens_buckle is True and not p.rider.adult,
    weight="grave",
    why_weight="whoever has opened the buckle is held by nothing; common practice, no source",
    says={
        "caution": "opens buckles, and {measured} is within reach: stop until it is closed, every time, and buy "
                   "no cover that the maker of the restraint does not sell",
        "block": "opens buckles, and {measured} is within reach",
        "pass": "no buckle is within reach",
    },
)
def child_opens_buckle(p: Placement, w: RuleContext) -> Result:
    """A child who opens buckles while the car drives has one within reach.

    Checks: for a rider with `opens_buckle: yes`, which buckle is at its own seat.
    Why: a child that is not buckled in is thrown about even by hard braking.
    Limits: buckles of neighbours are within reach of many, too; the sheet says nothing of those.
    Blocks: nothing; a caution wherever such a child sits.
    """
    if p.mode is None or p.mode.fastens_rider(p.installation):
        return fails(said("that of the seat belt"))
    return fails(said("that of its harness"))
