"""The bundled data as JSON: the name to type, and what it is."""

from __future__ import annotations

from typing import Any

from seatplan.app.library import Library
from seatplan.model import Restraint, Trip, Vehicle

from .failure_json import head_json


def library_json(found: Library) -> dict[str, Any]:
    """Trips, vehicles, restraints; what was not asked for is null."""
    return {
        **head_json("list"),
        "trips": None if found.trips is None else [_trip(*named) for named in found.trips.items()],
        "vehicles": None if found.vehicles is None else [_vehicle(*named) for named in found.vehicles.items()],
        "restraints": None if found.restraints is None else [_restraint(*named) for named in found.restraints.items()],
    }


def _trip(name: str, trip: Trip) -> dict[str, Any]:
    return {"name": name, "trip": trip.trip, "rules": trip.rules, "vehicle": trip.vehicle.vehicle,
            "riders": [rider.rider for rider in trip.riders], "notes": _line(trip.notes)}


def _vehicle(name: str, vehicle: Vehicle) -> dict[str, Any]:
    return {"name": name, "vehicle": vehicle.vehicle,
            "positions": [position.position for position in vehicle.positions()], "notes": _line(vehicle.notes)}


def _restraint(name: str, restraint: Restraint) -> dict[str, Any]:
    widths = [part.width for mode in restraint.modes for part in mode.parts if part.width]
    return {"name": name, "restraint": restraint.restraint, "widest_mm": max(widths, default=None),
            "kind": restraint.kind,
            "modes": [mode.mode for mode in restraint.modes], "notes": _line(restraint.notes)}


def _line(notes: str) -> str:
    return " ".join(notes.split())
