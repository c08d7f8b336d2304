"""Reasons for a no as data: shortages and contests that anybody can check against the cells."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from seatplan.message import said
from seatplan.rules.finding import Finding
from seatplan.rules.subjects import Pair

from .placements import Assignment, JudgedPlacement, cells_in_copy
from .results import ContestShown, ShortageShown
from .shortage import bars, find_shortage, tethers
from .tally import Tally

if TYPE_CHECKING:
    from .solve import Solve


def _in_row(row: int, name: str) -> str:
    return said("{name} of row {row}", name=name, row=row)


def shortage_of(solve: Solve) -> ShortageShown | None:
    """The riders who share too few of something, and the rules that took the others away."""
    short = solve.short or find_shortage(solve.choices)
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
    against: dict[tuple[str, str], tuple[JudgedPlacement, ...]] = {}
    for r in short.riders:
        choices = solve.choices.per_rider[r]
        for t, thing in enumerate(lost):
            if short.thing == "restraint":
                own = [c for c in choices if c.restraint == solve.kinds.first[t]]
            else:
                own = [c for c in choices if c.position == t]
            if not any(choice.cells for choice in own):
                cells = [cell for choice in own for cell in choice.all_cells]
                if short.thing == "restraint":
                    cells = cells_in_copy(solve.runner, cells, trip.restraints[t])
                blocks = [
                    [finding.rule for finding in cell.findings if finding.outcome == "block"] or ["not-measured"]
                    for cell in cells
                ]
                taken[trip.riders[r].rider, thing] = _reasons(blocks)
                against[trip.riders[r].rider, thing] = tuple(cells)
    return ShortageShown(
        short.thing, tuple(trip.riders[r].rider for r in short.riders), tuple(names[t] for t in short.have), taken,
        against)


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
            placements = solve.kinds.given_out([choice.cells[0].placement for choice in example])
            shown.append(ContestShown(what, seatings, tuple(placements), tuple(_blocking(solve, example))))
    return tuple(shown)


def _example(solve: Solve, what: str) -> tuple[Assignment, ...]:
    """The first choices, by the order of the files, that collide in just this way, left to right: two, or one more
    than there are of a restraint with copies, or one that needs the seat of an unlisted driver; none where no two of
    them show it."""
    firsts = [[c for c in choices if c.cells] for choices in solve.choices.per_rider]
    for i, choices in enumerate(firsts):
        for others in firsts[i + 1:]:
            for a in choices:
                for b in others:
                    if _kind(solve, a, b) == what:
                        pair = _left_to_right((a, b))
                        if what != "together" or _blocking(solve, pair):
                            return pair
    if what == "position":
        return next(((c,) for own in firsts for c in own if solve.resources.never(c)), ())
    several = (_too_many(firsts, kind, len(solve.kinds.copies(kind)) + 1) for kind in solve.kinds.kinds())
    return next((_left_to_right(some) for some in several if some), ()) if what == "restraint" else ()


def _kind(solve: Solve, a: Assignment, b: Assignment) -> str:
    """How two choices could collide."""
    if a.position == b.position or solve.resources.seats_clash(a, b):
        return "position"
    return "restraint" if solve.resources.clash(a, b) else "together"


def _too_many(firsts: Sequence[Sequence[Assignment]], kind: int, n: int) -> tuple[Assignment, ...]:
    """The first ``n`` riders who could ride in a kind of restraint, each on a seat of its own; nobody where they are
    fewer. Riders move to another of their seats where that makes room for one more (a matching by augmenting paths)."""
    at: dict[int, Assignment] = {}

    def seat(own: Sequence[Assignment], asked: set[int]) -> bool:
        for choice in own:
            if choice.position not in asked:
                asked.add(choice.position)
                there = at.get(choice.position)
                if there is None or seat([c for c in firsts[there.rider] if c.restraint == kind], asked):
                    at[choice.position] = choice
                    return True
        return False

    for choices in firsts:
        if len(at) < n:
            seat([c for c in choices if c.restraint == kind], set())
    return tuple(at.values()) if len(at) == n else ()


def _left_to_right(choices: Sequence[Assignment]) -> tuple[Assignment, ...]:
    return tuple(sorted(choices, key=lambda c: c.position))


def _blocking(solve: Solve, choices: Sequence[Assignment]) -> list[Finding]:
    """What blocks a pair side by side, or the one thing that both want."""
    if len(choices) != 2:
        return []
    pair = Pair(*solve.kinds.given_out([choice.cells[0].placement for choice in choices]))
    return [finding for finding in solve.runner.pair(pair) if finding.outcome == "block"]
