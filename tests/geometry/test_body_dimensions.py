"""Body dimensions: measured values win, estimates agree with the tables they come from."""

import itertools

import pytest
from hypothesis import given
from hypothesis import strategies as st

from seatplan.geometry import anthropometry as bodies
from seatplan.geometry.anthropometry import ANNEX_18, SNYDER, Estimate
from seatplan.model import Rider

ALL = (
    bodies.sitting_height,
    bodies.shoulder_height,
    bodies.ear_height,
    bodies.shoulder_breadth,
    bodies.hip_breadth,
)
FIELDS = ("sitting_height", "shoulder_height", "ear_height", "shoulders", "hips")


def widened(low, middle, high):
    """A band from the 5th to the 95th percentile (1.645 SD), from the 1st to the 99th (2.3263 SD)."""
    return (round(middle - (middle - low) * 2.3263 / 1.645), middle, round(middle + (high - middle) * 2.3263 / 1.645))


def child(height, **fields):
    return Rider(rider="Wren", height=height, **fields)


@pytest.mark.parametrize(("dimension", "field"), list(zip(ALL, FIELDS, strict=True)), ids=FIELDS)
def test_a_measured_value_wins_and_has_no_spread(dimension, field):
    for rider in (child(1000, **{field: 411}), Rider(rider="Ines", adult=True, **{field: 411})):
        assert dimension(rider) == Estimate(411, 411, 411, True, "measured")
        assert dimension(rider).spread == 0


@pytest.mark.parametrize("dimension", [*ALL, bodies.thigh_length])
def test_without_stature_a_child_has_no_estimate(dimension):
    assert dimension(Rider(rider="Wren", age="3y")) is None


def test_annex_18_table_is_monotone_and_in_order():
    """UN R129 (02 series) Annex 18 Table 1: dimensions never shrink with stature, and E1 < E2 < B in every
    row."""
    for below, above in itertools.pairwise(ANNEX_18):
        assert all(a <= b for a, b in zip(below, above, strict=True))
        assert below[0] < above[0]
    assert all(e1 < e2 < sitting for _, sitting, _, _, e1, e2 in ANNEX_18)


@pytest.mark.parametrize(
    ("stature", "sitting", "low", "high"),
    [
        (750, 492, 284, 313),
        (850, 534, 300, 339),
        (1000, 597, 324, 378),
        (1150, 660, 355, 417),
        (1250, 702, 385, 443),
        (1350, 744, 415, 479),
        (1500, 811, 463, 533),
    ],
)
def test_annex_18_values(stature, sitting, low, high):
    """UN R129 (02 series) Annex 18 Table 1, columns B, E1, E2."""
    rider = child(stature)
    shoulder, head = bodies.shoulder_height(rider), bodies.sitting_height(rider)
    assert (shoulder.low, shoulder.high) == widened(low, (low + high) // 2, high)[::2]
    # a baby's band is wide as it is
    assert head.high == (sitting if stature < 850 else widened(0, head.middle, sitting)[2])


def test_between_rows_it_is_linear():
    """Half way from 1000 (324 to 378) to 1050 (332 to 391), UN R129 Annex 18."""
    shoulder = bodies.shoulder_height(child(1025))
    assert (shoulder.low, shoulder.high) == widened(328, 356, 384)[::2]


@pytest.mark.parametrize(
    ("stature", "low", "mean", "shoulders", "hips", "thigh"),
    [
        (850, 481, 505, 225, 164, 210),
        (1000, 543, 571, 254, 184, 252),
        (1200, 629, 654, 291, 209, 314),
        (1450, 718, 752, 343, 255, 398),
    ],
)
def test_means_of_children(stature, low, mean, shoulders, hips, thigh):
    """Snyder et al. 1977, UM-HSRI-77-17, individual records within 75 mm of the stature."""
    rider = child(stature)
    sitting = bodies.sitting_height(rider)
    assert (sitting.low, sitting.middle) == widened(low, mean, mean)[:2]
    assert bodies.shoulder_breadth(rider).middle == shoulders
    assert bodies.hip_breadth(rider).middle == hips
    assert bodies.thigh_length(rider).middle == thigh


def test_two_surveys_agree_on_the_tallest_sitting_children():
    """Annex 18's 95th percentile is 0 to 6 mm above that of the 1977 records from 850 to 1500 mm."""
    annex = {row[0]: row[1] for row in ANNEX_18}
    assert all(0 <= annex[row[0]] - row[7] <= 6 for row in SNYDER if row[0] <= 1500)


def test_adults_cover_both_sexes():
    """ANSUR II (NATICK/TR-15/007), men and women: 5th, 50th, 95th percentiles in mm."""
    adult = Rider(rider="Ines", adult=True)
    men_women = {
        bodies.sitting_height: ((860, 918, 977), (803, 857, 912)),
        bodies.hip_breadth: ((333, 378, 431), (348, 397, 456)),
        bodies.shoulder_breadth: ((459, 509, 567), (406, 450, 499)),
        bodies.shoulder_height: ((552, 603, 653), (515, 564, 609)),
        bodies.thigh_length: ((459, 502, 548), (441, 483, 535)),
    }
    for dimension, (men, women) in men_women.items():
        found = dimension(adult)
        expected = (min(men[0], women[0]), max(men[1], women[1]), max(men[2], women[2]))
        assert (found.low, found.middle, found.high) == widened(*expected)


def test_a_tall_child_is_not_given_an_adults_thigh():
    """A thigh that is taken too long lets a child go without a booster: Snyder's mean at 1550 mm is 429."""
    assert bodies.thigh_length(child(1550)).middle == 429
    assert bodies.thigh_length(child(1550)).low < bodies.ADULT_THIGH.low


def test_newborns():
    """Crown-rump length at birth of Dutch boys, 5th to 95th percentile 329 to 383 mm (Fredriks et al. 2005,
    Arch Dis Child 90:807), at a stature of about 500 mm: the band must reach from one to the other."""
    sitting = bodies.sitting_height(child(500))
    assert sitting.low <= 329
    assert sitting.high >= 383


@pytest.mark.parametrize(("stature", "shoulder"), [(500, 225), (740, 298), (620, 261.5), (800, 309)])
def test_shoulders_of_babies_are_those_of_the_dummies(stature, shoulder):
    """UN R129 (03 series) Annex 8: Q0 225 mm, Q1 298 mm at stature 740 mm, Q1.5 309 mm at 800 mm."""
    found = bodies.shoulder_height(child(stature))
    assert (found.low + found.high) / 2 == pytest.approx(shoulder, abs=1)
    assert found.high - found.low <= 34 * 2.3263 / 1.645


def test_an_estimated_shoulder_keeps_its_share_of_a_measured_sitting_height():
    """0.70 of 500 mm; Annex 18 alone would let it be up to 378 mm."""
    found = bodies.shoulder_height(child(1000, sitting_height=500))
    assert (found.low, found.high) == (widened(324, 351, 378)[0], 350)
    assert bodies.shoulder_height(child(1000, sitting_height=440)).low == 308
    assert bodies.shoulder_height(child(1000, sitting_height=440, shoulder_height=330)).measured


@given(st.integers(300, 2300), st.booleans())
def test_bands_are_in_order(height, adult):
    rider = Rider(rider="Wren", height=height, adult=adult)
    for dimension in ALL:
        found = dimension(rider)
        assert 0 < found.low <= found.middle <= found.high
        assert found.spread >= 0
        assert not found.measured
        assert found.source
    assert bodies.ear_height(rider).high < bodies.sitting_height(rider).high
    assert bodies.shoulder_height(rider).high < bodies.sitting_height(rider).high


@given(st.integers(300, 1800), st.integers(0, 60))
def test_estimates_do_not_shrink_with_stature(height, more):
    taller = child(min(height + more, 1800))
    for dimension in (
        bodies.sitting_height,
        bodies.shoulder_height,
        bodies.hip_breadth,
        bodies.shoulder_breadth,
    ):
        assert dimension(child(height)).high <= dimension(taller).high + 1
