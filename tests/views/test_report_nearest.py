"""Why a rider cannot sit at a seat: the nearest miss first, each rule once a restraint."""

from __future__ import annotations

from itertools import pairwise

import pytest
from planned import TRIPS, planned

from seatplan.rules.finding import Finding, Result
from seatplan.solver.placements import JudgedPlacement
from seatplan.views.report.nearest import blocks, distance, off_by, reasons
from seatplan.views.words import in_what, sentence


def never(name: str) -> list[list[JudgedPlacement]]:
    """The ways of each rider at each seat where none is allowed."""
    solved = planned(name)
    return [[cell for choice in solved.choices.per_rider[r] if choice.position == p for cell in choice.all_cells]
            for (r, p), square in solved.squares.items() if not square.allowed]


def short(shortfall: float | None, limit: float | str | None) -> Finding:
    return Finding("child-too-tall", "block", ("Wren",), ("2C",), Result("fail", 0, limit, shortfall, "mm"), "-")


@pytest.mark.parametrize(("shortfall", "limit", "far"), [
    (20, 1000, 0.08), (100, 800, 0.5), (533, 800, 1), (900, 800, 1), (None, 800, 1), (20, "upright", 1),
    (20, 0, 1), (5, None, 1)])
def test_how_far_off_a_number_is_of_its_limit(shortfall: float | None, limit: float | str | None, far: float):
    assert off_by(short(shortfall, limit)) == pytest.approx(far)


@pytest.mark.parametrize("name", TRIPS)
def test_the_nearest_way_comes_first(name: str):
    for cells in never(name):
        told = reasons(cells)
        if not told:
            continue
        best = min(distance(cell) for cell in cells if blocks(cell))
        firsts = {f"{in_what(cell.placement)}: {sentence(f)}" for cell in cells if blocks(cell)
                  and distance(cell) == best for f in blocks(cell)}
        assert told[0] in firsts


@pytest.mark.parametrize("name", TRIPS)
def test_ways_stand_in_the_order_of_how_near_they_are(name: str):
    for cells in never(name):
        near: dict[str, tuple[float, int, int]] = {}
        for cell in cells:
            if blocks(cell):
                what = in_what(cell.placement)
                near[what] = min(near.get(what, distance(cell)), distance(cell))
        order = [next(what for what in near if line.startswith(f"{what}: ")) for line in reasons(cells)]
        assert all(near[one] <= near[other] for one, other in pairwise(order))


@pytest.mark.parametrize("name", TRIPS)
def test_a_rule_is_told_once_of_each_restraint(name: str):
    for cells in never(name):
        lines = {(f.restraint, f.rule, f"{in_what(cell.placement)}: {sentence(f)}")
                 for cell in cells for f in blocks(cell)}
        told = [key[:2] for line in reasons(cells) for key in lines if key[2] == line]
        for restraint, rule in set(told):
            assert len({line for r, u, line in lines if (r, u) == (restraint, rule) and line in reasons(cells)}) == 1


def test_a_baby_is_not_told_first_how_much_too_small_for_a_booster():
    """Wren, 15 months, at 1R: rear-facing only the airbag is in the way, and a booster is years off."""
    solved = planned("three-across-school-run")
    wren = next(r for r, rider in enumerate(solved.trip.riders) if rider.rider == "Wren")
    seat = next(p for p, position in enumerate(solved.choices.positions) if position.position == "1R")
    told = reasons(cell for choice in solved.choices.per_rider[wren] if choice.position == seat
                   for cell in choice.all_cells)
    assert "rear-facing harness" in told[0]
    assert "airbag" in told[0]
    assert "booster" not in "".join(told[:3])
