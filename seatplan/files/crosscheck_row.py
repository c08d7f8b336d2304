"""Across one row: what cannot lie where a file says that it does. One check each, in ``ROW_CHECKS``.

Two lengths that were both taken with a tape may be off in opposite directions, so a thing lies outside only when it
does so by more than both tolerances together.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator

from seatplan.model import Position, Row
from seatplan.said import said

from .crosscheck_walls import outside, told, walls
from .places import Found

#: belts come out of a sill or pillar, behind the plane of the door trim, by up to so much, mm (from memory)
_BEHIND_TRIM_MM = 60


def _centre_on_the_cushion(row: Row, off: int) -> Found:
    for k, position in enumerate(row.positions):
        if off_the_cushion(position, row):
            yield (
                ("positions", k, "centre"),
                said("the centre of {position} is at {centre} mm; expected it on the cushion, {low} to {high} mm",
                     position=position.position, centre=position.centre, low=row.cushion.left, high=row.cushion.right),
            )


def _buckle_on_the_cushion(row: Row, off: int) -> Found:
    """A buckle stands on a stalk out of the bight of its own row."""
    low, high = row.cushion.left, row.cushion.right
    for k, position, own in _positions(row, off):
        buckle = position.belt.buckle if position.belt else None
        across = buckle.across if buckle else None
        if across is None or not outside(across, low, high, off + own):
            continue
        yield (
            ("positions", k, "belt", "buckle", "across"),
            said("the buckle of {position} is at {across} mm; expected it on the cushion of row {row}, {low} to {high} "
                 "mm", position=position.position, across=across, row=row.row, low=low, high=high),
        )


def _belt_anchors_in_the_car(row: Row, off: int) -> Found:
    """Both ends of the lap part lie between the side walls, or just behind the trim."""
    low, high = walls(row)
    for k, position, _ in _positions(row, off):
        for j, across in enumerate(position.belt.anchors or () if position.belt else ()):
            if outside(across, low, high, _BEHIND_TRIM_MM + 2 * off):
                yield (
                    ("positions", k, "belt", "anchors", j),
                    said("a belt anchor of {position} is at {across} mm; expected it between the walls, {low} to "
                         "{high} mm", position=position.position, across=across, low=told(low), high=told(high)),
                )


def _centre_between_the_belt_anchors(row: Row, off: int) -> Found:
    """The lap part crosses whoever sits there, so one of its ends lies on either side."""
    for k, position, own in _positions(row, off):
        anchors = position.belt.anchors if position.belt else None
        if anchors is None or position.centre is None or not outside(position.centre, *anchors, off + own):
            continue
        yield (
            ("positions", k, "centre"),
            said("the centre of {position} is at {centre} mm; expected it between its belt anchors, {low} to {high} mm",
                 position=position.position, centre=position.centre, low=anchors[0], high=anchors[1]),
        )


def _tethers_in_the_car(row: Row, off: int) -> Found:
    low, high = walls(row)
    for k, tether in enumerate(row.tethers or ()):
        if tether.across is not None and outside(tether.across, low, high, 2 * off):
            yield (
                ("tethers", k, "across"),
                said("tether {tether} is at {across} mm; expected it between the walls, {low} to {high} mm",
                     tether=tether.tether, across=tether.across, low=told(low), high=told(high)),
            )


def _positions_within_the_cushion(row: Row, off: int) -> Found:
    """No seat is wider than the cushion, nor all of them together."""
    low, high = row.cushion.left, row.cushion.right
    if low is None or high is None or low >= high:
        return
    wide, total, slack = high - low, 0, 2 * off
    for k, position, own in _positions(row, off):
        if position.width is None:
            continue
        if position.width > wide + 2 * off + own:
            yield (
                ("positions", k, "width"),
                said("{position} is {width} mm wide; expected at most the {wide} mm of its cushion",
                     position=position.position, width=position.width, wide=wide),
            )
            return
        total, slack = total + position.width, slack + own
        if total > wide + slack:
            yield (
                ("positions", k, "width"),
                said("the seats of row {row} up to {position} are {total} mm wide together; expected at most the "
                     "{wide} mm of their cushion", row=row.row, position=position.position, total=total, wide=wide),
            )
            return


def _raised_on_the_cushion(row: Row, off: int) -> Found:
    low, high = row.cushion.left, row.cushion.right
    for k, raised in enumerate(row.cushion.raised or ()):
        for j, across in enumerate(raised.across):
            if outside(across, low, high, 2 * off):
                yield (
                    ("cushion", "raised", k, "across", j),
                    said("{name} is at {across} mm; expected it on the cushion of row {row}, {low} to {high} mm",
                         name=raised.name, across=across, row=row.row, low=low, high=high),
                )


def _waterfall_within_the_cushion(row: Row, off: int) -> Found:
    """The surface begins to fall in front of the bight."""
    length, waterfall = row.cushion.length, row.cushion.waterfall
    if length is not None and waterfall is not None and waterfall > length + 2 * off:
        yield (
            ("cushion", "waterfall"),
            said("the cushion of row {row} is {length} mm long and falls away {waterfall} mm behind its front edge; "
                 "expected less than its length", row=row.row, length=length, waterfall=waterfall),
        )


def _tolerance_below_the_length(row: Row, off: int) -> Found:
    """A length that may be off by all of itself was not measured."""
    length = row.cushion.length
    if length is not None and off >= length:
        yield ("cushion", "length"), _not_measured(said("the cushion of row {row}", row=row.row), length, off)
    for k, position, own in _positions(row, off):
        if position.width is not None and max(own, off) >= position.width:
            yield ("positions", k, "width"), _not_measured(position.position, position.width, max(own, off))


def _not_measured(name: str, length: int, off: int) -> str:
    return said("{name} measures {length} mm, with a tolerance of {off} mm; expected a tolerance below the length",
                name=name, length=length, off=off)


def off_the_cushion(position: Position, row: Row) -> bool:
    """Whether the middle of a seat is known not to lie on the cushion."""
    centre, low, high = position.centre, row.cushion.left, row.cushion.right
    if centre is None or low is None or high is None:
        return False
    return low < high and not low <= centre <= high


def _positions(row: Row, off: int) -> Iterator[tuple[int, Position, int]]:
    """Each position with its place in the list, and what its centre and buckle may be off."""
    for k, position in enumerate(row.positions):
        yield k, position, off if position.tolerance is None else position.tolerance


#: each is asked about a row and what a length of the file may be off, mm
ROW_CHECKS: tuple[Callable[[Row, int], Found], ...] = (
    _centre_on_the_cushion, _buckle_on_the_cushion, _belt_anchors_in_the_car, _centre_between_the_belt_anchors,
    _tethers_in_the_car, _positions_within_the_cushion, _raised_on_the_cushion, _waterfall_within_the_cushion,
    _tolerance_below_the_length,
)
