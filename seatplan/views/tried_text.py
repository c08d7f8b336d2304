"""What held when it was tried at the car, said beside an arrangement."""

from __future__ import annotations

from seatplan.rules.finding import Finding
from seatplan.solver.results import Arrangement

from .text import number, wrapped


def confirmed(arrangement: Arrangement, indent: str) -> list[str]:
    """One line for each restraint that a try at the car speaks for: confirmed, or held and what is still to note."""
    lines = []
    for seat in arrangement.seats:
        placement = seat.placement
        found = next((f for f in seat.cell.findings if f.rule == "moved-when-tried" and f.outcome == "pass"), None)
        if found is not None and placement.restraint is not None:
            told = f"{placement.restraint.restraint} at {placement.position.position}: {_told(found)}"
            lines.append(wrapped(told, indent, indent + "   "))
    return lines


def _told(found: Finding) -> str:
    facts = found.result.facts
    moved = f"moved {number(found.result.measured)} mm, {facts['level']}"
    if facts["confirmed"]:
        return f"confirmed on {facts['on']}: {moved}"
    return f"it held on {facts['on']} ({moved}); not confirmed until level and way of installing are noted too"
