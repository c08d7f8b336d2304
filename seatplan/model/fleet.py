"""A fleet as its operator writes it down: depots, types of vehicle, vehicles, drivers, kinds of restraint, each copy.

A *kind* is a restraint by its file, a *copy* one piece of it with its serial number. What is aboard a vehicle is said
by the copy that is installed there. Nothing in it is about who travels: bookings stand in files of their own.
"""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from .quantities import (
    BodyMass,
    Day,
    Days,
    Duration,
    From,
    Key,
    Minutes,
    Name,
    PositionName,
    Price,
    Size,
    Stature,
    Text,
    TimeOfDay,
    Until,
    YesNo,
)
from .record import Record
from .restraint import By, Condition, Restraint
from .trip import FrontLimit, Tried
from .vehicle import Vehicle

#: what holds a restraint; `none`: nothing does
Held = Literal["lower-anchors", "lap-shoulder-belt", "lap-belt", "two-belts", "lower-anchors-with-belt", "none"]


class Depot(Record):
    """``depot`` is a place of the travel matrix too."""

    depot: Name
    installs: YesNo | None = None     # somebody there puts restraints in and takes them out; None: nobody is known to


class VehicleType(Record):
    type: Key
    vehicle: Vehicle
    drives: PositionName
    front: dict[PositionName, FrontLimit] = {}        # how far forward whoever sits there can sit, as in a trip
    tried: list[Tried] = []           # what was tried in a vehicle of this type; `restraint` is a kind of the fleet


class OneVehicle(Record):
    """One vehicle; what is installed in it is said by the copies. ``from_`` and ``until``: when it may be used."""

    vehicle: Key
    type: Key
    depot: Name
    driver: Key | None = None
    from_: Annotated[TimeOfDay | None, Field(alias="from")] = None
    until: TimeOfDay | None = None


class Driver(Record):
    driver: Key
    installs: YesNo | None = None     # trained to install restraints; None: not known to be


class AnyDriver(Record):
    """What is known of whoever drives: sizes that no driver of the fleet exceeds."""

    mass: BodyMass | None = None
    height: Stature | None = None
    hips: Size | None = None
    shoulders: Size | None = None
    buttock_knee: Size | None = None


class Kind(Record):
    kind: Key
    restraint: Restraint
    price: Price | None = None        # of a new copy, in whole units of money, for `fleet inventory`


class Quarantine(Record):
    """Why and for how long a copy may not be used; without ``until`` until somebody says so."""

    why: Literal["crash", "recall", "cleaning"]
    from_: Annotated[From, Field(alias="from")]
    until: Until | None = None


class InVehicle(Record):
    """Where a copy is installed, and since when."""

    vehicle: Key
    position: PositionName
    by: By | None = None              # None: nothing holds it, as a booster that the belt holds with its child
    since: Day | None = None


class OneCopy(Record):
    """One copy of a kind. Dates and condition are its own: what the kind's file says of them is of another copy."""

    serial: Key
    kind: Key
    depot: Name | None = None         # where it is stored; of one that is installed the vehicle's depot
    installed: InVehicle | None = None
    made: Day | None = None
    expires: Day | None = None
    in_order: YesNo | None = None     # in date, undamaged, no crash, no open recall, labels readable
    condition: Condition | None = None
    quarantine: list[Quarantine] = []


class Changeover(Record):
    """Minutes to put a restraint in and to take it out."""

    put_in: Minutes
    take_out: Minutes


class Privacy(Record):
    """``keep_days``: so many days after its end a booking goes. ``age_bands``: ages are kept only as the band between
    two of these; empty: as they were written."""

    keep_days: Days | None = None
    age_bands: Annotated[list[Duration], Field(max_length=40)] = []


class Fleet(Record):
    fleet: Name
    invented: YesNo = False
    notes: Text = ""
    rules: Text = "us"                # the profile
    travel: Text | None = None        # the file of the travel matrix, beside this one
    any_driver: AnyDriver = AnyDriver()
    privacy: Privacy = Privacy()
    depots: Annotated[list[Depot], Field(min_length=1, max_length=200)]
    types: Annotated[list[VehicleType], Field(min_length=1, max_length=100)]
    vehicles: Annotated[list[OneVehicle], Field(min_length=1, max_length=5000)]
    drivers: Annotated[list[Driver], Field(max_length=20_000)] = []
    kinds: Annotated[list[Kind], Field(max_length=200)] = []
    copies: Annotated[list[OneCopy], Field(max_length=20_000)] = []
    changeover: dict[Held, Changeover] = {}

    def kind(self, name: str) -> Kind:
        """The kind of that name; KeyError if there is none."""
        for kind in self.kinds:
            if kind.kind == name:
                return kind
        raise KeyError(name)
