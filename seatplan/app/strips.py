"""A car's rows as they are to be drawn before anybody rides: each seat, and what belongs to it, where it was measured;
where it was not, half way between the two ends of what is likely, and marked so."""

from __future__ import annotations

from typing import Any, Literal

from seatplan.estimate.cars import estimated_vehicle
from seatplan.frozen import frozen
from seatplan.model import Position, Row, Vehicle
from seatplan.model.estimated import EstimatedRow

#: yes and none: somebody looked; None: nobody did
There = Literal["yes", "none"] | None


@frozen
class Spot:
    """A length in mm; ``known``: somebody measured it."""

    at: int
    known: bool


@frozen
class SeatStrip:
    """One seat. Lengths across are from the left door trim. ``ends``: of the cushion that belongs to it; ``bars``: the
    places of its two lower anchors; ``belt`` and ``airbag``: the words of the file; ``free``: the shortest way to the
    seat ahead, which is called ``ahead``."""

    name: str
    middle: Spot
    ends: tuple[int, int]
    has_bars: There
    bars: tuple[Spot, ...]
    has_tether: There
    tether: Spot
    belt: str | None
    buckle: Spot
    airbag: str | None
    ahead: str | None
    free: Spot


@frozen
class RowStrip:
    """One row; ``front``: no row is ahead of it; ``left`` and ``right``: the door trims, or where the file tells of
    none the walls; ``length``: of its cushion."""

    number: int
    front: bool
    left: Spot
    right: Spot
    length: Spot
    seats: tuple[SeatStrip, ...]


#: how wide a seat is drawn at most, mm, and how much of the room between two middles it takes
_WIDEST, _SHARE = 520, 0.94


def row_strips(vehicle: Vehicle) -> tuple[RowStrip, ...]:
    """Every row of a vehicle, front row first."""
    filled = estimated_vehicle(vehicle.model_copy(update={"not_measured": "estimate"}))
    return tuple(_row(row, row.row == vehicle.front_row.row) for row in filled.rows)


def _row(row: Row, front: bool) -> RowStrip:
    assert isinstance(row, EstimatedRow)
    corners = row.corners
    doors = [trim for trim in row.trim if trim.name == "door"] or row.trim
    left = max((trim.left for trim in doors if trim.left is not None), default=None)
    right = min((trim.right for trim in doors if trim.right is not None), default=None)
    middles = [Spot(_middle([corner.positions[n].centre for corner in corners]), position.centre is not None)
               for n, position in enumerate(row.positions)]
    walls = (left or 0, _between(right, middles, corners))
    seats = tuple(_seat(n, row, middles, walls) for n in range(len(row.positions)))
    length = row.cushion.length
    return RowStrip(row.row, front, Spot(walls[0], left is not None), Spot(walls[1], right is not None),
                    Spot(_middle([corner.cushion.length for corner in corners]), length is not None), seats)


def _between(right: int | None, middles: list[Spot], corners: tuple[Row, ...]) -> int:
    """The right wall: as measured, else as likely, and never left of a seat."""
    if right is not None:
        return right
    likely = [max((trim.right for trim in corner.trim if trim.right is not None), default=0) for corner in corners]
    # the ends of what is assumed are the short ones; seats stand apart as far as they are
    return max(_middle(likely), middles[-1].at + middles[0].at, middles[-1].at + _WIDEST // 2)


def _seat(n: int, row: EstimatedRow, middles: list[Spot], walls: tuple[int, int]) -> SeatStrip:
    position, here = row.positions[n], [corner.positions[n] for corner in row.corners]
    ahead = position.ahead
    free = min((gap for _, gap in ahead.gap), default=None) if ahead is not None else None
    bars = _bars(position, row)
    at = middles[n].at
    return SeatStrip(
        position.position, middles[n], _ends(n, position, middles, walls),
        None if position.lower_anchors is None else "yes" if position.lower_anchors else "none", bars,
        _there(position), _tether(position, row, at), None if position.belt is None else position.belt.kind,
        _buckle(position, here, at), None if position.airbag is None else position.airbag.front,
        None if ahead is None else ahead.seat,
        Spot(free if free is not None else _shortest(here), free is not None))


def _ends(n: int, position: Position, middles: list[Spot], walls: tuple[int, int]) -> tuple[int, int]:
    at = middles[n].at
    near = [abs(at - other.at) for k, other in enumerate(middles) if k != n]
    room = min([*near, 2 * (at - walls[0]), 2 * (walls[1] - at), _WIDEST])
    half = round((position.width if position.width is not None else max(room, 120) * _SHARE) / 2)
    return at - half, at + half


def _there(position: Position) -> There:
    return None if position.tether is None else "none" if position.tether == "none" else "yes"


def _bars(position: Position, row: EstimatedRow) -> tuple[Spot, ...]:
    measured = {bar.bar: bar.across for bar in row.lower_anchors or ()}
    likely: list[dict[str, int | None]] = [
        {bar.bar: bar.across for bar in corner.lower_anchors or ()} for corner in row.corners]
    return tuple(Spot(_middle([known.get(bar) for known in likely]), measured.get(bar) is not None)
                 for bar in position.lower_anchors or ())


def _tether(position: Position, row: EstimatedRow, at: int) -> Spot:
    across = next((one.across for one in row.tethers or () if one.tether == position.tether), None)
    return Spot(at if across is None else across, across is not None)


def _buckle(position: Position, here: list[Position], at: int) -> Spot:
    known = _across(position)
    likely = [one for one in map(_across, here) if one is not None]
    return Spot(known if known is not None else _middle(likely) if likely else at, known is not None)


def _across(position: Position) -> int | None:
    return position.belt.buckle.across if position.belt is not None and position.belt.buckle is not None else None


def _shortest(here: list[Position]) -> int:
    return _middle([min(gap for _, gap in one.ahead.gap) for one in here if one.ahead is not None and one.ahead.gap])


def _middle(values: list[Any]) -> int:
    """Half way between the two ends; 0 where there are none."""
    known = [int(value) for value in values if value is not None]
    return round(sum(known) / len(known)) if known else 0
