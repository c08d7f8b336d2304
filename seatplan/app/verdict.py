"""What an answer comes down to, and the exit code that says so."""

from __future__ import annotations

from collections.abc import Iterable
from enum import Enum
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from seatplan.solver.results import Plan


class Verdict(Enum):
    """``value``: the word that JSON has. ``answered``: the request has no verdict on a trip, such as a list.
    ``undecided``: the search stopped at its limit before it found anything. ``wrong``: a file has mistakes."""

    FITS = "fits"
    CLOSE = "close"
    LIKELY = "likely"
    ANSWERED = "answered"
    UNMEASURED = "unmeasured"
    UNDECIDED = "undecided"
    REJECTED = "rejected"
    WRONG = "wrong"

    @property
    def exit_code(self) -> int:
        """0, 1 nothing fits, 2 bad input, 3 it hangs on what was not measured or the search stopped."""
        return _CODES.get(self, 0)


_CODES = {Verdict.REJECTED: 1, Verdict.WRONG: 2, Verdict.UNMEASURED: 3, Verdict.UNDECIDED: 3}


def verdict_of(plan: Plan) -> Verdict:
    """The verdict on a plan: a search that stopped has not rejected anything."""
    if plan.verdict == "rejected" and not plan.tally.complete:
        return Verdict.UNDECIDED
    return Verdict(plan.verdict)


def of_several(plans: Iterable[Plan]) -> Verdict:
    """The worst: nothing in one of them, then one that is undecided, then what is least sure."""
    return max((verdict_of(plan) for plan in plans), key=_WORST.index)


_WORST = (Verdict.FITS, Verdict.CLOSE, Verdict.LIKELY, Verdict.UNMEASURED, Verdict.UNDECIDED, Verdict.REJECTED)
