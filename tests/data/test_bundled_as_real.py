"""Bundled cars and restraints are as regulations would have real ones."""

from __future__ import annotations

from itertools import pairwise
from math import cos, radians, sin

import pytest
from bundled import VEHICLES, modes, positions

from seatplan.files.notices import seats_of_bench
from seatplan.model import Position, Row

#: half a step of a tape in eighths of an inch at either end, mm
TAPE_MM = 4


# --- 49 CFR 571.10(b): how many seats a bench has ---


def counted(width_mm: int) -> tuple[int, bool]:
    """Positions of a bench by 49 CFR 571.10(b), and whether that is the least number only."""
    return (width_mm // 450, True) if width_mm >= 1400 else (max(1, width_mm // 350), False)


@pytest.mark.parametrize(
    ("width", "seats", "at_least"),
    [  # worked out from the text of 571.10(b)
        (331, 1, False),
        (699, 1, False),
        (700, 2, False),
        (1049, 2, False),
        (1050, 3, False),
        (1399, 3, False),
        (1400, 3, True),
        (1799, 3, True),
        (1800, 4, True),
    ],
)
def test_counting_rule_for_benches(width: int, seats: int, at_least: bool) -> None:
    assert counted(width) == (seats, at_least)
    assert seats_of_bench(width) == seats


BENCHES = [
    (f"{name} row {row.row}", row)
    for name, car in VEHICLES.items()
    for row in car.rows
    if len(row.positions) > 1
    and row.cushion.left is not None
    and row.cushion.right is not None
    and all(p.seat == "fixed" for p in row.positions)
]


@pytest.mark.parametrize("row", [row for _, row in BENCHES], ids=[name for name, _ in BENCHES])
def test_no_bench_has_more_seats_than_it_counts_for(row: Row) -> None:
    left, right = row.cushion.left, row.cushion.right
    assert left is not None
    assert right is not None
    seats, at_least = counted(right - left)
    assert at_least or len(row.positions) <= seats


@pytest.mark.parametrize(("where", "position"), [(w, p) for w, _, p in positions() if p.width is not None])
def test_every_seat_has_the_least_width(where: str, position: Position) -> None:
    """49 CFR 571.3: a seating surface of at least 330 mm."""
    assert (position.width or 0) >= 330, where


# --- lower anchors and tethers ---

#: a middle seat that shares a bar with its neighbour hangs beside its own middle
PAIRS = [(w, row, p) for w, row, p in positions() if p.lower_anchors
         and all(bar.across is not None for bar in row.lower_anchors or ())
         and not (p.position.endswith("C") and any(
             set(p.lower_anchors) & set(other.lower_anchors or ()) for other in row.positions if other is not p))]


@pytest.mark.parametrize(("where", "row", "position"), PAIRS, ids=[w for w, _, _ in PAIRS])
def test_own_bars_are_280_mm_apart_and_centred(where: str, row: Row, position: Position) -> None:
    """280 mm: UN R16 Annex 17 App. 2 Figs 1-8. The middle of the pair is that of the seat: 49 CFR 571.225
    S6.3.4.3(a)(1)."""
    across = {bar.bar: bar.across for bar in row.lower_anchors or ()}
    left, right = (across[name] for name in position.lower_anchors or ())
    assert abs(right - left - 280) <= TAPE_MM
    assert position.centre is not None
    assert abs((left + right) / 2 - position.centre) <= TAPE_MM


@pytest.mark.parametrize("name", VEHICLES)
def test_no_lower_anchors_before_an_airbag_without_a_switch(name: str) -> None:
    """49 CFR 571.225 S5(d)."""
    for position in VEHICLES[name].rows[0].positions:
        if position.lower_anchors:
            assert position.airbag is not None
            assert position.airbag.front in ("none", "switchable")


@pytest.mark.parametrize("name", VEHICLES)
def test_lap_belts_alone_only_in_older_cars(name: str) -> None:
    """49 CFR 571.208 as phased in: shoulder belts at forward-facing rear seats from model year 2008."""
    car = VEHICLES[name]
    lap_only = [
        p.position
        for row in car.rows[1:]
        for p in row.positions
        if p.belt and p.belt.kind == "lap" and p.facing == "forward"
    ]
    assert not lap_only or (car.model_year or 9999) < 2008


# --- i-Size ---


@pytest.mark.parametrize("name", VEHICLES)
def test_neighbouring_i_size_places_are_440_mm_apart(name: str) -> None:
    """UN R16 (07 series) 8.3.6."""
    for row in VEHICLES[name].rows:
        for one, other in pairwise(row.positions):
            if one.i_size and other.i_size:
                assert one.centre is not None
                assert other.centre is not None
                assert other.centre - one.centre >= 440


I_SIZE = [(w, p) for w, _, p in positions() if p.i_size]


@pytest.mark.parametrize(("where", "position"), I_SIZE, ids=[w for w, _ in I_SIZE])
def test_i_size_places_take_a_support_leg_and_have_bars(where: str, position: Position) -> None:
    """UN R16 (07 series) 8.3.6: fixtures R2 and F2X on the anchors, the volume of the support leg, B2."""
    assert position.support_leg == "allowed"
    assert position.lower_anchors


# --- restraints as large as a fixture ---

#: UN R16 Annex 17 App. 2 and App. 5 (up to the 09 series), mm: furthest back to furthest forward, top above
#: the base plane, width. Worked out from the dimensions printed on the drawings; F3's front face is scaled.
ENVELOPES = {
    "R1": (715.9, 615, 440),
    "R2": (735.9, 665, 440),
    "R2X": (744.6, 665, 440),
    "R3": (815.9, 695, 440),
    "F2": (570.9, 665, 440),
    "F2X": (579.6, 665, 440),
    "F3": (570.9, 735, 440),
    "B2": (535, 775, 440),
    "B3": (535, 775, 520),
}


#: how far the drawings are turned to stand on the bench, degrees, and the corner that they are turned about
PITCH_DEG, CORNER = 15, (60, 0)


def turned_back(outline: list[tuple[int, int]]) -> list[tuple[float, float]]:
    """Corners forward of and above the rear corner line, with the base plane level as on the drawings."""
    c, s = cos(radians(PITCH_DEG)), sin(radians(PITCH_DEG))
    moved = [(x - CORNER[0], z - CORNER[1]) for x, z in outline]
    return [(x * c + z * s, z * c - x * s) for x, z in moved]


def drawn(fixture: str) -> list[tuple[str, float, float, int | None]]:
    """Length, top and width of every outline that was drawn after a fixture, with its base plane level."""
    found = []
    for name, restraint, mode in modes():
        if restraint.approval and restraint.approval.fixtures == [fixture]:
            for part in mode.parts:
                if part.outline:
                    along, up = zip(*turned_back(part.outline), strict=True)
                    found.append((name, max(along) - min(along), max(up), part.width))
                    assert min(up) == pytest.approx(0, abs=1)
    return found


@pytest.mark.parametrize("fixture", ENVELOPES)
def test_a_restraint_fills_each_fixture(fixture: str) -> None:
    length, top, width = ENVELOPES[fixture]
    found = drawn(fixture)
    assert found
    for _, along, up, across in found:
        assert along == pytest.approx(length, abs=2)
        assert up == pytest.approx(top, abs=2)
        assert across == width
