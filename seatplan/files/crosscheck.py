"""Checks across the fields of a vehicle: what is named must exist, and places must agree with each other."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from seatplan.message import Word, in_mm, said
from seatplan.model import Position, Row, Vehicle

from .crosscheck_along import along_wrong
from .crosscheck_row import row_wrong, walls
from .errors import Problem, near_word
from .places import Found, Loc, Places

_SIDES = "LCR"
#: no row is narrower between its walls than this, mm (from memory); less is a slip of the unit
NARROWEST_ROW_MM = 500
#: the middle of a seat is no further than this from the midpoint of its own bars, mm (from memory); more is a slip
CENTRE_OFF_BARS_MM = 150
#: bars further apart are no pair, mm (from memory)
WIDEST_PAIR_MM = 600


def vehicle_problems(vehicle: Vehicle, places: Places, at: Loc = ()) -> list[Problem]:
    """Everything about one vehicle that does not agree."""
    return [places.problem((*at, *loc), text) for loc, text in _vehicle(vehicle)]


def _vehicle(vehicle: Vehicle) -> Found:
    numbers = [row.row for row in vehicle.rows]
    for i, (before, after) in enumerate(pairwise(numbers)):
        if after <= before:
            yield (
                ("rows", i + 1, "row"),
                said("row {after} comes after row {before}; expected rows from front to back", after=after,
                     before=before),
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
                    said('two positions are called "{name}"; expected each once', name=name),
                )
            seen.add(name)
            if position.row != row.row:
                yield (
                    (*at, "positions", k, "position"),
                    said('position "{name}" stands in row {row}; expected {row}{name_2}', name=name, row=row.row,
                         name_2=name[1]),
                )
            for loc, text in _ahead(position, everywhere):
                yield (*at, "positions", k, "ahead", *loc), text
        off = vehicle.measured.tolerance
        for loc, text in (*_order(row), *_walls(row), *_centres(row), *_named(row), *row_wrong(row, off)):
            yield (*at, *loc), text
    yield from along_wrong(vehicle)


def _ahead(position: Position, everywhere: set[str]) -> Found:
    if position.ahead is None or position.ahead.seat is None:
        return
    seat = position.ahead.seat
    if seat not in everywhere:
        yield ("seat",), said('no position is called "{seat}"; {near_word}', seat=seat,
                              near_word=near_word(seat, everywhere))
    elif int(seat[0]) >= position.row and position.facing in ("forward", None):
        yield (
            ("seat",),
            said("{seat} does not stand ahead of {position}; expected a seat of a row before it", seat=seat,
                 position=position.position),
        )
    heights = [height for height, _ in position.ahead.gap]
    for k, height in enumerate(heights):
        if height in heights[:k]:
            yield (
                ("gap", k),
                said("two gaps at {height} ahead of {position}; expected one for each height", height=in_mm(height),
                     position=position.position),
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
                said("{position} stands after {position_2}; expected positions from left to right",
                     position=other.position, position_2=one.position),
            )
        if one.centre is not None and other.centre is not None and other.centre <= one.centre:
            yield (
                ("positions", k + 1, "centre"),
                said("centre of {position} is {centre} and of {position_2} {centre_2}; "
                     "expected them to grow from left to right", position=other.position, centre=in_mm(other.centre),
                     position_2=one.position, centre_2=in_mm(one.centre)),
            )


def _walls(row: Row) -> Found:
    for k, trim in enumerate(row.trim):
        other = None if trim.only is None else trim.left if trim.only == "right" else trim.right
        if other is not None:
            yield (
                ("trim", k, "only"),
                said("{name} is {only} only, and its other side is at {other}; expected one of both left out",
                     name=trim.name, only=trim.only, other=in_mm(other)),
            )
        if trim.left is not None and trim.right is not None and trim.right <= trim.left:
            yield (
                ("trim", k, "right"),
                said("right {name} is at {right}, left one at {left}; "
                     "expected left below right", name=trim.name, right=in_mm(trim.right), left=in_mm(trim.left)),
            )
    if (
        row.cushion.left is not None
        and row.cushion.right is not None
        and row.cushion.right <= row.cushion.left
    ):
        yield (
            ("cushion", "right"),
            said("the cushion of row {row} begins at {left} and ends at "
                 "{right}; expected left below right", row=row.row, left=in_mm(row.cushion.left),
                 right=in_mm(row.cushion.right)),
        )
    left, right = walls(row)
    if left is not None and right is not None:
        if left >= right:
            return
        if right - left < NARROWEST_ROW_MM:
            last = max((k for k, t in enumerate(row.trim) if t.right is not None))
            yield (
                ("trim", last, "right"),
                said("row {row} is {right} wide between its walls; expected at least "
                     '{NARROWEST_ROW_MM}: a plain number is mm, inches are written "{typed} in"', row=row.row,
                     right=in_mm(right - left), typed=right - left,
                     NARROWEST_ROW_MM=in_mm(NARROWEST_ROW_MM)),
            )
            return
    for loc, name, x in _places(row):
        if (left is not None and x < left) or (right is not None and x > right):
            told = said("{some:bare} to {some_2}", some=in_mm(left), some_2=in_mm(right))
            yield loc, said("{name} is at {x}; expected it between the walls, {walls}", name=name, x=in_mm(x),
                            walls=told)


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
                said("the centre of {position} is at {centre}; expected it on the cushion, {low:bare} to {high}",
                     position=position.position, centre=in_mm(centre), low=in_mm(low), high=in_mm(high)),
            )
        elif own and all(name in bars for name in own) and 0 < bars[own[1]] - bars[own[0]] <= WIDEST_PAIR_MM:
            middle = (bars[own[0]] + bars[own[1]]) / 2
            if abs(middle - centre) > CENTRE_OFF_BARS_MM:
                yield (
                    ("positions", k, "centre"),
                    said("the centre of {position} is at {centre} and its bars meet at {middle}; expected "
                         "them within {CENTRE_OFF_BARS_MM} of each other", position=position.position,
                         centre=in_mm(centre), middle=in_mm(middle), CENTRE_OFF_BARS_MM=in_mm(CENTRE_OFF_BARS_MM)),
                )


def _places(row: Row) -> Iterator[tuple[Loc, str, int]]:
    """Everything that must lie between the side walls."""
    for key in ("left", "right"):
        x = getattr(row.cushion, key)
        if x is not None:
            yield ("cushion", key), said("the {side} end of the cushion of row {row}", side=Word(key), row=row.row), x
    for k, bar in enumerate(row.lower_anchors or ()):
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


def _named(row: Row) -> Found:
    """Bars and tethers: each named once, and named where they are used."""
    bars = {bar.bar: bar.across for bar in row.lower_anchors or ()}
    tethers = [tether.tether for tether in row.tethers or ()]
    for k, bar in enumerate(row.lower_anchors or ()):
        if bar.bar in [b.bar for b in (row.lower_anchors or ())[:k]]:
            yield ("lower_anchors", k, "bar"), said('two bars are called "{bar}"; expected each once', bar=bar.bar)
    for k, name in enumerate(tethers):
        if name == "none":
            yield ("tethers", k, "tether"), said('a tether anchor is called "none"; expected another name')
        if name in tethers[:k]:
            yield ("tethers", k, "tether"), said('two tether anchors are called "{name}"; expected each once',
                                                 name=name)
    for k, position in enumerate(row.positions):
        for key, pair in (("lower_anchors", position.lower_anchors), ("borrow", position.borrow)):
            at: Loc = ("positions", k, key)
            for j, name in enumerate(pair or ()):
                if name not in bars:
                    known = near_word(name, bars) if bars else said("its row lists no `lower_anchors`")
                    yield (
                        (*at, j),
                        said('{position} names bar "{name}", which its row does not have; {known}',
                             position=position.position, name=name, known=known),
                    )
            if pair and all(name in bars for name in pair):
                if pair[0] == pair[1]:
                    yield at, said('{position} names bar "{pair}" twice; expected two bars',
                                   position=position.position, pair=pair[0])
                elif bars[pair[0]] == bars[pair[1]]:
                    yield at, said("{position} names bars {pair} and {pair_2}, both at {across}; expected two "
                                   "places", position=position.position, pair=pair[0], pair_2=pair[1],
                                   across=in_mm(bars[pair[0]]))
                elif bars[pair[0]] > bars[pair[1]]:
                    yield (
                        at,
                        (
                            said("{position} names bars {pair} and {pair_2} from right to left; "
                                 "expected the left one first", position=position.position, pair=pair[0],
                                 pair_2=pair[1])
                        ),
                    )
        for key, anchor in (("tether", position.tether), ("retrofit_tether", position.retrofit_tether)):
            if anchor not in (None, "none") and anchor not in tethers:
                known = near_word(str(anchor), tethers) if tethers else said("its row lists no `tethers`")
                yield (
                    ("positions", k, key),
                    said('{position} names tether "{anchor}", which its row does not have; {known}',
                         position=position.position, anchor=anchor, known=known),
                )
        belt = position.belt
        if belt and belt.anchors and belt.anchors[0] == belt.anchors[1]:
            yield (
                ("positions", k, "belt", "anchors"),
                said("both belt anchors of {position} are at {anchors}; "
                     "expected [left, right]", position=position.position, anchors=in_mm(belt.anchors[0])),
            )
