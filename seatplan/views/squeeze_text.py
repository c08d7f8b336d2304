"""A near miss: who sits where, and the sum that does not come out, as a person would write it down."""

from __future__ import annotations

from collections.abc import Sequence

from seatplan.geometry.across import ORIGIN
from seatplan.geometry.chain import Addend, Squeeze, Step
from seatplan.geometry.lengthwise import FRONT
from seatplan.solver.results import SqueezeShown

from .content import Side, Sum
from .say import t, tr
from .text import length, total
from .words import in_short


def sum_shown(shown: SqueezeShown) -> Sum:
    """The row and who sits there, or whom it is about along the car; then the sum."""
    return sum_of(shown.squeeze, who_sits(shown))


def who_sits(shown: SqueezeShown) -> str:
    """``row 2: 2L Wren in Nook rear-facing, 2C ..``."""
    who = ", ".join(f"{p.position.position} {p.rider.rider} {in_short(p)}" for p in shown.placements)
    where = t("along the car") if shown.row is None else t("row {row}", row=shown.row)
    return f"{where}: {who}"


def sum_of(squeeze: Squeeze, about: str = "") -> Sum:
    """What is needed and what is there, each from the left door or the front on, and the difference."""
    needs, there = sides_of(squeeze)
    return Sum((_side(t("needs"), needs, squeeze.need), _side(t("there"), there, squeeze.have)), outcome(squeeze),
               total(abs(squeeze.short)), about, (t("spare"), t("short")))


def _side(word: str, addends: Sequence[Addend], comes_to: float) -> Side:
    return Side(word, tuple((tr(addend.label), length(abs(addend.mm))) for addend in addends), total(comes_to),
                t("nothing"))


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
