"""Body dimensions: measured where a rider's file has them, otherwise a band estimated from stature.

Sources:
- UN R129 (02 series) Annex 18 Table 1: shoulder height 5th to 95th percentile, and 95th percentile sitting
  height, shoulder breadth and hip breadth, by stature.
- Snyder et al. 1977 (UM-HSRI-77-17), means and 5th percentiles of US children 2-19 years, by stature;
  breadths are age-sex ratios times stature.
- ANSUR II (NATICK/TR-15/007): adults, 5th, 50th and 95th percentiles of both sexes pooled: the lower 5th,
  the higher median, the higher 95th. Soldiers are leaner than the public.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Callable

from seatplan.frozen import frozen
from seatplan.model import Reckoned, Rider

_R129 = "UN R129 Annex 18, by stature"
_DUMMIES = "UN R129 Annex 8, small dummies, by stature"
_SNYDER = "Snyder et al. 1977, by stature"
_ANSUR = "ANSUR II, adults of both sexes"


@frozen
class Estimate:
    """A dimension in mm. Measured: all three alike. Otherwise a band from the 1st to the 99th percentile and its
    middle."""

    low: int
    middle: int
    high: int
    measured: bool
    source: str

    @property
    def spread(self) -> int:
        """How much more than the middle it may be."""
        return self.high - self.middle


#: the ends of an estimate: the 1st and 99th percentile of a normal distribution, in SD from the middle
Z_END = 2.3263
#: a 95th percentile lies so many SD above the mean
_Z95 = 1.645


#: SD of a breadth as a share of it: shoulders of men 509, 95th percentile 567 (ANSUR II)
_BREADTH_SD = 0.07


def at_the_ends(table: Estimate) -> Estimate:
    """A band from the 5th to the 95th percentile, as the tables have it, widened to the 1st and 99th."""
    k = Z_END / _Z95
    return Estimate(round(table.middle - k * (table.middle - table.low)), table.middle,
                    round(table.middle + k * (table.high - table.middle)), table.measured, table.source)


def from_5_to_95(ends: Estimate) -> Estimate:
    """The other way round."""
    k = _Z95 / Z_END
    return Estimate(round(ends.middle - k * (ends.middle - ends.low)), ends.middle,
                    round(ends.middle + k * (ends.high - ends.middle)), ends.measured, ends.source)


# UN R129 Annex 18, mm: stature, B sitting height 95th, C shoulder breadth 95th, D hip breadth 95th,
# E1 and E2 shoulder height 5th and 95th
ANNEX_18 = (
    (450, 390, 121, 142, 274, 290), (500, 405, 141, 148, 276, 292), (550, 420, 161, 154, 278, 294),
    (600, 435, 181, 160, 280, 296), (650, 450, 201, 172, 282, 298), (700, 471, 221, 184, 283, 300),
    (750, 492, 241, 196, 284, 313), (800, 513, 261, 208, 292, 326), (850, 534, 269, 220, 300, 339),
    (900, 555, 277, 225, 308, 352), (950, 576, 285, 230, 316, 365), (1000, 597, 293, 235, 324, 378),
    (1050, 618, 301, 249, 332, 391), (1100, 639, 309, 263, 340, 404), (1150, 660, 321, 277, 355, 417),
    (1200, 681, 333, 291, 370, 430), (1250, 702, 333, 291, 385, 443), (1300, 723, 333, 291, 400, 461),
    (1350, 744, 333, 291, 415, 479), (1400, 765, 342, 296, 430, 497), (1450, 786, 353, 308, 445, 515),
    (1500, 811, 364, 320, 463, 533),
)
# UN R129 (03 series) Annex 8, mm: stature, 5th and 95th percentile of shoulder height. Annex 18's own below its row of
# 750 mm (274 mm at 450) are sizes that a shell must reach, not bodies: a baby's are those of the small dummies, 225 mm
# at birth and 298 mm at stature 740 mm. The band is as wide as Annex 18's at 750 mm; the stature at birth, 500 mm, is
# that of Fredriks et al. 2005, and below it shoulders are taken in proportion
SMALL_SHOULDERS = ((300, 120, 150), (500, 210, 240), (740, 283, 313), (750, 284, 313))
#: a shoulder stands at most at so many hundredths of the sitting height: 63 on the dummies of UN R129, up to 67 on
#: adults (ANSUR II), and what a tape slips by; common practice, no source
SHOULDER_OF_SITTING = 70
# UN R129 Annex 18, mm: stature, F1 and F2: depth of the abdomen 5th and 95th
ABDOMEN = (
    (750, 125, 151), (800, 127, 157), (850, 129, 162), (900, 131, 168), (950, 133, 178), (1000, 135, 182),
    (1050, 136, 188), (1100, 139, 196), (1150, 139, 199), (1200, 143, 202), (1250, 147, 207),
)
# Snyder 1977, mm: stature, sitting height 5th, sitting height mean, shoulder breadth mean, hip breadth mean,
# buttock-popliteal length mean and SD (0.815 x buttock-knee), sitting height 95th
SNYDER = (
    (850, 481, 505, 225, 164, 210, 9, 528), (900, 503, 529, 237, 172, 223, 9, 550),
    (950, 525, 550, 245, 178, 237, 10, 571), (1000, 543, 571, 254, 184, 252, 10, 592),
    (1050, 564, 591, 263, 190, 266, 11, 613), (1100, 587, 612, 272, 196, 282, 11, 635),
    (1150, 608, 633, 281, 201, 298, 11, 657), (1200, 629, 654, 291, 209, 314, 12, 678),
    (1250, 647, 673, 302, 217, 330, 12, 699), (1300, 666, 692, 313, 224, 347, 12, 720),
    (1350, 682, 711, 324, 231, 364, 13, 739), (1400, 702, 731, 334, 242, 381, 13, 759),
    (1450, 718, 752, 343, 255, 398, 15, 783), (1500, 739, 777, 354, 268, 413, 15, 811),
    (1550, 764, 804, 370, 284, 429, 16, 842), (1600, 788, 832, 386, 299, 443, 16, 869),
    (1650, 811, 857, 401, 312, 457, 17, 896), (1700, 837, 882, 414, 322, 469, 17, 918),
    (1750, 866, 906, 431, 334, 480, 16, 943), (1800, 892, 929, 446, 344, 492, 16, 963),
)
# Snyder 1977, mm: stature, mean and SD of the length read as seated buttock to knee (the record's upper leg
# length; 4 to 6 % below ANSUR II at 17 to 18 years, so that tall children may reach further)
BUTTOCK_KNEE = (
    (850, 257, 10), (900, 274, 10), (950, 290, 10), (1000, 309, 11), (1050, 327, 12), (1100, 346, 12),
    (1150, 365, 12), (1200, 385, 13), (1250, 405, 13), (1300, 426, 13), (1350, 447, 14), (1400, 468, 15),
    (1450, 488, 15), (1500, 507, 16), (1550, 526, 17), (1600, 544, 17), (1650, 561, 18), (1700, 575, 17),
    (1750, 590, 17), (1800, 604, 16),
)
ADULT_SITTING_HEIGHT = at_the_ends(Estimate(803, 918, 977, False, _ANSUR))
ADULT_SHOULDER_HEIGHT = at_the_ends(Estimate(515, 603, 653, False, _ANSUR))
ADULT_HIPS = at_the_ends(Estimate(333, 397, 456, False, _ANSUR))
ADULT_SHOULDERS = at_the_ends(Estimate(406, 509, 567, False, _ANSUR))
ADULT_THIGH = at_the_ends(Estimate(441, 502, 548, False, _ANSUR))
ADULT_BUTTOCK_KNEE = at_the_ends(Estimate(541, 617, 669, False, _ANSUR))
#: above the floor: popliteal height of the 5th percentile woman, knee height of the 95th percentile man
ADULT_KNEE_UP = (350, 602)

#: statures at which an estimate goes over from one table to the next
SEAMS_MM = (SMALL_SHOULDERS[-1][0], SNYDER[0][0], ANNEX_18[-1][0] + 1, SNYDER[-1][0] + 1)

#: below Snyder's first row the 5th percentile of sitting height is the lower of two: the 95th less 2 x
#: 1.645 x SD 15 (Snyder at 850 mm), and stature times the 5th percentile of crown-rump over crown-heel
#: length at birth, 0.692 less 1.645 x 0.023 (Fredriks et al. 2005, Arch Dis Child 90:807, Dutch boys)
_INFANT_BAND_MM, _BIRTH_RATIO = 50, 0.654
#: top of the head down to the top of the ears, least and most; from memory, narrow at the low end on
#: purpose so that the ears are rather taken as too high than as too low
EARS_BELOW_HEAD_TOP = (80, 115)


def sitting_height(rider: Rider) -> Estimate | None:
    """Body surface to the top of the head; None without stature."""
    if rider.sitting_height is not None:
        return _own(rider, "sitting_height", rider.sitting_height)
    if _grown(rider):
        return ADULT_SITTING_HEIGHT
    if rider.height is None:
        return None
    if rider.height >= SNYDER[0][0]:
        low, middle, high = (_at(SNYDER, rider.height, column) for column in (1, 2, 7))
        if rider.height <= ANNEX_18[-1][0]:
            high = max(high, _at(ANNEX_18, rider.height, 1))
        return at_the_ends(Estimate(low, middle, high, False, f"{_SNYDER}; 95th {_R129}"))
    high = _at(ANNEX_18, rider.height, 1)
    low = min(high - _INFANT_BAND_MM, round(_BIRTH_RATIO * rider.height))
    return Estimate(low, (low + high) // 2, high, False, _R129)      # wider than from the 1st to the 99th percentile


def shoulder_height(rider: Rider) -> Estimate | None:
    """Body surface to the shoulder; None without stature. Above Annex 18 its last row's 5th percentile up
    to the adults' 95th. An estimate never stands higher than its share of the sitting height."""
    if rider.shoulder_height is not None:
        return _own(rider, "shoulder_height", rider.shoulder_height)
    if _grown(rider):
        return ADULT_SHOULDER_HEIGHT
    if rider.height is None:
        return None
    small = rider.height < SMALL_SHOULDERS[-1][0]
    low, high = ((_at(SMALL_SHOULDERS, rider.height, column) for column in (1, 2)) if small
                 else (_at(ANNEX_18, rider.height, column) for column in (4, 5)))
    if rider.height > ANNEX_18[-1][0]:
        high = ADULT_SHOULDER_HEIGHT.high
    band = at_the_ends(Estimate(low, (low + high) // 2, high, False, ""))
    low, high, head = band.low, band.high, sitting_height(rider)
    if head is not None:
        low, high = min(low, highest_shoulder(head.low)), min(high, highest_shoulder(head.high))
    return Estimate(low, (low + high) // 2, high, False, _DUMMIES if small else _R129)


def highest_shoulder(sitting: int) -> int:
    """The highest that a shoulder stands for a sitting height, mm."""
    return SHOULDER_OF_SITTING * sitting // 100


def ear_height(rider: Rider) -> Estimate | None:
    """Body surface to the top of the ears; None without stature."""
    if rider.ear_height is not None:
        return _own(rider, "ear_height", rider.ear_height)
    head = sitting_height(rider)
    if head is None:
        return None
    least, most = EARS_BELOW_HEAD_TOP
    return Estimate(head.low - most, head.middle - (least + most) // 2, head.high - least, False,
                    f"{head.source}; ears below the head's top from memory")


def shoulder_breadth(rider: Rider) -> Estimate | None:
    """Across the shoulders; None without stature."""
    if rider.shoulders is not None:
        return _own(rider, "shoulders", rider.shoulders)
    if _grown(rider):
        return ADULT_SHOULDERS
    return _breadth(rider, 3, 2, ADULT_SHOULDERS)


def hip_breadth(rider: Rider) -> Estimate | None:
    """Across the hips, seated; None without stature."""
    if rider.hips is not None:
        return _own(rider, "hips", rider.hips)
    if _grown(rider):
        return ADULT_HIPS
    return _breadth(rider, 4, 3, ADULT_HIPS)


def abdomen_depth(rider: Rider) -> Estimate | None:
    """From the back to the front of the belly; None without stature, and outside the statures of the table."""
    if rider.height is None or not ABDOMEN[0][0] <= rider.height <= ABDOMEN[-1][0]:
        return None
    low, high = (_at(ABDOMEN, rider.height, column) for column in (1, 2))
    return at_the_ends(Estimate(low, (low + high) // 2, high, False, _R129))


def thigh_length(rider: Rider) -> Estimate | None:
    """Back of the buttocks to the back of the knee, seated; None below the table or without stature."""
    if _grown(rider):
        return ADULT_THIGH
    if rider.height is None or rider.height < SNYDER[0][0]:
        return None
    mean, sd = _at(SNYDER, rider.height, 5), _at(SNYDER, rider.height, 6)
    return Estimate(round(mean - Z_END * sd), mean, round(mean + Z_END * sd), False, _SNYDER)


def buttock_knee(rider: Rider) -> Estimate | None:
    """Back of the buttocks to the front of the knee, seated; None below the table or without stature."""
    if rider.buttock_knee is not None:
        return _own(rider, "buttock_knee", rider.buttock_knee)
    if _grown(rider):
        return ADULT_BUTTOCK_KNEE
    if rider.height is None or rider.height < BUTTOCK_KNEE[0][0]:
        return None
    mean, sd = _at(BUTTOCK_KNEE, rider.height, 1), _at(BUTTOCK_KNEE, rider.height, 2)
    return Estimate(round(mean - Z_END * sd), mean, round(mean + Z_END * sd), False, _SNYDER)


def _breadth(rider: Rider, snyder: int, annex: int, adult: Estimate) -> Estimate | None:
    """Above Annex 18 a child is taken to be as broad as an adult."""
    if rider.height is None:
        return None
    if rider.height > ANNEX_18[-1][0]:
        low = min(adult.low, _at(SNYDER, rider.height, snyder))
        return Estimate(low, adult.middle, adult.high, False, _ANSUR)
    high = _at(ANNEX_18, rider.height, annex)
    middle = min(high, _at(SNYDER, rider.height, snyder)) if rider.height >= SNYDER[0][0] else high - 20
    high = round(high * (1 + (Z_END - _Z95) * _BREADTH_SD))
    return Estimate(middle - (high - middle), middle, high, False, f"{_SNYDER}; 95th {_R129}")


def _own(rider: Rider, name: str, value: int) -> Estimate:
    """As measured, or as reckoned for a later day."""
    band = rider.bands.get(name) if isinstance(rider, Reckoned) else None
    if band is None:
        return Estimate(value, value, value, True, "measured")
    return Estimate(band[0], value, band[1], False, "reckoned from an earlier measurement")


def _grown(rider: Rider) -> bool:
    """Adults, and children taller than every child table, are taken from the adult table."""
    return rider.adult or (rider.height is not None and rider.height > SNYDER[-1][0])


#: beyond everything that stands beside a stature
_FAR = 1 << 40


def _at(rows: tuple[tuple[int, ...], ...], stature: int, column: int) -> int:
    """Linear between rows; the first and last row hold beyond them."""
    i = bisect_right(rows, (stature, _FAR))
    if i == 0:
        return rows[0][column]
    if i == len(rows):
        return rows[-1][column]
    below, above = rows[i - 1], rows[i]
    part = (stature - below[0]) / (above[0] - below[0])
    return round(below[column] + part * (above[column] - below[column]))


#: the lengths of a seated body, by the field of a rider, and what each is likely to be
SEATED: dict[str, Callable[[Rider], Estimate | None]] = {
    "sitting_height": sitting_height,
    "shoulder_height": shoulder_height,
    "ear_height": ear_height,
    "hips": hip_breadth,
    "shoulders": shoulder_breadth,
    "buttock_knee": buttock_knee,
}
