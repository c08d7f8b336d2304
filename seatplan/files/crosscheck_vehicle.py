"""A vehicle: its rows and seats in order, each named once, and what stands ahead of each. One check each, in
``VEHICLE_CHECKS``; those of one row by itself stand in the modules of ``_OF_A_ROW``."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from itertools import pairwise

from seatplan.message import in_mm, said
from seatplan.model import Ahead, Position, Vehicle

from .crosscheck_along import ALONG_CHECKS
from .crosscheck_anchors import ANCHOR_CHECKS
from .crosscheck_row import ROW_CHECKS
from .crosscheck_shape import SHAPE_CHECKS
from .crosscheck_walls import WALL_CHECKS
from .errors import Problem, near_word
from .places import Found, Loc, Places, below

_SIDES = "LCR"


def vehicle_problems(vehicle: Vehicle, places: Places, at: Loc = ()) -> list[Problem]:
    """Everything about one vehicle that does not agree."""
    return [places.problem((*at, *loc), text) for loc, text in _vehicle(vehicle)]


def _vehicle(vehicle: Vehicle) -> Found:
    for check in VEHICLE_CHECKS:
        yield from check(vehicle)
    for i, row in enumerate(vehicle.rows):
        for row_check in _OF_A_ROW:
            yield from below(("rows", i), row_check(row, vehicle.measured.tolerance))


def _forward_and_fixed_or_not(vehicle: Vehicle) -> Found:
    """One yes for all three, or a word for each."""
    every = vehicle.every_seat
    for name, usual in (("facing", "forward"), ("tip_up", False), ("slides", False)) if every.forward_and_fixed else ():
        if getattr(every, name) != usual:
            yield ("every_seat", name), said(
                "{name} says otherwise than `forward_and_fixed: yes`; expected one of them", name=name)


def _rows_from_front_to_back(vehicle: Vehicle) -> Found:
    for i, (before, after) in enumerate(pairwise(row.row for row in vehicle.rows)):
        if after <= before:
            yield (
                ("rows", i + 1, "row"),
                said("row {after} comes after row {before}; expected rows from front to back", after=after,
                     before=before),
            )


def _positions_named_once(vehicle: Vehicle) -> Found:
    seen: set[str] = set()
    for at, position in _positions(vehicle):
        name = position.position
        if name in seen:
            yield (
                (*at, "position"),
                said('two positions are called "{name}"; expected each once', name=name),
            )
        seen.add(name)


def _positions_named_by_their_row(vehicle: Vehicle) -> Found:
    for i, row in enumerate(vehicle.rows):
        for k, position in enumerate(row.positions):
            name = position.position
            if position.row != row.row:
                yield (
                    ("rows", i, "positions", k, "position"),
                    said('position "{name}" stands in row {row}; expected {row}{name_2}', name=name, row=row.row,
                         name_2=name[1]),
                )


def _positions_from_left_to_right(vehicle: Vehicle) -> Found:
    """By name and by place."""
    for i, row in enumerate(vehicle.rows):
        for k, (one, other) in enumerate(pairwise(row.positions)):
            if (
                _SIDES.index(other.position[1]) <= _SIDES.index(one.position[1])
                and one.position != other.position
            ):
                yield (
                    ("rows", i, "positions", k + 1, "position"),
                    said("{position} stands after {position_2}; expected positions from left to right",
                         position=other.position, position_2=one.position),
                )
            if one.centre is not None and other.centre is not None and other.centre <= one.centre:
                yield (
                    ("rows", i, "positions", k + 1, "centre"),
                    said("centre of {position} is {centre} and of {position_2} {centre_2}; "
                         "expected them to grow from left to right", position=other.position,
                         centre=in_mm(other.centre), position_2=one.position, centre_2=in_mm(one.centre)),
                )


def _seat_ahead_stands_ahead(vehicle: Vehicle) -> Found:
    everywhere = {p.position for p in vehicle.positions()}
    for at, position, ahead in _seats_ahead(vehicle):
        seat = ahead.seat
        if seat is None:
            continue
        if seat not in everywhere:
            yield (*at, "seat"), said('no position is called "{seat}"; {near_word}', seat=seat,
                                      near_word=near_word(seat, everywhere))
        elif int(seat[0]) >= position.row and position.facing in ("forward", None):
            yield (
                (*at, "seat"),
                said("{seat} does not stand ahead of {position}; expected a seat of a row before it", seat=seat,
                     position=position.position),
            )


def _one_gap_for_each_height(vehicle: Vehicle) -> Found:
    for at, position, ahead in _seats_ahead(vehicle):
        heights = [height for height, _ in ahead.gap]
        for k, height in enumerate(heights):
            if height in heights[:k]:
                yield (
                    (*at, "gap", k),
                    said("two gaps at {height} ahead of {position}; expected one for each height", height=in_mm(height),
                         position=position.position),
                )


def _positions(vehicle: Vehicle) -> Iterator[tuple[Loc, Position]]:
    """Each position with its place, in the order of the file."""
    for i, row in enumerate(vehicle.rows):
        for k, position in enumerate(row.positions):
            yield ("rows", i, "positions", k), position


def _seats_ahead(vehicle: Vehicle) -> Iterator[tuple[Loc, Position, Ahead]]:
    """What stands ahead of each position that says so, with its place."""
    for at, position in _positions(vehicle):
        if position.ahead is not None:
            yield (*at, "ahead"), position, position.ahead


VEHICLE_CHECKS: tuple[Callable[[Vehicle], Found], ...] = (
    _forward_and_fixed_or_not, _rows_from_front_to_back, _positions_named_once, _positions_named_by_their_row,
    _positions_from_left_to_right, _seat_ahead_stands_ahead, _one_gap_for_each_height, *ALONG_CHECKS,
)
_OF_A_ROW = (*WALL_CHECKS, *ROW_CHECKS, *SHAPE_CHECKS, *ANCHOR_CHECKS)
