"""What rules look at: a placement, a pair, the seating of one row, the seating of the whole trip."""

from __future__ import annotations

from dataclasses import field, replace
from datetime import date
from typing import TYPE_CHECKING, Any

from seatplan.frozen import frozen
from seatplan.store import COMMON, Store

from .options import USUAL, Options

if TYPE_CHECKING:
    from seatplan.geometry.recline import Setting
    from seatplan.model import Installation, Mode, Position, Restraint, Rider, Row, Trip, Vehicle
    from seatplan.model.vehicle import Cushion, Seatback

    from .profile import Profile


@frozen(eq=False)
class Placement:
    """One rider, in one restraint mode (or the seat belt), by one installation, at one position.

    ``bars`` are the two lower-anchor bars it hangs on, ``tether`` the anchor its tether strap goes to.
    With the seat belt, restraint, mode and installation are None.
    """

    rider: Rider
    position: Position
    row: Row
    restraint: Restraint | None = None
    mode: Mode | None = None
    installation: Installation | None = None
    bars: tuple[str, ...] = ()
    borrowed: bool = False
    tether: str | None = None
    recline: Setting | None = None            # rear-facing: the setting and packing that it stands at
    second: Position | None = None            # the place at its right, where the belts of both hold it

    def for_rider(self, rider: Rider, recline: Setting | None) -> Placement:
        """The same with another rider and setting; ``dataclasses.replace`` takes five times as long."""
        return Placement(rider, self.position, self.row, self.restraint, self.mode, self.installation, self.bars,
                         self.borrowed, self.tether, recline, self.second)

    @property
    def places(self) -> tuple[str, ...]:
        """The positions whose belts hold it: its own, and the second one where there is one."""
        own = self.position.position
        return (own,) if self.second is None else (own, self.second.position)

    def from_second(self) -> Placement | None:
        """The same as it looks from its second place; None where it has one only."""
        return None if self.second is None else replace(self, position=self.second, second=self.position)

    @property
    def cushion(self) -> Cushion:
        """The cushion at its place."""
        from seatplan.model.own_seat import cushion_at

        return cushion_at(self.row, self.position)

    @property
    def seatback(self) -> Seatback:
        """The back at its place, from its own cushion."""
        from seatplan.model.own_seat import seatback_at

        return seatback_at(self.row, self.position)

    @property
    def slides(self) -> int | None:
        """How far its place slides, mm."""
        from seatplan.model.own_seat import slides_at

        return slides_at(self.row, self.position.position)

    @property
    def lift(self) -> int:
        """How much higher its cushion lies than the row's, mm."""
        from seatplan.model.own_seat import lifted

        return lifted(self.position)

    @property
    def by(self) -> str:
        return self.installation.by if self.installation else "seat-belt"

    @property
    def mode_name(self) -> str:
        return self.mode.mode if self.mode else "seat-belt"

    @property
    def rear_facing(self) -> bool:
        return self.mode is not None and self.mode.rear_facing

    @property
    def booster(self) -> bool:
        return self.mode is not None and self.mode.booster

    @property
    def harness(self) -> bool:
        return self.mode is not None and self.mode.harness

    @property
    def built_in(self) -> bool:
        """A part of the vehicle holds the child, so that nothing is installed."""
        return self.by == "built-in"

    @property
    def on_lower_anchors(self) -> bool:
        return self.installation is not None and self.installation.by.startswith("lower-anchors")

    @property
    def held_by_belt(self) -> bool:
        """The vehicle belt runs through the restraint and must hold it by itself."""
        return (self.installation is not None and not self.booster
                and self.installation.by in ("lap-shoulder-belt", "lap-belt", "two-belts"))

    @property
    def fastened_each_trip(self) -> bool:
        """The rider is buckled in with the vehicle belt, so the buckle must stay within reach."""
        return self.mode is None or self.mode.fastens_rider(self.installation)


@frozen(eq=False)
class Pair:
    """Two placements of different riders, in order of position."""

    left: Placement
    right: Placement


@frozen(eq=False)
class Seated:
    """The placements of one row, left to right, or of the whole trip, in order of position."""

    placements: tuple[Placement, ...]


@frozen(eq=False)
class RuleContext:
    """What every rule may ask: the trip, its vehicle, the profile with its limits, the day of travel, how whatever is
    unsure counts, and where answers are kept."""

    trip: Trip
    vehicle: Vehicle
    profile: Profile
    day: date
    options: Options = USUAL
    store: Store = COMMON
    kept: dict[object, Any] = field(default_factory=dict)      # what was prepared for this world alone

    def about(self, trip: Trip) -> RuleContext:
        """The same for another trip."""
        return RuleContext(trip, trip.vehicle, self.profile, self.day, self.options, self.store)

    def corners(self) -> tuple[RuleContext, ...]:
        """The worlds in which every row of the vehicle is at the same corner; this one where no row has any."""
        from seatplan.model.estimated import EstimatedRow

        kept: tuple[RuleContext, ...] | None = self.kept.get("corners")
        if kept is None:
            rows = self.vehicle.rows
            n = max(len(row.corners) if isinstance(row, EstimatedRow) else 1 for row in rows)
            cars = [] if n == 1 else [self.vehicle.model_copy(update={"rows": [
                row.corners[k] if isinstance(row, EstimatedRow) else row for row in rows]}) for k in range(n)]
            kept = self.kept["corners"] = tuple(
                self.about(self.trip.model_copy(update={"vehicle": car})) for car in cars) or (self,)
        return kept

    def limit(self, name: str) -> Any:
        """A threshold of the profile: a number, exact where it is a mass."""
        return self.profile.limit(name)

    def age_months(self, rider: Rider) -> int | None:
        """Whole months on the day of travel; None if neither birth nor age is given."""
        if rider.born is not None:
            months = (self.day.year - rider.born.year) * 12 + self.day.month - rider.born.month
            return months - (self.day.day < rider.born.day)
        return rider.age

    def least_age(self, rider: Rider) -> int | None:
        """The same for the order of arrangements, in which a band of ages counts by its lower end."""
        months = self.age_months(rider)
        return rider.ages[0] if months is None and rider.ages is not None else months

    def unlisted_driver(self) -> Placement | None:
        """The driver, where no rider of the trip drives: an adult of unmeasured size on the driver's seat."""
        from seatplan.model import Rider

        if any(rider.drives for rider in self.trip.riders):
            return None
        seat = self.trip.drives
        driver = Rider(rider="the driver", adult=True, drives=True)
        return Placement(driver, self.vehicle.position(seat), self.vehicle.row_of(seat))


def adjacent(one: Placement, other: Placement) -> bool:
    """Side by side in one row, with no seating position between them."""
    if one.position.row != other.position.row:
        return False
    names = [position.position for position in one.row.positions]
    return min(abs(names.index(a) - names.index(b)) for a in one.places for b in other.places) == 1


def i_size_throughout(placement: Placement) -> bool:
    """An i-Size restraint on an i-Size place: shell, leg and floor keep to one standard (UN R129, 02 series, 6.3.5;
    UN R16, 07 series, 8.3.6)."""
    approval = placement.restraint.approval if placement.restraint else None
    return approval is not None and approval.category == "i-size" and bool(placement.position.i_size)
