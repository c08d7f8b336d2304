"""Why the other seatings went: shortage first, then by cause with exact counts and the nearest misses."""

from __future__ import annotations

from collections import Counter

from seatplan.geometry.chain import Squeeze
from seatplan.rules.registry import rule_by_id
from seatplan.solver.results import ContestShown, Plan, ShortageShown, SqueezeShown

from .text import count, listed, mm, number, table, wrapped
from .words import in_what, sentence

_CONTEST = {
    "position": "two riders want one seat",
    "restraint": "two riders want one restraint",
    "together": "riders may not ride like that together",
}


def rejected(plan: Plan) -> str:
    """Everything that was turned down, in numbers that add up."""
    tally = plan.tally
    total = tally.placement + tally.contest + tally.squeeze
    if not total:
        return ""
    parts = [shortage(plan.shortage)] if plan.shortage else []
    parts.append(f"Why the other {total:,} went" if tally.valid else f"Why all {total:,} went")
    if tally.placement:
        parts.append(wrapped(f"{tally.placement:,}: a rider cannot ride like that at all. Counted by reason, "
                             f"over {_blocked(plan):,} of {_cells(plan):,} placements (one can have several):",
                             "   ", "      "))
        parts.append(_placement_rules(plan))
    if tally.contest:
        parts.append(f"   {tally.contest:,}: two riders want the same thing")
        parts.extend(_contest(contest) for contest in plan.contests)
    if tally.squeeze:
        parts.append(f"   {tally.squeeze:,}: not enough room")
        parts.extend(squeeze_text(shown) for shown in plan.squeezes)
    return "\n".join(parts)


def _cells(plan: Plan) -> int:
    return sum(1 for _ in plan.choices.cells())


def _blocked(plan: Plan) -> int:
    return sum(cell.blocked for cell in plan.choices.cells())


def _placement_rules(plan: Plan) -> str:
    counts: Counter[str] = Counter()
    for cell in plan.choices.cells():
        counts.update({finding.rule for finding in cell.findings if finding.outcome == "block"})
        if plan.strict and cell.blocked and not any(f.outcome == "block" for f in cell.findings):
            counts["not measured (--strict)"] += 1
    lines = [[f"{n:,}", rule, rule_by_id(rule).title if "(" not in rule else ""]
             for rule, n in sorted(counts.items(), key=lambda item: (-item[1], item[0]))]
    head, rest = lines[:8], lines[8:]
    if rest:
        head.append(["", f"and {count(len(rest), 'more reason')}", ""])
    return table(["", "", ""], head, "      ").lstrip("\n")


def _contest(contest: ContestShown) -> str:
    text = f"{contest.seatings:,}: {_CONTEST[contest.what]}"
    if contest.example and contest.what == "together" and contest.findings:
        text += f"; such as {sentence(contest.findings[0])} ({contest.findings[0].rule})"
    return wrapped(text, "      ", "         ")


def shortage(short: ShortageShown) -> str:
    """Hall's condition in one sentence, then what took the rest away."""
    things = "seats" if short.thing == "position" else "restraints"
    have = listed(short.have) if short.have else "none"
    who = listed(short.riders)
    if len(short.riders) == 1:
        text = f"{who} cannot ride anywhere in this car." if not short.have else ""
        if short.thing == "restraint":
            text = f"No restraint at hand is for {who}."
    else:
        share = "has none between them" if not short.have else f"share only {count(len(short.have), things[:-1])}"
        text = f"{who} need {len(short.riders)} {things} and {share}" + (f": {have}." if short.have else ".")
    lines = [wrapped(text)]
    merged: dict[tuple[str, tuple[str, ...]], list[str]] = {}
    for (rider, thing), rules in short.taken_away.items():
        merged.setdefault((rider, rules), []).append(thing)
    for (rider, rules), seats in merged.items():
        lines.append(wrapped(f"{rider} not {'at' if short.thing == 'position' else 'in'} {listed(seats, 'or')}: "
                             f"{listed(rules)}", "   ", "      "))
    return "\n".join(lines) + "\n"


def squeeze_text(shown: SqueezeShown) -> str:
    """A near miss: who sits there, and the sum."""
    who = "; ".join(f"{p.rider.rider} {p.position.position} in {in_what(p)}" for p in shown.placements)
    text = f"row {shown.row}, {who}: {sum_of(shown.squeeze)}"
    return wrapped(text, "      nearest: ", "         ")


def sum_of(squeeze: Squeeze) -> str:
    """The tight cycle as a sum that anybody can add up."""
    addends = [addend for step in squeeze.steps for addend in step.addends]
    need = " + ".join(f"{addend.label} {number(addend.mm)}" for addend in addends if addend.mm > 0)
    have = " + ".join(f"{addend.label} {number(-addend.mm)}" for addend in addends if addend.mm < 0)
    return (f"needs {need} = {mm(squeeze.need)}; there is {have or '0'} = {mm(squeeze.have)}: "
            f"{mm(squeeze.short)} short")
