"""What held when it was tried at the car, said beside an arrangement."""

from __future__ import annotations

from seatplan.rules.finding import Finding
from seatplan.solver.placements import Cell
from seatplan.solver.results import Arrangement

from .say import t
from .text import number, wrapped
from .words import word


def confirmed(arrangement: Arrangement, indent: str) -> list[str]:
    """One line for each restraint that a try at the car speaks for: confirmed, or held and what is still to note."""
    lines = []
    for seat in arrangement.seats:
        placement = seat.placement
        found = next((f for f in seat.cell.findings if f.rule == "moved-when-tried" and f.outcome == "pass"), None)
        if found is not None and placement.restraint is not None:
            told = t("{restraint} at {position}: {told}", restraint=placement.restraint.restraint,
                     position=placement.position.position, told=_told(found, seat.cell))
            lines.append(wrapped(told, indent, indent + "   "))
    return lines


def _told(found: Finding, cell: Cell) -> str:
    facts = found.result.facts
    moved = t("moved {measured} mm, {level}", measured=number(found.result.measured), level=word(facts["level"]))
    if cell.confirmed:
        return t("confirmed on {on}: {moved}", on=facts["on"], moved=moved)
    if cell.held:
        return t("it held on {on} ({moved}); not confirmed until what is not known yet is measured", on=facts["on"],
                 moved=moved)
    return t("it held on {on} ({moved}); not confirmed until level and way of installing are noted too",
             on=facts["on"], moved=moved)
