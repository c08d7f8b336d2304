"""What a placement puts in a row: a body, where its middle hangs, and the buckle that its rider fastens."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from seatplan.frozen import frozen
from seatplan.message import said
from seatplan.model.own_seat import cushion_at, lifted

from .shapes import Shape, Shapes, side_box
from .support import belt_line

if TYPE_CHECKING:
    from seatplan.model import Installation, Mode, Position, Restraint, Rider, Row

    from .convex import Outline
    from .recline import Setting

#: the zone beside a buckle that a hand needs, in side view above the cushion, mm (common practice, no source)
_BUCKLE_UP_MM = (-50, 150)


@frozen(eq=False)
class BuckleClearance:
    """A buckle that its rider fastens on every trip: a neighbour must end ``room`` before it, in the side
    view of ``zone``; the rider's own seat may come up to it. ``whole`` False: the stalk was not
    measured, so the zone is larger than this."""

    at: int
    room: int
    zone: Outline
    position: str
    whole: bool = True


@frozen(eq=False)
class Body:
    """One body in a row. ``centre`` is where its middle hangs (None: not measured), ``play`` how far it may
    move."""

    rider: str
    position: str
    shape: Shape
    centre: int | None
    play: int
    hangs_on: str
    buckle: BuckleClearance | None
    tolerance: float = 0.0            # of centre and buckle, mm
    on_anchors: bool = False          # whether that is the middle between two bars
    buckled: bool = False             # whether its rider is buckled in with the vehicle belt on every trip


def seat_of(
    row: Row, position: Position, rider: Rider, restraint: Restraint | None, mode: Mode | None,
    installation: Installation | None, bars: Sequence[str], shapes: Shapes, *,
    belt_play_mm: int, flexible_play_mm: int, rigid_play_mm: int, hand_room_mm: int, tolerance_mm: int = 0,
    lean: Setting | None = None, second: Position | None = None,
) -> Body:
    """The body that a placement puts in the row, in the row's frame: its shape, and what it hangs on.

    On lower anchors its middle is at the midpoint of the two bars; otherwise on the centre line of the
    belt, which is the position's centre or, where that is missing, the midpoint of the belt's anchors.
    Connectors of an unknown kind get the smaller play, that of rigid ones. What the belts of two places hold lies in
    the middle between both.
    """
    shape = shapes.of(rider, restraint.restraint if restraint else rider.rider, mode, installation,
                      restraint.tolerance if restraint else 0)
    if mode is not None:
        shape = shapes.posed(shape, mode, lean, cushion_at(row, position).angle)
    shape = shapes.lifted(shape, lifted(position))
    (centre, odd), play_mm, hangs_on = belt_line(position, second), belt_play_mm, said(
        "belt line of {position}", position=position.position)
    if second is not None:
        hangs_on = said("middle between {position} and {position_2}", position=position.position,
                        position_2=second.position)
    known = {bar.bar: bar.across for bar in row.lower_anchors or () if bar.across is not None}
    if len(bars) == 2:
        places = [known[bar] for bar in bars if bar in known]
        centre, hangs_on = sum(places) if len(places) == 2 else None, said("bars {bars} and {bars_2}", bars=bars[0],
                                                                           bars_2=bars[1])
        flexible = installation is not None and installation.connectors == "flexible"
        play_mm = flexible_play_mm if flexible else rigid_play_mm
    if installation is not None and installation.play is not None:
        play_mm = installation.play
    buckled = mode is None or mode.fastens_rider(installation)
    return Body(rider.rider, position.position, shape, centre, max(0, 2 * play_mm - odd), hangs_on,
                _buckle(position, hand_room_mm) if buckled else None,
                max(tolerance_mm if one.tolerance is None else one.tolerance for one in (position, second) if one),
                len(bars) == 2, buckled)


def _buckle(position: Position, hand_room_mm: int) -> BuckleClearance | None:
    buckle = position.belt.buckle if position.belt else None
    if buckle is None or buckle.across is None:
        return None
    reach = (buckle.stalk or 0) + hand_room_mm
    low, high = (at + lifted(position) for at in _BUCKLE_UP_MM)
    return BuckleClearance(2 * buckle.across, 2 * hand_room_mm, side_box((0, reach), (low, high)),
                     position.position, whole=buckle.stalk is not None)
