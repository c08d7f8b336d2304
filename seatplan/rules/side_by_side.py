"""The bodies of one row as everybody looks at them: the search, the rule about the row, drawings.

They are built here and nowhere else, with the plays and the hand's room of the profile and under the options of the
world, so that what the search calls close is never a block to the rule.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from .ahead import shapes_of

if TYPE_CHECKING:
    from collections.abc import Sequence

    from seatplan.geometry.across import Body, Fit, RowSpace
    from seatplan.geometry.chain import Solution, Squeeze
    from seatplan.model import Row
    from seatplan.store import Shelf

    from .subjects import Placement, RuleContext


class SideBySide:
    """One row of a world's vehicle. Bodies are the same where all that makes them is."""

    def __init__(self, row: Row, world: RuleContext, space: RowSpace) -> None:
        self.row, self._world, self._shapes, self.space = row, world, shapes_of(world), space
        self._order = [position.position for position in row.positions]
        self._bodies: Shelf[Body] = world.store.shelf("bodies", weight=16)
        self._alike: Shelf[int] = world.store.shelf("bodies that are alike", weight=16)
        self._solved: Shelf[Solution | Squeeze] = world.store.shelf("solved rows", weight=16)
        self._guesses: Shelf[Fit] = world.store.shelf("guesses of rows", weight=16)
        self._number = world.store.number
        self._base = (row.frame, world.vehicle.measured.tolerance, world.profile.content)
        driver = world.unlisted_driver()
        self.driver = driver if driver is not None and driver.row.row == row.row else None

    def body(self, placement: Placement) -> Body:
        """The body that a placement puts in the row."""
        restraint, mode, installation = placement.restraint, placement.mode, placement.installation
        own = mode is None or mode.booster
        key = (self._base, placement.position.content, placement.second and placement.second.content,
               placement.rider.rider,
               placement.rider.content if own else 0, restraint and (restraint.restraint, restraint.tolerance),
               mode and mode.content, installation and installation.content, placement.bars, placement.recline)
        body = self._bodies.get(key)
        return self._bodies.put(key, self._made(placement)) if body is None else body

    def room_key(self, placement: Placement) -> int:
        """The number of all that the room beside others depends on: bodies of equal size that hang alike share it."""
        body = self.body(placement)
        return self._alike.ask(body, lambda: self._number((
            self._base, body.position, self._number(body.shape.body), body.centre, body.play, body.tolerance,
            None if body.buckle is None else (body.buckle.at, body.buckle.room, body.buckle.zone.corners,
                                              body.buckle.whole))))

    def _made(self, placement: Placement) -> Body:
        from seatplan.geometry.across import seat_of

        world = self._world
        return seat_of(
            placement.row, placement.position, placement.rider, placement.restraint, placement.mode,
            placement.installation, placement.bars, self._shapes,
            belt_play_mm=int(world.limit("belt_play")), flexible_play_mm=int(world.limit("flexible_anchor_play")),
            rigid_play_mm=int(world.limit("rigid_anchor_play")), hand_room_mm=int(world.limit("buckle_hand_room")),
            tolerance_mm=world.vehicle.measured.tolerance, lean=placement.recline, second=placement.second,
        )

    def solved(self, bodies: Sequence[Body]) -> Solution | Squeeze:
        """Where some bodies of the row stand, or the sum that does not come out."""
        return self._solved.ask((self.space, *bodies), lambda: self.space.solve(bodies))

    def estimates(self, bodies: Sequence[Body]) -> tuple[str, ...]:
        """What is only estimated and decides whether they have room."""
        return self._fit(bodies).estimates

    def is_open(self, bodies: Sequence[Body]) -> bool:
        """Whether they have room at the kind end of what is only estimated, and none at the other."""
        return self._fit(bodies).open

    def _fit(self, bodies: Sequence[Body]) -> Fit:
        return self._guesses.ask((self.space, *bodies), lambda: self.space.fit(bodies, 0))

    def bodies(self, placements: Sequence[Placement]) -> list[Body]:
        """Everybody in the row, left to right: the riders, and the driver where no rider drives; nobody in a row
        without riders."""
        return self.with_driver([self.body(placement) for placement in placements])

    def with_driver(self, bodies: list[Body]) -> list[Body]:
        """Some bodies with the driver's, where no rider drives and anybody is there."""
        if self.driver is None or not bodies:
            return bodies
        return sorted([*bodies, self.body(self.driver)], key=lambda body: self._order.index(body.position))


def side_by_side(row: Row, world: RuleContext) -> SideBySide:
    """The row as this world has it, the same for all who ask."""
    from seatplan.geometry.across import RowSpace

    kept: SideBySide | None = world.kept.get(row.row)
    if kept is None or kept.row is not row:
        tolerance, worst_case = world.vehicle.measured.tolerance, world.options.worst_case
        space = world.store.shelf("rows", weight=2000).ask(
            (row.frame, tolerance, worst_case),
            lambda: RowSpace(row, shapes_of(world), tolerance, worst_case=worst_case))
        kept = world.kept[row.row] = SideBySide(row, world, space)
    return kept
