"""Names that something can be asked by, for a shell that completes them: files are read, and no records are made."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Any, get_args

from seatplan.files.errors import InputError
from seatplan.files.library import PACKAGE, Kind, find, folder, is_path, names


def bundled(kind: Kind) -> Sequence[str]:
    """The bundled names of a kind, sorted."""
    return names(kind)


def rules() -> Sequence[str]:
    """What `seatplan rules` explains."""
    from seatplan.rules.registry import RULES

    from .rules import ORDER

    return (ORDER, *(rule.id for rule in RULES))


def riders(trip: str) -> Sequence[str]:
    """Who rides, as far as the trip can be read."""
    return [str(rider["rider"]) for rider in _maps(_data("trip", trip).get("riders")) if "rider" in rider]


def seats(trip: str, vehicle: str | None = None) -> Sequence[str]:
    """The seats of a vehicle, or else of the trip's own, as far as they can be read."""
    car: Any = vehicle
    if vehicle is None:
        car = _data("trip", trip).get("vehicle")
        if isinstance(car, str) and is_path(car) and is_path(trip):
            car = str(Path(trip).parent / car)
    if isinstance(car, str):
        car = _data("vehicle", car)
    rows = _maps(car.get("rows")) if isinstance(car, dict) else []
    return [str(seat["position"]) for row in rows for seat in _maps(row.get("positions")) if "position" in seat]


def _data(kind: Kind, ref: str) -> dict[str, Any]:
    """What a file holds; nothing where it cannot be read. Standard input is left to whoever answers."""
    from seatplan.files.reading import read

    if not ref or ref == "-":
        return {}
    try:
        return read(ref if is_path(ref) else find(kind, ref), kind=kind).data
    except InputError:
        return {}


def _maps(value: Any) -> list[dict[str, Any]]:
    return [one for one in value if isinstance(one, dict)] if isinstance(value, list) else []


def folders() -> Sequence[str]:
    """Where what is bundled lies on this machine, for whoever must not tell that."""
    return sorted({str(folder(kind)) for kind in get_args(Kind)} | {str(PACKAGE / "data" / "profiles")})
