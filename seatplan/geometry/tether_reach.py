"""The way of a tether strap over the seatback, and the zone of the standards for its anchor.

Side views are (along, up), mm, from the bight. What nobody measures is taken so that the strap gets longer:
see the constants.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from itertools import pairwise
from math import atan2, ceil, cos, degrees, dist, hypot, radians, sin, tan
from typing import TYPE_CHECKING

from seatplan.frozen import frozen
from seatplan.message import said

if TYPE_CHECKING:
    from seatplan.model import Installation, Mode
    from seatplan.model.vehicle import HeadRestraint

Place = tuple[float, float]

#: thickness of a seatback from front to back where the anchor does not show that it is thinner; from memory
SEATBACK_THICK = 100
#: how far a head restraint that stays on stands above the seatback, and how far it juts where that was not
#: measured; from memory, at the long end
HEAD_RESTRAINT_UP, HEAD_RESTRAINT_JUTS = 200, 100

#: the H-point forward of and above the bight for a design torso; from memory, a rough estimate
H_POINT = (130, 95)
#: the shoulder reference point R, along the torso line from H; the rear limit of the zone behind R; where it
#: is widest; how steeply its upper limit rises; half its angle from R in plan and front view.
#: 49 CFR 571.225 S6.2.1, Figs 3 to 7; UN R145 draws the same figures (from memory)
R_FROM_H, REAR_LIMIT, WIDEST_AT, RISE_DEG, HALF_ANGLE_DEG = 563, 2000, 1000, 30, 20


#: assumed where nobody measured them, and beyond anything in the bundled cars: the shortest strap that forward-facing
#: restraints have, and the furthest places of an anchor behind a seat, (along, up) and how far to the side; from memory
SHORTEST_STRAP = 900
FURTHEST_ANCHOR: tuple[tuple[Place, float], ...] = (((-1100, -350), 200), ((-300, 1200), 200))


@frozen
class Strap:
    """``length`` in whole mm, rounded up; ``angle`` in degrees, how far off straight back it runs on from the
    rear edge of the seatback; ``over_head_restraint``: it was taken to run over one."""

    length: int
    angle: int
    over_head_restraint: bool


@frozen
class Outside:
    """How far an anchor lies outside the zone, mm, in the view where that is most: ``before the torso line``,
    ``too high``, ``too far back`` or ``to the side``."""

    mm: int
    where: str


def strap_of(
    exit_at: Place,
    seatback_angle: float,
    seatback_height: float,
    anchor: Place,
    aside: float,
    head: HeadRestraint | None,
) -> Strap:
    """The taut strap from ``exit_at`` on the shell over the top of the seatback to the anchor.

    ``seatback_angle``: degrees from vertical; ``seatback_height``: from the bight along the seatback;
    ``aside``: mm between the middle of the restraint and the anchor, across. The strap runs straight back to
    above the rear edge of the seatback and from there straight to the anchor. A head restraint that is not
    known to come off stays, and the strap runs over it or beside it, whichever is longer.
    """
    stays = not (head is not None and (head.there is False or head.removable is True))
    juts = HEAD_RESTRAINT_JUTS if head is None or head.juts is None else head.juts
    return _strap(exit_at, seatback_angle, seatback_height, anchor, aside, juts if stays else None)


# the same strap is asked about for every child and every way of installing that leaves the shell where it is
@lru_cache(maxsize=8192)
def _strap(exit_at: Place, seatback_angle: float, seatback_height: float, anchor: Place, aside: float,
           juts: float | None) -> Strap:
    """The same; ``juts``: how far the head restraint that stays juts, None where none does."""
    lean = radians(seatback_angle)
    back, rise = -sin(lean), cos(lean)
    top = (back * seatback_height, rise * seatback_height)
    thick = _thickness(anchor, top, lean)
    rear = (top[0] - thick, top[1])
    # the lower rear edge, for an anchor under the seat
    low = [(-thick, 0.0)] if anchor[1] < 0 else []
    overs: list[list[Place]] = [[top]]
    if juts is not None:
        peak = (top[0] + back * HEAD_RESTRAINT_UP + juts, top[1] + rise * HEAD_RESTRAINT_UP)
        overs.append([top, peak])
    start = (max(exit_at[0], -exit_at[1] * tan(lean)), exit_at[1]) if exit_at[1] <= top[1] else exit_at
    ways = [_parted(_taut([start, *over, rear, *low, anchor]), rear[0]) for over in overs]
    before, behind = max(ways, key=lambda way: way[0] + hypot(way[1], aside))
    return Strap(ceil(before + hypot(behind, aside) - 1e-6), round(degrees(atan2(aside, behind))), juts is not None)


def exits_of(mode: Mode, installation: Installation | None) -> list[Place] | None:
    """Where the strap may leave the shell: the measured place, else every corner of the parts; None where
    neither was measured."""
    if mode.tether_from is not None:
        return [mode.tether_from]
    corners: list[Place] = []
    for part in (*mode.parts, *(installation.parts if installation else ())):
        if part.outline is not None:
            corners += part.outline
        elif part.along is not None and part.up is not None:
            corners += [(along, up) for along in part.along for up in part.up]
        else:
            return None
    return corners or None


def outside_zone(seatback_angle: float, anchor: Place, aside: float) -> Outside:
    """How far the anchor lies outside the zone of the standards, in side view and in plan; 0 inside.

    Before R, where the plan view has no width, the front view counts. The area where the strap wraps round
    the seatback is not looked at, nor are routing devices.
    """
    lean = radians(seatback_angle)
    point_r = (H_POINT[0] - R_FROM_H * sin(lean), H_POINT[1] + R_FROM_H * cos(lean))
    behind, below = point_r[0] - anchor[0], point_r[1] - anchor[1]
    torso = H_POINT[0] - (anchor[1] - H_POINT[1]) * tan(lean)
    widening = tan(radians(HALF_ANGLE_DEG))
    half = widening * (min(behind, 2 * WIDEST_AT - behind) if behind > 0 else max(0.0, below))
    found = (
        (anchor[0] - torso, said("before the torso line")),
        (-below - max(0.0, behind) * tan(radians(RISE_DEG)), said("too high")),
        (behind - REAR_LIMIT, said("too far back")),
        (aside - max(0.0, half), said("to the side")),
    )
    mm, where = max(found, key=lambda item: item[0])
    return Outside(max(0, ceil(mm - 1e-6)), where if mm > 0 else "")


def _thickness(anchor: Place, top: Place, lean: float) -> float:
    """An anchor behind the seatback shows how thick it can be at most."""
    behind = -anchor[1] * tan(lean) - anchor[0]
    return behind if 0 < behind < SEATBACK_THICK and anchor[1] <= top[1] else SEATBACK_THICK


def _taut(way: Sequence[Place]) -> list[Place]:
    """A strap pulled tight over edges that are named in order: it leaves out those it does not touch.

    Seen with the car facing right, the strap runs to the left and then down: it bends leftwards at
    every edge that it touches.
    """
    kept: list[Place] = []
    for place in way:
        while len(kept) >= 2 and _bend(kept[-2], kept[-1], place) <= 0:
            kept.pop()
        if not kept or place != kept[-1]:
            kept.append(place)
    return kept


def _parted(way: Sequence[Place], rear: float) -> tuple[float, float]:
    """Lengths of the way up to the rear edge of the seatback, and behind it; only the last piece is behind
    where the anchor is not."""
    lengths = [dist(a, b) for a, b in pairwise(way)]
    for i, (a, b) in enumerate(pairwise(way)):
        if b[0] <= rear:
            part = lengths[i] * ((a[0] - rear) / (a[0] - b[0]) if a[0] > rear else 0.0)
            return sum(lengths[:i]) + part, sum(lengths[i:]) - part
    return sum(lengths[:-1]), lengths[-1]


def _bend(a: Place, b: Place, c: Place) -> float:
    return (b[0] - a[0]) * (c[1] - b[1]) - (b[1] - a[1]) * (c[0] - b[0])
