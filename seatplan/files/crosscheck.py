"""Checks across the fields of a vehicle: what is named must exist, and places must agree with each other."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from seatplan.model import Position, Row, Vehicle

from .errors import Problem, near_word
from .reading import Document, Loc

_SIDES = "LCR"
#: no row is narrower between its walls than this, mm (from memory); less is a slip of the unit
NARROWEST_ROW_MM = 500
#: the middle of a seat is no further than this from the midpoint of its own bars, mm (from memory); more is a slip
CENTRE_OFF_BARS_MM = 150
#: bars further apart are no pair, mm (from memory)
WIDEST_PAIR_MM = 600
#: where, and what is wrong there
Found = Iterator[tuple[Loc, str]]


def vehicle_problems(vehicle: Vehicle, document: Document, at: Loc = ()) -> list[Problem]:
    """Everything about one vehicle that does not agree."""
    return [document.problem((*at, *loc), text) for loc, text in _vehicle(vehicle)]


def _vehicle(vehicle: Vehicle) -> Found:
    numbers = [row.row for row in vehicle.rows]
    for i, (before, after) in enumerate(pairwise(numbers)):
        if after <= before:
            yield (
                ("rows", i + 1, "row"),
                f"row {after} comes after row {before}; expected rows from front to back",
            )
    seen: set[str] = set()
    everywhere = {p.position for p in vehicle.positions()}
    for i, row in enumerate(vehicle.rows):
        at: Loc = ("rows", i)
        for k, position in enumerate(row.positions):
            name = position.position
            if name in seen:
                yield (
                    (*at, "positions", k, "position"),
                    f'two positions are called "{name}"; expected each once',
                )
            seen.add(name)
            if position.row != row.row:
                yield (
                    (*at, "positions", k, "position"),
                    f'position "{name}" stands in row {row.row}; expected {row.row}{name[1]}',
                )
            for loc, text in _ahead(position, everywhere):
                yield (*at, "positions", k, "ahead", *loc), text
        for loc, text in (*_order(row), *_walls(row), *_centres(row), *_named(row)):
            yield (*at, *loc), text


def _ahead(position: Position, everywhere: set[str]) -> Found:
    if position.ahead is None or position.ahead.seat is None:
        return
    seat = position.ahead.seat
    if seat not in everywhere:
        yield ("seat",), f'no position is called "{seat}"; {near_word(seat, everywhere)}'
    elif int(seat[0]) >= position.row and position.facing == "forward":
        yield (
            ("seat",),
            f"{seat} does not stand ahead of {position.position}; expected a seat of a row before it",
        )
    heights = [height for height, _ in position.ahead.gap]
    for k, height in enumerate(heights):
        if height in heights[:k]:
            yield (
                ("gap", k),
                f"two gaps at {height} mm ahead of {position.position}; expected one for each height",
            )


def _order(row: Row) -> Found:
    """Left to right, by name and by place."""
    for k, (one, other) in enumerate(pairwise(row.positions)):
        if (
            _SIDES.index(other.position[1]) <= _SIDES.index(one.position[1])
            and one.position != other.position
        ):
            yield (
                ("positions", k + 1, "position"),
                f"{other.position} stands after {one.position}; expected positions from left to right",
            )
        if one.centre is not None and other.centre is not None and other.centre <= one.centre:
            yield (
                ("positions", k + 1, "centre"),
                f"centre of {other.position} is {other.centre} mm and of {one.position} {one.centre} mm; "
                "expected them to grow from left to right",
            )


def _walls(row: Row) -> Found:
    for k, trim in enumerate(row.trim):
        if trim.left is not None and trim.right is not None and trim.right <= trim.left:
            yield (
                ("trim", k, "right"),
                f"right {trim.name} is at {trim.right} mm, left one at {trim.left} mm; "
                "expected left below right",
            )
    if (
        row.cushion.left is not None
        and row.cushion.right is not None
        and row.cushion.right <= row.cushion.left
    ):
        yield (
            ("cushion", "right"),
            f"the cushion of row {row.row} begins at {row.cushion.left} mm and ends at "
            f"{row.cushion.right} mm; expected left below right",
        )
    left = min((t.left for t in row.trim if t.left is not None), default=None)
    right = max((t.right for t in row.trim if t.right is not None), default=None)
    if left is not None and right is not None:
        if left >= right:
            return
        if right - left < NARROWEST_ROW_MM:
            last = max((k for k, t in enumerate(row.trim) if t.right is not None))
            yield (
                ("trim", last, "right"),
                f"row {row.row} is {right - left} mm wide between its walls; expected at least "
                f'{NARROWEST_ROW_MM} mm: a plain number is mm, inches are written "{right - left} in"',
            )
            return
    for loc, name, x in _places(row):
        if (left is not None and x < left) or (right is not None and x > right):
            walls = f"{'?' if left is None else left} to {'?' if right is None else right} mm"
            yield loc, f"{name} is at {x} mm; expected it between the walls, {walls}"


def _centres(row: Row) -> Found:
    """The middle of a seat lies on its cushion, and near the midpoint of its own bars."""
    bars = {bar.bar: bar.across for bar in row.lower_anchors or ()}
    for k, position in enumerate(row.positions):
        centre, own = position.centre, position.lower_anchors
        if centre is None:
            continue
        low, high = row.cushion.left, row.cushion.right
        if low is not None and high is not None and low < high and not low <= centre <= high:
            yield (
                ("positions", k, "centre"),
                f"the centre of {position.position} is at {centre} mm; expected it on the cushion, {low} to {high} mm",
            )
        elif own and all(name in bars for name in own) and 0 < bars[own[1]] - bars[own[0]] <= WIDEST_PAIR_MM:
            middle = (bars[own[0]] + bars[own[1]]) / 2
            if abs(middle - centre) > CENTRE_OFF_BARS_MM:
                yield (
                    ("positions", k, "centre"),
                    f"the centre of {position.position} is at {centre} mm and its bars meet at {middle:g} mm; expected "
                    f"them within {CENTRE_OFF_BARS_MM} mm of each other",
                )


def _places(row: Row) -> Iterator[tuple[Loc, str, int]]:
    """Everything that must lie between the side walls."""
    for key in ("left", "right"):
        x = getattr(row.cushion, key)
        if x is not None:
            yield ("cushion", key), f"the {key} end of the cushion of row {row.row}", x
    for k, bar in enumerate(row.lower_anchors or ()):
        yield ("lower_anchors", k, "across"), f"bar {bar.bar}", bar.across
    for k, position in enumerate(row.positions):
        if position.centre is not None:
            yield ("positions", k, "centre"), f"the centre of {position.position}", position.centre
        belt = position.belt
        if belt and belt.buckle and belt.buckle.across is not None:
            yield (
                ("positions", k, "belt", "buckle", "across"),
                f"the buckle of {position.position}",
                belt.buckle.across,
            )


def _named(row: Row) -> Found:
    """Bars and tethers: each named once, and named where they are used."""
    bars = {bar.bar: bar.across for bar in row.lower_anchors or ()}
    tethers = [tether.tether for tether in row.tethers or ()]
    for k, bar in enumerate(row.lower_anchors or ()):
        if bar.bar in [b.bar for b in (row.lower_anchors or ())[:k]]:
            yield ("lower_anchors", k, "bar"), f'two bars are called "{bar.bar}"; expected each once'
    for k, name in enumerate(tethers):
        if name == "none":
            yield ("tethers", k, "tether"), 'a tether anchor is called "none"; expected another name'
        if name in tethers[:k]:
            yield ("tethers", k, "tether"), f'two tether anchors are called "{name}"; expected each once'
    for k, position in enumerate(row.positions):
        for key, pair in (("lower_anchors", position.lower_anchors), ("borrow", position.borrow)):
            at: Loc = ("positions", k, key)
            for j, name in enumerate(pair or ()):
                if name not in bars:
                    known = near_word(name, bars) if bars else "its row lists no `lower_anchors`"
                    yield (
                        (*at, j),
                        f'{position.position} names bar "{name}", which its row does not have; {known}',
                    )
            if pair and all(name in bars for name in pair):
                if pair[0] == pair[1]:
                    yield at, f'{position.position} names bar "{pair[0]}" twice; expected two bars'
                elif bars[pair[0]] > bars[pair[1]]:
                    yield (
                        at,
                        (
                            f"{position.position} names bars {pair[0]} and {pair[1]} from right to left; "
                            "expected the left one first"
                        ),
                    )
        for key, anchor in (("tether", position.tether), ("retrofit_tether", position.retrofit_tether)):
            if anchor not in (None, "none") and anchor not in tethers:
                known = near_word(str(anchor), tethers) if tethers else "its row lists no `tethers`"
                yield (
                    ("positions", k, key),
                    f'{position.position} names tether "{anchor}", which its row does not have; {known}',
                )
        belt = position.belt
        if belt and belt.anchors and belt.anchors[0] == belt.anchors[1]:
            yield (
                ("positions", k, "belt", "anchors"),
                f"both belt anchors of {position.position} are at {belt.anchors[0]} mm; "
                "expected [left, right]",
            )
