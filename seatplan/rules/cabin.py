"""What the car has above, before and behind a restraint: its roof, consoles, ridges on the seatback, parts of a row."""

from __future__ import annotations

from math import hypot
from typing import TYPE_CHECKING

from seatplan.fields import field
from seatplan.message import Amount, Name, in_mm, said

from .finding import Result, cautions, fails, lacks, passes
from .rule import rule

if TYPE_CHECKING:
    from seatplan.geometry.cabin import Hit
    from seatplan.geometry.shapes import Shape

    from .subjects import Placement, RuleContext

_NOT_SURE = "short by less than measuring can be off, which a try at the car shows before anybody rides; common " \
            "practice, no source"
_REMINDS = "what it asks for is looked at in a moment; common practice, no source"


def _middle(p: Placement) -> int | None:
    from seatplan.geometry.support import middle_of

    return middle_of(p.row, p.position, p.bars, p.second)


def _shape(p: Placement) -> Shape:
    """The restraint as it stands in the car, without its child, in the frame of the place."""
    from seatplan.geometry.shapes import Shapes, shape_of_restraint

    assert p.restraint is not None
    assert p.mode is not None
    shape = shape_of_restraint(p.restraint.restraint, p.mode, p.installation, p.restraint.tolerance)
    return Shapes().posed(shape, p.mode, p.recline, p.cushion.angle)


def _unseen(shape: Shape, width: bool) -> Result | None:
    """What has to be measured of a part that could not be looked at."""
    for box in shape.boxes:
        if box.outline is None:
            return lacks(field("mode.parts.outline", part=box.label))
        if width and box.width is None:
            return lacks(field("mode.parts.width", part=box.label))
    return None


def _off(w: RuleContext, *offs: float) -> float:
    return sum(offs) if w.options.worst_case else hypot(*offs)


@rule(
    "roof-too-low",
    title="The restraint is higher than the roof",
    source="follows from the measured shapes; roofs were high enough for over 90 % of boosters (Bing, Agnew, Bolte "
    "2018)",
    depends=("restraint", "mode", "installation", "position", "recline"),
    world=("tolerance",),
    reads=("row.roof", "mode.parts"),
    remedy="another seat, a setting that lies flatter where it is allowed, or a lower restraint",
    when=lambda p, w: p.mode is not None and p.row.roof is not None,
    weight="slight",
    why_weight=_NOT_SURE,
    says={
        "block": "{part} is {measured} high at {position} and the roof there {limit}: {shortfall} too high",
        "caution": "{part} is {measured} high at {position} and the roof there {limit}: {shortfall} too high, less "
                   "than the lengths may be off",
        "pass": "{part} is {measured} high at {position} and the roof there {limit}",
    },
)
def roof_too_low(p: Placement, w: RuleContext) -> Result | None:
    """A part of the restraint is higher than the inside of the roof.

    Checks: side view, leaning as in the car, on the place's own cushion, against the roof above it at every length.
    Why: what presses on the roof does not stand as it should, and its child's head is next to it.
    Limits: only where somebody measured the roof: nearly all are high enough. Nearer to it than the tape can be off
        is close. The child's own head is another rule's.
    Blocks: a shell of 960 mm below a roof of 930 mm.
    """
    from seatplan.geometry.cabin import under_roof

    assert p.row.roof is not None
    shape = _shape(p)
    found, unseen = under_roof(shape, p.row.roof, p.lift), _unseen(shape, width=False)
    if found is None:
        return unseen
    off, short = _off(w, found.off, w.vehicle.measured.tolerance), found.height - found.roof
    facts = {"part": found.part}
    if short <= 0 and unseen is not None:
        return unseen
    if short <= 0:
        return passes(found.height, found.roof, "mm", **facts)._replace(close=-short < off, keeps="most")
    say = cautions if short < off else fails
    return say(found.height, found.roof, "mm", short, **facts)._replace(close=short < off, keeps="most")


@rule(
    "head-under-roof",
    title="The head is near the roof",
    strength="good practice",
    source="common practice, no source",
    depends=("rider", "mode", "position"),
    reads=("row.roof", "mode.seat_up", "rider.sitting_height", "rider.height"),
    remedy="another seat, a lower booster, or a seatback that is set further back",
    when=lambda p, w: p.row.roof is not None and (p.mode is None or (p.booster and p.mode.seat_up is not None)),
    weight="slight",
    why_weight="a look shows it before the ride; common practice, no source",
    says={
        "caution": "the head comes up to {measured}{estimate} at {position} and the roof is {limit} above the cushion",
        "block": "the head must stay below the roof: it comes up to {measured}{estimate} at {position}, the roof is "
                 "{limit} above the cushion",
        "pass": "the head comes up to {measured}{estimate} at {position} and the roof is {limit} above the cushion",
    },
)
def head_under_roof(p: Placement, w: RuleContext) -> Result | None:
    """On a booster or the seat itself, the top of the head comes up to the roof.

    Checks: sitting height, on top of what the booster lifts, against the roof above the crease.
    Why: who cannot sit upright slides forward, and the head hits the roof in a bump.
    Limits: only where the roof was measured; the middle of an estimated sitting height counts.
    Blocks: nothing by itself; 960 mm of head below a roof of 930 mm give a caution.
    """
    from seatplan.geometry.anthropometry import sitting_height
    from seatplan.geometry.cabin import roof_at

    from .finding import at_most

    head = sitting_height(p.rider)
    if head is None:
        return None
    assert p.row.roof is not None
    lift = p.mode.seat_up or 0 if p.mode is not None else 0
    return at_most(head.middle + lift, int(roof_at(p.row.roof, 0)) - p.lift, "mm", estimated=not head.measured)


@rule(
    "console-in-the-way",
    title="A console or a floor hump stands where the restraint has to be",
    source="follows from the measured shapes; a support leg stands on the floor (UN R129, 02 series, 6.3.5)",
    depends=("restraint", "mode", "installation", "position", "bars", "recline"),
    world=("tolerance",),
    reads=("row.consoles", "mode.parts", "position.centre", "installation.leg_along"),
    remedy="another seat, a more upright setting where it is allowed, or an installation without the leg",
    when=lambda p, w: p.mode is not None and bool(p.row.consoles),
    weight="slight",
    why_weight=_NOT_SURE,
    says={
        "block": "{what} at {position}",
        "caution": "{what} at {position}, less than measuring can be off: try it in the car",
        "pass": "no console or floor hump is in the way at {position}",
    },
)
def console_in_the_way(p: Placement, w: RuleContext) -> Result | None:
    """A fixed thing in front of the seat, or on its floor, is where a part of the restraint or its leg would be.

    Checks: every part, at the restraint's middle and leaning as in the car, against every console that the file names;
        the place of the support leg's foot against what stands on the floor there.
    Why: a shell that rests on a console is held by it and not by its belt; a foot on a hump lifts the base.
    Limits: only what the file names. It is looked at where the middle hangs; what overlaps by less than the tape can
        be off is a caution. Of an i-Size leg that was not measured every place that its standard allows it counts.
    Blocks: a shell 440 mm wide about 700 that reaches 720 mm forward, before a console from 650 on between 600 and 800.
    """
    from seatplan.geometry.cabin import in_consoles, stands_on
    from seatplan.geometry.support import I_SIZE_LEG

    consoles, middle = p.row.consoles or [], _middle(p)
    if middle is None:
        return lacks(field("position.middle", position=p.position.position))
    tape = w.vehicle.measured.tolerance if p.position.tolerance is None else p.position.tolerance
    shape = _shape(p)
    hits = list(in_consoles(shape, consoles, middle, p.lift))
    if hits:
        worst = max(hits, key=lambda hit: hit.by - _off(w, hit.off, tape))
        close = worst.by < _off(w, worst.off, tape)
        what = said("{part} would stand {by} in {console}", part=worst.part, by=in_mm(round(worst.by), "up"),
                    console=Name(worst.thing))
        return (cautions if close else fails)(what=what)._replace(close=close)
    if p.installation is not None and p.installation.support_leg:
        leg = p.installation.leg_along
        along = I_SIZE_LEG.along if leg is None else (leg, leg)
        depth = p.cushion.above_floor
        foot = stands_on(consoles, middle, along, p.lift, 100_000 if depth is None else depth)
        if foot is not None:
            name, everywhere = foot
            if not everywhere:
                return lacks(field("installation.leg_along"))
            return fails(what=said("the foot of the support leg would stand on {console}", console=Name(name)))
    return _unseen(shape, width=True) or passes("none", "none")


@rule(
    "back-between-bolsters",
    title="The restraint is wider than the room between the bolsters of the seatback",
    strength="good practice",
    source="common practice, no source",
    depends=("restraint", "mode", "installation", "position", "bars", "recline"),
    reads=("row.seatback.bolsters", "row.seatback.angle", "mode.parts", "position.centre"),
    remedy="a seat whose back is flat; or try whether the restraint rests on the seatback and does not rock",
    when=lambda p, w: p.mode is not None and bool(p.row.seatback.bolsters) and p.mode_name != "harness-vest",
    weight="slight",
    why_weight="a back that rocks is found when it is installed and pulled; common practice, no source",
    says={
        "caution": "{part} would stand {by} on {bolster} of the seatback at {position}; look whether it rests on the "
                   "seatback and does not rock",
        "block": "{part} must rest on the seatback at {position}: it would stand {by} on {bolster}",
        "pass": "the restraint fits between the bolsters of the seatback at {position}",
    },
)
def back_between_bolsters(p: Placement, w: RuleContext) -> Result | None:
    """A side bolster of the seatback holds the restraint off it.

    Checks: every part, at the restraint's middle, against the ridges of the seatback that the file names: one that
        faces forward at every height that it has, another where it comes to the seatback.
    Why: a shell that rests on two ridges is pushed forward, and rocks.
    Limits: how far the padding gives way is not known, so it is a caution; of a seatback whose angle nobody measured
        24 degrees are taken.
    Blocks: nothing by itself; a shell 480 mm wide between bolsters 440 mm apart gives a caution.
    """
    from seatplan.geometry.cabin import beside_ridges

    middle, bolsters = _middle(p), p.row.seatback.bolsters or []
    if middle is None:
        return None
    angle = p.seatback.angle
    hits: list[Hit] = beside_ridges(
        _shape(p), bolsters, middle, _USUAL_BACK if angle is None else angle, p.lift,
        lies_against_back=p.booster or p.mode_name == "forward-facing-harness")
    if not hits:
        return passes("none", "none")
    widest = max(hits, key=lambda hit: hit.by)
    return fails(part=widest.part, by=in_mm(round(widest.by), "up"), bolster=Name(widest.thing))


#: the mean of rear seatbacks, degrees from upright (NHTSA rear-seat study: means of 20 to 24, from memory)
_USUAL_BACK = 24


@rule(
    "across-two-parts",
    title="The restraint stands on two parts of a row that slide apart",
    source="follows from the car: one part moves away under the restraint",
    depends=("mode", "installation", "position", "bars"),
    world=("tolerance",),
    reads=("row.parts.across", "mode.parts", "position.centre"),
    remedy="a seat of the wider part, or a restraint with a narrower base",
    when=lambda p, w: p.mode is not None and p.mode_name != "harness-vest" and not p.built_in and (
        len(p.row.parts) > 1 and any(part.slides != 0 for part in p.row.parts)),
    weight="slight",
    why_weight=_NOT_SURE,
    says={
        "block": "its base reaches {shortfall} over the edge of the part of the row that slides with {position}, from "
                 "{left:bare} to {right}",
        "caution": "its base reaches {shortfall} over the edge of the part of the row that slides with {position}, "
                   "from {left:bare} to {right}, less than measuring can be off",
        "pass": "its base at {position} stands on one part of the row",
    },
)
def across_two_parts(p: Placement, w: RuleContext) -> Result | None:
    """The base stands on a part of the row and on its neighbour, which slides by itself.

    Checks: the base, at its middle, against the edges of the part that its seat belongs to.
    Why: as soon as one part is moved, the restraint is twisted and its belt or anchors are loose.
    Limits: only for rows that slide in parts. A base that nobody measured is asked for elsewhere.
    Blocks: a base from 600 to 960 mm on a part that ends at 880 mm.
    """
    from seatplan.geometry.support import base_parts, footprints

    own = next((part for part in p.row.parts if p.position.position in part.positions), None)
    assert p.mode is not None
    base, middle = footprints(base_parts(p.mode, p.installation)), _middle(p)
    if own is None or base is None:
        return None
    if middle is None:
        return lacks(field("position.middle", position=p.position.position))
    if own.across is None:
        return lacks(field("row.parts.across", row=p.row.row))
    ends = min(rect[0] for rect in base) + middle, max(rect[1] for rect in base) + middle
    over = max(own.across[0] - ends[0] / 2, ends[1] / 2 - own.across[1])
    facts = {"left": in_mm(own.across[0]), "right": in_mm(own.across[1])}
    tape = w.vehicle.measured.tolerance
    off = _off(w, tape, tape)
    if over <= 0:
        return passes(0, 0, "mm", **facts)._replace(close=-over < off)
    say = cautions if over < off else fails
    return say(over, 0, "mm", over, **facts)._replace(close=over < off)


def _installed(p: Placement) -> bool:
    """Whether a restraint is fastened to the car and stays so, which a row that moves can loosen."""
    return p.mode is not None and not p.booster and p.installation is not None


@rule(
    "row-slides-under-it",
    title="The row that it is installed in can be moved",
    strength="good practice",
    source="the vehicle handbook on rows that slide; common practice, no source",
    depends=("mode", "installation", "position"),
    fact=("position",),
    reads=("row.slides", "row.parts"),
    remedy="a row that does not slide; or leave it where it was when the restraint was installed",
    when=lambda p, w: _installed(p) and bool(p.slides),
    weight="slight",
    why_weight=_REMINDS,
    own_step=True,
    says={
        "caution": "{position} can be slid by {measured}: after every move check belt, anchors and tether of the "
                   "restraint again",
        "block": "{position} must stay where it is once the restraint is installed: it can be slid by {measured}",
        "pass": "{position} does not slide",
    },
)
def row_slides_under_it(p: Placement, w: RuleContext) -> Result:
    """The restraint is installed in a row, or a part of one, that somebody can slide.

    Checks: whether the place slides, by itself or with its row.
    Why: anchors of belt and tether may stay in the floor or the body: what was tight is loose, or lifts the restraint.
    Limits: where the anchors sit on the seat and go along nothing changes; the handbook tells.
    Blocks: nothing; a reminder, which does not count against a seat.
    """
    return cautions(p.slides, 0, "mm")


@rule(
    "split-back-latched",
    title="A seatback that folds in parts is latched",
    strength="good practice",
    source="common practice, no source",
    depends=("mode", "position"),
    fact=("position",),
    reads=("row.split",),
    remedy="pull at every part of the seatback until each one holds",
    when=lambda p, w: p.mode is not None and bool(p.row.split),
    weight="slight",
    why_weight=_REMINDS,
    own_step=True,
    says={
        "caution": "the seatback behind {position} folds in parts: pull at each part, it must be latched",
        "block": "the seatback behind {position} folds in parts, and each must be latched",
        "pass": "the seatback behind {position} does not fold in parts",
    },
)
def split_back_latched(p: Placement, w: RuleContext) -> Result:
    """The seatback behind the restraint folds in parts, and one that is not latched comes forward in a crash.

    Checks: whether the file says that the row is split.
    Why: a part that folds forward throws the restraint, and its tether or belt anchor with it.
    Limits: whether it is latched only the car can tell.
    Blocks: nothing; a reminder, which does not count against a seat.
    """
    return cautions("split", "latched")


@rule(
    "back-set-as-measured",
    title="The seatback can be set otherwise than it was measured",
    strength="good practice",
    source="the vehicle handbook and the restraint's instructions on reclining seatbacks; common practice, no source",
    depends=("mode", "position"),
    fact=("position",),
    reads=("row.seatback.reclines", "row.seatback.angle"),
    remedy="set the seatback as it was measured, or measure again as it is to stand",
    when=lambda p, w: p.mode is not None and p.seatback.reclines is not None and p.seatback.reclines[0] < (
        p.seatback.reclines[1]),
    weight="slight",
    why_weight=_REMINDS,
    own_step=True,
    says={
        "caution": "the seatback at {position} can be set from {least:bare} to {most}: set it to {measured} before "
                   "installing, as it was measured, and leave it there",
        "block": "the seatback at {position} must stand at {measured}, as it was measured",
        "pass": "the seatback at {position} is fixed",
    },
)
def back_set_as_measured(p: Placement, w: RuleContext) -> Result | None:
    """The seatback can be reclined, and everything here was reckoned with it as it stood when it was measured.

    Checks: whether the file says that the back reclines, and at which angle it was measured.
    Why: at another angle the tether is longer or shorter, the back of a restraint no longer rests on the seat, and the
        belt comes from elsewhere.
    Limits: no other angle is tried: measure again with the back as it is to stand. An angle that nobody measured is
        asked for by the rules that need it.
    Blocks: nothing; a reminder, which does not count against a seat.
    """
    reclines, angle = p.seatback.reclines, p.seatback.angle
    assert reclines is not None
    if angle is None:
        return None
    return cautions(angle, angle, "degrees", least=Amount(reclines[0], "degrees"), most=Amount(reclines[1], "degrees"))
