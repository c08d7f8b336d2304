"""Who cannot travel together, and the reasons that suffice: each one alone keeps a seating from being there."""

from __future__ import annotations

from collections.abc import Sequence

from seatplan.solver.conflict import Reason
from seatplan.solver.explain import Explanation
from seatplan.solver.occasions import ALONG, ROW

from .notes_text import said_of_any_seat
from .squeeze_text import squeeze_text
from .text import count, listed, wrapped
from .words import MODES, sentence

_GROUPS_SHOWN = 4
NEAREST = "nearest to fitting:"


def conflict_text(explanation: Explanation, strict: bool = False, asked: bool = False) -> str:
    """The group, what rules it out, and the sum of the nearest miss where a row is too narrow. ``asked``: something
    was asked for beside the trip."""
    told = lines_of(explanation.conflict.reasons, strict)
    lines = [wrapped(who_cannot(explanation, len(told), asked))]
    lines += [wrapped(text, "   - ", "     ") for text in told]
    if explanation.nearest is not None:
        lines.append(f"   {NEAREST}\n" + squeeze_text(explanation.nearest, "      "))
    others = other_groups(explanation)
    if others:
        lines.append(wrapped(others, "   "))
    return "\n".join(lines)


def who_cannot(explanation: Explanation, reasons: int, asked: bool = False) -> str:
    """The sentence before so many reasons: who cannot travel together."""
    who = _group(explanation, " like that" if asked else "")
    return f"{who} {_intro(reasons, explanation.conflict.fewest)}"


def other_groups(explanation: Explanation) -> str:
    """Who else cannot travel together; empty where nobody else."""
    more = explanation.groups[1:]
    if not more:
        return ""
    shown = "; ".join(listed(group) for group in more[:_GROUPS_SHOWN])
    rest = len(more) - _GROUPS_SHOWN
    shown += f"; and {count(rest, 'more group')}" if rest > 0 else ""
    return f"Nor can these travel together: {shown}."


def _group(explanation: Explanation, how: str) -> str:
    riders = explanation.riders
    if len(riders) == 1:
        return f"{riders[0]} cannot ride{how} in this car, even with nobody else to carry."
    rest = "Either could without the other." if len(riders) == 2 else "Without any one of them the others could."
    return f"{listed(riders)} cannot all travel{how} in this car. {rest}"


def _intro(n: int, fewest: bool) -> str:
    if n == 1:
        return "One thing rules it out:"
    among = "" if fewest else " (there may be shorter lists)"
    return f"These {n} things together rule it out; were any one of them otherwise, there would be a way{among}:"


def lines_of(reasons: Sequence[Reason], strict: bool = False) -> list[str]:
    """One line for each reason; those that say the same of several riders or seats share one. ``strict``: what was
    not measured counts as a no, of a row's room as well."""
    groups: dict[tuple[str, str, str], list[Reason]] = {}
    for reason in reasons:
        groups.setdefault((reason.occasion.rule, _in_what(reason), _said(reason)), []).append(reason)
    lines = [_line(same) for same in groups.values()]
    if strict:
        lines = [line.replace("is too narrow for", "is too narrow, or not all measured, for") for line in lines]
    return lines


def _line(reasons: Sequence[Reason]) -> str:
    first = reasons[0]
    riders = list(dict.fromkeys(rider for reason in reasons for rider in reason.occasion.riders))
    seats = list(dict.fromkeys(seat for reason in reasons for seat in reason.occasion.positions))
    said = _said(first) if len(reasons) > 1 else _own(first)
    scope_pair = len(first.occasion.riders) > 1 or len(first.occasion.positions) > 1
    subject = "" if scope_pair else " ".join(part for part in (
        _each(riders), f"at {listed(seats)}" if seats and len(reasons) > 1 else "", _in_what(first)) if part)
    return f"{subject}: {said} ({first.occasion.rule})" if subject else f"{said} ({first.occasion.rule})"


def _each(riders: Sequence[str]) -> str:
    """The sentence that follows speaks of one: ``Odin (and Freya too)``."""
    return riders[0] + (f" (and {listed(riders[1:])} too)" if len(riders) > 1 else "") if riders else ""


def _in_what(reason: Reason) -> str:
    occasion = reason.occasion
    named = [r for r in occasion.restraints if r]
    modes = [MODES[m] for m in occasion.modes if m != "adult-belt"]
    if len(occasion.positions) > 1 or not (named or modes):
        return ""
    return f"in {', '.join([*named, *modes])}"


def _said(reason: Reason) -> str:
    """The sentence, said so that several seats can share it."""
    own = _own(reason)
    return own if reason.finding is None else said_of_any_seat(reason.finding, own)


def _own(reason: Reason) -> str:
    occasion = reason.occasion
    if occasion.rule == ROW:
        return f"row {occasion.row} is too narrow for those who would have to sit there"
    if reason.finding is None:
        return "the car is too short for those who would sit behind one another" if occasion.rule == ALONG else ""
    if occasion.rule == "wish-for-seat-not-met":
        return f"you asked for {reason.finding.result.limit}"
    return sentence(reason.finding)
