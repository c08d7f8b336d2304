"""Fixtures of UN R16 (Rev.10, 08 series) Annex 17 App. 2 in the car: posed on cushions of several angles, and
against the seat ahead.

Outlines as in the tests of the envelopes: x forward of the lower rear corner line, z above the base plane, mm.
The bar axis is 15 above the base and ``e`` behind that line (para. 3.1: -10 to +70; pitch 15 +/- 10).
"""

import pytest

from seatplan.geometry.ahead import Profile, room_needed
from seatplan.geometry.chain import Solution, Squeeze
from seatplan.geometry.convex import Outline
from seatplan.geometry.lengthwise import Mover, behind, solve_lengthwise, stands_mm
from seatplan.geometry.recline import BENCH_ANGLE_DEG, posed
from seatplan.geometry.shapes import Box, Shape, side_box
from seatplan.model import Mode

R1 = [(0, 0), (550, 0), (650, 300), (680, 595), (650, 615), (-7.1, 615), (-35.9, 410)]
R2 = [(0, 0), (550, 0), (680, 300), (700, 595), (650, 665), (0, 665), (-35.9, 410)]
R3 = [(0, 0), (550, 0), (700, 300), (780, 595), (700, 695), (4.2, 695), (-35.9, 410)]
BAR_ABOVE_BASE = 15
MODE = Mode(
    mode="rear-facing-harness",
    recline={"reference": 40, "allowed": [30, 45], "settings": [40]},
    installations=[{"by": "lower-anchors", "connectors": "rigid"}],
)


def on_the_bench(outline, e=70):
    """As measured on a level bench with a cushion of 15 degrees, from the bar axis."""
    flat = Outline.around((x + e, z - BAR_ABOVE_BASE) for x, z in outline)
    return Shape("fixture", (Box("fixture envelope", flat.turned(BENCH_ANGLE_DEG), 440),))


def in_the_car(outline, cushion, e=70):
    return posed(on_the_bench(outline, e), MODE, 40, 0, cushion)


def corners(shape):
    return list(shape.boxes[0].outline.corners)


# worked out from X = (x + e) cos t - (z - 15) sin t, Z = (x + e) sin t + (z - 15) cos t: the most forward
# corner (X, Z) and the highest one (X, Z)
POSES = [
    pytest.param(R3, 5, 70, (796, 652), (708, 745), id="R3 pitched 5"),
    pytest.param(R3, 15, 70, (671, 780), (568, 856), id="R3 pitched 15"),
    pytest.param(R3, 15, -10, (594, 760), (490, 835), id="R3 pitched 15, connectors in"),
    pytest.param(R3, 25, 70, (577, 584), (410, 942), id="R3 pitched 25"),
    pytest.param(R2, 5, 70, (722, 349), (661, 710), id="R2 pitched 5"),
    pytest.param(R2, 15, 70, (651, 469), (527, 814), id="R2 pitched 15"),
    pytest.param(R2, 15, -10, (573, 449), (450, 793), id="R2 pitched 15, connectors in"),
    pytest.param(R2, 25, 70, (568, 248), (378, 893), id="R2 pitched 25"),
    pytest.param(R1, 5, 70, (697, 643), (665, 660), id="R1 pitched 5"),
    pytest.param(R1, 15, 70, (622, 462), (540, 766), id="R1 pitched 15"),
    pytest.param(R1, 15, -10, (544, 441), (463, 745), id="R1 pitched 15, connectors in"),
    pytest.param(R1, 25, 70, (568, 248), (399, 848), id="R1 pitched 25"),
]


@pytest.mark.parametrize(("outline", "pitch", "e", "forward", "high"), POSES)
def test_a_fixture_on_a_cushion_of_that_angle(outline, pitch, e, forward, high):
    placed = corners(in_the_car(outline, pitch, e))
    assert max(placed) == pytest.approx(forward, abs=2)
    assert max(placed, key=lambda c: (c[1], c[0])) == pytest.approx(high, abs=2)


@pytest.mark.parametrize(("outline", "pitch", "e", "forward", "high"), POSES)
def test_what_it_needs_of_an_upright_seat_ahead(outline, pitch, e, forward, high):
    """A seat ahead whose back is 600 away at every height."""
    need = room_needed(in_the_car(outline, pitch, e), Profile(((0, 600), (950, 600))), 0)
    assert need.missing is None
    assert need.mm == pytest.approx(forward[0] - 600, abs=2)
    assert need.height == pytest.approx(forward[1], abs=2)


@pytest.mark.parametrize("outline", [R1, R2, R3], ids=["R1", "R2", "R3"])
def test_connectors_80_further_in_move_every_corner_along_the_pitch(outline):
    """80 cos 15 = 77.3 and 80 sin 15 = 20.7."""
    for out, pushed in zip(corners(in_the_car(outline, 15)), corners(in_the_car(outline, 15, -10)), strict=True):
        assert pushed[0] - out[0] == pytest.approx(-77.3, abs=0.05)
        assert pushed[1] - out[1] == pytest.approx(-20.7, abs=0.05)


def test_packing_under_a_fixture_is_a_flatter_cushion():
    packed, flatter = posed(on_the_bench(R2), MODE, 40, 10, 25), in_the_car(R2, 15)
    for a, b in zip(corners(packed), corners(flatter), strict=True):
        assert a == pytest.approx(b)


def test_the_volume_of_a_support_legs_foot():
    """UN R129 (03 series) para. 6.3.5.2 and Annex 19: 585 to 695 forward of the bar axis and 285 to 540 below
    it, in the fixture's frame; in the car at pitch 15 its corners are where this turn puts them."""
    foot = side_box((585, 695), (-540, -285)).turned(15)
    by_hand = [(639, -124), (745, -95), (705, -370), (811, -342)]
    found = sorted(foot.corners)
    for a, b in zip(found, sorted(by_hand), strict=True):
        assert a == pytest.approx(b, abs=1)


#: R16 Annex 17 App. 2 para. 2.2: for the test the seat ahead may stand no further forward than mid-track, its
#: back no more upright than 15 degrees
TRACK_MM, MIDDLE_MM = 240, 120
#: a back at 15 degrees, 760 away at the height of the bars: 900 higher it is 900 tan 15 = 241 nearer. Chosen
#: so that R3 fills the room at mid-track: its corner 671 at 780 needs 671 + 780 tan 15 = 880 = 760 + 120
LEANING = Profile(((0, 760), (900, 519)))


def along_the_car(outline, forward_at_most):
    need = room_needed(in_the_car(outline, 15), LEANING, 0)
    assert need.missing is None
    front = Mover("1L", TRACK_MM, forward_at_most, "driver forward at most")
    return need.mm, solve_lengthwise([behind("Wren", "2L", "1L", need)], [front])


def test_a_place_declared_for_r3_takes_r3_and_r2_with_the_seat_ahead_at_mid_track():
    needs = {}
    for name, outline in (("R1", R1), ("R2", R2), ("R3", R3)):
        needs[name], answer = along_the_car(outline, MIDDLE_MM)
        assert isinstance(answer, Solution)
        assert stands_mm(answer) == {"1L": needs[name]}
    assert MIDDLE_MM - 1 <= needs["R3"] <= MIDDLE_MM
    assert needs["R1"] < needs["R2"] < needs["R3"]


def test_the_same_place_takes_neither_with_the_seat_ahead_fully_back():
    """By hand: R2's corner (700, 595) stands at 594, 759 above the bars, and 759 tan 15 = 203 nearer the
    seat: 594 + 203 - 760 = 37 short."""
    need, answer = along_the_car(R2, 0)
    assert isinstance(answer, Squeeze)
    assert answer.short == need == pytest.approx(37, abs=2)
    assert isinstance(along_the_car(R3, 0)[1], Squeeze)
