"""Rider by position: how many arrangements have the rider there, or why none has."""

from __future__ import annotations

from seatplan.solver.grid import Square
from seatplan.solver.results import Plan
from seatplan.solver.rowplans import LEVELS

from .content import Group, Heading, Table, group, items
from .manner import grouped
from .say import N, Words, plural, t

_TOLD = Words({"fits": "fits", "close": "close", "likely": "likely", "unmeasured": "unmeasured"})
_ELSE, _NO, _UNKNOWN = N("others left out"), N("no"), N("none found")


def square_word(square: Square, complete: bool = True) -> str:
    """One cell of the grid in a word or two."""
    if square.level is not None:
        return f"{LEVELS[square.level]} {square.seatings:,}"
    if not square.allowed:
        return _NO
    return _ELSE if complete else _UNKNOWN


def square_told(square: Square, complete: bool = True) -> str:
    """The same in the language in force."""
    return _cell(square_word(square, complete))


def grid(plan: Plan) -> Group:
    """The table with the part of the legend that it needs."""
    positions = plan.choices.positions
    lines = [
        (rider.rider, *(square_word(plan.squares[r, p], plan.tally.complete) for p in range(len(positions))))
        for r, rider in enumerate(plan.trip.riders)
    ]
    words = {cell for line in lines for cell in line[1:]}
    numbered = sorted((word for word in words if word[-1].isdigit()),
                      key=lambda word: (LEVELS.index(word.split()[0]), word))
    legend = []
    if numbered:
        word, n = numbered[0].split()
        best = {"fits": t("the best of them fits"), "close": t("the best of them is close"),
                "likely": t("the best of them is likely"),
                "unmeasured": t("all hang on what was not measured")}[word]
        seen = plural("arrangement", "arrangements", 1 if n == "1" else 2)
        legend.append(t("{word} {n}: the rider sits there in {n} {arrangements}, {best}", word=_TOLD[word], n=n,
                        arrangements=seen, best=best))
    if _ELSE in words:
        legend.append(t("{ELSE}: allowed there, but then the others cannot all ride", ELSE=t(_ELSE)))
    if _UNKNOWN in words:
        legend.append(t("{UNKNOWN}: the search stopped at its limit before it found one", UNKNOWN=t(_UNKNOWN)))
    if _NO in words:
        strict = t(", or something for it was not measured") if plan.strict else ""
        legend.append(t("{NO}: the rider cannot ride there{strict}", NO=t(_NO), strict=strict))
    table = Table((t("rider"), *(position.position for position in positions)),
                  tuple((line[0], *map(_cell, line[1:])) for line in lines), t("Who can sit where"), splits=True)
    return group(Heading(t("Who can sit where")), group(table, items(legend), inner=True))


def _cell(word: str) -> str:
    """One cell in the language in force."""
    level, _, n = word.partition(" ")
    return f"{_TOLD[level]} {grouped(n)}" if level in _TOLD and n else t(word)
