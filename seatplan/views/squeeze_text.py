"""A near miss: who sits where, and the sum that does not come out, as a person would write it down."""

from __future__ import annotations

from collections.abc import Sequence

from seatplan.geometry.chain import Addend, Squeeze
from seatplan.solver.results import SqueezeShown

from .text import WIDTH, mm, number, wrapped
from .words import in_short

_MORE = " + "


def squeeze_text(shown: SqueezeShown, indent: str) -> str:
    """The row and who sits there, then the sum."""
    who = ", ".join(f"{p.position.position} {p.rider.rider} {in_short(p)}" for p in shown.placements)
    deeper = indent + "   "
    return wrapped(f"row {shown.row}: {who}", indent, deeper) + "\n" + sum_text(shown.squeeze, deeper)


def sum_text(squeeze: Squeeze, indent: str) -> str:
    """``needs``, ``there`` and ``short``, each on lines of its own, listed from the left door on."""
    addends = [addend for step in _from_the_left(squeeze) for addend in step]
    needs = _summed([addend for addend in addends if addend.mm > 0], indent)
    there = _summed([addend for addend in addends if addend.mm < 0], indent)
    lines = []
    width = max((len(part) for part in (needs[-1], there[-1])), default=0)
    for word, parts, total in (("needs", needs, squeeze.need), ("there", there, squeeze.have)):
        result = f" = {mm(total)}"
        last = parts[-1].ljust(width) if width + len(result) + len(indent) + 7 <= WIDTH else parts[-1]
        told = [*parts[:-1], last + result]
        lines += [f"{indent}{word if i == 0 else '':5}  {part}" for i, part in enumerate(told)]
    return "\n".join([*lines, f"{indent}short  {mm(squeeze.short)}"])


def _from_the_left(squeeze: Squeeze) -> list[tuple[Addend, ...]]:
    """The steps of the cycle, beginning at the left door where it goes through there."""
    steps = list(squeeze.steps)
    start = next((i for i, step in enumerate(steps) if step.start == "left"), 0)
    return [step.addends for step in steps[start:] + steps[:start]]


def _summed(addends: Sequence[Addend], indent: str) -> list[str]:
    """The lengths joined by plus signs, broken only before one, with room for the result on the last line."""
    room = WIDTH - len(indent) - 7 - len(" = 00,000.5 mm")
    lines = [""]
    for i, addend in enumerate(addends):
        told = f"{addend.label} {number(abs(addend.mm))}"
        if i and len(lines[-1]) + len(_MORE) + len(told) > room:
            lines.append("+ " + told)
        else:
            lines[-1] += (_MORE if i else "") + told
    return lines if addends else ["nothing"]
