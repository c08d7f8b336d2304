"""The tether strap: is there an anchor, is it hooked, can it carry the child."""

from __future__ import annotations

from typing import TYPE_CHECKING

from seatplan.fields import Missing, field, named
from seatplan.message import said
from seatplan.units import Quantity

from .finding import Result, at_most, cautions, fails, lacks, passes
from .rule import rule

if TYPE_CHECKING:
    from .subjects import Placement, RuleContext



def _needs(p: Placement, w: RuleContext) -> bool:
    return p.installation is not None and p.installation.needs_tether is True


def _may_need(p: Placement) -> bool:
    """In a harness, not hooked, and nobody wrote down whether it may do without."""
    return ((p.harness or p.mode_name in ("harness-vest", "impact-shield"))
            and p.installation is not None and not p.built_in
            and p.installation.needs_tether is None and p.tether is None)


@rule(
    "no-tether-anchor",
    title="There is no tether anchor for a restraint that needs one",
    source="the restraint's instructions; UN R16 (07 series) 2.34; 49 CFR 571.225 S6",
    depends=("mode", "installation", "position", "tether"),
    fact=("position",),
    reads=("position.tether", "installation.needs_tether"),
    remedy="a seat with a tether anchor of its own",
    when=lambda p, w: _needs(p, w) or _may_need(p),
    says={
        "block": "{restraint} needs a tether here; anchor at {position}: {measured}",
        "pass": "the tether goes to anchor {measured}",
    },
)
def no_tether_anchor(p: Placement, w: RuleContext) -> Result:
    """The installation needs its tether hooked, and the position has no anchor for it.

    Checks: whether the position names a tether anchor, and whether the strap goes to it.
    Why: without the tether the top of the restraint swings forward.
    Limits: an anchor of another seat does not count.
    Blocks: a forward-facing harness that needs its tether at a seat with `tether: none`.
    """
    anchor = p.position.tether
    if _may_need(p):
        return lacks(field("installation.needs_tether"))
    if anchor is None:
        return lacks(field("position.tether", position=p.position.position), said("an anchor"))
    if anchor == "none":
        return fails("none", said("an anchor"))
    return fails(said("not hooked"), anchor) if p.tether is None else passes(p.tether, anchor)


@rule(
    "rear-facing-tether",
    title="The vehicle does not allow a tether on a rear-facing restraint",
    source="the vehicle handbook; common practice, no source: only where both makers ask for it",
    depends=("mode", "installation", "position"),
    fact=("position",),
    reads=("installation.needs_tether", "position.manual.allows"),
    remedy="an installation without tether, or a vehicle whose handbook allows it",
    when=lambda p, w: p.rear_facing and _needs(p, w),
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
    depends=("mode", "installation", "position", "tether"),
    reads=("mode.tether_strap", "position.tether"),
    remedy="a seat with an anchor; the strap is stored where there is none",
    when=lambda p, w: (
        p.mode_name == "forward-facing-harness"
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

    Checks: for a forward-facing harness with a tether strap, that it goes to an anchor.
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
    return cautions(said("no anchor") if anchor == "none" else said("left to the neighbour"))


@rule(
    "tether-not-on-restraint",
    title="The installation needs a tether strap that the restraint does not have",
    source="follows from the restraint file",
    depends=("mode", "installation"),
    reads=("mode.tether_strap", "installation.needs_tether"),
    remedy="an installation without tether, if the instructions have one",
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


def _mass_limit(p: Placement) -> Quantity | None:
    return next((t.mass_limit for t in p.row.tethers or () if t.tether == p.tether), None)


@rule(
    "tether-overloaded",
    title="The child is too heavy for the tether anchor",
    source="the vehicle handbook",
    depends=("rider", "position", "tether"),
    reads=("rider.mass", "row.tethers.mass_limit"),
    remedy="a seat whose tether anchor carries more",
    when=lambda p, w: p.tether is not None and _mass_limit(p) is not None,
    says={
        "block": "weighs {measured}; the tether anchor at {position} ends at {limit}{as_written}: {shortfall} over",
        "pass": "weighs {measured}; the tether anchor at {position} ends at {limit}{as_written}",
    },
)
def tether_overloaded(p: Placement, w: RuleContext) -> Result:
    """The child weighs more than the handbook allows on this tether anchor.

    Checks: the child's mass against the limit of the anchor, where the handbook names one.
    Why: an anchor that tears out lets the restraint swing forward.
    Limits: no limit in the file means that the handbook names none.
    Blocks: a child of 22.1 kg on an anchor for children up to 22 kg.
    """
    limit = _mass_limit(p)
    assert limit is not None
    if p.rider.mass is None:
        return lacks(field("rider.mass", rider=p.rider.rider), limit, "most")
    return at_most(p.rider.mass, limit, "kg", tether=p.tether)
