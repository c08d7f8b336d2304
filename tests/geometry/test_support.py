"""What the cushion carries and what a support leg needs: by hand, by counting cells, and against UN R129."""

from __future__ import annotations

from math import cos, radians, sin

import pytest
from hypothesis import given
from hypothesis import strategies as st

from seatplan.geometry.support import (
    I_SIZE_LEG,
    base_parts,
    footprints,
    front_edge,
    leg_needed,
    middle_of,
    raised_on,
    support_of,
    surface_of,
)
from seatplan.model import Installation, Mode, Part, Row
from seatplan.model.vehicle import Cushion

BASE = {"part": "base", "along": [40, 560], "up": [0, 170], "width": 370}


def mode(*parts, installation=None):
    return Mode.model_validate(
        {
            "mode": "rear-facing-harness",
            "parts": parts,
            "installations": [installation or {"by": "lower-anchors"}],
        }
    )


def support(cushion, middle, aside=0, **base):
    cushion = Cushion.model_validate(cushion)
    rects = footprints([Part.model_validate({**BASE, **base})])
    return support_of(rects, surface_of(cushion), raised_on(cushion), 2 * middle, 2 * aside)


@pytest.mark.parametrize(
    ("length", "percent", "overhang"),
    [
        (560, 100.0, 0),
        (480, 84.6, 80),  # 440 of 520 mm
        (456, 80.0, 104),  # 416 of 520 mm
        (455, 79.8, 105),
        (40, 0.0, 520),
    ],
)
def test_front_to_back(length, percent, overhang):
    found = support({"left": 0, "right": 1300, "length": length}, 400)
    assert (found.percent, found.overhang, found.beside) == (percent, overhang, 0)


def test_over_a_side_edge_and_the_front_at_once():
    # middle at 100: 85 of 370 mm are left of the cushion; 440 of 520 mm are on it lengthwise
    found = support({"left": 0, "right": 1300, "length": 480}, 100)
    assert found.carried == 2 * 285 * 440
    assert found.total == 2 * 370 * 520
    assert (found.percent, found.overhang, found.beside) == (65.1, 80, 85)


@given(st.integers(-300, 900), st.integers(0, 120), st.integers(100, 600), st.integers(-80, 300), st.integers(1, 400),
       st.integers(200, 700))
def test_what_is_raised_elsewhere_changes_nothing(middle, aside, width, back, long, length):
    cushion = {"left": 0, "right": 600, "length": length}
    base = {"width": width, "along": [back, back + long]}
    elsewhere = {"raised": [{"name": "bolster", "across": [5000, 5010]}]}
    assert support(cushion, middle, aside, **base) == support({**cushion, **elsewhere}, middle, aside, **base)


def test_overlapping_raised_areas_count_once():
    raised = [
        {"name": "hump", "across": [300, 400]},
        {"name": "seam", "across": [350, 450], "along": [0, 300]},
    ]
    found = support({"left": 0, "right": 1300, "length": 600, "raised": raised}, 400)
    # 100 x 520 mm of hump and another 50 x 260 mm of seam
    assert found.total - found.carried == 2 * (100 * 520 + 50 * 260)
    assert found.raised == ("hump", "seam")


def test_the_worst_place_within_play_may_lie_between_its_ends():
    # a hump narrower than twice the play on both sides of a narrow base: worst when it is wholly below
    raised = [{"name": "hump", "across": [390, 410]}]
    found = support({"left": 0, "right": 800, "length": 600, "raised": raised}, 430, 60, width=40)
    assert found.total - found.carried == 2 * 20 * 520
    assert (
        support({"left": 0, "right": 800, "length": 600, "raised": raised}, 430, 0, width=40).percent == 100.0
    )


@given(
    left=st.integers(0, 60),
    width=st.integers(2, 60),
    hump=st.tuples(st.integers(0, 60), st.integers(1, 30)),
    back=st.integers(0, 20),
    long=st.integers(1, 30),
    cushion=st.integers(1, 40),
    middle=st.integers(0, 80),
    aside=st.integers(0, 20),
)
def test_least_support_against_counting_squares(left, width, hump, back, long, cushion, middle, aside):
    """Squares of half a millimetre by one, at every half-mm that the base may move to."""
    surface = {
        "left": left,
        "right": left + 40,
        "length": cushion,
        "raised": [{"name": "hump", "across": [hump[0], hump[0] + hump[1]], "along": [5, 12]}],
    }
    found = support(surface, middle, aside, along=[back, back + long], width=width)

    def squares(at):
        return sum(
            2 * left <= x < 2 * left + 80
            and y < cushion
            and not (2 * hump[0] <= x < 2 * (hump[0] + hump[1]) and 5 <= y < 12)
            for x in range(at - width, at + width)
            for y in range(back, back + long)
        )

    assert found.total == 2 * width * long
    assert found.carried == min(squares(at) for at in range(2 * (middle - aside), 2 * (middle + aside) + 1))


def test_which_parts_are_the_base():
    shell = {"part": "shell", "along": [0, 700], "up": [0, 500], "width": 440}
    low = {"part": "foot", "along": [0, 300], "up": [20, 100], "width": 300}
    high = {"part": "top", "along": [0, 300], "up": [21, 100], "width": 300}
    drawn = {"part": "envelope", "outline": [[0, 0], [500, 0], [300, 600]], "width": 440}
    own = Installation.model_validate({"by": "lap-belt", "parts": [{**BASE, "width": 380}]})
    none = Installation.model_validate({"by": "lap-belt"})
    assert [part.width for part in base_parts(mode(BASE, shell), own)] == [380]
    assert [part.part for part in base_parts(mode(BASE, shell), none)] == ["base"]
    assert [part.part for part in base_parts(mode(shell, low, high, drawn), none)] == ["shell", "foot"]
    assert base_parts(mode(high, drawn), None) == []


def test_a_drawn_base_lies_on_its_lowest_edge():
    drawn = Part.model_validate(
        {"part": "base", "width": 400, "outline": [[30, 0], [500, 10], [620, 200], [0, 200]]}
    )
    assert footprints([drawn]) == [(-400, 400, 30, 500)]
    assert front_edge([drawn]) == 500


@pytest.mark.parametrize("missing", ["along", "width"])
def test_a_base_that_was_not_measured_has_no_footprint(missing):
    part = Part.model_validate({key: value for key, value in BASE.items() if key != missing})
    assert footprints([part]) is None
    assert (front_edge([part]) is None) == (missing == "along")
    assert footprints([]) is None


@pytest.mark.parametrize("missing", ["left", "right", "length"])
def test_a_cushion_that_was_not_measured_has_no_surface(missing):
    whole = {"left": 0, "right": 1300, "length": 480}
    assert surface_of(Cushion.model_validate(whole)) == (0, 2600, 0, 480)
    assert surface_of(Cushion.model_validate({k: v for k, v in whole.items() if k != missing})) is None


def test_where_the_middle_hangs():
    row = Row.model_validate(
        {
            "row": 2,
            "lower_anchors": [{"bar": "a", "across": 175}, {"bar": "b", "across": 456}],
            "positions": [
                {"position": "2L", "centre": 300},
                {"position": "2R", "belt": {"kind": "lap", "anchors": [700, 1001]}},
            ],
        }
    )
    left, right = row.positions
    assert middle_of(row, left, ()) == 600
    assert middle_of(row, left, ("a", "b")) == 631
    assert middle_of(row, left, ("a", "x")) is None
    assert middle_of(row, right, ()) == 1701
    assert middle_of(row, row.positions[0].model_copy(update={"centre": None}), ()) is None


# UN R129 (02 series) 6.3.5 and Annex 19: the corners of the space for the foot, 585 to 695 forward of the bar
# and 285 to 540 below it, turned by 15 degrees (forward of and below the bar, mm)
CORNERS_AT_15 = [
    ((585, 285), (639, 124)),
    ((695, 285), (745, 95)),
    ((585, 540), (705, 370)),
    ((695, 540), (811, 342)),
]


@pytest.mark.parametrize(("place", "turned"), CORNERS_AT_15)
def test_leg_box_of_un_r129_at_15_degrees(place, turned):
    along, reach = place
    assert leg_needed(turned[1], 15, along) == pytest.approx(reach, abs=1)
    tilt = radians(15)
    assert along * cos(tilt) + reach * sin(tilt) == pytest.approx(turned[0], abs=1)


def test_the_i_size_leg_is_the_same_box_seen_from_the_base():
    """The bar axis is 15 above the base plane and 70 behind to 10 before its rear corner (UN R16 Annex 17
    App. 2)."""
    assert I_SIZE_LEG.reach == (285 - 15, 540 - 15)
    assert I_SIZE_LEG.along == (585 - 70, 695 + 10)


@given(depth=st.floats(0, 800), angle=st.floats(0, 30), along=st.floats(300, 800))
def test_a_leg_of_the_needed_reach_stands_on_the_floor(depth, angle, along):
    reach, tilt = leg_needed(depth, angle, along), radians(angle)
    assert reach * cos(tilt) - along * sin(tilt) == pytest.approx(depth, abs=1e-6)
    assert reach >= depth - 1e-9
