"""Why, or why not, as text: one block a position and restraint mode, blocks first, then what passed."""

from __future__ import annotations

from collections.abc import Iterable

from seatplan.rules.finding import ORDER, Finding
from seatplan.solver.placements import Cell
from seatplan.solver.why import Mode, Why

from .caution import CAUTION
from .rejected_text import sum_of
from .text import count, wrapped
from .words import MODES, held_by, sentence

_WORD = {"block": "no", "unmeasured": "to measure", "caution": "caution", "pass": "ok"}


def why_text(why: Why) -> str:
    """The whole answer; passes are listed only when it is about one position or restraint."""
    narrow = len(why.modes) <= 6
    blocks = [_mode(why, mode, narrow) for mode in why.modes]
    head = f"{why.rider} in {why.trip.vehicle.vehicle}, rules {why.profile.name}, {why.day.isoformat()}"
    hint = "" if narrow else ("hint: `seatplan why ... --position 2C` or `--restraint NAME` shows what passed, "
                              "with numbers")
    tail = wrapped(f"caution: {CAUTION}")
    return "\n\n".join(part for part in (head, *blocks, hint, tail) if part) + "\n"


def _mode(why: Why, mode: Mode, narrow: bool) -> str:
    what = "with the adult belt" if mode.restraint is None else f"in {mode.restraint}, {MODES[mode.mode]}"
    lines = [wrapped(f"{mode.position} {what}: {_verdict(mode)}")]
    if mode.squeeze:
        lines.append(wrapped(f"nearest miss, row {mode.squeeze.row}: {sum_of(mode.squeeze.squeeze)}", "   ", "      "))
    common = _common(mode.cells)
    lines.extend(_findings(common, narrow, "   "))
    if len(mode.cells) > 1:
        for cell in mode.cells:
            own = [f for f in cell.findings if not any(f.rule == c.rule and f.result == c.result for c in common)]
            state = "no" if cell.blocked else "not all measured" if cell.unmeasured else "allowed"
            lines.append(f"   by {held_by(cell.placement)}: {state}")
            lines.extend(_findings(own, narrow, "      "))
    return "\n".join(lines)


def _verdict(mode: Mode) -> str:
    if all(cell.blocked for cell in mode.cells):
        blocks = {f.rule for cell in mode.cells for f in cell.findings if f.outcome == "block"}
        return f"no, for {count(len(blocks), 'reason')}" if blocks else "no, not all measured (--strict)"
    if mode.level is None:
        return "allowed, but then the others have no place"
    return ("fits", "close: try it in the car", "allowed as far as measured",
            "allowed, but not enough room beside the others")[mode.level]


def _common(cells: Iterable[Cell]) -> list[Finding]:
    """Findings that every placement of the mode has alike: said once."""
    cells = list(cells)
    return [f for f in cells[0].findings
            if all(any(f.rule == g.rule and f.result == g.result and f.outcome == g.outcome for g in cell.findings)
                   for cell in cells[1:])]


def _findings(findings: list[Finding], narrow: bool, indent: str) -> list[str]:
    lines = []
    for outcome in ORDER:
        if outcome == "pass" and not narrow:
            continue
        lines.extend(
            wrapped(f"{_WORD[outcome]}: {sentence(f)} ({f.rule})", indent, indent + "    ")
            for f in findings if f.outcome == outcome
        )
    return lines
