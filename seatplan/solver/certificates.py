"""Reasons for a no as data: shortages and contests that anybody can check against the cells."""

from __future__ import annotations

from typing import TYPE_CHECKING

from seatplan.rules.finding import Finding
from seatplan.rules.subjects import Pair
from seatplan.said import said

from .results import ContestShown, ShortageShown
from .shortage import bars, find_shortage, tethers
from .tally import Tally

if TYPE_CHECKING:
    from .plan import Solve


def _in_row(row: int, name: str) -> str:
    return said("{name} of row {row}", name=name, row=row)


def shortage_of(solve: Solve) -> ShortageShown | None:
    """The riders who share too few of something, and the rules that took the others away."""
    short = solve.short or find_shortage(solve.choices.per_rider)
    if short is None:
        return None
    trip, positions = solve.trip, solve.choices.positions
    seats = [position.position for position in positions]
    names = {
        "position": seats,
        "restraint": [restraint.restraint for restraint in trip.restraints],
        "tether-anchor": [_in_row(*one) for one in tethers(solve.choices.per_rider)],
        "lower-anchor-bars": [_in_row(*one) for one in bars(solve.choices.per_rider)],
    }[short.thing]
    # anchors belong to positions, so what took the other positions away is told there
    lost = names if short.thing == "restraint" else seats
    taken: dict[tuple[str, str], tuple[str, ...]] = {}
    for r in short.riders:
        choices = solve.choices.per_rider[r]
        for t, thing in enumerate(lost):
            own = [c for c in choices if (c.restraint if short.thing == "restraint" else c.position) == t]
            if not any(choice.cells for choice in own):
                blocks = [
                    [finding.rule for finding in cell.findings if finding.outcome == "block"] or ["not-measured"]
                    for choice in own for cell in choice.all_cells
                ]
                taken[trip.riders[r].rider, thing] = _reasons(blocks)
    return ShortageShown(
        short.thing, tuple(trip.riders[r].rider for r in short.riders), tuple(names[t] for t in short.have), taken)


def _reasons(blocks: list[list[str]]) -> tuple[str, ...]:
    """The rule that blocks every placement, if there is one; otherwise the fewest found by taking the commonest."""
    reasons: list[str] = []
    left = blocks
    while left:
        counts: dict[str, int] = {}
        for rules in left:
            for rule in rules:
                counts[rule] = counts.get(rule, 0) + 1
        commonest = max(counts, key=lambda rule: (counts[rule], rule))
        reasons.append(commonest)
        left = [rules for rules in left if commonest not in rules]
    return tuple(reasons)


def contests_of(solve: Solve, counted: Tally) -> tuple[ContestShown, ...]:
    """Each kind of contest that the tally knows, with one pair of placements that shows it."""
    shown = []
    for what, seatings in counted.contests.items():
        if seatings:
            example = _example(solve, what)
            shown.append(ContestShown(what, seatings, None if example is None else (example.left, example.right),
                                      () if example is None else tuple(_blocking(solve, example))))
    return tuple(shown)


def _example(solve: Solve, what: str) -> Pair | None:
    """The first pair of placements, by the order of the files, that collides in just this way."""
    firsts = [[c for c in choices if c.cells] for choices in solve.choices.per_rider]
    for i, choices in enumerate(firsts):
        for others in firsts[i + 1:]:
            for a in choices:
                for b in others:
                    alike = a.position == b.position
                    same = a.restraint is not None and a.restraint == b.restraint
                    kind = "position" if alike else "restraint" if same else "together"
                    if kind != what:
                        continue
                    left, right = sorted((a, b), key=lambda c: c.position)
                    pair = Pair(left.cells[0].placement, right.cells[0].placement)
                    if what != "together" or _blocking(solve, pair):
                        return pair
    return None


def _blocking(solve: Solve, pair: Pair) -> list[Finding]:
    return [finding for finding in solve.runner.pair(pair) if finding.outcome == "block"]
