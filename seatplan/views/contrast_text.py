"""One arrangement against another in words: who rides otherwise, what is lost, what is gained."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from seatplan.rules.finding import Finding
from seatplan.rules.registry import gravest_first
from seatplan.rules.subjects import Placement
from seatplan.solver.contrast import Asked, Contrast
from seatplan.solver.results import Arrangement, Plan

from .along_text import setting_text
from .caution import caution
from .conflict_text import conflict
from .content import Block, Figure, Group, Heading, Paragraph, Table, Weighed, group, items
from .doubted_text import doubted
from .manner import day
from .notes_text import caution_weight, caution_word
from .repairs_text import repairs
from .say import Words, fill, t
from .terminal import parts_of
from .text import heading, listed, mm
from .text import spare as spare_of
from .under_way_text import under_way
from .words import VERDICTS, car_name, held_by, in_what, sentence, who_where

#: criterion -> what its points count, for each of the two
_POINTS = Words({
    "under_way": "riders who sit otherwise than it is being installed",
    "open": "whether something has to be measured first",
    "front_young": "children in front who ride rear-facing or in a harness, or are under 5",
    "under_two": "children under 2 who do not ride rear-facing",
    "front_under_nine": "other children under 9 in front",
    "doubtful": "restraints that are in doubt themselves",
    "front_older": "children from 9 up to 13 in front",
    "grave": "grave cautions",
    "slight": "other cautions, a backless booster counted as one",
    "wishes": "wishes not kept",
    "tried": "restraints that nobody saw hold at the car",
    "moves": "changes from today",
    "method": "restraints held by the belt rather than by lower anchors",
    "centre": "youngest child away from the centre",
})
#: where they say how many sit in front, who it is says nothing
_FRONT = ("front_young", "front_under_nine", "front_older")
#: criterion -> what the better one of the two does, where that is no count
_BETTER = Words({
    "protection": "the youngest who ride differently are better protected {where}",
    "front_who": "who sits in front has the better fit of the belt, or is taller or older, {where}",
})


def against_text(plan: Plan, found: Contrast) -> str:
    """Two arrangements of the list, by their numbers, as text."""
    return parts_of(against_content(plan, found))


def against_content(plan: Plan, found: Contrast) -> list[Block | None]:
    """Two arrangements of the list, by their numbers."""
    one, other = found.one, found.other
    head = heading(lambda trip: t("Arrangement {rank} against {rank_2}: {trip}", rank=one.rank, rank_2=other.rank,
                                  trip=trip), plan.trip.trip)
    return [_head(plan, head), under_way(plan.trip, plan.profile, plan.day, plan.options), doubted(plan.trip),
            *_parts(found, t("arrangement {rank}", rank=one.rank), t("arrangement {rank}", rank=other.rank)), caution()]


def asked_text(asked: Asked) -> str:
    """Why not as asked, as text."""
    return parts_of(asked_content(asked))


def asked_content(asked: Asked) -> list[Block | None]:
    """Why not as asked."""
    plan, what = asked.plan, _wished(asked)
    head = heading(lambda trip: t("Why not {what}: {trip}", what=what, trip=trip), plan.trip.trip)
    return [_head(plan, head), under_way(plan.trip, plan.profile, plan.day, plan.options), doubted(plan.trip),
            *_answered(asked, what), caution()]


def _answered(asked: Asked, what: str) -> list[Block]:
    plan = asked.plan
    if asked.same:
        return [Paragraph(t("The best arrangement has {what}.", what=what))]
    if asked.contrast is not None:
        one = asked.contrast.one
        return [Paragraph(t("It can be had: with {what} the best arrangement {verdict}. Against the best of all it "
                            "differs in this:", what=what, verdict=_verdict(one))),
                Figure(plan, one), *_parts(asked.contrast, t("as asked"), t("the best"))]
    if plan.arrangements:
        return [Paragraph(t("It can be had with {what}, and only so.", what=what))]
    first = (t("Nothing fits with {what}, nor without it:", what=what) if asked.best is None else
             t("Nothing fits with {what}; without that, something does. You asked for it here, so it is among the "
               "things that rule each other out:", what=what))
    if asked.explanation is None:
        return [Paragraph(first), Paragraph(t("The search stopped at its limit before it could tell why."))]
    return [Paragraph(first), conflict(asked.explanation, plan.strict, asked=True),
            repairs(asked.explanation.repairs, plan.strict, asked=True)]


def _head(plan: Plan, first: str) -> Group:
    return group(Heading(first), Paragraph(t("in {vehicle}, rules {name}, {day}", vehicle=car_name(plan.trip.vehicle),
                                             name=plan.profile.name, day=day(plan.day))))


def _wished(asked: Asked) -> str:
    wish = asked.wish
    return (
        t("{rider} at {at}", rider=wish.rider, at=listed(wish.at, "or"))
        if wish.at
        else t("{rider} in {some}", rider=wish.rider, some=listed(wish.uses or (), "or"))
    )


def _verdict(arrangement: Arrangement) -> str:
    return {"fits": t("fits"), "close": t("is close, to be tried in the car"),
            "likely": t("is likely, with what is only estimated")}.get(
        arrangement.verdict, t("hangs on what was not measured"))


def _parts(found: Contrast, one: str, other: str) -> Iterator[Block]:
    if not found.moved:
        yield Paragraph(t("Everybody rides alike in both."))
    else:
        yield group(Heading(t("Who rides otherwise")), group(Table(
            (t("rider"), "", t("seat"), t("in"), t("held by")), tuple(_moves(found, one, other)),
            t("Who rides otherwise")), inner=True))
    worse, better = _points(found, one, other, True), _points(found, one, other, False)
    yield _block(t("What {name} loses", name=_name(one)), [*worse, *_said(found.only_one)])
    yield _block(
        t("What {name} gains", name=_name(one)),
        [*better, *(t("no longer: {told}", told=said) for said in _said(found.only_other))],
    )


def _name(which: str) -> str:
    return t("it") if which == t("as asked") else which


def _block(head: str, lines: Sequence[str]) -> Group:
    return group(Heading(head), group(items(lines or [t("nothing")], marked=True), inner=True))


def _moves(found: Contrast, one: str, other: str) -> Iterator[tuple[str, ...]]:
    for a, b in found.moved:
        yield a.rider.rider, one, a.position.position, in_what(a), _held(a)
        yield "", other, b.position.position, in_what(b), _held(b)


def _held(placement: Placement) -> str:
    lean = setting_text(placement) if placement.rear_facing else ""
    return held_by(placement) + (f", {lean}" if lean else "")


def _points(found: Contrast, one: str, other: str, worse: bool) -> Iterator[str]:
    """The criteria in which the first is worse, or better; most important first."""
    numbers = {criterion.name for criterion in found.criteria if criterion.name in _FRONT}
    for criterion in found.criteria:
        if (criterion.one > criterion.other) != worse or (criterion.name == "front_who" and numbers):
            continue
        if criterion.name == "open" and found.one.verdict != found.other.verdict:
            continue                  # how sure it is says so
        if criterion.name == "sure":
            yield (t("how sure it is: {VERDICTS} {where}, {VERDICTS_2} "
                     "{where_2}, counting every row and everything to be measured",
                     VERDICTS=VERDICTS[found.one.verdict], where=_in(one), VERDICTS_2=VERDICTS[found.other.verdict],
                     where_2=_in(other)))
        elif criterion.name == "room":
            yield (t("room to spare in the tightest row: {spare} {where}, {spare_2} "
                     "{where_2}", spare=_spare(found.one), where=_in(one), spare_2=_spare(found.other),
                     where_2=_in(other)))
        elif criterion.name in _BETTER:
            yield fill(_BETTER[criterion.name], {"where": _in(one if criterion.one < criterion.other else other)})
        else:
            yield f"{_POINTS[criterion.name]}: {criterion.one} {_in(one)}, {criterion.other} {_in(other)}"


def _in(which: str) -> str:
    return which if which == t("as asked") else t("in {which}", which=which)


def _spare(arrangement: Arrangement) -> str:
    spare = arrangement.spare_mm
    if spare is None:
        return t("without limit")
    return spare_of(spare) if spare >= 0 else t("{short} short", short=mm(-spare, "up"))


def _said(findings: Sequence[Finding]) -> list[str]:
    return [_weighed(f, t("{outcome}: {who_where}: {sentence} ({rule})",
                          outcome=caution_word(f) if f.outcome == "caution" else t("to measure"),
                          who_where=who_where(f), sentence=sentence(f), rule=f.rule))
            for f in gravest_first(findings)]


def _weighed(finding: Finding, told: str) -> str:
    return Weighed(told, caution_weight(finding)) if finding.outcome == "caution" else told
