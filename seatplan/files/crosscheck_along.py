"""Front to back in one vehicle: free lengths and travels that no cabin has. One check each, in ``ALONG_CHECKS``."""

from __future__ import annotations

from collections.abc import Callable
from itertools import pairwise
from math import cos, radians

from seatplan.model import Position, Vehicle
from seatplan.said import said

from .places import Found


def _gaps_from_the_lowest(vehicle: Vehicle) -> Found:
    """Heights rise, so that a line in the wrong place is seen. One that stands twice is told by itself."""
    for i, row in enumerate(vehicle.rows):
        for k, position in enumerate(row.positions):
            for j, ((before, _), (after, _)) in enumerate(pairwise(position.ahead.gap if position.ahead else ())):
                if after < before:
                    yield (
                        ("rows", i, "positions", k, "ahead", "gap", j + 1),
                        said("a gap at {after} mm stands after one at {before} mm ahead of {position}; expected the "
                             "lowest first", after=after, before=before, position=position.position),
                    )


def _cushion_behind_the_seat_ahead(vehicle: Vehicle) -> Found:
    """The cushion ends behind the seat ahead: at its own height the free length is at least as long."""
    off = vehicle.measured.tolerance
    for i, row in enumerate(vehicle.rows):
        length, angle = row.cushion.length, row.cushion.angle
        if length is None or angle is None:
            continue
        flat = length * cos(radians(angle))
        for k, position in enumerate(row.positions):
            for j, (height, free) in enumerate(position.ahead.gap if position.ahead else ()):
                if height == 0 and free + 2 * off < flat:
                    yield (
                        ("rows", i, "positions", k, "ahead", "gap", j, 1),
                        said("{free} mm are free ahead of {position}, and its cushion is {length} mm long; expected a "
                             "free length beyond the cushion", free=free, position=position.position, length=length),
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
                    said("what is ahead of {position} travels {travel} mm; expected at most {most} mm, what is free "
                         "behind it", position=position.position, travel=ahead.travel, most=most),
                )


def _slide_within_the_cabin(vehicle: Vehicle) -> Found:
    """A row slides as far as is free ahead of it, with the seats ahead right forward, and no further."""
    off = vehicle.measured.tolerance
    for i, row in enumerate(vehicle.rows):
        room = [most for position in row.positions if (most := _free(position)) is not None]
        if room and row.slides is not None and row.slides > min(room) + 3 * off:
            yield (
                ("rows", i, "slides"),
                said("row {row} slides {slides} mm; expected at most {most} mm, what is free ahead of it",
                     row=row.row, slides=row.slides, most=min(room)),
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
                    said("{seat} travels {travel} mm; expected at most {most} mm, what is free ahead of it",
                         seat=ahead.seat, travel=ahead.travel, most=room[ahead.seat]),
                )


def _free(position: Position) -> int | None:
    """The least free length ahead of a position with what is there right forward, mm; None where it is not known."""
    ahead = position.ahead
    if ahead is None or not ahead.gap or position.facing in ("rear", "side"):
        return None
    travel = ahead.travel if ahead.seat is not None else ahead.travel or 0
    return None if travel is None else min(free for _, free in ahead.gap) + travel


ALONG_CHECKS: tuple[Callable[[Vehicle], Found], ...] = (
    _gaps_from_the_lowest, _cushion_behind_the_seat_ahead, _travel_within_the_gap, _slide_within_the_cabin,
    _travel_of_a_row_that_slides,
)
