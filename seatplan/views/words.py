"""Findings in sentences. One template a rule and outcome, in ``wording``, serves every output."""

from __future__ import annotations

import re
from fractions import Fraction
from string import Formatter
from typing import TYPE_CHECKING, Any

from seatplan.rules.finding import Finding, Result
from seatplan.rules.subjects import Placement
from seatplan.said import Said
from seatplan.units import Quantity
from seatplan.written import Verbatim

from .customary import in_customary
from .manner import customary, days, grouped
from .say import Words, look_up, part, t, tr
from .text import listed, number, quantity

if TYPE_CHECKING:
    from seatplan.model import Vehicle

MODES = Words({
    "rear-facing-harness": "rear-facing harness",
    "forward-facing-harness": "forward-facing harness",
    "high-back-booster": "high-back booster",
    "backless-booster": "backless booster",
    "lying-flat-bed": "lying-flat bed",
    "harness-vest": "harness vest",
    "seat-belt": "adult belt",
})
#: for drawings and sums, where the line is short
SHORT_MODES = MODES | Words({"rear-facing-harness": "rear-facing", "forward-facing-harness": "forward-facing"})
BY = Words({
    "lower-anchors": "lower anchors",
    "lap-shoulder-belt": "lap-shoulder belt",
    "lap-belt": "lap belt",
    "lower-anchors-with-belt": "lower anchors with belt",
    "seat-belt": "vehicle belt",
})
VERDICTS = Words({"fits": "fits", "close": "close", "likely": "likely", "unmeasured": "not all measured",
                  "rejected": "rejected"})
#: a field before a comma; where it is empty, the blank before it goes too
_BEFORE_COMMA = re.compile(r" \{(\w+)\}(?=,)")
_BASE = Words({"with": "with base", "without": "without base"})
#: words of the files, and of the rules, that stand in sentences
VALUES = Words(
    {
        word: word
        for word in (
            "none",
            "active",
            "allowed",
            "forbidden",
            "yes",
            "no",
            "known",
            "unknown",
            "open",
            "remedied",
            "readable",
            "missing",
            "minor",
            "moderate",
            "severe",
            "inflatable",
            "lap",
            "lap-shoulder",
            "emergency",
            "automatic",
            "switchable",
            "sliding",
            "locking",
            "front",
            "rear",
            "side",
            "forward",
            "strap",
            "seatback",
            "upright",
            "reclined",
            "level",
            "failed",
            "passed",
            "both",
            "forward-only",
            "door",
            "child-restraint",
            "rear-facing",
            "support-leg",
            "not-allowed",
            "with-filler",
            "universal",
            "semi-universal",
            "vehicle-specific",
            "months",
            "days",
            "degrees",
            "contact",
            "caution",
            "plain",
            "unmeasured",
            "left",
            "right",
            "adult",
            "flexible",
            "rigid",
            "booster",
            "driver",
            "child restraint",
            "nothing",
            "stature",
            "higher",
            "lower",
            "mass",
            "height",
            "belt",
            "buckle",
            # what files hold
            "bar",
            "installation",
            "mode",
            "name",
            "number",
            "part",
            "position",
            "profile",
            "rider",
            "restraint",
            "row",
            "tether",
            "trim",
            "trip",
            "vehicle",
            "wish",
            # parts and trims, as they are mostly called
            "armrest",
            "arms",
            "backrest",
            "base",
            "bed",
            "body",
            "console",
            "door",
            "envelope",
            "foot-end",
            "handle",
            "head-end",
            "pillar",
            "seat of a restraint",
            "shell",
            "tunnel",
            "wheel arch",
            "wings",
        )
    }
)


def sentence(finding: Finding) -> str:
    """What a finding says, without the subject and without a full stop."""
    from .wording import TEXT, TRIED, UNMEASURED

    own = TEXT[finding.rule]
    if finding.result.field:                      # a number is missing, whether that holds anything up or not
        template = own.get("unmeasured", UNMEASURED)
    elif "tried_on" in finding.result.facts:
        template = TRIED
    else:
        template = own.get(finding.outcome) or own["block"]
    template, fields = look_up(template), _fields(finding)
    if customary():
        template = in_customary(template.replace("{unit}", finding.result.unit), fields, finding.outcome == "pass")
    template = _BEFORE_COMMA.sub(lambda found: "" if fields.get(found[1]) == "" else found[0], template)
    return " ".join(_Lenient().vformat(template, (), fields).split())


def _fields(finding: Finding) -> dict[str, Any]:
    result = finding.result
    fields: dict[str, Any] = {name: word(value) for name, value in result.facts.items()}
    settle = settling(result)
    moved = isinstance(result.measured, (int, float))
    measured, limit = _told_apart(result)
    fields |= {
        "rider": listed(finding.riders), "position": listed(finding.positions),
        "restraint": finding.restraint or t("the restraint"),
        "measured": measured, "limit": limit, "as_written": _as_written(result),
        "shortfall": number(result.shortfall), "unit": word(result.unit),
        "field": tr(result.field), "how": tr(result.how), "settles_at": word(result.settles_at),
        "settle": f" ({settle})" if settle else "",
        "estimate": t(" (estimated)") if result.facts.get("estimated") else "",
        "tried": (t("moved {measured} mm, allowed {limit} mm", measured=number(result.measured),
                    limit=number(result.limit))
                  if moved else word(result.measured)),
    }
    if len(finding.riders) >= 2:
        fields |= {"left": finding.riders[0], "right": finding.riders[-1],
                   "left_position": finding.positions[0], "right_position": finding.positions[-1]}
    return fields


def _told_apart(result: Result) -> tuple[str, str]:
    """What was measured and what it is held against, with as many digits as show that one is more."""
    measured, limit = word(result.measured), word(result.limit)
    if measured == limit and result.measured != result.limit and isinstance(result.measured, Fraction | float) \
            and isinstance(result.limit, Fraction | float):
        return tuple(grouped(f"{float(value):,.4f}".rstrip("0").rstrip("."))        # type: ignore[return-value]
                     for value in (result.measured, result.limit))
    return measured, limit


def _as_written(result: Result) -> str:
    """How the label of a limit has it, where that is another unit than is told, or both."""
    limit = result.limit if result.limit is not None else result.settles_at
    if isinstance(limit, Quantity) and (limit.both or limit.metric == customary()):
        return t(" (written as {limit})", limit=Verbatim(limit.written))
    return ""


def word(value: object) -> str:
    """A fact in words: a number, a word of the files, or what the rule said; a name as it is."""
    if isinstance(value, Verbatim):
        return value
    if isinstance(value, str) and not isinstance(value, Said):
        return VALUES[value] if value in VALUES else days(value)
    return number(value)


def part_word(label: str) -> str:
    """What a part is called without whose it is: ``base`` of ``Nook 35 base``."""
    if isinstance(label, Said) and "part_name" in label.fields:
        return part(label.fields["part_name"])
    return label


def settling(result: Result) -> str:
    """What a missing value will be held against: a limit, or the word that would be fine."""
    if result.settles_at is None:
        return ""
    if isinstance(result.settles_at, str):
        return t("fine if {settles_at}", settles_at=word(result.settles_at))
    return t("limit {settles_at}", settles_at=quantity(result.settles_at, result.unit, exact=True)).rstrip()


class _Lenient(Formatter):
    """A fact that a rule left out reads as a dash rather than stopping the whole answer."""

    def get_value(self, key: int | str, args: Any, kwargs: Any) -> Any:
        return kwargs.get(key, "-") if isinstance(key, str) else super().get_value(key, args, kwargs)


def car_name(vehicle: Vehicle) -> str:
    """What a vehicle is called, and that it is made up where it is."""
    return vehicle.vehicle + (t(" (invented)") if vehicle.invented else "")


def held_by(placement: Placement) -> str:
    """How it is held: by what, which bars, which tether anchor, support leg, separate base."""
    parts = _belt_or_anchors(placement)
    installation = placement.installation
    if placement.bars:
        parts[-1] += f" {placement.bars[0]}-{placement.bars[1]}"
        if placement.borrowed:
            parts[-1] += t(" (borrowed)")
    if placement.tether:
        parts.append(t("tether {tether}", tether=placement.tether))
    if installation is not None:
        if installation.support_leg:
            parts.append(t("support leg"))
        if installation.base:
            parts.append(_BASE.get(installation.base, installation.base))
    return ", ".join(parts)


def _belt_or_anchors(placement: Placement) -> list[str]:
    """What holds it, with a doubt where nobody knows whether that is there."""
    if placement.booster:
        parts = [BY["seat-belt"], *([t("connectors")] if placement.on_lower_anchors else [])]
    else:
        parts = [BY[placement.by]]
    if placement.by == "seat-belt" or placement.held_by_belt or placement.booster:
        if placement.position.belt is None:
            parts[0] += t(", if there is one")
    elif not placement.bars:
        parts[0] += t(", if there are any")
    return parts


def in_what(placement: Placement) -> str:
    """The restraint and its mode: ``Nook 35, rear-facing harness``."""
    if placement.restraint is None:
        return t("adult belt")
    return f"{placement.restraint.restraint}, {MODES[placement.mode_name]}"


def in_short(placement: Placement) -> str:
    """``in Nook rear-facing``, or ``with the adult belt``."""
    if placement.restraint is None:
        return t("with the adult belt")
    return t("in {restraint} {SHORT_MODES}", restraint=placement.restraint.restraint,
             SHORT_MODES=SHORT_MODES[placement.mode_name])


def who_where(finding: Finding) -> str:
    """The subject of a finding: ``Wren at 2C in Nook 35``."""
    seated = zip(finding.riders, finding.positions, strict=True)
    pairs = [t("{rider} at {position}", rider=rider, position=position) for rider, position in seated]
    subject = listed(pairs)
    return t("{subject} in {restraint}", subject=subject, restraint=finding.restraint) if finding.restraint else subject
