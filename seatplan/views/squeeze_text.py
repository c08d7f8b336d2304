"""A near miss: who sits where, and the sum that does not come out, as a person would write it down."""

from __future__ import annotations

from collections.abc import Sequence

from seatplan.geometry.across import ORIGIN
from seatplan.geometry.chain import Addend, Squeeze, Step
from seatplan.geometry.lengthwise import FRONT
from seatplan.solver.results import SqueezeShown

from .manner import page
from .say import t, tr
from .text import columns, folded, length, padded, total, wrapped
from .words import in_short

_MORE = " + "


def squeeze_text(shown: SqueezeShown, indent: str) -> str:
    """The row and who sits there, or whom it is about along the car; then the sum."""
    deeper = indent + "   "
    return wrapped(who_sits(shown), indent, deeper) + "\n" + sum_text(shown.squeeze, deeper)


def who_sits(shown: SqueezeShown) -> str:
    """``row 2: 2L Wren in Nook rear-facing, 2C ..``."""
    who = ", ".join(f"{p.position.position} {p.rider.rider} {in_short(p)}" for p in shown.placements)
    where = t("along the car") if shown.row is None else t("row {row}", row=shown.row)
    return f"{where}: {who}"


def sum_text(squeeze: Squeeze, indent: str) -> str:
    """``needs``, ``there`` and ``short``, each on lines of its own, listed from the left door or the front on.

    A sum that comes out ends in ``spare``.
    """
    wide = max(len(word) for word in (t("needs"), t("there"), t("spare"), t("short")))
    left = page() - len(indent) - wide - 2
    needs, there = (_summed(addends, left) for addends in sides_of(squeeze))
    lines = []
    width = max(columns(part) for part in (needs[-1], there[-1]))
    for word, parts, length_mm in ((t("needs"), needs, squeeze.need), (t("there"), there, squeeze.have)):
        result = f" = {total(length_mm)}"
        last = padded(parts[-1], width) if width + len(result) <= left else parts[-1]
        told = [*parts[:-1], last + result]
        lines += [f"{indent}{word if i == 0 else '':{wide}}  {part}" for i, part in enumerate(told)]
    return "\n".join([*lines, f"{indent}{outcome(squeeze):{wide}}  {total(abs(squeeze.short))}"])


def outcome(squeeze: Squeeze) -> str:
    """What the difference is called."""
    return t("spare") if squeeze.short <= 0 else t("short")


def sides_of(squeeze: Squeeze) -> tuple[list[Addend], list[Addend]]:
    """What is needed and what is there, each from the left door or the front on."""
    steps = _from_the_left(squeeze)
    # a seat ahead that may not come forward at all is part of what is there
    return ([a for step in steps for a in step.addends if a.mm > 0],
            [a for step in steps for a in step.addends if a.mm < 0 or (a.mm == 0 and step.end == FRONT)])


def _from_the_left(squeeze: Squeeze) -> list[Step]:
    """The steps of the cycle, beginning at the left door or at the front where it goes through there."""
    steps = list(squeeze.steps)
    start = next((i for i, step in enumerate(steps) if step.start in (ORIGIN, FRONT)), 0)
    return steps[start:] + steps[:start]


def _summed(addends: Sequence[Addend], left: int) -> list[str]:
    """The lengths joined by plus signs, broken only before one, with room for the result on the last line."""
    room = left - len(" = 00,000.5 mm")
    lines = [""]
    for i, addend in enumerate(addends):
        told = f"{tr(addend.label)} {length(abs(addend.mm))}"
        if i and columns(lines[-1]) + len(_MORE) + columns(told) > room:
            lines.append("+ " + told)
        else:
            lines[-1] += (_MORE if i else "") + told
    return [part for line in lines for part in folded(line, room, "  ")] if addends else [t("nothing")]
