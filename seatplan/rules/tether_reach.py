"""Does the tether strap reach its anchor, and is the anchor where the standards have it."""

from __future__ import annotations

from itertools import pairwise
from math import ceil, dist, hypot
from typing import TYPE_CHECKING, Any

from seatplan.fields import Missing, field
from seatplan.geometry.support import middle_of
from seatplan.message import joined, said

from .finding import Result, at_most, cautions, guesses, lacks, notes, passes
from .head_restraint import asked_of_it
from .rule import rule

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from seatplan.geometry.tether_reach import Strap
    from seatplan.model.vehicle import HeadRestraint, Tether

    from .subjects import Placement, RuleContext


def _anchor(p: Placement) -> Tether | None:
    """The anchor of a placement, its height from the place's own cushion."""
    anchor, up = next((t for t in p.row.tethers or () if t.tether == p.tether), None), p.lift
    if anchor is None or anchor.up is None or not up:
        return anchor
    return anchor.model_copy(update={"up": anchor.up - up})


def _aside(p: Placement) -> float | None:
    """How far the anchor is from the middle of the restraint, across, mm."""
    anchor, middle = _anchor(p), middle_of(p.row, p.position, p.bars)
    return (
        None if anchor is None or anchor.across is None or middle is None else abs(anchor.across - middle / 2)
    )


@rule(
    "tether-too-short",
    title="The tether strap does not reach its anchor",
    source="the restraint's instructions; un: UN R44 (04 series) 6.3.3.2.1 and UN R129 (02 series) "
    "6.3.4.2.1, at least 2000 mm",
    depends=("restraint", "mode", "installation", "position", "bars", "tether"),
    world=("tolerance",),
    reads=(
        "mode.tether_length",
        "mode.tether_from",
        "row.tethers",
        "row.seatback.angle",
        "row.seatback.height",
        "position.head_restraint",
        "installation.vehicle_head_restraint",
    ),
    limits=("tether_strap",),
    remedy="another seat; ask the maker of the restraint for a longer strap",
    when=lambda p, w: p.tether is not None and p.mode is not None,
    weight="slight",
    why_weight="the installation may do without the tether, and hooking the strap shows whether it "
    "reaches; common practice, no source",
    says={
        "block": "the way over the {over} to the tether anchor is {measured} and the strap {limit} long: {shortfall} "
                 "too short",
        "caution": "the way over the {over} to the tether anchor is {measured} and the strap {limit} long: {shortfall} "
                   "too short, less than measuring can be off: try whether it hooks and tightens",
        "pass": "the way over the {over} to the tether anchor is {measured} and the strap {limit} long{estimate}",
    },
)
def tether_too_short(p: Placement, w: RuleContext) -> Result | None:
    """The way from the shell over the seatback to the anchor is longer than the tether strap.

    Checks: the strap pulled tight from the shell over the top of the seatback to the anchor, and sideways,
        against the length of the strap; under un 2000 mm where the file has none.
    Why: a strap that does not reach cannot be hooked, and one at its end cannot be tightened.
    Limits: a head restraint that is not known to come off is taken to stay, 200 mm high, with the strap over
        it, and a seatback to be 100 mm thick; where nobody measured where the strap leaves the shell, the
        corner of the shell that is farthest counts. The shell is taken as it stood when it was measured;
        hook and tightener count as part of the strap. A strap that is led on through loops is as much longer as they
        are from each other. Nearer to the end of the strap than tape and phone can be off, on either side, is close.
        Where only the place of the anchor or the length of the strap is missing, both ends are assumed: it is likely
        where the shortest strap that such restraints have reaches from the upper half of the shell (UN R16 Annex
        17, now UN R173, App. 2 Fig. 2: 550 mm above the base) to the furthest place that such anchors have. An
        installation that does not need its tether gets a note in place of what is missing.
    Blocks: a way of 1,240 mm for a strap of 1,200 mm.
    """
    from seatplan.geometry.tether_reach import FURTHEST_ANCHOR, exits_of

    if p.mode is None:
        return None
    strap, known = p.mode.tether_length, w.profile.thresholds.get("tether_strap")
    if strap is None and known is not None:
        strap = int(known.value)
    missing = _gap(p)
    if missing is not None:
        return _missing(p, missing)
    anchor, exits = _anchor(p), exits_of(p.mode, p.installation)
    assert exits is not None
    place = anchor is not None and anchor.along is not None and anchor.up is not None and anchor.across is not None
    ends = [((anchor.along, anchor.up), _aside(p) or 0.0)] if place and anchor is not None else FURTHEST_ANCHOR
    way = max((found for end in ends for found in _ways(p, exits, *end)), key=lambda found: found.length)
    if not place or strap is None:
        return _assumed(p, w, place, strap, ends, exits, way.length)
    onward = _onward(p)
    if onward is None:
        return _missing(p, field("row.tethers", tether=p.tether))
    whole = way.length + onward
    facts = {
        "angle": way.angle,
        "assumed": p.mode.tether_from is None,
        "over": _over(way),
    }
    if whole > strap and p.mode.tether_from is None:
        return _missing(p, field("mode.tether_from"))
    told = at_most(whole, strap, "mm", **facts)
    assert anchor is not None
    off = ceil(_way_off(p, w, way.length, exits, anchor))
    if abs(whole - strap) >= off:
        return told
    return told._replace(outcome="pass" if told.outcome == "pass" else "caution", close=True)


def _assumed(p: Placement, w: RuleContext, place: bool, strap: int | None, ends: Sequence[tuple[Any, float]],
             exits: Sequence[tuple[float, float]], length: int) -> Result:
    """The answer where the place of the anchor or the length of the strap is missing: ``ends`` are the places that it
    may have, ``length`` the longest way to one of them."""
    from seatplan.geometry.tether_reach import SHORTEST_STRAP

    unknown = [] if place else [field("row.tethers", tether=p.tether)]
    if strap is None:
        unknown.append(field("mode.tether_length"))
    what = joined(said(" and "), [one.field for one in unknown])
    least = SHORTEST_STRAP if strap is None else strap
    upper = [one for one in exits if 2 * one[1] >= max(up for _, up in exits)]
    likely = max((found for end in ends for found in _ways(p, upper, *end)), key=lambda found: found.length)
    if likely.length <= least and not w.options.strict and not _does_without(p) and _onward(p) == 0:
        return guesses((what,), likely.length, least, "mm", over=_over(likely), assumed=True)
    return _missing(p, Missing(what, joined(said("; "), [one.how for one in unknown]), "mm"),
                    length if place else None, assumed=True)


def _way_off(p: Placement, w: RuleContext, length: int, exits: Sequence[tuple[float, float]], anchor: Tether) -> float:
    """What the way of the strap, less its length, may be off, mm: the seatback's height and the anchor's place by the
    tape, where the strap leaves the shell and its length by the restraint's, the seatback's angle by a phone. What a
    standard says of the strap is exact."""
    from seatplan.geometry.recline import PHONE_OFF_DEG
    from seatplan.geometry.tether_reach import strap_of

    tape, own = float(w.vehicle.measured.tolerance), float(p.restraint.tolerance) if p.restraint else 0.0
    along, up, aside = float(anchor.along or 0), float(anchor.up or 0), float(_aside(p) or 0)
    back, head = p.seatback, _head(p)

    def way(exit_by: tuple[float, float] = (0, 0), lean: float = 0, high: float = 0,
            to: tuple[float, float] = (0, 0)) -> int:
        return max(strap_of((x + exit_by[0], y + exit_by[1]), (back.angle or 0) + lean, (back.height or 0) + high,
                            (along + to[0], up + to[1]), aside, head).length for x, y in exits)

    moved = (
        [way(lean=by) for by in (-PHONE_OFF_DEG, PHONE_OFF_DEG)], [way(high=by) for by in (-tape, tape)],
        [way(to=(by, 0)) for by in (-tape, tape)], [way(to=(0, by)) for by in (-tape, tape)],
        [way(exit_by=(by, 0)) for by in (-own, own)], [way(exit_by=(0, by)) for by in (-own, own)])
    offs: list[float] = [max(abs(one - length) for one in ends) for ends in moved]
    offs.append(own if p.mode is not None and p.mode.tether_length is not None else 0.0)
    return sum(offs) if w.options.worst_case else hypot(*offs)


def _gap(p: Placement) -> Missing | None:
    """What is missing beside anchor and strap: a field, and how to take it."""
    from seatplan.geometry.tether_reach import exits_of

    back = p.seatback
    if back.height is None or back.angle is None:
        return field("row.seatback.angle", row=p.row.row)
    if middle_of(p.row, p.position, p.bars) is None:
        return field("position.middle", position=p.position.position)
    if p.mode is None or exits_of(p.mode, p.installation) is None:
        return field("mode.tether_from")
    return None


def _onward(p: Placement) -> int | None:
    """How far a strap runs on from its own anchor through the loops that it is led to, mm; None where nobody measured
    one of them."""
    anchor = _anchor(p)
    if anchor is None or not anchor.through:
        return 0
    places = {one.tether: (one.across, one.along, one.up) for one in p.row.tethers or ()
              if one.across is not None and one.along is not None and one.up is not None}
    names = (anchor.tether, *anchor.through)
    if any(name not in places for name in names):
        return None
    return ceil(sum(dist(places[one], places[other]) for one, other in pairwise(names)))


def _ways(p: Placement, exits: Sequence[tuple[float, float]], anchor: tuple[float, float],
          aside: float) -> Iterator[Strap]:
    from seatplan.geometry.tether_reach import strap_of

    back, head = p.seatback, _head(p)
    for place in exits:
        yield strap_of(place, back.angle or 0, back.height or 0, anchor, aside, head)


def _head(p: Placement) -> HeadRestraint | None:
    """The head restraint that the strap passes: one that the instructions want left in does not come off."""
    head = p.position.head_restraint
    return head.model_copy(update={"removable": False}) if head is not None and asked_of_it(p) == "left-in" else head


def _missing(p: Placement, what: Missing, settles_at: int | None = None, **facts: Any) -> Result:
    """Unmeasured where the way of installing needs its tether, or may; else a note."""
    say = notes if _does_without(p) else lacks
    return say(what, settles_at, "least", **facts)


def _does_without(p: Placement) -> bool:
    return p.installation is not None and p.installation.needs_tether is False


def _over(way: Strap) -> str:
    return said("head restraint") if way.over_head_restraint else "seatback"


@rule(
    "tether-anchor-outside-zone",
    title="The tether anchor is not where the standards have it for this seat",
    strength="good practice",
    source="49 CFR 571.225 S6.2.1, Figs 3 to 7; UN R145 draws the same (from memory)",
    depends=("mode", "installation", "position", "bars", "tether"),
    reads=("row.tethers", "row.seatback.angle", "position.centre"),
    remedy="another seat; ask the maker of the vehicle which anchor belongs to which seat",
    when=lambda p, w: p.mode is not None and p.tether is not None,
    weight="slight",
    why_weight="an anchor beside its zone still holds most of the pull, and its place is only "
    "estimated; common practice, no source",
    says={
        "caution": "the tether anchor is {measured} outside the zone of the standards at {position}, {where} "
                   "(shoulder estimated)",
        "block": "the tether anchor must lie in the zone of the standards: {measured} outside it at {position}, "
                 "{where} (shoulder estimated)",
        "pass": "the tether anchor lies in the zone of the standards at {position} (shoulder estimated)",
    },
)
def tether_anchor_outside_zone(p: Placement, w: RuleContext) -> Result | None:
    """The anchor lies outside the zone that the standards draw behind a seat.

    Checks: the anchor in side view and from above: behind the line of the torso, at most 2000 mm behind the
        shoulder, below a plane that rises at 30 degrees, and at most 20 degrees to the side.
    Why: from elsewhere the strap pulls sideways or upwards and holds less, or the anchor belongs to another
        seat.
    Limits: the shoulder point is estimated from crease and seatback (from memory), so this never blocks;
        the front view counts only for an anchor that is not behind the shoulder.
    Blocks: nothing; a caution for an anchor 500 mm behind the shoulder and 250 mm to the side.
    """
    from seatplan.geometry.tether_reach import outside_zone

    anchor, angle, aside = _anchor(p), p.seatback.angle, _aside(p)
    if anchor is None or anchor.along is None or anchor.up is None or angle is None or aside is None:
        return None
    found = outside_zone(angle, (anchor.along, anchor.up), aside)
    if found.mm == 0:
        return passes(0, 0, "mm")
    return cautions(found.mm, 0, "mm", found.mm, where=found.where)
