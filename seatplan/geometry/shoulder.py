"""Where the shoulder of a seated child is, in side view."""

from __future__ import annotations

from math import cos, radians, sin, tan
from typing import TYPE_CHECKING

from . import anthropometry

if TYPE_CHECKING:
    from seatplan.model import Rider

#: the middle of the shoulder forward of the child's back, mm; from memory, at the short end
SHOULDER_BEFORE_BACK = 60


def shoulder_along(rider: Rider, seatback_angle: float, seat_up: float) -> int | None:
    """How far forward of the bight the shoulder is, mm; negative: behind it. None without stature.

    The back rests on the seatback (``seatback_angle``, degrees from vertical) and the child sits ``seat_up``
    mm above the cushion. The backrest of a booster, which moves the child forward, is left out.
    """
    height = anthropometry.shoulder_height(rider)
    if height is None:
        return None
    lean = radians(seatback_angle)
    return round(-seat_up * tan(lean) - height.middle * sin(lean) + SHOULDER_BEFORE_BACK * cos(lean))
