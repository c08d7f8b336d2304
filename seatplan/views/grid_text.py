"""Rider by position: how many arrangements have the rider there, or why none has."""

from __future__ import annotations

from seatplan.message import Figure
from seatplan.solver.grid import Square
from seatplan.solver.results import Plan
from seatplan.solver.rowplans import LEVELS

from .content import Group, Heading, Table, group, items
from .manner import number
from .say import N, Words, plural, t

_TOLD = Words({"fits": "fits", "close": "close", "likely": "likely", "unmeasured": "unmeasured"})
_ELSE, _NO, _UNKNOWN = N("others left out"), N("no"), N("none found")


def square_told(square: Square, complete: bool = True) -> str:
    """One cell of the grid in a word or two."""
    if square.level is not None:
        return f"{_TOLD[LEVELS[square.level]]} {number(square.seatings)}"
    return t(_why_none(square, complete))


def _why_none(square: Square, complete: bool) -> str:
    """Why no arrangement has the rider there."""
    if not square.allowed:
        return _NO
    return _ELSE if complete else _UNKNOWN


def grid(plan: Plan) -> Group:
    """The table with the part of the legend that it needs."""
    positions, complete = plan.choices.positions, plan.tally.complete
    lines = [(rider.rider, *(square_told(plan.squares[r, p], complete) for p in range(len(positions))))
             for r, rider in enumerate(plan.trip.riders)]
    found = [square for square in plan.squares.values() if square.level is not None]
    empty = {_why_none(square, complete) for square in plan.squares.values() if square.level is None}
    legend = []
    if found:
        # the surest, and of those the one whose number is first as it is written
        first = min(found, key=lambda square: (square.level, str(square.seatings)))
        word = LEVELS[first.level or 0]
        best = {"fits": t("the best of them fits"), "close": t("the best of them is close"),
                "likely": t("the best of them is likely"),
                "unmeasured": t("all hang on what was not measured")}[word]
        seen = plural("arrangement", "arrangements", 1 if first.seatings == 1 else 2)
        legend.append(t("{word} {n}: the rider sits there in {n} {arrangements}, {best}", word=_TOLD[word],
                        n=Figure(first.seatings), arrangements=seen, best=best))
    if _ELSE in empty:
        legend.append(t("{ELSE}: allowed there, but then the others cannot all ride", ELSE=t(_ELSE)))
    if _UNKNOWN in empty:
        legend.append(t("{UNKNOWN}: the search stopped at its limit before it found one", UNKNOWN=t(_UNKNOWN)))
    if _NO in empty:
        strict = t(", or something for it was not measured") if plan.strict else ""
        legend.append(t("{NO}: the rider cannot ride there{strict}", NO=t(_NO), strict=strict))
    table = Table((t("rider"), *(position.position for position in positions)), tuple(lines), t("Who can sit where"),
                  splits=True)
    return group(Heading(t("Who can sit where")), group(table, items(legend), inner=True))
