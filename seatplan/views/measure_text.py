"""What to measure next, as a form to take to the car."""

from __future__ import annotations

from seatplan.solver.measure import Measure, Measurement

from .caution import CAUTION
from .text import count, wrapped

_MANY = 20


def measure_text(measure: Measure) -> str:
    """Those that settle most first, each with room to write."""
    sure = measure.now.tally.sure
    head = [
        measure.trip.trip,
        f"in {measure.trip.vehicle.vehicle}, rules {measure.profile.name}, {measure.day.isoformat()}",
        "",
        wrapped(f"Now {count(sure['fits'] + sure['close'], 'arrangement')} fit or are close, and "
                f"{sure['unmeasured']:,} hang on what was not measured."),
    ]
    if not measure.measurements:
        head.append("Nothing is left to measure that would change the answer.")
    blocks = [_one(i + 1, m) for i, m in enumerate(measure.measurements[:_MANY])]
    left = len(measure.measurements) - _MANY
    tail = [f"and {count(left, 'more field')} that decide less"] if left > 0 else []
    tail.append(wrapped("hint: write the values into the files, then `seatplan arrange` again"))
    tail.append(wrapped(f"caution: {CAUTION}"))
    return "\n\n".join(["\n".join(head), *blocks, *tail]) + "\n"


def _one(number: int, m: Measurement) -> str:
    lines = [f"{number}. {m.unknown.name} ".ljust(68, ".") + " ______________________"]
    lines.append(wrapped(m.unknown.how, "   "))
    if m.settles:
        lines.append(wrapped(f"settled by: {'; '.join(m.settles[:4])}", "   "))
    if m.ends[0].word != m.ends[1].word:
        for end in m.ends:
            lines.append(wrapped(f"if {end.word}: {end.sure:,} fit or are close, {end.open:,} stay open", "   "))
    else:
        end = m.ends[0]
        lines.append(wrapped(f"if {end.word}: {end.sure:,} fit or are close, {end.open:,} stay open; anything else has "
                             "to be measured first", "   "))
    return "\n".join(lines)
