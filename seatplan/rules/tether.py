"""The tether strap: is there an anchor, is it hooked, can it carry the child."""

from __future__ import annotations

from fractions import Fraction
from operator import itemgetter
from typing import TYPE_CHECKING, NamedTuple

from seatplan.fields import Missing, field, named
from seatplan.message import Amount, said
from seatplan.units import Quantity

from .finding import Result, at_least, at_most, cautions, fails, lacks, passes
from .rule import rule

if TYPE_CHECKING:
    from .subjects import Placement, RuleContext



def _needs(p: Placement, w: RuleContext) -> bool:
    """The tether must be hooked with this child."""
    return p.installation is not None and p.installation.tether_needed(p.rider.mass) is True


def _may_need(p: Placement) -> bool:
    """In a harness, not hooked, and nobody wrote down whether it may do without."""
    return ((p.harness or p.mode_name in ("harness-vest", "impact-shield"))
            and p.installation is not None and not p.built_in
            and p.installation.needs_tether is None and p.tether is None)


def _from(p: Placement) -> Quantity | None:
    """The mass of the child from which on the instructions ask for the tether; None where it hangs on no mass."""
    needed = p.installation.needs_tether if p.installation else None
    return needed if isinstance(needed, Quantity) else None


def _hangs_on_mass(p: Placement) -> bool:
    """Not hooked, and nobody weighed the child on whom it hangs whether it must be."""
    return _from(p) is not None and p.tether is None and p.rider.mass is None


#: a child so much lighter is below a limit, kg
_BELOW = Fraction(1, 10)


@rule(
    "no-tether-anchor",
    title="There is no tether anchor for a restraint that needs one",
    source="the restraint's instructions; UN R16 (07 series) 2.34; 49 CFR 571.225 S6",
    depends=("rider", "mode", "installation", "position", "tether"),
    fact=("position",),
    reads=("position.tether", "installation.needs_tether", "rider.mass"),
    remedy="a seat with a tether anchor of its own",
    one_way=True,
    when=lambda p, w: _needs(p, w) or _may_need(p) or _hangs_on_mass(p),
    says={
        "block": "{restraint} needs a tether here{needed_from}; anchor at {position}: {measured}",
        "pass": "the tether goes to anchor {measured}",
    },
)
def no_tether_anchor(p: Placement, w: RuleContext) -> Result:
    """The installation needs its tether hooked, and the position has no anchor for it.

    Checks: whether the position names a tether anchor, and whether the strap goes to it. Where the instructions ask for
        the tether from a mass of the child on, the child's mass decides.
    Why: without the tether the top of the restraint swings forward.
    Limits: an anchor of another seat does not count.
    Blocks: a forward-facing harness that needs its tether at a seat with `tether: none`.
    """
    anchor = p.position.tether
    start = _from(p)
    if _may_need(p):
        return lacks(field("installation.needs_tether"))
    if start is not None and _hangs_on_mass(p):
        return lacks(field("rider.mass", rider=p.rider.rider), start - _BELOW, "most")
    if anchor is None:
        return lacks(field("position.tether", position=p.position.position), said("an anchor"))
    if p.tether is not None:
        return passes(p.tether, anchor)
    needed_from = "" if start is None else said(" from {mass} on", mass=Amount(start, "kg", "down"))
    if anchor == "none":
        return fails("none", said("an anchor"), needed_from=needed_from)
    return fails(said("not hooked"), anchor, needed_from=needed_from)


@rule(
    "rear-facing-tether",
    title="The vehicle does not allow a tether on a rear-facing restraint",
    source="the vehicle handbook; common practice, no source: only where both makers ask for it",
    depends=("rider", "mode", "installation", "position", "tether"),
    fact=("position",),
    reads=("installation.needs_tether", "position.manual.allows", "rider.mass"),
    remedy="an installation without tether, or a vehicle whose handbook allows it",
    one_way=True,
    when=lambda p, w: p.rear_facing and (p.tether is not None or _needs(p, w)),
    says={
        "block": "a tether on a rear-facing restraint at {position} is {measured} by the vehicle handbook",
        "pass": "the vehicle handbook allows a tether on a rear-facing restraint at {position}",
    },
)
def rear_facing_tether(p: Placement, w: RuleContext) -> Result:
    """Rear-facing, the restraint asks for its tether, and the vehicle's maker does not allow one there.

    Checks: for rear-facing installations that need their tether, that the handbook allows it at the position.
    Why: rear-facing it pulls the other way, on an anchor that was tested for a restraint that faces forward.
    Limits: only what was copied from the handbook.
    Blocks: a rear-facing shell with `needs_tether: yes` where the handbook does not name it.
    """
    manual = p.position.manual
    if manual is None:
        return lacks(Missing(
            named("position.manual.allows",
                  said("whether the vehicle handbook allows a rear-facing tether at {position}",
                       position=p.position.position)),
            said("look it up and write `manual: {allows: [rear-facing-tether]}`, or [] if it does not")
        ))
    allowed = "rear-facing-tether" in manual.allows
    return passes("allowed", "allowed") if allowed else fails(said("not allowed"), "allowed")


@rule(
    "tether-unused",
    title="A forward-facing harness without its tether hooked",
    strength="good practice",
    source="published ease-of-use criteria, widely repeated guidance: tether always with a forward-facing "
    "harness",
    depends=("rider", "mode", "installation", "position", "tether"),
    fact=("position", "restraint", "mode"),
    reads=("mode.tether_strap", "position.tether", "rider.mass", "row.tethers.mass_limit",
           "installation.tether_mass_limit"),
    remedy="a seat with an anchor that may be used; the strap is stored where there is none",
    one_way=True,
    when=lambda p, w: (
        p.mode_name == "forward-facing-harness"
        and not p.built_in
        and not _needs(p, w)
        and p.mode is not None
        and p.mode.tether_strap is not False
    ),
    weight="grave",
    why_weight="without its tether the child's head swings much further forward; published ease-of-use "
    "criteria, widely repeated guidance",
    says={
        "caution": "the tether stays unused at {position}: {measured}",
        "block": "the tether must be used, and {position}: {measured}",
        "pass": "the tether goes to anchor {measured}",
    },
)
def tether_unused(p: Placement, w: RuleContext) -> Result:
    """The restraint has a tether strap that is not hooked at this position.

    Checks: for a forward-facing harness with a tether strap, that it goes to an anchor. A child who is too heavy for
        the tether, by the instructions or the handbook, rides with the strap stored.
    Why: the tether keeps the head from swinging forward, in every way of installing.
    Limits: installations that cannot do without are blocked by no-tether-anchor.
    Blocks: nothing by itself; a seat with `tether: none` gives a caution.
    """
    anchor = p.position.tether
    if p.mode is None or p.mode.tether_strap is None:
        return lacks(field("mode.tether_strap"), "yes")
    if p.tether is not None:
        return passes(p.tether)
    if anchor is None:
        return lacks(field("position.tether", position=p.position.position), said("an anchor"))
    if anchor == "none":
        return cautions(said("no anchor"))
    limit = _tightest(p, anchor)
    if limit is not None and p.rider.mass is not None and p.rider.mass > limit.most:
        return cautions(said("it may be used up to {limit} only ({by})", limit=Amount(limit.most, "kg", "down"),
                             by=limit.whose))
    return cautions(said("left to the neighbour") if limit is None else said("left off"))


@rule(
    "tether-not-on-restraint",
    title="The installation needs a tether strap that the restraint does not have",
    source="follows from the restraint file",
    depends=("rider", "mode", "installation"),
    fact=("restraint", "mode"),
    reads=("mode.tether_strap", "installation.needs_tether", "rider.mass"),
    remedy="an installation without tether, if the instructions have one",
    one_way=True,
    when=_needs,
    says={
        "block": "this installation needs a tether, and {restraint} has no strap for it",
        "pass": "{restraint} has a tether strap",
    },
)
def tether_not_on_restraint(p: Placement, w: RuleContext) -> Result:
    """The installation asks for a tether and the mode has no strap.

    Checks: that a mode whose installation needs a tether has a tether strap.
    Why: a strap from elsewhere was never tested with it.
    Limits: none.
    Blocks: `needs_tether: yes` with `tether_strap: no`.
    """
    strap = p.mode.tether_strap if p.mode else None
    if strap is None:
        return lacks(field("mode.tether_strap"), "yes")
    return passes("strap", "strap") if strap else fails(said("no strap"), "strap")


class _Limit(NamedTuple):
    """Up to which mass of the child a tether may be hooked, kg, and who says so."""

    most: Quantity
    whose: str


def _tightest(p: Placement, anchor: str) -> _Limit | None:
    """The lower of the limits of instructions and handbook; None where neither names one."""
    own = p.installation.tether_mass_limit if p.installation else None
    handbook = next((t.mass_limit for t in p.row.tethers or () if t.tether == anchor), None)
    named = [(handbook, said("the vehicle handbook")), (own, said("the restraint's instructions"))]
    return min((_Limit(most, whose) for most, whose in named if most is not None), key=itemgetter(0), default=None)


@rule(
    "tether-overloaded",
    title="The child is too heavy for the tether",
    source="the vehicle handbook; the restraint's instructions",
    depends=("rider", "installation", "position", "tether"),
    fact=("rider", "position"),
    reads=("rider.mass", "row.tethers.mass_limit", "installation.tether_mass_limit"),
    remedy="a seat whose tether anchor carries more; the strap stored where the instructions allow that",
    one_way=True,
    when=lambda p, w: p.tether is not None and _tightest(p, p.tether) is not None,
    says={
        "block": "weighs {measured}; the tether at {position} ends at {limit} ({by}){as_written}: {shortfall} over",
        "pass": "weighs {measured}; the tether at {position} ends at {limit} ({by}){as_written}",
    },
)
def tether_overloaded(p: Placement, w: RuleContext) -> Result:
    """The child weighs more than handbook or instructions allow with the tether hooked.

    Checks: the child's mass against the limit of the anchor and that of the instructions, where one is named.
    Why: an anchor that tears out lets the restraint swing forward.
    Limits: no limit in the files means that handbook and instructions name none.
    Blocks: a child of 22.1 kg on an anchor for children up to 22 kg.
    """
    limit = _tightest(p, p.tether or "")
    assert limit is not None
    if p.rider.mass is None:
        return lacks(field("rider.mass", rider=p.rider.rider), limit.most, "most")
    return at_most(p.rider.mass, limit.most, "kg", tether=p.tether, by=limit.whose)


@rule(
    "tether-not-asked-for",
    title="A tether on a rear-facing restraint before the instructions ask for it",
    source="the restraint's instructions; common practice, no source: rear-facing only where both makers ask for it",
    depends=("rider", "mode", "installation", "position", "tether"),
    fact=("rider", "restraint", "mode"),
    reads=("rider.mass", "installation.needs_tether"),
    remedy="the strap stored until the child has that mass",
    one_way=True,
    when=lambda p, w: p.rear_facing and p.tether is not None and _from(p) is not None,
    says={
        "block": "weighs {measured}; rear-facing {restraint} asks for its tether from {limit} on{as_written}",
        "pass": "weighs {measured}; rear-facing {restraint} asks for its tether from {limit} on{as_written}",
    },
)
def tether_not_asked_for(p: Placement, w: RuleContext) -> Result:
    """Rear-facing, the tether would be hooked with a child who is lighter than the instructions ask it for.

    Checks: the child's mass against that from which on the instructions ask for the tether.
    Why: rear-facing a tether pulls the other way; it is hooked where it was tested, and nowhere else.
    Limits: facing forward a tether may be hooked earlier.
    Blocks: a child of 9.9 kg, where the tether is asked for from 10 kg on.
    """
    start = _from(p)
    assert start is not None
    if p.rider.mass is None:
        return lacks(field("rider.mass", rider=p.rider.rider), start, "least")
    return at_least(p.rider.mass, start, "kg")


@rule(
    "tether-anchor-not-marked",
    title="Nothing says that it is a tether anchor",
    strength="good practice",
    source="published ease-of-use criteria: no other hardware within 76 mm (3 in) that could be taken for it, unless a "
    "label tells them apart; that a ring for luggage is none is common practice, no source",
    depends=("mode", "position", "tether"),
    fact=("position",),
    reads=("row.tethers.marked",),
    remedy="a seat whose tether anchor has its symbol, or is named in the vehicle handbook",
    when=lambda p, w: p.tether is not None,
    weight="grave",
    why_weight="a ring for luggage tears out in a crash; common practice, no source",
    says={
        "caution": "neither a symbol nor the vehicle handbook says that {measured} at {position} is a tether anchor: a "
                   "ring for luggage is none",
        "block": "{measured} at {position} is not known to be a tether anchor",
        "pass": "{measured} at {position} is a tether anchor, by its symbol or the vehicle handbook",
    },
)
def tether_anchor_not_marked(p: Placement, w: RuleContext) -> Result | None:
    """The tether would be hooked to something that nothing calls a tether anchor.

    Checks: whether a symbol or the handbook says that the anchor is one, where somebody looked.
    Why: rings for luggage look alike and were made for less.
    Limits: where nobody looked, the sheet has a step for it.
    Blocks: nothing; a grave caution for an anchor with `marked: no`.
    """
    marked = next((one.marked for one in p.row.tethers or () if one.tether == p.tether), None)
    if marked is None:
        return None
    return passes(p.tether) if marked else cautions(p.tether)
