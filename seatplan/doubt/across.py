"""Places across a row that are unlikely beside each other: a slip in one of them moves it away from the rest."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from seatplan.message import said
from seatplan.model import Position, Row, Vehicle
from seatplan.model.doubt import Path

from .bands import Odd, band_at


def odd_places(vehicle: Vehicle) -> Iterator[Odd]:
    """Every unlikely place across of a vehicle."""
    for i, row in enumerate(vehicle.rows):
        yield from _in_row(row, ("rows", i))


def _in_row(row: Row, at: Path) -> Iterator[Odd]:
    left, right = row.cushion.left, row.cushion.right
    beside, each = band_at("row", "trim_beside"), band_at("row", "width_each")
    if left is not None and right is not None:
        why = said("for {n} seats", n=len(row.positions))
        for odd in each.odd((*at, "cushion", "right"), (), (right - left) / len(row.positions), why):
            yield odd
            yield from each.odd((*at, "cushion", "left"), (), odd.value, why)
        yield from _middle(row, left, right, at)
    for k, trim in enumerate(row.trim):
        for side, edge, own in (("left", left, trim.left), ("right", right, trim.right)):
            if edge is not None and own is not None:
                yield from beside.odd((*at, "trim", k, side), (), own - edge, said("from the edge of the cushion"))
        if left is not None and right is not None and trim.left is not None and trim.right is not None:
            off = (trim.left - left) - (right - trim.right)
            for side in ("left", "right"):
                yield from band_at("row", "trim_alike").odd((*at, "trim", k, side), (), off,
                                                            said("more than on the other side"))
    centres = [(k, p.centre) for k, p in enumerate(row.positions) if p.centre is not None]
    for (k, a), (m, b) in pairwise(centres):
        for odd in band_at("row", "between_centres").odd((*at, "positions", k, "centre"), (), (b - a) / (m - k),
                                                         said("to the next seat")):
            yield odd
            yield from band_at("row", "between_centres").odd((*at, "positions", m, "centre"), (), odd.value, odd.why)
    for k, position in enumerate(row.positions):
        if position.centre is not None:
            yield from _about(row, position, position.centre, at, (*at, "positions", k))


def _middle(row: Row, left: int, right: int, at: Path) -> Iterator[Odd]:
    """A row is alike left and right, so the middle of the cushion is that of its seats."""
    centres = [p.centre for p in row.positions if p.centre is not None]
    if len(centres) < 2 or len(centres) < len(row.positions):
        return
    off = (left + right) / 2 - (centres[0] + centres[-1]) / 2
    why = said("of the middle of the cushion from that of its seats")
    for odd in band_at("row", "off_middle").odd((*at, "cushion", "left"), (), off, why):
        yield odd
        yield from band_at("row", "off_middle").odd((*at, "cushion", "right"), (), off, why)


def _about(row: Row, position: Position, centre: int, row_at: Path, at: Path) -> Iterator[Odd]:
    """What belongs to one position stands about its middle."""
    belt = position.belt
    from_middle = said("from the middle of {position}", position=position.position)
    if belt is not None and belt.buckle is not None and belt.buckle.across is not None:
        yield from band_at("row", "buckle_aside").odd((*at, "belt", "buckle", "across"), (),
                                                      _inwards(row, position, belt.buckle.across - centre), from_middle)
    if belt is not None and belt.anchors is not None:
        yield from band_at("row", "belt_anchors_aside").odd((*at, "belt", "anchors"), (),
                                                            sum(belt.anchors) / 2 - centre, from_middle)
    known = {bar.bar: (j, bar.across) for j, bar in enumerate(row.lower_anchors or ())}
    if position.lower_anchors and all(name in known for name in position.lower_anchors):
        pair = [known[name] for name in position.lower_anchors]
        places = [across for _, across in pair]
        for j, _ in pair:
            bar: Path = (*row_at, "lower_anchors", j, "across")
            yield from band_at("row", "bar_spacing").odd(bar, (), places[1] - places[0], said("between the bars"))
            yield from band_at("row", "bars_aside").odd(bar, (), sum(places) / 2 - centre, from_middle)
    for j, tether in enumerate(row.tethers or ()):
        if tether.tether == position.tether and tether.across is not None:
            yield from band_at("row", "tether_aside").odd((*row_at, "tethers", j, "across"), (),
                                                          tether.across - centre, from_middle)


def _inwards(row: Row, position: Position, aside: int) -> int:
    """A distance to the right as one to the middle of the row; of a seat in the middle either way counts."""
    if len(row.positions) == 1 or (position is not row.positions[0] and position is not row.positions[-1]):
        return abs(aside)
    return aside if position is row.positions[0] else -aside
