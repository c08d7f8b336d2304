"""Cautions, and what is still to be measured: each said once, however many riders and seats share it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from seatplan.message import Message, RestraintName, RiderName, holds, joined, part_of, with_other
from seatplan.model import Trip
from seatplan.rules.finding import Finding
from seatplan.rules.registry import gravest_first, rule_by_id, weight_of
from seatplan.solver.asked import Asked, asked_together, estimated_in, seat_asked, thing_asked
from seatplan.solver.results import Arrangement

from .content import Weighed, Weight
from .manner import page
from .say import N, t, tr
from .text import columns, count, listed
from .words import elsewhere, sentence, settling, shared_sentence, who_where

_GRAVE, _CAUTION = N("grave caution"), N("caution")
#: so many things that are only estimated are named in short, else counted, in so many lines; columns of their margin
_FEW, _LINES, _INDENTED = 4, 3, 6


def findings_of(arrangement: Arrangement) -> list[Finding]:
    """Every finding on an arrangement: of its placements, then of pairs, rows and the trip."""
    return [f for seat in arrangement.seats for f in seat.cell.findings] + list(arrangement.findings)




def cautions_said(arrangement: Arrangement) -> list[str]:
    """What is allowed but not good practice, and what is within what measuring can be off of its limit."""
    grave, others = cautions_by_weight(arrangement)
    return grave + others


def cautions_by_weight(arrangement: Arrangement, *, by_seat: bool = False) -> tuple[list[str], list[str]]:
    """The same, grave ones apart from all others; ``by_seat``: what several share names their seats alone, where it
    stands below who sits where."""
    found = findings_of(arrangement)
    grave = [f for f in found if weight_of(f) == "grave"]
    near = [Weighed(t("close: {who}: {text} ({rule})", who=who_where(f), text=sentence(f), rule=f.rule), "close")
            for f in found if f.result.close and f.outcome == "pass"]
    return (cautions_among(grave, by_seat=by_seat),
            cautions_among((f for f in found if weight_of(f) != "grave"), by_seat=by_seat) + near)


def cautions_among(all_findings: Iterable[Finding], *, by_seat: bool = False) -> list[str]:
    """The cautions among some findings, grave ones first."""
    groups: dict[tuple[str, str], list[Finding]] = {}
    for finding in gravest_first(all_findings):
        if finding.outcome == "caution":
            groups.setdefault((finding.rule, shared_sentence(finding, unnamed=True)), []).append(finding)
    return [
        Weighed(t("{caution}: {about}{text} ({rule})", caution=caution_word(findings[0]),
                  about=_about(findings, by_seat), rule=rule,
                  text=sentence(findings[0]) if len(findings) == 1 else shared),
                caution_weight(findings[0]))
        for (rule, shared), findings in groups.items()]


def caution_word(finding: Finding) -> str:
    """What a caution is called: by how much what it is about can hurt."""
    return t(_GRAVE) if caution_weight(finding) == "grave" else t(_CAUTION)


def caution_weight(finding: Finding) -> Weight:
    """By how much what a caution is about can hurt."""
    return "grave" if weight_of(finding) == "grave" else "slight"


def _about(findings: Sequence[Finding], by_seat: bool) -> str:
    """Whom it is about; the sentences on pairs and trips name them themselves."""
    if rule_by_id(findings[0].rule).scope in ("pair", "trip"):
        return ""
    seats = list(dict.fromkeys(seat for f in findings for seat in f.positions))
    told = seats if by_seat and len(seats) > 1 else list(dict.fromkeys(who_where(f) for f in findings))
    return listed(told) + ": "


def estimates_said(arrangement: Arrangement, trip: Trip) -> str:
    """What decides although nobody measured it, by whose it is; "" where all that decides is measured."""
    told = []
    for (kind, name), found in _by_owner(arrangement, trip).items():
        things = listed(list(dict.fromkeys(tr(_without(one.label, name)) for one in found)))
        told.append(t("{whose} ({things})", whose=name or t("the car"), things=things)
                    if kind in ("restraints", "vehicle") else things)
    return t("only estimated: {what}; measure to be sure", what=listed(told)) if told else ""


def estimates_in_short(arrangement: Arrangement, trip: Trip) -> str:
    """The same in three lines at most: where there are many, how many of each."""
    by_owner = _by_owner(arrangement, trip)
    if sum(map(len, by_owner.values())) <= _FEW:
        return estimates_said(arrangement, trip)
    told = [t("{things} of {whose}", things=count(len(found), "thing"), whose=name or t("the car"))
            if kind else count(len(found), "other thing") for (kind, name), found in by_owner.items()]
    short = t("only estimated: {what}; measure to be sure", what=listed(told))
    return short if columns(short) <= _LINES * (page() - _INDENTED) else t(
        "only estimated: {what}; measure to be sure", what=count(sum(map(len, by_owner.values())), "thing"))


def _by_owner(arrangement: Arrangement, trip: Trip) -> dict[tuple[str, str], list[Asked]]:
    """What is only estimated, by whose it is: of which list of the trip, and its name; neither where that has none."""
    found: dict[tuple[str, str], list[Asked]] = {}
    for one in estimated_in(arrangement.guesses, [seat.placement for seat in arrangement.seats], trip):
        kind, n = str(one.path[0]) if one.path else "", one.path[1] if len(one.path) > 1 else 0
        name = (trip.restraints[int(n)].restraint if kind == "restraints" else
                trip.riders[int(n)].rider if kind == "riders" else "")
        found.setdefault((kind, name), []).append(one)
    return found


def _without(label: str, restraint: str) -> Any:
    """What a field is called where its restraint was named just before."""
    def other(value: Any) -> Any:
        part = part_of(value) if isinstance(value, Message) and value.fields.get("restraint") == restraint else None
        return value if part is None else part
    return label if not restraint else with_other(label, other)


def things_to_measure(arrangements: Iterable[Arrangement]) -> list[str]:
    """Each thing that somebody has to measure or look up, with what would settle it."""
    return _things({each.rank: findings_of(each) for each in arrangements})


def things_among(all_findings: Sequence[Finding]) -> list[str]:
    """The same of some findings of one arrangement."""
    return _things({0: all_findings})


def readings(arrangement: Arrangement, *, how: bool = True) -> list[str]:
    """The same of one arrangement: first what is printed on a restraint, then what most rules ask for; with ``how`` to
    take each and which rules ask."""
    return [_told(findings, how=how) for findings in asked_together(findings_of(arrangement), thing_asked)]


def _things(by_rank: Mapping[int, Sequence[Finding]]) -> list[str]:
    groups: dict[object, list[tuple[int, Finding]]] = {}
    told: list[str] = []
    for rank, all_findings in by_rank.items():
        for finding in all_findings:
            if finding.outcome == "unmeasured":
                groups.setdefault(thing_asked(finding), []).append((rank, finding))
    for found in groups.values():
        ranks = sorted({rank for rank, _ in found})
        wanted = t("; for {rank}", rank=listed([str(rank) for rank in ranks])) if len(ranks) < len(by_rank) else ""
        told.append(_told([finding for _, finding in found], wanted))
    return told


def _told(findings: Sequence[Finding], wanted: str = "", *, how: bool = True) -> str:
    """One thing to find out, of all findings that ask for it; ``how``: with how to take it, and who asks."""
    thing = f"{_subject(findings)}{tr(_thing(findings[0], how))}"
    return f"{thing} ({_settled_by(findings)}{wanted})" if how else thing


def count_to_measure(arrangement: Arrangement) -> int:
    """How many different things an arrangement still needs."""
    return len({thing_asked(f) for f in findings_of(arrangement) if f.outcome == "unmeasured"})


def _thing(finding: Finding, how: bool) -> Message:
    """What is not known and how to find out, without the value that would settle it; said so that several seats can
    share it."""
    other = elsewhere(seat_asked(finding))
    parts = (finding.result.field, finding.result.how) if how else (finding.result.field,)
    return joined(": ", [with_other(part, other) for part in parts])


def _subject(findings: Sequence[Finding]) -> str:
    """The seats, or the restraints, that a thing is to be measured at; none where it names the rider."""
    seats = {seat for finding in findings if (seat := seat_asked(finding)) is not None}
    if seats:
        return listed(sorted(seats)) + ": "
    named = {value for f in findings for part in (f.result.field, f.result.how) for value in holds(part)
             if isinstance(value, (RiderName, RestraintName))}
    if any(name in named for f in findings for name in (*f.riders, *([f.restraint] if f.restraint else []))):
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
