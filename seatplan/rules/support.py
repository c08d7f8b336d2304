"""What carries a restraint from below: the cushion under its base, and the floor under its support leg."""

from __future__ import annotations

from math import ceil, floor, hypot
from typing import TYPE_CHECKING, Any

from seatplan.fields import field
from seatplan.message import Name, Word, in_mm, joined, said

from .both_places import at_both
from .finding import Result, at_least, at_most, cautions, fails, lacks, passes
from .rule import rule
from .subjects import i_size_throughout

if TYPE_CHECKING:
    from seatplan.geometry.support import Leg, Rect
    from seatplan.model import Part

    from .subjects import Placement, RuleContext



def _base(p: Placement) -> list[Part]:
    from seatplan.geometry.support import base_parts

    return base_parts(p.mode, p.installation) if p.mode is not None else []


def _lies_on_cushion(p: Placement, w: RuleContext) -> bool:
    """Everything but what a child wears, what is a part of the seat, and what is only known by the envelope that it
    keeps within."""
    from seatplan.geometry.support import only_envelope

    return (p.mode is not None and p.mode_name != "harness-vest" and not p.built_in
            and not only_envelope(p.mode, p.installation))


@rule(
    "base-off-the-cushion",
    title="Too little of the base lies on the cushion",
    source="the restraint's instructions; otherwise 80 %, common practice, no source",
    depends=("mode", "installation", "position", "bars"),
    world=("heights",),
    reads=(
        "mode.parts",
        "mode.supported_base",
        "position.width",
        "row.cushion.left",
        "row.cushion.right",
        "row.cushion.length",
        "position.centre",
    ),
    limits=("supported_base", "base_aside", "base_aside_rigid"),
    remedy="a seat with a longer or flatter cushion, or a restraint with a smaller base",
    when=_lies_on_cushion,
    says={
        "block": "{measured} of the base lies on the cushion at {position}, needed {limit} (lost at: {lost}; "
                 "{overhang} over the front edge)",
        "pass": "{measured} of the base lies on the cushion at {position}, needed {limit}",
    },
)
@at_both
def base_off_the_cushion(p: Placement, w: RuleContext) -> Result:
    """Less of the base lies on the cushion than the restraint asks for.

    Checks: the part of the base, seen from above, that lies on the cushion and not beyond its front edge or a side,
        at the worst place that the restraint may move to sideways: shells, boosters and beds. A seat that lies more
        than 20 mm higher than the next one carries it as far as it is wide. A restraint of which
        no listed part lies on the cushion has a base that nobody measured.
    Why: a base that hangs over an edge tips, and it does so most in a crash.
    Limits: humps and bolsters are another rule's. A vest has no base, and of a restraint that fills a fixture only
        the envelope is known: the fixture itself was tried on the seat.
    Blocks: a base from 40 to 560 mm on a cushion of 440 mm: 76 % of it, where 80 % are needed.
    """
    from seatplan.geometry import support

    parts, row, name = _base(p), p.row, p.position.position
    own = p.mode.supported_base if p.mode else None
    need = w.limit("supported_base") if own is None else round(own * 100, 1)
    base, surface = support.footprints(parts), support.surface_of(p.cushion)
    if base is None:
        return lacks(field("mode.parts.base"))
    if p.cushion.length is None:
        return lacks(field("row.cushion.length", row=row.row), _length_that_does(base, need), "least")
    if surface is None:
        return lacks(field("row.cushion.left", row=row.row))
    middle = support.middle_of(row, p.position, p.bars, p.second)
    if middle is None:
        return lacks(field("position.middle", position=name))
    lower = support.lower_beside(row, p.position)
    if any(lower):
        centre, width = p.position.centre, p.position.width
        if centre is None or width is None:
            return lacks(field("position.width", position=name))
        surface = (2 * centre - width if lower[0] else surface[0], 2 * centre + width if lower[1] else surface[1],
                   *surface[2:])
    found = support.support_of(base, surface, (), middle, 2 * _aside(p, w))
    lost = [word for word, out in ((said("front edge"), found.overhang), (Word("side"), found.beside)) if out]
    return at_least(
        found.percent, need, "%", overhang=in_mm(found.overhang, "up"),
        lost=joined(", ", lost) if lost else "none"
    )


@rule(
    "base-on-raised-cushion",
    title="The base may stand on a hump or a side bolster",
    strength="good practice",
    source="common practice, no source",
    depends=("mode", "installation", "position", "bars"),
    world=("heights",),
    reads=("mode.parts", "row.cushion.raised", "position.centre"),
    limits=("base_aside", "base_aside_rigid"),
    remedy="a seat whose cushion is flat; or try whether the base lies flat and does not rock",
    when=_lies_on_cushion,
    weight="slight",
    why_weight="a base that rocks is found when it is installed and pulled; common practice, no source",
    says={
        "caution": "{measured}; look whether the base lies flat and does not rock",
        "block": "{measured}; the base must lie flat",
        "pass": "nothing is raised under the base at {position}",
    },
)
def base_on_raised_cushion(p: Placement, w: RuleContext) -> Result | None:
    """The base stands on a hump or a side bolster of the cushion, or nobody felt for one.

    Checks: the base, seen from above, wherever it may move to sideways, against what the file says is raised, and the
        cushions of other seats that lie more than 20 mm higher.
    Why: a base that rocks on a hump loosens, and its angle is not that of the cushion.
    Limits: how high the hump is and how far the padding gives way is not known, so it is a caution; a base or a
        middle that nobody measured is asked for elsewhere.
    Blocks: nothing by itself; a caution for a base from 130 to 500 mm where a bolster ends at 200 mm.
    """
    from seatplan.geometry import support

    here, cushion = p.position.position, p.cushion
    if cushion.raised is None:
        return cautions(said("nobody wrote down whether the cushion at {here} has a hump or side bolsters", here=here),
                        "none")
    base = support.footprints(_base(p))
    middle = support.middle_of(p.row, p.position, p.bars, p.second)
    if base is None or middle is None:
        return None
    raised = [*support.raised_on(cushion), *support.raised_beside(p.row, p.position)]
    under = support.raised_under(base, raised, middle, 2 * _aside(p, w))
    if under:
        return fails(said("the base at {here} stands on: {under}", here=here,
                          under=joined(", ", map(Name, under))), "none")
    return passes("none", "none")


@rule(
    "base-on-waterfall-edge",
    title="The base reaches onto the falling front edge of the cushion",
    strength="good practice",
    source="common practice, no source",
    depends=("mode", "installation", "position"),
    reads=("mode.parts", "row.cushion.length", "row.cushion.waterfall"),
    remedy="a seat whose cushion is flat to its front edge, or a restraint with a shorter base",
    when=lambda p, w: not p.built_in and bool(p.cushion.waterfall and p.cushion.length and _front(p) is not None),
    weight="slight",
    why_weight="a base that tips is found when it is installed and pulled; common practice, no source",
    says={
        "caution": "the base reaches {measured} forward and the cushion falls away from {limit} on: {shortfall} too "
                   "far",
        "block": "the base must not stand on the falling edge: it reaches {measured} forward and the cushion falls "
                 "away from {limit} on",
        "pass": "the base reaches {measured} forward, the cushion is flat up to {limit}",
    },
)
def base_on_waterfall_edge(p: Placement, w: RuleContext) -> Result:
    """The front of the base stands where the cushion already falls away.

    Checks: how far forward the base reaches, against where the surface begins to fall.
    Why: the base tips forward on such an edge, and its angle is no longer that of the cushion.
    Limits: only where the file says where the surface begins to fall.
    Blocks: nothing by itself; a base to 470 mm where the surface falls from 450 mm on gives a caution.
    """
    cushion, front = p.cushion, _front(p)
    assert front is not None
    assert cushion.length is not None
    assert cushion.waterfall is not None
    return at_most(front, cushion.length - cushion.waterfall, "mm")


@rule(
    "support-leg-does-not-reach",
    title="The support leg does not reach the floor, or is too long for it",
    source="UN R129 (02 series) 6.3.5: the leg stands firmly on the floor; the restraint's instructions",
    depends=("restraint", "mode", "installation", "position"),
    world=("tolerance",),
    reads=(
        "installation.leg_reach",
        "installation.leg_along",
        "row.cushion.above_floor",
        "row.cushion.angle",
    ),
    remedy="another seat, or an installation without the leg",
    when=lambda p, w: p.installation is not None and bool(p.installation.support_leg) and not (
        i_size_throughout(p) and (p.cushion.angle is None or p.cushion.above_floor is None)),
    weight="slight",
    why_weight="short by less than measuring can be off, which a try at the car shows before anybody "
    "rides; common practice, no source",
    says={
        "block": "the floor at {position} needs a support leg of {measured} and it can be set from {shortest:bare} to "
                 "{longest}: {shortfall} {side}",
        "caution": "the floor at {position} needs a support leg of {measured} and it can be set from {shortest:bare} "
                   "to {longest}: {shortfall} {side}, and measuring can be {measuring_off} off: try it in the car",
        "pass": "the floor at {position} needs a support leg of {measured} and it can be set from {shortest:bare} to "
                "{longest}{near}",
    },
)
def support_leg_does_not_reach(p: Placement, w: RuleContext) -> Result:
    """The floor is too deep or too near for the support leg.

    Checks: the reach that the leg needs, from the cushion's height above the floor at the crease, its angle
        and the place of the foot, against the shortest and longest setting.
    Why: a leg in the air holds nothing, and one that is too long lifts the base off the cushion.
    Limits: nearer to an end of the leg's reach, on either side, than tape and phone can be off is close, unless leg
        and place are both declared i-Size. The floor is taken as level from under the crease to the foot. An i-Size
        leg whose reach was not measured is taken to reach what its standard asks for, 270 to 525 mm below the base,
        and to stand anywhere in the space that it has there. On an i-Size place it is asked for no floor, and a floor
        that was measured counts only where no place of the foot would do.
    Blocks: a floor that needs 560 mm of a leg that reaches 525 mm.
    """
    from seatplan.geometry.support import leg_needed

    cushion, leg = p.cushion, _leg(p)
    if isinstance(leg, Result):
        return leg
    if cushion.angle is None:
        return lacks(field("row.cushion.angle", row=p.row.row))
    if cushion.above_floor is None:
        return lacks(field("row.cushion.above_floor", row=p.row.row))
    shortest, longest = leg.reach
    needed = [leg_needed(cushion.above_floor, cushion.angle, along) for along in leg.along]
    least, most = min(needed), max(needed)
    off = ceil(_leg_off(p, w, leg, cushion.above_floor, cushion.angle))
    facts = {"shortest": in_mm(shortest, "up"), "longest": in_mm(longest, "down"),
             "measuring_off": in_mm(off, "up")}
    if shortest <= least and most <= longest:
        near = min(least - shortest, longest - most) < off and not i_size_throughout(p)
        told = said(": measuring can be {measuring_off} off, try it in the car",
                    measuring_off=in_mm(off, "up")) if near else ""
        return passes(ceil(most), longest, "mm", side="fits", near=told, **facts)._replace(close=near)
    if least > longest:
        return _outside(ceil(least), longest, ceil(least) - longest, off, {**facts, "side": said("too short")})
    if most < shortest:
        return _outside(floor(most), shortest, shortest - floor(most), off, {**facts, "side": said("too long")})
    if i_size_throughout(p):
        return passes(ceil(least), longest, "mm", side="fits", near="", **facts)
    return lacks(field("installation.leg_along"))


def _outside(needed: int, limit: int, short: int, off: int, facts: dict[str, Any]) -> Result:
    """A leg that does not reach; a caution, and close, where measuring can be off by as much."""
    if short < off:
        return cautions(needed, limit, "mm", short, **facts)._replace(close=True)
    return fails(needed, limit, "mm", short, **facts)


def _leg_off(p: Placement, w: RuleContext, leg: Leg, above_floor: int, angle: float) -> float:
    """What the reach that the leg needs, less the one it has, may be off, mm: the height of the cushion and the leg by
    the tape, the cushion's angle by a phone. What a standard or a label says is exact."""
    from seatplan.geometry.recline import PHONE_OFF_DEG
    from seatplan.geometry.support import leg_needed

    tape, own = float(w.vehicle.measured.tolerance), float(p.restraint.tolerance) if p.restraint else 0.0
    reach = own if p.installation and p.installation.leg_reach is not None else 0.0
    place = own if p.installation and p.installation.leg_along is not None else 0.0

    def off(along: float) -> float:
        here = leg_needed(above_floor, angle, along)
        leaning = max(abs(leg_needed(above_floor, angle + by, along) - here) for by in (-PHONE_OFF_DEG, PHONE_OFF_DEG))
        return hypot(reach, leaning, leg_needed(above_floor + tape, angle, along) - here,
                     leg_needed(above_floor, angle, along + place) - here)

    return max(off(along) for along in leg.along)




def _leg(p: Placement) -> Leg | Result:
    """The measured leg, filled up with what every i-Size leg keeps to."""
    from seatplan.geometry.support import I_SIZE_LEG, Leg

    reach = p.installation.leg_reach if p.installation else None
    along = p.installation.leg_along if p.installation else None
    approval = p.restraint.approval if p.restraint else None
    i_size = approval is not None and approval.category == "i-size"
    if reach is None and not i_size:
        return lacks(field("installation.leg_reach"))
    if along is None and not i_size:
        return lacks(field("installation.leg_along"))
    return Leg(reach or I_SIZE_LEG.reach, I_SIZE_LEG.along if along is None else (along, along))


def _front(p: Placement) -> int | None:
    from seatplan.geometry.support import front_edge

    return front_edge(_base(p))


def _aside(p: Placement, w: RuleContext) -> int:
    """How far the restraint may end up beside its middle, mm."""
    installation = p.installation
    if installation is not None and installation.play is not None:
        return installation.play
    rigid = installation is not None and installation.connectors == "rigid" and len(p.bars) == 2
    return int(w.limit("base_aside_rigid" if rigid else "base_aside"))


def _length_that_does(base: list[Rect], need: float) -> int:
    """The cushion length with which nothing but the front edge takes support away."""
    back, front = min(rect[2] for rect in base), max(rect[3] for rect in base)
    return back + ceil((front - back) * need / 100)
