"""Every bundled vehicle, restraint and trip, read once."""

from __future__ import annotations

from seatplan.files.library import names
from seatplan.files.load import load_restraint, load_trip, load_vehicle
from seatplan.model import Mode, Position, Restraint, Row

VEHICLES = {name: load_vehicle(name) for name in names("vehicle")}
RESTRAINTS = {name: load_restraint(name) for name in names("restraint")}
TRIPS = {name: load_trip(name) for name in names("trip")}


def positions() -> list[tuple[str, Row, Position]]:
    return [
        (f"{name}/{p.position}", row, p)
        for name, car in VEHICLES.items()
        for row in car.rows
        for p in row.positions
    ]


def modes() -> list[tuple[str, Restraint, Mode]]:
    return [
        (f"{name}/{m.mode}", restraint, m) for name, restraint in RESTRAINTS.items() for m in restraint.modes
    ]
