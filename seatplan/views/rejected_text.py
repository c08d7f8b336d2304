"""Why the other seatings were ruled out: by cause, with exact counts and the nearest misses."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from seatplan.rules.registry import rule_by_id
from seatplan.solver.results import ContestShown, Plan

from .content import Block, Group, Heading, Paragraph, Table, group, items
from .manner import number
from .say import N, Words, t
from .squeeze_text import sum_shown
from .text import count
from .words import sentence

_CONTEST = Words({
    "position": "two riders want one seat",
    "restraint": "two riders want one restraint",
    "together": "riders may not ride like that together",
})
_SEVERAL = N("more riders want a restraint than there are of it")
_REASONS_SHOWN = 8


def rejected(plan: Plan) -> Group | None:
    """Everything that was ruled out, in numbers that add up, heading first; None where nothing was."""
    tally = plan.tally
    total = tally.placement + tally.contest + tally.squeeze
    if not total:
        return None
    return group(
        Heading(t("Why the other {total} were ruled out", total=number(total)) if tally.valid
                else t("Why all {total} were ruled out", total=number(total))),
        group(None if tally.complete else Paragraph(t(
            "The search stopped at its limit: what it did not reach is counted here too, as riders in each other's "
            "way.")), *_placements(plan), *_contests(plan), *_squeezes(plan), inner=True))


def _placements(plan: Plan) -> Iterator[Block]:
    if plan.tally.placement:
        yield Paragraph(t("{placement}: some rider cannot ride like that, whoever else is in the car",
                          placement=number(plan.tally.placement)), hangs=True)
        yield group(
            Paragraph(t("of {cells} ways (a rider at a seat, in a restraint, held in one way) {blocked} are ruled "
                        "out, many by more than one rule:", cells=number(_cells(plan)),
                        blocked=number(_blocked(plan)))),
            group(_placement_rules(plan), inner=True), inner=True)


def _contests(plan: Plan) -> Iterator[Block]:
    if plan.tally.contest:
        yield Paragraph(t("{contest}: two riders are in each other's way", contest=number(plan.tally.contest)),
                        hangs=True)
        yield group(items([_contest(contest) for contest in plan.contests]), inner=True)


def _squeezes(plan: Plan) -> Iterator[Block]:
    if plan.tally.squeeze:
        yield Paragraph(t("{squeeze}: not enough room{where}", squeeze=number(plan.tally.squeeze), where=_where(plan))
                        + _nearest(plan), hangs=True)
        yield group(*map(sum_shown, plan.squeezes), inner=True)


def _where(plan: Plan) -> str:
    """The directions in which the car may be short; along it only where something stands ahead of a seat."""
    return t(" side by side") + ("" if all(p.ahead is None for p in plan.choices.positions) else t(" or along the car"))


def _nearest(plan: Plan) -> str:
    n = len(plan.squeezes)
    return "" if not n else t("; the nearest miss:") if n == 1 else t("; the {n} nearest misses:", n=n)


def _cells(plan: Plan) -> int:
    return sum(1 for _ in plan.choices.cells())


def _blocked(plan: Plan) -> int:
    return sum(cell.blocked for cell in plan.choices.cells())


def _placement_rules(plan: Plan) -> Table:
    """By rule, how many ways it rules out."""
    counts: Counter[str] = Counter()
    unmeasured = 0
    for cell in plan.choices.cells():
        rules = {finding.rule for finding in cell.findings if finding.outcome == "block"}
        counts.update(rules)
        unmeasured += cell.blocked and not rules
    lines = [(n, rule, t(rule_by_id(rule).title)) for rule, n in counts.items()]
    if unmeasured:
        lines.append((unmeasured, "--strict", t("Something was not measured")))
    lines.sort(key=lambda line: (-line[0], line[1]))
    width = max(len(number(n)) for n, _, _ in lines)
    rows = [(number(n).rjust(width), rule, title) for n, rule, title in lines[:_REASONS_SHOWN]]
    rest = len(lines) - len(rows)
    if rest:
        rows.append(("", t("and {more_rules}", more_rules=count(rest, 'more rule')), ""))
    return Table(("", "", ""), tuple(rows), t("Ways that a rule rules out"))


def _contest(contest: ContestShown) -> str:
    # of a restraint with copies, more riders than there are stand in the example
    words = t(_SEVERAL) if len(contest.example) > 2 else _CONTEST[contest.what]
    text = f"{number(contest.seatings)}: {words}"
    if contest.what == "together" and contest.findings:
        text += t(", such as: {sentence} ({rule})", sentence=sentence(contest.findings[0]),
                  rule=contest.findings[0].rule)
    return text
