"""A plan as text: answer first, then each arrangement, then who can sit where, then why the rest went."""

from __future__ import annotations

from seatplan.rules.finding import Finding
from seatplan.solver.results import Arrangement, Plan, SeatShown

from .caution import CAUTION
from .drawing import draw
from .grid_text import grid
from .rejected_text import rejected
from .text import count, mm, spare, table, wrapped
from .words import BY, VERDICTS, held_by, in_what, sentence, who_where

#: what decided between two neighbours in the list
DECIDED = {
    "certainty": "the one before is surer to fit",
    "protection": "the one before keeps more children in a more protective mode",
    "cautions": "the one before keeps more of good practice",
    "wishes": "the one before keeps more wishes",
    "moves": "the one before changes less from today",
    "method": "the one before uses lower anchors more, which families more often get right",
    "centre": "the one before has the youngest in the centre",
    "room": "the one before leaves more room",
}


def plan_text(plan: Plan) -> str:
    """The whole answer."""
    parts = [_head(plan), _answer(plan)]
    parts.extend(_arrangement(plan, arrangement) for arrangement in plan.arrangements)
    parts.append(grid(plan))
    parts.append(rejected(plan))
    parts.append(wrapped(f"caution: {CAUTION}"))
    return "\n\n".join(part for part in parts if part) + "\n"


def _head(plan: Plan) -> str:
    trip = plan.trip
    invented = " (invented)" if trip.vehicle.invented else ""
    return "\n".join([
        trip.trip,
        f"in {trip.vehicle.vehicle}{invented}, rules {plan.profile.name}, {plan.day.isoformat()}: "
        f"{count(len(trip.riders), 'rider')}, {count(len(trip.restraints), 'restraint')}",
    ])


def _answer(plan: Plan) -> str:
    tally, shown = plan.tally, len(plan.arrangements)
    of = f"of {count(tally.seatings, 'seating')}" + ("" if tally.complete else " looked at, others are left")
    if not shown:
        return wrapped(f"Nothing fits: 0 {of} work." if tally.complete else f"Undecided: none {of} works so far.")
    sure = tally.sure
    kinds = [f"{sure[key]:,} {word}" for key, word in
             (("fits", "fit"), ("close", "are close"), ("unmeasured", "hang on what was not measured")) if sure[key]]
    works = f"{tally.valid:,} {of} {'works' if tally.valid == 1 else 'work'} ({', '.join(kinds)})."
    which = "" if shown == 1 and tally.valid == 1 else f" The best {shown}:" if shown < tally.valid else " Best first:"
    start = {"fits": "It fits: ", "close": "Close, try it in the car: ",
             "unmeasured": "Not settled, something was not measured: "}[plan.verdict]
    return wrapped(start + works + which)


def _arrangement(plan: Plan, arrangement: Arrangement) -> str:
    lines = [f"{arrangement.rank}. {VERDICTS[arrangement.verdict]}{_room(arrangement)}"]
    if arrangement.decided_by:
        lines[0] += f"; {DECIDED[arrangement.decided_by]}"
    lines = [wrapped(lines[0], "", "   ")]
    lines.append(draw(arrangement, plan.trip))
    lines.append(table(
        ["rider", "seat", "in", "held by", "middle at"],
        [_seat(seat) for seat in arrangement.seats], "   "))
    for seat in arrangement.seats:
        if seat.alternatives:
            others = dict.fromkeys(held_by(cell.placement) for cell in seat.alternatives)
            lines.append(wrapped(f"{seat.placement.rider.rider} also by {'; or '.join(others)}", "   or  ", "       "))
    seen = set()
    for finding in _notes(arrangement):
        note = f"{who_where(finding)}: {sentence(finding)} ({finding.rule})"
        if note not in seen:
            seen.add(note)
            word = "to measure" if finding.outcome == "unmeasured" else "caution"
            lines.append(wrapped(note, f"   {word}: ", "       "))
    return "\n".join(lines)


def _notes(arrangement: Arrangement) -> list[Finding]:
    findings = [f for seat in arrangement.seats for f in seat.cell.findings] + list(arrangement.findings)
    return [f for f in findings if f.outcome in ("caution", "unmeasured")]


def _room(arrangement: Arrangement) -> str:
    """The tightest row and what it is held against."""
    rows = [row for row in arrangement.rows if row.spare_mm is not None]
    if not rows:
        return ""
    row = min(rows, key=lambda r: r.spare_mm or 0)
    return f": {spare(row.spare_mm or 0)} to spare in row {row.row.row}, measured to {mm(row.tolerance_mm)}"


def _seat(seat: SeatShown) -> list[str]:
    placement = seat.placement
    middle = "not measured" if seat.across_mm is None else mm(seat.across_mm)
    by = held_by(placement) if placement.installation else BY[placement.by]
    return [placement.rider.rider, placement.position.position, in_what(placement), by, middle]
