"""A no in short: what would change it, the smallest conflict in numbers, and the reasons that somebody can act on."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from seatplan.rules.registry import rule_by_id
from seatplan.solver.conflict import Reason
from seatplan.solver.explain import Explanation
from seatplan.solver.occasions import ROW
from seatplan.solver.repairs.verify import Repair, Repairs
from seatplan.solver.results import Plan

from .change_text import user_of
from .commands import Commands
from .conflict_text import lines_of, no_reasons, who_cannot_travel
from .content import Block, Group, Heading, Items, Paragraph, Text, Weighed, group, items, spans
from .notes_text import cautions_by_weight
from .plan_text import hardest
from .repairs_text import HEAD, done_in, more_sets, none_found, notes_of, then
from .say import t
from .shortage_text import needed
from .squeeze_text import sum_shown
from .text import count, listed
from .words import MODES, in_short

#: so many reasons are told
_REASONS = 4
#: rules about what a child is, and who drives: nobody can change that
_DRIVES = ("driver-elsewhere", "driver-seat-taken")
_BODY = tuple(f"rider.{name}" for name in ("age", "born", "mass", "height", "sitting_height", "shoulder_height",
                                           "ear_height", "sits_upright", "lies", "climbs"))


def refused(plan: Plan, explanation: Explanation | None) -> list[Block | None]:
    """What would change it, then why it is so."""
    if explanation is None:
        return [Paragraph(needed(plan, plan.shortage)) if plan.shortage else None]
    return [_repairs(explanation.repairs, plan), _conflict(plan, explanation)]


def what_then(plan: Plan, asked: Commands, explanation: Explanation | None) -> list[Text | Block]:
    """The next commands where nothing fits."""
    steps: list[Text | Block] = []
    if plan.strict:
        steps.append(spans("`{command}`: what to find out, which counts as a no so far",
                           command=asked.measure))
    getting = next(iter(_to_get(explanation)), None)
    if getting is not None:
        steps.append(spans("`{command}`: how large another restraint may be",
                           command=asked.room(getting)))
    if explanation is None or explanation.conflict is None:
        steps.append(spans("`{command}`: every reason", command=asked.why(hardest(plan))))
    steps.append(spans("`{command}`: the rest, and how to try a change", command=asked.full)
                 if explanation and explanation.repairs.repairs else
                 spans("`{command}`: the rest of this answer", command=asked.full))
    return steps


def _to_get(explanation: Explanation | None) -> Iterator[str]:
    """Whom another restraint alone would help, best first."""
    for repair in explanation.repairs.repairs if explanation else ():
        if len(repair.changes) == 1:
            user = user_of(repair.changes[0], tuple(seat.placement for seat in repair.arrangement.seats))
            yield from [user] if user else []


def _repairs(found: Repairs, plan: Plan) -> Group:
    """Best first; the cautions of what comes of them once, however many share them."""
    if not found.repairs:
        return group(Paragraph(none_found(found, plan.strict)))
    told = _unlike(found.repairs)
    more = more_sets(found, told)
    return group(
        Heading(t(HEAD)),
        group(Items(tuple(map(_one, told)), numbered=True), items(_cautions(told)),
              Paragraph(more) if more else None, inner=True))


def _unlike(repairs: Sequence[Repair]) -> list[Repair]:
    """The best of those that ask the same of the same riders."""
    first: dict[object, Repair] = {}
    for repair in repairs:
        placements = tuple(seat.placement for seat in repair.arrangement.seats)
        asks = frozenset((change.kind, user_of(change, placements) or change) for change in repair.changes)
        first.setdefault(asks, repair)
    return list(first.values())


def _one(repair: Repair) -> Group:
    return group(Paragraph(f"{_done_in(repair)}: {then(repair)}", hangs=True), Paragraph(_seats(repair), hangs=True),
                 *(Paragraph(text, hangs=True) for text in (*_losses(repair), *notes_of(repair))))


def _done_in(repair: Repair) -> str:
    """What to do; several restraints to get are one thing to do."""
    placements = tuple(seat.placement for seat in repair.arrangement.seats)
    if len(repair.changes) < 2 or any(change.kind != "get-restraint" for change in repair.changes):
        return done_in(repair)
    return t("get other restraints, with the sizes and limits of these (invented): {each}", each=listed([
        t("{restraint} for {rider}", restraint=change.restraint, rider=user_of(change, placements) or t("somebody"))
        for change in repair.changes]))


def _losses(repair: Repair) -> list[str]:
    """Whom it protects less than would be possible, in one line."""
    by_mode: dict[str, list[str]] = {}
    for loss in repair.losses:
        by_mode.setdefault(loss.mode, []).append(loss.rider)
    told = [t("{riders} in a {mode}", riders=listed(riders), mode=MODES[mode]) for mode, riders in by_mode.items()]
    return [t("protects less than what is at hand would: {each}", each=", ".join(told))] if told else []


def _seats(repair: Repair) -> str:
    """Who sits where in what; an adult needs no word for the seat belt."""
    return ", ".join(
        f"{p.rider.rider} {p.position.position}" + ("" if p.rider.adult and not p.restraint else f" {in_short(p)}")
        for p in (seat.placement for seat in repair.arrangement.seats))


def _cautions(repairs: Sequence[Repair]) -> list[str]:
    """Grave ones first; which changes they go with, where it is not all."""
    by_weight = [cautions_by_weight(repair.arrangement) for repair in repairs]
    told = []
    for weight in (0, 1):
        with_them: dict[str, list[int]] = {}
        for rank, cautions in enumerate(by_weight, 1):
            for caution in cautions[weight]:
                with_them.setdefault(caution, []).append(rank)
        told += [caution if len(ranks) == len(repairs) else
                 _weighed_as(caution, t("with {ranks}: {caution}", ranks=listed([str(rank) for rank in ranks]),
                                        caution=caution))
                 for caution, ranks in with_them.items()]
    return told


def _weighed_as(caution: str, told: str) -> str:
    """What is told of a caution, as grave as that is."""
    return Weighed(told, caution.weight) if isinstance(caution, Weighed) else told


def _conflict(plan: Plan, explanation: Explanation) -> Group:
    """Who cannot travel together, the sum or the count that does not come out, and what somebody could change."""
    if explanation.conflict is None:
        return group(Paragraph(no_reasons(explanation)))
    sums = explanation.nearest
    reasons = [reason for reason in explanation.conflict.reasons
               if sums is None or reason.occasion.rule != ROW]          # the sum says it
    open_ones = [reason for reason in reasons if not _as_it_is(reason)]
    told = lines_of(open_ones or ([] if sums or plan.shortage else reasons), plan.strict)
    left = len(lines_of(reasons, plan.strict)) - len(told[:_REASONS])
    return group(
        Paragraph(needed(plan, plan.shortage) if plan.shortage else who_cannot_travel(explanation)),
        group(
            None if sums is None else sum_shown(sums),
            items(told[:_REASONS], marked=True),
            Paragraph(t("and {things} that nobody can change: how big and how old children are, who drives",
                        things=count(left, "thing"))
                      if len(told) <= _REASONS and len(open_ones) < len(reasons) else
                      t("and {more_reasons}", more_reasons=count(left, "more reason"))) if left else None,
            inner=True))


def _as_it_is(reason: Reason) -> bool:
    """Whether it is about what nobody can change: the body of a child, or who drives; not what one act at a seat
    ends."""
    rule = rule_by_id(reason.occasion.rule)
    of_body = "rider" in rule.fact or rule.scope == "trip"
    return rule.id in _DRIVES or (of_body and any(read in _BODY for read in rule.reads))
