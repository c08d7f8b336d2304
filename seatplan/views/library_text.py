"""The bundled data as a table: the name to type, and what it is."""

from __future__ import annotations

from seatplan.files.library import names
from seatplan.files.load import load_restraint, load_trip, load_vehicle

from .say import t
from .text import count, mm, table
from .words import MODES


def library_text(kind: str | None) -> str:
    """One table a kind; ``kind`` narrows to vehicles, restraints or trips."""
    tables = {"trips": _trips, "vehicles": _vehicles, "restraints": _restraints}
    return "\n\n".join(make() for name, make in tables.items() if kind in (None, name)) + "\n"


def _trips() -> str:
    lines = []
    for key in names("trip"):
        trip = load_trip(key)
        riders = str(len(trip.riders))
        lines.append([key, trip.rules, riders, trip.vehicle.vehicle, _first(trip.notes)])
    return t("Trips") + "\n" + table(["name", "rules", "riders", "vehicle", "about"], lines, "   ")


def _vehicles() -> str:
    lines = []
    for key in names("vehicle"):
        vehicle = load_vehicle(key)
        lines.append([key, count(len(vehicle.positions()), "seat"), _first(vehicle.notes)])
    return t("Vehicles") + "\n" + table(["name", "seats", "about"], lines, "   ")


def _restraints() -> str:
    lines = []
    for key in names("restraint"):
        restraint = load_restraint(key)
        widths = [part.width for mode in restraint.modes for part in mode.parts if part.width]
        width = mm(max(widths), "up") if widths else "?"
        lines.append([key, width, ", ".join(MODES[mode.mode] for mode in restraint.modes)])
    return t("Restraints") + "\n" + table(["name", "widest", "modes"], lines, "   ")


def _first(notes: str) -> str:
    """The first sentence that says more than that it is invented."""
    sentences = [s.strip().rstrip(".") for s in " ".join(notes.split()).split(". ")]
    return next((s for s in sentences if not s.startswith("Invented")), "")
