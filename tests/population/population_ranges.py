"""What the made-up cars and restraints are drawn from.

Status of each: ``seen`` in a published text, ``from memory``, ``low`` (from memory, rough), or ``ours``: no
published range is known, so it is as in the vehicles and restraints that we invented. None is fitted to the
published shares. Lengths in mm, angles in degrees.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, fields
from statistics import NormalDist
from typing import Protocol


class Range(Protocol):
    """What may be drawn; ``at``: the value below which so large a share lies, 0 to 1."""

    def at(self, share: float) -> float: ...


@dataclass(frozen=True)
class Even:
    """Every value alike."""

    low: float
    high: float

    def at(self, share: float) -> float:
        return self.low + share * (self.high - self.low)


@dataclass(frozen=True)
class Normal:
    """Cut off at both ends."""

    mean: float
    sd: float
    low: float
    high: float

    def at(self, share: float) -> float:
        return min(self.high, max(self.low, NormalDist(self.mean, self.sd).inv_cdf(min(max(share, 1e-9), 1 - 1e-9))))


@dataclass(frozen=True)
class Among:
    """Each as often as it stands there, from the lowest to the highest."""

    values: Sequence[float]

    def at(self, share: float) -> float:
        return sorted(self.values)[min(int(share * len(self.values)), len(self.values) - 1)]


@dataclass(frozen=True)
class Ranges:
    """Every range, by what is drawn from it."""

    #: rear seat pan from horizontal and seatback from vertical, NHTSA rear-seat survey (Aram, Rockwell 2012); from
    #: memory
    pan_angle: Range = Normal(14, 4, 7, 23)
    back_angle: Range = Normal(20, 4, 9, 28)
    #: second-row cushions of 56 vehicles, Huang, Reed 2006; from memory; the shortest of 50 was about 400 (Bilston,
    #: Sagar 2007, derived)
    cushion_length: Range = Normal(455, 37.5, 380, 560)
    #: outboard to centre position, centre to centre: stands for the flat width between two bolsters, of which no range
    #: is known; low
    flat_width: Range = Even(330, 420)
    #: H-point to H-point, front to second row; low
    couple_distance: Range = Even(750, 950)
    #: how far a front seat at mid-track stands forward of where that distance was taken: 0 if it was taken there, half
    #: a travel if it was taken rearmost, as is often done; ours
    mid_track_forward: Range = Even(0, 110)
    #: from the front H-point back to the rear face of its seat at the cushion, the same with its H-point in the second
    #: row forward of the bight, and how far the back of the front seat leans, from UN R16's 15 degrees (Annex 17 App. 2
    #: para. 2.2) to its 25; ours
    front_seat_deep: Range = Even(220, 280)
    second_h_point: Range = Even(110, 150)
    front_back_leans: Range = Even(15, 25)
    #: rear-facing from the seatback: infant carriers 600 to 720, convertibles in infant recline 700 to 820 and upright
    #: 600 to 720; low
    rear_facing_length: Range = Among([*range(600, 721, 5), *range(600, 721, 5), *range(700, 821, 5)])
    #: widest external width: narrow, typical and wide harness restraints; low. A base is so much narrower; ours
    width: Range = Even(420, 530)
    base_share: Range = Even(0.80, 0.90)
    #: how far forward of the bight a base begins and ends; ours
    base_back: Range = Even(20, 60)
    base_front: Range = Even(440, 520)
    #: setting at the bench, how many settings in steps of 6.5 degrees towards upright, half the window that the mark
    #: allows; ours
    setting: Range = Even(38, 45)
    settings: Range = Among([1, 2, 3])
    window: Range = Even(3, 5)
    #: how far a head restraint juts, and whether it comes off (1); ours
    head_restraint_juts: Range = Among([10] * 2 + [15] * 48 + [20] * 28 + [30] * 2 + [40] * 5)
    head_restraint_off: Range = Among([0] * 16 + [1] * 69)
    #: tether anchors along and up from the bight, strap lengths, and seatback heights; ours
    anchor_along: Range = Even(-900, -60)
    anchor_up: Range = Even(300, 600)
    strap: Range = Even(1200, 2200)
    back_height: Range = Even(520, 640)
    #: boosters, backless to wide high-backed; low
    booster_width: Range = Even(380, 520)
    #: from the middle of a position to its buckle, outboard and centre; low
    buckle_outboard: Range = Even(190, 280)
    buckle_centre: Range = Even(130, 240)


NAMES = tuple(field.name for field in fields(Ranges))
#: a range is held at these shares of it, one after the other
ENDS = (0.05, 0.95)
