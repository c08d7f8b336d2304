"""A car's lengths that were left out, at two ends of what they are likely to be; all assumed, from memory.

Wider than the literature at hand: second-row benches of 1,200 to 1,500 mm, positions 330 to 420 mm apart (both from
memory, low confidence), cushions from 400 mm (Bilston, Sagar 2007, computed) and angles of 7 to 23 degrees (NHTSA
rear-seat study, from memory). In the first corner seats stand near each other, in the second apart; both are short of
room. What is printed in a handbook, and what a seat has or has not, is never filled in.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from seatplan.frozen import frozen
from seatplan.model import Ahead, Bar, Position, Row, Tether, Vehicle
from seatplan.model.estimated import EstimatedRow
from seatplan.model.vehicle import Buckle, Cushion, HeadRestraint, Seatback, Trim

#: between door trims, mm
_ROW_MM = 1200
#: half the standard distance of two bars, mm (49 CFR 571.225, from memory)
_HALF_SPACING_MM = 140


@frozen
class _End:
    """``apart``: from one position's middle to the next, in a row of three and of two; ``buckle``: from the middle of
    a position to its buckle; ``anchors``: half of the lap part. mm and degrees."""

    apart: tuple[int, int]
    buckle: int
    anchors: int
    angle: float
    above_floor: int
    seatback: int
    back_angle: float
    stalk: int
    length: int
    tether: tuple[int, int]


_NEAR = _End((320, 450), 130, 90, 5.0, 430, 480, 10.0, 200, 400, (-600, -100))
_FAR = _End((440, 720), 240, 250, 25.0, 230, 480, 28.0, 200, 400, (-300, 650))


def estimated_vehicle(vehicle: Vehicle) -> Vehicle:
    """The vehicle with rows that have corners, where its file asks for that; else as it is."""
    if vehicle.not_measured != "estimate":
        return vehicle
    return vehicle.model_copy(update={"rows": [_row(row, row is vehicle.front_row) for row in vehicle.rows]})


def _row(row: Row, front: bool) -> EstimatedRow:
    corners = tuple(_corner(row, end, front) for end in (_NEAR, _FAR))
    return EstimatedRow.model_construct(
        row.model_fields_set, **{name: getattr(row, name) for name in Row.model_fields}, corners=corners)


def _corner(row: Row, end: _End, front: bool) -> Row:
    left, right = _walls(row)
    middles = _middles(row, (left + right) // 2, end)
    bars = [bar if bar.across is not None else bar.model_copy(update={"across": _bar(row, bar, middles)})
            for bar in row.lower_anchors or ()]
    cushion, back = row.cushion, row.seatback
    return row.model_copy(update={
        "trim": row.trim or [Trim(name="door", left=left, right=right)],
        "cushion": Cushion.model_construct(cushion.model_fields_set, **{
            **{name: getattr(cushion, name) for name in Cushion.model_fields}, **_unless_known(cushion, {
                "left": left + 60, "right": right - 60, "length": end.length, "angle": end.angle,
                "above_floor": end.above_floor})}),
        "seatback": Seatback.model_construct(back.model_fields_set, **{
            **{name: getattr(back, name) for name in Seatback.model_fields},
            **_unless_known(back, {"height": end.seatback, "angle": end.back_angle})}),
        "tethers": None if row.tethers is None else [_tether(row, tether, middles, end) for tether in row.tethers],
        "lower_anchors": row.lower_anchors if row.lower_anchors is None else bars,
        "positions": [_position(position, middle, end, (left + right) // 2, front)
                      for position, middle in zip(row.positions, middles, strict=True)]})


def _unless_known(record: Any, ends: dict[str, Any]) -> dict[str, Any]:
    return {name: value for name, value in ends.items() if getattr(record, name) is None}


def _walls(row: Row) -> tuple[int, int]:
    """The narrowest of what was measured, else assumed."""
    lefts = [trim.left for trim in row.trim if trim.left is not None]
    rights = [trim.right for trim in row.trim if trim.right is not None]
    left = max(lefts, default=0)
    return left, min(rights, default=left + _ROW_MM)


def _middles(row: Row, middle: int, end: _End) -> list[int]:
    """The middle of each position: as measured, half way between its bars, or about the middle of the row."""
    known = {bar.bar: bar.across for bar in row.lower_anchors or () if bar.across is not None}
    n = len(row.positions)
    apart = end.apart[0 if n == 3 else 1]
    found = []
    for k, position in enumerate(row.positions):
        pair = [known[bar] for bar in position.lower_anchors or () if bar in known]
        if position.centre is not None:
            found.append(position.centre)
        elif len(pair) == 2:
            found.append(sum(pair) // 2)
        else:
            found.append(middle + round((k - (n - 1) / 2) * apart))
    return found


def _bar(row: Row, bar: Bar, middles: Sequence[int]) -> int:
    """Half the standard distance from the middle of the seat that it belongs to."""
    for position, middle in zip(row.positions, middles, strict=True):
        pair = position.lower_anchors or ()
        if bar.bar in pair:
            return middle + (_HALF_SPACING_MM if pair.index(bar.bar) else -_HALF_SPACING_MM)
    return middles[0]


def _tether(row: Row, tether: Tether, middles: Sequence[int], end: _End) -> Tether:
    """Behind the first seat that it belongs to: on the seatback or the shelf, or on the floor behind it."""
    middle = next((middle for position, middle in zip(row.positions, middles, strict=True)
                   if tether.tether in (position.tether, position.retrofit_tether)), middles[0])
    along, up = end.tether
    return tether.model_copy(update=_unless_known(tether, {"across": middle, "along": along, "up": up}))


def _position(position: Position, middle: int, end: _End, row_middle: int, front: bool) -> Position:
    update: dict[str, Any] = {} if position.centre is not None else {"centre": middle}
    belt = position.belt
    if belt is not None and belt.kind != "none":
        inwards = 1 if middle < row_middle or (middle == row_middle and end is _NEAR) else -1
        buckle = belt.buckle or Buckle()
        held = _unless_known(buckle, {"across": middle + inwards * end.buckle, "stalk": end.stalk})
        update["belt"] = belt.model_copy(update={
            "buckle": buckle.model_copy(update=held),
            **_unless_known(belt, {"anchors": (middle - end.anchors, middle + end.anchors), "length": 2400})})
    if position.head_restraint is None:
        update["head_restraint"] = HeadRestraint(fitted=True, removable=False, juts=80)
    if not front and (position.ahead is None or not position.ahead.gap):
        # the seat ahead is taken to stand still, so that nothing rests on how far it comes forward
        update["ahead"] = Ahead(gap=[(0, 600), (300, 560), (600, 480)])
    return position.model_copy(update=update)
