"""What a handbook table says of the bundled cars, by our own geometry: every place declared for a fixture of UN R16
takes its envelope at mid-track, and no longer does so with any one distance 30 mm less than the envelope needs there.

UN R16 Annex 17 App. 2 (up to the 09 series): pitch is that of the cushion, the seat ahead stands no further forward
than the middle of its track (para. 2.2), nothing is touched (para. 3); a place declared for a fixture takes smaller
ones of the same line (para. 2). i-Size places take R2, F2X and B2 (para. 8.3.6), adjacent ones at once from 440 mm on.
"""

from __future__ import annotations

from functools import cache
from itertools import pairwise, product

import pytest

from seatplan.files.library import names
from seatplan.files.load import load_restraint, load_vehicle
from seatplan.geometry.across import Body, RowSpace
from seatplan.geometry.ahead import Need, Profile, forward_extent, room_needed
from seatplan.geometry.chain import Solution, Squeeze
from seatplan.geometry.lengthwise import FRONT, Mover, behind, solve_lengthwise
from seatplan.geometry.recline import posed
from seatplan.geometry.shapes import Shape, Shapes, shape_of_restraint, side_box
from seatplan.geometry.walls import reaches
from seatplan.model import Position, Row

#: smaller ones first, in the order of the handbook table (App. 3 Table 1)
LINES = (("R1", "R2X", "R2", "R3"), ("F2X", "F2", "F3"), ("B2", "B3"))
I_SIZE = ("R2", "F2X", "B2")
#: half of the base, and of the other end of a carry cot, from the middle of the bars (App. 2 Fig. 8)
SHORT_SIDE, LONG_SIDE = 220, 660
#: so much less than the envelope needs
LESS = 30
#: how far a fixture may stand beside its place, mm: on the bars, and on the seat (App. 5 para. 2.4)
ON_BARS, ON_SEAT = 5, 25


def taken(position: Position) -> list[str]:
    told = [*(position.fixtures or ()), *(I_SIZE if position.i_size else ())]
    return sorted({smaller for line in LINES for fixture in told if fixture in line
                   for smaller in line[:line.index(fixture) + 1]})


CARS = {name: load_vehicle(name) for name in names("vehicle")}
PLACES = [(name, row, position, fixture) for name, car in CARS.items() for row in car.rows
          for position in row.positions for fixture in taken(position)]
IDS = [f"{name}-{position.position}-{fixture}" for name, _, position, fixture in PLACES]
each_place = pytest.mark.parametrize(("name", "row", "position", "fixture"), PLACES, ids=IDS)


@cache
def envelope(fixture: str, cushion: float) -> Shape:
    mode = load_restraint(f"un-{fixture.lower()}").modes[0]
    reference = mode.recline.reference if mode.recline else 0
    return posed(shape_of_restraint(fixture, mode, None), mode, reference, 0, cushion)


def placed(row: Row, position: Position, fixture: str, aside: int = 0) -> Body:
    """On the middle of its bars, or of the seat; ``aside`` mm to the right of it."""
    assert row.cushion.angle is not None
    assert position.centre is not None
    bars = [bar.across for bar in row.lower_anchors or () if bar.bar in (position.lower_anchors or ())]
    on_bars = len(bars) == 2 and not fixture.startswith("B")
    middle = sum(across or 0 for across in bars) if on_bars else 2 * position.centre
    return Body(f"{fixture} at {position.position}", position.position, envelope(fixture, row.cushion.angle),
                middle + 2 * aside, 2 * (ON_BARS if on_bars else ON_SEAT), "its place", None)


def need_of(row: Row, position: Position, fixture: str, gap: list[tuple[int, int]]) -> Need:
    assert position.ahead is not None
    return room_needed(placed(row, position, fixture).shape,
                       Profile.of(position.ahead.model_copy(update={"gap": gap})), 0)


def at_mid_track(position: Position, need: Need) -> Solution | Squeeze:
    ahead = position.ahead
    assert ahead is not None
    movers = [Mover(ahead.seat, (ahead.travel or 0) // 2)] if ahead.seat else []
    return solve_lengthwise([behind("it", position.position, ahead.seat or FRONT, need)], movers)


def labels(squeeze: Squeeze) -> str:
    return "; ".join(str(addend.label) for step in squeeze.steps for addend in step.addends)


def test_there_are_places_of_every_line() -> None:
    seen = {fixture for _, _, _, fixture in PLACES}
    assert seen >= {fixture for line in LINES for fixture in line}


@each_place
def test_the_place_takes_its_envelope(name: str, row: Row, position: Position, fixture: str) -> None:
    assert position.ahead is not None
    need = need_of(row, position, fixture, position.ahead.gap)
    assert need.missing is None
    assert isinstance(at_mid_track(position, need), Solution)
    assert isinstance(RowSpace(row, Shapes()).solve([placed(row, position, fixture)]), Solution)


@each_place
def test_less_room_ahead_is_named(name: str, row: Row, position: Position, fixture: str) -> None:
    """At each height at which the car was measured and the envelope stands."""
    ahead = position.ahead
    assert ahead is not None
    box, = placed(row, position, fixture).shape.boxes
    assert box.outline is not None
    tried = 0
    for k, (height, free) in enumerate(ahead.gap):
        extent = forward_extent(box.outline, height)
        if extent is None:
            continue
        most = int(extent) - ((ahead.travel or 0) // 2 if ahead.seat else 0)
        assert free >= most
        need = need_of(row, position, fixture, [*ahead.gap[:k], (height, most - LESS), *ahead.gap[k + 1:]])
        found = at_mid_track(position, need)
        assert isinstance(found, Squeeze)
        assert found.short >= LESS
        low, high = (ahead.gap[j][0] if 0 <= j < len(ahead.gap) else end
                     for j, end in ((k - 1, -1000), (k + 1, 2000)))
        assert low < need.height < high
        assert f"free to {ahead.seat or 'what stands ahead'}" in labels(found)
        tried += 1
    assert tried >= 2


@each_place
def test_a_nearer_wall_is_named(name: str, row: Row, position: Position, fixture: str) -> None:
    body = placed(row, position, fixture)
    box, = body.shape.boxes
    assert box.width is not None
    assert body.centre is not None
    tried = set()
    for k, trim in enumerate(row.trim):
        for side, most in (("left", (body.centre - box.width + body.play) // 2 + LESS),
                           ("right", (body.centre + box.width - body.play) // 2 - LESS)):
            moved = row.model_copy(update={"trim": [
                *row.trim[:k], trim.model_copy(update={side: most}), *row.trim[k + 1:]]})
            found = RowSpace(moved, Shapes()).solve([body])
            if trim.up and trim.along and not reaches(body.shape, side_box(trim.along, trim.up)):
                assert isinstance(found, Solution)
                continue
            assert isinstance(found, Squeeze)
            assert LESS <= found.short <= LESS + ON_SEAT       # the wall on the other side may take of its play
            assert f"{side} {trim.name}" in labels(found)
            tried.add(side)
    assert tried == {"left", "right"}


NEIGHBOURS = [(name, row, left, right) for name, car in CARS.items() for row in car.rows
              for left, right in pairwise([p for p in row.positions if p.i_size])]


def test_there_are_three_i_size_places_in_a_row_and_two() -> None:
    rows = [sum(bool(p.i_size) for p in row.positions) for car in CARS.values() for row in car.rows]
    assert {2, 3} <= set(rows)


@pytest.mark.parametrize(("name", "row"), [(name, row) for name, car in CARS.items() for row in car.rows
                                           if sum(bool(p.i_size) for p in row.positions) >= 2],
                         ids=lambda value: value if isinstance(value, str) else "")
def test_i_size_places_are_usable_at_once(name: str, row: Row) -> None:
    places = [p for p in row.positions if p.i_size]
    for fixtures in product(I_SIZE, repeat=len(places)):
        bodies = [placed(row, place, fixture) for place, fixture in zip(places, fixtures, strict=True)]
        assert isinstance(RowSpace(row, Shapes()).solve(bodies), Solution), fixtures


@pytest.mark.parametrize(("name", "row", "left", "right"), NEIGHBOURS,
                         ids=[f"{name}-{left.position}-{right.position}" for name, _, left, right in NEIGHBOURS])
@pytest.mark.parametrize("fixtures", list(product(I_SIZE, repeat=2)), ids="-".join)
def test_places_nearer_than_that_are_named(
        name: str, row: Row, left: Position, right: Position, fixtures: tuple[str, str]) -> None:
    one, other = (placed(row, place, fixture) for place, fixture in zip((left, right), fixtures, strict=True))
    assert one.centre is not None
    assert other.centre is not None
    apart = (other.centre - one.centre) // 2
    assert apart >= 440
    least = 440 - (one.play + other.play) // 2
    nearer = placed(row, right, fixtures[1], aside=least - LESS - apart)
    found = RowSpace(row.model_copy(update={"trim": []}), Shapes()).solve([one, nearer])
    assert isinstance(found, Squeeze)
    assert found.short == LESS
    assert labels(found).count("half of") == 2


@pytest.mark.parametrize(("name", "row", "position", "cot"), [
    (name, row, position, fixture) for name, car in CARS.items() for row in car.rows for position in row.positions
    for fixture in position.fixtures or () if fixture.startswith("L")])
def test_a_carry_cot_lies_within_the_walls(name: str, row: Row, position: Position, cot: str) -> None:
    """The long side of L1 points to the left of the car, of L2 to the right (read off the drawings of Fig. 8)."""
    assert position.centre is not None
    sides = (LONG_SIDE, SHORT_SIDE) if cot == "L1" else (SHORT_SIDE, LONG_SIDE)
    for trim in row.trim:
        assert trim.left is not None
        assert trim.right is not None
        assert position.centre - sides[0] >= trim.left
        assert position.centre + sides[1] <= trim.right
