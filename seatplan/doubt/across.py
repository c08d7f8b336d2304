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
    for look in _LOOKS:
        yield from look(row, at)
    for k, position in enumerate(row.positions):
        if position.centre is not None:
            yield from _about(row, position, position.centre, at, (*at, "positions", k))


def _cushion(row: Row, at: Path) -> Iterator[Odd]:
    """So many seats need so much of it."""
    left, right = row.cushion.left, row.cushion.right
    if left is not None and right is not None:
        yield from _odd("width_each", (right - left) / len(row.positions), said("for {n} seats", n=len(row.positions)),
                        (*at, "cushion", "right"), (*at, "cushion", "left"))


def _middle(row: Row, at: Path) -> Iterator[Odd]:
    """A row is alike left and right, so the middle of the cushion is that of its seats."""
    left, right = row.cushion.left, row.cushion.right
    centres = [p.centre for p in row.positions if p.centre is not None]
    if left is None or right is None or len(centres) < 2 or len(centres) < len(row.positions):
        return
    yield from _odd("off_middle", (left + right) / 2 - (centres[0] + centres[-1]) / 2,
                    said("of the middle of the cushion from that of its seats"),
                    (*at, "cushion", "left"), (*at, "cushion", "right"))


def _trims(row: Row, at: Path) -> Iterator[Odd]:
    """Each stands beside the cushion, as far on the left as on the right."""
    for k, trim in enumerate(row.trim):
        apart = {}
        for side, edge, own, sign in (("left", row.cushion.left, trim.left, 1),
                                      ("right", row.cushion.right, trim.right, -1)):
            if edge is not None and own is not None:
                yield from _odd("trim_beside", own - edge, said("from the edge of the cushion"),
                                (*at, "trim", k, side))
                apart[side] = (own - edge) * sign
        if len(apart) == 2:
            yield from _odd("trim_alike", apart["left"] - apart["right"], said("more than on the other side"),
                            (*at, "trim", k, "left"), (*at, "trim", k, "right"))


def _centres(row: Row, at: Path) -> Iterator[Odd]:
    centres = [(k, p.centre) for k, p in enumerate(row.positions) if p.centre is not None]
    for (k, a), (m, b) in pairwise(centres):
        yield from _odd("between_centres", (b - a) / (m - k), said("to the next seat"),
                        (*at, "positions", k, "centre"), (*at, "positions", m, "centre"))


def _about(row: Row, position: Position, centre: int, row_at: Path, at: Path) -> Iterator[Odd]:
    """What belongs to one position stands about its middle."""
    belt = position.belt
    from_middle = said("from the middle of {position}", position=position.position)
    if belt is not None and belt.buckle is not None and belt.buckle.across is not None:
        yield from _odd("buckle_aside", _inwards(row, position, belt.buckle.across - centre), from_middle,
                        (*at, "belt", "buckle", "across"))
    if belt is not None and belt.anchors is not None:
        yield from _odd("belt_anchors_aside", sum(belt.anchors) / 2 - centre, from_middle, (*at, "belt", "anchors"))
    known = {bar.bar: (j, bar.across) for j, bar in enumerate(row.lower_anchors or ())
             if bar.across is not None}
    if position.lower_anchors and all(name in known for name in position.lower_anchors):
        pair = [known[name] for name in position.lower_anchors]
        places = [across for _, across in pair]
        for j, _ in pair:
            bar: Path = (*row_at, "lower_anchors", j, "across")
            yield from _odd("bar_spacing", places[1] - places[0], said("between the bars"), bar)
            yield from _odd("bars_aside", sum(places) / 2 - centre, from_middle, bar)
    for j, tether in enumerate(row.tethers or ()):
        if tether.tether == position.tether and tether.across is not None:
            yield from _odd("tether_aside", tether.across - centre, from_middle, (*row_at, "tethers", j, "across"))


def _odd(band: str, value: float, why: str, *paths: Path) -> Iterator[Odd]:
    """A value outside a band of the row, told at each of the places that it comes from."""
    for path in paths:
        yield from band_at("row", band).odd(path, (), value, why)


def _inwards(row: Row, position: Position, aside: int) -> int:
    """A distance to the right as one to the middle of the row; of a seat in the middle either way counts."""
    if len(row.positions) == 1 or (position is not row.positions[0] and position is not row.positions[-1]):
        return abs(aside)
    return aside if position is row.positions[0] else -aside


_LOOKS = (_cushion, _middle, _trims, _centres)
