"""The bundled data as JSON: the name to type, and what it is."""

from __future__ import annotations

from typing import Any

from seatplan.files.library import names
from seatplan.files.load import load_restraint, load_trip, load_vehicle

from .failure_json import head_json


def library_json(kind: str | None) -> dict[str, Any]:
    """``kind`` narrows to vehicles, restraints or trips; the others are null then."""
    made = {"trips": _trips, "vehicles": _vehicles, "restraints": _restraints}
    return {**head_json("list"), **{name: make() if kind in (None, name) else None for name, make in made.items()}}


def _trips() -> list[dict[str, Any]]:
    return [{"name": name, "trip": trip.trip, "rules": trip.rules, "vehicle": trip.vehicle.vehicle,
             "riders": [rider.rider for rider in trip.riders], "notes": _line(trip.notes)}
            for name in names("trip") if (trip := load_trip(name))]


def _vehicles() -> list[dict[str, Any]]:
    return [{"name": name, "vehicle": vehicle.vehicle,
             "positions": [position.position for position in vehicle.positions()], "notes": _line(vehicle.notes)}
            for name in names("vehicle") if (vehicle := load_vehicle(name))]


def _restraints() -> list[dict[str, Any]]:
    found = []
    for name in names("restraint"):
        restraint = load_restraint(name)
        widths = [part.width for mode in restraint.modes for part in mode.parts if part.width]
        found.append({"name": name, "restraint": restraint.restraint, "widest_mm": max(widths, default=None),
                      "modes": [mode.mode for mode in restraint.modes], "notes": _line(restraint.notes)})
    return found


def _line(notes: str) -> str:
    return " ".join(notes.split())
