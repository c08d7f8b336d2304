"""Room towards the seat ahead: against bisection and distances of whole regions, and what was not measured."""

from itertools import pairwise
from math import ceil

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.affinity import translate
from shapely.geometry import MultiPoint, Polygon, box

from seatplan.geometry.ahead import HOLDS_BEYOND_MM, Profile, forward_extent, leg_need, room_needed
from seatplan.geometry.anthropometry import BUTTOCK_KNEE, buttock_knee
from seatplan.geometry.convex import Outline
from seatplan.geometry.shapes import Box, Shape, side_box
from seatplan.model import Rider
from seatplan.model.vehicle import Ahead

FAR = 5000
SEAT = Profile(((0, 700), (300, 660), (600, 720)))


def body(*outlines):
    return Shape("Nook", tuple(Box(f"Nook part {i}", o, 440) for i, o in enumerate(outlines)))


def around(region):
    return Outline.around(region.exterior.coords)


def side(along0, up0, along1, up1):
    return side_box((along0, along1), (up0, up1))


POINTS = st.tuples(st.integers(0, 900), st.integers(-90, 690))


@st.composite
def hulls(draw):
    hull = MultiPoint(draw(st.lists(POINTS, min_size=3, max_size=8))).convex_hull
    return hull if isinstance(hull, Polygon) else hull.buffer(5)


@st.composite
def profiles(draw):
    heights = sorted(draw(st.sets(st.integers(0, 600), min_size=1, max_size=5)) | {0, 600})
    return Profile(tuple((h, draw(st.integers(400, 900))) for h in heights))


def seat_region(profile):
    """All that the seat ahead takes up, standing rearmost: forward of its back at every known height."""
    low, high = profile.known
    back = [(profile.points[0][1], low), *((free, h) for h, free in profile.points),
            (profile.points[-1][1], high)]
    return Polygon([*back, (FAR, high), (FAR, low)])


@settings(max_examples=150)
@given(st.lists(hulls(), min_size=1, max_size=3), profiles(), st.integers(0, 60))
def test_the_seat_stands_where_it_comes_free_when_pushed_forward(outlines, profile, clearance):
    """By bisection on the shared area of body and seat; the body moved forward by the clearance."""
    seat, moved = seat_region(profile), [translate(o, clearance) for o in outlines]
    low, high = -2000.0, 2000.0
    while high - low > 1e-4:
        middle = (low + high) / 2
        pushed = translate(seat, middle)
        free = all(pushed.intersection(o).area < 1e-9 for o in moved)
        low, high = (low, middle) if free else (middle, high)
    need = room_needed(body(*map(around, outlines)), profile, clearance)
    assert high - 0.02 <= need.mm <= ceil(high + 0.02)
    assert need.missing is None
    assert need.mm == need.reach + clearance - need.free


@settings(max_examples=100)
@given(hulls(), profiles(), st.integers(0, 60))
def test_as_far_forward_as_needed_the_seat_is_clear_and_no_further(outline, profile, clearance):
    need = room_needed(body(around(outline)), profile, clearance).mm
    moved = translate(outline, clearance)
    assert translate(seat_region(profile), need + 0.01).distance(moved) > 0
    assert translate(seat_region(profile), need - 1.01).distance(moved) == 0


@settings(max_examples=100)
@given(hulls(), st.integers(-90, 690))
def test_forward_extent_is_where_a_level_line_leaves_the_outline(outline, height):
    line = box(-FAR, height - 1e-7, FAR, height + 1e-7).intersection(outline)
    found = forward_extent(around(outline), height)
    assert (found is None) == line.is_empty
    if found is not None:
        assert found == pytest.approx(line.bounds[2], abs=0.01)


def test_a_hollow_outline_is_taken_outwards():
    hollow = Outline.around([(0, 0), (600, 0), (100, 250), (600, 500), (0, 500)])
    assert forward_extent(hollow, 250) == 600


@pytest.mark.parametrize(
    ("height", "free"),
    [(0, 700), (150, 680), (300, 660), (450, 690), (600, 720), (700, 720), (701, None), (-100, 700), (-101, None)],
)
def test_free_length_between_and_just_beyond_the_measured_heights(height, free):
    assert SEAT.at(height) == free


def test_profile_of_a_file():
    ahead = Ahead(seat="1L", gap=[[600, 720], [0, 700], [600, 715], [0, 705]])
    assert Profile.of(ahead) == Profile(((0, 700), (600, 715)))  # of two at one height the shorter
    for unknown in (Profile.of(None), Profile.of(Ahead(seat="1L"))):
        assert unknown.known is None
        assert unknown.at(300) is None


def test_by_hand():
    """The shell reaches 760 up to 560; the seat is nearest at 300 with 660: 100 and a hand of 10 more."""
    need = room_needed(body(side(40, 0, 560, 170), side(60, 170, 760, 560)), SEAT, 10)
    assert (need.mm, need.height, need.part) == (110, 300, "Nook part 1")
    assert (need.reach, need.clearance, need.free) == (760, 10, 660)


def test_room_to_spare_is_below_nothing():
    assert room_needed(body(side(0, 0, 500, 200)), SEAT, 0).mm == ceil(500 - (700 - 40 * 200 / 300))


def test_half_a_millimetre_counts_as_one():
    """At 450 the seat is 690 away, at 445 it is 689."""
    assert room_needed(body(side(0, 450, 700.4, 500)), SEAT, 0).mm == 11
    assert room_needed(body(side(0, 450, 700, 500)), SEAT, 0).mm == 10


@pytest.mark.parametrize(
    ("outline", "missing"),
    [
        (side(0, 0, 500, 600 + HOLDS_BEYOND_MM), None),
        # a back that leans 45 degrees from 720 at 700 could ask for 759 - 719 at 701, no more than the 40
        (side(0, 600, 759, 601 + HOLDS_BEYOND_MM), None),
        (side(0, 600, 760, 601 + HOLDS_BEYOND_MM), "free length to the seat ahead at height 701 mm"),
        (side(0, 600, 400, 1060), None),
        (side(0, 600, 400, 1061), "free length to the seat ahead at height 1061 mm"),
        (side(0, -101, 500, 200), "free length to the seat ahead at height -101 mm"),
        (None, "outline of Nook part 1"),
    ],
)
def test_what_was_not_measured_is_named_and_the_rest_compared(outline, missing):
    need = room_needed(body(side(0, 300, 700, 400), outline), SEAT, 0)
    assert (need.mm, need.missing and need.missing.field) == (40, missing)


def test_nothing_measured_has_no_number():
    need = room_needed(body(side(0, 0, 500, 200)), Profile(()), 10)
    assert need.missing is not None
    assert (need.mm, need.missing.field) == (None, "free length to the seat ahead")
    high = room_needed(body(side(0, 900, 500, 1000)), SEAT, 10)
    assert high.missing is not None
    assert (high.mm, high.missing.field) == (None, "free length to the seat ahead at height 1000 mm")
    assert room_needed(body(None), SEAT, 10).mm is None


def test_an_adults_knees():
    """ANSUR II: buttock-knee length 617 (median man), 669 (95th; 691 the 99th); knees from 350 to 602 above the floor,
    so from 20 to 272 above a cushion at 330. The seat ahead is nearest at 272 with 700 - 40 x 272 / 300."""
    need = leg_need(Rider(rider="Ines", adult=True), SEAT, 330)
    assert (need.mm, need.height, need.off) == (ceil(617 - 700 + 40 * 272 / 300), 272, 74)
    assert need.part == "Ines's knees"
    assert need.missing is None


def test_a_childs_knees_may_be_anywhere_above_the_cushion():
    low_bulge = Profile(((0, 400), (20, 700), (600, 700)))
    wren = Rider(rider="Wren", height=1450)
    assert leg_need(wren, low_bulge, 330).mm == 488 - 400  # Snyder 1977: mean 488 at 1450 mm
    assert leg_need(Rider(rider="Ines", adult=True), low_bulge, 330).mm == 617 - 700


@pytest.mark.parametrize(
    ("rider", "above_floor", "missing"),
    [
        (Rider(rider="Wren"), 330, "height of Wren"),
        (Rider(rider="Ines", adult=True), None, "height of the cushion above the floor"),
    ],
)
def test_knees_of_which_too_little_is_known(rider, above_floor, missing):
    need = leg_need(rider, SEAT, above_floor)
    assert need.missing is not None
    assert (need.mm, need.missing.field) == (None, missing)


def test_buttock_knee_lengths():
    """Snyder et al. 1977 (record upper leg length); ANSUR II: men 569, 617, 669, women 541, 589, 646; popliteal
    length is 0.815 of it in both. 5th and 95th percentiles are widened to the 1st and 99th."""
    adult = buttock_knee(Rider(rider="Ines", adult=True))
    assert (adult.low, adult.middle, adult.high) == (510, 617, 691)
    child = buttock_knee(Rider(rider="Wren", height=1200))
    assert (child.low, child.middle, child.high) == (355, 385, 415)
    assert buttock_knee(Rider(rider="Wren", height=800)) is None
    assert all(a[1] < b[1] for a, b in pairwise(BUTTOCK_KNEE))
