"""The UN route: fixtures and categories of the handbook against those of the restraint, and UN limits."""

from __future__ import annotations

from typing import TYPE_CHECKING

from seatplan.fields import Missing, field, named
from seatplan.message import at_position, said
from seatplan.units import Number

from .both_places import at_both
from .finding import Result, at_least, at_most, cautions, fails, lacks, passes
from .rule import rule

if TYPE_CHECKING:
    from .subjects import Placement, RuleContext

#: UN R16 Annex 17 App. 3 Table 1 (up to the 09 series; since then UN R173): within one line a place
#: that takes a fixture takes those before it
FIXTURE_LINES = (("R1", "R2X", "R2", "R3"), ("F2X", "F2", "F3"), ("B2", "B3"))
#: UN R16 (07 series) 8.3.6 and Annex 17 (since the 10 series UN R173): what every i-Size position accepts
I_SIZE_FIXTURES = ("R2", "F2X", "B2")
#: UN R44 2.1.1, kg; group 0 below 10, 0+ below 13
R44_GROUPS = {"0": (0.0, 10.0), "0+": (0.0, 13.0), "I": (9.0, 18.0), "II": (15.0, 25.0), "III": (22.0, 36.0)}
_BELOW = ("0", "0+")
#: categories held by the vehicle belt, and those that hold only for the cars in the maker's list:
#: UN R129 (03 series) 2.7, UN R44 2.1.2
BELTED = ("universal-belted", "universal", "booster-cushion")
LISTED_ONLY = (
    "specific-vehicle",
    "specific-vehicle-booster",
    "semi-universal",
    "restricted",
    "isofix-semi-universal",
)
_OTHER_CATEGORY = said("read on the restraint's label whether it has a second approval, and enter it as its own")


def accepted_fixtures(declared: list[str], i_size: bool) -> frozenset[str]:
    """Every fixture that a place takes, from those that its handbook names: smaller ones too."""
    named = {*declared, *(I_SIZE_FIXTURES if i_size else ())}
    taken = set(named)
    for line in FIXTURE_LINES:
        largest = max((i for i, fixture in enumerate(line) if fixture in named), default=-1)
        taken.update(line[: largest + 1])
    return frozenset(taken)


def groups_of(mass_kg: Number) -> tuple[str, ...]:
    """The UN R44 groups that a mass belongs to."""
    return tuple(
        name
        for name, (low, high) in R44_GROUPS.items()
        if low <= mass_kg and (mass_kg < high if name in _BELOW else mass_kg <= high)
    )


def _standard(placement: Placement) -> str:
    approval = placement.restraint.approval if placement.restraint else None
    return approval.standard if approval else ""


def _listed(placement: Placement, world: RuleContext) -> bool:
    """Whether the maker's own car list names this car, or this place of it."""
    approval = placement.restraint.approval if placement.restraint else None
    name = world.vehicle.vehicle
    return approval is not None and (
        name in approval.listed or f"{name}/{placement.position.position}" in approval.listed
    )


def _own_fixtures(placement: Placement) -> list[str]:
    """The fixtures that the restraint fills in this mode, smallest first as its maker names them."""
    approval = placement.restraint.approval if placement.restraint else None
    line = "B" if placement.booster else "R" if placement.rear_facing else "L" if _lying(placement) else "F"
    return [fixture for fixture in (approval.fixtures if approval else ()) if fixture.startswith(line)]


def _needs_fixture(placement: Placement, world: RuleContext) -> bool:
    """Restraints on lower anchors, and boosters that name a fixture. An i-Size one has its envelope by its
    category, UN R129 6.3.2.2.1."""
    approval = placement.restraint.approval if placement.restraint else None
    if approval is None or not approval.standard.startswith("UN") or _listed(placement, world):
        return False
    if placement.booster or approval.category == "i-size":
        return (placement.booster or placement.on_lower_anchors) and bool(_own_fixtures(placement))
    return placement.on_lower_anchors


@rule(
    "fixture-not-listed",
    title="The seat does not take a restraint of this size",
    profiles=("un",),
    source="UN R16 Annex 17 App. 2, App. 3 Table 1, App. 5 (up to the 09 series; since June 2025 in UN R173)",
    depends=("restraint", "mode", "installation", "position"),
    world=("car_name",),
    reads=("restraint.approval.fixtures", "position.fixtures", "position.i_size"),
    remedy="a position whose handbook line names the fixture, or a smaller restraint",
    when=_needs_fixture,
    says={
        "block": "{restraint} is of size {measured}; {position} takes {limit}",
        "pass": "{restraint} is of size {measured}, and {position} takes it",
    },
)
def fixture_not_listed(placement: Placement, world: RuleContext) -> Result:
    """The vehicle handbook does not name the fixture that the restraint fills.

    Checks: the restraint's fixtures for this way of facing against those of the position; a place that
        takes a fixture takes the smaller ones of its line, and an i-Size place takes R2, F2X and B2.
    Why: the fixture stands for the outer shape, so a larger one may touch the seat ahead, roof or door.
    Limits: a car that the maker's own list names needs no fixture; carry-cot fixtures L1 and L2 stand for
        themselves.
    Blocks: a restraint of size R3 on a place declared R2.
    """
    position, own = placement.position, _own_fixtures(placement)
    if not own:
        return lacks(field("restraint.approval.fixtures"))
    taken = accepted_fixtures([str(f) for f in position.fixtures or []], bool(position.i_size))
    told = ", ".join(fixture for line in FIXTURE_LINES for fixture in line if fixture in taken)
    told = ", ".join(filter(None, (told, *sorted(taken & {"L1", "L2"}))))
    if any(fixture in taken for fixture in own):
        return passes(", ".join(own), told)
    if position.fixtures is None:
        return lacks(field("position.fixtures", position=at_position(position.position)), own[0])
    return fails(", ".join(own), told or "none")


@rule(
    "category-not-allowed",
    title="The seat is not declared for this kind of restraint",
    profiles=("un",),
    source="UN R129 (02 series) 6.1.1; UN R44 6.1.3; UN R16 Annex 17 App. 3 (up to the 09 series; since June "
    "2025 in UN R173)",
    depends=("restraint", "mode", "installation", "position", "bars", "tether"),
    world=("car_name",),
    reads=(
        "restraint.approval.category",
        "restraint.approval.listed",
        "position.i_size",
        "position.universal_belted",
        "position.universal_isofix",
        "position.fixtures",
        "position.tether",
    ),
    remedy="a place that the handbook declares for it, or a restraint whose list names the car",
    when=lambda p, w: p.restraint is not None and not p.built_in,
    says={
        "block": "{restraint} is {measured}; {position} is declared: {limit}",
        "pass": "{restraint} is {measured}, and {position} is declared for it",
    },
)
@at_both
def category_not_allowed(placement: Placement, world: RuleContext) -> Result:
    """The handbook does not declare the seat for the restraint's category.

    Checks: the restraint's category against what the handbook says of the position, or the maker's own car
        list.
    Why: the category says which seats it was approved for; on others nobody tested it.
    Limits: national lists and adverts do not count, only handbook and maker's list. A restraint without UN
        approval is turned down. One that is built in is approved with its vehicle (code B of older handbooks).
    Blocks: a universal belted rear-facing restraint on a place for forward-facing ones only.
    """
    approval = placement.restraint.approval if placement.restraint else None
    if approval is not None and not approval.standard.startswith("UN"):
        return fails(said("approved to {standard}", standard=approval.standard), "UN R44 or UN R129")
    category = approval.category if approval else None
    if category is None:
        return lacks(field("restraint.approval.category"))
    if _listed(placement, world):
        return passes(category, said("on the maker's car list"))
    if category == "specific-vehicle-booster" and _own_fixtures(placement):
        # one that fills B2 or B3 may ride where the handbook names that fixture: fixture-not-listed
        return passes(category, said("place of its fixture"))
    if category in LISTED_ONLY:
        return fails(category, said("on the maker's car list"))
    return _by_category(placement, category)


def _by_category(placement: Placement, category: str) -> Result:
    """On a seat of any car, as the handbook declares it for a category."""
    if placement.on_lower_anchors and not placement.booster and category in BELTED:
        return lacks(Missing(named("restraint.approval.category", said("category of the approval for lower anchors")),
                             _OTHER_CATEGORY))
    if placement.held_by_belt and category not in BELTED:
        return lacks(Missing(
            named("restraint.approval.category", said("category of the approval for the vehicle belt")),
            _OTHER_CATEGORY))
    if category in BELTED:
        return _belted(placement, category)
    if category == "isofix-universal":
        return _isofix_universal(placement, category)
    return _i_size(placement, category)


def _belted(placement: Placement, category: str) -> Result:
    """Universal belted: U takes both ways of facing, UF only forward."""
    declared = placement.position.universal_belted
    backward = placement.rear_facing or _lying(placement)
    if declared is None:
        settles = "both" if backward else said("both or forward-only")
        return lacks(field("position.universal_belted", position=placement.position.position), settles)
    good = declared == "both" or (declared == "forward-only" and not backward)
    return passes(category, declared) if good else fails(category, declared)


def _isofix_universal(placement: Placement, category: str) -> Result:
    """UN R44 6.1.3: group I, forward-facing with top tether. An older handbook says IUF; where it has no letter codes,
    UN R16 Annex 17 App. 3 (07 series and later), the place takes what its forward fixture and its tether anchor say."""
    if placement.mode_name != "forward-facing-harness":
        return fails(category, said("on the maker's car list"))
    position = placement.position
    if position.universal_isofix is not None:
        good = position.universal_isofix == "forward-only"
        return (passes if good else fails)(category, position.universal_isofix)
    fixtures = accepted_fixtures([str(f) for f in position.fixtures or []], bool(position.i_size))
    if any(fixture.startswith("F") for fixture in fixtures) and not placement.borrowed:
        if position.tether is None:
            return lacks(field("position.tether", position=position.position), said("an anchor"))
        if position.tether == "none":
            return fails(category, said("ISOFIX without tether anchor"))
        if placement.bars and placement.tether:
            return passes(category, said("ISOFIX with tether anchor"))
    return lacks(field("position.universal_isofix", position=position.position), "forward-only")


def _i_size(placement: Placement, category: str) -> Result:
    """UN R129 6.1.1: on i-Size places; boosters where B2 is declared; with tether and facing forward
    on any ISOFIX place with an anchor."""
    position = placement.position
    if position.i_size:
        return passes(category, "i-Size")
    if placement.booster:
        if position.fixtures is None:
            return lacks(field("position.fixtures", position=at_position(position.position)), "B2")
        good = "B2" in accepted_fixtures([str(f) for f in position.fixtures], False)
        return passes(category, "B2") if good else fails(category, said("i-Size or B2"))
    forward = placement.mode_name == "forward-facing-harness"
    if forward and placement.bars and not placement.borrowed and placement.tether:
        return passes(category, said("ISOFIX with tether anchor"))
    if position.i_size is None:
        return lacks(field("position.i_size", position=position.position), "yes")
    if forward and position.tether is None and not placement.borrowed:
        return lacks(field("position.tether", position=position.position), said("an anchor"))
    return fails(category, said("i-Size, or on the maker's car list"))


def _lying(placement: Placement) -> bool:
    return placement.mode_name == "lying-flat-bed"


def _faces_forward(placement: Placement) -> bool:
    """In a harness or behind a shield; boosters have floors of their own."""
    return placement.mode_name in ("forward-facing-harness", "harness-vest", "impact-shield")


@rule(
    "group-mass-mismatch",
    title="The child is outside the restraint's mass groups",
    profiles=("un",),
    source="UN R44 (04 series) 2.1.1, 6.1.10 to 6.1.12",
    depends=("rider", "restraint", "mode"),
    reads=("rider.mass", "restraint.approval.groups", "mode"),
    remedy="a restraint of the child's group",
    when=lambda p, w: _standard(p) == "UN R44",
    says={
        "block": "weighs {measured}, which is group {groups}; {restraint} is for {limit}",
        "pass": "weighs {measured}, which is group {groups}; {restraint} is for {limit}",
    },
)
def group_mass_mismatch(placement: Placement, world: RuleContext) -> Result:
    """The child's mass belongs to none of the groups that the restraint was approved for.

    Checks: the mass against 0 below 10 kg, 0+ below 13, I 9 to 18, II 15 to 25, III 22 to 36. Facing
        forward, groups 0 and 0+ of a restraint of several groups do not count, and on a booster group I neither: there
        a harness or an impact shield holds the child.
    Why: groups say for which masses it was tested.
    Limits: only for restraints approved to UN R44.
    Blocks: a child of 16 kg in a restraint of group 0+.
    """
    approval = placement.restraint.approval if placement.restraint else None
    allowed = list(approval.groups) if approval else []
    if not allowed:
        return lacks(field("restraint.approval.groups"))
    if placement.booster or _faces_forward(placement):
        allowed = [group for group in allowed if group not in (*_BELOW, *(("I",) if placement.booster else ()))]
    told, mass = ", ".join(allowed) or "none", placement.rider.mass
    if mass is None:
        return lacks(field("rider.mass", rider=placement.rider.rider), said("of group {told}", told=told))
    own = groups_of(mass)
    groups = ", ".join(own) or "none"
    if set(own) & set(allowed):
        return passes(mass, told, "kg", groups=groups)
    return fails(mass, told, "kg", groups=groups)


@rule(
    "group-0-forward-facing",
    title="A baby group faces forward",
    profiles=("un",),
    source="UN R44 6.1.10",
    depends=("restraint", "mode"),
    reads=("restraint.approval.groups",),
    remedy="rear-facing",
    when=lambda p, w: _standard(p) == "UN R44" and _faces_forward(p),
    says={
        "block": "{restraint} is for groups {measured}, which never face forward",
        "pass": "{restraint} may face forward in groups {measured}",
    },
)
def group_0_forward_facing(placement: Placement, world: RuleContext) -> Result:
    """A restraint approved only for groups 0 and 0+ is used facing forward.

    Checks: the groups of the approval in a forward-facing mode.
    Why: groups 0 and 0+ shall not face forward.
    Limits: a restraint of several groups may face forward in group I.
    Blocks: a group 0+ shell turned forward.
    """
    approval = placement.restraint.approval if placement.restraint else None
    groups = approval.groups if approval else []
    if not groups:
        return lacks(field("restraint.approval.groups"), "I")
    told = ", ".join(groups)
    return fails(told, said("I, II or III")) if all(g in _BELOW for g in groups) else passes(told, said("I, II or III"))


@rule(
    "forward-facing-under-15-months",
    title="Facing forward under 15 months",
    profiles=("un",),
    limits=("un_forward_min_age",),
    source="UN R129 (02 series) 6.1.2.3, 14.3.3",
    depends=("rider", "mode"),
    world=("age",),
    fact=("rider",),
    reads=("rider.born", "rider.age"),
    remedy="rear-facing",
    one_way=True,
    when=lambda p, w: _faces_forward(p),
    says={
        "block": "is {measured} old; facing forward begins at {limit}",
        "pass": "is {measured} old; facing forward begins at {limit}",
    },
)
def forward_facing_under_15_months(placement: Placement, world: RuleContext) -> Result:
    """A child under 15 months faces forward.

    Checks: the age in whole months on the day of travel.
    Why: the neck does not yet hold the head in a frontal crash.
    Limits: written for UN R129; held to R44 restraints too, which would allow it from 9 kg.
    Blocks: a child of 14 months, however tall.
    """
    age, least = world.age_months(placement.rider), world.limit("un_forward_min_age")
    if age is None:
        return lacks(field("rider.born", rider=placement.rider.rider), least)
    return at_least(age, least, "months")


@rule(
    "forward-facing-under-76-cm",
    title="Facing forward under 76 cm",
    profiles=("un",),
    limits=("un_forward_min_height",),
    source="UN R129 (02 series) 6.1.2.3(b)",
    depends=("rider", "mode"),
    fact=("rider",),
    reads=("rider.height",),
    remedy="rear-facing",
    one_way=True,
    when=lambda p, w: _faces_forward(p),
    says={
        "block": "is {measured} tall; facing forward begins at {limit}: {shortfall} under",
        "pass": "is {measured} tall; facing forward begins at {limit}",
    },
)
def forward_facing_under_76_cm(placement: Placement, world: RuleContext) -> Result:
    """A child under 76 cm faces forward.

    Checks: the stature; age and stature must both be satisfied.
    Why: no restraint may be designed to face forward below it.
    Limits: written for UN R129; held to R44 restraints too.
    Blocks: a child of 75 cm, whatever its age.
    """
    least = world.limit("un_forward_min_height")
    if placement.rider.height is None:
        return lacks(field("rider.height", rider=placement.rider.rider), least)
    return at_least(placement.rider.height, least, "mm")


@rule(
    "shield-over-125-cm",
    title="Behind an impact shield over 125 cm",
    profiles=("un",),
    limits=("un_shield_max_height",),
    source="UN R129 (02 series) Annex 18, notes to the table: no sizes for impact shields below 76 or above 125 cm",
    depends=("rider", "mode"),
    fact=("rider",),
    reads=("rider.height",),
    remedy="a booster with a back",
    one_way=True,
    when=lambda p, w: p.mode_name == "impact-shield",
    says={
        "block": "is {measured} tall; an impact shield ends at {limit}: {shortfall} over",
        "pass": "is {measured} tall; an impact shield ends at {limit}",
    },
)
def shield_over_125_cm(placement: Placement, world: RuleContext) -> Result:
    """A child over 125 cm rides behind an impact shield.

    Checks: the stature.
    Why: above it the standard has no sizes of belly and thighs that a shield would have to leave room for.
    Limits: written for UN R129; held to R44 shields too. Under 76 cm nobody faces forward.
    Blocks: a child of 126 cm behind a shield.
    """
    most = world.limit("un_shield_max_height")
    if placement.rider.height is None:
        return lacks(field("rider.height", rider=placement.rider.rider), most, "most")
    return at_most(placement.rider.height, most, "mm")


@rule(
    "booster-under-100-cm",
    title="On a booster under 100 cm",
    profiles=("un",),
    limits=("un_booster_min_height", "un_cushion_min_height"),
    source="UN R129 (02 series) 6.1.3.3; booster cushions 125 cm, 03 series, from memory",
    depends=("rider", "restraint", "mode"),
    fact=("rider",),
    reads=("rider.height", "restraint.approval.category"),
    remedy="a harness",
    one_way=True,
    when=lambda p, w: p.booster,
    weight="slight",
    why_weight="its own label and its mass groups hold, UN R44 (04 series) 2.1.1; that the newer standard begins later "
    "is from memory for cushions",
    says={
        "block": "is {measured} tall; this kind of booster begins at {limit}: {shortfall} under",
        "caution": "is {measured} tall; {restraint} is approved to UN R44, which names masses only; newer boosters of "
                   "this kind begin at {limit}",
        "pass": "is {measured} tall; this kind of booster begins at {limit}",
    },
)
def booster_under_100_cm(placement: Placement, world: RuleContext) -> Result:
    """A child under 100 cm rides on a booster, or under 125 cm on one without a back.

    Checks: the stature, against what UN R129 has. Whoever is shorter is turned down on a booster of that standard, and
        asked for the standard where nobody wrote it down.
    Why: the belt does not yet lie on hip and shoulder.
    Limits: an UN R44 booster is no R129 one: its mass groups and its own label are held, and its label says so where
        it was approved from 125 cm on. Under these statures it is a caution.
    Blocks: a child of 99 cm on a booster approved to UN R129.
    """
    back = placement.mode_name == "high-back-booster"
    least, height = world.limit("un_booster_min_height" if back else "un_cushion_min_height"), placement.rider.height
    if height is None:
        return lacks(field("rider.height", rider=placement.rider.rider), least)
    found = at_least(height, least, "mm")
    if found.outcome == "pass":
        return found
    standard = _standard(placement)
    if not standard:
        return lacks(field("restraint.approval.category"))
    return cautions(height, least, "mm", found.shortfall) if standard == "UN R44" else found
