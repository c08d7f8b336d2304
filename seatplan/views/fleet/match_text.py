"""Parties matched with types of vehicle, as text."""

from __future__ import annotations

from collections.abc import Iterator

from seatplan.app.fleet.match import Matched
from seatplan.fleet.matching import Failed
from seatplan.fleet.records import ClassAnswer, Party, serves
from seatplan.views.caution import caution
from seatplan.views.content import Block, Group, Heading, Items, Paragraph, Table, Text, Weighed, group
from seatplan.views.say import Words, t
from seatplan.views.terminal import parts_of
from seatplan.views.text import count

from .counts import counts_said
from .parties import kit_said, party_said, readings_said, seats_said

_VERDICTS = Words({"fits": "fits", "close": "close", "likely": "likely", "unmeasured": "not all measured",
                   "rejected": "no"})


def match_text(found: Matched, full: bool) -> str:
    """The answer. ``full``: every kit of every party in every type; else the best way of each party."""
    types = [one.vehicle.key() for one in found.read.fleet.types]
    blocks: list[Block | None] = [
        Heading(t("{fleet}, {day}: {parties} in {types}", fleet=found.read.fleet.fleet, day=found.day,
                  parties=count(len(found.parties.of), "different party", "different parties"),
                  types=count(len(types), "type of vehicle", "types of vehicle"))),
        counts_said(found.counts, found.classes, found.damaged)]
    blocks += [_party(found, party, n, types, full) for party, n in found.parties.of.items()]
    return parts_of([*blocks, caution()])


def _party(found: Matched, party: Party, bookings: int, types: list[str], full: bool) -> Group:
    rows, told = [], list[Block]()
    for one in types:
        answer = found.answers.get((one, party))
        rows.append(_row(found, one, answer))
        if full and isinstance(answer, ClassAnswer):
            told += _ways(found, one, party, answer)
    best = None if full else _best(found, party, types)
    return group(Heading(f"{party_said(party)} ({count(bookings, 'booking')})"),
                 group(Table((t("type"), t("verdict"), t("restraints of the best way that serves")), tuple(rows)), best,
                       *told, *_why_not(found, party, types), inner=True))


def _row(found: Matched, kind: str, answer: ClassAnswer | Failed | None) -> tuple[str, ...]:
    name = found.read.type_name(kind)
    if not isinstance(answer, ClassAnswer):
        return name, t("not matched"), answer.error if isinstance(answer, Failed) else ""
    serving = [way for way in answer.ways if serves(way)]
    if not serving:
        return name, _VERDICTS[answer.verdict], "-"
    verdict = serving[0].verdict       # an arrangement that comes before it may be less sure
    held = t(", and held when tried") if verdict == "close" else t(", by likely bodies") if verdict == "likely" else ""
    return name, _VERDICTS[verdict] + held, kit_said(serving[0].kit, found.read)


def _best(found: Matched, party: Party, types: list[str]) -> Paragraph | None:
    for one in types:
        answer = found.answers.get((one, party))
        serving = [way for way in answer.ways if serves(way)] if isinstance(answer, ClassAnswer) else []
        if serving and any(not member.adult for member in party.members):
            told = t("{type}: {seats}.", type=found.read.type_name(one), seats=seats_said(
                serving[0].seats, party, found.read))
            return Paragraph(told, hangs=True)
    return None


def _ways(found: Matched, kind: str, party: Party, answer: ClassAnswer) -> Iterator[Block]:
    entries: list[Text | Block] = []
    for way in answer.ways:
        told = t("{verdict}: {kit}; {seats}", verdict=_VERDICTS[way.verdict], kit=kit_said(way.kit, found.read),
                 seats=seats_said(way.seats, party, found.read))
        entries.append(told if way.verdict == "fits" else Weighed(told, way.verdict))
    if entries:
        yield Heading(t("{type}, every kit from which nothing can be left out:", type=found.read.type_name(kind)))
        yield Items(tuple(entries), numbered=True)
    if not answer.complete:
        yield Paragraph(t("The search stopped at its limit: there may be more."))


def _why_not(found: Matched, party: Party, types: list[str]) -> Iterator[Block]:
    """Where no type serves: what would settle it, or who cannot ride together."""
    answers = [(one, answer) for one in types if isinstance(answer := found.answers.get((one, party)), ClassAnswer)]
    if any(serves(way) for _, answer in answers for way in answer.ways):
        return
    for one, answer in answers:
        name = found.read.type_name(one)
        if answer.readings:
            yield Paragraph(Weighed(t("{type}: it hangs on {readings}.", type=name, readings=readings_said(
                answer.readings, party)), "unmeasured"), hangs=True)
        elif answer.conflict is not None:
            members, rules = answer.conflict
            said = t("{type}: {n} of them cannot ride together, by {rules}.", type=name, n=len(members),
                     rules=", ".join(rules)) if rules else t(
                "{type}: {n} of them cannot ride together.", type=name, n=len(members))
            yield Paragraph(Weighed(said, "rejected"), hangs=True)
