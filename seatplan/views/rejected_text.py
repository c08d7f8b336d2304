"""Why the other seatings went: by cause, with exact counts and the nearest misses."""

from __future__ import annotations

from collections import Counter

from seatplan.rules.registry import rule_by_id
from seatplan.solver.results import ContestShown, Plan

from .squeeze_text import squeeze_text
from .text import count, table, wrapped
from .words import sentence

_CONTEST = {
    "position": "two riders want one seat",
    "restraint": "two riders want one restraint",
    "together": "riders may not ride like that together",
}
_REASONS_SHOWN = 8


def rejected(plan: Plan) -> str:
    """Everything that was turned down, in numbers that add up."""
    tally = plan.tally
    total = tally.placement + tally.contest + tally.squeeze
    if not total:
        return ""
    parts = [f"Why the other {total:,} went" if tally.valid else f"Why all {total:,} went"]
    if not tally.complete:
        parts.append(wrapped("The search stopped at its limit: what it did not reach is counted here too, as "
                             "riders in each other's way.", "   "))
    if tally.placement:
        parts.append(f"   {tally.placement:,}: some rider cannot ride like that, whoever else is in the car")
        parts.append(wrapped(f"of {_cells(plan):,} ways (a rider at a seat, in a restraint, held in one way) "
                             f"{_blocked(plan):,} are ruled out, many by more than one rule:", "      "))
        parts.append(_placement_rules(plan))
    if tally.contest:
        parts.append(f"   {tally.contest:,}: two riders are in each other's way")
        parts.extend(_contest(contest) for contest in plan.contests)
    if tally.squeeze:
        parts.append(f"   {tally.squeeze:,}: not enough room{_where(plan)}" + _nearest(plan))
        parts.extend(squeeze_text(shown, "      ") for shown in plan.squeezes)
    return "\n".join(parts)


def _where(plan: Plan) -> str:
    """The directions in which the car may be short; along it only where something stands ahead of a seat."""
    return " side by side" + ("" if all(p.ahead is None for p in plan.choices.positions) else " or along the car")


def _nearest(plan: Plan) -> str:
    n = len(plan.squeezes)
    return "" if not n else "; the nearest miss:" if n == 1 else f"; the {n} nearest misses:"


def _cells(plan: Plan) -> int:
    return sum(1 for _ in plan.choices.cells())


def _blocked(plan: Plan) -> int:
    return sum(cell.blocked for cell in plan.choices.cells())


def _placement_rules(plan: Plan) -> str:
    counts: Counter[str] = Counter()
    unmeasured = 0
    for cell in plan.choices.cells():
        rules = {finding.rule for finding in cell.findings if finding.outcome == "block"}
        counts.update(rules)
        unmeasured += cell.blocked and not rules
    lines = [(n, rule, rule_by_id(rule).title) for rule, n in counts.items()]
    if unmeasured:
        lines.append((unmeasured, "--strict", "Something was not measured"))
    lines.sort(key=lambda line: (-line[0], line[1]))
    width = max(len(f"{n:,}") for n, _, _ in lines)
    head = [[f"{n:,}".rjust(width), rule, title] for n, rule, title in lines[:_REASONS_SHOWN]]
    rest = len(lines) - len(head)
    if rest:
        head.append(["", f"and {count(rest, 'more rule')}", ""])
    return table(["", "", ""], head, "         ").lstrip("\n")


def _contest(contest: ContestShown) -> str:
    text = f"{contest.seatings:,}: {_CONTEST[contest.what]}"
    if contest.what == "together" and contest.findings:
        text += f", such as: {sentence(contest.findings[0])} ({contest.findings[0].rule})"
    return wrapped(text, "      ", "         ")
