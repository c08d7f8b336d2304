"""Front to back in one vehicle: free lengths and travels that no cabin has. One check each, in ``ALONG_CHECKS``."""

from __future__ import annotations

from collections.abc import Callable
from itertools import pairwise
from math import cos, radians

from seatplan.message import in_mm, said
from seatplan.model import Position, Vehicle
from seatplan.model.own_seat import cushion_at

from .places import Found, Loc


def _gaps_from_the_lowest(vehicle: Vehicle) -> Found:
    """Heights rise, so that a line in the wrong place is seen. One that stands twice is told by itself."""
    for i, row in enumerate(vehicle.rows):
        for k, position in enumerate(row.positions):
            for j, ((before, _), (after, _)) in enumerate(pairwise(position.ahead.gap if position.ahead else ())):
                if after < before:
                    yield (
                        ("rows", i, "positions", k, "ahead", "gap", j + 1),
                        said("a gap at {after} stands after one at {before} ahead of {position}; expected the "
                             "lowest first", after=in_mm(after), before=in_mm(before), position=position.position),
                    )


def _cushion_behind_the_seat_ahead(vehicle: Vehicle) -> Found:
    """The cushion ends behind the seat ahead: at its own height the free length is at least as long."""
    off = vehicle.measured.tolerance
    for i, row in enumerate(vehicle.rows):
        for k, position in enumerate(row.positions):
            cushion = cushion_at(row, position)
            length, angle = cushion.length, cushion.angle
            if length is None or angle is None:
                continue
            flat = length * cos(radians(angle))
            for j, (height, free) in enumerate(position.ahead.gap if position.ahead else ()):
                if height == 0 and free + 2 * off < flat:
                    yield (
                        ("rows", i, "positions", k, "ahead", "gap", j, 1),
                        said("{free} are free ahead of {position}, and its cushion is {length} long; expected a "
                             "free length beyond the cushion", free=in_mm(free), position=position.position,
                             length=in_mm(length)),
                    )


def _travel_within_the_gap(vehicle: Vehicle) -> Found:
    """A seat has no more room before it than is behind it: it never travels further than the free length."""
    off = vehicle.measured.tolerance
    for i, row in enumerate(vehicle.rows):
        for k, position in enumerate(row.positions):
            ahead = position.ahead
            if ahead is None or ahead.travel is None or not ahead.gap:
                continue
            most = max(free for _, free in ahead.gap)
            if ahead.travel > most + 2 * off:
                yield (
                    ("rows", i, "positions", k, "ahead", "travel"),
                    said("what is ahead of {position} travels {travel}; expected at most {most}, what is free "
                         "behind it", position=position.position, travel=in_mm(ahead.travel), most=in_mm(most)),
                )


def _beyond_use_of_a_seat_that_moves(vehicle: Vehicle) -> Found:
    """What can be pushed beyond use is a seat that moves by itself, no further than there is room before it."""
    off = vehicle.measured.tolerance
    sliding = {row.row for row in vehicle.rows if row.slides}
    for i, row in enumerate(vehicle.rows):
        for k, position in enumerate(row.positions):
            ahead, at = position.ahead, ("rows", i, "positions", k, "ahead", "beyond_use")
            if ahead is None or not ahead.beyond_use:
                continue
            if ahead.seat is None:
                yield at, said("beyond_use stands ahead of {position}, and no `seat` that could be pushed; expected "
                               "both", position=position.position)
            elif int(ahead.seat[0]) in sliding:
                yield at, said("{seat} is in a row that slides; expected beyond_use of a seat that moves by itself",
                               seat=ahead.seat)
            elif ahead.gap and (ahead.travel or 0) + ahead.beyond_use > max(free for _, free in ahead.gap) + 2 * off:
                most = max(free for _, free in ahead.gap) - (ahead.travel or 0)
                yield at, said("{seat} is pushed {beyond} beyond its travel; expected at most {most}: with it no more "
                               "than is free behind it", seat=ahead.seat, beyond=in_mm(ahead.beyond_use),
                               most=in_mm(max(0, most)))


def _slide_within_the_cabin(vehicle: Vehicle) -> Found:
    """A row, or a part of it, slides as far as is free ahead of it, with the seats ahead right forward, no further."""
    off = vehicle.measured.tolerance
    for i, row in enumerate(vehicle.rows):
        room = {position.position: most for position in row.positions if (most := _free(position)) is not None}
        bodies: list[tuple[Loc, int | None, list[str]]] = [
            (("parts", k, "slides"), part.slides, part.positions) for k, part in enumerate(row.parts)]
        for at, slides, seats in bodies or [(("slides",), row.slides, list(room))]:
            most = min((room[seat] for seat in seats if seat in room), default=None)
            if most is not None and slides is not None and slides > most + 3 * off:
                yield (
                    ("rows", i, *at),
                    said("row {row} slides {slides}; expected at most {most}, what is free ahead of it",
                         row=row.row, slides=in_mm(slides), most=in_mm(most)),
                )


def _travel_of_a_row_that_slides(vehicle: Vehicle) -> Found:
    """What a rear seat ahead travels is what its own row can: neither further than the room ahead of it."""
    off = vehicle.measured.tolerance
    room = {position.position: most for position in vehicle.positions() if (most := _free(position)) is not None}
    for i, row in enumerate(vehicle.rows):
        for k, position in enumerate(row.positions):
            ahead = position.ahead
            if ahead is None or ahead.seat is None or ahead.travel is None or ahead.seat not in room:
                continue
            if position.facing in ("forward", None) and ahead.travel > room[ahead.seat] + 3 * off:
                yield (
                    ("rows", i, "positions", k, "ahead", "travel"),
                    said("{seat} travels {travel}; expected at most {most}, what is free ahead of it",
                         seat=ahead.seat, travel=in_mm(ahead.travel), most=in_mm(room[ahead.seat])),
                )


def _free(position: Position) -> int | None:
    """The least free length ahead of a position with what is there right forward, mm; None where it is not known."""
    ahead = position.ahead
    if ahead is None or not ahead.gap or position.facing in ("rear", "side"):
        return None
    travel = ahead.travel if ahead.seat is not None else ahead.travel or 0
    return None if travel is None else min(free for _, free in ahead.gap) + travel


ALONG_CHECKS: tuple[Callable[[Vehicle], Found], ...] = (
    _gaps_from_the_lowest, _cushion_behind_the_seat_ahead, _travel_within_the_gap, _beyond_use_of_a_seat_that_moves,
    _slide_within_the_cabin,
    _travel_of_a_row_that_slides,
)
