"""The child restraint fixtures of UN R16 (Rev.10, 08 series) Annex 17 Appendices 2 and 5 as known shapes.

Side-view outlines: x forward of the lower rear corner, z above the base plane, mm, worked out from the
dimensions printed on the drawings (App. 2 Figs 1 to 7); all of these fixtures are 440 wide.
"""

import pytest
from shapely.affinity import translate
from shapely.geometry import Polygon

from seatplan.geometry.convex import Outline
from seatplan.geometry.shapes import Box, Shape, least_distance, shape_of_restraint
from seatplan.model import Mode

OUTLINES = {
    "F3": [(0, 0), (535, 0), (535, 635), (209.8, 735), (9.8, 735), (-35.9, 410)],
    "F2": [(0, 0), (535, 0), (535, 565), (215, 665), (0, 665), (-35.9, 410)],
    "F2X": [(0, 0), (535, 0), (535, 565), (215.2, 665), (-12.8, 665), (-24.4, 655), (-44.6, 510)],
    "R3": [(0, 0), (550, 0), (700, 300), (780, 595), (700, 695), (4.2, 695), (-35.9, 410)],
    "R2": [(0, 0), (550, 0), (680, 300), (700, 595), (650, 665), (0, 665), (-35.9, 410)],
    "R2X": [(0, 0), (550, 0), (657, 246), (684, 359), (700, 595), (650, 665), (0, 665), (-35.9, 410)],
    "R1": [(0, 0), (550, 0), (650, 300), (680, 595), (650, 615), (-7.1, 615), (-35.9, 410)],
}
POLYGONS = {name: Polygon(points) for name, points in OUTLINES.items()}
#: of the outlines; two printed points of R2X are rounded to whole mm
ROUNDING = 0.5
BAR_ABOVE_BASE = 15


@pytest.mark.parametrize(
    ("inner", "outer"), [("R1", "R2"), ("R2", "R3"), ("R1", "R3"), ("F2", "F3"), ("R2X", "R2")]
)
def test_smaller_fixtures_lie_inside_larger_ones(inner, outer):
    assert POLYGONS[outer].buffer(ROUNDING).covers(POLYGONS[inner])


@pytest.mark.parametrize(
    ("inner", "outer"), [("F2X", "F2"), ("F2X", "F3"), ("F3", "F2"), ("R3", "R2"), ("R2", "R1")]
)
def test_others_do_not(inner, outer):
    assert not POLYGONS[outer].buffer(10).covers(POLYGONS[inner])


# fixture, pitch, connector setting: most forward X and highest Z of the centre plane, from the bar axis
# (App. 2 para. 3.1: pitch 15 +/- 10, connectors from -10 to +70; X = (x + e) cos t - (z - 15) sin t, Z = (x
# + e) sin t + (z - 15) cos t)
@pytest.mark.parametrize(
    ("fixture", "pitch", "connectors", "forward", "high"),
    [
        ("F3", 5, 70, 604, 742),
        ("F3", 15, 70, 588, 768),
        ("F3", 15, -10, 511, 747),
        ("F3", 25, 70, 555, 818),
        ("F2", 5, 70, 604, 672),
        ("F2", 15, 70, 588, 702),
        ("F2", 15, -10, 511, 681),
        ("F2", 25, 70, 555, 754),
        ("F2X", 5, 70, 604, 672),
        ("F2X", 15, 70, 588, 702),
        ("F2X", 25, 70, 555, 754),
        ("R3", 5, 70, 796, 745),
        ("R3", 15, 70, 671, 856),
        ("R3", 15, -10, 594, 835),
        ("R3", 25, 70, 577, 942),
        ("R2", 5, 70, 722, 710),
        ("R2", 15, 70, 651, 814),
        ("R2", 15, -10, 573, 793),
        ("R2", 25, 70, 568, 893),
        ("R2X", 5, 70, 721, 710),
        ("R2X", 15, 70, 642, 814),
        ("R2X", 15, -10, 565, 793),
        ("R2X", 25, 70, 568, 893),
        ("R1", 5, 70, 697, 660),
        ("R1", 15, 70, 622, 766),
        ("R1", 15, -10, 544, 745),
        ("R1", 25, 70, 568, 848),
    ],
)
def test_extents_of_a_pitched_fixture(fixture, pitch, connectors, forward, high):
    flat = translate(POLYGONS[fixture], connectors, -BAR_ABOVE_BASE)
    placed = Outline.around(flat.exterior.coords).turned(pitch)
    _, _, most_forward, highest = placed.bounds
    assert most_forward == pytest.approx(forward, abs=2)
    assert highest == pytest.approx(high, abs=2)


def fixture_of(name, width):
    return Shape(name, (Box(name, Outline.around(OUTLINES[name]), width),))


@pytest.mark.parametrize("left", OUTLINES)
@pytest.mark.parametrize("right", OUTLINES)
def test_i_size_places_440_apart_take_any_two_fixtures(left, right):
    """R16 para. 8.3.6: adjacent i-Size places are usable together when their median planes are 440 apart or
    more."""
    assert least_distance(fixture_of(left, 440), fixture_of(right, 440)).need == 2 * 440


# App. 5 Figs 2 and 3: B2 is 440 wide; B3 440 at the base, 520 from about 259 to 565 above a line 15 above
# the base, 400 at the head, both 535 deep at the seat and 365 at the backrest
B3 = [
    {"part": "base", "along": (0, 535), "up": (0, 274), "width": 440},
    {"part": "arms", "along": (0, 365), "up": (274, 580), "width": 520},
    {"part": "head", "along": (0, 365), "up": (580, 775), "width": 400},
]
B2 = [
    {"part": "base", "along": (0, 535), "up": (0, 340), "width": 440},
    {"part": "back", "along": (0, 365), "up": (340, 580), "width": 440},
    {"part": "head", "along": (0, 365), "up": (580, 775), "width": 400},
]


def booster(name, parts):
    mode = Mode(mode="high-back-booster", parts=parts, installations=[{"by": "lap-shoulder-belt"}])
    return shape_of_restraint(name, mode, None)


@pytest.mark.parametrize(
    ("left", "right", "apart"),
    [(B2, B2, 440), (B2, B3, 480), (B3, B2, 480), (B3, B3, 520)],
    ids=["B2-B2", "B2-B3", "B3-B2", "B3-B3"],
)
def test_booster_fixtures_side_by_side(left, right, apart):
    """They overlap when their middles are nearer than half of both widths; at equality they touch, which is
    enough."""
    assert least_distance(booster("left", left), booster("right", right)).need == 2 * apart
