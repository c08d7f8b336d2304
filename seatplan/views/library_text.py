"""The bundled data as a table: the name to type, and what it is."""

from __future__ import annotations

from collections.abc import Mapping

from seatplan.app.library import Library
from seatplan.model import Restraint, Trip, Vehicle

from .say import t
from .text import count, mm, table
from .words import KINDS, MODES


def library_text(found: Library) -> str:
    """One table a kind."""
    tables = [*([_trips(found.trips)] if found.trips is not None else []),
              *([_vehicles(found.vehicles)] if found.vehicles is not None else []),
              *([_restraints(found.restraints)] if found.restraints is not None else [])]
    return "\n\n".join(tables) + "\n"


def _trips(trips: Mapping[str, Trip]) -> str:
    lines = []
    for key, trip in trips.items():
        riders = str(len(trip.riders))
        lines.append([key, trip.rules, riders, trip.vehicle.vehicle, _first(trip.notes)])
    return t("Trips") + "\n" + table(["name", "rules", "riders", "vehicle", "about"], lines, "   ")


def _vehicles(vehicles: Mapping[str, Vehicle]) -> str:
    lines = []
    for key, vehicle in vehicles.items():
        lines.append([key, count(len(vehicle.positions()), "seat"), _first(vehicle.notes)])
    return t("Vehicles") + "\n" + table(["name", "seats", "about"], lines, "   ")


def _restraints(restraints: Mapping[str, Restraint]) -> str:
    lines = []
    for key, restraint in restraints.items():
        widths = [part.width for mode in restraint.modes for part in mode.parts if part.width]
        width = mm(max(widths), "up") if widths else "?"
        modes = ", ".join(MODES[mode.mode] for mode in restraint.modes)
        lines.append([key, width, modes if restraint.kind is None else t(
            "{kind}: {modes}", kind=KINDS[restraint.kind], modes=modes)])
    return t("Restraints") + "\n" + table(["name", "widest", "modes"], lines, "   ")


def _first(notes: str) -> str:
    """The first sentence that says more than that it is invented."""
    sentences = [s.strip().rstrip(".") for s in " ".join(notes.split()).split(". ")]
    return next((s for s in sentences if not s.startswith("Invented")), "")
