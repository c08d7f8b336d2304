"""Our thigh lengths by stature against published comparisons of seats and thighs.

Statures by age: CDC 2000 growth charts (NCHS, CDC), L, M and S of boys and girls in the middle of each year.
Thighs by stature are 0.815 times the buttock-knee lengths of Snyder et al. 1977; that factor makes them an
estimate with an error of 5 % in length, so every share is held against the shares at 5 % shorter and 5 %
longer thighs.
"""

from __future__ import annotations

from statistics import NormalDist, fmean, pstdev

import pytest

from seatplan.geometry.anthropometry import thigh_length
from seatplan.model import Rider

NORMAL = NormalDist()
#: a 95th percentile lies so many SD above the mean
Z95, Z99 = NORMAL.inv_cdf(0.95), NORMAL.inv_cdf(0.99)
ERROR = 0.05
#: the middle of each fiftieth of a normal distribution
LEVELS = [NORMAL.inv_cdf((k + 0.5) / 50) for k in range(50)]
#: age in years: L, M (mm), S of boys and girls at half a year more
CDC = {
    4: ((1.1337, 1058.8, 0.04196), (0.0757, 1044.6, 0.04382)),
    5: ((1.2554, 1124.3, 0.04318), (-0.1592, 1114.9, 0.04465)),
    6: ((0.9549, 1188.7, 0.04407), (-0.2348, 1184.5, 0.04523)),
    7: ((0.5759, 1251.3, 0.04474), (-0.1544, 1249.0, 0.04569)),
    8: ((0.4048, 1310.0, 0.04562), (0.0027, 1305.6, 0.04634)),
    9: ((0.4610, 1363.3, 0.04690), (0.1698, 1356.3, 0.04767)),
    10: ((0.5186, 1412.6, 0.04830), (0.4692, 1410.4, 0.04981)),
    11: ((0.4346, 1463.7, 0.04949), (1.0625, 1478.4, 0.05021)),
    12: ((0.5320, 1526.6, 0.05027), (1.3582, 1547.6, 0.04620)),
    13: ((1.2328, 1603.5, 0.04993), (1.0770, 1592.1, 0.04211)),
    14: ((2.0168, 1674.6, 0.04751), (0.9025, 1613.3, 0.04041)),
    15: ((2.2253, 1721.6, 0.04436), (0.9134, 1622.9, 0.03991)),
}


def statures(ages):
    """Of boys and girls alike, mm."""
    return [
        round(median * (1 + power * cv * z) ** (1 / power))
        for age in ages
        for power, median, cv in CDC[age]
        for z in LEVELS
    ]


def thigh(stature):
    """Mean and SD of the thigh at a stature, as the planner estimates it."""
    found = thigh_length(Rider(rider="Wren", height=stature))
    return found.middle, (found.high - found.middle) / Z99


def share(heights, seat, factor=1.0):
    """Share of children whose thigh reaches a seat length, mm; ``factor`` stretches every thigh."""
    return fmean(1 - NORMAL.cdf((seat / factor - mean) / sd) for mean, sd in map(thigh, heights))


# Computed from the individual records of Snyder et al. 1977 (US, 1975-77), buttock-knee x 0.815: per cent of
# children at 9, 10, 11, 12, 13 and 15 years whose thigh reaches the length
PASS_SHARES = {
    400: (8, 24, 44, 77, 90, 99),
    430: (0, 6, 13, 32, 54, 83),
    455: (0, 1, 4, 10, 26, 55),
    480: (0, 0, 0, 3, 6, 23),
}


@pytest.mark.parametrize(
    ("seat", "age", "per_cent"),
    [
        (seat, age, per_cent)
        for seat, row in PASS_SHARES.items()
        for age, per_cent in zip((9, 10, 11, 12, 13, 15), row, strict=True)
    ],
)
def test_share_that_reaches_the_edge_of_a_cushion(seat, age, per_cent):
    heights = statures([age])
    low, high = (share(heights, seat, factor) for factor in (1 - ERROR, 1 + ERROR))
    assert 100 * low - 2 <= per_cent <= 100 * high + 2  # a window of records has an error of its own


def test_shares_agree_on_the_whole():
    """3 points apart on the mean; most at 13 years and 430 mm, 67 against 54 %: the charts are of later
    children than the records, and growth is fastest there."""
    apart = [
        abs(100 * share(statures([age]), seat) - per_cent)
        for seat, row in PASS_SHARES.items()
        for age, per_cent in zip((9, 10, 11, 12, 13, 15), row, strict=True)
    ]
    assert fmean(apart) < 4
    assert max(apart) < 14


def test_share_of_tall_children_whose_thigh_is_longer_than_the_mean_seat():
    """Baker, Connell, Rhodes, Mansfield, Stapp paper 3415: 275 rear positions of model years 2009-2022, 80
    children of 4 to 14 years. The mean seat is 95 mm longer than the mean thigh, and 18.8 % of the children
    of at least 1,450 mm have a longer thigh than the mean seat."""
    heights = statures(range(4, 15))
    tall = [height for height in heights if height >= 1450]
    seat = fmean(thigh(height)[0] for height in heights) + 95
    assert share(tall, seat, 1 - ERROR) <= 0.188 <= share(tall, seat, 1 + ERROR)


def test_share_of_seats_shorter_than_most_thighs():
    """The same paper: 16.4 % of the positions are shorter than the children's mean thigh plus 1 SD. Body
    lengths vary with an SD of 35 to 40 mm (Huang, Reed 2006, from memory), and the SD of 80 children is known
    to 16 % (twice its standard error, 1 / sqrt(160)). Ours in the middle: 20 %."""
    heights = statures(range(4, 15))
    spread = (pstdev(thigh(h)[0] for h in heights) ** 2 + fmean(thigh(h)[1] ** 2 for h in heights)) ** 0.5
    low, middle, high = (
        NORMAL.cdf((spread * factor - 95) / sd) for factor, sd in ((1 - 0.16, 35), (1, 37.5), (1 + 0.16, 40))
    )
    assert low <= 0.164 <= high
    assert middle == pytest.approx(0.164, abs=0.05)


@pytest.mark.parametrize(("age", "cushion"), [(11, 400), (15, 455)])
def test_age_at_which_the_median_child_reaches_a_cushion(age, cushion):
    """Bilston, Sagar 2007, SAE 2007-22-0012: of 50 vehicles the shortest cushion is reached by the median
    child at about 11.5 years, the median one at 15; in length about 400 and 455 mm (+-20), which is
    derived."""
    median = fmean(thigh(round(m))[0] for _, m, _ in CDC[age])
    assert median == pytest.approx(cushion, abs=20)


def test_mean_thigh_and_published_excess_give_the_mean_cushion():
    """Stapp paper 3415: the mean seat is 95 mm longer than the mean thigh of 80 children of 4 to 14 years.
    Mean second-row cushion of 56 other vehicles: about 455 mm (+-20; Huang, Reed 2006, from memory)."""
    mean = fmean(thigh(height)[0] for height in statures(range(4, 15)))
    assert mean + 95 == pytest.approx(455, abs=20)
