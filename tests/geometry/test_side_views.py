"""Side polygons times widths: least distances against bodies slid past each other, and what a shape is made
of."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import Polygon, box

from seatplan.geometry.convex import Outline
from seatplan.geometry.shapes import (
    NEAR_MM,
    Box,
    Shape,
    Shapes,
    least_distance,
    near,
    shape_of_person,
    shape_of_restraint,
    shape_on_booster,
)
from seatplan.model import Installation, Mode, Rider

GRID = 20


def side(along0, up0, along1, up1):
    return Outline.box((along0, along1), (up0, up1))


@st.composite
def shapes(draw, name):
    boxes = []
    for i in range(draw(st.integers(1, 3))):
        along, up = draw(st.integers(-5, 30)), draw(st.integers(-5, 30))
        outline = side(
            along * GRID,
            up * GRID,
            (along + draw(st.integers(1, 15))) * GRID,
            (up + draw(st.integers(1, 15))) * GRID,
        )
        boxes.append(Box(f"{name} {i}", outline, draw(st.integers(100, 520))))
    return Shape(name, tuple(boxes))


def slices(shape, up, middle, grow):
    """The footprints (across x along) of all parts at one height; ``middle`` and widths in half-mm."""
    found = []
    for part in shape.boxes:
        along0, up0, along1, up1 = part.outline.bounds
        if up0 - grow < up < up1 + grow:
            found.append(box(middle - part.width, along0 - grow, middle + part.width, along1 + grow))
    return found


def collide(left, right, distance):
    """Whether the bodies share room, their middles so many half-mm apart. One is grown in side view by less
    than the grid, so that parts which only touch in side view count, as they do within the tolerance of
    the tape."""
    for up in range(-12 * GRID + 5, 50 * GRID, 10):
        here = slices(left, up, 0, 0)
        there = slices(right, up, distance, GRID / 2)
        if any(a.intersection(b).area > 0 for a in here for b in there):
            return True
    return False


@settings(max_examples=60)
@given(shapes("left"), shapes("right"))
def test_least_distance_is_where_sliding_bodies_come_free(left, right):
    """By bisection: bodies built of blocks, cut in slices, one slid away from the other."""
    low, high = -1, 1100  # collide at low (or never), free at high
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (middle, high) if collide(left, right, middle) else (low, middle)
    reach = least_distance(left, right)
    assert reach.need == high
    assert (reach.parts is None) == (high == 0)


@settings(max_examples=60)
@given(shapes("left"), shapes("right"))
def test_least_distance_is_the_same_from_both_sides_and_never_more_than_the_widest_parts(left, right):
    reach = least_distance(left, right)
    assert reach.need == least_distance(right, left).need
    assert reach.need <= max(b.width for b in left.boxes) + max(b.width for b in right.boxes)
    if reach.parts is not None:
        assert sum(part.width for part in reach.parts) == reach.need


def test_odd_widths_are_exact_in_half_mm():
    a, b = (Shape(n, (Box(n, side(0, 0, 10, 10), w),)) for n, w in (("a", 441), ("b", 440)))
    assert least_distance(a, b).need == 881


@pytest.mark.parametrize(("gap", "touches"), [(NEAR_MM - 1, True), (NEAR_MM, True), (NEAR_MM + 1, False)])
def test_side_views_within_the_tolerance_count_as_overlapping(gap, touches):
    assert near(side(0, 0, 100, 100), side(100 + gap, 0, 200, 100)) is touches
    assert near(side(0, 0, 100, 100), side(0, 100 + gap, 100, 200)) is touches


def test_corners_are_measured_along_the_diagonal():
    assert near(side(0, 0, 100, 100), side(103, 104, 200, 200))
    assert not near(side(0, 0, 100, 100), side(104, 104, 200, 200))


def test_a_part_without_outline_is_near_everything():
    unknown = Shape("unknown", (Box("unknown shell", None, 400),))
    far = Shape("far", (Box("far wing", side(5000, 5000, 5010, 5010), 300),))
    assert least_distance(unknown, far).need == 700


REAR = [
    {"part": "base", "along": (40, 560), "up": (0, 170), "width": 370},
    {"part": "foot", "along": (60, 330), "up": (170, 400), "width": 380},
    {"part": "shell", "along": (336, 700), "up": (170, 560), "width": 450},
]
FORWARD = [
    {"part": "base", "along": (0, 420), "up": (0, 164), "width": 390},
    {"part": "seat", "along": (0, 330), "up": (170, 420), "width": 400},
    {"part": "wings", "along": (0, 330), "up": (426, 740), "width": 480},
]


def mode(name, parts, **fields):
    return Mode(mode=name, parts=parts, installations=[{"by": "lap-shoulder-belt"}], **fields)


def restraint(name, parts):
    return shape_of_restraint(name, mode("forward-facing-harness", parts), None)


def test_a_rear_facing_shell_nests_beside_a_forward_facing_one():
    """Two alike need the sum of their halves; turned against each other they pass with less."""
    rear, forward = restraint("rear", REAR), restraint("forward", FORWARD)
    assert least_distance(rear, rear).need == 900
    assert least_distance(forward, forward).need == 960
    nested = least_distance(rear, forward)
    assert nested.need == 380 + 400  # the shell is 6 mm ahead of the seat and above the base
    assert [part.label for part in nested.parts] == ["rear foot", "forward seat"]
    assert nested.need < 450 + 480


@settings(max_examples=60)
@given(st.integers(200, 520), st.integers(200, 520), st.integers(200, 520), st.integers(200, 520))
def test_shapes_with_high_and_low_wide_parts_nest(foot, shell, base, wings):
    rear = restraint("rear", [{**REAR[1], "width": foot}, {**REAR[2], "width": shell}])
    forward = restraint("forward", [{**FORWARD[1], "width": base}, {**FORWARD[2], "width": wings}])
    # the shell is ahead of both forward parts by 6 mm in side view, so only the foot meets the seat
    assert least_distance(rear, forward).need == foot + base


def test_parts_of_the_installation_count():
    installation = Installation(
        by="lower-anchors", parts=[{"part": "base", "width": 500, "outline": [(0, 0), (500, 0), (0, 100)]}]
    )
    shape = shape_of_restraint("Nook", mode("rear-facing-harness", REAR), installation)
    assert [b.label for b in shape.boxes] == ["Nook base", "Nook foot", "Nook shell", "Nook base"]
    assert shape.boxes[-1].outline.region().equals(Polygon([(0, 0), (500, 0), (0, 100)]))


def test_a_crossed_outline_is_taken_outwards():
    crossed = restraint(
        "crossed", [{"part": "shell", "width": 400, "outline": [(0, 0), (100, 100), (100, 0), (0, 100)]}]
    )
    assert crossed.boxes[0].outline.region().equals(box(0, 0, 100, 100))


def test_unmeasured_widths_are_named():
    shape = restraint(
        "Nook", [{"part": "base", "along": (0, 1), "up": (0, 1)}, {"part": "shell", "width": 440}]
    )
    assert shape.unmeasured == ("Nook base",)


def test_a_restraint_without_parts_is_unmeasured_as_a_whole():
    wren = Rider(rider="Wren", height=1150)
    assert restraint("Nook", []).unmeasured == ("Nook",)
    assert shape_on_booster("Perch", mode("backless-booster", []), None, wren).unmeasured == ("Perch",)


def test_a_person_is_hips_and_shoulders():
    """ANSUR II: median of women's hips 397, of men's shoulders 509; 95th percentiles 456 and 567, 59 and
    58 from them, which is 83 and 82 at the 99th."""
    shape = shape_of_person(Rider(rider="Ines", adult=True))
    assert [(b.label, b.width, b.spread) for b in shape.boxes] == [
        ("Ines's hips", 397, 83),
        ("Ines's shoulders", 509, 82),
    ]
    assert shape.off_by == 83
    assert near(shape.boxes[0].outline, shape.boxes[1].outline)  # no gap at the elbows
    measured = shape_of_person(Rider(rider="Ines", adult=True, hips=400, shoulders=430))
    assert [(b.width, b.spread) for b in measured.boxes] == [(400, 0), (430, 0)]


def test_a_person_of_unknown_stature_is_unmeasured():
    assert shape_of_person(Rider(rider="Wren")).unmeasured == ("Wren's hips", "Wren's shoulders")


def test_a_booster_lifts_the_shoulders():
    wren = Rider(rider="Wren", shoulder_height=400, shoulders=290)
    parts = [{"part": "pan", "along": (0, 400), "up": (0, 200), "width": 400}]
    lifted = shape_on_booster("Perch", mode("backless-booster", parts, seat_up=110), None, wren)
    assert [b.label for b in lifted.boxes] == ["Perch pan", "Wren's shoulders"]
    assert lifted.boxes[1].outline.bounds[1:4:2] == (400 - 200 + 110, 400 + 60 + 110)
    unknown = shape_on_booster("Perch", mode("backless-booster", parts), None, wren)
    assert unknown.boxes[1].outline.region().covers(lifted.boxes[1].outline.region())


def test_shapes_are_worked_out_once_but_keep_their_own_names():
    kept, rear = Shapes(), mode("rear-facing-harness", REAR)
    wren, oslo = Rider(rider="Wren"), Rider(rider="Oslo")
    one, same, copy = (
        kept.of(r, n, rear, None) for r, n in ((wren, "Nook"), (oslo, "Nook"), (wren, "Nook, ours"))
    )
    assert one is same
    assert copy.boxes[0].label == "Nook, ours base"
    assert kept.of(wren, "Wren", None, None) is not kept.of(oslo, "Oslo", None, None)
    assert kept.reach(one, copy) is kept.reach(one, copy)


@given(st.integers(-30, 60))
def test_turning_keeps_the_area_and_leans_back(degrees):
    outline = side(0, 0, 100, 400)
    turned, level = outline.turned(degrees), outline.region()
    assert turned.region().area == pytest.approx(level.area)
    assert turned.turned(-degrees).region().symmetric_difference(level).area == pytest.approx(0, abs=1e-6)
    if degrees > 0:
        assert turned.bounds[0] < 0  # the top moves towards the seatback
