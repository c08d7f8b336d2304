"""Two riders: do they want one and the same thing, or get in each other's way."""

from __future__ import annotations

from typing import TYPE_CHECKING

from seatplan.fields import Missing, field, named
from seatplan.message import Name, at_position, joined, said

from .belt import uses_belt
from .finding import Result, at_least, at_most, fails, lacks, passes
from .footprints import wanted_by_both
from .rule import rule
from .subjects import adjacent, i_size_throughout

if TYPE_CHECKING:
    from seatplan.model import Position

    from .subjects import Pair, Placement, RuleContext


def _same_row(pair: Pair, world: RuleContext) -> bool:
    return pair.left.position.row == pair.right.position.row


def _neighbours(pair: Pair) -> bool:
    return adjacent(pair.left, pair.right)


def looked_at(placement: Placement) -> tuple[object, ...]:
    """All of a placement that the rules of this file look at, but for who rides there in which restraint."""
    return (placement.places, placement.bars, placement.tether, uses_belt(placement), placement.on_lower_anchors,
            placement.harness, i_size_throughout(placement))


@rule(
    "position-wanted-twice",
    title="Two riders want one seat",
    scope="pair",
    source="one belted place holds one rider",
    depends=("position",),
    reads=("position.position",),
    remedy="another position for one of them",
    says={
        "block": "{left} and {right} both at {left_position}",
        "pass": "{left} and {right} have a seat each",
    },
)
def position_wanted_twice(pair: Pair, world: RuleContext) -> Result:
    """Two riders would sit at one position.

    Checks: the positions of both, and those that either takes or needs empty beside its own.
    Why: one belted place holds one rider.
    Limits: none.
    Blocks: two riders at 2C.
    """
    wanted = wanted_by_both(pair.left, pair.right)
    if wanted:
        return fails(wanted[0], said("one rider a seat"))
    return passes(pair.left.position.position, pair.right.position.position)


@rule(
    "restraint-wanted-twice",
    title="Two riders want one restraint",
    scope="pair",
    source="one restraint holds one child",
    depends=("restraint",),
    reads=("trip.restraints",),
    remedy="another restraint for one of them",
    when=lambda pair, w: pair.left.restraint is not None and pair.right.restraint is not None,
    says={
        "block": "{left} and {right} both in {measured}",
        "pass": "{left} and {right} have a restraint each",
    },
)
def restraint_wanted_twice(pair: Pair, world: RuleContext) -> Result:
    """Two children would sit in one restraint.

    Checks: the restraints of both.
    Why: one restraint holds one child.
    Limits: two copies of a model are two restraints, each with a name of its own.
    Blocks: two children in one booster.
    """
    left = pair.left.restraint.restraint if pair.left.restraint else ""
    right = pair.right.restraint.restraint if pair.right.restraint else ""
    return fails(left, said("one child a restraint")) if left == right else passes(left, right)


@rule(
    "bar-wanted-twice",
    title="Two restraints want one lower-anchor bar",
    scope="pair",
    source="49 CFR 571.225 S3; geometry",
    depends=("position", "bars"),
    fact=("position",),
    reads=("position.lower_anchors", "position.borrow"),
    remedy="the vehicle belt for one of them",
    when=lambda pair, w: _same_row(pair, w) and bool(pair.left.bars) and bool(pair.right.bars),
    says={
        "block": "{left} at {left_position} and {right} at {right_position} both hang on bar {measured}",
        "pass": "{left} and {right} hang on bars of their own",
    },
)
def bar_wanted_twice(pair: Pair, world: RuleContext) -> Result:
    """Two restraints would hang on one bar.

    Checks: the bars of both.
    Why: one bar takes one connector.
    Limits: bars belong to a row.
    Blocks: a centre seat that borrows bar b while the left seat hangs on a and b.
    """
    shared = [bar for bar in pair.left.bars if bar in pair.right.bars]
    if shared:
        return fails(joined(", ", shared), said("one connector a bar"))
    return passes(joined(", ", pair.left.bars), joined(", ", pair.right.bars))


@rule(
    "tether-wanted-twice",
    title="Two restraints want one tether anchor",
    scope="pair",
    source="49 CFR 571.225 S6.2: an anchor serves one position; the vehicle handbook, where straps are led to loops",
    depends=("position", "tether"),
    fact=("position",),
    reads=("position.tether", "row.tethers.through", "row.tethers.shared"),
    remedy="another position, or an installation without tether, for one of them",
    when=lambda pair, w: _same_row(pair, w) and bool(pair.left.tether) and bool(pair.right.tether),
    says={
        "block": "{left} at {left_position} and {right} at {right_position} both need tether anchor {measured}",
        "pass": "{left} and {right} have a tether anchor each",
    },
)
def tether_wanted_twice(pair: Pair, world: RuleContext) -> Result:
    """Two tether straps would go to one anchor, or through one loop.

    Checks: the tether anchors of both, with the loops or anchors that their straps are led to.
    Why: an anchor was tested for one strap.
    Limits: two straps may use one where the handbook says so (`shared: yes`). Of a loop that only one of them ends at,
        that is asked for; an anchor that both end at is for one strap unless it is said.
    Blocks: two forward-facing seats on the one anchor behind the centre.
    """
    left, right = pair.left.tether or "", pair.right.tether or ""
    row = pair.left.row
    both = row.strap_uses(left) & row.strap_uses(right)
    alone = {one.tether for one in row.tethers or () if one.shared is False} | ({left} if left == right else set())
    shared = {one.tether for one in row.tethers or () if one.shared}
    taken = sorted(both & alone - shared)
    if taken:
        return fails(joined(", ", map(Name, taken)) if len(taken) > 1 else Name(taken[0]), said("one strap an anchor"))
    unknown = sorted(both - shared)
    if unknown:
        return lacks(Missing(
            named("row.tethers", said("whether two tethers may use {tether}", tether=Name(unknown[0]))),
            said("look up in the vehicle handbook whether two straps may be led there, and write `shared: yes` or `no` "
                 "beside it")))
    return passes(pair.left.tether, pair.right.tether)


def _facing(pair: Pair) -> tuple[Position, Position]:
    """The places of both that lie nearest to each other."""
    return pair.left.second or pair.left.position, pair.right.position


def _belt_span(position: Position) -> tuple[int, int] | None:
    """The lap part from its left end to its right end, buckle included, mm from the left door trim."""
    belt = position.belt
    if belt is None or belt.anchors is None:
        return None
    buckle = belt.buckle.across if belt.buckle else None
    ends = [*belt.anchors, *([] if buckle is None else [buckle])]
    return min(ends), max(ends)


@rule(
    "belts-cross",
    title="Two belts cross",
    scope="pair",
    strength="good practice",
    source="common practice, no source",
    limits=("belts_overlap",),
    depends=("position", "mode", "installation"),
    fact=("position",),
    reads=("position.belt.anchors", "position.belt.buckle.across"),
    remedy="lower anchors for one of them, or leave a seat between",
    when=lambda pair, w: _neighbours(pair) and uses_belt(pair.left) and uses_belt(pair.right),
    weight="slight",
    why_weight="buckled in the right order crossed belts can hold; trying it at the car shows whether each opens and "
    "tightens by itself; common practice, no source",
    says={
        "caution": "the belts of {left_position} and {right_position} overlap by {measured}, advised {limit} at most: "
                   "try whether each opens and tightens by itself",
        "block": "the belts of {left_position} and {right_position} overlap by {measured}; up to {limit} is fine",
        "pass": "the belts of {left_position} and {right_position} do not cross",
    },
)
def belts_cross(pair: Pair, world: RuleContext) -> Result | None:
    """The belts of two neighbours cross, because the anchors of one reach into the span of the other.

    Checks: how far the left belt, with its buckle, reaches beyond the near end of the right one.
    Why: the belt fastened last lies over the other buckle, and neither can be undone by itself.
    Limits: up to 20 mm of overlap is the width of a stalk. Where an anchor or a buckle was not measured, an overlap
        that is not known is not told.
    Blocks: nothing; a caution for a left belt that ends at 560 mm beside a centre belt that begins at 500 mm.
    """
    one, other = _facing(pair)
    left, right = _belt_span(one), _belt_span(other)
    if left is None or right is None:
        return None
    found = at_most(left[1] - right[0], world.limit("belts_overlap"), "mm")
    return None if found.outcome == "pass" and _buckle_unknown(pair) is not None else found


def _buckle(position: Position) -> int | None:
    belt = position.belt
    return None if belt is None or belt.buckle is None else belt.buckle.across


def _buckle_unknown(pair: Pair) -> Result | None:
    """What is lacking where the buckle of one of the two was not measured: it may lie anywhere."""
    for position in _facing(pair):
        if _buckle(position) is None:
            return lacks(field("position.belt.buckle", position=at_position(position.position)))
    return None


@rule(
    "buckles-too-near",
    title="Two riders would share a buckle, or their buckles are too near each other",
    scope="pair",
    source="one buckle holds one tongue; how wide a tongue is: common practice, no source",
    limits=("buckle_tongue",),
    depends=("position", "mode", "installation"),
    fact=("position",),
    reads=("position.belt.buckle.across",),
    remedy="lower anchors for one of them, or leave a seat between",
    when=lambda pair, w: _same_row(pair, w) and uses_belt(pair.left) and uses_belt(pair.right),
    says={
        "block": "the buckles of {left_position} and {right_position} are {measured} apart; a tongue needs {limit}",
        "pass": "the buckles of {left_position} and {right_position} are {measured} apart",
    },
)
def buckles_too_near(pair: Pair, world: RuleContext) -> Result:
    """Two riders of a row are held by belts whose buckles are one, or nearer to each other than a tongue is wide.

    Checks: the distance of the two buckles across the row.
    Why: one buckle holds one belt, and beside one that is taken a tongue does not go in, or goes into the wrong one.
    Limits: buckles one behind the other are not told apart; a buckle that nobody measured may lie anywhere.
    Blocks: buckles at 850 and 865 mm.
    """
    unknown = _buckle_unknown(pair)
    if unknown is not None:
        return unknown
    left, right = map(_buckle, _facing(pair))
    assert left is not None
    assert right is not None
    return at_least(abs(right - left), world.limit("buckle_tongue"), "mm")


@rule(
    "seats-too-near-to-be-tested",
    title="Neighbouring seats are nearer than seats are tested",
    scope="pair",
    strength="good practice",
    limits=("adjacent_midpoints",),
    source="us: 49 CFR 571.225 S6.3.4.3, S9.4.2(a), 400 mm, a test provision; un: UN R16 8.3.6, 440 mm between "
    "i-Size positions",
    depends=("position", "restraint", "mode", "bars"),
    fact=("position",),
    reads=("position.centre", "row.lower_anchors", "position.i_size", "restraint.approval.category"),
    remedy="nothing; that they fit is what the measured shapes say",
    when=lambda pair, w: _neighbours(pair) and _tested_together(pair, w),
    weight="slight",
    why_weight="a provision for tests and not a ban, 49 CFR 571.225 S6.3.4.3",
    own_step=True,
    says={
        "caution": "the middles of {left_position} and {right_position} are {measured} apart; nearer than {limit} "
                   "the standards do not test both at once, so the measured shapes alone decide",
        "block": "the middles of {left_position} and {right_position} are {measured} apart, needed {limit}",
        "pass": "the middles of {left_position} and {right_position} are {measured} apart",
    },
)
def seats_too_near_to_be_tested(pair: Pair, world: RuleContext) -> Result:
    """Two harness restraints side by side, on seats nearer than the standards load at once.

    Checks: the distance of the midpoints, of the bars where both hang on bars: under us of two on lower anchors, under
        un of two i-Size restraints on i-Size places.
    Why: nearer positions are never loaded together in the tests, so nobody vouches for both at once.
    Limits: a note, which speaks for no other seat; the measured shapes decide whether they fit. It says nothing of
        restraints held by belts, nor of others than i-Size under un: no text asks for a distance between those.
    Blocks: nothing; a caution for midpoints 360 mm apart.
    """
    limit = world.limit("adjacent_midpoints")
    left, right = _midpoint(pair.left), _midpoint(pair.right)
    for middle, placement in ((left, pair.left), (right, pair.right)):
        if middle is None:
            here = placement.position.position
            return lacks(field("row.lower_anchors", position=here) if placement.bars else
                         field("position.centre", position=at_position(here)), limit)
    assert left is not None
    assert right is not None
    return at_least(right - left, limit, "mm")


def _tested_together(pair: Pair, world: RuleContext) -> bool:
    """Whether a standard speaks of how far apart two such placements are."""
    both = (pair.left, pair.right)
    if world.profile.base == "un":
        return all(p.harness and i_size_throughout(p) for p in both)
    return all(p.harness and p.on_lower_anchors for p in both)


def _midpoint(placement: Placement) -> float | None:
    """Between the bars where there are any, else the seat's own centre: 49 CFR 571.225 S6.3.4.3(a)(1)."""
    across = {bar.bar: bar.across for bar in placement.row.lower_anchors or () if bar.across is not None}
    if len(placement.bars) == 2:
        places = [across[bar] for bar in placement.bars if bar in across]
        return sum(places) / 2 if len(places) == 2 else None
    return placement.position.centre


@rule(
    "wish-to-be-apart-not-met",
    title="You asked for them to sit apart",
    scope="pair",
    source="a wish of the trip with `must`",
    depends=("rider", "position"),
    fact=("rider",),
    reads=("trip.wishes",),
    remedy="drop the wish, or its `must`",
    when=lambda pair, w: any(_both(pair, wish.apart) for wish in w.trip.wishes if wish.must),
    says={
        "block": "you asked for {left} and {right} apart, and {measured} are side by side",
        "pass": "{left} and {right} sit apart, as you asked",
    },
)
def wish_to_be_apart_not_met(pair: Pair, world: RuleContext) -> Result:
    """Two riders whom the trip wants apart, as a must, would sit side by side.

    Checks: whether a seating position lies between them.
    Why: you asked for it.
    Limits: a wish without must only ranks.
    Blocks: Wren at 2L and Oslo at 2C.
    """
    seats = said("{position} and {position_2}", position=pair.left.position.position,
                 position_2=pair.right.position.position)
    return fails(seats, said("not side by side")) if _neighbours(pair) else passes(seats, said("not side by side"))


def _both(pair: Pair, names: list[str] | None) -> bool:
    return names is not None and pair.left.rider.rider in names and pair.right.rider.rider in names
