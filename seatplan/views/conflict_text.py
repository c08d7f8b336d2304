"""Who cannot travel together, and the reasons that suffice: each one alone keeps a seating from being there."""

from __future__ import annotations

from collections.abc import Sequence

from seatplan.message import with_other
from seatplan.solver.asked import seat_named
from seatplan.solver.conflict import Reason
from seatplan.solver.explain import Explanation
from seatplan.solver.occasions import ALONG, ROW

from .content import Group, Paragraph, group, items
from .say import N, t
from .squeeze_text import sum_shown
from .text import count, listed
from .words import MODES, elsewhere, sentence, shared_sentence

_GROUPS_SHOWN = 4
_WISH = "wish-for-seat-not-met"
NEAREST = N("nearest to fitting:")


def conflict(explanation: Explanation, strict: bool = False, asked: bool = False) -> Group:
    """The group, what rules it out, and the sum of the nearest miss where a row is too narrow. ``asked``: something
    was asked for beside the trip."""
    if explanation.conflict is None:
        return group(Paragraph(no_reasons(explanation, asked)))
    told = lines_of(explanation.conflict.reasons, strict)
    nearest, others = explanation.nearest, other_groups(explanation)
    return group(
        Paragraph(who_cannot(explanation, len(told), asked)),
        group(
            items(told, marked=True),
            None if nearest is None else Paragraph(t(NEAREST)),
            None if nearest is None else group(sum_shown(nearest), inner=True),
            Paragraph(others) if others else None, inner=True))


def who_cannot(explanation: Explanation, reasons: int, asked: bool = False) -> str:
    """The sentence before so many reasons: who cannot travel together."""
    who = who_cannot_travel(explanation, t(" like that") if asked else "")
    fewest = explanation.conflict is not None and explanation.conflict.fewest
    return f"{who} {_intro(reasons, fewest)}"


def no_reasons(explanation: Explanation, asked: bool = False) -> str:
    """Who cannot travel together, as far as that is known, where the search for the reasons stopped."""
    stopped = t("The search for what rules it out stopped at its limit.")
    if not explanation.groups:
        return stopped
    return f"{who_cannot_travel(explanation, t(' like that') if asked else '')} {stopped}"


def other_groups(explanation: Explanation) -> str:
    """Who else cannot travel together; empty where nobody else."""
    more = explanation.groups[1:]
    if not more:
        return ""
    alone, together = [g[0] for g in more if len(g) == 1], [g for g in more if len(g) > 1]
    told = [t("Nor can these, even with nobody else to carry: {alone}.", alone=listed(alone))] if alone else []
    if together:
        shown = "; ".join(listed(group) for group in together[:_GROUPS_SHOWN])
        rest = len(together) - _GROUPS_SHOWN
        shown += t("; and {more_groups}", more_groups=count(rest, "more group")) if rest > 0 else ""
        told.append(t("Nor can these travel together: {shown}.", shown=shown))
    return " ".join(told)


def who_cannot_travel(explanation: Explanation, how: str = "") -> str:
    """The group by itself; ``how``: what was asked for."""
    riders = explanation.riders
    if len(riders) == 1:
        return t("{riders} cannot ride{how} in this car, even with nobody else to carry.", riders=riders[0], how=how)
    rest = t("Either could without the other.") if len(riders) == 2 else t("Without any one of them the others could.")
    return t("{riders} cannot all travel{how} in this car. {rest}", riders=listed(riders), how=how, rest=rest)


def _intro(n: int, fewest: bool) -> str:
    if n == 1:
        return t("One thing rules it out:")
    among = "" if fewest else t(" (there may be shorter lists)")
    return t("These {n} things together rule it out; were any one of them otherwise, there would be a way{among}:",
             n=n, among=among)


def lines_of(reasons: Sequence[Reason], strict: bool = False) -> list[str]:
    """One line for each reason; those that say the same of several riders or seats share one. ``strict``: what was
    not measured counts as a no, of a row's room as well."""
    groups: dict[tuple[str, str, str], list[Reason]] = {}
    for reason in reasons:
        groups.setdefault((reason.occasion.rule, _in_what(reason), _said(reason, strict)), []).append(reason)
    return [_line(same, strict) for same in groups.values()]


def _line(reasons: Sequence[Reason], strict: bool) -> str:
    first = reasons[0]
    riders = list(dict.fromkeys(rider for reason in reasons for rider in reason.occasion.riders))
    seats = list(dict.fromkeys(seat for reason in reasons for seat in reason.occasion.positions))
    said = _said(first, strict) if len(reasons) > 1 else _own(first, strict)
    scope_pair = len(first.occasion.riders) > 1 or len(first.occasion.positions) > 1
    subject = (
        ""
        if scope_pair
        else " ".join(
            part
            for part in (
                _each(riders),
                t("at {seats}", seats=listed(seats)) if seats and len(reasons) > 1 else "",
                _in_what(first),
            )
            if part
        )
    )
    return f"{subject}: {said} ({first.occasion.rule})" if subject else f"{said} ({first.occasion.rule})"


def _each(riders: Sequence[str]) -> str:
    """The sentence that follows speaks of one: ``Odin (and Freya too)``."""
    others = t(" (and {riders} too)", riders=listed(riders[1:])) if len(riders) > 1 else ""
    return f"{riders[0]}{others}" if riders else ""


def _in_what(reason: Reason) -> str:
    occasion = reason.occasion
    named = [listed(alike, "or") for alike in reason.restraints]
    modes = [MODES[m] for m in occasion.modes if m != "seat-belt"]
    if len(occasion.positions) > 1 or not (named or modes):
        return ""
    return t("in {some}", some=', '.join([*named, *modes]))


def _said(reason: Reason, strict: bool) -> str:
    """The sentence, said so that several seats can share it."""
    finding = reason.finding
    if finding is None:
        return _own(reason, strict)
    if reason.occasion.rule == _WISH:
        limit = finding.result.limit
        return _asked(with_other(limit, elsewhere(seat_named(finding, [limit]))))
    return shared_sentence(finding)


def _own(reason: Reason, strict: bool) -> str:
    occasion = reason.occasion
    if occasion.rule == ROW and strict:
        return t("row {row} is too narrow, or not all measured, for those who would have to sit there",
                 row=occasion.row)
    if occasion.rule == ROW:
        return t("row {row} is too narrow for those who would have to sit there", row=occasion.row)
    if reason.finding is None:
        return t("the car is too short for those who would sit behind one another") if occasion.rule == ALONG else ""
    if occasion.rule == _WISH:
        return _asked(reason.finding.result.limit)
    return sentence(reason.finding)


def _asked(limit: object) -> str:
    return t("you asked for {limit}", limit=limit)
