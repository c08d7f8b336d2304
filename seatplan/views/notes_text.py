"""Cautions, and what is still to be measured: each said once, however many riders and seats share it."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence

from seatplan.rules.finding import Finding
from seatplan.rules.registry import gravest_first, rule_by_id, weight_of
from seatplan.solver.results import Arrangement
from seatplan.written import Verbatim

from .say import N, t, tr
from .text import listed
from .words import sentence, settling, who_where

_SEAT, _HELD_IN = N("this seat"), N("the restraint")
_GRAVE, _CAUTION = N("grave caution"), N("caution")


def findings_of(arrangement: Arrangement) -> list[Finding]:
    """Every finding on an arrangement: of its placements, then of pairs, rows and the trip."""
    return [f for seat in arrangement.seats for f in seat.cell.findings] + list(arrangement.findings)


def said_of_any_seat(finding: Finding, text: str) -> str:
    """The sentence with ``this seat`` in place of the one position that it names."""
    seat, measured = _seat_named(finding, text), finding.result.measured
    named = isinstance(measured, Verbatim) and measured == seat         # a restraint that is called like the seat
    return text if seat is None or named else re.sub(rf"\b({t('position ')})?{re.escape(seat)}\b", t(_SEAT), text)


def _seat_named(finding: Finding, text: str) -> str | None:
    """The only one of the finding's positions that a text names."""
    named = {seat for seat in finding.positions if re.search(rf"\b{re.escape(seat)}\b", text)}
    return named.pop() if len(named) == 1 else None


def cautions_said(arrangement: Arrangement) -> list[str]:
    """What is allowed but not good practice, and what is within what measuring can be off of its limit."""
    found = findings_of(arrangement)
    near = [t("close: {who}: {text} ({rule})", who=who_where(f), text=sentence(f), rule=f.rule)
            for f in found if f.result.close and f.outcome == "pass"]
    return cautions_among(found) + near


def cautions_among(all_findings: Iterable[Finding]) -> list[str]:
    """The cautions among some findings, grave ones first."""
    groups: dict[tuple[str, str], list[Finding]] = {}
    for finding in gravest_first(all_findings):
        if finding.outcome == "caution":
            groups.setdefault((finding.rule, _without_names(finding)), []).append(finding)
    return [
        t("{caution}: {about}{text} ({rule})", caution=caution_word(findings[0]), about=_about(findings),
          text=sentence(findings[0]) if len(findings) == 1 else template, rule=rule)
        for (rule, template), findings in groups.items()]


def caution_word(finding: Finding) -> str:
    """What a caution is called: by how much what it is about can hurt."""
    return t(_GRAVE) if weight_of(finding) == "grave" else t(_CAUTION)


def _about(findings: Sequence[Finding]) -> str:
    """Whom it is about; the sentences on pairs and trips name them themselves."""
    if rule_by_id(findings[0].rule).scope in ("pair", "trip"):
        return ""
    return listed(list(dict.fromkeys(who_where(f) for f in findings))) + ": "


def _without_names(finding: Finding) -> str:
    text = said_of_any_seat(finding, sentence(finding))
    if finding.restraint and len(finding.positions) == 1:
        text = re.sub(rf"(?<!\w){re.escape(finding.restraint)}(?!\w)", t(_HELD_IN), text)
    return text


def estimates_said(arrangement: Arrangement) -> str:
    """What decides about room although nobody measured it; "" where all that decides is measured."""
    if not arrangement.estimates:
        return ""
    return t("only estimated: {what}; measure to be sure", what=listed([tr(what) for what in arrangement.estimates]))


def things_to_measure(arrangements: Iterable[Arrangement]) -> list[str]:
    """Each thing that somebody has to measure or look up, with what would settle it."""
    return _things({arrangement.rank: findings_of(arrangement) for arrangement in arrangements})


def things_among(all_findings: Sequence[Finding]) -> list[str]:
    """The same of some findings of one arrangement."""
    return _things({0: all_findings})


def _things(by_rank: Mapping[int, Sequence[Finding]]) -> list[str]:
    groups: dict[str, list[tuple[int, Finding]]] = {}
    for rank, all_findings in by_rank.items():
        for finding in all_findings:
            if finding.outcome == "unmeasured":
                groups.setdefault(_thing(finding), []).append((rank, finding))
    told = []
    for thing, found in groups.items():
        findings = [finding for _, finding in found]
        ranks = sorted({rank for rank, _ in found})
        wanted = t("; for {rank}", rank=listed([str(rank) for rank in ranks])) if len(ranks) < len(by_rank) else ""
        told.append(f"{_subject(thing, findings)}{thing} ({_settled_by(findings)}{wanted})")
    return told


def count_to_measure(arrangement: Arrangement) -> int:
    """How many different things an arrangement still needs."""
    return len({_thing(f) for f in findings_of(arrangement) if f.outcome == "unmeasured"})


def _thing(finding: Finding) -> str:
    return said_of_any_seat(finding, _said(finding))


def _said(finding: Finding) -> str:
    """What is not known and how to find out, without the value that would settle it."""
    return f"{tr(finding.result.field)}: {tr(finding.result.how)}"


def _subject(thing: str, findings: Sequence[Finding]) -> str:
    """The seats, or the restraints, that a thing is to be measured at; none where it names the rider."""
    if t(_SEAT) in thing:
        return listed(sorted({_seat_named(f, _said(f)) or "" for f in findings})) + ": "
    if any(rider in thing for f in findings for rider in f.riders):
        return ""
    held = list(dict.fromkeys(f.restraint for f in findings if f.restraint))
    return listed(held) + ": " if held else ""


def _settled_by(findings: Sequence[Finding]) -> str:
    """The rules that ask, each with the value that would settle it."""
    values: dict[str, list[str]] = {}
    for finding in findings:
        result = finding.result
        told = values.setdefault(finding.rule, [])
        more = result.facts.get("more")
        for value in (settling(result), t("{more} more of this row not known", more=more) if more else ""):
            if value and value not in told:
                told.append(value)
    return "; ".join(rule + (f": {', '.join(told)}" if told else "") for rule, told in values.items())
