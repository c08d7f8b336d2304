"""Cautions, and what is still to be measured: each said once, however many riders and seats share it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from seatplan.message import Message, RiderName, Seat, holds, joined, key_of, with_other
from seatplan.rules.finding import Finding
from seatplan.rules.registry import gravest_first, rule_by_id, weight_of
from seatplan.solver.results import Arrangement

from .content import Weighed, Weight
from .say import N, t, tr
from .text import listed
from .words import elsewhere, seat_named, sentence, settling, shared_sentence, who_where

_GRAVE, _CAUTION = N("grave caution"), N("caution")
#: how the fields begin that somebody reads off a restraint
_PRINTED = ("restraint.", "limits", "installation.")


def findings_of(arrangement: Arrangement) -> list[Finding]:
    """Every finding on an arrangement: of its placements, then of pairs, rows and the trip."""
    return [f for seat in arrangement.seats for f in seat.cell.findings] + list(arrangement.findings)




def cautions_said(arrangement: Arrangement) -> list[str]:
    """What is allowed but not good practice, and what is within what measuring can be off of its limit."""
    grave, others = cautions_by_weight(arrangement)
    return grave + others


def cautions_by_weight(arrangement: Arrangement) -> tuple[list[str], list[str]]:
    """The same, grave ones apart from all others."""
    found = findings_of(arrangement)
    grave = [f for f in found if weight_of(f) == "grave"]
    near = [Weighed(t("close: {who}: {text} ({rule})", who=who_where(f), text=sentence(f), rule=f.rule), "close")
            for f in found if f.result.close and f.outcome == "pass"]
    return cautions_among(grave), cautions_among(f for f in found if weight_of(f) != "grave") + near


def cautions_among(all_findings: Iterable[Finding]) -> list[str]:
    """The cautions among some findings, grave ones first."""
    groups: dict[tuple[str, str], list[Finding]] = {}
    for finding in gravest_first(all_findings):
        if finding.outcome == "caution":
            groups.setdefault((finding.rule, shared_sentence(finding, unnamed=True)), []).append(finding)
    return [
        Weighed(t("{caution}: {about}{text} ({rule})", caution=caution_word(findings[0]), about=_about(findings),
                  text=sentence(findings[0]) if len(findings) == 1 else shared, rule=rule),
                caution_weight(findings[0]))
        for (rule, shared), findings in groups.items()]


def caution_word(finding: Finding) -> str:
    """What a caution is called: by how much what it is about can hurt."""
    return t(_GRAVE) if caution_weight(finding) == "grave" else t(_CAUTION)


def caution_weight(finding: Finding) -> Weight:
    """By how much what a caution is about can hurt."""
    return "grave" if weight_of(finding) == "grave" else "slight"


def _about(findings: Sequence[Finding]) -> str:
    """Whom it is about; the sentences on pairs and trips name them themselves."""
    if rule_by_id(findings[0].rule).scope in ("pair", "trip"):
        return ""
    return listed(list(dict.fromkeys(who_where(f) for f in findings))) + ": "




def estimates_said(arrangement: Arrangement) -> str:
    """What decides about room although nobody measured it; "" where all that decides is measured."""
    if not arrangement.estimates:
        return ""
    return t("only estimated: {what}; measure to be sure", what=listed([tr(what) for what in arrangement.estimates]))


def things_to_measure(arrangements: Iterable[Arrangement]) -> list[str]:
    """Each thing that somebody has to measure or look up, with what would settle it."""
    return [told for _, told in _things({each.rank: findings_of(each) for each in arrangements})]


def things_among(all_findings: Sequence[Finding]) -> list[str]:
    """The same of some findings of one arrangement."""
    return [told for _, told in _things({0: all_findings})]


def readings(arrangement: Arrangement) -> list[str]:
    """The same of one arrangement: first what is printed on a restraint, then what most rules ask for."""
    def late(thing: tuple[Sequence[Finding], str]) -> tuple[bool, int]:
        rules = {finding.rule for finding in thing[0]}
        return not all(read.startswith(_PRINTED) for rule in rules for read in rule_by_id(rule).reads), -len(rules)
    return [told for _, told in sorted(_things({arrangement.rank: findings_of(arrangement)}), key=late)]


def _things(by_rank: Mapping[int, Sequence[Finding]]) -> list[tuple[Sequence[Finding], str]]:
    groups: dict[object, list[tuple[int, Finding]]] = {}
    told: list[tuple[Sequence[Finding], str]] = []
    for rank, all_findings in by_rank.items():
        for finding in all_findings:
            if finding.outcome == "unmeasured":
                groups.setdefault(key_of(_thing(finding)), []).append((rank, finding))
    for found in groups.values():
        findings = [finding for _, finding in found]
        ranks = sorted({rank for rank, _ in found})
        wanted = t("; for {rank}", rank=listed([str(rank) for rank in ranks])) if len(ranks) < len(by_rank) else ""
        told.append((findings, f"{_subject(findings)}{tr(_thing(findings[0]))} ({_settled_by(findings)}{wanted})"))
    return told


def count_to_measure(arrangement: Arrangement) -> int:
    """How many different things an arrangement still needs."""
    return len({key_of(_thing(f)) for f in findings_of(arrangement) if f.outcome == "unmeasured"})


def _thing(finding: Finding) -> Message:
    """What is not known and how to find out, without the value that would settle it; said so that several seats can
    share it."""
    other = elsewhere(_seat(finding))
    return joined(": ", [with_other(part, other) for part in (finding.result.field, finding.result.how)])


def _seat(finding: Finding) -> Seat | None:
    """The seat at which a thing is to be measured, where it names one."""
    return seat_named(finding, (finding.result.field, finding.result.how))


def _subject(findings: Sequence[Finding]) -> str:
    """The seats, or the restraints, that a thing is to be measured at; none where it names the rider."""
    seats = {seat for finding in findings if (seat := _seat(finding)) is not None}
    if seats:
        return listed(sorted(seats)) + ": "
    named = {value for f in findings for part in (f.result.field, f.result.how) for value in holds(part)
             if isinstance(value, RiderName)}
    if any(rider in named for f in findings for rider in f.riders):
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
