"""Lower anchors: are they there, far enough apart, allowed, and strong enough for child and restraint."""

from __future__ import annotations

from functools import lru_cache
from math import ceil
from operator import itemgetter
from typing import TYPE_CHECKING, NamedTuple

from seatplan.fields import Missing, field, named
from seatplan.message import Amount, Name, joined, said
from seatplan.units import Number, Quantity

from .finding import Result, cautions, fails, lacks, passes, short_by
from .limits import limit_of
from .rule import rule

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from .subjects import Placement, RuleContext


#: centre to centre of two bars: figures of UN R16 Annex 17 App. 2; of 49 CFR 571.225 from memory. It is no
#: threshold, since neither way is the stricter one
STANDARD_SPACING_MM = 280



def spacing_of(p: Placement) -> int | None:
    """Centre to centre of the two bars of a placement, mm; None where a bar has no place."""
    known = {bar.bar: bar.across for bar in p.row.lower_anchors or () if bar.across is not None}
    if len(p.bars) != 2 or not all(bar in known for bar in p.bars):
        return None
    return abs(known[p.bars[1]] - known[p.bars[0]])


def _standard(w: RuleContext) -> tuple[float, float]:
    tolerance = w.limit("lower_anchor_spacing_tolerance")
    return STANDARD_SPACING_MM - tolerance, STANDARD_SPACING_MM + tolerance


@rule(
    "no-lower-anchors",
    title="There are no lower anchors at this seat",
    source="49 CFR 571.225 S4.4: not required at every seat; UN R16 (07 series) 8.3.5",
    depends=("installation", "position", "bars"),
    fact=("position",),
    reads=("position.lower_anchors", "position.borrow"),
    remedy="installation with the belt; a seat with lower anchors",
    when=lambda p, w: p.on_lower_anchors,
    says={
        "block": "{position} has no lower anchors",
        "pass": "{position} has bars {measured}",
    },
)
def no_lower_anchors(p: Placement, w: RuleContext) -> Result:
    """The installation needs two lower anchors and the position has none.

    Checks: whether two bars belong to the position or may be borrowed there.
    Why: connectors with nothing to hold on to hold nothing.
    Limits: bars that sit too deep to reach are not known.
    Blocks: lower anchors at a centre seat whose file says `lower_anchors: none`.
    """
    if p.bars:
        return passes(joined(said(" and "), p.bars))
    if p.position.lower_anchors is None:
        return lacks(field("position.lower_anchors", position=p.position.position), said("two bars"))
    return fails("none", said("two bars"))


@rule(
    "lower-anchors-off-spacing",
    title="The lower anchors are too near or too far apart",
    source="figures of 49 CFR 571.225 and UN R16 Annex 17 App. 2 (now UN R173): 280 mm; the bars are 25 mm long "
    "or more",
    depends=("installation", "position", "bars"),
    reads=("row.lower_anchors", "installation.spacing", "installation.connectors"),
    limits=("lower_anchor_spacing_tolerance",),
    remedy="installation with the belt",
    when=lambda p, w: p.on_lower_anchors and len(p.bars) == 2,
    says={
        "block": "the bars are {measured} apart, allowed {limit}: {shortfall} off",
        "pass": "the bars are {measured} apart, allowed {limit}",
    },
)
def lower_anchors_off_spacing(p: Placement, w: RuleContext) -> Result:
    """The two bars are not at a distance that the restraint is made for.

    Checks: the distance of the bars against the standard one, or against the spacings that the instructions name for
        connectors on straps; where nobody wrote down which they are, that is asked for.
    Why: connectors that pull at an angle let the restraint move sideways.
    Limits: the length of the bars takes up small differences; that is the tolerance.
    Blocks: two bars 430 mm apart, where the instructions name no spacing beside 280 mm.
    """
    spacing = spacing_of(p)
    if spacing is None:
        return lacks(field("row.lower_anchors", position=p.position.position), STANDARD_SPACING_MM)
    named, connectors = (p.installation.spacing, p.installation.connectors) if p.installation else (None, None)
    if named is None or p.borrowed or connectors == "flexible":       # borrowed bars have a rule of their own for it
        return _within(spacing, [_standard(w), *([named] if named else [])])
    by_itself = _within(spacing, [_standard(w)])
    if by_itself.outcome == "pass" or connectors == "rigid" or _within(spacing, [named]).outcome != "pass":
        return by_itself
    return lacks(field("installation.connectors"), "flexible")


def _within(spacing: int, spans: Sequence[tuple[float, float]]) -> Result:
    """Inside one of the spans, or off by the distance to the nearest of their ends."""
    told = joined(
        said(" or "), (said("{least:bare} to {most:bare}", least=Amount(least, "mm", "up", fine=True),
                           most=Amount(most, "mm", "down", fine=True)) for least, most in spans)
    )
    off = min(max(least - spacing, spacing - most, 0) for least, most in spans)
    return fails(spacing, told, "mm", off) if off else passes(spacing, told, "mm")


@rule(
    "lower-anchors-borrowed",
    title="Borrowed lower anchors that the restraint does not allow",
    source="convention, only if both makers allow it; from memory",
    depends=("installation", "bars"),
    fact=("restraint", "mode"),
    reads=("position.borrow", "installation.borrow"),
    remedy="the belt, or a seat with lower anchors of its own",
    when=lambda p, w: p.borrowed,
    says={
        "block": "the bars at {position} belong to other seats; the instructions of {restraint} on that: {measured}",
        "pass": "the bars at {position} belong to other seats, and both makers allow it",
    },
)
def lower_anchors_borrowed(p: Placement, w: RuleContext) -> Result:
    """The bars belong to the seats beside it, and the restraint's maker does not allow that.

    Checks: what the instructions say of borrowed bars; the vehicle's `borrow` is its handbook's leave.
    Why: nobody tested the restraint on bars of other seats.
    Limits: silence in the instructions counts as no.
    Blocks: a centre seat that borrows the inner bars, with instructions that do not allow it.
    """
    allowed = p.installation.borrow if p.installation else None
    return passes("allowed", "allowed") if allowed == "allowed" else fails(allowed or said("not named"), "allowed")


@rule(
    "rigid-on-borrowed-bars",
    title="Rigid connectors on borrowed lower anchors",
    source="common practice, no source: rigid connectors cannot be set wider or narrower",
    depends=("installation", "position", "bars"),
    fact=("position",),
    reads=("installation.connectors", "row.lower_anchors"),
    limits=("lower_anchor_spacing_tolerance",),
    remedy="flexible connectors where the instructions allow; the belt",
    when=lambda p, w: p.borrowed and p.installation is not None and p.installation.connectors != "flexible",
    says={
        "block": "rigid connectors do not reach borrowed bars {measured} apart, allowed {limit}: {shortfall} off",
        "pass": "rigid connectors reach the borrowed bars, {measured} apart, allowed {limit}",
    },
)
def rigid_on_borrowed_bars(p: Placement, w: RuleContext) -> Result:
    """Rigid connectors cannot reach borrowed bars.

    Checks: for rigid connectors on borrowed bars, that the bars stand at the standard distance.
    Why: rigid connectors are as far apart as they are; they cannot be forced.
    Limits: the same tolerance as for a seat's own bars.
    Blocks: rigid connectors, 280 mm apart, on borrowed bars 450 mm apart.
    """
    if p.installation is None or p.installation.connectors is None:
        return lacks(field("installation.connectors"), "flexible")
    spacing = spacing_of(p)
    if spacing is None:
        return lacks(field("row.lower_anchors", position=p.position.position), STANDARD_SPACING_MM)
    return _within(spacing, [_standard(w)])


class _Limit(NamedTuple):
    """One limit on the lower anchors, kg. ``both``: it holds for child and restraint together."""

    whose: str
    both: bool
    most: Number


#: labels of lower anchors are rounded up to the next multiple, lb: tables of 49 CFR 571.213 S5.5.2(l)(3)(i)(B) and
#: (C) as amended by 79 FR 10396 (from memory)
_TABLE_STEP_LB = 5


def _on_label(p: Placement) -> list[_Limit]:
    """What the restraint's label prints: either kind of limit, or both; nothing where it prints none, and where nobody
    looked."""
    if p.installation is None:
        return []
    child = p.installation.mass_limit
    return _known(said("the restraint's label"), child if isinstance(child, Quantity) else None,
                  p.installation.combined_mass_limit)


def _in_handbook(p: Placement) -> list[_Limit]:
    manual = p.position.manual
    return [] if manual is None else _known(
        said("the vehicle handbook"), manual.lower_anchor_child_mass_limit, manual.lower_anchor_mass_limit)


def _known(whose: str, child: Quantity | None, together: Quantity | None) -> list[_Limit]:
    return [_Limit(whose, both, limit) for both, limit in ((False, child), (True, together)) if limit is not None]


def _label_needed(p: Placement, w: RuleContext) -> bool:
    """Nobody looked for a limit on the label, and one has to be there, or may be: under the us rules where the
    restraint and the heaviest child of the mode weigh more than 65 lb together. One limit of either kind is an
    answer."""
    if p.booster or w.profile.base != "us" or p.installation is None or p.installation.mass_limit is not None or (
            p.installation.combined_mass_limit is not None):
        return False
    own, limits = p.restraint.mass if p.restraint else None, limit_of(p, "mass")
    return own is None or limits is None or own + limits[1] > w.limit("lower_anchor_combined_mass")


def _mass_limits(p: Placement, w: RuleContext) -> list[_Limit]:
    """Every limit on the lower anchors that holds."""
    label = _on_label(p)
    limits = [*label, *_in_handbook(p)]
    if not p.booster and (w.profile.base == "un" or (not label and not _label_needed(p, w))):
        limits.append(_Limit(said("the {name} rules", name=w.profile.name), True,
                             w.limit("lower_anchor_combined_mass")))
    return limits


def _table(p: Placement, w: RuleContext, own: Number) -> Quantity:
    """What the tables of the us rules let a label print for a restraint of a mass."""
    start = w.limit("lower_anchor_rear_combined_mass" if p.rear_facing else "lower_anchor_combined_mass")
    return _pounds(max(0, ceil((start - own) / _pounds(_TABLE_STEP_LB))) * _TABLE_STEP_LB)


@lru_cache(maxsize=64)
def _pounds(lb: int) -> Quantity:
    return Quantity(f"{lb} lb")


@rule(
    "lower-anchors-overloaded",
    title="Child and restraint are too heavy for the lower anchors",
    source="49 CFR 571.213 S5.5.2(l)(3)(i): the label, which must be there where restraint and heaviest child pass "
    "65 lb; else 65 lb less the restraint; UN R129 (02 series) 6.3.2.3: 33 kg",
    depends=("rider", "restraint", "mode", "installation", "position"),
    reads=(
        "rider.mass",
        "restraint.mass",
        "limits.mass",
        "installation.mass_limit",
        "installation.combined_mass_limit",
        "position.manual.lower_anchor_mass_limit",
        "position.manual.lower_anchor_child_mass_limit",
    ),
    limits=("lower_anchor_combined_mass", "lower_anchor_rear_combined_mass"),
    remedy="installation with the belt",
    one_way=True,
    when=lambda p, w: p.on_lower_anchors and (not p.booster or bool(_on_label(p) or _in_handbook(p))),
    weight="slight",
    why_weight="the label allows it; only whether it was read right is in doubt; common practice, no "
    "source",
    says={
        "block": "too heavy for lower anchors: {measured}{sum} of {limit} ({by}){as_written}: {shortfall} over; use "
                 "the belt",
        "caution": "{measured} on lower anchors, limit on the label: {label}; {by} end at {limit}: read it again",
        "pass": "{measured}{sum} of {limit} on lower anchors ({by}){as_written}",
    },
)
def lower_anchors_overloaded(p: Placement, w: RuleContext) -> Result:
    """Child, or child and restraint together, weigh more than the lower anchors may carry.

    Checks: the limits of label and handbook, each for the child or for child and restraint together, whichever they
        print, and the rules' own for both; the tightest counts, for a booster too where one is written. In the us rules
        the rules' own limit stands in where the label was looked at and has none (`mass_limit: none`). Where nobody
        looked, the label is asked for if restraint and the mode's heaviest child pass 65 lb together: up to that it
        need not say anything. One limit of either kind on the label is an answer: the other is not asked for.
    Why: the bars are tested for a certain load; beyond it they can tear out.
    Limits: about lower anchors only, not about the belt. A caution shows both where a label allows more than the
        table of the rules lets it print, and where a rear-facing label that has none could have ended at 60 lb.
    Blocks: a restraint of 15.0 kg with a child of 18.1 kg: 33.1 kg, limit 33 kg.
    """
    limits = _mass_limits(p, w)
    own = p.restraint.mass if p.restraint else None
    child = p.rider.mass
    known = [(one, own or 0 if one.both else 0) for one in limits if not one.both or own is not None]
    if child is None:
        left = [limit.most - beside for limit, beside in known]
        return lacks(field("rider.mass", rider=p.rider.rider), min(left) if left else None, "most")
    judged = sorted(((limit.most - child - beside, limit) for limit, beside in known), key=itemgetter(0))
    if judged and judged[0][0] < 0:
        return _told(fails, judged[0][1], child, own, short_by(-judged[0][0]))
    if own is None and any(limit.both for limit in limits):
        most = min(limit.most for limit in limits if limit.both) - child
        return lacks(field("restraint.mass"), most, "most")
    if _label_needed(p, w):
        return lacks(field("installation.mass_limit"), child, "least")
    return _doubtful(p, w, child, own) or _told(passes, judged[0][1], child, own)


def _told(outcome: Callable[..., Result], limit: _Limit, child: Number, own: Number | None, *short: Number) -> Result:
    """What is held against the tightest limit, with what it is the sum of."""
    if not limit.both or own is None:
        return outcome(child, limit.most, "kg", *short, by=limit.whose, sum="")
    return outcome(child + own, limit.most, "kg", *short, by=limit.whose, sum=said(
        " (child {child}, restraint {restraint_mass})", child=Amount(child, "kg", "up"),
        restraint_mass=Amount(own, "kg", "up")))


def _doubtful(p: Placement, w: RuleContext, child: Number, own: Number | None) -> Result | None:
    """A caution where the label allows more than the us rules let it print, or prints nothing where it might."""
    if w.profile.base != "us" or p.booster or own is None or p.installation is None:
        return None
    label = min(_on_label(p), key=lambda one: one.most - own if one.both else one.most, default=None)
    if label is not None:
        table = _table(p, w, own)
        printed = Name(getattr(label.most, "written", ""))
        told = said("{label} with the restraint", label=printed) if label.both else printed
        return cautions(child, table, "kg", short_by(child - table), label=told,
                        by=said("labels for a restraint of its mass")) if child > table else None
    low, together = w.limit("lower_anchor_rear_combined_mass"), child + own
    if p.rear_facing and p.installation.mass_limit == "none" and together > low:
        return cautions(together, low, "kg", short_by(together - low), label="none", by=said("rear-facing labels"))
    return None


@rule(
    "lower-anchors-with-belt",
    title="Lower anchors and belt together, which the vehicle does not allow",
    source="general guidance, lower anchors or belt and not both unless both makers allow it; "
    "49 CFR 571.213 S5.5.2(g)(1)(ii)",
    depends=("mode", "installation", "position"),
    fact=("position",),
    reads=("installation.by", "position.manual.allows"),
    remedy="lower anchors alone, or the belt alone",
    when=lambda p, w: p.by == "lower-anchors-with-belt" and not p.booster,
    says={
        "block": "lower anchors and belt at once are {measured}",
        "pass": "lower anchors and belt at once are allowed by both makers",
    },
)
def lower_anchors_with_belt(p: Placement, w: RuleContext) -> Result:
    """The restraint would be held by lower anchors and belt at once, without the leave of the vehicle maker.

    Checks: that the handbook allows both together; the restraint's maker does, or it would have no such
        installation.
    Why: two ways of holding pull against each other, and neither is tight.
    Limits: only what was copied from the handbook.
    Blocks: both together where the handbook does not name it.
    """
    manual = p.position.manual
    if manual is None:
        return lacks(Missing(
            named("position.manual.allows",
                  said("whether the vehicle handbook allows both at {position}", position=p.position.position)),
            said("look it up and write `manual: {allows: [lower-anchors-with-belt]}`, or [] if it does not")
        ))
    allowed = "lower-anchors-with-belt" in manual.allows
    return passes("allowed", "allowed") if allowed else fails(said("not allowed"), "allowed")


@rule(
    "lower-anchors-forbidden-here",
    title="The vehicle handbook forbids lower anchors at this seat",
    source="the vehicle handbook",
    depends=("installation", "position"),
    fact=("position",),
    reads=("position.manual.forbids",),
    remedy="installation with the belt",
    when=lambda p, w: p.on_lower_anchors and p.position.manual is not None,
    says={
        "block": "the vehicle handbook forbids lower anchors at {position} (page: {page})",
        "pass": "the vehicle handbook does not forbid lower anchors at {position}",
    },
)
def lower_anchors_forbidden_here(p: Placement, w: RuleContext) -> Result:
    """The vehicle handbook says that lower anchors may not be used at this position.

    Checks: what the handbook forbids at the position.
    Why: the maker knows what the bars were not made for.
    Limits: a handbook that was not read is reported by forbidden-by-handbook.
    Blocks: lower anchors at a seat where the handbook forbids them.
    """
    manual = p.position.manual
    if manual is not None and "lower-anchors" in (manual.forbids or ()):
        return fails(said("lower anchors"), page=Name(manual.page) or said("not noted"))
    return passes(said("not forbidden"))
