"""Recline in the car: hand arithmetic, ranges by age and mass, packing, and the turned shape."""

from math import cos, radians, sin

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely.geometry import Point

from seatplan.geometry.recline import (
    BENCH_ANGLE_DEG,
    Setting,
    allowed_range,
    angle_in_car,
    nearest_miss,
    posed,
    settings_in_car,
    unknown_of_child,
)
from seatplan.geometry.shapes import Box, Shape, shape_of_restraint, side_box
from seatplan.model import Mode

REAR, FORWARD = "rear-facing-harness", "forward-facing-harness"
PARTS = [
    {"part": "base", "along": (40, 560), "up": (0, 170), "width": 370},
    {"part": "shell", "along": (60, 700), "up": (170, 560), "width": 440},
]


def mode(name=REAR, **recline):
    return Mode(
        mode=name,
        parts=PARTS,
        installations=[{"by": "lap-shoulder-belt"}],
        recline={"reference": 45, "allowed": [30, 45], "settings": [32, 38, 45], **recline},
    )


# by hand: setting -/+ (cushion - 15) +/- packing
@pytest.mark.parametrize(
    ("cushion", "rear", "packed", "forward"), [(12, 41, 45, 17), (15, 38, 42, 20), (19, 34, 38, 24)]
)
def test_angle_on_three_cushions(cushion, rear, packed, forward):
    assert angle_in_car(38, cushion, True) == rear
    assert angle_in_car(38, cushion, True, 4) == packed
    assert angle_in_car(20, cushion, False) == forward
    assert angle_in_car(20, cushion, False, 4) == forward - 4


def test_settings_that_pass_need_no_packing_first():
    towel = mode(packing="rolled-towel", packing_limit=10)
    assert settings_in_car(mode(), 19, 12, 9) == [Setting(38, 0, 34), Setting(45, 0, 41)]
    assert settings_in_car(towel, 19, 12, 9) == [
        Setting(38, 0, 34),
        Setting(45, 0, 41),
        Setting(32, 2, 30),
    ]
    assert settings_in_car(mode(), 12, 12, 9) == [Setting(32, 0, 35), Setting(38, 0, 41)]  # 45 lies too flat


def test_packing_is_the_least_whole_degrees():
    towel = mode(packing="pool-noodle", packing_limit=10, settings=[45], allowed=[44.5, 45.5])
    assert settings_in_car(towel, 19.2, None, None) == [Setting(45, 4, 44.8)]


def test_packing_that_would_overshoot_a_narrow_range_is_no_way():
    towel = mode(packing="pool-noodle", packing_limit=10, settings=[45], allowed=[44.5, 44.6])
    assert settings_in_car(towel, 19.2, None, None) == []


@pytest.mark.parametrize(
    "recline",
    [
        {"packing": "none", "packing_limit": 10},
        {"packing": "rolled-towel", "packing_limit": 3},
        {"packing": "rolled-towel"},
    ],
    ids=["not allowed", "too little", "limit not given"],
)
def test_packing_only_as_far_as_the_instructions_go(recline):
    only = mode(settings=[32], **recline)
    assert settings_in_car(only, 21, 12, 9) == []
    miss = nearest_miss(only, 21, 12, 9)
    used = 3 if recline.get("packing_limit") == 3 else 0
    assert (miss.setting, miss.short, miss.too) == (Setting(32, used, 26 + used), 4 - used, "upright")


def test_a_forward_facing_mode_is_never_packed():
    leaning = mode(FORWARD, reference=20, allowed=[15, 25], settings=[14], packing="rolled-towel",
                   packing_limit=10)
    assert settings_in_car(leaning, 12, 40, 15) == []
    assert nearest_miss(leaning, 12, 40, 15).setting == Setting(14, 0, 11)


def test_the_nearest_miss_may_be_too_flat():
    miss = nearest_miss(mode(settings=[45, 44]), 9, 12, 9)
    assert (miss.setting.setting, miss.short, miss.too) == (44, 5, "flat")


def test_there_is_no_miss_where_a_setting_passes_or_no_range_is_known():
    assert nearest_miss(mode(), 15, 12, 9) is None
    unknown = mode(allowed=None)
    assert allowed_range(unknown, 12, 9) is None
    assert settings_in_car(unknown, 15, 12, 9) == []
    assert nearest_miss(unknown, 15, 12, 9) is None
    bare = Mode(mode=REAR, installations=[{"by": "lap-belt"}])
    assert allowed_range(bare, 12, 9) is None
    assert settings_in_car(bare, 15, 12, 9) == []
    assert unknown_of_child(bare, None, None) == ()


def test_without_settings_the_reference_is_the_only_one():
    assert settings_in_car(mode(settings=[]), 17, 12, 9) == [Setting(45, 0, 43)]


BY_CHILD = {
    "ranges": [
        {"age": ["0 months", "3 months"], "allowed": [40, 50]},
        {"mass": ["10 kg", "18 kg"], "age": ["9 months", "4y"], "allowed": [20, 38]},
    ]
}


@pytest.mark.parametrize(
    ("age", "mass", "low", "high", "unknown"),
    [
        (2, 5, 40, 45, ()),  # a newborn lies flatter, but no flatter than anybody may
        (6, 8, 30, 45, ()),
        (12, 12, 30, 38, ()),
        (12, None, 30, 38, ("mass",)),
        (12, 9, 30, 45, ()),
        (None, 5, 40, 45, ("age",)),
        (None, 12, 40, 38, ("age",)),  # both may apply and they exclude each other
        (6, None, 30, 45, ()),  # too young for the range that asks for the mass
    ],
)
def test_ranges_of_some_children_narrow_the_general_one(age, mass, low, high, unknown):
    assert allowed_range(mode(**BY_CHILD), age, mass) == (low, high)
    assert unknown_of_child(mode(**BY_CHILD), age, mass) == unknown


def test_ranges_that_exclude_each_other_leave_nothing():
    assert settings_in_car(mode(**BY_CHILD), 15, None, 12) == []
    assert nearest_miss(mode(**BY_CHILD), 15, None, 12).short > 0


def test_a_newborn_fits_only_flat():
    assert [s.setting for s in settings_in_car(mode(**BY_CHILD), 15, 1, 4)] == [45]


@given(
    st.integers(20, 60),
    st.floats(5, 25),
    st.integers(0, 12),
    st.sampled_from(["none", "rolled-towel"]),
    st.tuples(st.integers(20, 50), st.integers(0, 20)),
)
def test_what_passes_is_in_range_and_what_does_not_misses_it(setting, cushion, limit, packing, allowed):
    low, high = allowed[0], allowed[0] + allowed[1]
    tried = mode(settings=[setting], allowed=[low, high], packing=packing, packing_limit=limit)
    passing, miss = settings_in_car(tried, cushion, None, None), nearest_miss(tried, cushion, None, None)
    assert (miss is None) == bool(passing)
    ways = range(limit + 1) if packing != "none" else [0]
    fit = [p for p in ways if low <= angle_in_car(setting, cushion, True, p) <= high]
    assert [s.packing for s in passing] == fit[:1]
    if miss is not None:
        by = miss.setting.angle + miss.short * (1 if miss.too == "upright" else -1)
        assert by == pytest.approx(low if miss.too == "upright" else high, abs=0.002)


def shape_of(name=REAR):
    return shape_of_restraint("Nook", mode(name), None)


def middle_of_top(part):
    """Along of the top edge's middle of a box after turning."""
    corners = sorted(part.outline.corners, key=lambda c: c[1])[-2:]
    return sum(c[0] for c in corners) / 2


def test_on_the_bench_at_the_reference_nothing_turns():
    before, after = shape_of(), posed(shape_of(), mode(), 45, 0, BENCH_ANGLE_DEG)
    assert [b.outline for b in after.boxes] == [b.outline for b in before.boxes]


def test_a_steeper_cushion_turns_all_of_it_towards_the_seatback():
    base, shell = posed(shape_of(), mode(), 45, 0, 21).boxes
    # by hand: the corner (700, 560) turned by 6 degrees is (700 cos 6 - 560 sin 6, 700 sin 6 + 560 cos 6)
    assert shell.outline.region().distance(Point(637.63, 630.10)) < 0.01
    assert base.outline.region().distance(Point(560 * 0.994522, 560 * 0.104528)) < 0.01
    assert (base.width, shell.width) == (370, 440)


def test_packing_undoes_a_steeper_cushion():
    before, after = shape_of(), posed(shape_of(), mode(), 45, 6, 21)
    for a, b in zip(before.boxes, after.boxes, strict=True):
        assert a.outline.region().symmetric_difference(b.outline.region()).area < 1e-6


@pytest.mark.parametrize(("name", "forward"), [(REAR, True), (FORWARD, False)])
def test_a_setting_turns_the_shell_and_not_the_base(name, forward):
    base, shell = posed(shape_of(name), mode(name), 50, 0, BENCH_ANGLE_DEG).boxes
    level_base, level_shell = shape_of(name).boxes
    assert base.outline == level_base.outline
    assert (middle_of_top(shell) > middle_of_top(level_shell)) is forward


@given(st.integers(5, 25), st.integers(20, 60), st.integers(0, 10), st.sampled_from([REAR, FORWARD]))
def test_the_shell_turns_by_the_change_of_its_angle_in_the_car(cushion, setting, packing, name):
    """The angle and the shape must tell one story: a rear-facing shell that lies so much flatter has turned
    so much away from the seatback."""
    upright = Shape("Nook", (Box("Nook shell", side_box((-1, 1), (0, 1000)), 440),))
    shell = posed(upright, mode(name), setting, packing, cushion).boxes[0]
    flatter = angle_in_car(setting, cushion, name == REAR, packing) - 45
    away = flatter if name == REAR else -flatter
    turned_x, turned_y = shell.outline.region().centroid.coords[0]
    level = Point(500 * sin(radians(away)), 500 * cos(radians(away)))
    assert level.distance(Point(turned_x, turned_y)) < 0.01


def test_parts_without_an_outline_stay_and_so_does_the_child_on_a_booster():
    shape = Shape(
        "Perch", (Box("Perch pan", None, 400), Box("Wren's shoulders", side_box((0, 1), (0, 1)), 300, person=True))
    )
    assert posed(shape, mode(), 32, 0, 20).boxes == shape.boxes


def test_a_mode_without_recline_turns_with_the_cushion():
    bare = Mode(mode=REAR, parts=PARTS, installations=[{"by": "lap-belt"}])
    turned = posed(shape_of(), bare, 0, 0, 21)
    expected = posed(shape_of(), mode(), 45, 0, 21)
    assert [b.outline for b in turned.boxes] == [b.outline for b in expected.boxes]
