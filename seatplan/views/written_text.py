"""What a command wrote into a file, and what that holds: ``wrote plan.html (2 arrangements, 214 kB)``."""

from __future__ import annotations

from typing import TYPE_CHECKING

from seatplan.written import visible

from .manner import number
from .say import t
from .text import count

if TYPE_CHECKING:
    from seatplan.app.documents import ForTheCar, Reported
    from seatplan.solver.results import Arrangement

_KB = 1000


def written(file: str, text: str, holds: str) -> str:
    """A line on a file that now holds ``text``; ``holds`` says what that is."""
    return t("wrote {file} ({holds}, {size})", file=visible(file), holds=holds, size=_size(len(text.encode())))


def _size(taken: int) -> str:
    return t("{n} kB", n=number(round(taken / _KB))) if taken >= _KB else count(taken, "byte")


def report_holds(found: Reported) -> str:
    """``2 arrangements``, or ``3 vehicles`` where several are reported."""
    if len(found.each) > 1:
        return count(len(found.each), "vehicle")
    return count(len(found.each[0].plan.arrangements), "arrangement")


def drawing_holds(arrangement: Arrangement) -> str:
    """``arrangement 1``."""
    return t("arrangement {rank}", rank=arrangement.rank)


def sheet_holds(found: ForTheCar) -> str:
    """``arrangement 1, 3 restraints``."""
    rank = 0 if found.arrangement is None else found.arrangement.rank
    held = sum(card.placement.restraint is not None for card in found.cards)
    return f"{t('arrangement {rank}', rank=rank)}, {count(held, 'restraint')}"


def calendar_holds(entries: int) -> str:
    """``6 days``."""
    return count(entries, "day")
