"""The vehicle's head restraint against what the restraint's instructions say of it for one way of installing."""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal

from seatplan.fields import field
from seatplan.message import said

from .finding import Result, fails, lacks, passes
from .rule import rule

if TYPE_CHECKING:
    from .subjects import Placement, RuleContext


def asked_of_it(p: Placement) -> Literal["taken-out", "left-in", "either"] | None:
    """What the instructions ask of the head restraint of the vehicle; None where nothing is copied from them."""
    return p.installation.vehicle_head_restraint if p.installation is not None else None


@rule(
    "head-restraint-not-as-asked",
    title="The vehicle's head restraint cannot be as the instructions ask",
    source="the restraint's instructions",
    depends=("installation", "position"),
    reads=("installation.vehicle_head_restraint", "position.head_restraint", "position.head_restraint.removable"),
    remedy="another seat, or another way of installing",
    when=lambda p, w: asked_of_it(p) in ("taken-out", "left-in"),
    says={
        "block": "the instructions ask for the head restraint at {position} to be {limit}, and {measured}",
        "pass": "the instructions ask for the head restraint at {position} to be {limit}, and {measured}",
    },
)
def head_restraint_not_as_asked(p: Placement, w: RuleContext) -> Result:
    """The vehicle's head restraint must come out and does not, or must stay in and is not there.

    Checks: what the instructions say of the vehicle's head restraint for this way of installing, against whether one is
        fitted at the position and comes off.
    Why: a head restraint in the way keeps the shell off the seatback; one that is missing leaves nothing behind the
        head, or nothing for the shell to lean on.
    Limits: nothing where the instructions say nothing of it, or leave the choice; whether a fixed one can be turned
        away is not known.
    Blocks: a fixed head restraint where the instructions want it taken out.
    """
    head, here = p.position.head_restraint, p.position.position
    there = head.there if head is not None else None
    if asked_of_it(p) == "left-in":
        limit = said("left in")
        if there is None:
            return lacks(field("position.head_restraint", position=here))
        return passes(said("it is there"), limit) if there else fails(said("none is there"), limit)
    limit = said("taken out")
    if there is False:
        return passes(said("none is there"), limit)
    removable = head.removable if head is not None else None
    if removable is None:
        return lacks(field("position.head_restraint.removable", position=here), "yes")
    return passes(said("it comes off"), limit) if removable else fails(said("it is fixed"), limit)
