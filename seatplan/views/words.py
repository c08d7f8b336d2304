"""Findings in sentences. One template a rule and outcome, in ``wording``, serves every output."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from fractions import Fraction
from string import Formatter
from typing import TYPE_CHECKING, Any, Literal

from seatplan.message import (
    Amount,
    Figure,
    Message,
    Name,
    RestraintName,
    Seat,
    Unit,
    Way,
    beside,
    is_position,
    part_of,
    said,
    with_other,
)
from seatplan.rules.finding import Finding, Keeps, Result, sense
from seatplan.rules.registry import rule_by_id
from seatplan.rules.subjects import Placement
from seatplan.rules.two_belts import head_at
from seatplan.solver.asked import seat_named
from seatplan.units import Quantity

from .manner import customary
from .say import N, Words, filled, look_up, part, shown, t
from .text import listed

if TYPE_CHECKING:
    from seatplan.model import Vehicle
    from seatplan.solver.results import Plan, Verdict

MODES = Words({
    "rear-facing-harness": "rear-facing harness",
    "forward-facing-harness": "forward-facing harness",
    "high-back-booster": "high-back booster",
    "backless-booster": "backless booster",
    "lying-flat-bed": "lying-flat bed",
    "harness-vest": "harness vest",
    "impact-shield": "impact shield",
    "seat-belt": "seat belt",
})
#: for drawings and sums, where the line is short
SHORT_MODES = MODES | Words({"rear-facing-harness": "rear-facing", "forward-facing-harness": "forward-facing"})
#: kinds of restraint
KINDS = Words({
    "infant-carrier": "infant carrier",
    "rear-and-forward": "rear- and forward-facing",
    "forward-only": "forward-facing only",
    "harness-to-booster": "harness to booster",
    "all-stages": "all stages",
    "high-back": "high-back booster",
    "backless": "backless booster",
    "lying-flat": "lying-flat bed",
})
BY = Words({
    "lower-anchors": "lower anchors",
    "lap-shoulder-belt": "lap-shoulder belt",
    "lap-belt": "lap belt",
    "two-belts": "two belts",
    "lower-anchors-with-belt": "lower anchors with belt",
    "built-in": "built in",
    "seat-belt": "vehicle belt",
})
VERDICTS = Words({"fits": "fits", "close": "close", "likely": "likely", "unmeasured": "not all measured",
                  "rejected": "rejected"})
_FITS = Words({"fits": "fits", "close": "is close (try it in the car)",
               "likely": "is likely (measure what is only estimated)",
               "unmeasured": "hangs on what was not measured", "rejected": "does not fit"})
_BASE = Words({"with": "with base", "without": "without base"})
#: words of the files, and of the rules, that stand in sentences (``seatplan.message.Word``)
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
            "copy",
            "depot",
            "fleet",
            "kind",
            "quarantine",
            "serial number",
            "type",
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
        )
    }
)


#: what stands in place of a seat and of a restraint where the same is said of several
THIS_SEAT, HELD_IN = said("this seat"), said("the restraint")
_WAYS: dict[Keeps, tuple[Any, Any]] = {"most": ("up", "down"), "least": ("down", "up"), "": ("near", "near")}


def fits_said(verdict: str) -> str:
    """What an arrangement does, after ``it``: ``is close (try it in the car)``."""
    return _FITS[verdict]


def sentence(finding: Finding) -> str:
    """What a finding says, without the subject and without a full stop."""
    template, fields = _told(finding)
    return filled(template, fields)


def shared_sentence(finding: Finding, *, unnamed: bool = False) -> str:
    """The same so that several seats can share it, with ``this seat`` for the one position that it names; ``unnamed``:
    and with ``the restraint`` for the one it is about."""
    template, fields = _told(finding)
    seat = seat_named(finding, fields.values())
    restraint = finding.restraint if unnamed and len(finding.positions) == 1 else None
    return filled(template, {name: with_other(value, elsewhere(seat, restraint)) for name, value in fields.items()})


def elsewhere(seat: Seat | None, restraint: str | None = None) -> Callable[[Any], Any]:
    """What stands for the value of a field where neither this seat nor this restraint is to be named."""
    def other(value: Any) -> Any:
        named = value.fields["position"] if is_position(value) else value
        if seat is not None and isinstance(named, Seat) and named == seat:
            return THIS_SEAT
        if restraint is not None and isinstance(value, RestraintName) and value == restraint:
            return HELD_IN
        return value
    return other


#: what stands for an outcome that a rule has no words of its own for
UNMEASURED = N("not known: {field}; {how}{settle}")
#: what stands for a pass that nobody measured, but a try at the car shows
TRIED = N("{measured}: it held when tried on {tried_on}")


def _told(finding: Finding) -> tuple[str, dict[str, Any]]:
    """The template of a finding in the language in force, and the fields that stand in it."""
    own = rule_by_id(finding.rule).says
    if finding.result.field:                      # a number is missing, whether that holds anything up or not
        template = own.get("unmeasured", UNMEASURED)
    elif "tried_on" in finding.result.facts:
        template = TRIED
    elif "whole_car" in finding.result.facts:     # a sum of several places has no part that is too long by itself
        template = own[f"{finding.outcome}_whole_car"]
    else:
        template = own.get(finding.outcome) or own["block"]
    template, fields = look_up(template), _fields(finding)
    # a fact that a rule left out reads as a dash rather than stopping the whole answer
    return template, {name: fields.get(name, "-") for _, name, _, _ in Formatter().parse(template) if name}


def _fields(finding: Finding) -> dict[str, Any]:
    result = finding.result
    fields: dict[str, Any] = {name: Figure(fact) if _number(fact) else fact for name, fact in result.facts.items()}
    measured, limit = held(result)
    fields |= {
        "rider": _one_or_several(finding.riders),
        "position": result.facts.get("at") or _one_or_several(finding.positions),
        "restraint": finding.restraint or HELD_IN,
        "measured": measured, "limit": limit, "as_written": _as_written(result),
        "shortfall": "-" if result.shortfall is None else Amount(result.shortfall, result.unit, "up"),
        "field": result.field, "how": result.how, "settle": _settle(result),
        "estimate": said(" (estimated)") if result.facts.get("estimated") else "",
        "tried": (said("moved {measured}, allowed {limit}", measured=measured, limit=limit)
                  if isinstance(measured, Amount) else measured),
    }
    if len(finding.riders) >= 2:
        fields |= {"left": finding.riders[0], "right": finding.riders[-1],
                   "left_position": finding.positions[0], "right_position": finding.positions[-1]}
    return fields


def _one_or_several(names: Sequence[str]) -> str:
    return names[0] if len(names) == 1 else listed(names)


def held(result: Result) -> tuple[Any, Any]:
    """What was measured and what it is held against, each as it may be rounded: a most down and what must keep to it
    up, a least the other way round."""
    way, limit_way = _WAYS[sense(result)]
    if isinstance(result.limit, Message) and _number(result.measured):       # one or more spans
        spans: Message = result.limit
        if result.unit == "mm":
            spans = said("{spans} {unit}", spans=spans, unit=Unit("mm"))
        return _amount(result.measured, result.unit, way, fine=True), spans
    measured = _amount(result.measured, result.unit, way, fine=False)
    limit = _amount(result.limit, result.unit, limit_way, fine=not _number(result.measured))
    if isinstance(measured, Amount) and isinstance(limit, Amount):
        return beside(measured, limit)
    return measured, limit


def limit_of(result: Result) -> Any:
    """The limit alone, or what would settle it: to a hundredth of an inch or pound."""
    value = result.limit if result.limit is not None else result.settles_at
    return held_at(value, result.unit, sense(result))


def held_at(value: Any, unit: str, keeps: Keeps) -> Any:
    """A limit by itself: to a hundredth of an inch or pound, a most rounded down and a least up."""
    return _amount(value, unit, _WAYS[keeps][1], fine=True)


def _number(value: Any) -> bool:
    return isinstance(value, (int, float, Fraction)) and not isinstance(value, bool)


def _amount(value: Any, unit: str, way: Way, *, fine: bool) -> Any:
    return Amount(value, unit, way, fine) if _number(value) else "-" if value is None else value


def _as_written(result: Result) -> str:
    """How the label of a limit has it, where that is another unit than is told, or both."""
    limit = result.limit if result.limit is not None else result.settles_at
    if isinstance(limit, Quantity) and (limit.both or limit.metric == customary()):
        return said(" (written as {limit})", limit=Name(limit.written))
    return ""


def word(value: object) -> str:
    """A fact in words: a number, a word of the files, or what the rule said; a name as it is."""
    return str(shown(Figure(value) if isinstance(value, (int, float, Fraction)) else value))


def part_word(label: str) -> str:
    """What a part is called without whose it is: ``base`` of ``Nook 35 base``."""
    name = part_of(label)
    return label if name is None else part(name)


def settling(result: Result) -> str:
    """What a missing value will be held against: a limit, or the word that would be fine."""
    return str(shown(_settling(result)))


def _settling(result: Result) -> str:
    if result.settles_at is None:
        return ""
    if not _number(result.settles_at):
        return said("fine if {settles_at}", settles_at=result.settles_at)
    return said("limit {settles_at}", settles_at=limit_of(result))


def _settle(result: Result) -> str:
    told = _settling(result)
    return said(" ({settle})", settle=told) if told else ""


def car_name(vehicle: Vehicle) -> str:
    """What a vehicle is called, and that it is made up where it is."""
    return vehicle.vehicle + (t(" (invented)") if vehicle.invented else "")


def held_by(placement: Placement, *, named: bool = True) -> str:
    """How it is held: by what, which bars, which tether anchor, support leg, separate base. ``named``: with the names
    of bars and anchor, which differ from seat to seat."""
    parts = _belt_or_anchors(placement)
    installation = placement.installation
    if placement.bars:
        parts[-1] += f" {placement.bars[0]}-{placement.bars[1]}" if named else ""
        if placement.borrowed:
            parts[-1] += t(" (borrowed)")
    if placement.tether:
        parts.append(t("tether {tether}", tether=placement.tether) if named else t("tether"))
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
    if placement.second is not None:
        parts = [t("the belts of {places}", places=listed(placement.places))]
        head = head_at(placement)
        return [*parts, t("head at {position}", position=head)] if head else parts
    if placement.by == "seat-belt" or placement.held_by_belt or placement.booster:
        if placement.position.belt is None:
            parts[0] += t(", if there is one")
    elif not placement.bars and not placement.built_in:
        parts[0] += t(", if there are any")
    return parts


def answered(plan: Plan) -> Verdict | Literal["undecided"]:
    """The verdict; undecided where nothing was found and the search did not see everything."""
    return "undecided" if plan.verdict == "rejected" and not plan.tally.complete else plan.verdict


def in_what(placement: Placement) -> str:
    """The restraint and its mode: ``Nook 35, rear-facing harness``."""
    if placement.restraint is None:
        return t("seat belt")
    return f"{placement.restraint.restraint}, {MODES[placement.mode_name]}"


def in_short(placement: Placement) -> str:
    """``in Nook rear-facing``, or ``with the seat belt``."""
    if placement.restraint is None:
        return t("with the seat belt")
    return t("in {restraint} {SHORT_MODES}", restraint=placement.restraint.restraint,
             SHORT_MODES=SHORT_MODES[placement.mode_name])


def who_where(finding: Finding) -> str:
    """The subject of a finding: ``Wren at 2C in Nook 35``."""
    seated = zip(finding.riders, finding.positions, strict=True)
    pairs = [t("{rider} at {position}", rider=rider, position=position) for rider, position in seated]
    subject = listed(pairs)
    return t("{subject} in {restraint}", subject=subject, restraint=finding.restraint) if finding.restraint else subject
