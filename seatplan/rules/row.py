"""One row: do the bodies fit side by side, as geometry says."""

from __future__ import annotations

from typing import TYPE_CHECKING

from seatplan.fields import Missing
from seatplan.message import said

from .finding import Result, cautions, fails, lacks, passes
from .rule import rule
from .side_by_side import side_by_side

if TYPE_CHECKING:
    from .subjects import RuleContext, Seated


@rule(
    "row-too-narrow",
    title="They do not fit side by side",
    scope="row",
    source="measured shapes; how it is worked out: DEVELOPERS.md, shape and chain",
    limits=("belt_play", "flexible_anchor_play", "rigid_anchor_play", "buckle_hand_room"),
    depends=("restraint", "mode", "installation", "position", "bars", "rider"),
    reads=("mode.parts", "row.trim", "position.centre", "row.lower_anchors", "position.belt.buckle"),
    remedy="nest one rear-facing beside one forward-facing, a narrower restraint, or leave a seat free",
    when=lambda seated, w: bool(seated.placements),
    weight="slight",
    why_weight="short by less than the tape can be off, which a try at the car shows before anybody "
    "rides; common practice, no source",
    says={
        "block": "they need {limit} and there are {measured}: {shortfall} short",
        "caution": "{shortfall} short side by side, which is less than the tape may be off",
        "pass": "they fit side by side with {measured} to spare",
    },
)
def row_too_narrow(seated: Seated, world: RuleContext) -> Result:
    """The bodies of one row, between side walls and bound to their bars and belts, lack room.

    Checks: that places can be found for all bodies: half widths apart where their side views overlap, inside
        the trim, within the play of bars or belt, a hand's room beside every buckle fastened on each trip.
    Why: a restraint that a neighbour presses on shifts, or cannot be fastened.
    Limits: outlines are the measured boxes; a soft cover that gives way is not counted. Short by less than the
        tape may be off is a caution. Where a body that is only estimated decides, it is to be measured, unless there is
        room for the broadest of a hundred; where every number is asked for, even then.
    Blocks: three shells of 470 mm between doors 1,360 mm apart.
    """
    from seatplan.geometry.chain import Squeeze

    row = side_by_side(seated.placements[0].row, world)
    space, bodies = row.space, row.bodies(seated.placements)
    solved = row.solved(bodies)
    if isinstance(solved, Squeeze):
        return fails(solved.have, solved.need, "mm", solved.short)
    missing = space.missing(bodies)
    if missing:
        return lacks(missing[0], more=len(missing) - 1)
    guesses = row.estimates(bodies) if world.options.strict or row.is_open(bodies) else ()
    if guesses:
        return lacks(Missing(guesses[0], said("it is only estimated: measure it"), "mm"), more=len(guesses) - 1)
    if solved.spare is not None and solved.spare < 0:
        return cautions(float(solved.spare), 0, "mm", space.shortfall(bodies) / 2)
    # rounded down: never more room than there is
    return passes("unlimited" if solved.spare is None else int(solved.spare), 0, "mm")

