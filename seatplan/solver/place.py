"""What cells put into a row, and which bodies may come to one place of it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from seatplan.geometry.across import Body


class BodyInRow(NamedTuple):
    """What a cell puts into the row: the number that alike bodies share, the body, whether it lacks a number by itself,
    whether it can cover a buckle, whether the place of its own is missing, whether a width of it is only estimated; the
    body where it takes most room, at each corner of the vehicle."""

    key: int
    seat: Body
    lacks: bool
    covers: bool
    buckle_lacks: bool
    guessed: bool
    corners: tuple[Body, ...]


class Place(NamedTuple):
    """Cells that may come to one position: the number of the place, the different bodies of them, and which of these
    each is."""

    number: int
    bodies: tuple[BodyInRow, ...]
    columns: tuple[int, ...]

    @staticmethod
    def of(number: int, bodies: Sequence[BodyInRow]) -> Place:
        """That of some bodies, which may be alike."""
        first = {body.key: body for body in reversed(bodies)}
        column = {key: i for i, key in enumerate(first)}
        return Place(number, tuple(first.values()), tuple([column[body.key] for body in bodies]))
