"""Is this very restraint still fit for use: expiry, crash, recall, labels, history."""

from __future__ import annotations

from calendar import monthrange
from datetime import date
from typing import TYPE_CHECKING

from seatplan.fields import field
from seatplan.message import Day, said

from .finding import Result, cautions, fails, lacks, passes
from .rule import rule

if TYPE_CHECKING:
    from seatplan.model import Restraint

    from .subjects import Placement, RuleContext

#: guidance of NHTSA on use after a crash, read in copies: a crash is minor only if all five hold
MINOR_ONLY_IF = "driven away, nearest door undamaged, nobody hurt, no airbag opened, no damage to be seen"


def _any_restraint(placement: Placement, world: RuleContext) -> bool:
    return placement.restraint is not None


def add_months(day: date, months: int) -> date:
    """The same day of the month so many months later, or the month's last day."""
    year, month = divmod(day.month - 1 + months, 12)
    year, month = day.year + year, month + 1
    return date(year, month, min(day.day, monthrange(year, month)[1]))


def use_until(restraint: Restraint) -> date | None:
    """The last day of use, as far as its file says."""
    ends = [] if restraint.expires is None else [restraint.expires]
    if restraint.made is not None and restraint.expires_after is not None:
        ends.append(add_months(restraint.made, restraint.expires_after))
    return min(ends, default=None)


def known_unfit(restraint: Restraint, day: date) -> bool:
    """Whether something is known of the restraint itself for which it is not to be used, or only with doubt."""
    condition, last = restraint.condition, use_until(restraint)
    return (condition.crash not in (None, "none") or condition.recall == "open" or condition.labels == "missing"
            or condition.history == "unknown" or (last is not None and day > last))


@rule(
    "restraint-expired",
    title="The restraint has expired",
    source="the restraint's label; set by its maker",
    depends=("restraint",),
    world=("day",),
    reads=("restraint.made", "restraint.expires_after", "restraint.expires", "restraint.in_order"),
    remedy="another restraint",
    when=lambda p, w: p.restraint is not None and (
        p.restraint.built_into is None or use_until(p.restraint) is not None),
    says={
        "block": "{restraint} may be used until {limit}; on {measured} it is {shortfall} past",
        "pass": "{restraint} may be used until {limit}",
    },
)
def restraint_expired(placement: Placement, world: RuleContext) -> Result:
    """On the day of travel the restraint is past its last day of use.

    Checks: `expires`, or the day it was made plus `expires_after`, against the day of travel.
    Why: plastic and webbing age, and the maker answers for them only so long.
    Limits: the last day itself still counts as good. One that is built into the vehicle lasts as long as that (from
        memory), unless its file names a day.
    Blocks: a restraint made on 1 March 2018 for seven years, on 2 March 2025.
    """
    restraint = placement.restraint
    assert restraint is not None
    if restraint.made is not None and restraint.made > world.day:
        return lacks(field("restraint.made")._replace(how=said(
            "read the label under or behind the restraint: {made} is after the day of travel",
            made=Day(restraint.made))))
    last = use_until(restraint)
    if last is None and restraint.in_order:
        return passes(said("in date"), said("the day on its label"))
    if last is None:
        return lacks(field("restraint.expires"), said("{day} or later", day=Day(world.day)))
    if world.day > last:
        return fails(Day(world.day), Day(last), shortfall=(world.day - last).days, unit="days")
    return passes(Day(world.day), Day(last), unit="days", left=(last - world.day).days)


@rule(
    "restraint-crashed",
    title="The restraint was in a crash",
    source="guidance of NHTSA on use after a crash (read in copies); the maker's instructions prevail",
    depends=("restraint",),
    reads=("restraint.condition.crash",),
    remedy="another restraint",
    when=_any_restraint,
    weight="grave",
    why_weight="damage that nobody sees can let it break in the next crash; guidance of NHTSA on use "
    "after a crash, read in copies",
    doubts_restraint=True,
    says={
        "block": "{restraint} was in a {measured} crash",
        "caution": "{restraint} was in a minor crash ({only_if}): follow its instructions, many ask for a new one",
        "pass": "{restraint} was in no crash",
    },
)
def restraint_crashed(placement: Placement, world: RuleContext) -> Result:
    """The restraint was in a moderate or severe crash.

    Checks: what was noted of crashes.
    Why: damage that nobody sees can let it break.
    Limits: a crash is minor only if the car could be driven away, the nearest door was undamaged, nobody
        was hurt, no airbag opened, and the restraint shows no damage; many makers ask for replacement even
        then.
    Blocks: a restraint that was in a car towed away after a crash.
    """
    crash = placement.restraint.condition.crash if placement.restraint else None
    if crash in (None, "unknown"):
        return lacks(field("restraint.condition.crash"), "none")
    if crash == "none":
        return passes("none", "none")
    return cautions(crash, "none", only_if=MINOR_ONLY_IF) if crash == "minor" else fails(crash, "none")


@rule(
    "restraint-recalled",
    title="The restraint has an open recall",
    source="49 CFR 571.213 S5.5.2(m): recall contact on the label",
    depends=("restraint",),
    reads=("restraint.condition.recall",),
    remedy="have the recall remedied, or take another restraint",
    when=_any_restraint,
    says={
        "block": "{restraint} has an open recall",
        "pass": "{restraint} has no open recall",
    },
)
def restraint_recalled(placement: Placement, world: RuleContext) -> Result:
    """The maker has recalled the restraint and it was not put right.

    Checks: what was noted of recalls.
    Why: a recall names a fault that can hurt.
    Limits: a recall can come any day; look again before a long trip.
    Blocks: a restraint with an open recall.
    """
    recall = placement.restraint.condition.recall if placement.restraint else None
    if recall in (None, "unknown"):
        return lacks(field("restraint.condition.recall"), "none")
    return fails("open", said("none or remedied")) if recall == "open" else passes(recall, said("none or remedied"))


@rule(
    "restraint-labels-missing",
    title="The restraint's labels are missing",
    source="guidance on second-hand restraints",
    depends=("restraint",),
    reads=("restraint.condition.labels",),
    remedy="another restraint",
    when=_any_restraint,
    says={
        "block": "{restraint} has lost its labels, so nobody can look up its limits",
        "pass": "{restraint} has its labels",
    },
)
def restraint_labels_missing(placement: Placement, world: RuleContext) -> Result:
    """The labels that give model, day made and limits cannot be read.

    Checks: what was noted of the labels.
    Why: without them neither limits nor expiry nor a recall can be looked up.
    Limits: none.
    Blocks: a restraint whose labels were torn off.
    """
    labels = placement.restraint.condition.labels if placement.restraint else None
    if labels in (None, "unknown"):
        return lacks(field("restraint.condition.labels"), "readable")
    return fails("missing", "readable") if labels == "missing" else passes("readable", "readable")


@rule(
    "restraint-history-unknown",
    title="Nobody knows the restraint's history",
    source="guidance on second-hand restraints",
    depends=("restraint",),
    reads=("restraint.condition.history",),
    remedy="another restraint",
    when=_any_restraint,
    says={
        "block": "nobody knows what happened to {restraint} before",
        "pass": "the history of {restraint} is known",
    },
)
def restraint_history_unknown(placement: Placement, world: RuleContext) -> Result:
    """Nobody can say where the restraint comes from and what happened to it.

    Checks: whether its history is known.
    Why: a crash or a lost part does not show.
    Limits: none.
    Blocks: a restraint from a flea market.
    """
    history = placement.restraint.condition.history if placement.restraint else None
    if history is None:
        return lacks(field("restraint.condition.history"), "known")
    return fails("unknown", "known") if history == "unknown" else passes("known", "known")


@rule("approved-elsewhere", title="The restraint was approved to other rules", profiles=("us",),
      source="49 CFR 571.213: restraints used here are certified to FMVSS 213", depends=("restraint",),
      reads=("restraint.approval.standard",),
      remedy="a restraint certified to FMVSS 213, or the rules it was approved to",
      when=lambda p, w: p.restraint is not None and p.restraint.approval is not None,
    says={
        "block": "{restraint} is approved to {measured}; these rules ask for {limit}",
        "pass": "{restraint} is approved to {measured}",
    },
)
def approved_elsewhere(placement: Placement, world: RuleContext) -> Result:
    """The restraint was approved to UN regulations and would be used under the us rules.

    Checks: the standard that the restraint was approved to, where its file names one.
    Why: belts, anchors and limits of the other rules are not those of this car.
    Limits: a file without an approval is taken at its word.
    Blocks: a restraint approved to UN R129 under the us rules.
    """
    approval = placement.restraint.approval if placement.restraint else None
    standard = approval.standard if approval else ""
    return passes(standard, "FMVSS 213") if standard == "FMVSS 213" else fails(standard, "FMVSS 213")
