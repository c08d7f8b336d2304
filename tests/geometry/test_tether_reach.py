"""The way of a tether strap, by hand and against a shortest path; the tether zone of the US and UN texts."""

from __future__ import annotations

from math import cos, hypot, radians, sin, tan

import pytest
from hypothesis import given
from hypothesis import strategies as st

from seatplan.geometry.shoulder import shoulder_along
from seatplan.geometry.tether_reach import exits_of, outside_zone, strap_of
from seatplan.model import Installation, Mode, Rider
from seatplan.model.vehicle import HeadRestraint

OFF = HeadRestraint(removable=True, juts=40)


@pytest.mark.parametrize(
    ("leaves", "anchor", "aside", "length"),
    [
        ((300, 600), (-100, 150), 0, 850),  # 400 over the top, 450 down
        ((300, 600), (-100, 600), 0, 400),  # to a hook on its rear edge
        ((300, 600), (-100, 150), 600, 1150),  # 600 aside of 450 down: 750
        ((300, 600), (-500, 600), 300, 900),  # a level shelf: 400 straight back, hypot(400, 300) = 500
        ((300, 300), (-100, 150), 0, 975),  # hypot(300, 300) = 424.3, 100, 450: 974.3
        ((300, 900), (-500, 1200), 0, 855),  # straight to the roof: hypot(800, 300) = 854.4
        ((-50, 300), (-100, 150), 0, 850),  # never from inside the seatback: 300 up, 100, 450
        ((300, 600), (100, -300), 0, 1361),  # under the seat: 400, 600, hypot(200, 300) = 360.6
        ((300, 900), (-500, 900), 300, 900),  # over the top without touching it: no shorter than touching
    ],
)
def test_over_an_upright_seatback_of_600_mm(leaves, anchor, aside, length):
    assert strap_of(leaves, 0, 600, anchor, aside, OFF).length == length


def test_over_a_leaning_seatback():
    # 25 degrees, 600 mm: top at (-253.6, 543.8), its rear edge at (-353.6, 543.8); from (100, 543.8) level
    # over both
    top = (-600 * sin(radians(25)), 600 * cos(radians(25)))
    found = strap_of((100, top[1]), 25, 600, (top[0] - 100, top[1] - 200), 0, OFF)
    assert found.length == 654  # 453.6 + 200
    assert not found.over_head_restraint


def test_a_seatback_is_no_thicker_than_its_anchor_shows():
    # the anchor is 20 mm behind the front of the upright seatback
    assert strap_of((300, 600), 0, 600, (-20, 550), 0, OFF).length == 370


@pytest.mark.parametrize(
    ("head", "stays", "length"),
    [
        (HeadRestraint(fitted=False), False, 700),  # 150 + 100 + 450
        (HeadRestraint(removable=True), False, 700),
        (HeadRestraint(removable=False, juts=0), True, 924),  # 250 + hypot(100, 200) + 450
        (
            HeadRestraint(removable=False, juts=60),
            True,
            925,
        ),  # hypot(90, 200) + hypot(160, 200) + 450 = 925.4
        (HeadRestraint(juts=0), True, 924),
        (None, True, 939),  # 100 taken: hypot(50, 200) + hypot(200, 200) + 450
    ],
)
def test_a_head_restraint_that_may_stay_makes_the_way_longer(head, stays, length):
    found = strap_of((150, 600), 0, 600, (-100, 150), 0, head)
    assert found.over_head_restraint is stays
    assert found.length == pytest.approx(length, abs=1)


@given(
    leaves=st.tuples(st.integers(0, 400), st.integers(100, 900)),
    angle=st.integers(10, 35),
    height=st.integers(450, 700),
    anchor=st.tuples(st.integers(-900, -200), st.integers(-400, 700)),
    aside=st.integers(0, 400),
)
def test_never_shorter_than_straight_never_shorter_with_a_head_restraint(
    leaves, angle, height, anchor, aside
):
    off = strap_of(leaves, angle, height, anchor, aside, OFF)
    on = strap_of(leaves, angle, height, anchor, aside, HeadRestraint(removable=False, juts=30))
    start = (
        max(leaves[0], -leaves[1] * tan(radians(angle)))
        if leaves[1] < height * cos(radians(angle))
        else leaves[0]
    )
    assert hypot(start - anchor[0], leaves[1] - anchor[1], aside) <= off.length <= on.length
    assert 0 <= off.angle <= 90


def test_exits_are_the_measured_one_or_every_corner():
    parts = [
        {"part": "shell", "along": [20, 300], "up": [100, 600]},
        {"part": "wing", "outline": [[0, 0], [1, 2], [3, 0]]},
    ]
    one = {"mode": "forward-facing-harness", "parts": parts, "installations": [{"by": "lap-belt"}]}
    box = [(20, 100), (20, 600), (300, 100), (300, 600)]
    assert exits_of(Mode.model_validate(one), None) == [*box, (0, 0), (1, 2), (3, 0)]
    assert exits_of(Mode.model_validate({**one, "tether_from": [90, 550]}), None) == [(90, 550)]
    bare = Installation.model_validate({"by": "lap-belt", "parts": [{"part": "base", "along": [0, 300]}]})
    assert exits_of(Mode.model_validate(one), bare) is None
    assert exits_of(Mode.model_validate({**one, "parts": []}), None) is None


# The zone of 49 CFR 571.225 S6.2.1, Figs 3, 5 and 6, which UN R145 shares (from memory), by its own points: R
# is 563 from H along the torso line; the zone ends 2000 behind R, is widest 1000 behind it, opens at 20
# degrees to each side, and rises at 30 degrees. H is taken 130 forward of and 95 above the bight (from
# memory).
R_UPRIGHT = (130, 95 + 563)


@pytest.mark.parametrize(
    ("behind", "above", "aside", "mm", "where"),
    [
        (500, -200, 0, 0, ""),
        (1000, 0, 363, 0, ""),  # widest: 1000 x tan 20 = 363.97
        (1000, 0, 365, 2, "to the side"),  # 1.03, rounded up
        (1500, 0, 181, 0, ""),  # closing: 500 x tan 20 = 181.99
        (1500, 0, 183, 2, "to the side"),
        (2000, 0, 0, 0, ""),
        (2010, 0, 0, 10, "too far back"),
        (1000, 577, 0, 0, ""),  # 1000 x tan 30 = 577.35
        (1000, 580, 0, 3, "too high"),
        (-10, -900, 0, 10, "before the torso line"),
        (0, -900, 327, 0, ""),  # straight below R the front view: 900 x tan 20 = 327.57
        (0, -900, 330, 3, "to the side"),
    ],
)
def test_zone_of_the_us_and_un_texts(behind, above, aside, mm, where):
    found = outside_zone(0, (R_UPRIGHT[0] - behind, R_UPRIGHT[1] + above), aside)
    assert (found.mm, found.where) == (mm, where)


def test_the_torso_line_leans_with_the_seatback():
    """At 25 degrees R is 563 along the line: 237.9 behind and 510.3 above H."""
    below = (130 + 95 * tan(radians(25)), 0)  # the line at the height of the bight, under the seat
    assert outside_zone(25, (below[0] - 1, 0), 0).mm == 0
    assert outside_zone(25, (below[0] + 4, 0), 0).mm == 4
    point_r = (130 - 237.9, 95 + 510.3)
    assert outside_zone(25, (point_r[0] - 2, point_r[1]), 0).mm == 0
    assert outside_zone(25, (point_r[0] + 7, point_r[1] - 10), 0).where == "before the torso line"


@given(aside=st.floats(0, 900), more=st.floats(0, 300), along=st.floats(-2500, 300), up=st.floats(-500, 1500))
def test_further_to_the_side_is_never_better(aside, more, along, up):
    assert outside_zone(22, (along, up), aside).mm <= outside_zone(22, (along, up), aside + more).mm


def test_shoulder_of_a_child_on_a_booster():
    rider = Rider(rider="Wren", shoulder_height=400)
    assert shoulder_along(rider, 0, 100) == 60
    assert shoulder_along(rider, 30, 100) == -206  # -57.7 - 200 + 52.0
    assert shoulder_along(rider, 30, 0) == -148
    assert shoulder_along(Rider(rider="Wren"), 30, 100) is None
