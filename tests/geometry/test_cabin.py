"""Roof, consoles and ridges of the seatback against shapes, worked out by hand."""

from __future__ import annotations

from math import cos, radians, sin

import pytest

from seatplan.geometry.cabin import beside_ridges, in_consoles, ridge, roof_at, stands_on, under_roof
from seatplan.geometry.shapes import Box, Shape, side_box
from seatplan.model.own_seat import cushion_at, lifted, may_slide, seatback_at, slides_at
from seatplan.model.vehicle import Bolster, Console, Row

ROOF = [(0, 960), (400, 920), (800, 940)]


def shape(along: tuple[int, int], up: tuple[int, int], width: int | None = 440, *, person: bool = False) -> Shape:
    return Shape("Nook", (Box("shell", side_box(along, up), width, person=person, tolerance=6),))


@pytest.mark.parametrize(("along", "height"), [
    (-200, 960), (0, 960), (100, 950), (399, 920.1), (400, 920), (600, 930), (900, 940)])
def test_a_roof_is_straight_between_what_was_measured(along: float, height: float) -> None:
    assert roof_at(ROOF, along) == pytest.approx(height)


@pytest.mark.parametrize(("along", "up", "height", "roof"), [
    ((0, 300), 0, 700, 930),          # at the front corner
    ((600, 900), 0, 700, 930),        # at the rear one
    ((200, 700), 0, 700, 920),        # over the middle, where the roof is lowest
    ((200, 700), 30, 700, 890),
    ((200, 700), -30, 700, 950),
])
def test_where_a_body_is_nearest_to_the_roof(along: tuple[int, int], up: int, height: int, roof: int) -> None:
    found = under_roof(shape(along, (0, 700)), ROOF, up)
    assert found is not None
    assert (found.height, found.roof, found.part, found.off) == (height, roof, "shell", 6)


def test_people_and_parts_without_an_outline_are_left_out_below_a_roof() -> None:
    assert under_roof(shape((0, 300), (0, 900), person=True), ROOF, 0) is None
    assert under_roof(Shape("Nook", (Box("shell", None, 440),)), ROOF, 0) is None


CONSOLE = Console(name="console", across=(600, 800), along=(650, 900), up=(-250, 100))


@pytest.mark.parametrize(("along", "low", "middle", "by"), [
    ((100, 700), 0, 700, 200),        # as wide as the console
    ((100, 700), 0, 420, 40),         # to 640
    ((100, 700), 0, 380, None),       # ends where it begins
    ((100, 650), 0, 700, None),       # ends behind it
    ((100, 700), 100, 700, None),     # stands over it
    ((100, 700), 99, 700, 200),
])
def test_a_console_that_a_shell_would_stand_in(along: tuple[int, int], low: int, middle: int, by: float | None) -> None:
    hits = list(in_consoles(shape(along, (low, 500)), [CONSOLE], 2 * middle, 0))
    assert [hit.by for hit in hits] == ([] if by is None else [by])


def test_a_console_counts_from_the_cushion_of_the_place() -> None:
    """Seen from a cushion that lies 20 mm lower it ends 120 mm up."""
    assert list(in_consoles(shape((100, 700), (110, 500)), [CONSOLE], 1400, 0)) == []
    assert len(list(in_consoles(shape((100, 700), (110, 500)), [CONSOLE], 1400, -20))) == 1


HUMP = Console(name="hump", across=(600, 800), along=(500, 700), up=(-300, -240))


@pytest.mark.parametrize(("middle", "along", "depth", "found"), [
    (700, (600, 600), 300, ("hump", True)),
    (700, (480, 600), 300, ("hump", False)),
    (700, (700, 700), 300, None),
    (700, (500, 500), 300, None),
    (600, (600, 600), 300, None),
    (700, (600, 600), 240, None),     # no higher than the floor
    (700, (600, 600), 241, ("hump", True)),
])
def test_what_a_foot_would_stand_on(middle: int, along: tuple[int, int], depth: int,
                                    found: tuple[str, bool] | None) -> None:
    assert stands_on([HUMP], 2 * middle, along, 0, depth) == found


def test_a_ridge_lies_along_the_leaning_back() -> None:
    s, c = sin(radians(20)), cos(radians(20))
    corners = list(ridge(Bolster(name="left", across=(0, 40), up=(100, 500), depth=40), 20, 0).corners)
    assert corners == [pytest.approx(corner) for corner in (
        (-100 * s, 100 * c), (40 - 100 * s, 100 * c), (40 - 500 * s, 500 * c), (-500 * s, 500 * c))]


def test_only_what_comes_to_the_back_meets_a_ridge() -> None:
    bolster = Bolster(name="left", across=(80, 120), up=(0, 500), depth=40)
    far, near = shape((200, 700), (100, 560)), shape((20, 500), (0, 170))
    assert beside_ridges(far, [bolster], 630, 20, 0, lies_against_back=False) == []
    assert [hit.by for hit in beside_ridges(far, [bolster], 630, 20, 0, lies_against_back=True)] == [25]
    assert [hit.by for hit in beside_ridges(near, [bolster], 630, 20, 0, lies_against_back=False)] == [25]


def row(**more: object) -> Row:
    return Row.model_validate({
        "row": 2, "cushion": {"left": 20, "right": 1300, "length": 480, "angle": 14, "above_floor": 320,
                              "waterfall": 30},
        "seatback": {"angle": 24, "height": 620}, "positions": [
            {"position": "2L"}, {"position": "2C", "cushion": {"length": 430, "up": 40}},
            {"position": "2R", "cushion": {"up": -20, "above_floor": 290}, "seatback": {"angle": 20, "height": 600}}],
        **more})


def test_a_place_has_what_it_says_and_the_rest_of_its_row() -> None:
    car = row()
    left, centre, right = car.positions
    assert cushion_at(car, left) is car.cushion
    assert seatback_at(car, left) is car.seatback
    own = cushion_at(car, centre)
    assert (own.left, own.right, own.length, own.angle, own.above_floor, own.waterfall) == (20, 1300, 430, 14, 360, 30)
    assert (seatback_at(car, centre).angle, seatback_at(car, centre).height, lifted(centre)) == (24, 580, 40)
    own = cushion_at(car, right)
    assert (own.length, own.above_floor, lifted(right)) == (480, 290, -20)
    assert (seatback_at(car, right).angle, seatback_at(car, right).height) == (20, 600)


def test_what_nobody_measured_stays_unknown() -> None:
    car = row(cushion={"left": 20}, seatback={})
    own = cushion_at(car, car.positions[1])
    assert (own.length, own.angle, own.above_floor) == (430, None, None)
    assert seatback_at(car, car.positions[1]).height is None


def test_a_place_slides_with_its_part_or_its_row() -> None:
    whole, still, silent = row(slides=110), row(slides=0), row()
    assert [slides_at(car, "2C") for car in (whole, still, silent)] == [110, 0, None]
    assert [may_slide(car) for car in (whole, still, silent)] == [True, False, True]
    split = row(parts=[{"positions": ["2L", "2C"], "slides": 0}, {"positions": ["2R"], "slides": 90}])
    assert [slides_at(split, seat) for seat in ("2L", "2C", "2R")] == [0, 0, 90]
    assert may_slide(split)
    assert not may_slide(row(parts=[{"positions": ["2L", "2C"], "slides": 0}, {"positions": ["2R"], "slides": 0}]))
