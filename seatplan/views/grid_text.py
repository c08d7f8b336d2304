"""Rider by position: how many arrangements have the rider there, or why none has."""

from __future__ import annotations

from seatplan.solver.grid import Square
from seatplan.solver.results import Plan

from .text import WIDTH, table, wrapped

_LEVEL = ("fits", "close", "unmeasured")
_ELSE, _NO, _UNKNOWN = "others left out", "no", "none found"


def square_word(square: Square, complete: bool = True) -> str:
    """One cell of the grid in a word or two."""
    if square.level is not None:
        return f"{_LEVEL[square.level]} {square.seatings:,}"
    if not square.allowed:
        return _NO
    return _ELSE if complete else _UNKNOWN


def grid(plan: Plan) -> str:
    """The table with the part of the legend that it needs."""
    positions = plan.choices.positions
    lines = [
        [rider.rider, *(square_word(plan.squares[r, p], plan.tally.complete) for p in range(len(positions)))]
        for r, rider in enumerate(plan.trip.riders)
    ]
    head = ["rider", *(position.position for position in positions)]
    words = {cell for line in lines for cell in line[1:]}
    numbered = sorted((word for word in words if word[-1].isdigit()),
                      key=lambda word: (_LEVEL.index(word.split()[0]), word))
    legend = []
    if numbered:
        word, n = numbered[0].split()
        best = {"fits": "the best of them fits", "close": "the best of them is close",
                "unmeasured": "all hang on what was not measured"}[word]
        legend.append(f"{word} {n}: the rider sits there in {n} "
                      f"{'arrangement' if n == '1' else 'arrangements'}, {best}")
    if _ELSE in words:
        legend.append(f"{_ELSE}: allowed there, but then the others cannot all ride")
    if _UNKNOWN in words:
        legend.append(f"{_UNKNOWN}: the search stopped at its limit before it found one")
    if _NO in words:
        strict = ", or something for it was not measured" if plan.strict else ""
        legend.append(f"{_NO}: the rider cannot ride there{strict}")
    told = "\n".join(wrapped(line, "   ", "      ") for line in legend)
    return f"Who can sit where\n{_tables(head, lines)}\n{told}"


def _tables(head: list[str], lines: list[list[str]]) -> str:
    """One table, or several one below the other where the seats are too many for one page."""
    widths = [max(len(line[i]) for line in (head, *lines)) + 2 for i in range(len(head))]
    pages: list[list[int]] = [[]]
    for i in range(1, len(head)):
        if pages[-1] and 3 + widths[0] + sum(widths[j] for j in pages[-1]) + widths[i] > WIDTH:
            pages.append([])
        pages[-1].append(i)
    told = []
    for page in pages:
        columns = [0, *page]
        told.append(table([head[i] for i in columns], [[line[i] for i in columns] for line in lines], "   "))
    return "\n\n".join(told)
