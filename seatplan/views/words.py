"""Findings in sentences. One template a rule and outcome, in ``wording``, serves every output."""

from __future__ import annotations

from string import Formatter
from typing import Any

from seatplan.rules.finding import Finding, Result
from seatplan.rules.subjects import Placement

from .text import listed, number

MODES = {
    "rear-facing-harness": "rear-facing harness",
    "forward-facing-harness": "forward-facing harness",
    "high-back-booster": "high-back booster",
    "backless-booster": "backless booster",
    "lying-flat-bed": "lying-flat bed",
    "harness-vest": "harness vest",
    "adult-belt": "adult belt",
}
#: for drawings and sums, where the line is short
SHORT_MODES = MODES | {"rear-facing-harness": "rear-facing", "forward-facing-harness": "forward-facing"}
BY = {
    "lower-anchors": "lower anchors",
    "lap-shoulder-belt": "lap-shoulder belt",
    "lap-belt": "lap belt",
    "lower-anchors-with-belt": "lower anchors with belt",
    "adult-belt": "vehicle belt",
}
VERDICTS = {"fits": "fits", "close": "close", "unmeasured": "not all measured", "rejected": "rejected"}


def sentence(finding: Finding) -> str:
    """What a finding says, without the subject and without a full stop."""
    from .wording import TEXT, TRIED, UNMEASURED

    own = TEXT[finding.rule]
    if finding.outcome == "unmeasured":
        template = own.get("unmeasured", UNMEASURED)
    elif "tried_on" in finding.result.facts:
        template = TRIED
    else:
        template = own.get(finding.outcome) or own["block"]
    return " ".join(_Lenient().vformat(template, (), _fields(finding)).split()).replace(" ,", ",")


def _fields(finding: Finding) -> dict[str, Any]:
    result = finding.result
    fields: dict[str, Any] = {name: number(value) for name, value in result.facts.items()}
    settle = settling(result)
    moved = isinstance(result.measured, (int, float))
    fields |= {
        "rider": listed(finding.riders), "position": listed(finding.positions),
        "restraint": finding.restraint or "the restraint",
        "measured": number(result.measured), "limit": number(result.limit),
        "shortfall": number(result.shortfall), "unit": result.unit,
        "field": result.field, "how": result.how, "settles_at": number(result.settles_at),
        "settle": f" ({settle})" if settle else "",
        "estimate": " (estimated)" if result.facts.get("estimated") else "",
        "tried": (f"moved {number(result.measured)} mm, allowed {number(result.limit)} mm"
                  if moved else result.measured),
    }
    if len(finding.riders) >= 2:
        fields |= {"left": finding.riders[0], "right": finding.riders[-1],
                   "left_position": finding.positions[0], "right_position": finding.positions[-1]}
    return fields


def settling(result: Result) -> str:
    """What a missing value will be held against: a limit, or the word that would be fine."""
    if result.settles_at is None:
        return ""
    if isinstance(result.settles_at, str):
        return f"fine if {result.settles_at}"
    return f"limit {number(result.settles_at)} {result.unit}".rstrip()


class _Lenient(Formatter):
    """A fact that a rule left out reads as a dash rather than stopping the whole answer."""

    def get_value(self, key: int | str, args: Any, kwargs: Any) -> Any:
        return kwargs.get(key, "-") if isinstance(key, str) else super().get_value(key, args, kwargs)


def held_by(placement: Placement) -> str:
    """How it is held: by what, which bars, which tether anchor, support leg, separate base."""
    parts = [BY[placement.by]]
    installation = placement.installation
    if placement.booster:
        parts = [BY["adult-belt"]]
        if placement.on_lower_anchors:
            parts.append("connectors")
    if placement.by == "adult-belt" or placement.held_by_belt or placement.booster:
        if placement.position.belt is None:
            parts[0] += ", if there is one"
    elif not placement.bars:
        parts[0] += ", if there are any"
    if placement.bars:
        parts[-1] += f" {placement.bars[0]}-{placement.bars[1]}"
        if placement.borrowed:
            parts[-1] += " (borrowed)"
    if placement.tether:
        parts.append(f"tether {placement.tether}")
    if installation is not None:
        if installation.support_leg:
            parts.append("support leg")
        if installation.base:
            parts.append(f"{installation.base} base")
    return ", ".join(parts)


def in_what(placement: Placement) -> str:
    """The restraint and its mode: ``Nook 35, rear-facing harness``."""
    if placement.restraint is None:
        return "adult belt"
    return f"{placement.restraint.restraint}, {MODES[placement.mode_name]}"


def in_short(placement: Placement) -> str:
    """``in Nook rear-facing``, or ``with the adult belt``."""
    if placement.restraint is None:
        return "with the adult belt"
    return f"in {placement.restraint.restraint} {SHORT_MODES[placement.mode_name]}"


def who_where(finding: Finding) -> str:
    """The subject of a finding: ``Wren at 2C in Nook 35``."""
    seated = zip(finding.riders, finding.positions, strict=True)
    pairs = [f"{rider} at {position}" for rider, position in seated]
    subject = listed(pairs)
    return f"{subject} in {finding.restraint}" if finding.restraint else subject
