"""Rider by position: how many arrangements have the rider there, or why none has."""

from __future__ import annotations

from seatplan.solver.grid import Square
from seatplan.solver.results import Plan

from .text import table

_LEVEL = ("fits", "close", "unmeasured")


def square_word(square: Square) -> str:
    """One cell of the grid in a word or two."""
    if square.level is not None:
        return f"{_LEVEL[square.level]} {square.seatings:,}"
    return "not with others" if square.allowed else "no"


def grid(plan: Plan) -> str:
    """The table with its legend."""
    positions = plan.choices.positions
    lines = [
        [rider.rider, *(square_word(plan.squares[r, p]) for p in range(len(positions)))]
        for r, rider in enumerate(plan.trip.riders)
    ]
    head = ["rider", *(position.position for position in positions)]
    legend = ("   number: arrangements with that rider there; not with others: only if somebody else stays out;\n"
              "   no: never, `seatplan why` tells the reason")
    return "Who can sit where\n" + table(head, lines, "   ") + "\n" + legend
