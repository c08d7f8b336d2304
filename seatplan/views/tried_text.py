"""What was tried at the car: what held, said beside an arrangement, and what would not and is out of the plan."""

from __future__ import annotations

from seatplan.rules.finding import Finding
from seatplan.rules.run import TRY_RULE
from seatplan.solver.placements import JudgedPlacement
from seatplan.solver.results import Arrangement, Plan

from .say import N, t
from .text import listed
from .words import BY, MODES, held, sentence

#: the words before what would not hold
OUT = N("Tried at the car, and out of the plan")


def confirmed(arrangement: Arrangement) -> list[str]:
    """One line for each restraint that a try at the car speaks for: confirmed, or held and what is still to note."""
    lines = []
    for seat in arrangement.seats:
        placement = seat.placement
        found = next((f for f in seat.cell.findings if f.rule == TRY_RULE and f.outcome == "pass"), None)
        if found is not None and placement.restraint is not None:
            lines.append(t("{restraint} at {position}: {told}", restraint=placement.restraint.restraint,
                           position=placement.position.position, told=_told(found, seat.cell)))
    return lines


def out_of_plan(plan: Plan) -> list[str]:
    """One line for each way that is out of the plan since it would not hold; none where nothing was tried."""
    if not plan.trip.tried:
        return []
    found: dict[tuple[str, str, str, str], list[str]] = {}
    for cell in plan.choices.cells():
        placement = cell.placement
        for finding in cell.findings:
            if finding.rule == TRY_RULE and finding.outcome == "block" and placement.restraint is not None:
                key = (placement.restraint.restraint, placement.position.position, BY[placement.by],
                       f"{sentence(finding)} ({finding.rule})")
                found.setdefault(key, []).append(MODES[placement.mode_name])
    return [t("{restraint} at {position} by {BY}, {modes}: {told}", restraint=restraint, position=position, BY=by,
              modes=listed(list(dict.fromkeys(modes))), told=told)
            for (restraint, position, by, told), modes in found.items()]


def _told(found: Finding, cell: JudgedPlacement) -> str:
    facts = found.result.facts
    moved = t("moved {measured}, {level}", measured=held(found.result)[0], level=facts["level"])
    if cell.confirmed:
        return t("confirmed on {on}: {moved}", on=facts["on"], moved=moved)
    if cell.held:
        return t("it held on {on} ({moved}); not confirmed until what is not known yet is measured", on=facts["on"],
                 moved=moved)
    return t("it held on {on} ({moved}); not confirmed until level and way of installing are noted too",
             on=facts["on"], moved=moved)
