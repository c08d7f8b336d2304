"""The bodies of one row as everybody looks at them: the search, the rule about the row, drawings.

They are built here and nowhere else, with the plays and the hand's room of the profile and under the options of the
world, so that what the search calls close is never a block to the rule.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from .ahead import shapes_of

if TYPE_CHECKING:
    from collections.abc import Sequence

    from seatplan.geometry.across import RowSpace, Seat
    from seatplan.model import Row

    from .subjects import Placement, World


class SideBySide:
    """One row of a world's vehicle. Answers are kept."""

    def __init__(self, row: Row, world: World) -> None:
        from seatplan.geometry.across import RowSpace

        self.row, self._world, self._shapes = row, world, shapes_of(world)
        self.space: RowSpace = RowSpace(row, self._shapes, world.vehicle.measured.tolerance,
                                        worst_case=world.options.worst_case)
        self._order = [position.position for position in row.positions]
        self._bodies: dict[Placement, Seat] = {}
        driver = world.unlisted_driver()
        self.driver = driver if driver is not None and driver.row.row == row.row else None

    def body(self, placement: Placement) -> Seat:
        """The body that a placement puts in the row."""
        body = self._bodies.get(placement)
        if body is None:
            body = self._bodies[placement] = self._made(placement)
        return body

    def _made(self, placement: Placement) -> Seat:
        from seatplan.geometry.across import seat_of

        world = self._world
        return seat_of(
            placement.row, placement.position, placement.rider, placement.restraint, placement.mode,
            placement.installation, placement.bars, self._shapes,
            belt_play_mm=int(world.limit("belt_play")), flexible_play_mm=int(world.limit("flexible_anchor_play")),
            rigid_play_mm=int(world.limit("rigid_anchor_play")), hand_room_mm=int(world.limit("buckle_hand_room")),
            tolerance_mm=world.vehicle.measured.tolerance, lean=placement.recline,
        )

    def bodies(self, placements: Sequence[Placement]) -> list[Seat]:
        """Everybody in the row, left to right: the riders, and the driver where no rider drives; nobody in a row
        without riders."""
        bodies = [self.body(placement) for placement in placements]
        if self.driver is None or not bodies:
            return bodies
        return sorted([*bodies, self.body(self.driver)], key=lambda body: self._order.index(body.position))


def side_by_side(row: Row, world: World) -> SideBySide:
    """The row as this world has it, the same for all who ask."""
    key = ("row", id(row))                    # the answer holds the row, so its id stays its own
    if key not in world.kept:
        world.kept[key] = SideBySide(row, world)
    kept: SideBySide = world.kept[key]
    return kept
