"""Convex outlines against shapely: their corners, hulls, what comes near and what meets."""

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from shapely.affinity import rotate, translate
from shapely.geometry import MultiPoint, Polygon, box
from shapely.ops import unary_union

from seatplan.geometry.convex import Outline, hull
from seatplan.geometry.shapes import NEAR_MM
from seatplan.geometry.walls import Wall

LENGTH = st.integers(0, 60)
#: what a turn may leave of an exact length, mm
ROUNDED = 1e-5


@st.composite
def pairs(draw):
    """An outline as we know it and as shapely does: a level box, a turned one, or the hull of some points."""
    kind = draw(st.sampled_from(["level", "turned", "hull"]))
    if kind == "hull":
        points = draw(st.lists(st.tuples(LENGTH, LENGTH), min_size=3, max_size=7))
        region = MultiPoint(points).convex_hull
        assume(isinstance(region, Polygon))
        return Outline.around(points), region
    (x0, x1), (y0, y1) = (sorted(draw(st.lists(LENGTH, min_size=2, max_size=2, unique=True))) for _ in "xy")
    outline, region = Outline.box((x0, x1), (y0, y1)), box(x0, y0, x1, y1)
    if kind == "level":
        return outline, region
    degrees = draw(st.integers(-6000, 6000).filter(bool)) / 100      # as a tape for angles tells it
    return outline.turned(degrees), rotate(region, degrees, origin=(0, 0))


@given(pairs())
def test_corners_bounds_and_hull_are_those_of_shapely_in_the_same_order(pair):
    outline, region = pair
    assert outline.corners == tuple(region.exterior.coords[:-1])
    assert outline.bounds == region.bounds
    assert hull(outline.corners) == tuple(region.convex_hull.exterior.coords[:-1])
    assert outline.lifted(7).corners == tuple(translate(region, 0, 7).exterior.coords[:-1])


@settings(max_examples=400)
@given(pairs(), pairs(), st.sampled_from([0, NEAR_MM, 12]))
def test_near_is_what_is_no_further_than_that(one, other, mm):
    distance = one[1].distance(other[1])
    assume(distance <= mm or distance > mm + ROUNDED)
    assert one[0].near(other[0], mm) == other[0].near(one[0], mm) == (distance <= mm)


@settings(max_examples=400)
@given(pairs(), pairs())
def test_what_meets_has_a_point_and_what_overlaps_an_area_in_common(one, other):
    area, distance = one[1].intersection(other[1]).area, one[1].distance(other[1])
    assume(not 0 < distance <= ROUNDED)
    assert one[0].meets(other[0]) == (distance == 0)
    assume(area == 0 or area > 0.01)
    assert one[0].overlaps(other[0]) == (area > 0)


def test_boxes_that_share_an_edge_meet_and_do_not_overlap():
    one = Outline.box((0, 100), (0, 100)).turned(11.3)
    other = Outline.box((100, 200), (0, 100)).turned(11.3)
    assert one.meets(other)
    assert not one.overlaps(other)


@pytest.mark.parametrize("degrees", [0, 3.7, 11.3])
def test_a_turn_moves_nothing_out_of_reach(degrees):
    """So far apart as still counts as near, they are near however both are turned."""
    one, other = Outline.box((0, 100), (0, 100)), Outline.box((100 + NEAR_MM, 200), (20, 90))
    assert one.turned(degrees).near(other.turned(degrees), NEAR_MM)


def test_a_line_and_a_point_are_met_where_they_are():
    """The ridge of a seatback whose depth nobody measured is a line."""
    part = Outline.box((50, 100), (0, 100)).turned(10)
    along = Outline(((0, 50), (40, 50), (40, 50), (0, 50)))
    assert not along.meets(part)
    assert not along.near(part, 0)
    assert Outline(((0, 50), (60, 50))).meets(part)
    assert not Outline(((10, 50),)).meets(part)
    assert Outline(((70, 50),)).meets(part)


@settings(max_examples=200)
@given(st.lists(pairs(), max_size=3), pairs())
def test_a_wall_covers_what_its_boxes_cover_together(boxes, pair):
    level = [box(*outline.bounds) for outline, _ in boxes]
    wall = Wall(Outline.box(outline.bounds[::2], outline.bounds[1::2]) for outline, _ in boxes)
    region = unary_union([one.buffer(NEAR_MM) for one in level])
    assert wall.covers(pair[0]) == region.covers(pair[1])
