"""The child against the limits that the instructions give the mode: mass, stature, age."""

from __future__ import annotations

from typing import TYPE_CHECKING

from seatplan.fields import field
from seatplan.message import joined, said

from .finding import Result, at_least, at_most, lacks
from .limits import Range, limit_of
from .rule import rule

if TYPE_CHECKING:
    from collections.abc import Callable

    from .subjects import Placement, RuleContext


_IN_MODE = ("rider", "mode", "installation")


def _has(name: str, upper: bool) -> Callable[[Placement, RuleContext], bool]:
    def when(placement: Placement, world: RuleContext) -> bool:
        limits = limit_of(placement, name)
        return limits is not None and (upper or limits[0] > 0)

    return when


def _limits(placement: Placement, name: str) -> Range:
    """The limits that `_has` found."""
    limits = limit_of(placement, name)
    assert limits is not None
    return limits


@rule(
    "child-too-heavy",
    title="The child is heavier than the mode allows",
    source="the restraint's instructions",
    depends=_IN_MODE,
    reads=("rider.mass", "limits.mass"),
    remedy="the next mode, or a restraint with a higher limit",
    one_way=True,
    when=_has("mass", upper=True),
    says={
        "block": "weighs {measured}; this mode takes up to {limit}{as_written}: {shortfall} over",
        "pass": "weighs {measured}; this mode takes up to {limit}{as_written}",
    },
)
def child_too_heavy(placement: Placement, world: RuleContext) -> Result:
    """The child is heavier than the restraint's instructions allow in this mode.

    Checks: the rider's mass against the upper mass limit of the mode, and of the installation where it
        differs.
    Why: harness and shell were tested up to that mass.
    Limits: the mass is that of the day it was taken; weigh again before a long trip.
    Blocks: a child of 16.0 kg in a mode that ends at 15.9 kg.
    """
    _, high = _limits(placement, "mass")
    if placement.rider.mass is None:
        return lacks(field("rider.mass", rider=placement.rider.rider), high, "most")
    return at_most(placement.rider.mass, high, "kg")


@rule(
    "child-too-light",
    title="The child is lighter than the mode allows",
    source="the restraint's instructions",
    depends=_IN_MODE,
    reads=("rider.mass", "limits.mass"),
    remedy="stay in the mode before",
    one_way=True,
    when=_has("mass", upper=False),
    says={
        "block": "weighs {measured}; this mode takes {limit} and up{as_written}: {shortfall} under",
        "pass": "weighs {measured}; this mode takes {limit} and up{as_written}",
    },
)
def child_too_light(placement: Placement, world: RuleContext) -> Result:
    """The child is lighter than the restraint's instructions allow in this mode.

    Checks: the rider's mass against the lower mass limit of the mode, and of the installation where it
        differs.
    Why: a small child is held and padded differently; facing forward too early strains the neck.
    Limits: the mass is that of the day it was taken.
    Blocks: a child of 9.0 kg in a forward-facing mode that begins at 10.0 kg.
    """
    low, _ = _limits(placement, "mass")
    if placement.rider.mass is None:
        return lacks(field("rider.mass", rider=placement.rider.rider), low, "least")
    return at_least(placement.rider.mass, low, "kg")


@rule(
    "child-too-tall",
    title="The child is taller than the mode allows",
    source="the restraint's instructions",
    depends=_IN_MODE,
    reads=("rider.height", "limits.height"),
    remedy="the next mode, or a taller restraint",
    one_way=True,
    when=_has("height", upper=True),
    says={
        "block": "is {measured} tall; this mode takes up to {limit}: {shortfall} over",
        "pass": "is {measured} tall; this mode takes up to {limit}",
    },
)
def child_too_tall(placement: Placement, world: RuleContext) -> Result:
    """The child is taller than the restraint's instructions allow in this mode.

    Checks: the rider's stature against the upper limit of the mode, and of the installation where it differs.
    Why: above it, head or shoulders stand beyond the shell or the straps.
    Limits: stature alone; straps and head have rules of their own.
    Blocks: a child of 820 mm in a mode that ends at 813 mm.
    """
    _, high = _limits(placement, "height")
    if placement.rider.height is None:
        return lacks(field("rider.height", rider=placement.rider.rider), high, "most")
    return at_most(placement.rider.height, high, "mm")


@rule(
    "child-too-short",
    title="The child is shorter than the mode allows",
    source="the restraint's instructions",
    depends=_IN_MODE,
    reads=("rider.height", "limits.height"),
    remedy="stay in the mode before",
    one_way=True,
    when=_has("height", upper=False),
    says={
        "block": "is {measured} tall; this mode takes {limit} and up: {shortfall} under",
        "pass": "is {measured} tall; this mode takes {limit} and up",
    },
)
def child_too_short(placement: Placement, world: RuleContext) -> Result:
    """The child is shorter than the restraint's instructions allow in this mode.

    Checks: the rider's stature against the lower limit of the mode, and of the installation where it differs.
    Why: straps, belt path and head support are placed for taller children.
    Limits: stature alone.
    Blocks: a child of 990 mm in a booster that begins at 1,000 mm.
    """
    low, _ = _limits(placement, "height")
    if placement.rider.height is None:
        return lacks(field("rider.height", rider=placement.rider.rider), low, "least")
    return at_least(placement.rider.height, low, "mm")


@rule(
    "child-too-young",
    title="The child is younger than the mode allows",
    source="the restraint's instructions",
    depends=_IN_MODE,
    world=("age",),
    reads=("rider.born", "rider.age", "limits.age"),
    remedy="stay in the mode before",
    one_way=True,
    when=_has("age", upper=False),
    says={
        "block": "is {measured} old; this mode takes {limit} and up",
        "pass": "is {measured} old; this mode takes {limit} and up",
    },
)
def child_too_young(placement: Placement, world: RuleContext) -> Result:
    """The child is younger than the restraint's instructions allow in this mode.

    Checks: the rider's age in whole months on the day of travel against the lower age limit.
    Why: bones and neck grow with age, not only with size.
    Limits: only where the instructions name an age.
    Blocks: a child of 23 months in a mode that begins at 24 months.
    """
    low, _ = _limits(placement, "age")
    age = world.age_months(placement.rider)
    if age is None:
        return lacks(field("rider.born", rider=placement.rider.rider), low)
    return at_least(age, low, "months")


@rule(
    "child-too-old",
    title="The child is older than the mode allows",
    source="the restraint's instructions",
    depends=_IN_MODE,
    world=("age",),
    reads=("rider.born", "rider.age", "limits.age"),
    remedy="the next mode",
    one_way=True,
    when=_has("age", upper=True),
    says={
        "block": "is {measured} old; this mode takes up to {limit}",
        "pass": "is {measured} old; this mode takes up to {limit}",
    },
)
def child_too_old(placement: Placement, world: RuleContext) -> Result:
    """The child is older than the restraint's instructions allow in this mode.

    Checks: the rider's age in whole months on the day of travel against the upper age limit.
    Why: the mode is made for children who cannot yet sit, or not yet walk.
    Limits: only where the instructions name an age.
    Blocks: a child of 7 months in a bed that ends at 6 months.
    """
    _, high = _limits(placement, "age")
    age = world.age_months(placement.rider)
    if age is None:
        return lacks(field("rider.born", rider=placement.rider.rider), high)
    return at_most(age, high, "months")


@rule(
    "child-limits-unknown",
    title="Nobody wrote down whom the mode is for",
    source="the restraint's instructions; UN R129 (02 series) 2.46, 6.1.3.3; UN R44 (04 series) 2.1.1",
    depends=("restraint", "mode", "installation"),
    reads=("limits", "restraint.approval.standard"),
    remedy="read the label and write the limits down",
    when=lambda p, w: p.mode is not None and bool(_limits_missing(p, w)),
    says={
    },
)
def child_limits_unknown(placement: Placement, world: RuleContext) -> Result:
    """The file leaves out a limit that the restraint's label has.

    Checks: under us that the mode or the installation has a mass and a height limit, as labels give both; under un
        what its standard goes by: UN R44 mass, UN R129 stature, and mass too where a harness holds the child. Where
        the standard is not known, both are asked for.
    Why: without it nothing tells whether the child belongs in it.
    Limits: a label that names none can be written down as a range from 0 to its largest child.
    Blocks: nothing by itself: the arrangement stays unmeasured until the label is read.
    """
    return lacks(field("limits", which=joined(said(" and "), _limits_missing(placement, world))))


def _limits_missing(placement: Placement, world: RuleContext) -> list[str]:
    missing = [name for name in ("mass", "height") if limit_of(placement, name) is None]
    approval = placement.restraint.approval if placement.restraint else None
    if world.profile.base == "us" or approval is None:
        return missing
    if approval.standard == "UN R44":
        return [name for name in missing if name == "mass"]
    if approval.standard == "UN R129" and placement.booster:
        return [name for name in missing if name == "height"]
    return missing
