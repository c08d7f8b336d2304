"""A bed that lies across two seats and is held by the belts of both: the second place, its belt, what lies between."""

from __future__ import annotations

from typing import TYPE_CHECKING

from seatplan.fields import field
from seatplan.message import Word, in_mm, joined, said

from .finding import Result, fails, lacks, passes
from .rule import rule

if TYPE_CHECKING:
    from .subjects import Placement, RuleContext


def across_two_belts(p: Placement) -> bool:
    """Whether the belts of two neighbouring places hold it."""
    return p.by == "two-belts"


def head_at(p: Placement) -> str | None:
    """The position at which the head of a bed across two belts lies: the one of both that is not beside a door; None
    where both are, or none is."""
    inner = [name for name in p.places if name[1] == "C"]
    return inner[0] if len(inner) == 1 and len(p.places) == 2 else None


@rule(
    "second-place-missing",
    title="There is no second place for a bed across two belts",
    source="follows from the installation: two neighbouring belts hold it",
    depends=("mode", "installation", "position"),
    fact=("position",),
    reads=("installation.by", "position.position"),
    remedy="the place at its left, where that has a neighbour; an installation by one belt",
    when=lambda p, w: across_two_belts(p),
    says={
        "block": "{restraint} lies across two places, and {position} has none at its right",
        "pass": "{restraint} lies across {position} and {measured}",
    },
)
def second_place_missing(p: Placement, w: RuleContext) -> Result:
    """A bed that two belts hold has no neighbouring place at its right.

    Checks: whether the row has a place at the right of this one. A bed across two belts is named by its left place.
    Why: with one belt only, half of the bed is held by nothing.
    Limits: places that are no neighbours in the file are none here.
    Blocks: such a bed at 2R.
    """
    return fails("none") if p.second is None else passes(p.second.position)


@rule(
    "belt-of-another-kind",
    title="The bed is not made for this kind of belt",
    source="the restraint's instructions",
    depends=("mode", "installation", "position"),
    fact=("position",),
    reads=("installation.belts", "position.belt.kind"),
    remedy="two places whose belts the instructions allow",
    when=lambda p, w: p.second is not None and all(
        one.belt is not None and one.belt.kind != "none" for one in (p.position, p.second)),
    says={
        "block": "the belt of {position} is a {measured} belt; the instructions of {restraint} allow: {limit}",
        "pass": "the belts of both places are of a kind that the instructions of {restraint} allow",
    },
)
def belt_of_another_kind(p: Placement, w: RuleContext) -> Result:
    """The belt of one of two places is of a kind that the bed's instructions do not name.

    Checks: the kinds of both belts against those that the instructions allow.
    Why: guides for a lap belt do not hold a shoulder part out of the way of the baby, and the other way round.
    Limits: only for beds that two belts hold.
    Blocks: a bed for lap belts on lap-shoulder belts.
    """
    allowed = p.installation.belts if p.installation else None
    if allowed is None:
        return lacks(field("installation.belts"))
    told = joined(said(" or "), [Word(kind) for kind in allowed])
    for place in (p.position, p.second):
        if place is not None and place.belt is not None and place.belt.kind not in allowed:
            return fails(place.belt.kind, told, at=place.position)
    return passes(told, told)


@rule(
    "bed-over-a-gap",
    title="The bed would lie over a gap between two seats",
    source="the restraint's instructions; common practice, no source: a bed lies flat on one cushion",
    depends=("mode", "installation", "position"),
    fact=("position",),
    reads=("row.cushion.gaps",),
    remedy="two places on one bench",
    when=lambda p, w: p.second is not None,
    says={
        "block": "between {position} and {second} the cushion has a gap from {start:bare} to {end}",
        "pass": "the cushion goes through from {position} to {second}",
    },
)
def bed_over_a_gap(p: Placement, w: RuleContext) -> Result:
    """The two places of a bed across two belts are on seats that stand apart.

    Checks: whether a gap of the row's cushion lies between the middles of both places.
    Why: in the gap nothing carries the bed, and seats that move by themselves pull at it.
    Limits: a seam between the parts of a split bench that are latched side by side is none. A gap counts wherever the
        middle of either place was not measured.
    Blocks: a bed across two single seats with a way between them.
    """
    gaps, second = p.row.cushion.gaps, p.second
    assert second is not None
    if gaps is None:
        return lacks(field("row.cushion.gaps", row=p.row.row), "none")
    for start, end in gaps:
        left, right = p.position.centre, second.centre
        if (left is None or end > left) and (right is None or start < right):
            return fails("gap", "none", second=second.position, start=in_mm(start), end=in_mm(end))
    return passes("none", "none", second=second.position)


@rule(
    "bed-head-at-a-door",
    title="The head would lie beside a door",
    strength="good practice",
    source="instructions of such beds, from memory: the head towards the middle of the car",
    depends=("mode", "installation", "position"),
    fact=("position",),
    reads=("position.position",),
    remedy="the middle place and one beside it",
    when=lambda p, w: p.second is not None,
    weight="grave",
    why_weight="a car that strikes the side comes in where the head lies; from memory",
    says={
        "caution": "both ends of {restraint} lie beside a door: the head belongs away from it; read its instructions",
        "block": "both ends of {restraint} lie beside a door: the head belongs away from it",
        "pass": "the head lies at {measured}, away from the door",
    },
)
def bed_head_at_a_door(p: Placement, w: RuleContext) -> Result:
    """Neither end of a bed across two belts lies away from a door.

    Checks: whether one of both places is the middle one of its row: the head lies there.
    Why: the head is hurt first when the door comes in.
    Limits: told by the names of the places; beds that one belt holds are left out.
    Blocks: nothing; a caution for a bed across 2L and 2R.
    """
    head = head_at(p)
    return fails(said("beside a door"), said("away from it")) if head is None else passes(head)
