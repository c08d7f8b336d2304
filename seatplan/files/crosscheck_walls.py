"""Across one row: its side walls, its cushion, and that everything lies between them. One check each, in
``WALL_CHECKS``."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from seatplan.message import Word, in_mm, said
from seatplan.model import Row

from .places import Found, Loc

#: no row is narrower between its walls than this, mm (from memory); less is a slip of the unit
NARROWEST_ROW_MM = 500


def _one_side_is_one_side(row: Row, off: int) -> Found:
    """What the car has on one side alone has no place on the other."""
    for k, trim in enumerate(row.trim):
        other = None if trim.only is None else trim.left if trim.only == "right" else trim.right
        if other is not None:
            yield (
                ("trim", k, "only"),
                said("{name} is {only} only, and its other side is at {other}; expected one of both left out",
                     name=trim.name, only=trim.only, other=in_mm(other)),
            )


def _left_wall_left_of_the_right(row: Row, off: int) -> Found:
    for k, trim in enumerate(row.trim):
        if trim.left is not None and trim.right is not None and trim.right <= trim.left:
            yield (
                ("trim", k, "right"),
                said("right {name} is at {right}, left one at {left}; "
                     "expected left below right", name=trim.name, right=in_mm(trim.right), left=in_mm(trim.left)),
            )


def _cushion_begins_left_of_its_end(row: Row, off: int) -> Found:
    left, right = row.cushion.left, row.cushion.right
    if left is not None and right is not None and right <= left:
        yield (
            ("cushion", "right"),
            said("the cushion of row {row} begins at {left} and ends at "
                 "{right}; expected left below right", row=row.row, left=in_mm(left), right=in_mm(right)),
        )


def _row_as_wide_as_a_seat(row: Row, off: int) -> Found:
    left, right = walls(row)
    if left is None or right is None or not 0 < right - left < NARROWEST_ROW_MM:
        return
    last = max((k for k, t in enumerate(row.trim) if t.right is not None))
    yield (
        ("trim", last, "right"),
        said("row {row} is {right} wide between its walls; expected at least "
             '{NARROWEST_ROW_MM}: a plain number is mm, inches are written "{typed} in"', row=row.row,
             right=in_mm(right - left), typed=right - left,
             NARROWEST_ROW_MM=in_mm(NARROWEST_ROW_MM)),
    )


def _between_the_walls(row: Row, off: int) -> Found:
    left, right = walls(row)
    if left is not None and right is not None and right - left < NARROWEST_ROW_MM:
        return                                              # told by itself, and would be told of all that lies there
    for loc, name, x in _places(row):
        if (left is not None and x < left) or (right is not None and x > right):
            between = said("{some:bare} to {some_2}", some=in_mm(left), some_2=in_mm(right))
            yield loc, said("{name} is at {x}; expected it between the walls, {walls}", name=name, x=in_mm(x),
                            walls=between)


def _places(row: Row) -> Iterator[tuple[Loc, str, int]]:
    """Everything that must lie between the side walls."""
    for key in ("left", "right"):
        x = getattr(row.cushion, key)
        if x is not None:
            yield ("cushion", key), said("the {side} end of the cushion of row {row}", side=Word(key), row=row.row), x
    for k, bar in enumerate(row.lower_anchors or ()):
        if bar.across is not None:
            yield ("lower_anchors", k, "across"), said("bar {bar}", bar=bar.bar), bar.across
    for k, position in enumerate(row.positions):
        if position.centre is not None:
            yield (
                ("positions", k, "centre"),
                said("the centre of {position}", position=position.position),
                position.centre,
            )
        belt = position.belt
        if belt and belt.buckle and belt.buckle.across is not None:
            yield (
                ("positions", k, "belt", "buckle", "across"),
                said("the buckle of {position}", position=position.position),
                belt.buckle.across,
            )


def _trim_beside_the_cushion(row: Row, off: int) -> Found:
    """A wall that reaches down to the cushion, over its whole length, leaves room for all of it."""
    low, high = row.cushion.left, row.cushion.right
    for k, trim in enumerate(row.trim):
        if trim.left is not None and trim.right is not None and trim.left >= trim.right:
            continue                                        # upside down, which is told by itself
        if trim.along is not None or (trim.up is not None and not trim.up[0] <= 0 <= trim.up[1]):
            continue
        both = off + (off if trim.tolerance is None else trim.tolerance)
        for key, wall, end, sign in (("left", trim.left, low, 1), ("right", trim.right, high, -1)):
            if wall is not None and end is not None and (wall - end) * sign > both:
                yield (
                    ("trim", k, key),
                    said("{side} {name} is at {wall}, and the cushion of row {row} ends at {end}; expected the "
                         "cushion between its walls", side=Word(key), name=trim.name, wall=in_mm(wall), row=row.row,
                         end=in_mm(end)),
                )


def walls(row: Row) -> tuple[int | None, int | None]:
    """The outermost side walls of a row, where they are known. One that stands out over a part of the row alone, an
    armrest say, bounds nothing by itself."""
    whole = [trim for trim in row.trim if trim.along is None and (trim.up is None or trim.up[0] <= 0)]
    lefts = [trim.left for trim in row.trim if trim.left is not None]
    rights = [trim.right for trim in row.trim if trim.right is not None]
    return (min(lefts) if any(trim.left is not None for trim in whole) else None,
            max(rights) if any(trim.right is not None for trim in whole) else None)


def outside(x: int, low: int | None, high: int | None, off: int) -> bool:
    """Whether a place lies further than ``off`` outside two ends, as far as they are known."""
    if low is not None and high is not None and low >= high:
        return False                                        # upside down, which is told by itself
    return (low is not None and x < low - off) or (high is not None and x > high + off)


#: each is asked about a row and what a length of the file may be off, mm
WALL_CHECKS: tuple[Callable[[Row, int], Found], ...] = (
    _one_side_is_one_side, _left_wall_left_of_the_right, _cushion_begins_left_of_its_end, _row_as_wide_as_a_seat,
    _between_the_walls, _trim_beside_the_cushion,
)
